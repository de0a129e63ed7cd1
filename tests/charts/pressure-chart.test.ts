import { describe, expect, it } from 'vitest';
import { chartSvg } from '../../kernel-helpers/display/chart-picture';
import { pressureChart } from '../../src/charts';
import { readLog } from '../../src/log';
import { findSegments } from '../../src/segments';

const rows = Array.from({ length: 60 }, (_, i) => `${i * 10},${(100 * 0.9 ** i + 0.8).toPrecision(5)}`);
const log = readLog(new TextEncoder().encode(`time s,chamber mbar\n${rows.join('\n')}\n`));
const draw = (pa: number): ReturnType<typeof pressureChart> =>
  pressureChart(log, findSegments(log), { setPoints: [{ pa, name: 'target' }] });

describe('set points on a chart of pressure', () => {
  it('are drawn also where the record stopped less than a decade short of them', () => {
    const chart = draw(20);
    expect(JSON.stringify(chart.layer)).toContain('target: 0.2 mbar');
    expect(chart.usermeta.text).not.toContain('off the axis');
  });

  it('are named where they lie further away', () => {
    const chart = draw(0.2);
    expect(JSON.stringify(chart.layer)).not.toContain('target: 2e-3 mbar');
    expect(chart.usermeta.text).toContain('off the axis: target: 2e-3 mbar');
  });

  it('have their whole name inside the chart where a page makes it narrower to fit its place', () => {
    const svg = chartSvg({ ...draw(20), width: 320, autosize: { type: 'fit-x', contains: 'padding' } });
    const width = Number(/<svg[^>]* width="([\d.]+)"/.exec(svg)?.[1]);
    const axes = Number(/<g [^>]*transform="translate\(([\d.]+),/.exec(svg)?.[1]);
    // Flush right: the name ends at its place.
    const end = /<text [^>]*text-anchor="end" transform="translate\(([\d.]+),[^>]*>target: 0\.2 mbar</.exec(svg);
    expect(width).toBe(320);
    expect(axes).toBeGreaterThan(0);
    expect(axes + Number(end?.[1])).toBeLessThan(width);
  });
});

describe('a log with gaps', () => {
  // Readings every 10 s, but none for 10 min and for 70 min.
  const times = Array.from({ length: 60 }, (_, i) => 10 * i + (i < 20 ? 0 : 600) + (i < 40 ? 0 : 4200));
  const gapped = readLog(
    new TextEncoder().encode(
      `time s,chamber mbar\n${times.map((t, i) => `${t},${(5 - 0.01 * i).toFixed(3)}`).join('\n')}\n`,
    ),
  );
  const chart = pressureChart(gapped, findSegments(gapped));
  const [drawn] = (chart.layer as { data: { values: { time: number; pressure: number | null; line?: string }[] } }[])
    .map(({ data }) => data.values)
    .filter(([first]) => first?.line !== undefined);

  it('has no line across them', () => {
    const breaks = drawn.flatMap(({ pressure }, i) => (pressure === null ? [i] : []));
    expect(breaks.map((i) => drawn[i - 1].pressure! - drawn[i + 1].pressure!)).toHaveLength(2);
    expect(breaks.map((i) => Math.round(60 * (drawn[i + 1].time - drawn[i - 1].time)))).toEqual([610, 4210]);
    // Every stretch of readings is a path of its own.
    const lines = /<g class="mark-line[^>]*>\s*<path [^>]*d="([^"]+)"/.exec(chartSvg(chart))?.[1];
    expect(lines?.match(/M/g)).toHaveLength(3);
  });

  it('says so, and keeps every reading', () => {
    expect(chart.usermeta.text).toContain('2 gaps without readings: the line stops there');
    expect(drawn.filter(({ pressure }) => pressure !== null)).toHaveLength(60);
    expect(JSON.stringify(draw(20).title)).not.toContain('gap');
  });
});
