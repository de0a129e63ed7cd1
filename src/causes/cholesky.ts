import * as elementary from '../numerics/elementary';

/** Small symmetric matrices, row-major, in arrays that are used again: the innermost loops of the inference. */

/**
 * Cholesky factor, in place, into the lower triangle; a pivot that is not positive is taken as hardly more than nothing.
 * @param a n x n or longer, the lower triangle is read
 * @param n order
 * @returns logarithm of the determinant
 */
export function choleskyInPlace(a: Float64Array, n: number): number {
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      let sum = a[i * n + j];
      for (let l = 0; l < j; l++) sum -= a[i * n + l] * a[j * n + l];
      a[i * n + j] = sum / a[j * n + j];
    }
    let sum = a[i * n + i];
    const least = Math.max(1e-13 * Math.abs(sum), 1e-300);
    for (let l = 0; l < i; l++) sum -= a[i * n + l] * a[i * n + l];
    a[i * n + i] = Math.sqrt(Math.max(sum, least));
  }
  return 2 * logOfProduct(a, n, n + 1);
}

/**
 * Logarithm of a product, with few logarithms.
 * @param factors positive numbers
 * @param count how many of them
 * @param apart places from one to the next
 */
export function logOfProduct(factors: Float64Array, count: number, apart = 1): number {
  let log = 0;
  let product = 1;
  for (let i = 0; i < count; i++) {
    const factor = factors[i * apart];
    if (factor > 1e100 || factor < 1e-100) log += elementary.log(factor);
    else product *= factor;
    if (product > 1e150 || product < 1e-150) {
      log += elementary.log(product);
      product = 1;
    }
  }
  return log + elementary.log(product);
}

/**
 * Solves l x = right in place, for some of the columns.
 * @param l lower triangular factor, n x n
 * @param n order
 * @param right n x wide, replaced by the solution
 * @param wide columns of `right`
 * @param from first column that is wanted
 * @param to one past the last
 */
export function forwardSolve(l: Float64Array, n: number, right: Float64Array, wide: number, from = 0, to = wide): void {
  for (let i = 0; i < n; i++) {
    const inverse = 1 / l[i * n + i];
    for (let c = from; c < to; c++) {
      let sum = right[i * wide + c];
      for (let j = 0; j < i; j++) sum -= l[i * n + j] * right[j * wide + c];
      right[i * wide + c] = sum * inverse;
    }
  }
}

/**
 * Inverse of a matrix.
 * @param l its Cholesky factor, n x n
 * @param n order
 * @returns n x n
 */
export function inverseFromCholesky(l: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    for (let i = 0; i < n; i++) {
      let sum = i === c ? 1 : 0;
      for (let j = 0; j < i; j++) sum -= l[i * n + j] * column[j];
      column[i] = sum / l[i * n + i];
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = column[i];
      for (let j = i + 1; j < n; j++) sum -= l[j * n + i] * inverse[j * n + c];
      inverse[i * n + c] = sum / l[i * n + i];
    }
  }
  return inverse;
}
