import { ArgumentError } from '../errors';

/** A Householder QR factorisation with column pivoting of a row-major matrix (`rows` x `columns`). */
export interface PivotedQr {
  readonly rows: number;
  readonly columns: number;
  /** Upper triangle: R; below it: the Householder vectors. Row-major. */
  readonly packed: Float64Array;
  /** First entry of each Householder vector, and its factor. */
  readonly head: Float64Array;
  readonly factor: Float64Array;
  /** Column `pivot[j]` of the matrix is column j of the factorisation. */
  readonly pivot: Int32Array;
  /** Columns that count as independent at the tolerance given. */
  readonly rank: number;
}

/**
 * Householder QR with column pivoting, A P = Q R (Businger and Golub 1965; Golub and Van Loan, Matrix Computations,
 * section 5.4). The diagonal of R falls in size, which shows the rank.
 * @param matrix row-major entries, any unit; left as it is
 * @param rows number of rows, at least the number of columns
 * @param columns number of columns
 * @param tolerance a diagonal entry below this times the largest counts as zero
 * @returns the factorisation
 * @throws ArgumentError where the size is wrong or an entry is not finite
 */
export function pivotedQr(matrix: ArrayLike<number>, rows: number, columns: number, tolerance = 1e-13): PivotedQr {
  if (rows < columns || matrix.length < rows * columns) {
    throw new ArgumentError('matrix', `${rows} x ${columns}`, 'at least as many rows as columns');
  }
  const a = new Float64Array(rows * columns);
  for (let i = 0; i < a.length; i++) {
    a[i] = matrix[i];
    if (!Number.isFinite(a[i])) throw new ArgumentError('matrix', matrix[i], 'finite entries');
  }
  const pivot = Int32Array.from({ length: columns }, (_, j) => j);
  const head = new Float64Array(columns);
  const factor = new Float64Array(columns);
  let rank = 0;
  let largest = 0;
  for (let j = 0; j < columns; j++) {
    movePivot(a, rows, columns, j, pivot);
    const norm = columnNorm(a, rows, columns, j, j);
    if (j === 0) largest = norm;
    if (norm > tolerance * largest && norm > 0) rank++;
    if (norm === 0) continue;
    reflect(a, rows, columns, j, norm, head, factor);
  }
  return { rows, columns, packed: a, head, factor, pivot, rank };
}

function columnNorm(a: Float64Array, rows: number, columns: number, j: number, from: number): number {
  let scale = 0;
  for (let i = from; i < rows; i++) scale = Math.max(scale, Math.abs(a[i * columns + j]));
  if (scale === 0) return 0;
  let sum = 0;
  for (let i = from; i < rows; i++) {
    const part = a[i * columns + j] / scale;
    sum += part * part;
  }
  return scale * Math.sqrt(sum);
}

/** Brings the column with the largest remaining norm to place j. */
function movePivot(a: Float64Array, rows: number, columns: number, j: number, pivot: Int32Array): void {
  let best = j;
  let bestNorm = -1;
  for (let k = j; k < columns; k++) {
    const norm = columnNorm(a, rows, columns, k, j);
    if (norm > bestNorm) {
      best = k;
      bestNorm = norm;
    }
  }
  if (best === j) return;
  for (let i = 0; i < rows; i++) {
    const keep = a[i * columns + j];
    a[i * columns + j] = a[i * columns + best];
    a[i * columns + best] = keep;
  }
  const keep = pivot[j];
  pivot[j] = pivot[best];
  pivot[best] = keep;
}

function reflect(
  a: Float64Array,
  rows: number,
  columns: number,
  j: number,
  norm: number,
  head: Float64Array,
  factor: Float64Array,
): void {
  const top = a[j * columns + j];
  const diagonal = top > 0 ? -norm : norm;
  const first = top - diagonal;
  head[j] = first;
  factor[j] = -1 / (diagonal * first);
  for (let k = j + 1; k < columns; k++) {
    let dot = first * a[j * columns + k];
    for (let i = j + 1; i < rows; i++) dot += a[i * columns + j] * a[i * columns + k];
    const shift = dot * factor[j];
    a[j * columns + k] -= shift * first;
    for (let i = j + 1; i < rows; i++) a[i * columns + k] -= shift * a[i * columns + j];
  }
  a[j * columns + j] = diagonal;
}

/**
 * The first `columns` entries of Q^T b for a factorisation of `pivotedQr`.
 * @param qr the factorisation
 * @param b right-hand side, length = rows, any unit
 * @returns the leading part of Q^T b, length = columns, unit of b
 */
export function qrTransposeTimes(qr: PivotedQr, b: ArrayLike<number>): Float64Array {
  const { rows, columns, packed, head, factor } = qr;
  const work = Float64Array.from(b);
  for (let j = 0; j < columns; j++) {
    if (factor[j] === 0) continue;
    let dot = head[j] * work[j];
    for (let i = j + 1; i < rows; i++) dot += packed[i * columns + j] * work[i];
    const shift = dot * factor[j];
    work[j] -= shift * head[j];
    for (let i = j + 1; i < rows; i++) work[i] -= shift * packed[i * columns + j];
  }
  return work.subarray(0, columns);
}

/**
 * Least-squares solution of A x = b; unknowns beyond the rank are set to zero (a basic solution).
 * @param qr the factorisation of A by `pivotedQr`
 * @param b right-hand side, length = rows
 * @returns x, length = columns, unit of b over unit of A
 */
export function solveQr(qr: PivotedQr, b: ArrayLike<number>): Float64Array {
  const { columns, packed, pivot, rank } = qr;
  const c = qrTransposeTimes(qr, b);
  const x = new Float64Array(columns);
  for (let j = rank - 1; j >= 0; j--) {
    let sum = c[j];
    for (let k = j + 1; k < rank; k++) sum -= packed[j * columns + k] * x[pivot[k]];
    x[pivot[j]] = sum / packed[j * columns + j];
  }
  return x;
}

/**
 * (A^T A)^-1 from the factorisation of A, without forming A^T A.
 * @param qr the factorisation by `pivotedQr`
 * @returns row-major columns x columns matrix, or null where A has not full rank
 */
export function inverseNormalMatrix(qr: PivotedQr): Float64Array | null {
  const { columns: k, packed, pivot, rank } = qr;
  if (rank < k) return null;
  const inverse = new Float64Array(k * k); // R^-1, upper triangle
  for (let j = 0; j < k; j++) {
    inverse[j * k + j] = 1 / packed[j * k + j];
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0;
      for (let m = i + 1; m <= j; m++) sum += packed[i * k + m] * inverse[m * k + j];
      inverse[i * k + j] = -sum / packed[i * k + i];
    }
  }
  const out = new Float64Array(k * k);
  for (let i = 0; i < k; i++) {
    for (let j = i; j < k; j++) {
      let sum = 0;
      for (let m = j; m < k; m++) sum += inverse[i * k + m] * inverse[j * k + m];
      out[pivot[i] * k + pivot[j]] = sum;
      out[pivot[j] * k + pivot[i]] = sum;
    }
  }
  return out;
}

/**
 * Cholesky factor L of a symmetric positive definite matrix, A = L L^T.
 * @param matrix row-major, size x size; the lower triangle is read
 * @param size number of rows
 * @returns L, row-major with zeros above the diagonal, or null where the matrix is not positive definite
 */
export function cholesky(matrix: ArrayLike<number>, size: number): Float64Array | null {
  const l = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * size + j];
      for (let k = 0; k < j; k++) sum -= l[i * size + k] * l[j * size + k];
      if (i === j) {
        if (!(sum > 0)) return null;
        l[i * size + i] = Math.sqrt(sum);
      } else l[i * size + j] = sum / l[j * size + j];
    }
  }
  return l;
}

/** An LU factorisation with row pivoting, in place. */
export interface Lu {
  readonly size: number;
  /** L below the diagonal (unit diagonal), U on and above it. */
  readonly packed: Float64Array;
  readonly rowOf: Int32Array;
}

/**
 * LU factorisation with partial pivoting of a square matrix, overwritten.
 * @param matrix row-major size x size, replaced by its factors
 * @param size number of rows
 * @returns the factors, or null where the matrix is singular or not finite
 */
export function luInPlace(matrix: Float64Array, size: number): Lu | null {
  const rowOf = Int32Array.from({ length: size }, (_, i) => i);
  for (let k = 0; k < size; k++) {
    let best = k;
    for (let i = k + 1; i < size; i++) {
      if (Math.abs(matrix[i * size + k]) > Math.abs(matrix[best * size + k])) best = i;
    }
    const pivot = matrix[best * size + k];
    if (!(Math.abs(pivot) > 0 && Math.abs(pivot) < Infinity)) return null;
    if (best !== k) {
      for (let j = 0; j < size; j++) {
        const keep = matrix[k * size + j];
        matrix[k * size + j] = matrix[best * size + j];
        matrix[best * size + j] = keep;
      }
      const keep = rowOf[k];
      rowOf[k] = rowOf[best];
      rowOf[best] = keep;
    }
    for (let i = k + 1; i < size; i++) {
      const ratio = matrix[i * size + k] / pivot;
      matrix[i * size + k] = ratio;
      if (ratio === 0) continue;
      for (let j = k + 1; j < size; j++) matrix[i * size + j] -= ratio * matrix[k * size + j];
    }
  }
  return { size, packed: matrix, rowOf };
}

/**
 * Solves A x = b with the factors of `luInPlace`.
 * @param lu the factors of A
 * @param b right-hand side, length = size
 * @param out where x goes (not the same array as b)
 * @returns `out`, unit of b over unit of A
 */
export function solveLu(lu: Lu, b: ArrayLike<number>, out: Float64Array): Float64Array {
  const { size, packed, rowOf } = lu;
  for (let i = 0; i < size; i++) {
    let sum = b[rowOf[i]];
    for (let j = 0; j < i; j++) sum -= packed[i * size + j] * out[j];
    out[i] = sum;
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = out[i];
    for (let j = i + 1; j < size; j++) sum -= packed[i * size + j] * out[j];
    out[i] = sum / packed[i * size + i];
  }
  return out;
}

/**
 * Eigenvalues and eigenvectors of a symmetric matrix by cyclic Jacobi rotations (Golub and Van Loan, section 8.5).
 * @param matrix row-major size x size; its upper triangle is read
 * @param size number of rows
 * @returns eigenvalues in ascending order and the matching unit eigenvectors, one a row
 * @throws ArgumentError where an entry is not finite
 */
export function symmetricEigen(
  matrix: ArrayLike<number>,
  size: number,
): { readonly values: Float64Array; readonly vectors: readonly Float64Array[] } {
  const a = new Float64Array(size * size);
  const v = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = i; j < size; j++) {
      const entry = matrix[i * size + j];
      if (!Number.isFinite(entry)) throw new ArgumentError('matrix', entry, 'finite entries');
      a[i * size + j] = entry;
      a[j * size + i] = entry;
    }
    v[i * size + i] = 1;
  }
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    let total = 0;
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < size; j++) {
        const square = a[i * size + j] ** 2;
        total += square;
        if (i !== j) off += square;
      }
    }
    if (off <= 1e-32 * total) break;
    for (let p = 0; p < size; p++) for (let q = p + 1; q < size; q++) rotate(a, v, size, p, q);
  }
  const order = Array.from({ length: size }, (_, i) => i).sort((i, j) => a[i * size + i] - a[j * size + j]);
  return {
    values: Float64Array.from(order, (i) => a[i * size + i]),
    vectors: order.map((i) => Float64Array.from({ length: size }, (_, row) => v[row * size + i])),
  };
}

function rotate(a: Float64Array, v: Float64Array, size: number, p: number, q: number): void {
  const apq = a[p * size + q];
  if (apq === 0) return;
  const theta = (a[q * size + q] - a[p * size + p]) / (2 * apq);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.hypot(theta, 1));
  const c = 1 / Math.hypot(t, 1);
  const s = t * c;
  for (let k = 0; k < size; k++) {
    const kp = a[k * size + p];
    const kq = a[k * size + q];
    a[k * size + p] = c * kp - s * kq;
    a[k * size + q] = s * kp + c * kq;
  }
  for (let k = 0; k < size; k++) {
    const pk = a[p * size + k];
    const qk = a[q * size + k];
    a[p * size + k] = c * pk - s * qk;
    a[q * size + k] = s * pk + c * qk;
    const vp = v[k * size + p];
    const vq = v[k * size + q];
    v[k * size + p] = c * vp - s * vq;
    v[k * size + q] = s * vp + c * vq;
  }
}
