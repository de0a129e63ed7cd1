import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import * as blankoff from '../../src/flow';
import * as gases from '../../src/gases';
import * as gauges from '../../src/gauges';
import * as units from '../../src/units';

/** Lines of code on the page with the value that stands behind `// ->`. */
const page = readFileSync(join(__dirname, '../../docs/method.md'), 'utf8');
const lines = [...page.matchAll(/```ts\n([\s\S]*?)```/g)].flatMap(([, block]) =>
  block
    .trim()
    .split('\n')
    .map((line) => /^(.+); \/\/ -> (.+)$/.exec(line)?.slice(1) ?? [line, 'no value behind // ->']),
);

const known: Readonly<Record<string, unknown>> = { ...units, ...gases, ...blankoff, ...gauges };
const names = Object.keys(known).filter((name) => /^[a-zA-Z]+$/.test(name));

function evaluate(expression: string): unknown {
  const script = ts.transpile(`(${expression})`, { target: ts.ScriptTarget.ES2022 });
  return new Function(...names, `return ${script.trim().replace(/;$/, '')}`)(...names.map((name) => known[name]));
}

describe('docs/method.md', () => {
  it('has code on it', () => {
    expect(lines.length).toBeGreaterThan(30);
  });

  it.each(lines)('%s gives %s', (expression, expected) => {
    const value = evaluate(expression);
    expect(typeof value === 'number' ? units.formatNumber(value, 4) : value).toBe(expected);
  });
});
