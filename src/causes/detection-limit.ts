import { ArgumentError } from '../errors';
import { type GaugeAtHand, gaugeTypeData, rangeState } from '../gauges';
import { requirePositive } from '../numerics';
import { formatNumber } from '../units';

/** What a rate-of-rise test is going to be made with. */
export interface PlannedTest {
  /** Isolated volume, m3. */
  readonly volumeM3: number;
  /** How long the valve stays shut (the dwell not counted), s. */
  readonly forS: number;
  /** Time between readings, s. */
  readonly everyS: number;
  /** Pressure at closing, Pa. */
  readonly startPa: number;
  /** Standard deviation of single readings, Pa. */
  readonly noisePa: number;
  /** Step of the display, Pa; 0 where absent. */
  readonly resolutionPa?: number;
  /** How far the gas temperature may drift during the test, K; 0.3 K per square root of hour where absent. */
  readonly driftK?: number;
  /** How far the gauge's zero may drift during the test, Pa; 0 where absent. */
  readonly zeroDriftPa?: number;
  /** First-order autocorrelation of the readings, 0 to below 1. */
  readonly autocorrelation?: number;
  /** The gauge, to see whether it is fit at all. */
  readonly gauge?: GaugeAtHand;
  /** The largest leak allowed, Pa m3/s: can this test show it? */
  readonly limitPaM3S?: number;
}

/** What the planned test can show. */
export interface DetectionLimit {
  /** Smallest leak that gauge and room would show 19 times in 20, with one false alarm in 20, without a load of the walls, Pa m3/s. */
  readonly leakPaM3S: number;
  /** Its standard uncertainties by source, Pa m3/s. */
  readonly from: Readonly<Record<'noise' | 'resolution' | 'temperature' | 'zero', number>>;
  /** Whether the gauge is fit from the start pressure to that at the end with a leak at the limit; null where none was named. */
  readonly gaugeFit: boolean | null;
  /** Whether a leak at the limit would be seen; null without a limit. */
  readonly showsLimit: boolean | null;
  /** Sentences: what limits it, what would help. */
  readonly notes: readonly string[];
}

/**
 * The smallest constant leak that a rate-of-rise test can show, before it is made:
 * limit = 3.29 V sqrt(u_noise^2 + u_resolution^2 + u_temperature^2 + u_zero^2), each u a standard uncertainty of the
 * slope; u_noise = (noise / T) sqrt(12 / n) sqrt((1 + r) / (1 - r)); u_temperature = p dT / (293 K sqrt 3 T).
 * Outgassing of the walls comes on top and may hide a leak of its own size.
 * @param test what it is made with
 * @returns limit, its parts, and whether the gauge is fit
 * @throws ArgumentError where a number is not positive or the test has fewer than 3 readings
 */
export function detectionLimit(test: PlannedTest): DetectionLimit {
  const volume = requirePositive('volume', test.volumeM3);
  const T = requirePositive('length of the test', test.forS);
  const every = requirePositive('time between readings', test.everyS);
  const start = requirePositive('pressure at closing', test.startPa);
  if (!(test.noisePa >= 0 && Number.isFinite(test.noisePa)))
    throw new ArgumentError('noise', test.noisePa, 'at least 0 Pa');
  const rho = test.autocorrelation ?? 0;
  if (!(rho >= 0 && rho < 1)) throw new ArgumentError('autocorrelation', rho, '0 to below 1');
  const n = Math.floor(T / every) + 1;
  if (n < 3) throw new ArgumentError('readings', n, 'at least 3 during the test');
  const step = test.resolutionPa ?? 0;
  const drift = test.driftK ?? 0.3 * Math.sqrt(T / 3600);
  const undithered = test.noisePa > 0.5 * step ? step / Math.sqrt(12 * n) : step / Math.sqrt(12);
  const from = {
    noise: ((volume * test.noisePa) / T) * Math.sqrt(12 / n) * Math.sqrt((1 + rho) / (1 - rho)),
    resolution: (volume * undithered * Math.SQRT2) / T,
    temperature: (volume * start * drift) / (293 * Math.sqrt(3) * T),
    zero: (volume * (test.zeroDriftPa ?? 0)) / (Math.sqrt(3) * T),
  };
  const leakPaM3S = 3.29 * Math.hypot(from.noise, from.resolution, from.temperature, from.zero);
  const notes: string[] = [];
  const [largest] = (Object.entries(from) as [keyof typeof from, number][]).sort((a, b) => b[1] - a[1]);
  notes.push(`what limits the test most is ${LIMITS[largest[0]]}; ${REMEDY[largest[0]]}`);
  const limit = test.limitPaM3S === undefined ? null : requirePositive('limit', test.limitPaM3S);
  const showsLimit = limit === null ? null : leakPaM3S <= limit;
  if (limit !== null && showsLimit === false) {
    const times = formatNumber(leakPaM3S / limit, 2);
    notes.push(
      `a leak at the limit is not seen: the smallest that shows is ${times} times the limit; make the test longer`,
    );
  } else if (limit !== null) {
    const rise = (limit * T) / volume;
    notes.push(
      `a leak at the limit makes ${formatNumber(rise, 2)} Pa, ${formatNumber(limit / leakPaM3S, 2)} times what is seen at least`,
    );
  }
  let gaugeFit: boolean | null = null;
  if (test.gauge !== undefined) {
    const endPa = start + ((limit ?? leakPaM3S) * T) / volume;
    const [atStart, atEnd] = [rangeState(test.gauge, start), rangeState(test.gauge, endPa)];
    gaugeFit = atStart === 'in range' && atEnd === 'in range';
    const { words, gasDependence } = gaugeTypeData(test.gauge.type);
    if (atStart !== 'in range') {
      notes.push(`the ${words} is ${atStart} at the pressure at closing: it cannot make this test`);
    } else if (!gaugeFit) {
      notes.push(
        `the ${words} is ${atEnd} at the end of the test (${formatNumber(endPa, 2)} Pa with a leak at the limit): make it shorter`,
      );
    }
    if (gasDependence === 'thermal') notes.push('water, the usual gas from walls, is read 1.4 to 2 times high');
  }
  notes.push(
    'this is the limit of gauge and room alone: walls give off gas as well, and a leak smaller than their load is parted from it only by repeated isolations, hours of pumping apart',
  );
  return { leakPaM3S, from, gaugeFit, showsLimit, notes };
}

const LIMITS: Readonly<Record<'noise' | 'resolution' | 'temperature' | 'zero', string>> = {
  noise: 'the noise of the gauge',
  resolution: 'the step of its display',
  temperature: 'the temperature of the room',
  zero: 'the drift of its zero',
};

const REMEDY: Readonly<Record<'noise' | 'resolution' | 'temperature' | 'zero', string>> = {
  noise: 'a longer test helps most (length to the power of one and a half)',
  resolution: 'a gauge with finer steps or a longer test helps',
  temperature: 'a lower pressure at closing helps, for the effect goes with the pressure',
  zero: 'a gauge with a steadier zero or a longer test helps',
};
