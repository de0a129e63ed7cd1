import { constantSpeedPump } from '../../src/flow';
import {
  evaporation,
  outgassing,
  passingGasFeed,
  passingToRunningPump,
  permeation,
  pumpBackstream,
  realLeak,
  takingSurface,
  trappedGas,
} from '../../src/gas-loads';
import { type Analysis, analyse } from '../../src/investigation';
import type { AnalyseOptions } from '../../src/investigation/analyse';
import { type BuiltInLoad, type SimulatedGauge, type SimulatedSystem, simulate } from '../../src/simulate';
import { formatInterval, formatNumber, quantity } from '../../src/units';

/** A record made to show one cause. */
interface Worked {
  readonly cause: string;
  /** What was built, in words, with its numbers. */
  readonly built: string;
  readonly loads: readonly BuiltInLoad[];
  readonly system?: Partial<SimulatedSystem>;
  readonly gauge?: Partial<SimulatedGauge>;
  readonly options?: AnalyseOptions;
  /** A person tells when the valve was shut: where nothing rises, no record shows it. */
  readonly told?: boolean;
  /** Real leak that was built in, Pa m3/s. */
  readonly leak?: number;
  /** What to see in it. */
  readonly lesson: string;
}

const VOLUME = 0.02;
const SPEED = 2e-3;

const walls = (load: number): BuiltInLoad => ({ load: outgassing(), parameters: [load, 1, 60, 1e-3, 0.13] });
const leak = (load: number): BuiltInLoad => ({ load: realLeak(), parameters: [load] });

/** One record for each cause; all 20 L, 2 L/s, a diaphragm gauge, three isolations of ten minutes at 0.5, 2 and 4 h. */
const WORKED: readonly Worked[] = [
  {
    cause: 'real leak',
    built: 'a leak of 1e-3 Pa m3/s and walls with 2e-4 Pa m3/s at one hour',
    loads: [leak(1e-3), walls(2e-4)],
    leak: 1e-3,
    lesson: 'The three rises are alike, and stay so after four hours of pumping.',
  },
  {
    cause: 'virtual leak',
    built: 'a blind hole of 2 mL behind a thread that empties it in 50 min, and walls with 1e-6 Pa m3/s at one hour',
    loads: [{ load: trappedGas('molecular'), parameters: [2e-6, 2e-6 / 3000, 101_325] }, walls(1e-6)],
    lesson: 'Each rise is smaller than the one before by the same factor for the same time, and bends.',
  },
  {
    cause: 'outgassing',
    built: 'walls with 1e-3 Pa m3/s at one hour, falling as one over the time pumped',
    loads: [walls(1e-3)],
    lesson: 'Twice the time pumped, half the load; a leak under it has an upper end, not a value.',
  },
  {
    cause: 'evaporation',
    built:
      'half a litre of water that is kept at room temperature and never runs dry: a puddle, or a cooling circuit that leaks',
    loads: [{ load: evaporation('water'), parameters: [1.5e-4, 40, 0.5, 293.15] }, walls(1e-4)],
    lesson: 'All rises end at the same pressure, that of water at the temperature of the vessel.',
  },
  {
    cause: 'permeation',
    built: 'seals through which 3e-4 Pa m3/s come, steady, and walls with 1e-4 Pa m3/s at one hour',
    loads: [{ load: permeation(), parameters: [3e-4, 1e4, 1e7, 0.04] }, walls(1e-4)],
    lesson: 'In one record permeation is a leak: the finding says so, and only another gas outside tells them apart.',
  },
  {
    cause: 'passing valve',
    built: 'a seat of 4e-5 m3/s to the running pump, and a leak of 1e-3 Pa m3/s',
    loads: [{ load: passingToRunningPump(), parameters: [4e-5, 0.5] }, leak(1e-3)],
    leak: 1e-3,
    lesson:
      'The rise levels off because the pump draws through the shut valve: the leak would look smaller than it is. A vapour has the same curve: vary the foreline pressure, and see whether the end of the rise follows.',
  },
  {
    cause: 'passing valve (gas feed)',
    built: 'a gas feed at 2 bar whose valve passes 6e-4 Pa m3/s',
    loads: [{ load: passingGasFeed(), parameters: [3e-9, 2e5] }, walls(1e-4)],
    lesson: 'A feed that passes is a leak from another bottle: blank it off and repeat.',
  },
  {
    cause: 'pump side',
    built:
      'a pump that reaches 8 Pa, where 1 Pa is wanted, and walls with 1e-5 Pa m3/s at one hour, read by heat conduction (a diaphragm that has shown atmosphere might have its zero off by as much)',
    loads: [{ load: pumpBackstream(), parameters: [SPEED, 8] }, walls(1e-5)],
    options: { target: quantity('1 Pa', 'pressure'), gauge: 'thermal' },
    lesson: 'Shut off, nothing rises: the chamber is in order, and what lies behind its valve is not.',
  },
  {
    cause: 'temperature',
    built: 'a tight vessel left at some 500 Pa, in a room that swings by 2 K within an hour',
    told: true,
    loads: [{ load: pumpBackstream(), parameters: [SPEED, 500] }],
    system: { temperature: { meanK: 294, swingK: 2, periodS: 3600, phase: 0.1 } },
    lesson: 'The pressure goes up and down with the room: record the temperature, or isolate at a lower pressure.',
  },
  {
    cause: 'sink',
    built: 'a surface that takes up gas at 1e-4 m3/s, on a vessel left at some 50 Pa',
    told: true,
    loads: [
      { load: pumpBackstream('water'), parameters: [SPEED, 50] },
      { load: takingSurface('water'), parameters: [1e-4, 1, 1e4] },
    ],
    lesson: 'The pressure falls while the valve is shut.',
  },
  {
    cause: 'measurement',
    built: 'walls with 1e-5 Pa m3/s at one hour, and a gauge whose zero is off by -0.4 Pa',
    loads: [walls(1e-5)],
    gauge: { zeroPa: -0.4 },
    lesson: 'A pressure below nothing is the zero of the gauge.',
  },
  {
    cause: 'none',
    built: 'walls with 5e-8 Pa m3/s at one hour: a system in order',
    told: true,
    loads: [walls(5e-8)],
    options: { target: quantity('1 Pa', 'pressure') },
    lesson:
      'Nothing rises by more than the gauge can show; the upper end of the leak is what the test was able to see.',
  },
];

function analysisOf(worked: Worked, seed: number): Analysis {
  const closings = [1800, 7200, 14_400];
  const { log } = simulate(
    {
      volumeM3: VOLUME,
      pump: constantSpeedPump(SPEED, 0.01),
      gasExchangeS: 5,
      temperature: { meanK: 293.15, swingK: 0.1, periodS: 4000 },
      ...worked.system,
      loads: worked.loads,
      gauges: [{ name: 'p', unit: 'Pa', noise: { relative: 3e-4, absolutePa: 0.01 }, stepPa: 0.002, ...worked.gauge }],
    },
    {
      durationS: 15_600,
      actions: [
        { atS: 30, do: 'open pump valve' },
        ...closings.flatMap((atS) => [
          { atS, do: 'close pump valve' as const },
          { atS: atS + 600, do: 'open pump valve' as const },
        ]),
      ],
    },
    { seed, stepS: 3, file: `${worked.cause}.csv` },
  );
  const volume = quantity('20 L ± 1 %', 'volume');
  const corrections = closings.flatMap((fromS, i) => [
    { kind: 'isolation' as const, fromS: fromS + 3, toS: fromS + 597, reason: 'valve shut by hand' },
    {
      kind: 'steady' as const,
      fromS: fromS + 660,
      toS: closings[i + 1] ?? 15_600,
      reason: 'pumped, no gas let in',
    },
  ]);
  return analyse(log, { volume, gauge: 'capacitance', ...(worked.told ? { corrections } : {}), ...worked.options });
}

const percent = (p: number): string => (p > 0.995 ? 'over 99 %' : p < 0.005 ? 'under 1 %' : `${Math.round(100 * p)} %`);

/** A line of the page on what the kit says. */
function saidOf({ finding }: Analysis): string[] {
  const [first] = finding.mainCause;
  const lines = [
    finding.isolationsJudged === 0
      ? 'verdict: undetermined: no isolation was found'
      : finding.verdict === 'undetermined'
        ? `verdict: undetermined (first ${first.cause}, ${percent(first.probability)})`
        : `verdict: ${finding.verdict} (${percent(first.probability)})`,
  ];
  const next = finding.mainCause.slice(1, 3).filter(({ probability }) => probability >= 0.02);
  if (finding.isolationsJudged > 0 && next.length > 0) {
    lines.push(`next: ${next.map(({ cause, probability }) => `${cause} ${percent(probability)}`).join(', ')}`);
  }
  if (finding.realLeak !== null) lines.push(`real leak: ${formatInterval(finding.realLeak, 'Pa m3/s')}`);
  for (const { cause, name, told } of finding.subCauses) {
    if (told !== 'speaks against') lines.push(`${cause}: ${name}: ${told}`);
  }
  if (finding.nextTest !== null) lines.push(`next test: ${finding.nextTest.what}`);
  return lines;
}

/**
 * The page `docs/worked-records.md`: a record made for each cause, what was built in, and what the kit says of it, right or wrong.
 * @returns the page
 */
export function workedRecordsPage(): string {
  const parts = WORKED.map((worked, i) => {
    const analysis = analysisOf(worked, 7000 + i);
    const rises = analysis.fits.isolations.map(({ rate }) => formatNumber(rate.value, 2)).join(', ');
    const truth = worked.leak === undefined ? 'no leak' : `a real leak of ${formatNumber(worked.leak, 2)} Pa m3/s`;
    return [
      `## ${worked.cause[0].toUpperCase()}${worked.cause.slice(1)}`,
      '',
      `Built in: ${worked.built}; ${truth}.${worked.told ? ' When the valve was shut, and that no gas was let in, was told by a person.' : ''} ${worked.lesson}`,
      '',
      '```',
      `mean rates of the isolations: ${rises === '' ? 'none was found' : `${rises} Pa/s`}`,
      ...saidOf(analysis),
      '```',
      '',
    ].join('\n');
  });
  return `# A worked record for each cause

Each record is simulated and **invented**: 20 L, a pump of 2 L/s, a diaphragm gauge, pumped from atmosphere, shut off for ten
minutes after half an hour, two and four hours. What was built in stands beside what the kit says of it, as it came out, right
or wrong. [How a verdict comes about](verdicts.md), and how often it is right on many records, is told there.

Made by \`UPDATE_DOCS=1 npx vitest run tests/causes/worked-records.test.ts\`; the same test fails when the kit says something else.

${parts.join('\n')}`;
}
