import { caution } from './cautions';
import type { Cause, RankedCause, SubCause } from './finding';
import type { GasEvidence } from './gas-evidence';
import type { PumpedShelf } from './pumped-shelves';
import type { Plateau } from './recognise-plateau';
import type { RecordEvidence } from './record-evidence';
import type { Weighing } from './weigh-hypotheses';

/** What of the record is asked about sub-causes. */
export interface SubCauseClues {
  readonly evidence: RecordEvidence;
  readonly weighing: Weighing;
  readonly gas: GasEvidence | null;
  readonly plateaus: readonly Plateau[];
  readonly shelves: readonly PumpedShelf[];
}

/** A cause is taken apart from this probability on. */
const WORTH = 0.1;

type Told = SubCause['told'];

/** A sub-cause before it is held against the record: the next test that tells it apart (common practice, no source). */
interface Kind {
  readonly name: string;
  readonly nextTest: string;
  readonly needs: readonly string[];
}

const WARM_PUMP = 'pump warm, its exhaust open and led away, a gauge between pump and blank';

const PUMP: Readonly<Record<'ballast' | 'vapour' | 'worn' | 'choked' | 'foreline', Kind>> = {
  ballast: {
    name: 'gas ballast open, or its valve passes',
    nextTest:
      'blank the pump off at its inlet; shut the ballast, read ten minutes, open it, read again: no change, and its valve passes',
    needs: [WARM_PUMP],
  },
  vapour: {
    name: 'vapour in the oil (water or solvent held in it, given off slowly)',
    nextTest:
      'blank the pump off, run it with the ballast open for an hour, shut it and read again: lower, and it was vapour',
    needs: [WARM_PUMP, 'exhaust led away: what comes out may be toxic or burn'],
  },
  worn: {
    name: 'pump worn, or its oil old',
    nextTest: 'change the oil, blank the pump off, ballast shut: still above what it reached new, and it is worn',
    needs: ['pump off, cooled and locked before it is opened; used oil is hazardous waste', WARM_PUMP],
  },
  choked: {
    name: 'line to the pump choked: filter, trap, valve not fully open',
    nextTest:
      'read a gauge at the pump and one at the chamber at the same time: far apart while pumped, and the line between chokes',
    needs: ['both gauges compared with each other before', 'valves as in use: nothing is shut'],
  },
  foreline: {
    name: 'leak on the foreline or at the pump',
    nextTest: 'shut the foreline at both ends and watch it rise; then tracer gas on its joints',
    needs: [caution('filament'), 'tracer gas displaces air: ventilate'],
  },
};

/** Relative fall per hour of a steady pressure that oil giving off its vapour shows at least (judgement). */
const FALLS_PER_HOUR = 0.03;

/**
 * The sub-causes of what may be the main cause, and what the record says of each: what fits it, what speaks against it, or
 * that this record does not separate them, with the test that would.
 * @param mainCause the ranked causes
 * @param clues what the record shows
 * @returns sub-causes of the causes with at least 10 %, in the order of these
 */
export function subCausesOf(mainCause: readonly RankedCause[], clues: SubCauseClues): SubCause[] {
  return mainCause
    .filter(({ probability }) => probability >= WORTH)
    .flatMap(({ cause }) => (cause === 'pump side' ? pumpSide(clues) : cause === 'evaporation' ? vapours(clues) : []));
}

function said(cause: Cause, kind: Kind, told: Told, why: string): SubCause {
  return { cause, told, why, name: kind.name, nextTest: kind.nextTest, needs: kind.needs };
}

function pumpSide(clues: SubCauseClues): SubCause[] {
  const trend = steadyTrend(clues.evidence);
  const water = clues.gas !== null && clues.gas.disagreement === null && clues.gas.level > 1.35;
  const air = clues.gas !== null && clues.gas.disagreement === null && clues.gas.level < 1.15;
  const falls = trend !== null && trend.perHour < -FALLS_PER_HOUR && Math.abs(trend.perHour) > 3 * trend.u;
  const still = trend !== null && !falls && trend.u < FALLS_PER_HOUR;
  const moves = trend === null ? '' : ` (${(100 * trend.perHour).toPrecision(2)} % per hour while pumped)`;
  const gasSays = water
    ? 'the two gauges show water vapour while pumped'
    : air
      ? 'the two gauges show air or the like while pumped'
      : '';
  const steady = (withAir: string): [Told, string] =>
    falls
      ? ['speaks against', `the pressure still falls slowly${moves}; this one would hold it`]
      : water
        ? ['speaks against', gasSays]
        : still && air
          ? ['fits', `the pressure stands still${moves}, and ${gasSays}; ${withAir}`]
          : [
              'not separated',
              still ? `the pressure stands still${moves}, as all but vapour in the oil let it` : UNSEEN,
            ];
  const vapour: [Told, string] =
    falls || water
      ? [
          'fits',
          [
            falls ? `the pressure still falls slowly${moves}, as oil that gives off vapour does` : '',
            water ? gasSays : '',
          ]
            .filter(Boolean)
            .join('; '),
        ]
      : still
        ? ['speaks against', `the pressure stands still${moves}; oil that gives off vapour clears slowly`]
        : ['not separated', UNSEEN];
  const worn: [Told, string] =
    falls || water ? ['not separated', 'may stand beside vapour in the oil'] : ['not separated', UNSEEN];
  const speed = clues.evidence.pumping;
  const choked: [Told, string] =
    speed === null
      ? ['not separated', 'no pump-down shows the speed']
      : [
          'not separated',
          `speed over volume is ${speed.perS.toPrecision(2)} per second; hold it against the pump's own speed and the healthy record`,
        ];
  return [
    said('pump side', PUMP.vapour, ...vapour),
    said('pump side', PUMP.ballast, ...steady('so would a leak on the foreline')),
    said('pump side', PUMP.foreline, ...steady('so would an open ballast')),
    said('pump side', PUMP.worn, ...worn),
    said('pump side', PUMP.choked, ...choked),
  ];
}

const UNSEEN = 'nothing in this record tells it apart';

/** How a steady pressure drifts while pumped, relative per hour, over the longest pumped stretch after its first half. */
function steadyTrend(evidence: RecordEvidence): { readonly perHour: number; readonly u: number } | null {
  const span = (one: RecordEvidence['pumped'][number]): number => one.timeS[one.timeS.length - 1] - one.timeS[0];
  const longest = [...evidence.pumped].sort((a, b) => span(b) - span(a))[0];
  if (longest === undefined || longest.pa.length < 5) return null;
  const from = longest.pa.length >> 1;
  const [t, p, sd] = [longest.timeS, longest.pa, longest.sd].map((column) => column.subarray(from));
  let [w, mt, mp] = [0, 0, 0];
  for (let i = 0; i < t.length; i++) {
    const weight = 1 / sd[i] ** 2;
    w += weight;
    mt += weight * t[i];
    mp += weight * p[i];
  }
  let [tt, tp] = [0, 0];
  for (let i = 0; i < t.length; i++) {
    const weight = 1 / sd[i] ** 2;
    tt += weight * (t[i] - mt / w) ** 2;
    tp += weight * (t[i] - mt / w) * (p[i] - mp / w);
  }
  const level = mp / w;
  if (!(tt > 0) || !(level > 0)) return null;
  let misfit = 0;
  for (let i = 0; i < t.length; i++) misfit += ((p[i] - level - (tp / tt) * (t[i] - mt / w)) / sd[i]) ** 2;
  const widen = Math.sqrt(Math.max(1, misfit / Math.max(1, t.length - 2)));
  return { perHour: ((tp / tt) * 3600) / level, u: (widen * 3600) / (Math.sqrt(tt) * level) };
}

const VAPOUR: Readonly<Record<'liquid' | 'dries' | 'frozen' | 'warming' | 'steam' | 'oil', Kind>> = {
  liquid: {
    name: 'a liquid that is still there (puddle, wet sample, solvent)',
    nextTest: 'pump until the rise no longer comes back to the same pressure; then isolate again',
    needs: [caution('closed'), caution('warm')],
  },
  dries: {
    name: 'a liquid or ice that has run dry',
    nextTest: 'isolate once more: a load of another kind is what is left',
    needs: [caution('closed')],
  },
  frozen: {
    name: 'water that has cooled itself and frozen',
    nextTest:
      'let dry gas in to some hundred pascal so that it thaws, then pump with the ballast open, and look for the step when it is dry',
    needs: [
      'dry gas, flow and pressure regulated, relief device in place',
      caution('filament'),
      caution('closed'),
      caution('warm'),
      'exhaust led away: what comes out may be toxic or burn',
    ],
  },
  warming: {
    name: 'ice or a liquid on a warm shelf, kept cold only by its evaporation',
    nextTest:
      'isolate for a shorter time and read the shelf beside it: the end pressure is that of the ice at its temperature',
    needs: [caution('closed')],
  },
  steam: {
    name: 'steam or water from a cooling circuit that leaks (never runs dry)',
    nextTest: 'shut the cooling water off, let its circuit empty, and repeat the isolation: does the load run dry now?',
    needs: ['heaters and hot parts off before their cooling is', caution('closed')],
  },
  oil: {
    name: 'water held in oil or grease, given off slowly',
    nextTest:
      'pump for some hours with the ballast open and repeat: the end pressure falls bit by bit, that of a liquid stays',
    needs: [caution('closed'), 'exhaust led away: what comes out may be toxic or burn'],
  },
};

function vapours({ evidence, weighing, plateaus, shelves }: SubCauseClues): SubCause[] {
  const share = (source: string): number =>
    weighing.draws.reduce((sum, one) => sum + (one.hypothesis.sources.some((s) => s === source) ? one.weight : 0), 0);
  const stays = share('vapour') + share('cooled vapour');
  const [fades, dries, warms] = [share('fading vapour'), share('drying vapour'), share('warming vapour')];
  const all = stays + fades + dries + warms;
  const told = (part: number): Told =>
    part > 0.8 * all ? 'fits' : part < 0.05 * all ? 'speaks against' : 'not separated';
  const plateau = plateaus[plateaus.length - 1];
  const repeats = plateaus.length > 1 ? `, ${plateaus.length} times` : '';
  const level =
    plateau === undefined
      ? 'no rise comes to its end'
      : `the rise ends near ${plateau.pa.value.toPrecision(3)} Pa${repeats}`;
  const frozen = shelves.find(({ freezing }) => freezing);
  const low = plateau !== undefined && plateau.pa.value < 100;
  const found = [
    said('evaporation', VAPOUR.liquid, told(stays), level),
    said(
      'evaporation',
      VAPOUR.steam,
      told(stays) === 'fits' ? 'not separated' : told(stays),
      `${level}; a circuit that leaks looks like a liquid that never runs dry`,
    ),
    said('evaporation', VAPOUR.dries, told(dries), dries > 0.8 * all ? 'the load stops within the record' : level),
    said(
      'evaporation',
      VAPOUR.warming,
      told(warms),
      warms > 0.8 * all ? 'the rise bends upwards' : 'the rise does not bend upwards beyond doubt',
    ),
    said(
      'evaporation',
      VAPOUR.oil,
      fades > 0.8 * all || low
        ? 'fits'
        : plateau === undefined || fades > 0.05 * all
          ? 'not separated'
          : 'speaks against',
      fades > 0.8 * all
        ? 'each rise ends lower than the one before'
        : low
          ? `${level}, far below any liquid near room temperature`
          : level,
    ),
  ];
  if (frozen !== undefined) found.push(said('evaporation', VAPOUR.frozen, 'fits', frozen.text));
  else if (evidence.isolations.length > 0 && shelves.length === 0) {
    found.push(said('evaporation', VAPOUR.frozen, 'not separated', 'no pump-down stands still at 611 Pa'));
  }
  return found.sort((a, b) => ORDER.indexOf(a.told) - ORDER.indexOf(b.told));
}

const ORDER: readonly Told[] = ['fits', 'not separated', 'speaks against'];
