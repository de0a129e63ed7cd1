/** Segments and models -> fits: rates of rise, gas loads, pump-downs, volumes, limits. */

export { GAUGE_PRINCIPLES, type GaugePrinciple, type GaugeScale, gaugeScale } from '../gauges';
export { type Judged, type JudgeOptions, judge } from './conformity';
export type { FitOptions, KnownFill } from './fit-options';
export { fitRecord, judgedIsolation, volumeOfFill } from './fit-record';
export { type Limit, parseLimit } from './limit';
export { balanceLoad } from './load-balance';
export { fitPumpDown } from './pump-down';
export { type RateAfterPumping, rateExponent } from './rate-exponent';
export { fitRateOfRise } from './rate-of-rise';
export * from './results';
export { runningIsolation } from './running-isolation';
export { fitTail, type TailFit, tailAt } from './tail';
export {
  flowZero,
  givenVolume,
  type KnownFlow,
  type Measured,
  substituteReferenceLeak,
  volumeFromExpansion,
  volumeFromFill,
  volumeFromReferenceLeak,
} from './volume';
