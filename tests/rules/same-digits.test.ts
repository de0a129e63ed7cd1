import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, it } from 'vitest';

const src = resolve(__dirname, '../../src');
/** What a finding is made of. */
const folders = ['numerics', 'gases', 'gauges', 'segments', 'gas-loads', 'fits', 'causes'];
const files = folders.flatMap((folder) =>
  (readdirSync(join(src, folder)) as string[])
    .filter((name) => name.endsWith('.ts'))
    .map((name) => `${folder}/${name}`),
);

it.each(
  files.filter((file) => file !== 'numerics/elementary.ts'),
)('%s takes elementary functions from numerics/elementary, which give the same digits on every engine', (file) => {
  const lines = readFileSync(join(src, file), 'utf8').split('\n');
  const own = /\bMath\.(exp|expm1|log|log1p|log10|log2|pow|cbrt|a?(sin|cos|tan)h?|atan2)\b/;
  // A power of two whole numbers in the code is exact or rounded once; a square is a product.
  const powers = /\*\*(?! 2\b(?!\.))/;
  const bare = lines.filter(
    (line) =>
      own.test(line) || (powers.test(line.replace(/\b\d+(\.\d+)? \*\* -?\d+\b/g, '')) && !/^\s*\/?\*/.test(line)),
  );
  expect(bare).toEqual([]);
});
