import type { TemperatureCourse } from './system';

/** Temperature and its rate at a time. */
export interface TemperatureAt {
  /** K */
  readonly wallK: number;
  /** K/s */
  readonly wallKPerS: number;
}

/**
 * Temperature of the walls: mean + drift t + swing sin(2 pi (t/period + phase)) and the changes, each approached as
 * 1 - exp(-(t - t0)/tau).
 * @param course what the temperature does; a steady 293.15 K where absent
 * @param timeS time, s
 * @returns temperature K and its rate K/s
 */
export function temperatureAt(course: TemperatureCourse | undefined, timeS: number): TemperatureAt {
  if (course === undefined) return { wallK: 293.15, wallKPerS: 0 };
  const { meanK, driftKPerS = 0, swingK = 0, periodS = 3600, phase = 0, changes = [] } = course;
  const omega = (2 * Math.PI) / periodS;
  const angle = omega * timeS + 2 * Math.PI * phase;
  let wallK = meanK + driftKPerS * timeS + swingK * Math.sin(angle);
  let wallKPerS = driftKPerS + swingK * omega * Math.cos(angle);
  for (const { atS, byK, timeConstantS } of changes) {
    if (timeS <= atS) continue;
    const left = Math.exp(-(timeS - atS) / timeConstantS);
    wallK += byK * (1 - left);
    wallKPerS += (byK / timeConstantS) * left;
  }
  return { wallK, wallKPerS };
}
