/**
 * The few tensor operations that danfojs-node needs, in plain float64 (TensorFlow would round to float32: Unix seconds to
 * steps of 128 s). Tensors are of rank 0, 1 or 2; shapes are broadcast from the right, as everywhere.
 */
class Tensor {
  constructor(values, shape) {
    this.values = values;
    this.shape = shape;
    this.rank = shape.length;
  }
  arraySync() {
    if (this.rank === 0) return this.values[0];
    if (this.rank === 1) return [...this.values];
    const [rows, columns] = this.shape;
    return Array.from({ length: rows }, (_, r) => this.values.slice(r * columns, (r + 1) * columns));
  }
  clone() {
    return new Tensor([...this.values], [...this.shape]);
  }
  transpose() {
    if (this.rank < 2) return this.clone();
    const [rows, columns] = this.shape;
    const turned = Array.from(this.values, (_, i) => this.values[(i % rows) * columns + Math.floor(i / rows)]);
    return new Tensor(turned, [columns, rows]);
  }
  sqrt() {
    return new Tensor(this.values.map(Math.sqrt), this.shape);
  }
}

/** Offset in the values of each element of the broadcast shape: 0 along an axis of length 1. */
function broadcastIndex(tensor, shape) {
  const [rows, columns] = [tensor.shape.at(-2) ?? 1, tensor.shape.at(-1) ?? 1];
  const wide = shape.at(-1) ?? 1;
  return (i) => (rows === 1 ? 0 : Math.floor(i / wide)) * columns + (columns === 1 ? 0 : i % wide);
}

function broadcast(a, b, operation) {
  const rank = Math.max(a.rank, b.rank);
  const shape = Array.from({ length: rank }, (_, k) => {
    const [x, y] = [a.shape.at(k - rank) ?? 1, b.shape.at(k - rank) ?? 1];
    if (x !== y && x !== 1 && y !== 1) throw new Error(`Shapes ${a.shape} and ${b.shape} do not fit each other.`);
    return x === 1 ? y : x;
  });
  const [inA, inB] = [broadcastIndex(a, shape), broadcastIndex(b, shape)];
  const size = shape.reduce((product, n) => product * n, 1);
  const values = Array.from({ length: size }, (_, i) => operation(a.values[inA(i)], b.values[inB(i)]));
  return new Tensor(values, shape);
}

const elementwise = {
  add: (x, y) => x + y,
  sub: (x, y) => x - y,
  mul: (x, y) => x * y,
  div: (x, y) => x / y,
  divNoNan: (x, y) => (y === 0 ? 0 : x / y),
  pow: (x, y) => x ** y,
  // The sign follows the divisor, as TensorFlow and Python have it.
  mod: (x, y) => x - y * Math.floor(x / y),
  greater: (x, y) => Number(x > y),
  greaterEqual: (x, y) => Number(x >= y),
  less: (x, y) => Number(x < y),
  lessEqual: (x, y) => Number(x <= y),
  equal: (x, y) => Number(x === y),
  notEqual: (x, y) => Number(x !== y),
};
for (const [name, operation] of Object.entries(elementwise)) {
  Tensor.prototype[name] = function (other) {
    return broadcast(this, other, operation);
  };
}

/** A list of numbers folded to one by each of these; along axis 0 of a matrix, column by column; without an axis, all. */
const folds = {
  mean: (list) => list.reduce((sum, x) => sum + x, 0) / list.length,
  min: (list) => list.reduce((least, x) => (x < least || Number.isNaN(x) ? x : least), Infinity),
  max: (list) => list.reduce((most, x) => (x > most || Number.isNaN(x) ? x : most), -Infinity),
  argMin: (list) => list.reduce((at, x, i) => (x < list[at] ? i : at), 0),
  argMax: (list) => list.reduce((at, x, i) => (x > list[at] ? i : at), 0),
  variance: (list, mean = folds.mean(list)) => folds.mean(list.map((x) => (x - mean) ** 2)),
};
for (const [name, fold] of Object.entries(folds)) {
  Tensor.prototype[name] = function (axis) {
    if (this.rank < 2 || axis === undefined) return new Tensor([fold([...this.values])], []);
    const lists = (axis === 0 ? this.transpose() : this).arraySync();
    return new Tensor(
      lists.map((list) => fold(list)),
      [lists.length],
    );
  };
}

function tensor(value, shape) {
  if (!Array.isArray(value) && !ArrayBuffer.isView(value)) return new Tensor([value], []);
  const nested = Array.isArray(value[0]);
  const found = shape ?? (nested ? [value.length, value[0].length] : [value.length]);
  return new Tensor(nested ? value.flat() : Array.from(value), found);
}

/** An order fixed by the seed: sorted by the minimal standard generator of Park and Miller. */
function shuffled(items, seed) {
  let state = [...seed].reduce((hash, c) => (hash * 31 + c.charCodeAt(0)) % 2147483647, 7);
  const drawn = items.map((item) => {
    state = (state * 48271) % 2147483647;
    return [state, item];
  });
  return drawn.sort(([a], [b]) => a - b).map(([, item]) => item);
}
const dataset = (items) => ({
  shuffle: (_size, seed) => dataset(shuffled(items, String(seed))),
  take: (n) => dataset(items.slice(0, n)),
  toArray: () => Promise.resolve(items),
});

module.exports = {
  Tensor,
  tensor1d: (values) => tensor(values),
  tensor2d: tensor,
  scalar: (value) => tensor(value),
  moments: (of, axis) => ({ mean: of.mean(axis), variance: of.variance(axis) }),
  data: { array: dataset },
};
