/**
 * The grain of a gauge near the bottom of its readings: the smallest step between neighbouring different ones.
 * @param values SI readings
 * @param flags of the readings; flagged ones are left out
 * @returns the step in the unit of the values, 0 where none is seen
 */
export function resolutionNearBottom(values: Float64Array, flags: Uint8Array): number {
  const limit = 3 * lowQuantile(values, flags);
  let finest = Number.POSITIVE_INFINITY;
  let last = Number.NaN;
  for (let i = 0; i < values.length; i++) {
    if (flags[i] !== 0 || !(values[i] <= limit)) {
      last = Number.NaN;
      continue;
    }
    const step = Math.abs(values[i] - last);
    if (step > 0 && step < finest) finest = step;
    last = values[i];
  }
  return Number.isFinite(finest) ? Number(finest.toPrecision(6)) : 0;
}

/** About the 5 % quantile of the good positive readings, from at most some thousand of them. */
function lowQuantile(values: Float64Array, flags: Uint8Array): number {
  const stride = Math.max(1, Math.floor(values.length / 10_000));
  const picked: number[] = [];
  for (let i = 0; i < values.length; i += stride) if (flags[i] === 0 && values[i] > 0) picked.push(values[i]);
  picked.sort((a, b) => a - b);
  return picked.length === 0 ? 0 : picked[Math.floor(picked.length * 0.05)];
}
