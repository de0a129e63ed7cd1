import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

/** Where a published value comes from: read in its source, worked out from it, or recalled. */
type Kind = 'seen' | 'calc' | 'from memory';

interface Row {
  readonly what: string;
  readonly source: string;
  readonly kind: readonly Kind[];
  /** Within this of the expected value; relative where no unit is given. */
  readonly tolerance: string;
  /** The test file, below `tests/`, and words of the title under which it stands there. */
  readonly file: string;
  readonly title: string;
}

/** What has to be checked against the outside, and where it is. A row whose test goes away fails here. */
const ROWS: Readonly<Record<string, Row>> = {
  T1: {
    what: 'rate of rise with temperature, mol/s',
    source: '40 CFR 1065.644, worked example',
    kind: ['seen', 'calc'],
    tolerance: '3e-6 (R as the regulation has it: 1e-6)',
    file: 'published/flow.test.ts',
    title: '40 CFR 1065.644 example',
  },
  T2: {
    what: 'air leakage from a rise, lb/h',
    source: 'Ryans and Roper 1986, eq. 4-10',
    kind: ['seen', 'calc'],
    tolerance: '1e-4 on the formula, 0.3 % on the physics',
    file: 'published/flow.test.ts',
    title: 'Ryans and Roper eq. 4-10',
  },
  T3: {
    what: 'three pump-down times',
    source: 'Engineering ToolBox, Vacuum - Evacuation Time',
    kind: ['seen'],
    tolerance: '0.06 s (rounding)',
    file: 'published/flow.test.ts',
    title: 'Engineering ToolBox',
  },
  T4: {
    what: 'two pump-down times',
    source: 'Esposito, Fluid Power with Applications, Example 14.6',
    kind: ['seen'],
    tolerance: '0.005 min',
    file: 'published/flow.test.ts',
    title: 'Esposito 14.6',
  },
  T5: {
    what: 'choked flow out of a tyre',
    source: 'Cengel and Cimbala, Fluid Mechanics, Example 12-5',
    kind: ['seen'],
    tolerance: '0.001 kg/min',
    file: 'published/flow.test.ts',
    title: 'Cengel and Cimbala, Example 12-5',
  },
  T6: {
    what: 'surface of three beam-tube modules from load and rate',
    source: 'LIGO Hanford log, entry 5775',
    kind: ['seen'],
    tolerance: '1 %; geometry 8 %',
    file: 'published/flow.test.ts',
    title: 'LIGO module %s',
  },
  T7: {
    what: 'upper bound of the leakage of a decay tube',
    source: 'CERN, CNGS project page, 30 April 2004',
    kind: ['seen', 'calc'],
    tolerance: '1e-3',
    file: 'published/flow.test.ts',
    title: 'CNGS decay tube',
  },
  T8: {
    what: 'five-point rise: falling slopes, not a constant leak',
    source: 'open course for vacuum technicians, module 2',
    kind: ['seen'],
    tolerance: 'the class',
    file: 'investigation/published-examples.test.ts',
    title: 'the rise table of an open course for technicians',
  },
  T9: {
    what: 'a viscous helium leak at another pressure and as air',
    source: 'the flow law of Poiseuille',
    kind: ['calc'],
    tolerance: '1e-3',
    file: 'published/flow.test.ts',
    title: 'helium from 10 to 20 atm',
  },
  T10: {
    what: 'leak rates from helium to another gas',
    source: "Perry's viscosities, standard masses",
    kind: ['calc'],
    tolerance: '1 %',
    file: 'published/kinetic-theory.test.ts',
    title: 'leak rates from helium to another gas',
  },
  T11: {
    what: 'mean free path, speed, collisions, density at sea level',
    source: 'U.S. Standard Atmosphere 1976',
    kind: ['seen'],
    tolerance: '2e-4',
    file: 'published/kinetic-theory.test.ts',
    title: 'U.S. Standard Atmosphere 1976 at sea level',
  },
  T12: {
    what: 'mean free paths of nine gases',
    source: 'CRC Handbook, mean free path and related properties',
    kind: ['seen'],
    tolerance: '0.5 %',
    file: 'published/kinetic-theory.test.ts',
    title: 'CRC Handbook, mean free path and related properties',
  },
  T13: {
    what: 'water and ice',
    source: 'IAPWS check values',
    kind: ['seen'],
    tolerance: '1e-5; 300 K by another equation 1e-4',
    file: 'published/vapour-pressure.test.ts',
    title: 'water and ice by IAPWS',
  },
  T14: {
    what: 'boiling points of solvents',
    source: 'CRC Handbook against Poling, Antoine',
    kind: ['seen'],
    tolerance: '0.2 K',
    file: 'published/vapour-pressure.test.ts',
    title: 'at 25 degC, boils at %f K',
  },
  T15: {
    what: 'nonlinear least squares, ten sets from both starts',
    source: 'NIST Statistical Reference Datasets',
    kind: ['seen'],
    tolerance: 'digits printed in docs/nist-strd.md',
    file: 'published/nist-strd.test.ts',
    title: 'least squares on the NIST Statistical Reference Datasets',
  },
  T16: {
    what: 'pressure units, and the millimetre of mercury of UCUM',
    source: 'NIST SP 811; UCUM 2.2',
    kind: ['seen', 'calc', 'from memory'],
    tolerance: 'to the printed digits',
    file: 'published/units.test.ts',
    title: 'nor UCUM metre of mercury',
  },
  T17: {
    what: 'std cm3/s and mol/s',
    source: 'ASTM E1003, ASTM E499',
    kind: ['seen'],
    tolerance: '2 %',
    file: 'published/units.test.ts',
    title: 'pair 1e-4 std cm3/s with 4.5e-9 mol/s',
  },
  T18: {
    what: 'upper bound of the pressure by desorption',
    source: '23rd AVS Symposium 1976, abstract',
    kind: ['seen', 'calc'],
    tolerance: '0.5 %',
    file: 'published/flow.test.ts',
    title: 'AVS 1976 upper bound',
  },
  T19: {
    what: 'transmission probability of round tubes',
    source: 'an independent solution of the integral equation; Cole 1977',
    kind: ['calc', 'from memory'],
    tolerance: '2e-6',
    file: 'published/flow.test.ts',
    title: 'L/R = %f: %f (calc, an independent solution',
  },
  T20: {
    what: 'two volumes: time constants and courses',
    source: 'eigenvalues',
    kind: ['calc'],
    tolerance: '1e-6',
    file: 'published/two-volumes-and-outgassing.test.ts',
    title: 'two volumes',
  },
  T21: {
    what: 'rise by outgassing after isolation',
    source: 'the power law integrated',
    kind: ['calc'],
    tolerance: 'to the printed digits',
    file: 'published/two-volumes-and-outgassing.test.ts',
    title: 'outgassing accumulates',
  },
  T22: {
    what: 'sensitivities of ionisation gauges',
    source: 'Redhead in the CRC Handbook',
    kind: ['seen'],
    tolerance: 'exact',
    file: 'published/gauges.test.ts',
    title: 'seen: CRC Handbook, Redhead; exact',
  },
  T23: {
    what: 'ideal factors of heat-conduction gauges',
    source: 'kinetic theory',
    kind: ['calc'],
    tolerance: '1e-3',
    file: 'published/gauges.test.ts',
    title: 'heat-conduction gauges, ideal factors',
  },
};

/** Titles of the tests and groups in a file: what stands as the first text of `it`, `describe` and their tables. */
function titlesOf(file: string): string[] {
  const text = readFileSync(join(__dirname, '..', file), 'utf8');
  return [...text.matchAll(/(?:\b(?:it|describe)\(|^\s*\]\)\()(['"`])(.*?)\1,/gm)].map((match) => match[2]);
}

describe('the table of published checks', () => {
  it('has its twenty-three rows', () => {
    expect(Object.keys(ROWS)).toEqual(Array.from({ length: 23 }, (_, i) => `T${i + 1}`));
  });

  it.each(Object.entries(ROWS))('%s stands in its file once, with source and kind', (_, row) => {
    expect(titlesOf(row.file).filter((title) => title.includes(row.title))).toHaveLength(1);
    expect(row.source.length).toBeGreaterThan(5);
    expect(row.kind.length).toBeGreaterThan(0);
  });

  it('would miss a row that is gone', () => {
    expect(titlesOf('published/flow.test.ts').filter((title) => title.includes('Esposito 99.9'))).toEqual([]);
  });
});
