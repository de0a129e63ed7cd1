import { describe, expect, it } from 'vitest';
import {
  isolatedRise,
  outgassing,
  outgassingRise,
  trappedGas,
  twoVolumePressures,
  twoVolumeTimeConstants,
} from '../../src/gas-loads';
import { solveOde } from '../../src/numerics';

const close = (got: number, wanted: number, tolerance: number): void => {
  expect(Math.abs(got / wanted - 1), `${got} for ${wanted}`).toBeLessThan(tolerance);
};

/** Agreement with a printed figure: within 1e-6, or half a unit of its last digit where that is more. */
function prints(got: number, printed: string): void {
  const [digits, power = '0'] = printed.split('e');
  const decimals = digits.split('.')[1]?.length ?? 0;
  const half = 0.5 * 10 ** (Number(power) - decimals);
  expect(Math.abs(got - Number(printed)), `${got} for ${printed}`).toBeLessThan(
    Math.max(1e-6 * Math.abs(Number(printed)), half * (1 + 1e-9)),
  );
}

const MBAR = 100;
const LITRE = 1e-3;

/** Kind: calc, from the two linear equations of a chamber with a pocket (printed to seven digits). */
describe('two volumes', () => {
  const pumped = { volumeM3: 50 * LITRE, pocketM3: 1e-6, conductanceM3PerS: 1e-6 * LITRE, speedM3PerS: 5 * LITRE };
  const atmosphere = { pa: 1000 * MBAR, trappedPa: 1000 * MBAR };

  it('time constants', () => {
    close(twoVolumeTimeConstants(pumped).fastS, 9.999998, 1e-7);
    close(twoVolumeTimeConstants(pumped).slowS, 1000.0002, 1e-7);
    const small = { volumeM3: LITRE, pocketM3: 0.1 * LITRE, conductanceM3PerS: 0.01 * LITRE, speedM3PerS: LITRE };
    close(twoVolumeTimeConstants(small).fastS, 0.989024, 1e-6);
    close(twoVolumeTimeConstants(small).slowS, 10.110976, 1e-6);
    const isolated = twoVolumeTimeConstants({ ...small, speedM3PerS: 0 });
    close(isolated.fastS, 9.090909, 1e-6);
    expect(isolated.slowS).toBe(Infinity);
  });

  it('while pumped', () => {
    for (const [t, p, trapped] of [
      [600, '1.119909e-4', '554.355'],
      [1000, '7.506978e-5', '371.595'],
      [3600, '5.575704e-6', '27.600'],
    ] as const) {
      const state = twoVolumePressures(pumped, atmosphere, t);
      prints(state.pa / MBAR, p);
      prints(state.trappedPa / MBAR, trapped);
    }
  });

  const rise: readonly (readonly [number, string])[] = [
    [60, '5.0787e-4'],
    [300, '2.00128e-3'],
    [1000, '4.77289e-3'],
    [3000, '7.13685e-3'],
    [10_000, '7.50649e-3'],
  ];
  const closing = twoVolumePressures(pumped, atmosphere, 1000);
  const isolated = { ...pumped, speedM3PerS: 0 };

  it('isolated after 1000 s: closed form', () => {
    close(((closing.trappedPa - closing.pa) / MBAR) * 1e-6, 3.715954e-4, 1e-6);
    close(twoVolumeTimeConstants(isolated).fastS, 999.98, 1e-6);
    for (const [t, p] of rise) prints(twoVolumePressures(isolated, closing, t).pa / MBAR, p);
    close(twoVolumePressures(isolated, closing, 1e6).pa / MBAR, 7.506829e-3, 1e-6);
  });

  it('isolated after 1000 s: the load followed by the differential equation', () => {
    const pa = isolatedRise(
      [{ load: trappedGas('molecular'), parameters: [1e-6, 1e-9, 101_325], state: [closing.trappedPa] }],
      { volumeM3: 50 * LITRE, startPa: closing.pa },
      rise.map(([t]) => t),
    );
    rise.forEach(([, p], i) => {
      prints(pa[i] / MBAR, p);
    });
  });

  it('viscous path: the pocket falls as 1/(1 + t/tau), and the slope of the pumped chamber tends to -2 (calc)', () => {
    const load = trappedGas('viscous');
    const k = 1e-14;
    const tau = 1e-6 / (k * 1e5);
    const at = [1, 10, 1000, 100_000].map((x) => x * tau);
    const run = solveOde({
      derivative: (_, y, out) => {
        out[0] = (-k * y[0] * y[0]) / 1e-6;
      },
      start: [1e5],
      from: 0,
      to: at[3],
      method: 'stiff',
      relativeTolerance: 1e-9,
      outputAt: at,
    });
    at.forEach((t, i) => {
      close(run.y[i], 1e5 / (1 + t / tau), 1e-6);
    });
    expect(load.throughput({ pa: 0 } as never, [1e-6, k, 0], [1e5])).toBeCloseTo(k * 1e10, 12);
  });
});

/** Kind: calc, from the power law integrated over the isolation; A = 5000 cm2, V = 50 L, q = 1e-8 mbar L/(s cm2) at 1 h. */
describe('outgassing accumulates', () => {
  const atOneHour = 5000 * 1e-8 * 0.1;
  const table: readonly (readonly [number, number, number, string, number])[] = [
    [1, 0.5, 600, '1.03566e-3', 1.2e-3],
    [1, 0.5, 3600, '3.955e-3', 7.2e-3],
    [1, 1, 600, '5.54942e-4', 6e-4],
    [1, 1, 3600, '2.49533e-3', 3.6e-3],
    [1, 2, 600, '2.88154e-4', 3e-4],
    [1, 2, 3600, '1.45967e-3', 1.8e-3],
    [1, 10, 600, '5.95055e-5', 6e-5],
    [1, 10, 3600, '3.43117e-4', 3.6e-4],
    [0.5, 1, 3600, '2.98234e-3', 3.6e-3],
  ];

  it('in closed form', () => {
    for (const [exponent, hours, elapsed, rise, straight] of table) {
      const of = { atOneHour, exponent, volumeM3: 50 * LITRE, pumpedS: hours * 3600 };
      prints(outgassingRise(of, elapsed) / MBAR, rise);
      close(((outgassingRise(of, 1e-3) / 1e-3) * elapsed) / MBAR, straight, 1e-6);
    }
  });

  it('as the load followed by the differential equation', () => {
    for (const [exponent, hours, elapsed, rise] of table) {
      const pa = isolatedRise(
        [{ load: outgassing(), parameters: [atOneHour, exponent, 1, 0, 0.13] }],
        { volumeM3: 50 * LITRE, startPa: 1e-6, pumpedS: hours * 3600 - 1 },
        [elapsed],
      );
      prints((pa[0] - 1e-6) / MBAR, rise);
    }
  });

  it('pumped by 5 L/s the same load gives 1.0e-5 mbar at 1 h and 1.0e-6 mbar at 10 h', () => {
    for (const [hours, wanted] of [
      [1, 1e-5],
      [10, 1e-6],
    ]) {
      const at = { pumpedS: hours * 3600 - 1, wallK: 293.15, partialPa: { water: 0, air: 0, solvent: 0 } } as never;
      close(outgassing().throughput(at, [atOneHour, 1, 1, 0, 0.13], []) / (5 * LITRE) / MBAR, wanted, 1e-9);
    }
  });
});
