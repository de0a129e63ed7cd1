import type { Derivative } from '../../src/numerics';

/** A stiff initial value problem with its published end state. */
export interface StiffProblem {
  readonly name: string;
  readonly derivative: Derivative;
  readonly start: readonly number[];
  readonly to: number;
  readonly end: readonly number[];
  readonly relativeTolerance: number;
  readonly absoluteTolerance: number | readonly number[];
  /** Wanted relative agreement with the published end. */
  readonly agreement: number;
}

const robertson: Derivative = (_, y, out) => {
  out[0] = -0.04 * y[0] + 1e4 * y[1] * y[2];
  out[2] = 3e7 * y[1] * y[1];
  out[1] = -out[0] - out[2];
};

/**
 * Ends from Mazzia and Magherini, Test Set for Initial Value Problem Solvers, release 2.4, University of Bari, and Hairer
 * and Wanner, Solving Ordinary Differential Equations II (from memory; those to t = 40 ... 360 agree to ten digits with
 * the Radau solver of SciPy, see tests/published/cross-check-numerics.py).
 */
export const STIFF_PROBLEMS: readonly StiffProblem[] = [
  {
    name: 'robertson 40',
    derivative: robertson,
    start: [1, 0, 0],
    to: 40,
    end: [0.7158270688, 9.185534765e-6, 0.2841637457],
    relativeTolerance: 1e-8,
    absoluteTolerance: 1e-12,
    agreement: 1e-6,
  },
  {
    name: 'robertson 1e11',
    derivative: robertson,
    start: [1, 0, 0],
    to: 1e11,
    end: [2.083340149701255e-8, 8.333360770334713e-14, 0.999999979166505],
    relativeTolerance: 1e-7,
    absoluteTolerance: [1e-14, 1e-20, 1e-14],
    agreement: 1e-5,
  },
  {
    name: 'van der pol 2',
    derivative: (_, y, out) => {
      out[0] = y[1];
      out[1] = ((1 - y[0] * y[0]) * y[1] - y[0]) / 1e-6;
    },
    start: [2, 0],
    to: 2,
    end: [1.706167732170483, -0.8928097010247975],
    relativeTolerance: 1e-8,
    absoluteTolerance: 1e-10,
    agreement: 1e-5,
  },
  {
    name: 'hires 321.8122',
    derivative: (_, y, out) => {
      out[0] = -1.71 * y[0] + 0.43 * y[1] + 8.32 * y[2] + 0.0007;
      out[1] = 1.71 * y[0] - 8.75 * y[1];
      out[2] = -10.03 * y[2] + 0.43 * y[3] + 0.035 * y[4];
      out[3] = 8.32 * y[1] + 1.71 * y[2] - 1.12 * y[3];
      out[4] = -1.745 * y[4] + 0.43 * y[5] + 0.43 * y[6];
      out[5] = -280 * y[5] * y[7] + 0.69 * y[3] + 1.71 * y[4] - 0.43 * y[5] + 0.69 * y[6];
      out[6] = 280 * y[5] * y[7] - 1.81 * y[6];
      out[7] = -out[6];
    },
    start: [1, 0, 0, 0, 0, 0, 0, 0.0057],
    to: 321.8122,
    end: [
      0.7371312573325668e-3, 0.1442485726316185e-3, 0.5888729740967575e-4, 0.1175651343283149e-2, 0.2386356198831331e-2,
      0.6238968252742796e-2, 0.2849998395185769e-2, 0.2850001604814231e-2,
    ],
    relativeTolerance: 1e-9,
    absoluteTolerance: 1e-12,
    agreement: 2e-6,
  },
  {
    name: 'oregonator 360',
    derivative: (_, y, out) => {
      out[0] = 77.27 * (y[1] + y[0] * (1 - 8.375e-6 * y[0] - y[1]));
      out[1] = (y[2] - (1 + y[0]) * y[1]) / 77.27;
      out[2] = 0.161 * (y[0] - y[2]);
    },
    start: [1, 2, 3],
    to: 360,
    end: [1.000814870318523, 1228.178521549917, 132.0554942846706],
    relativeTolerance: 1e-9,
    absoluteTolerance: 1e-10,
    agreement: 1e-5,
  },
];
