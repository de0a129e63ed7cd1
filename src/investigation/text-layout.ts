/** Plain text for a terminal of 80 columns. */

/** Width of a report, columns. */
export const WIDTH = 80;

/**
 * Text that came out of a file made safe to print: control characters (which could steer a terminal) become `?`.
 * @param text untrusted text
 */
export function printable(text: string): string {
  return text.replace(/[\p{Cc}\p{Cf}\u2028\u2029]/gu, '?');
}

/**
 * Breaks a text into lines at blanks.
 * @param text one paragraph
 * @param first what the first line begins with
 * @param next what the other lines begin with; as many blanks as `first` is long where absent
 * @param width columns
 * @returns lines, none longer than the width unless a single word is
 */
export function wrap(text: string, first = '', next = ' '.repeat(first.length), width = WIDTH): string[] {
  const lines: string[] = [];
  let line = first;
  let empty = true;
  for (const word of printable(text)
    .split(/\s+/)
    .filter((w) => w !== '')) {
    if (!empty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = next;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  lines.push(line.trimEnd());
  return lines;
}

/**
 * A list, one item a paragraph with a dash.
 * @param items texts
 */
export function bullets(items: readonly string[]): string[] {
  return items.flatMap((item) => wrap(item, '  - '));
}

/**
 * A table with aligned columns: the first column to the left, the others to the right where they hold numbers.
 * @param rows cells, the first row the header
 * @param left columns (from 0) that are set to the left; only the first where absent
 */
export function table(rows: readonly (readonly string[])[], left: readonly number[] = [0]): string[] {
  const widths = rows[0].map((_, c) => Math.max(...rows.map((row) => printable(row[c] ?? '').length)));
  return rows.map((row) =>
    `  ${row
      .map((cell, c) => (left.includes(c) ? printable(cell).padEnd(widths[c]) : printable(cell).padStart(widths[c])))
      .join('  ')}`.trimEnd(),
  );
}

/**
 * Seconds as people read them: `64 s`, `12.5 min`, `3.2 h`, `4.1 d`.
 * @param s seconds
 */
export function span(s: number): string {
  if (s < 0.95) return `${Number(s.toPrecision(2))} s`;
  if (s < 119.5) return `${s < 9.95 ? s.toFixed(1) : s.toFixed(0)} s`;
  if (s < 2 * 3600) return `${(s / 60).toFixed(s < 600 ? 1 : 0)} min`;
  if (s < 48 * 3600) return `${(s / 3600).toFixed(1)} h`;
  return `${(s / 86400).toFixed(1)} d`;
}

/**
 * Seconds from the first row as a clock: `0:19:30`, `20:02:02`, beyond a day the hours run on.
 * @param s seconds, >= 0
 */
export function clock(s: number): string {
  const whole = Math.round(s);
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${Math.floor(whole / 3600)}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
}
