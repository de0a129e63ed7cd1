/**
 * The few tensor operations that danfojs-node needs, in plain float64 (TensorFlow would round to float32: Unix seconds to
 * steps of 128 s). Tensors are of rank 0, 1 or 2; shapes are broadcast from the right, as everywhere.
 */
class Tensor {
  constructor(values, shape, dtype = 'float32') {
    this.values = values;
    this.shape = shape;
    this.rank = shape.length;
    // danfo compares this name with its own; the numbers are doubles all the same.
    this.dtype = dtype;
  }
  arraySync() {
    if (this.rank === 0) return this.values[0];
    if (this.rank === 1) return [...this.values];
    const [rows, columns] = this.shape;
    return Array.from({ length: rows }, (_, r) => this.values.slice(r * columns, (r + 1) * columns));
  }
  clone() {
    return new Tensor([...this.values], [...this.shape], this.dtype);
  }
  transpose() {
    if (this.rank < 2) return this.clone();
    const [rows, columns] = this.shape;
    const turned = Array.from(this.values, (_, i) => this.values[(i % rows) * columns + Math.floor(i / rows)]);
    return new Tensor(turned, [columns, rows], this.dtype);
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
    if (x !== y && x !== 1 && y !== 1) {
      throw new Error(`Operands could not be broadcast together with shapes ${a.shape} and ${b.shape}.`);
    }
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
const method = (name, run) => Object.defineProperty(Tensor.prototype, name, { value: run });
for (const [name, operation] of Object.entries(elementwise)) {
  method(name, function (other) {
    return broadcast(this, other, operation);
  });
}

/** A list of numbers folded to one by each of these; along axis 0 of a matrix, column by column; without an axis, all. */
const folds = {
  sum: (list) => list.reduce((sum, x) => sum + x, 0),
  mean: (list) => folds.sum(list) / list.length,
  min: (list) => list.reduce((least, x) => (x < least || Number.isNaN(x) ? x : least), Infinity),
  max: (list) => list.reduce((most, x) => (x > most || Number.isNaN(x) ? x : most), -Infinity),
  argMin: (list) => list.reduce((at, x, i) => (x < list[at] ? i : at), 0),
  argMax: (list) => list.reduce((at, x, i) => (x > list[at] ? i : at), 0),
  variance: (list) => {
    const mean = folds.mean(list);
    return folds.mean(list.map((x) => (x - mean) ** 2));
  },
};
function fold(of, name, axis) {
  if (of.rank < 2 || axis === undefined) return new Tensor([folds[name]([...of.values])], []);
  const lists = (axis === 0 ? of.transpose() : of).arraySync();
  return new Tensor(lists.map(folds[name]), [lists.length]);
}
for (const name of Object.keys(folds)) {
  method(name, function (axis) {
    return fold(this, name, axis);
  });
}

function tensor(value, shape, dtype) {
  if (!Array.isArray(value) && !ArrayBuffer.isView(value)) return new Tensor([value], [], dtype);
  const nested = Array.isArray(value[0]);
  const found = shape ?? (nested ? [value.length, value[0].length] : [value.length]);
  return new Tensor(nested ? value.flat() : Array.from(value), found, dtype);
}

/** An order fixed by the seed (Fisher and Yates, with the minimal standard generator of Park and Miller). */
function shuffled(items, seed) {
  let state = [...seed].reduce((hash, c) => (hash * 31 + c.charCodeAt(0)) % 2147483647, 7);
  const order = [...items];
  for (let i = order.length - 1; i > 0; i--) {
    state = (state * 48271) % 2147483647;
    const j = state % (i + 1);
    [order[i], order[j]] = [order[j], order[i]];
  }
  return order;
}
const dataset = (items) => ({
  shuffle: (_size, seed) => dataset(shuffled(items, String(seed))),
  take: (n) => dataset(items.slice(0, n)),
  toArray: () => Promise.resolve(items),
});

module.exports = {
  Tensor,
  tensor1d: (values, dtype) => tensor(values, undefined, dtype),
  tensor2d: tensor,
  scalar: (value) => tensor(value),
  moments: (of, axis) => ({ mean: of.mean(axis), variance: of.variance(axis) }),
  data: { array: dataset },
};
