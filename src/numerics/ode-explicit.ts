import type { OdeFunctions, Stepper } from './ode';

const C = [0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1, 1];
const A = [
  [],
  [1 / 5],
  [3 / 40, 9 / 40],
  [44 / 45, -56 / 15, 32 / 9],
  [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
  [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
  [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
];
const E = [71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40];
const D = [
  -12715105075 / 11282082432,
  0,
  87487479700 / 32700410799,
  -10690763975 / 1880347072,
  701980252875 / 199316789632,
  -1453857185 / 822651844,
  69997945 / 29380423,
];

/**
 * The explicit Runge-Kutta pair of order 5(4) of Dormand and Prince (J. Comput. Appl. Math. 6, 19, 1980) with the
 * continuous extension of Hairer, Norsett and Wanner (Solving Ordinary Differential Equations I, II.6).
 * @param functions right-hand side and its size
 * @returns the stepper that `solveOde` drives
 */
export function explicitStepper({ size, f }: OdeFunctions): Stepper {
  const k = Array.from({ length: 7 }, () => new Float64Array(size));
  const stage = new Float64Array(size);
  const base = new Float64Array(size);
  const end = new Float64Array(size);
  let width = 0;
  let fresh = false;
  return {
    errorOrder: 5,
    attempt: (t, y, h, next, error) => {
      if (!fresh) f(t, y, k[0]);
      fresh = true;
      base.set(y);
      width = h;
      for (let s = 1; s < 7; s++) {
        for (let i = 0; i < size; i++) {
          let sum = 0;
          for (let j = 0; j < s; j++) sum += A[s][j] * k[j][i];
          stage[i] = y[i] + h * sum;
        }
        f(t + C[s] * h, stage, k[s]);
      }
      let finite = true;
      for (let i = 0; i < size; i++) {
        next[i] = stage[i];
        end[i] = stage[i];
        let sum = 0;
        for (let s = 0; s < 7; s++) sum += E[s] * k[s][i];
        error[i] = h * sum;
        finite = finite && Number.isFinite(error[i]) && Number.isFinite(next[i]);
      }
      return finite;
    },
    settle: (accepted) => {
      if (accepted) k[0].set(k[6]);
    },
    interpolate: (theta, out) => {
      for (let i = 0; i < size; i++) {
        const rise = end[i] - base[i];
        const bend = width * k[0][i] - rise;
        let sum = 0;
        for (let s = 0; s < 7; s++) sum += D[s] * k[s][i];
        const rest = rise - width * k[6][i] - bend + (1 - theta) * width * sum;
        out[i] = base[i] + theta * (rise + (1 - theta) * (bend + theta * rest));
      }
    },
  };
}
