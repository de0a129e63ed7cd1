import { requireOneOf } from '../numerics';
import { GAS_CONSTANT } from '../units';
import { type ChamberConditions, type GasLoad, parameter, type Values } from './gas-load';
import { type SaturationCurve, saturationCurve } from './saturation';

/** What makes a liquid: SI, per kg. */
interface Liquid {
  readonly curve: SaturationCurve;
  /** kg/mol. */
  readonly molarMass: number;
  /** J/(kg K), liquid and solid. */
  readonly heatCapacity: number;
  readonly solidHeatCapacity: number;
  /** Freezing point, K, and heat of fusion, J/kg. */
  readonly freezesK: number;
  readonly fusionHeat: number;
}

/** Heat capacity near room temperature, freezing point and heat of fusion: CRC Handbook of Chemistry and Physics (from memory), rounded. */
const LIQUIDS: Readonly<Record<string, Omit<Liquid, 'curve'>>> = {
  water: { molarMass: 0.018015, heatCapacity: 4200, solidHeatCapacity: 2050, freezesK: 273.16, fusionHeat: 333_500 },
  acetone: { molarMass: 0.05808, heatCapacity: 2170, solidHeatCapacity: 1650, freezesK: 178.7, fusionHeat: 98_000 },
  ethanol: { molarMass: 0.04607, heatCapacity: 2440, solidHeatCapacity: 1500, freezesK: 159.0, fusionHeat: 107_000 },
  '2-propanol': { molarMass: 0.0601, heatCapacity: 2600, solidHeatCapacity: 1500, freezesK: 185.2, fusionHeat: 90_000 },
};

/** Below this part of the start mass the surface dries patch by patch. */
const LAST_PART = 0.01;

/** Temperature from the heat per kg, counted from liquid at the freezing point. */
function temperatureOf(liquid: Liquid, heatPerKg: number): number {
  if (heatPerKg >= 0) return liquid.freezesK + heatPerKg / liquid.heatCapacity;
  if (heatPerKg >= -liquid.fusionHeat) return liquid.freezesK;
  return Math.max(30, liquid.freezesK + (heatPerKg + liquid.fusionHeat) / liquid.solidHeatCapacity);
}

/** Heat per kg at a temperature; solid below the freezing point. */
function heatOf(liquid: Liquid, temperatureK: number): number {
  const above = temperatureK - liquid.freezesK;
  return above >= 0 ? above * liquid.heatCapacity : above * liquid.solidHeatCapacity - liquid.fusionHeat;
}

/**
 * A liquid or ice that evaporates into the chamber, with its heat balance and a finite amount:
 * Q = C (p_sat(T_s) - p_own) m/(m + 1 % m0); dm/dt = -M Q/(R T_s); dH/dt = G (T_wall - T_s) - (heat of evaporation) (-dm/dt). The
 * surface cools itself, freezes (the heat H is the state, so that freezing needs no switch) and dries; where the
 * chamber holds more vapour than the surface, it condenses.
 * @param liquid `water` (start below 273.16 K for ice), `acetone`, `ethanol` or `2-propanol`
 * @returns the load; parameters `conductance` m3/s from surface to chamber, `heat conductance` W/K from the walls, `mass` kg,
 *   `start temperature` K
 * @throws ArgumentError for another liquid
 * @source Hertz and Knudsen for the ceiling; heat balance: definition
 */
export function evaporation(liquid: 'water' | 'acetone' | 'ethanol' | '2-propanol' = 'water'): GasLoad {
  requireOneOf('liquid', liquid, Object.keys(LIQUIDS) as (typeof liquid)[]);
  const gas = liquid === 'water' ? 'water' : 'solvent';
  const known: Liquid = { ...LIQUIDS[liquid], curve: saturationCurve(liquid) };
  const heatPerKg = known.curve.heatPerMol / known.molarMass;
  const surface = (s: Values): number => temperatureOf(known, s[1] / Math.max(s[0], 1e-12));
  const wet = (p: Values, s: Values): number => {
    const mass = Math.max(0, s[0]);
    return mass / (mass + LAST_PART * p[2]);
  };
  const throughput = (at: ChamberConditions, p: Values, s: Values): number => {
    const part = wet(p, s);
    // Once dry, there is no surface whose temperature would matter.
    return part === 0 ? 0 : p[0] * (known.curve.pressure(surface(s)) - at.partialPa[gas]) * part;
  };
  return {
    name: `evaporation of ${liquid}`,
    cause: 'evaporation',
    gas,
    parameters: [
      parameter('conductance', 'm3/s', 1e-4, 0, 1e3),
      parameter('heat conductance', 'W/K', 0.05, 0, 1e4),
      parameter('mass', 'kg', 1e-3, 1e-9, 1e3),
      parameter('start temperature', 'K', 293.15, 150, 400),
    ],
    states: [
      { name: 'mass', unit: 'kg', negligible: 1e-10 },
      { name: 'heat', unit: 'J', negligible: 1e-4 },
    ],
    start: (p) => [p[2], p[2] * heatOf(known, p[3])],
    throughput,
    stateRate: (at, p, s, out) => {
      const temperature = surface(s);
      const rate = (throughput(at, p, s) * known.molarMass) / (GAS_CONSTANT * temperature);
      const specific = s[1] / Math.max(s[0], 1e-12);
      out[0] = -rate;
      // The heat that goes along with the mass, and what evaporation takes (from the solid the heat of fusion too).
      const taken = heatPerKg + Math.max(0, Math.min(known.fusionHeat, -specific));
      out[1] = p[1] * (at.wallK - temperature) * wet(p, s) - rate * (taken + specific);
    },
    derivatives: (at, p, s, out) => {
      const drive = known.curve.pressure(surface(s)) - at.partialPa[gas];
      const mass = Math.max(0, s[0]);
      out[0] = drive * wet(p, s);
      out[1] = 0;
      out[2] = (-p[0] * drive * mass * LAST_PART) / (mass + LAST_PART * p[2]) ** 2;
      out[3] = 0;
    },
  };
}
