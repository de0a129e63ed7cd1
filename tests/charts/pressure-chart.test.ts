import { describe, expect, it } from 'vitest';
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
});
