/**
 * The bench of the finding: seeded records with known truth through `findCauses`, and what came out of it.
 * Run with `npm run bench:causes`; options: --records N, --from SEED, --maker curves|apparatus (both where absent),
 * --through-segments, --verbose, --all, --examples.
 */
import { type CauseOptions, type Finding, findCauses } from '../../src/causes';
import { fitRecord, type RecordFits } from '../../src/fits';
import type { GaugeLog } from '../../src/log/gauge-log';
import { findSegments, type Segment, type SegmentedLog } from '../../src/segments';
import type { Quantity } from '../../src/units/quantity';
import { makeApparatusRecord } from './causes-apparatus';
import { type MadeRecord, makeRecord } from './causes-simulator';

/** The makers of records: one from curves with a third of foreign physics, one from an apparatus, all of it foreign. */
const MAKERS = { curves: makeRecord, apparatus: makeApparatusRecord } as const;
export type Maker = keyof typeof MAKERS;

export interface Outcome {
  readonly record: MadeRecord;
  readonly finding: Finding;
  readonly tookS: number;
}

export function toLog(record: MadeRecord): GaugeLog {
  const rows = record.timeS.length;
  return {
    file: `record-${record.seed}.csv`,
    sha256: '',
    description: {} as GaugeLog['description'],
    rows,
    start: null,
    time: record.timeS,
    timeNotes: [],
    channels: [
      {
        name: 'p',
        column: 2,
        quantity: 'pressure',
        unit: 'Pa',
        unitFrom: 'header',
        siUnit: 'Pa',
        values: record.reading,
        flags: record.flags,
        resolution: record.resolution,
      },
    ],
    remarks: [],
    assumptions: [],
    questions: [],
    leftOut: {},
  };
}

export function trueSegments(record: MadeRecord): SegmentedLog {
  const near = (at: number, step: number): number => {
    const some: number[] = [];
    for (let i = at; some.length < 3 && i >= 0 && i < record.reading.length; i += step) {
      if (record.flags[i] === 0) some.push(record.reading[i]);
    }
    return some.sort((a, b) => a - b)[some.length >> 1] ?? Number.NaN;
  };
  const segments = record.segments.map(
    (one): Segment => ({
      kind: one.kind as Segment['kind'],
      from: one.from,
      to: one.to,
      startS: record.timeS[one.from],
      endS: record.timeS[one.to],
      startPa: near(one.from, 1),
      endPa: near(one.to, -1),
      grounds: [],
      pumpSide: false,
    }),
  );
  return { channel: 'p', segments, events: [], corrections: [], notes: [] };
}

export function quantityOf(dimension: Quantity['dimension'], si: number, standardUncertainty: number): Quantity {
  return { dimension, si, standardUncertainty, unit: '', uncertaintyRead: 'k=1', assumptions: [] };
}

export function optionsOf(record: MadeRecord): CauseOptions {
  const volume = quantityOf('volume', record.volumeStatedM3, record.volumeStatedM3 * record.volumeRelative);
  const limit = quantityOf('throughput', record.limitPaM3S, 0);
  const target = record.targetPa === null ? {} : { target: quantityOf('pressure', record.targetPa, 0) };
  return { volume, gauge: record.gauge, limit, ...target };
}

const NO_FITS: RecordFits = {
  isolations: [],
  pumpDowns: [],
  loadBalance: null,
  conformity: null,
  volume: null,
  notes: [],
};

/**
 * One record through the finding.
 * @param seed of the record
 * @returns what came out; null where the log has not two good readings and is refused
 * @param throughSegments true: segments and fits are found as in a real log; false: the true segments are given
 * @param maker which maker of records
 */
export function runOne(seed: number, throughSegments: boolean, maker: Maker = 'curves'): Outcome | null {
  const record = MAKERS[maker](seed);
  const log = toLog(record);
  const good = record.flags.filter((flag, row) => flag === 0 && Number.isFinite(record.reading[row]));
  if (good.length < 10) return null;
  const segmented = throughSegments ? findSegments(log, { channel: 'p', gauge: record.gauge }) : trueSegments(record);
  const { volume, gauge } = optionsOf(record);
  const fits = throughSegments ? fitRecord(log, segmented, { volume, gauge }) : NO_FITS;
  // Processor time: what else runs on the machine does not count.
  const start = process.cpuUsage();
  const finding = findCauses(log, segmented, fits, optionsOf(record));
  const { user, system } = process.cpuUsage(start);
  const tookS = (user + system) / 1e6;
  return { record, finding, tookS };
}

const percent = (part: number, whole: number): string =>
  whole === 0 ? '   -  ' : `${((100 * part) / whole).toFixed(1).padStart(5)} %`;

function line(name: string, all: readonly Outcome[]): string {
  const committed = all.filter((one) => one.finding.verdict !== 'undetermined');
  const right = committed.filter((one) => isRight(one));
  const bounded = all.filter((one) => one.finding.realLeak !== null);
  const covered = bounded.filter(covers);
  const tight = all.filter((one) => one.record.leakPaM3S === 0);
  const alarms = tight.filter((one) => one.finding.verdict === 'real leak' || one.finding.conforms === 'no');
  const over = all.filter((one) => one.record.leakPaM3S > one.record.limitPaM3S);
  const wrongYes = over.filter((one) => one.finding.conforms === 'yes');
  const yes = all.filter((one) => one.finding.conforms === 'yes');
  const leaky = all.filter((one) => one.record.leakPaM3S > 0 && one.record.mainCauses[0] === 'real leak');
  const missed = leaky.filter((one) => one.finding.verdict !== 'real leak' && one.finding.verdict !== 'undetermined');
  return [
    name.padEnd(30),
    String(all.length).padStart(5),
    percent(right.length, committed.length),
    percent(all.length - committed.length, all.length),
    percent(covered.length, bounded.length),
    percent(alarms.length, tight.length),
    percent(missed.length, leaky.length),
    percent(wrongYes.length, over.length),
    percent(wrongYes.length, yes.length),
    percent(yes.length - wrongYes.length, all.length - over.length),
  ].join(' ');
}

function isRight(one: Outcome): boolean {
  return (one.record.mainCauses as readonly string[]).includes(one.finding.verdict);
}

/** Whether the finding could use two isolations at least. */
function several({ finding }: Outcome): boolean {
  return finding.isolationsJudged >= 2;
}

function covers(one: Outcome): boolean {
  const { realLeak } = one.finding;
  const truth = one.record.leakPaM3S;
  return realLeak !== null && realLeak.low <= truth * (1 + 1e-9) && truth <= realLeak.high;
}

function report(all: readonly Outcome[]): string {
  const head =
    'group                          count  right  undeterm. covered alarms missed wrongyes/over /yes  yes/within';
  const rows = [head, line('all', all)];
  const group = (name: string, test: (one: Outcome) => boolean): void => {
    rows.push(line(name, all.filter(test)));
  };
  group('two or more isolations', several);
  group('  fitted physics', (one) => several(one) && !one.record.foreign);
  group('  foreign physics', (one) => several(one) && one.record.foreign);
  group('  easy', (one) => several(one) && !one.record.hard);
  group('  hard', (one) => several(one) && one.record.hard);
  group('one isolation or none', (one) => !several(one));
  for (const kind of [...new Set(all.map((one) => one.record.what))].sort()) {
    group(`made as ${kind}`, (one) => one.record.what === kind);
  }
  for (const gauge of [...new Set(all.map((one) => one.record.gauge))].sort())
    group(gauge, (one) => one.record.gauge === gauge);
  for (const [low, high] of [
    [0, 0.5],
    [0.5, 1],
    [1, 2],
    [2, 100],
  ]) {
    group(`leak/limit ${low} to ${high}`, (one) => {
      const ratio = one.record.leakPaM3S / one.record.limitPaM3S;
      return ratio > low && ratio <= high;
    });
  }
  for (const [low, high] of [
    [0, 3],
    [3, 30],
    [30, 1e9],
  ]) {
    group(`leak/noise ${low} to ${high}`, (one) => {
      const ratio = one.record.leakPaM3S / one.record.noiseLeakPaM3S;
      return ratio > low && ratio <= high;
    });
  }
  rows.push('', 'reliability of the first cause: said, right, count');
  for (const [low, high] of [
    [0, 0.5],
    [0.5, 0.6],
    [0.6, 0.7],
    [0.7, 0.8],
    [0.8, 0.9],
    [0.9, 0.95],
    [0.95, 0.98],
    [0.98, 1.01],
  ]) {
    const bin = all.filter(
      (one) => one.finding.mainCause[0].probability >= low && one.finding.mainCause[0].probability < high,
    );
    const right = bin.filter((one) =>
      (one.record.mainCauses as readonly string[]).includes(one.finding.mainCause[0].cause),
    );
    const said = bin.reduce((sum, one) => sum + one.finding.mainCause[0].probability / bin.length, 0);
    rows.push(
      `${low} to ${Math.min(1, high)}  ${said.toFixed(3)}  ${percent(right.length, bin.length)}  ${bin.length}`,
    );
  }
  const times = all.map((one) => one.tookS).sort((a, b) => a - b);
  rows.push(
    '',
    `processor time per record: median ${times[times.length >> 1].toFixed(3)} s, 95 % ${times[Math.floor(times.length * 0.95)].toFixed(3)} s, longest ${times[times.length - 1].toFixed(3)} s`,
  );
  return rows.join('\n');
}

function confusion(all: readonly Outcome[]): string {
  const rows: string[] = [];
  for (const kind of [...new Set(all.map((one) => one.record.what))].sort()) {
    const counts = new Map<string, number>();
    for (const one of all.filter((o) => o.record.what === kind)) {
      const key = `${one.finding.verdict}${isRight(one) ? '' : one.finding.verdict === 'undetermined' ? '' : ' (!)'}`;
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
    rows.push(`${kind.padEnd(22)} ${[...counts].map(([k, c]) => `${k}: ${c}`).join(', ')}`);
  }
  return rows.join('\n');
}

/** One worked record for each kind, as rows of a table: what was made, what was found. */
function examples(all: readonly Outcome[]): string {
  const rows = [
    '| seed | made | true main cause | found | real leak, true, Pa m3/s | real leak, found, Pa m3/s | limit, Pa m3/s |',
    '| --- | --- | --- | --- | --- | --- | --- |',
  ];
  for (const kind of [...new Set(all.map((one) => one.record.what))].sort()) {
    const one = all.find((o) => o.record.what === kind && !o.record.hard && several(o));
    if (one === undefined) continue;
    const { record, finding } = one;
    const leak = finding.realLeak;
    rows.push(
      `| ${record.seed} | ${kind}, ${record.gauge}, ${record.isolations} isolations | ${record.mainCauses.join(' or ')} | ` +
        `${finding.verdict}: ${finding.mainCause
          .slice(0, 2)
          .map((c) => `${c.cause} ${c.probability.toFixed(2)}`)
          .join(', ')} | ` +
        `${record.leakPaM3S.toExponential(1)} | ${leak ? `${leak.low.toExponential(1)} to ${leak.high.toExponential(1)}` : 'none'} | ` +
        `${record.limitPaM3S.toExponential(1)}: ${finding.conforms} |`,
    );
  }
  return rows.join('\n');
}

function main(): void {
  const argument = (name: string, fallback: number): number => {
    const at = process.argv.indexOf(name);
    return at < 0 ? fallback : Number(process.argv[at + 1]);
  };
  const count = argument('--records', 1200);
  const from = argument('--from', 1);
  const throughSegments = process.argv.includes('--through-segments');
  const verbose = process.argv.includes('--verbose');
  const given = process.argv.indexOf('--maker');
  const makers = given < 0 ? (Object.keys(MAKERS) as Maker[]) : [process.argv[given + 1] as Maker];
  for (const maker of makers) {
    console.log(`\n# records made from ${maker}, ${count} from seed ${from}`);
    runMaker(maker, count, from, throughSegments, verbose);
  }
}

function runMaker(maker: Maker, count: number, from: number, throughSegments: boolean, verbose: boolean): void {
  const all: Outcome[] = [];
  let refused = 0;
  for (let seed = from; seed < from + count; seed++) {
    const one = runOne(seed, throughSegments, maker);
    if (one === null) {
      refused++;
      continue;
    }
    all.push(one);
    const { record, finding } = one;
    const bad = finding.verdict !== 'undetermined' && !isRight(one);
    const wrongYes = finding.conforms === 'yes' && record.leakPaM3S > record.limitPaM3S;
    if (verbose && (bad || wrongYes || !covers(one) || process.argv.includes('--all'))) {
      const leak = finding.realLeak;
      console.log(
        `${seed} ${record.what} n=${record.isolations}${record.foreign ? ' foreign' : ''}${record.hard ? ' hard' : ''} ${record.gauge}` +
          ` true=${record.mainCauses.join('/')} leak=${record.leakPaM3S.toExponential(2)} limit=${record.limitPaM3S.toExponential(2)}` +
          ` -> ${bad ? 'BAD ' : ''}${finding.mainCause
            .slice(0, 3)
            .map((c) => `${c.cause} ${c.probability.toFixed(2)}`)
            .join(', ')}` +
          ` leak ${leak ? [leak.low, leak.value, leak.high].map((x) => x.toExponential(2)).join(' ') : '-'}${covers(one) ? '' : ' UNCOVERED'}` +
          ` ${finding.conforms}${wrongYes ? ' WRONGYES' : ''} | ${finding.grounds[2]}`,
      );
    }
  }
  console.log(report(all));
  if (refused > 0) console.log(`${refused} records without ten good readings were left out`);
  if (process.argv.includes('--examples')) console.log(`\n${examples(all)}`);
  console.log(`\nverdicts by what was made\n${confusion(all)}`);
}

if (process.argv[1]?.endsWith('bench.js') || process.argv[1]?.endsWith('causes.js')) main();
