import { type Lu, luInPlace, solveLu } from './linear-algebra';
import type { OdeFunctions, Stepper } from './ode';

const GAMMA = 0.25;
const A = [
  [],
  [1.544],
  [0.9466785280815826, 0.2557011698983284],
  [3.314825187068521, 2.896124015972201, 0.9986419139977817],
  [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.687886036105895],
  [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.687886036105895, 1],
];
const C = [
  [],
  [-5.6688],
  [-2.430093356833875, -0.2063599157091915],
  [-0.1073529058151375, -9.594562251023355, -20.47028614809616],
  [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.7089089320616],
  [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054],
];
const ALPHA = [0, 0.386, 0.21, 0.63, 1, 1];
const SLOPE = [0.25, -0.1043, 0.1035, -0.0362, 0, 0];
const D = [
  [10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662],
  [-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872],
];

/**
 * The stiffly accurate, L-stable Rosenbrock method RODAS of order 4(3) with dense output of order 3 (Hairer and Wanner,
 * Solving Ordinary Differential Equations II, IV.7 and VI.4).
 * @param functions right-hand side, its size and, where there is one, its Jacobian
 * @returns the stepper that `solveOde` drives
 */
export function stiffStepper({ size: n, f, jacobian, floor }: OdeFunctions): Stepper {
  const k = Array.from({ length: 6 }, () => new Float64Array(n));
  const slope = new Float64Array(n);
  const timeSlope = new Float64Array(n);
  const jac = new Float64Array(n * n);
  const matrix = new Float64Array(n * n);
  const stage = new Float64Array(n);
  const rate = new Float64Array(n);
  const right = new Float64Array(n);
  const base = new Float64Array(n);
  const end = new Float64Array(n);
  let known = false;

  const derivatives = (t: number, y: Float64Array, h: number): void => {
    f(t, y, slope);
    const dt = Math.sqrt(2 ** -52) * Math.max(1e-3 * h, Math.abs(t)) || 1e-12;
    f(t + dt, y, timeSlope);
    for (let i = 0; i < n; i++) timeSlope[i] = (timeSlope[i] - slope[i]) / dt;
    if (jacobian) jacobian(t, y, jac);
    else differences(t, y);
    known = true;
  };
  const differences = (t: number, y: Float64Array): void => {
    stage.set(y);
    for (let j = 0; j < n; j++) {
      const step = Math.sqrt(2 ** -52) * Math.max(Math.abs(y[j]), floor[j]);
      stage[j] = y[j] + step;
      f(t, stage, rate);
      for (let i = 0; i < n; i++) jac[i * n + j] = (rate[i] - slope[i]) / step;
      stage[j] = y[j];
    }
  };
  const factorise = (h: number): Lu | null => {
    for (let i = 0; i < n * n; i++) matrix[i] = -jac[i];
    for (let i = 0; i < n; i++) matrix[i * n + i] += 1 / (h * GAMMA);
    return luInPlace(matrix, n);
  };

  return {
    errorOrder: 4,
    attempt: (t, y, h, next, error) => {
      if (!known) derivatives(t, y, h);
      base.set(y);
      const lu = factorise(h);
      if (lu === null) return false;
      for (let s = 0; s < 6; s++) {
        if (s === 0) rate.set(slope);
        else {
          for (let i = 0; i < n; i++) {
            let sum = y[i];
            for (let j = 0; j < s; j++) sum += A[s][j] * k[j][i];
            stage[i] = sum;
          }
          f(t + ALPHA[s] * h, stage, rate);
        }
        for (let i = 0; i < n; i++) {
          let sum = rate[i] + h * SLOPE[s] * timeSlope[i];
          for (let j = 0; j < s; j++) sum += (C[s][j] / h) * k[j][i];
          right[i] = sum;
        }
        solveLu(lu, right, k[s]);
      }
      let finite = true;
      for (let i = 0; i < n; i++) {
        next[i] = stage[i] + k[5][i];
        end[i] = next[i];
        error[i] = k[5][i];
        finite = finite && Number.isFinite(next[i]) && Number.isFinite(error[i]);
      }
      return finite;
    },
    settle: (accepted) => {
      if (accepted) known = false;
    },
    interpolate: (theta, out) => {
      for (let i = 0; i < n; i++) {
        let first = 0;
        let second = 0;
        for (let s = 0; s < 5; s++) {
          first += D[0][s] * k[s][i];
          second += D[1][s] * k[s][i];
        }
        out[i] = base[i] * (1 - theta) + theta * (end[i] + (1 - theta) * (first + theta * second));
      }
    },
  };
}
