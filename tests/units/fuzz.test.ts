import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { QuantityError } from '../../src/errors';
import { findUnit, formatQuantity, quantity } from '../../src/units';

/** Texts made of the pieces that labels and quantities are made of, and of anything. */
const piece = fc.constantFrom(
  'mbar',
  'L',
  '/',
  's',
  ' ',
  '·',
  '-',
  '(',
  ')',
  '[',
  '±',
  '1',
  'e',
  '.',
  ',',
  '%',
  'in',
  'Hg',
  '°',
  'C',
);
const text = fc.oneof(
  fc.string({ maxLength: 200 }),
  fc.array(piece, { maxLength: 40 }).map((p) => p.join('')),
);

describe('untrusted text', () => {
  it('never upsets findUnit', () => {
    fc.assert(
      fc.property(text, (label) => {
        const unit = findUnit(label);
        if (unit) expect(unit.scale).toBeGreaterThan(0);
      }),
      { numRuns: 3000 },
    );
  });

  it('is a quantity or a quantity error, and in no time', () => {
    const start = performance.now();
    fc.assert(
      fc.property(text, (words) => {
        try {
          const q = quantity(words);
          expect(Number.isFinite(q.si)).toBe(true);
          expect(q.standardUncertainty).toBeGreaterThanOrEqual(0);
        } catch (error) {
          if (!(error instanceof QuantityError)) throw error;
        }
      }),
      { numRuns: 3000 },
    );
    expect(performance.now() - start).toBeLessThan(10_000);
  });

  it('long runs of one sign do not slow the reading down', () => {
    const start = performance.now();
    for (const c of ['(', '-', '±', '1', 'e', ' ', '.', 'mbar', '/', '[', 'in']) {
      const long = c.repeat(120).slice(0, 119);
      findUnit(long.slice(0, 60));
      expect(() => quantity(`${long}`)).toThrow();
    }
    expect(performance.now() - start).toBeLessThan(1000);
  });

  it('a written quantity reads back as itself', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-9, max: 1e6, noNaN: true }),
        fc.double({ min: 0.01, max: 0.3, noNaN: true }),
        fc.constantFrom('mbar', 'Torr L/s', 'L', 'sccm (20 degC)', 'mTorr/h', 'm3/h'),
        (value, relative, unit) => {
          const q = quantity(`${value} ± ${value * relative} ${unit}`);
          const again = quantity(formatQuantity(q));
          expect(Math.abs(again.si / q.si - 1)).toBeLessThan(relative);
          expect(Math.abs(again.standardUncertainty / q.standardUncertainty - 1)).toBeLessThan(0.18);
        },
      ),
    );
  });
});
