/**
 * Records made for the bench of segmentation, with known boundaries: a chamber with loads, a pump, a valve that may be
 * slow, gas inlets, a gauge with lag, noise, drift and a last digit, a logger with jitter and gaps. Independent of the
 * simulator in `src/`. All numbers invented; every record is made again by its seed.
 */
import type { Channel, GaugeLog } from '../../src/log/gauge-log';
import type { SegmentKind } from '../../src/segments/segment';

/** Mulberry32, a small generator with a 32-bit seed. */
export function randomFrom(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** What truly happened in a stretch. */
export interface TrueStretch {
  readonly kind: SegmentKind;
  readonly fromS: number;
  toS: number;
  /** Isolations only: rise over the noise of one reading at its end, and good readings. */
  riseSigmas: number;
  readings: number;
  /** Isolations only: true where it follows a fill (no rate-of-rise test). */
  readonly afterFill: boolean;
}

export interface MadeRecord {
  readonly seed: number;
  readonly log: GaugeLog;
  readonly truth: readonly TrueStretch[];
  /** What was drawn, for looking into a failure. */
  readonly story: string;
}

interface Gauge {
  readonly relative: number;
  readonly zeroPa: number;
  readonly lagS: number;
  readonly digits: number;
  readonly stepPa: number;
  readonly lowPa: number;
  readonly highPa: number;
  readonly wander: number;
  readonly driftPerS: number;
}

type Chance = () => number;
const between = (r: Chance, low: number, high: number): number => low + (high - low) * r();
const logBetween = (r: Chance, low: number, high: number): number => low * (high / low) ** r();
const pick = <T>(r: Chance, items: readonly T[]): T =>
  items[Math.min(items.length - 1, Math.floor(r() * items.length))];
const normal = (r: Chance): number => Math.sqrt(-2 * Math.log(1 - r())) * Math.cos(2 * Math.PI * r());

/** What the gauge and its noise are, drawn for a system of the given base pressure. */
function drawGauge(r: Chance, basePa: number, dt: number): Gauge {
  const kind = pick(
    r,
    basePa < 0.02 ? ['ion', 'ion', 'combined'] : ['thermal', 'capacitance', 'combined', 'capacitance'],
  );
  const lagS = r() < 0.5 ? 0 : between(r, 0, 1.5) * dt;
  const wander = r() < 0.25 ? between(r, 0.3, 0.9) : 0;
  const none = { lagS, wander, digits: 0, stepPa: 0, driftPerS: 0, lowPa: 0, highPa: 2e5, zeroPa: 0 };
  if (kind === 'ion')
    return { ...none, relative: logBetween(r, 0.002, 0.03), digits: pick(r, [2, 3, 3, 4]), highPa: 10 };
  if (kind === 'combined') return { ...none, relative: logBetween(r, 0.001, 0.02), digits: pick(r, [0, 3, 3, 4]) };
  if (kind === 'thermal') {
    return {
      ...none,
      relative: logBetween(r, 0.001, 0.01),
      zeroPa: basePa * logBetween(r, 1e-3, 0.03),
      digits: pick(r, [2, 3, 3]),
    };
  }
  const zeroPa = basePa * logBetween(r, 3e-4, 0.05);
  return {
    ...none,
    relative: logBetween(r, 2e-5, 5e-4),
    zeroPa,
    stepPa: r() < 0.6 ? zeroPa * logBetween(r, 0.3, 6) : 0,
    driftPerS: r() < 0.3 ? (zeroPa * between(r, -1, 1) * 4) / (3000 * dt) : 0,
  };
}

const rounded = (p: number, gauge: Gauge): number => {
  if (gauge.stepPa > 0) return Math.round(p / gauge.stepPa) * gauge.stepPa;
  if (gauge.digits > 0 && p !== 0) return Number(p.toPrecision(gauge.digits));
  return p;
};

/** Standard deviation of one reading at a pressure, with the last digit's part. */
function sigmaAt(gauge: Gauge, p: number): number {
  const digit =
    gauge.stepPa > 0 ? gauge.stepPa : gauge.digits > 0 ? 10 ** (Math.floor(Math.log10(p)) + 1 - gauge.digits) : 0;
  return Math.hypot(gauge.zeroPa, gauge.relative * p, digit / Math.sqrt(12));
}

/** One act of the schedule: what the valve, the inlet and the controller do, for how long. */
interface Act {
  readonly kind: SegmentKind;
  readonly forS: number;
  /** Open fraction of the valve to the pump. */
  readonly open: number;
  /** Gas let in, Pa/s. */
  readonly inflow: number;
  /** Stop when this pressure is passed; Infinity for none. */
  readonly untilPa: number;
  /** Pressure held, Pa; 0 for none. */
  readonly holdPa: number;
  /** Gas set free at the beginning, Pa. */
  readonly burstPa: number;
  readonly afterFill: boolean;
}

const act = (kind: SegmentKind, forS: number, more: Partial<Act> = {}): Act => ({
  kind,
  forS,
  open: 1,
  inflow: 0,
  untilPa: Number.POSITIVE_INFINITY,
  holdPa: 0,
  burstPa: 0,
  afterFill: false,
  ...more,
});

/** Draws and computes one record. */
export function makeRecord(seed: number): MadeRecord {
  const r = randomFrom(seed * 7919 + 13);
  const dt = logBetween(r, 0.1, 60);
  const tau = dt * logBetween(r, 0.15, 25);
  const basePa = logBetween(r, 1e-6, 30);
  const gauge = drawGauge(r, basePa, dt);
  const pumpShare = r() < 0.35 ? between(r, 0.3, 0.97) : 0;
  const leak = ((basePa * (1 - pumpShare)) / tau) * between(r, 0, 1);
  const outgassing = (basePa * (1 - pumpShare)) / tau - leak;
  const pumpPa = basePa * pumpShare;
  const startsHigh = r() < 0.75;
  const reference = dt * logBetween(r, 100, 800);
  const heat =
    r() < 0.3 ? { size: between(r, 0.02, 0.3), period: dt * logBetween(r, 150, 2500), phase: r() * 6.3 } : null;
  const acts = drawActs(r, { dt, tau, basePa, load: leak + outgassing, startsHigh, gauge });
  const slowClosing = r() < 0.25 ? between(r, 0.5, 3) * dt : 0;

  // The chamber, in steps fine enough for the valve; each step exact for constant load and speed.
  const time: number[] = [];
  const seen: number[] = [];
  const flags: number[] = [];
  const truth: TrueStretch[] = [];
  let now = 0;
  let p = startsHigh ? 101325 : basePa * 1.05;
  let lagged = p;
  let wander = 0;
  let pumpedFor = startsHigh ? 0 : reference;
  let open = acts[0].open;
  let holdNoise = 0;
  let nextReading = 0;
  const burstRate = r() < 0.2 ? 1 / (400 * dt) : 0;
  const spikeRate = r() < 0.2 ? 1 / 500 : 0;
  const gapAt = r() < 0.25 ? r() : -1;
  const total = acts.reduce((sum, a) => sum + a.forS, 0);
  const equalStamps = r() < 0.1;
  const fine = dt / 5;
  for (const one of acts) {
    const began = now;
    let readings = 0;
    p += one.burstPa;
    const entryPa = p - one.burstPa;
    while (now - began < one.forS && !(one.inflow > 0 && p >= one.untilPa)) {
      const rampS = one.open < open ? slowClosing : 0;
      open = rampS > 0 ? Math.max(one.open, open - fine / rampS) : one.open;
      const warm = heat === null ? 1 : 1 + heat.size * Math.sin((6.283 * now) / heat.period + heat.phase);
      const load = leak + outgassing * warm * (reference / (reference * 0.3 + pumpedFor)) + one.inflow;
      const rate = open / tau;
      if (one.holdPa > 0) {
        holdNoise += -holdNoise * 0.15 + normal(r) * 0.5;
        p += (one.holdPa * (1 + 2e-4 * holdNoise) - p) * Math.min(1, fine / dt / 2);
      } else if (rate > 0) {
        const limit = pumpPa + load / rate;
        p = limit + (p - limit) * Math.exp(-rate * fine);
      } else p += load * fine;
      if (p > 101325 && one.holdPa === 0) p = 101325;
      if (one.open > 0 && r() < burstRate * fine) p += basePa * logBetween(r, 0.2, 20);
      now += fine;
      if (one.kind !== 'atmosphere') pumpedFor += one.open > 0 ? fine : 0;
      if (p > 1000 && (one.inflow > 0 || one.holdPa > 0)) pumpedFor = 0;
      lagged += (p - lagged) * (gauge.lagS > 0 ? 1 - Math.exp(-fine / gauge.lagS) : 1);
      if (now < nextReading) continue;
      nextReading += dt * between(r, 0.97, 1.03);
      if (gapAt >= 0 && now > gapAt * total && now < gapAt * total + 12 * dt) continue;
      wander = gauge.wander * wander + Math.sqrt(1 - gauge.wander ** 2) * normal(r);
      let reading = lagged + wander * Math.hypot(gauge.zeroPa, gauge.relative * lagged) + gauge.driftPerS * now;
      if (r() < spikeRate) reading *= between(r, 1.5, 30);
      const flag = reading > gauge.highPa ? 4 : reading < gauge.lowPa ? 2 : 0;
      time.push(equalStamps ? Math.floor(now / (2 * dt)) * 2 * dt : now);
      seen.push(rounded(reading, gauge));
      flags.push(flag);
      if (flag === 0) readings++;
    }
    const last = truth[truth.length - 1];
    const stretch: TrueStretch = {
      kind: one.kind,
      fromS: began,
      toS: now,
      riseSigmas: (p - entryPa) / sigmaAt(gauge, p),
      readings,
      afterFill: one.afterFill,
    };
    if (last !== undefined && last.kind === one.kind && one.kind === 'pump-down') last.toS = now;
    else truth.push(stretch);
  }
  const values = Float64Array.from(seen);
  const channel = gaugeColumn('p', values, { flags: Uint8Array.from(flags), resolution: gauge.stepPa });
  const story =
    `dt ${dt.toPrecision(3)} tau ${tau.toPrecision(3)} base ${basePa.toPrecision(3)} pump ${pumpShare.toFixed(2)} ` +
    `rel ${gauge.relative.toPrecision(2)} zero ${gauge.zeroPa.toPrecision(2)} step ${gauge.stepPa.toPrecision(2)} ` +
    `digits ${gauge.digits} wander ${gauge.wander.toFixed(2)} lag/dt ${(gauge.lagS / dt).toFixed(2)} ` +
    `heat ${heat === null ? 0 : heat.size.toFixed(2)} slow/dt ${(slowClosing / dt).toFixed(1)} ` +
    `burst ${burstRate > 0} spikes ${spikeRate > 0} equal ${equalStamps}`;
  return { seed, log: asLog(`made-${seed}.csv`, Float64Array.from(time), [channel]), truth, story };
}

/** A channel of pressures in Pa. */
export function gaugeColumn(name: string, values: ArrayLike<number>, more: Partial<Channel> = {}): Channel {
  const pa = Float64Array.from(values);
  return {
    name,
    column: 2,
    quantity: 'pressure',
    unit: 'Pa',
    unitFrom: 'header',
    siUnit: 'Pa',
    values: pa,
    flags: new Uint8Array(pa.length),
    resolution: 0,
    ...more,
  };
}

/** A log around given columns. */
export function asLog(file: string, time: Float64Array, channels: readonly Channel[]): GaugeLog {
  return {
    file,
    sha256: '0'.repeat(64),
    description: {
      encoding: 'utf-8',
      compression: 'none',
      format: 'text',
      separator: ',',
      decimalMark: '.',
      headerLine: 1,
      unitsLine: 0,
      firstDataLine: 2,
      commentMark: '',
      time: { columns: [1], format: 'seconds' },
      columns: [],
      grounds: {},
      assumptions: [],
      questions: [],
    },
    rows: time.length,
    start: null,
    time,
    timeNotes: [],
    channels,
    remarks: [],
    assumptions: [],
    questions: [],
    leftOut: {},
  };
}

interface Setting {
  readonly dt: number;
  readonly tau: number;
  readonly basePa: number;
  readonly load: number;
  readonly startsHigh: boolean;
  readonly gauge: Gauge;
}

/** Draws a schedule: about four records in ten have no isolation. */
function drawActs(r: Chance, setting: Setting): Act[] {
  const { dt, tau, basePa, load, startsHigh, gauge } = setting;
  const acts: Act[] = [];
  const settle = (): number => Math.max(tau * between(r, 18, 26), dt * between(r, 60, 900));
  const pump = (): Act => act('pump-down', settle());
  if (startsHigh) {
    acts.push(act('atmosphere', dt * between(r, 5, 60), { open: 0, inflow: 1e6, untilPa: Number.POSITIVE_INFINITY }));
    acts.push(pump());
    const purges = r() < 0.25 ? 1 + Math.floor(r() * 3) : 0;
    for (let i = 0; i < purges; i++) {
      const toPa = logBetween(r, 3e3, 7e4);
      const inflow = toPa / (dt * between(r, 8, 150));
      if (inflow < (8 * basePa) / tau) continue;
      acts.push(act('fill', dt * 1000, { open: 0, inflow, untilPa: toPa }));
      const hold = r();
      if (hold < 0.3) acts.push(act('regulated', dt * between(r, 30, 300), { open: 0, holdPa: toPa }));
      else if (hold < 0.5) acts.push(act('isolation', dt * between(r, 20, 100), { open: 0, afterFill: true }));
      acts.push(pump());
    }
  } else acts.push(act('pump-down', dt * between(r, 80, 900)));
  if (r() < 0.2) {
    // Gas let through while the pump works: a step up to a plateau, then off.
    const plateau = basePa * logBetween(r, 8, 3000);
    if (plateau < 3e4) {
      acts.push(act('regulated', Math.max(10 * tau, dt * between(r, 30, 300)), { inflow: (plateau - basePa) / tau }));
      acts.push(pump());
    }
  }
  const isolations = r() < 0.4 ? 0 : 1 + Math.floor(r() * 3);
  for (let i = 0; i < isolations; i++) {
    const rows = logBetween(r, 10, 1500);
    const burstPa = r() < 0.2 ? basePa * between(r, 0.05, 0.6) : 0;
    acts.push(act('isolation', dt * rows, { open: 0, burstPa }));
    if (i < isolations - 1 || r() < 0.6) {
      if (r() < 0.15) {
        const inflow = Math.max(100 * load, 2e4 / (dt * between(r, 20, 150)));
        acts.push(act('fill', dt * 2000, { open: 0, inflow, untilPa: 6e4 }));
      }
      acts.push(pump());
    }
  }
  if (r() < 0.25 && gauge.highPa > 1e5) {
    const inflow = 1e5 / (dt * between(r, 10, 200));
    if (inflow > (8 * basePa) / tau) {
      acts.push(act('venting', dt * 1000, { open: 0, inflow, untilPa: 101300 }));
      acts.push(act('atmosphere', dt * between(r, 20, 100), { open: 0, inflow: 1e6 }));
    }
  }
  return acts;
}
