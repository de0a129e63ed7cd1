import type { GaugeLog } from '../log/gauge-log';
import * as elementary from '../numerics/elementary';
import type { Estimate } from '../numerics/estimate';
import type { Segment } from '../segments/segment';
import { formatInterval } from '../units/format-quantity';
import type { LoadBalance, PumpDown, RateOfRise } from './results';
import { channelNamed, goodRows } from './rise-readings';

/** Readings after the valve opens again that show how fast the chamber is pumped. */
const RECOVERY_ROWS = 60;
/** Least relative standard uncertainty of a speed over volume taken from another pressure or valve position. */
const ELSEWHERE = 0.3;

/**
 * Asks whether the load found in isolation explains the steady pressure before it: load over effective speed equals the
 * rate of rise over the speed per volume, p = (dp/dt) / (S/V), so that no volume is needed. The speed per volume is
 * that of the recovery after the valve opens again, else that of the decade of a pump-down next to the steady pressure.
 * @param log the log
 * @param rise the rate of rise of an isolation
 * @param pumpDowns the pump-downs of the same channel
 * @param unit unit of pressure for the sentence
 * @returns the balance, or null where the pressure before closing or a speed is not in the log
 * @throws ArgumentError where the log has no such channel; QuantityError where the unit is unknown
 */
export function balanceLoad(
  log: GaugeLog,
  rise: RateOfRise,
  pumpDowns: readonly PumpDown[],
  unit = 'Pa',
): LoadBalance | null {
  const steady = pressureBefore(log, rise);
  if (steady === null) return null;
  const speed = recovery(log, rise, steady.value) ?? nearestDecade(rise.segment, pumpDowns, steady.value);
  if (speed === null || !(speed.rate.value > 0)) return null;
  const { rate } = speed;
  const value = rise.initialRate.value / rate.value;
  const relative = Math.hypot(relativeHalf(rise.initialRate), relativeHalf(rate));
  const spread = elementary.exp(Math.min(5, relative));
  const explained: Estimate =
    value > 0 ? { value, low: value / spread, high: value * spread } : { value, low: value, high: 0 };
  const ratio = {
    low: explained.low / steady.high,
    high: explained.high / Math.max(steady.low, Number.MIN_VALUE),
  };
  const explains = ratio.high < 0.5 ? 'no' : ratio.low > 0.5 ? 'yes' : 'open';
  const share = (100 * explained.value) / steady.value;
  const words = {
    no: 'it does not explain it: look at the pump side, or at the zero of the gauge',
    yes: 'the gas load explains it: the pump does what it can',
    open: 'this leaves open whether the load alone makes it',
  }[explains];
  const text =
    `the load found in isolation over the pumping speed makes ${formatInterval(explained, unit)}, ` +
    `${share < 1 ? 'less than 1' : share.toFixed(0)} % of the ${formatInterval(steady, unit)} read before closing; ${words}`;
  return { steadyPa: steady, explainedPa: explained, explains, text, ratePerS: rate, from: speed.from };
}

/** Half of the 95 % interval over the value. */
function relativeHalf(e: Estimate): number {
  return e.value === 0 ? Number.POSITIVE_INFINITY : (e.high - e.low) / (2 * Math.abs(e.value));
}

/** Level of the last readings before the isolation; null where it follows nothing pumped. */
function pressureBefore(log: GaugeLog, rise: RateOfRise): Estimate | null {
  const channel = channelNamed(log, rise.channel);
  const { from } = rise.segment;
  const rows = goodRows(channel, Math.max(0, from - 12), from - 1);
  if (rows.length < 2) return null;
  const values = Float64Array.from(rows, (row) => channel.values[row]).sort();
  const value = values[values.length >> 1];
  // A pressure that still fell fast says nothing about a balance.
  const before = channel.values[rows[0]];
  if (!(value > 0) || before > 3 * value) return null;
  const half = channel.resolution / 2;
  return { value, low: Math.max(0, values[0] - half), high: values[values.length - 1] + half };
}

interface Speed {
  readonly rate: Estimate;
  readonly from: string;
}

/** Speed over volume from the fall after the valve opens again: ln(p - steady) against time. */
function recovery(log: GaugeLog, rise: RateOfRise, steadyPa: number): Speed | null {
  const channel = channelNamed(log, rise.channel);
  const to = rise.segment.to;
  const rows = goodRows(channel, to, Math.min(log.rows - 1, to + RECOVERY_ROWS));
  const top = channel.values[rows[0]] - steadyPa;
  if (rows.length < 3 || !(top > 10 * channel.resolution)) return null;
  const points: [number, number][] = [];
  for (let i = 1; i < rows.length; i++) {
    const excess = channel.values[rows[i]] - steadyPa;
    if (points.length > 0 && elementary.log(excess) >= points[points.length - 1][1]) break;
    if (!(excess > 0.1 * top) || excess > 0.95 * top) {
      if (points.length > 0) break;
      continue;
    }
    points.push([log.time[rows[i]], elementary.log(excess)]);
  }
  if (points.length < 2) return null;
  const rates: number[] = [];
  for (let i = 1; i < points.length; i++) {
    rates.push((points[i - 1][1] - points[i][1]) / (points[i][0] - points[i - 1][0]));
  }
  const value = (points[0][1] - points[points.length - 1][1]) / (points[points.length - 1][0] - points[0][0]);
  if (!(value > 0)) return null;
  const spread = Math.max(0.2, (Math.max(...rates) - Math.min(...rates)) / value / 2);
  return {
    rate: { value, low: value / (1 + spread), high: value * (1 + spread) },
    from: `fall after the isolation, ${points.length} readings`,
  };
}

/** Speed over volume of the decade of pressure that lies next to the steady pressure. */
function nearestDecade(segment: Segment, pumpDowns: readonly PumpDown[], steadyPa: number): Speed | null {
  let best: Speed | null = null;
  let nearest = Number.POSITIVE_INFINITY;
  for (const pumpDown of pumpDowns) {
    const apart = Math.abs(pumpDown.segment.endS - segment.startS) / 86400;
    for (const decade of pumpDown.byDecade) {
      const away = Math.abs(elementary.log10(decade.toPa / steadyPa)) + 0.01 * apart;
      if (!(decade.ratePerS.value > 0) || away >= nearest) continue;
      nearest = away;
      const { value } = decade.ratePerS;
      const relative = Math.hypot(relativeHalf(decade.ratePerS), 2 * ELSEWHERE);
      best = {
        rate: { value, low: value * elementary.exp(-relative), high: value * elementary.exp(relative) },
        from: `pump-down at ${pumpDown.segment.startS.toFixed(0)} s, nearest decade`,
      };
    }
  }
  return best;
}
