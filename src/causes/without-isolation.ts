import type { Segment } from '../segments/segment';
import type { CauseOptions } from './cause-options';
import { caution } from './cautions';
import { CAUSES, type Finding } from './finding';
import { type GasEvidence, gasSentences } from './gas-evidence';
import type { PumpedShelf } from './pumped-shelves';
import type { RecordEvidence } from './record-evidence';

/**
 * The finding where no isolation can be used: nothing about loads can be said.
 * @param evidence the thinned record
 * @param options what is known besides
 * @param gas what two gauges show, or null
 * @param shelves where the pressure stood still while pumped
 * @param segments what was found in the log
 */
export function findingWithoutIsolation(
  evidence: RecordEvidence,
  options: CauseOptions,
  gas: GasEvidence | null,
  shelves: readonly PumpedShelf[],
  segments: readonly Segment[],
): Finding {
  const target = options.target?.si ?? null;
  const steady = evidence.steadyPa;
  const above = target !== null && steady !== null && steady > 1.05 * target;
  return {
    verdict: 'undetermined',
    isolationsJudged: 0,
    mainCause: CAUSES.map((cause) => ({ cause, probability: 1 / CAUSES.length })),
    present: [],
    subCauses: [],
    realLeak: null,
    conforms: options.limit === undefined ? null : 'inconclusive',
    rule: options.limit === undefined ? null : 'without an isolation no load is known',
    grounds: [
      ...(evidence.unusable.length === 0
        ? [
            'no isolation was found: the chamber was never shut off and left alone, or nothing rose while it was; so the gas load is not known and no cause can be named',
            ...shutUnseen(segments),
          ]
        : ['no isolation can be used, so the gas load is not known and no cause can be named']),
      ...(above
        ? ['the pressure stays above the target, and without an isolation pump and load cannot be told apart']
        : []),
      ...evidence.unusable,
      ...(gas === null ? [] : gasSentences(gas)),
      ...shelves.map(({ text }) => text),
    ],
    nextTest: {
      what: 'shut the valve between pump and chamber and record the pressure for ten minutes, then pump again and repeat',
      forS: 600,
      needs: [
        'the gauge on the chamber side of the valve',
        caution('closed'),
        'the gauge must not reach the top of its range',
      ],
      settles: ['real leak', 'outgassing', 'pump side'],
      expectedGain: null,
    },
    otherTests: [],
    whatToDo: [],
    cautions: [caution('trap'), caution('local')],
  };
}

/** A chamber that is shut and tight looks like one that is pumped: only the person who shut it knows. */
function shutUnseen(segments: readonly Segment[]): string[] {
  const still = segments
    .filter(({ kind }) => kind === 'steady')
    .reduce<Segment | null>((best, one) => (best === null || lengthOf(one) > lengthOf(best) ? one : best), null);
  if (still === null) return [];
  const between = `from ${Math.round(still.startS)} s to ${Math.round(still.endS)} s`;
  return [
    `the pressure stands still ${between}: if the valve to the pump was shut in that time, say when in a correction ("isolation ${between}: valve shut by hand", see docs/segments.md); an upper limit of the real leak follows`,
  ];
}

function lengthOf({ startS, endS }: Segment): number {
  return endS - startS;
}
