import { evaporationHeat, substanceNamed, vapourPressure } from '../gases';
import * as elementary from '../numerics/elementary';
import { GAS_CONSTANT } from '../units';

/** A saturation curve that holds at every temperature. */
export interface SaturationCurve {
  /** Pressure at a temperature (K), Pa. */
  readonly pressure: (temperatureK: number) => number;
  /** Heat of evaporation at room temperature or at the nearest end of the law, J/mol. */
  readonly heatPerMol: number;
}

/**
 * Saturation pressure for simulation: the law of the substance inside its range, beyond it continued with the heat of
 * evaporation at the end of the range (Clausius-Clapeyron), because a liquid that cools itself leaves the range. Water
 * goes over to ice below the triple point.
 * @param name substance, such as `water` or `acetone`
 * @returns the curve
 * @throws ArgumentError where the substance is unknown
 * @source as `vapourPressure`; continued by Clausius and Clapeyron
 */
export function saturationCurve(name: string): SaturationCurve {
  if (name === 'water' || name === 'ice') {
    const water = lawWithEnds('water');
    const ice = lawWithEnds('ice');
    return { pressure: (t) => (t < 273.16 ? ice : water).pressure(t), heatPerMol: water.heatPerMol };
  }
  return lawWithEnds(name);
}

function lawWithEnds(name: string): SaturationCurve {
  const substance = substanceNamed(name);
  const [low, high] = substance.range;
  const ends = [low, high].map((t) => ({ t, p: vapourPressure(substance, t), heat: evaporationHeat(substance, t) }));
  const beyond = (t: number, end: (typeof ends)[number]): number =>
    end.p * elementary.exp((-end.heat / GAS_CONSTANT) * (1 / Math.max(t, 30) - 1 / end.t));
  return {
    pressure: (t) => (t < low ? beyond(t, ends[0]) : t > high ? beyond(t, ends[1]) : vapourPressure(substance, t)),
    heatPerMol: evaporationHeat(substance, Math.min(high, Math.max(low, 293.15))),
  };
}
