import { findUnit } from '../units';
import type { ColumnDescription } from './description';
import { FLAG, type OddCell } from './gauge-log';
import { type LogText, textOf } from './open-log';
import { type Reading, readReading } from './reading-text';

/** More distinct odd cells than this are read anew each time. */
const REMEMBERED = 5000;
const LONGEST_CELL = 200;
const LONGEST_SHOWN = 40;

/** Cells that are no plain number: words, bounds, units in cells. Each different text is read once. */
export class OddCells {
  private readonly known: Map<string, Reading>[];
  private garbled = 0;
  private firstSaid = '';
  /** The first cell of each channel that is no number. */
  readonly first: (OddCell | undefined)[];

  /**
   * @param log the log
   * @param channels its columns of readings
   * @param mark decimal mark
   */
  constructor(
    private readonly log: LogText,
    private readonly channels: readonly ColumnDescription[],
    private readonly mark: '.' | ',',
  ) {
    this.known = channels.map(() => new Map<string, Reading>());
    this.first = channels.map(() => undefined);
  }

  /** Reads the cell of a channel from its bytes. */
  read(place: number, from: number, to: number): Reading {
    const text = to - from > LONGEST_CELL ? '' : textOf(this.log, from, to);
    const known = this.known[place];
    let reading = known.get(text);
    if (reading === undefined) {
      reading = inColumnUnit(readReading(text, this.mark), this.channels[place]);
      if (known.size < REMEMBERED) known.set(text, reading);
    }
    if (reading.flag !== FLAG.good && text !== '') this.first[place] ??= this.oddCell(from, text);
    if (!reading.understood) this.count(place, from, text);
    return reading;
  }

  private oddCell(from: number, text: string): OddCell {
    return { file: this.log.file, line: lineAt(this.log.lines, from), text: text.slice(0, LONGEST_SHOWN) };
  }

  private count(place: number, from: number, text: string): void {
    this.garbled++;
    if (this.firstSaid !== '') return;
    const { text: shown, line } = this.oddCell(from, text);
    const what = this.log.format === 'text' ? 'line' : 'row';
    this.firstSaid = `"${shown}" in column "${this.channels[place].name}", ${what} ${line}`;
  }

  /** What a person should know about them. */
  said(): string[] {
    if (this.garbled === 0) return [];
    if (this.garbled === 1) return [`one cell makes no sense as a reading: ${this.firstSaid}`];
    return [`${this.garbled} cells make no sense as readings, the first ${this.firstSaid}`];
  }
}

/** Line, counted from 1, in which a byte stands. */
function lineAt(lines: Uint32Array, at: number): number {
  let low = 0;
  let high = lines.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (lines[middle] <= at) low = middle;
    else high = middle - 1;
  }
  return low + 1;
}

/** A cell that names another unit than its column (a display that changes its range) is converted. */
function inColumnUnit(reading: Reading, column: ColumnDescription): Reading {
  if (reading.suffix === '' || column.unit === '') return reading;
  const [here, there] = [findUnit(reading.suffix), findUnit(column.unit)];
  if (!here || !there || here.dimension !== there.dimension) {
    return { value: Number.NaN, flag: FLAG.missing, suffix: '', understood: false };
  }
  if (here.scale === there.scale && here.offset === there.offset) return reading;
  return { ...reading, value: (reading.value * here.scale + here.offset - there.offset) / there.scale };
}
