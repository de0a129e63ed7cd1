import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { nistDigitsPage } from './nist-digits';

const page = join(__dirname, '../../docs/nist-strd.md');

/** Rounding differs between machines in the last digit of a figure, so figures are compared to within one digit. */
function figures(text: string): readonly (readonly string[])[] {
  return text
    .split('\n')
    .filter((line) => /^\| \w+ \| (lower|average|higher)/.test(line))
    .map((line) => line.split('|').map((cell) => cell.trim()));
}

it('the page of digits says what the code gives', () => {
  const now = nistDigitsPage();
  if (process.env.UPDATE_DOCS === '1') writeFileSync(page, now);
  const written = figures(readFileSync(page, 'utf8'));
  const current = figures(now);
  expect(current).toHaveLength(20);
  expect(written).toHaveLength(20);
  current.forEach((row, i) => {
    expect(written[i].slice(0, 4)).toEqual(row.slice(0, 4));
    for (const column of [4, 5, 6]) {
      expect(Math.abs(Number(written[i][column]) - Number(row[column]))).toBeLessThan(1);
    }
  });
});
