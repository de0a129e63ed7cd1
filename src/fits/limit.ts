import { QuantityError } from '../errors';
import { quantity } from '../units/parse-quantity';
import type { Quantity } from '../units/quantity';

/** A limit that a system has to keep: a throughput, or a rate of rise with its conditions. */
export interface Limit {
  readonly kind: 'throughput' | 'rate of rise';
  /** The largest value allowed: Pa m3/s or Pa/s. */
  readonly value: number;
  readonly unit: string;
  /** What has to pass after closing before it is judged, s; null where not said. */
  readonly afterS: number | null;
  /** How long is judged, s; null where not said. */
  readonly overS: number | null;
  /** The pressure below which the test has to start, Pa; null where not said. */
  readonly fromBelowPa: number | null;
  /** The limit as it was written. */
  readonly text: string;
  readonly assumptions: readonly string[];
}

const EXPECTED =
  'a throughput such as "1e-4 mbar L/s" or a rate such as "10 mTorr/h after 15 min over 1 h from below 50 mTorr"';

/**
 * Reads a limit: a throughput (`1e-4 mbar L/s`), or a pressure per time, with or without dwell, window and start
 * (`10 mTorr/h after 15 min over 1 h from below 50 mTorr`). `max`, `<` and `<=` before it are understood.
 * @param text as a person writes it
 * @returns the limit, SI
 * @throws QuantityError where the text is no limit, or a part of it is no quantity of its kind
 */
export function parseLimit(text: string): Limit {
  const trimmed = text.trim().replace(/^(max(imum)?\.?|at most|below|less than|<=?|≤)\s*/i, '');
  const parts = trimmed.split(/\b(after|over|within|during|from below|starting below|from)\b/i);
  const main = parts[0].trim();
  if (main === '') throw new QuantityError(text, EXPECTED);
  const value = mainPart(main, text);
  const kind = value.dimension === 'throughput' ? 'throughput' : 'rate of rise';
  if (!(value.si > 0)) throw new QuantityError(text, 'a limit above 0');
  let afterS: number | null = null;
  let overS: number | null = null;
  let fromBelowPa: number | null = null;
  for (let i = 1; i < parts.length; i += 2) {
    const word = parts[i].toLowerCase();
    const said = (parts[i + 1] ?? '').trim().replace(/[,;]$/, '');
    if (word === 'after') afterS = quantity(said, 'time').si;
    else if (word === 'over' || word === 'within' || word === 'during') overS = quantity(said, 'time').si;
    else fromBelowPa = quantity(said.replace(/^(below|<=?)\s*/, ''), 'pressure').si;
  }
  return {
    kind,
    value: value.si,
    unit: value.unit,
    afterS,
    overS,
    fromBelowPa,
    text: text.trim(),
    assumptions: value.assumptions,
  };
}

function mainPart(main: string, text: string): Quantity {
  const cleaned = main.replace(/[,;]$/, '').trim();
  let last: unknown;
  for (const dimension of ['throughput', 'pressure rate'] as const) {
    try {
      return quantity(cleaned, dimension);
    } catch (error) {
      // An ambiguous unit is worth its own message; another kind of unit is tried as the next kind.
      if (error instanceof QuantityError && error.choices.length > 0) throw error;
      last = error;
    }
  }
  if (last instanceof QuantityError) throw new QuantityError(text, EXPECTED);
  throw last;
}
