import { ArgumentError } from '../errors';
import { requirePositive } from './check';
import * as elementary from './elementary';

/** Criteria for choosing between models fitted to the same data with the same weights; smaller is better. */
export interface InformationCriteria {
  /** n ln(RSS/n) + 2 k, k fitted parameters. */
  readonly aic: number;
  /** n ln(RSS/n) + 2 K + 2 K (K + 1) / (n - K - 1), K = k + 1 (the variance counts); `Infinity` where n <= K + 1. */
  readonly aicc: number;
  /** n ln(RSS/n) + k ln n. */
  readonly bic: number;
}

/**
 * Akaike's and the Bayesian information criterion of a least-squares fit. AIC and BIC count the k fitted parameters, as
 * statistics libraries do; AICc counts the variance too (Burnham and Anderson, Model Selection, 2nd ed. 2002, section 2.4).
 * Differences between models mean something, the values alone do not.
 * @param residualSumOfSquares of the fit, above zero
 * @param points number of points n; give the effective number where residuals are correlated
 * @param parameters fitted parameters k
 * @returns AIC, AICc and BIC, dimensionless
 * @throws ArgumentError where an argument is out of range
 */
export function informationCriteria(
  residualSumOfSquares: number,
  points: number,
  parameters: number,
): InformationCriteria {
  requirePositive('residual sum of squares', residualSumOfSquares);
  requirePositive('points', points);
  if (!(Number.isInteger(parameters) && parameters >= 0)) {
    throw new ArgumentError('parameters', parameters, 'a whole number, zero or above');
  }
  const fit = points * elementary.log(residualSumOfSquares / points);
  const all = parameters + 1;
  const room = points - all - 1;
  return {
    aic: fit + 2 * parameters,
    aicc: room > 0 ? fit + 2 * all + (2 * all * (all + 1)) / room : Infinity,
    bic: fit + parameters * elementary.log(points),
  };
}
