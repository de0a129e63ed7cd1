import { findUnit } from '../units';
import type { ColumnDescription } from './description';
import { FLAG } from './gauge-log';
import { type LogText, textOf } from './open-log';
import { type Reading, readReading } from './reading-text';

/** More distinct odd cells than this are read anew each time. */
const REMEMBERED = 5000;
const LONGEST_CELL = 200;

/** Cells that are no plain number: words, bounds, units in cells. Each different text is read once. */
export class OddCells {
  private readonly known: Map<string, Reading>[];
  private garbled = 0;
  private firstGarbled = '';

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
    if (!reading.understood) {
      if (this.garbled === 0) this.firstGarbled = `"${text.slice(0, 40)}" in column "${this.channels[place].name}"`;
      this.garbled++;
    }
    return reading;
  }

  /** What a person should know about them. */
  said(): string[] {
    if (this.garbled === 0) return [];
    return [`${this.garbled} cells make no sense as readings, the first ${this.firstGarbled}`];
  }
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
