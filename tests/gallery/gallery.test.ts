import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { compile, type TopLevelSpec } from 'vega-lite';
import { compile as compileOldest } from 'vega-lite-561';
import { describe, expect, it } from 'vitest';
import { drawChart } from '../../kernel-helpers/display/chart-picture';
import { galleryCharts } from './charts';

const charts = galleryCharts();
/** Pictures to look at, made anew by each run. */
const folder = join(__dirname, '../../out/gallery');
mkdirSync(folder, { recursive: true });

/** Field names that may stand in a specification: all ours, never a header of a log. */
const OUR_FIELDS = /^(time|pressure|start|end|middle|low|high|residual|line|flag|use|label|colour|words|record|x|y)$/;

function everyField(value: unknown, found: string[] = []): string[] {
  if (Array.isArray(value)) for (const inner of value) everyField(inner, found);
  else if (value !== null && typeof value === 'object') {
    for (const [key, inner] of Object.entries(value)) {
      if (key === 'field' && typeof inner === 'string') found.push(inner);
      else if (key !== 'values') everyField(inner, found);
    }
  }
  return found;
}

function warningsOf(compiler: typeof compile, spec: unknown): string[] {
  const warnings: string[] = [];
  const note = (...words: unknown[]) => {
    warnings.push(words.map(String).join(' '));
    return logger;
  };
  const logger = { level: () => logger, error: note, warn: note, info: () => logger, debug: () => logger };
  compiler(spec as TopLevelSpec, { logger: logger as never });
  return warnings;
}

describe.each([...charts])('the chart "%s"', (name, spec) => {
  it('compiles without a warning with the oldest Vega-Lite that front ends ship, and with ours', () => {
    expect(warningsOf(compileOldest as typeof compile, spec)).toEqual([]);
    expect(warningsOf(compile, spec)).toEqual([]);
  });

  it('can be drawn', () => {
    const picture = drawChart(spec);
    expect(picture.width).toBeGreaterThan(250);
    writeFileSync(join(folder, `${name}.png`), picture.png);
  });

  it('uses field names of ours alone', () => {
    const fields = everyField(spec);
    expect(fields.length).toBeGreaterThan(2);
    expect(fields.filter((field) => !OUR_FIELDS.test(field))).toEqual([]);
  });

  it('says in words what it shows, with numbers and units', () => {
    expect(spec.usermeta.text).toMatch(/\d.*(Torr|mbar|Pa)/s);
    expect(spec.description.length).toBeGreaterThan(20);
  });

  it('stays small enough to be kept in a notebook', () => {
    expect(JSON.stringify(spec).length).toBeLessThan(600_000);
  });
});

describe('lines and points of a chart', () => {
  it('are told apart by dash or shape as well as by colour, so that they read in grey', () => {
    for (const name of ['pressure-of-two-gauges', 'comparison', 'remarks', 'curves']) {
      expect(JSON.stringify(charts.get(name))).toContain('strokeDash');
    }
    for (const name of ['isolation', 'rate-against-time-pumped']) {
      expect(JSON.stringify(charts.get(name))).toContain('"shape"');
    }
  });
});
