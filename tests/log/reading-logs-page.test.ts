import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import * as log from '../../src/log';

const page = readFileSync(join(__dirname, '../../docs/reading-logs.md'), 'utf8');
const blocks = [...page.matchAll(/```ts\n([\s\S]*?)```/g)].map(([, block]) => block);

/** Runs a block; each line `expression; // -> value` is compared. */
function run(block: string): readonly (readonly [string, string, string])[] {
  const compared: [string, string, string][] = [];
  const plain = (_: string, value: unknown): unknown => (ArrayBuffer.isView(value) ? Object.values(value) : value);
  const check = (expression: string, value: unknown, expected: string): void => {
    compared.push([expression, JSON.stringify(value, plain), expected]);
  };
  const code = block.replace(/^(.+); \/\/ -> (.+)$/gm, (_, expression: string, expected: string) => {
    return `check(${JSON.stringify(expression)}, ${expression}, ${JSON.stringify(expected)});`;
  });
  const script = ts.transpile(code, { target: ts.ScriptTarget.ES2022 });
  new Function('check', ...Object.keys(log), script)(check, ...Object.values(log));
  return compared;
}

describe('docs/reading-logs.md', () => {
  it('shows what its code gives', () => {
    const compared = blocks.flatMap(run);
    expect(compared.length).toBeGreaterThan(6);
    for (const [expression, value, expected] of compared) expect(value, expression).toBe(expected);
  });

  it('names every flag and every format of time', () => {
    const names = [...Object.keys(log.FLAG).filter((flag) => flag !== 'good'), ...log.TIME_FORMATS];
    expect(names.filter((name) => !page.includes(`\`${name}\``))).toEqual([]);
  });
});
