import { ArgumentError } from '../errors';
import { requireFinite } from './check';

const NODES = [
  0.9914553711208126, 0.9491079123427585, 0.8648644233597691, 0.7415311855993945, 0.5860872354676911,
  0.4058451513773972, 0.20778495500789848, 0,
];
const KRONROD = [
  0.022935322010529224, 0.06309209262997856, 0.10479001032225019, 0.14065325971552592, 0.1690047266392679,
  0.19035057806478542, 0.20443294007529889, 0.20948214108472782,
];
const GAUSS = [0.1294849661688697, 0.27970539148927664, 0.3818300505051189, 0.4179591836734694];

interface Panel {
  readonly from: number;
  readonly to: number;
  readonly value: number;
  readonly error: number;
}

function panel(f: (x: number) => number, from: number, to: number): Panel {
  const middle = (from + to) / 2;
  const half = (to - from) / 2;
  let kronrod = 0;
  let gauss = 0;
  for (let i = 0; i < 8; i++) {
    const pair = i === 7 ? f(middle) : f(middle - half * NODES[i]) + f(middle + half * NODES[i]);
    kronrod += KRONROD[i] * pair;
    if (i % 2 === 1) gauss += GAUSS[(i - 1) / 2] * pair;
  }
  return { from, to, value: half * kronrod, error: Math.abs(half * (kronrod - gauss)) };
}

/**
 * Definite integral by adaptive Gauss-Kronrod quadrature, 7 and 15 points (Kronrod 1965; as in QUADPACK's QAG).
 * @param f the integrand
 * @param from lower end, unit of x
 * @param to upper end, unit of x
 * @param relativeTolerance wanted relative error
 * @param absoluteTolerance wanted absolute error, unit of the integral
 * @returns the integral and a cautious estimate of its error; `reached` is false where the tolerance was not met
 * @throws ArgumentError where an end or a value of f is not finite
 */
export function integrate(
  f: (x: number) => number,
  from: number,
  to: number,
  relativeTolerance = 1e-10,
  absoluteTolerance = 0,
): { readonly value: number; readonly error: number; readonly reached: boolean } {
  requireFinite('lower end of the integral', from);
  requireFinite('upper end of the integral', to);
  const panels = [panel(f, from, to)];
  for (let i = 0; i < 2000; i++) {
    let value = 0;
    let error = 0;
    let worst = 0;
    for (let p = 0; p < panels.length; p++) {
      value += panels[p].value;
      error += panels[p].error;
      if (panels[p].error > panels[worst].error) worst = p;
    }
    if (!Number.isFinite(value)) throw new ArgumentError('integrand', 'a value that is not finite', 'finite values');
    const wanted = Math.max(absoluteTolerance, relativeTolerance * Math.abs(value), 1e-15 * Math.abs(value));
    const { from: a, to: b } = panels[worst];
    const middle = (a + b) / 2;
    if (error <= wanted || middle === a || middle === b) return { value, error, reached: error <= wanted };
    panels[worst] = panel(f, a, middle);
    panels.push(panel(f, middle, b));
  }
  const value = panels.reduce((sum, p) => sum + p.value, 0);
  return { value, error: panels.reduce((sum, p) => sum + p.error, 0), reached: false };
}
