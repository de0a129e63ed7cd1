import { describe, expect, it } from 'vitest';
import { ArgumentError } from '../../src/errors';
import { type OdeProblem, solveOde } from '../../src/numerics/ode';
import { STIFF_PROBLEMS } from './stiff-problems';

const relative = (got: number, wanted: number): number => Math.abs(got - wanted) / Math.abs(wanted);

describe('stiff method on published problems', () => {
  for (const problem of STIFF_PROBLEMS) {
    it(problem.name, () => {
      const run = solveOde({ ...problem, from: 0, method: 'stiff' });
      expect(run.reason).toBe('end');
      problem.end.forEach((value, i) => {
        expect(relative(run.end[i], value), `component ${i + 1}`).toBeLessThan(problem.agreement);
      });
      // An explicit method would need 1e15 of them; eleven decades of time take a few hundred each.
      if (problem.name === 'robertson 1e11') expect(run.steps).toBeLessThan(2000);
    });
  }
});

describe('order and dense output', () => {
  /** y' = -y^2 (1 + t) + 1, no closed form needed: error measured against a tight run. */
  const problem: Omit<OdeProblem, 'method'> = {
    derivative: (t, y, out) => {
      out[0] = -y[0] * y[0] * (1 + t) + Math.cos(3 * t) * y[1];
      out[1] = -y[1] + y[0] * t;
    },
    start: [1, 0.5],
    from: 0,
    to: 2,
  };
  const exact = solveOde({ ...problem, method: 'explicit', relativeTolerance: 1e-13, absoluteTolerance: 1e-14 }).end;

  /** Error with about `count` equal steps. */
  function errorWith(method: 'explicit' | 'stiff', count: number): number {
    const step = 2 / count;
    const run = solveOde({
      ...problem,
      method,
      relativeTolerance: 1e9,
      absoluteTolerance: 1,
      firstStep: step,
      maxStep: step,
    });
    expect(run.steps).toBe(count);
    return Math.hypot(run.end[0] - exact[0], run.end[1] - exact[1]);
  }

  it('the explicit pair has order 5, the stiff method order 4, on a problem that depends on time', () => {
    const explicit = Math.log2(errorWith('explicit', 20) / errorWith('explicit', 40));
    const stiff = Math.log2(errorWith('stiff', 40) / errorWith('stiff', 80));
    expect(explicit).toBeGreaterThan(4.5);
    expect(stiff).toBeGreaterThan(3.6);
  });

  it('states between steps are as good as the tolerance asks', () => {
    const at = Float64Array.from({ length: 201 }, (_, i) => i / 100);
    for (const method of ['explicit', 'stiff'] as const) {
      const coarse = solveOde({ ...problem, method, relativeTolerance: 1e-7, absoluteTolerance: 1e-8, outputAt: at });
      const fine = solveOde({
        ...problem,
        method: 'explicit',
        relativeTolerance: 1e-12,
        absoluteTolerance: 1e-13,
        outputAt: at,
        maxStep: 0.005,
      });
      expect(coarse.t.length).toBe(201);
      let worst = 0;
      for (let i = 0; i < coarse.y.length; i++) worst = Math.max(worst, Math.abs(coarse.y[i] - fine.y[i]));
      expect(worst).toBeLessThan(2e-6);
    }
  });

  it('the Arenstorf orbit returns after its period (Hairer, Norsett and Wanner I, II.0, from memory)', () => {
    const mu = 0.012277471;
    const nu = 1 - mu;
    const start = [0.994, 0, 0, -2.0015851063790824];
    const run = solveOde({
      derivative: (_, y, out) => {
        const d1 = ((y[0] + mu) ** 2 + y[1] ** 2) ** 1.5;
        const d2 = ((y[0] - nu) ** 2 + y[1] ** 2) ** 1.5;
        out[0] = y[2];
        out[1] = y[3];
        out[2] = y[0] + 2 * y[3] - (nu * (y[0] + mu)) / d1 - (mu * (y[0] - nu)) / d2;
        out[3] = y[1] - 2 * y[2] - (nu * y[1]) / d1 - (mu * y[1]) / d2;
      },
      start,
      from: 0,
      to: 17.065216560157964,
      method: 'explicit',
      relativeTolerance: 1e-12,
      absoluteTolerance: 1e-13,
    });
    expect(Math.abs(run.end[0] - start[0])).toBeLessThan(1e-4);
    expect(Math.abs(run.end[1])).toBeLessThan(1e-4);
  });
});

describe('events and ends', () => {
  const fall: Omit<OdeProblem, 'method'> = {
    derivative: (_, y, out) => {
      out[0] = y[1];
      out[1] = -9.80665;
    },
    start: [100, 0],
    from: 0,
    to: 100,
  };

  it('finds the moment of an event and stops there', () => {
    for (const method of ['explicit', 'stiff'] as const) {
      const run = solveOde({
        ...fall,
        method,
        relativeTolerance: 1e-10,
        events: [
          { name: 'half', value: (_, y) => y[0] - 50, direction: 'down' },
          { name: 'never', value: (_, y) => y[0] - 50, direction: 'up' },
          { name: 'ground', value: (_, y) => y[0], stop: true },
        ],
      });
      expect(run.reason).toBe('event');
      expect(run.hits.map((hit) => hit.name)).toEqual(['half', 'ground']);
      expect(relative(run.hits[0].t, Math.sqrt(100 / 9.80665))).toBeLessThan(1e-8);
      expect(relative(run.endT, Math.sqrt(200 / 9.80665))).toBeLessThan(1e-8);
      expect(run.t[run.t.length - 1]).toBe(run.endT);
    }
  });

  it('says so when it cannot go on, and bounds its work', () => {
    const blowUp = solveOde({
      derivative: (_, y, out) => {
        out[0] = y[0] * y[0];
      },
      start: [1],
      from: 0,
      to: 2,
      method: 'explicit',
    });
    expect(['failed', 'limit']).toContain(blowUp.reason);
    expect(blowUp.endT).toBeLessThan(1.001);
    expect(solveOde({ ...fall, method: 'explicit', maxStep: 1e-3, maxSteps: 50 }).reason).toBe('limit');
  });

  it('refuses what cannot be solved', () => {
    expect(() => solveOde({ ...fall, method: 'explicit', start: [Number.NaN, 0] })).toThrow(ArgumentError);
    expect(() => solveOde({ ...fall, method: 'explicit', to: -1 })).toThrow(ArgumentError);
    expect(() => solveOde({ ...fall, method: 'explicit', relativeTolerance: 0 })).toThrow(ArgumentError);
    expect(() => solveOde({ ...fall, method: 'explicit', outputAt: [3, 2] })).toThrow(ArgumentError);
  });
});
