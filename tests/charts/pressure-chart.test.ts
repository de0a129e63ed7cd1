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
