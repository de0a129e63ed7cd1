import type { LogText } from './open-log';

/** Names the place of a row, `line 31` or `line 31 of b.csv`, by its line counted over all files. */
export type LineNames = (line: number) => string;

/**
 * How the places of rows are called: by the line that an editor shows, by the row of a table that is no text, with the file
 * where there are several.
 * @param logs the files
 * @returns names of lines that are counted, from 1, over all files
 */
export function lineNames(logs: readonly LogText[]): LineNames {
  const starts = linesBefore(logs);
  return (line) => {
    let k = starts.length - 1;
    while (k > 0 && starts[k] >= line) k--;
    const what = logs[k].format === 'text' ? 'line' : 'row';
    return `${what} ${line - starts[k]}${logs.length > 1 ? ` of ${logs[k].file}` : ''}`;
  };
}

/**
 * Lines of the files before each file.
 * @param logs the files
 * @returns one number for each
 */
export function linesBefore(logs: readonly LogText[]): number[] {
  let sum = 0;
  return logs.map(({ lines }) => {
    const before = sum;
    sum += lines.length - 1;
    return before;
  });
}
