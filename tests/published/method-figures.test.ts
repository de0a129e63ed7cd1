import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { figures } from '../../docs/figures/figures';
import { drawChart } from '../../kernel-helpers/display/chart-picture';

const docs = join(__dirname, '../../docs');
const page = readFileSync(join(docs, 'method.md'), 'utf8');
const onPage = new Map(
  [...page.matchAll(/!\[([^\]]*)\]\(figures\/([\w-]+)\.png\)/g)].map(([, alt, name]) => [name, alt]),
);
const drawn = figures();

/** Width and height that a PNG says it has. */
function sizeOf(name: string): [number, number] {
  const png = readFileSync(join(docs, 'figures', `${name}.png`));
  expect(png.subarray(1, 4).toString('latin1')).toBe('PNG');
  return [png.readUInt32BE(16), png.readUInt32BE(20)];
}

describe('the figures of docs/method.md', () => {
  it('are those that the script draws, each once on the page with its words', () => {
    expect([...onPage.keys()].sort()).toEqual([...drawn.keys()].sort());
    for (const alt of onPage.values()) expect(alt.length).toBeGreaterThan(100);
  });

  it.each([...drawn])('%s: the picture is as large as the script draws it now', (name, spec) => {
    const { width, height } = drawChart(spec);
    const [wide, high] = sizeOf(name);
    // Both sides are rounded to whole pixels.
    expect(Math.abs(wide - 2 * width)).toBeLessThanOrEqual(2);
    expect(Math.abs(high - 2 * height)).toBeLessThanOrEqual(2);
  });

  /** What the page says about a figure, against the figure's own words. */
  it('show what the page says of them', () => {
    const words = (name: string): string => drawn.get(name)?.usermeta.text ?? '';
    expect(words('pump-down')).toMatch(/pressure in the chamber: .*, 4\.4\de-4 mbar at 1440 min|4\.4e-4 mbar/);
    expect(words('repeated-isolations')).toMatch(
      /outgassing of metal: 5 isolations, time to the power -(?:1\.0|0\.9[5-9])/,
    );
    expect(words('repeated-isolations')).toMatch(/real leak: 5 isolations, time to the power -?0\.0[01]/);
    expect(words('shapes')).toMatch(/Real leak:\npressure: 0\.01 Pa at 0 min, 0\.73 Pa at 60 min/);
    expect(words('shapes')).toMatch(/Trapped gas:\npressure: 0\.01 Pa at 0 min, 0\.39\d? Pa at 60 min/);
    expect(words('shapes')).toMatch(/Ice at -70 degC:\npressure: 0\.01 Pa at 0 min, 0\.25\d? Pa at 60 min/);
    expect(words('gas-factors')).toMatch(/He, ionisation: 556 % \(usual: 483 to 654\)/);
    expect(words('conductance')).toMatch(/molecular alone: 1\.78 L\/s/);
    expect(words('isolation')).toMatch(/left out after closing: [1-9]/);
  });
});
