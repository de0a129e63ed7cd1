import { LogError } from '../errors';
import { splitCells } from './cells';
import type { LogDescription } from './description';
import { isBlank, trimmedEnd } from './lines';
import { type LogText, textOf } from './open-log';

/** A comment among the data, with the row that follows. */
export interface Comment {
  readonly row: number;
  readonly text: string;
}

const WITHOUT_TIME = 'rows without a readable time';
const NO_ROWS = 'lines that are no rows';
const CUT_SHORT = 'last line, cut short';

const BLANK = 32;
const TAB = 9;
const MOST_COMMENTS = 10_000;
/** Lines looked at for another header. */
const MOST_HEADERS = 20;
/** Of a log that is read, at most this share of lines may be no rows, and this many besides. */
const ODD_SHARE = 0.05;
const ODD_LINES = 2;

/** Lines that are no rows: why each was left out, and whether they are too many. */
export class LeftOutLines {
  /** Lines by reason. */
  readonly counts: Record<string, number> = {};
  readonly comments: Comment[] = [];
  private readonly first: Record<string, number> = {};
  private headers = 0;

  /**
   * @param log the log
   * @param description how it is written
   */
  constructor(
    private readonly log: LogText,
    private readonly description: LogDescription,
  ) {}

  /**
   * Leaves a line out.
   * @param line from 0
   * @param start its first byte
   * @param end one past its last byte
   * @param row rows read before it
   * @param readable whether it has readings in it
   * @throws LogError where it is another header
   */
  add(line: number, start: number, end: number, row: number, readable: boolean): void {
    this.count(this.reasonFor(line, start, end, row, readable), line);
  }

  /** Leaves out the last line, which breaks off within a row. */
  addCut(line: number): void {
    this.count(CUT_SHORT, line);
  }

  private reasonFor(line: number, start: number, end: number, row: number, readable: boolean): string {
    if (isBlank(this.log.bytes, start, end)) return 'blank lines';
    const { commentMark, headerLine, unitsLine } = this.description;
    if (commentMark !== '' && this.startsWith(commentMark, start, end)) {
      this.keepComment(start, end, commentMark, row);
      return 'comment lines';
    }
    if (headerLine > 0 && this.sameLine(headerLine - 1, start, end)) return 'repeated headers';
    if (unitsLine > 0 && this.sameLine(unitsLine - 1, start, end)) return 'repeated headers';
    this.refuseOtherHeader(line, start, end);
    if (line === this.log.lines.length - 2 && row > 0) return CUT_SHORT;
    return readable ? WITHOUT_TIME : NO_ROWS;
  }

  private keepComment(start: number, end: number, mark: string, row: number): void {
    const text = textOf(this.log, start, Math.min(end, start + 2000))
      .trim()
      .slice(mark.length)
      .trim();
    if (text !== '' && this.comments.length < MOST_COMMENTS) this.comments.push({ row, text });
  }

  /** A second header with other columns or units: what follows must not be read by the first. */
  private refuseOtherHeader(line: number, start: number, end: number): void {
    const { headerLine, columns, separator } = this.description;
    if (headerLine === 0 || this.headers > MOST_HEADERS || end - start > 100_000) return;
    this.headers++;
    const cells = splitCells(textOf(this.log, start, end), separator);
    const known = cells.filter((cell, i) => cell !== '' && columns[i]?.name === cell).length;
    const words = cells.filter((cell) => /\p{L}/u.test(cell)).length;
    if (cells.length < 2 || known === 0 || words < cells.length) return;
    throw new LogError({
      file: this.log.file,
      line: line + 1,
      met: `another header, "${cells.join(', ').slice(0, 80)}"`,
      expected: `the header of line ${headerLine} again`,
      remedy: 'split the file there and read the parts one by one',
    });
  }

  private count(reason: string, line: number): void {
    this.counts[reason] = (this.counts[reason] ?? 0) + 1;
    this.first[reason] ??= line + 1;
  }

  private startsWith(mark: string, start: number, end: number): boolean {
    const { bytes } = this.log;
    let at = start;
    while (at < end && (bytes[at] === BLANK || bytes[at] === TAB)) at++;
    for (let i = 0; i < mark.length; i++) if (bytes[at + i] !== mark.charCodeAt(i)) return false;
    return true;
  }

  private sameLine(other: number, start: number, end: number): boolean {
    const { bytes, lines } = this.log;
    const from = lines[other];
    const to = trimmedEnd(bytes, from, lines[other + 1]);
    if (to - from !== end - start) return false;
    for (let i = 0; i < end - start; i++) if (bytes[from + i] !== bytes[start + i]) return false;
    return true;
  }

  /**
   * Refuses a log of which too much could not be read.
   * @param rows rows that were read
   * @throws LogError with the first line in question
   */
  judge(rows: number): void {
    const odd = (this.counts[WITHOUT_TIME] ?? 0) + (this.counts[NO_ROWS] ?? 0);
    if (rows > 0 && odd <= ODD_LINES + rows * ODD_SHARE) return;
    const { file, bytes, lines } = this.log;
    const { time, firstDataLine } = this.description;
    const line = this.first[WITHOUT_TIME] ?? this.first[NO_ROWS] ?? firstDataLine;
    const start = lines[line - 1] ?? 0;
    const end = trimmedEnd(bytes, start, lines[line] ?? start);
    const met = `"${textOf(this.log, start, Math.min(end, start + 60))}"`;
    const where = time.columns.length > 0 ? ` in column ${time.columns.join(' and ')}` : '';
    const expected = `a row with time as ${time.format}${where}`;
    throw new LogError({ file, line, column: time.columns[0] ?? 0, met, expected, remedy: `${odd} such lines` });
  }

  /** What a person should know about them. */
  said(): string[] {
    return [WITHOUT_TIME, NO_ROWS]
      .filter((reason) => this.counts[reason])
      .map((reason) => {
        const [count, first] = [this.counts[reason], this.first[reason]];
        if (count > 1) return `${count} ${reason} left out, the first in line ${first}`;
        return `line ${first} left out: it is ${reason === WITHOUT_TIME ? 'a row without a readable time' : 'no row'}`;
      });
  }
}
