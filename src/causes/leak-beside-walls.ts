import { ArgumentError } from '../errors';
import { requirePositive } from '../numerics';
import * as elementary from '../numerics/elementary';
import { formatNumber } from '../units';

/** Isolations that are planned beside walls that give off gas. */
export interface PlannedIsolations {
  /** What the walls give off now, Pa m3/s: at most the load found, for a leak may be in it. */
  readonly loadPaM3S: number;
  /** Time pumped until that load was found, s. */
  readonly agedS: number;
  /** Time pumped at each isolation, those made and those planned, s. */
  readonly isolatedAtS: readonly number[];
  /** Smallest leak that gauge and room would show in one of them, Pa m3/s ({@link detectionLimit}). */
  readonly withoutWallsPaM3S: number;
}

/** What they can show. */
export interface LeakBesideWalls {
  /** Smallest leak that they tell from the walls 19 times in 20, with one false alarm in 20, Pa m3/s. */
  readonly leakPaM3S: number;
  /** In words: what it rests on, what would help. */
  readonly note: string;
}

/** Loads of walls fall as a power of the time pumped: 0.93 with this standard uncertainty, as in the finding. */
const EXPONENT = 0.93;
const EXPONENT_SD = 0.22;
/** Planned with walls that fall one standard uncertainty more slowly: by the middle, one test in ten feigns a leak. */
const SLOW = EXPONENT - EXPONENT_SD;
/** By so much of itself a load of walls strays from that law between isolations, by the room's temperature for one. */
const STRAYS = 0.06;
/** 1.645 standard uncertainties against a false alarm and as many against a miss. */
const BOTH_SIDES = 3.29;

/**
 * The smallest constant leak L that repeated isolations can tell from walls that give off W (t / t1)^-a: limit =
 * 3.29 u(L) with u(L) from the inverse of the information on L, ln W and a, where each load has the uncertainty of gauge
 * and room and 6 % of itself, and a is known to 0.93 +- 0.22 beforehand (planned with 0.71). One isolation cannot part them: then, and at
 * most, it is the load itself.
 * @param plan the walls' load and when the valve is shut
 * @returns the smallest leak and a note
 * @throws ArgumentError where a number is not positive or no isolation is planned
 */
export function leakBesideWalls(plan: PlannedIsolations): LeakBesideWalls {
  const load = requirePositive('load of the walls', plan.loadPaM3S);
  const aged = requirePositive('time pumped', plan.agedS);
  const alone = requirePositive('smallest leak without walls', plan.withoutWallsPaM3S) / BOTH_SIDES;
  if (plan.isolatedAtS.length === 0) throw new ArgumentError('isolations', 0, 'at least one');
  // Information on ln W and the exponent (2 x 2), theirs with the leak, and the leak's own.
  let [ww, wa, aa] = [1e-4, 0, 1 / EXPONENT_SD ** 2];
  let [lw, la, ll] = [0, 0, 0];
  for (const at of plan.isolatedAtS) {
    const later = elementary.log(requirePositive('time pumped at an isolation', at) / aged);
    const wall = load * elementary.exp(-SLOW * later);
    const weight = 1 / (alone ** 2 + (STRAYS * wall) ** 2);
    const [byW, byA] = [wall, -wall * later];
    ww += weight * byW * byW;
    wa += weight * byW * byA;
    aa += weight * byA * byA;
    lw += weight * byW;
    la += weight * byA;
    ll += weight;
  }
  const determinant = ww * aa - wa * wa;
  const shared = (aa * lw * lw - 2 * wa * lw * la + ww * la * la) / determinant;
  const information = Math.max(ll - shared, 0);
  const byLaw = information > 0 ? BOTH_SIDES / Math.sqrt(information) : Infinity;
  const leakPaM3S = Math.max(Math.min(byLaw, load), plan.withoutWallsPaM3S);
  return { leakPaM3S, note: noteOf(leakPaM3S, load, plan) };
}

function noteOf(leak: number, load: number, { isolatedAtS, withoutWallsPaM3S }: PlannedIsolations): string {
  const first = Math.min(...isolatedAtS);
  const times = formatNumber(Math.max(...isolatedAtS) / first, 2);
  if (leak <= withoutWallsPaM3S) return 'the walls hide nothing more: gauge and room limit it';
  const part = `${formatNumber((100 * leak) / load, 2)} % of the load of the walls`;
  if (leak >= load) {
    return isolatedAtS.length === 1
      ? 'as large as the load: one isolation does not part walls and leak; repeat it after pumping several times as long'
      : `as large as the load: pumping ${times} times as long between the isolations is too little`;
  }
  return `${part}, with the time pumped growing ${times} times between the isolations; more of it shows a smaller leak`;
}
