import { describe, expect, it } from 'vitest';
import { type AnalyseOptions, type Analysis, analyse } from '../../src/investigation';
import { readLog } from '../../src/log';
import { fromSI, molarFlow, quantity, toSI } from '../../src/units';

/** A log as text, read and analysed, the whole way. */
function analysed(header: string, rows: readonly (readonly [number, string])[], options: AnalyseOptions): Analysis {
  const text = [header, ...rows.map(([t, p]) => `${t},${p}`)].join('\n');
  return analyse(readLog(new TextEncoder().encode(text), { file: 'example.csv' }), options);
}

const series = (n: number, of: (i: number) => readonly [number, string]): (readonly [number, string])[] =>
  Array.from({ length: n }, (_, i) => of(i));

describe('a vacuum-decay leak test of an emission sampling system', () => {
  // 40 CFR 1065.644, example (read: the whole section but its last line): V = 2.0000 L, 25.300 to 50.600 kPa in 70 s,
  // 293.15 K; its R is 8.314472 J/(mol K). The molar leak is 2.96570e-4 mol/s by its formula (calc); the regulation
  // prints 0.00030 mol/s (from memory: CFR). The readings between the two are ours: a straight rise.
  const log = series(71, (i) => [i, (25.3 + (25.3 * i) / 70).toFixed(3)]);
  const { fits, segmented } = analysed('time (s),pressure (kPa)', log, {
    volume: quantity('2.0000 L'),
    gauge: 'capacitance',
  });

  it('is found to be one isolation', () => {
    expect(segmented.segments.map((s) => s.kind)).toEqual(['isolation']);
  });

  it('gives the molar leak of the regulation', () => {
    const load = fits.isolations[0].gasLoad!;
    expect(molarFlow(load.value, 293.15) / 2.9657e-4).toBeCloseTo(1, 4);
    expect(molarFlow(load.value, 293.15).toFixed(5)).toBe('0.00030');
    expect(load.low).toBeLessThan(0.722857);
    expect(load.high).toBeGreaterThan(0.722857);
  });

  it('corrects for a gas that warms by 1 K: 2.94554e-4 mol/s by the same formula (calc)', () => {
    const rows = series(71, (i): readonly [number, string] => [
      i,
      `${(25.3 + (25.3 * i) / 70).toFixed(3)},${(293.15 + i / 70).toFixed(4)}`,
    ]);
    const warm = analysed('time (s),pressure (kPa),gas (K)', rows, {
      volume: quantity('2.0000 L'),
      gauge: 'capacitance',
      temperatureChannel: 'gas (K)',
    });
    const rise = warm.fits.isolations[0];
    expect(rise.temperatureCorrected).toBe(true);
    // Loads are at the mean temperature of the window, 293.65 K.
    expect(molarFlow(rise.gasLoad!.value, 293.65) / 2.94554e-4).toBeCloseTo(1, 4);
  });
});

describe('air leakage of a process vessel', () => {
  // Ryans and Roper, Process Vacuum System Design and Operation, McGraw-Hill 1986, eq. 4-10 as transcribed in
  // juleshenry/vakyume (book not seen): W = 0.0059 V dp / t x 530 / T, lb/h, ft3, Torr, min, degR. For 1000 ft3, 10 Torr in
  // 60 min at 530 degR it gives 0.9833 lb/h; exact physics 0.9855 lb/h = 104.87 mbar L/s (calc).
  const log = series(121, (i) => [i / 2, (1 + (10 * i) / 120).toFixed(4)]);
  const { fits } = analysed('time (min),pressure (Torr)', log, { volume: quantity('1000 ft3'), gauge: 'piezo' });
  const load = fits.isolations[0].gasLoad!;

  it('agrees with the formula to 0.3 %, as a mass of air', () => {
    const kelvin = (530 * 5) / 9;
    const poundsPerHour = (molarFlow(load.value, kelvin) * 0.0289647 * 3600) / 0.45359237;
    expect(Math.abs(poundsPerHour / 0.9833 - 1)).toBeLessThan(0.003);
  });

  it('is 104.87 mbar L/s', () => {
    expect(fromSI(load.value, 'mbar L/s')).toBeCloseTo(104.87, 1);
    expect(fromSI(load.low, 'mbar L/s')).toBeLessThan(104.87);
    expect(fromSI(load.high, 'mbar L/s')).toBeGreaterThan(104.87);
  });
});

describe('evacuation of a tank', () => {
  // Engineering ToolBox, "Vacuum - Evacuation Time" (whole page read): 1 m3, 0.1 m3/s, from 1000 mbar: 6.9 s to
  // 500 mbar, 23 s to 100 mbar, 46 s to 10 mbar. The readings are ours, from the page's formula.
  const log = series(141, (i) => [i / 2, (1000 * Math.exp(-0.05 * i)).toPrecision(5)]);
  const setPointsPa = [500, 100, 10].map((p) => toSI(p, 'mbar'));
  const { fits } = analysed('time (s),pressure (mbar)', log, { volume: quantity('1 m3'), setPointsPa });

  it('reaches 500, 100 and 10 mbar when the page says', () => {
    const [pumpDown] = fits.pumpDowns;
    expect(pumpDown.times.map((t) => Number(t.afterS!.toPrecision(2)))).toEqual([6.9, 23, 46]);
  });

  it('has the effective speed of the pump inside its interval', () => {
    const speed = fits.pumpDowns[0].effectiveSpeed!;
    expect(speed.low).toBeLessThan(0.1);
    expect(speed.high).toBeGreaterThan(0.1);
    expect(Math.abs(speed.value / 0.1 - 1)).toBeLessThan(0.03);
  });
});

describe('a suction lift', () => {
  // FOSSEE Scilab-TBC-Uploads 788/CH14, Example 14.6 (script read; the book, from memory, A. Esposito, Fluid Power with
  // Applications): 6 ft3, 4 scfm, 30 inHg abs to 6 inHg in 2.41 min, to 0.5 inHg in 6.14 min.
  const log = series(81, (i) => [i / 10, (30 * Math.exp((-4 / 6) * (i / 10))).toPrecision(6)]);
  const setPointsPa = [6, 0.5].map((p) => toSI(p, 'inHg'));
  const { fits } = analysed('time (min),pressure (inHg abs)', log, { volume: quantity('6 ft3'), setPointsPa });

  it('takes 2.41 and 6.14 minutes', () => {
    const minutes = fits.pumpDowns[0].times.map((t) => t.afterS! / 60);
    expect(Math.abs(minutes[0] - 2.41)).toBeLessThan(0.005);
    expect(Math.abs(minutes[1] - 6.14)).toBeLessThan(0.005);
  });

  it('has 4 ft3/min inside its interval', () => {
    const speed = fits.pumpDowns[0].effectiveSpeed!;
    const pump = toSI(1, 'ft3') * (4 / 60);
    expect(speed.low).toBeLessThan(pump);
    expect(speed.high).toBeGreaterThan(pump);
  });
});

describe('the rise table of an open course for technicians', () => {
  // Vacuum technician open course, module 2 (openings read): 0, 1, 3, 5, 10 min -> 0.20, 0.30, 0.43, 0.50, 0.58 mbar;
  // slopes of the intervals 0.100, 0.065, 0.035, 0.016 mbar/min; the course's verdict: outgassing, no constant leak.
  const table: [number, string][] = [
    [0, '0.20'],
    [1, '0.30'],
    [3, '0.43'],
    [5, '0.50'],
    [10, '0.58'],
  ];
  const { fits } = analysed('time (min),pressure (mbar)', table, {});
  const perMinute = (rate: number): number => fromSI(rate, 'mbar/s') * 60;

  it('is one isolation of five readings whose mean rate is 0.038 mbar/min (calc: 0.38 mbar in 10 min)', () => {
    const [rise] = fits.isolations;
    expect(rise.rows.length).toBe(5);
    expect(perMinute(rise.rate.low)).toBeLessThan(0.038);
    expect(perMinute(rise.rate.high)).toBeGreaterThan(0.038);
  });

  it('is not constant: the rate at closing is above, the rate at the end below the mean, beyond their intervals', () => {
    const [rise] = fits.isolations;
    expect(perMinute(rise.initialRate.low)).toBeGreaterThan(perMinute(rise.finalRate.high));
    expect(perMinute(rise.initialRate.low)).toBeGreaterThan(0.065);
    expect(perMinute(rise.finalRate.high)).toBeLessThan(0.035);
  });
});
