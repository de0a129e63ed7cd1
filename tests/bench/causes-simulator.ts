/**
 * Makes vacuum records with known truth for the bench of the finding. It shares no code with `src/`: pressures are
 * stepped through time as partial pressures of air and vapour, and a third of the records follow physics that the
 * fitted models do not have (self-cooling liquid, viscous paths, desorption from many sites, room swings, gauge lag).
 * Records are invented; they stand for no real system.
 */

export type TrueCause =
  | 'real leak'
  | 'virtual leak'
  | 'outgassing'
  | 'evaporation'
  | 'passing valve'
  | 'pump side'
  | 'temperature'
  | 'sink'
  | 'measurement'
  | 'none';

export type Principle = 'thermal' | 'capacitance' | 'hot-cathode' | 'cold-cathode' | 'piezo' | 'combined';

/** A made record. */
export interface MadeRecord {
  readonly seed: number;
  readonly timeS: Float64Array;
  /** Reading, Pa; NaN where missing. */
  readonly reading: Float64Array;
  /** 0 good, 2 under range, 4 over range, 1 missing, as the log's flags. */
  readonly flags: Uint8Array;
  readonly resolution: number;
  readonly segments: readonly { kind: string; from: number; to: number }[];
  readonly gauge: Principle;
  readonly volumeM3: number;
  readonly volumeRelative: number;
  readonly volumeStatedM3: number;
  readonly targetPa: number | null;
  readonly limitPaM3S: number;
  readonly leakPaM3S: number;
  readonly mainCauses: readonly TrueCause[];
  readonly mixture: boolean;
  readonly foreign: boolean;
  readonly hard: boolean;
  readonly isolations: number;
  /** Standard error of a leak from the longest isolation by noise alone, Pa m3/s: the detection limit's scale. */
  readonly noiseLeakPaM3S: number;
  readonly what: string;
}

interface Source {
  readonly cause: TrueCause;
  /** Advances by h and returns flows into the chamber, Pa m3/s, air and vapour. */
  step(
    t: number,
    h: number,
    air: number,
    vapour: number,
    isolated: boolean,
    room: number,
  ): { air: number; vapour: number };
  vent?(t: number): void;
}

/** Park-Miller style 32-bit mixing generator of our own for the bench, independent of the package's. */
export function benchRandom(seed: number): () => number {
  let a = (seed * 2654435761) >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const KINDS: readonly (readonly [string, number])[] = [
  ['leak', 16],
  ['outgassing', 16],
  ['virtual', 11],
  ['evaporation', 10],
  ['leak+outgassing', 10],
  ['leak+virtual', 6],
  ['leak+evaporation', 4],
  ['outgassing+virtual', 3],
  ['seat', 6],
  ['pump', 7],
  ['temperature', 4],
  ['sink', 3],
  ['zero', 3],
  ['none', 6],
];

/**
 * Makes one record.
 * @param seed whole number; equal seeds make equal records
 */
export function makeRecord(seed: number): MadeRecord {
  const random = benchRandom(seed);
  for (let i = 0; i < 5; i++) random();
  const uniform = (a: number, b: number): number => a + (b - a) * random();
  const logu = (a: number, b: number): number => a * (b / a) ** random();
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const chance = (p: number): boolean => random() < p;

  const foreign = seed % 3 === 0;
  const hard = chance(0.45);
  const kind = pick(KINDS, random);
  const V = logu(2e-3, 0.5);
  let speedPerV = logu(0.02, 0.4);
  const gaugeRoll = random();
  const gauge: Principle = gaugeRoll < 0.4 ? 'capacitance' : gaugeRoll < 0.75 ? 'thermal' : 'hot-cathode';
  const isolationCount = chance(0.3) ? 1 : chance(0.6) ? 2 : 3;
  const T = logu(hard ? 120 : 400, hard ? 2000 : 5400);
  const dt = Math.max(0.5, Math.min(30, Math.round((T / logu(60, 900)) * 2) / 2));
  const t1 = logu(8, 40) / speedPerV + logu(300, 7200);
  const between = logu(0.6, 3) * Math.max(t1, T);
  const startsPumped = chance(0.2);

  // Size of the rise that the main source makes, by what the gauge can see.
  const workPa = gauge === 'hot-cathode' ? logu(1e-4, 3e-2) : gauge === 'thermal' ? logu(0.8, 60) : logu(0.5, 80);
  const rate = workPa / T;
  const Q = rate * V;

  // Room.
  const swingK = foreign ? logu(0.1, 1.2) : 0.03;
  const period = logu(900, 14000);
  const phase = uniform(0, 6.28);
  const drift = foreign ? (normal() * 0.3) / 3600 : 0;
  const big = kind === 'temperature';
  const roomAmp = big ? uniform(0.8, 3) : swingK;
  const room = (t: number): number => 293 + roomAmp * Math.sin((2 * Math.PI * t) / period + phase) + drift * t;

  const t0 = startsPumped ? -logu(600, 40000) : 0;
  const sources: Source[] = [];
  const leak = { q: 0 };
  const addLeak = (q: number): void => {
    leak.q += q;
    sources.push({ cause: 'real leak', step: () => ({ air: q, vapour: 0 }) });
  };
  const closeRef = startsPumped ? 200 : t1;
  const addOutgassing = (q: number): void => {
    sources.push(
      foreign && chance(0.6)
        ? manySites(q, closeRef - t0, V, uniform(0.05, 0.25), chance(0.3) ? logu(0.1, 1) / T : 0, t0)
        : powerLaw(
            q,
            closeRef - t0,
            chance(0.7) ? uniform(0.8, 1.2) : uniform(0.45, 0.7),
            logu(1, 200),
            foreign ? 0.13 : 0,
            t0,
          ),
    );
  };
  const addPocket = (rise: number): void => {
    const tau = logu(0.25 * T, foreign ? 3 * T : 2.5 * T) * (1 + (0.4 * closeRef) / T);
    sources.push(pocket(rise, tau, closeRef - t0, V, T, foreign && chance(0.6), t0));
  };
  const addVapour = (kT?: number): void => {
    const liquid = chance(0.5) ? 'water' : chance(0.5) ? 'solvent' : 'ice';
    const ps = liquid === 'water' ? uniform(900, 3000) : liquid === 'solvent' ? logu(2500, 20000) : logu(20, 550);
    sources.push(
      foreign
        ? coolingPool(ps, (kT ?? logu(0.7, 12)) / T, V, chance(0.3), random)
        : plainPool(ps, (kT ?? logu(0.8, 15)) / T, V),
    );
  };
  const background = (): void => {
    if (chance(0.7)) addOutgassing(Q * logu(0.005, 0.12));
  };

  let seat = 0;
  let pult = (logu(1e-4, 0.02) * rate) / speedPerV;
  let zero = 0;
  let main: TrueCause | null = null;
  let highStart = 0;
  let pump = false;
  let evaporating = false;
  switch (kind) {
    case 'leak':
      addLeak(Q);
      background();
      break;
    case 'outgassing':
      addOutgassing(Q);
      break;
    case 'virtual':
      addPocket(workPa);
      background();
      break;
    case 'evaporation':
      evaporating = true;
      addVapour();
      break;
    case 'leak+outgassing': {
      const share = uniform(0.12, 0.88);
      addLeak(Q * share);
      addOutgassing(Q * (1 - share));
      break;
    }
    case 'leak+virtual': {
      const share = uniform(0.15, 0.85);
      addLeak(Q * share);
      addPocket(workPa * (1 - share));
      break;
    }
    case 'leak+evaporation':
      evaporating = true;
      addVapour(logu(2, 12));
      break;
    case 'outgassing+virtual': {
      const share = uniform(0.2, 0.8);
      addOutgassing(Q * share);
      addPocket(workPa * (1 - share));
      break;
    }
    case 'seat':
      seat = logu(2, 10) / T;
      // A shut seat passes less than the open valve.
      speedPerV = Math.max(speedPerV, 3 * seat);
      if (chance(0.5)) addLeak(Q * 2);
      else addOutgassing(Q * 2);
      main = 'passing valve';
      break;
    case 'pump':
      pump = true;
      addOutgassing(Q * 0.02);
      pult = gauge === 'hot-cathode' ? logu(3e-4, 3e-2) : logu(0.5, 30);
      main = 'pump side';
      break;
    case 'temperature':
      highStart = logu(200, 20000);
      addOutgassing((V * highStart * 1e-4) / T);
      main = 'temperature';
      break;
    case 'sink':
      highStart = workPa * uniform(1, 4);
      sources.push(getter(logu(0.5, 5) / T, V));
      if (chance(0.5)) addOutgassing(0.03 * Q);
      main = 'sink';
      break;
    case 'zero':
      addOutgassing(Q * 0.02);
      zero = -workPa * uniform(0.05, 0.4);
      pult = 0.001 * workPa;
      main = 'measurement';
      break;
    default:
      addOutgassing(Q * 0.002);
      pult = gauge === 'hot-cathode' ? logu(1e-5, 1e-3) : logu(0.05, 0.5);
  }
  const water = evaporating ? sources.find((one) => one.cause === 'evaporation') : undefined;
  const pressureScale = water ? 1500 : pump ? pult : Math.max(workPa, highStart);
  if (kind === 'leak+evaporation') {
    const share = uniform(0.1, 0.8);
    addLeak((V * pressureScale * share) / T);
  }
  const usedGauge: Principle =
    kind === 'zero' || ((evaporating || highStart > 100) && gauge === 'hot-cathode') ? 'capacitance' : gauge;

  // Schedule.
  const stages: { kind: string; s: number }[] = [];
  if (startsPumped) stages.push({ kind: 'steady', s: 200 });
  else stages.push({ kind: 'atmosphere', s: 10 * dt }, { kind: 'pump-down', s: t1 });
  for (let i = 0; i < isolationCount; i++) {
    if (highStart > 0) stages.push({ kind: 'fill', s: 5 * dt });
    stages.push({ kind: 'isolation', s: T * (i === 0 ? 1 : uniform(0.7, 1.3)) });
    if (i < isolationCount - 1 || chance(0.6)) {
      stages.push({ kind: 'pump-down', s: i < isolationCount - 1 ? between : Math.max(10 / speedPerV, 20 * dt) });
    }
  }

  // Stepping.
  const whole = stages.reduce((sum, one) => sum + one.s, 0);
  const n = Math.min(40000, Math.floor(whole / dt) + 1);
  const step = whole / (n - 1);
  const time = new Float64Array(n);
  const airAt = new Float64Array(n);
  const vapourAt = new Float64Array(n);
  const stageAt = new Int32Array(n);
  const rises = new Map<TrueCause, number[]>();
  let air = startsPumped ? pult : 101325;
  let vapour = 0;
  let stage = 0;
  let stageEnd = stages[0].s;
  const burst = foreign && chance(0.5) ? workPa * logu(0.005, 0.08) : 0;
  let isolationIndex = -1;
  if (startsPumped) {
    // A past before the record: sources age, and the chamber stands where load and pump balance.
    const h = Math.max(5, -t0 / 400);
    for (let t = t0; t < 0; t += h) {
      air = pult;
      vapour = 0;
      for (const one of sources) {
        const q = one.step(t, h, air, vapour, false, room(t));
        air += q.air / (V * speedPerV);
        vapour += q.vapour / (V * speedPerV);
      }
    }
  }
  for (let i = 0; i < n; i++) {
    const t = i * step;
    while (t >= stageEnd && stage < stages.length - 1) {
      stage++;
      stageEnd += stages[stage].s;
      if (stages[stage].kind === 'isolation') {
        isolationIndex++;
        air += burst * (0.5 + random());
      }
    }
    time[i] = t;
    airAt[i] = air;
    vapourAt[i] = vapour;
    stageAt[i] = stage;
    const kindNow = stages[stage].kind;
    if (kindNow === 'atmosphere') {
      air = 101325;
      continue;
    }
    const isolated = kindNow === 'isolation' || kindNow === 'fill';
    if (kindNow === 'fill') {
      air = highStart;
      continue;
    }
    const sub = Math.min(40, Math.max(1, Math.ceil(step / (isolated ? T / 300 : 4 / speedPerV))));
    const h = step / sub;
    for (let k = 0; k < sub; k++) {
      let qa = 0;
      let qv = 0;
      for (const one of sources) {
        const q = one.step(t + k * h, h, air, vapour, isolated, room(t));
        qa += q.air;
        qv += q.vapour;
        if (kindNow === 'isolation') {
          const list = rises.get(one.cause) ?? [];
          list[isolationIndex] = (list[isolationIndex] ?? 0) + ((q.air + q.vapour) * h) / V;
          rises.set(one.cause, list);
        }
      }
      const s = isolated ? seat : speedPerV;
      const floor = isolated ? 0 : pult;
      const keep = Math.exp(-s * h);
      const into = s > 1e-12 ? (1 - keep) / s : h;
      air = Math.max(0, floor + (air - floor) * keep + (qa / V) * into);
      vapour = Math.max(0, vapour * keep + (qv / V) * into);
    }
  }

  // Gauge.
  const noiseLevel = hard ? logu(1, 4) : logu(0.3, 1);
  const vapourFactor = usedGauge === 'thermal' ? uniform(1.4, 1.8) : usedGauge === 'capacitance' ? 1 : 1.1;
  const scale = 1 + normal() * (usedGauge === 'capacitance' ? 0.004 : usedGauge === 'thermal' ? 0.08 : 0.1);
  const lag = foreign ? logu(0.5, 6) : 0.3;
  const rel = usedGauge === 'capacitance' ? 2e-4 : usedGauge === 'thermal' ? 0.004 : 0.008;
  const abs = usedGauge === 'capacitance' ? 5e-4 * pressureScale : usedGauge === 'thermal' ? 0.01 : 1e-7;
  const digits = usedGauge === 'capacitance' ? 0 : chance(0.7) ? 3 : 4;
  const capStep = usedGauge === 'capacitance' ? pressureScale * logu(1e-5, hard ? 1e-2 : 1e-3) : 0;
  const correlation = chance(0.3) ? uniform(0.3, 0.9) : 0;
  const reading = new Float64Array(n);
  const flags = new Uint8Array(n);
  let seen = Number.NaN;
  let e = 0;
  let roomAtStart = 293;
  const full =
    usedGauge === 'capacitance'
      ? evaporating || highStart > 0
        ? 1.33e5
        : pressureScale * logu(hard ? 0.8 : 3, 300)
      : Infinity;
  const bottom = usedGauge === 'thermal' ? 0.1 : usedGauge === 'capacitance' ? -Infinity : 0;
  for (let i = 0; i < n; i++) {
    if (i === 0 || stageAt[i] !== stageAt[i - 1]) roomAtStart = room(time[i]);
    const warm = stages[stageAt[i]].kind === 'isolation' ? room(time[i]) / roomAtStart : 1;
    const true_ = (airAt[i] + vapourFactor * vapourAt[i]) * warm;
    seen = Number.isNaN(seen) ? true_ : seen + (true_ - seen) * -Math.expm1(-step / lag);
    const sigma = noiseLevel * Math.hypot(rel * seen, abs);
    e = correlation * e + Math.sqrt(1 - correlation ** 2) * normal();
    let value = scale * seen + zero + sigma * e;
    if (digits > 0) {
      const unit = 10 ** (Math.floor(Math.log10(Math.max(Math.abs(value), 1e-12))) - digits + 1);
      value = Math.round(value / unit) * unit;
    } else if (capStep > 0) value = Math.round(value / capStep) * capStep;
    if (value > full) {
      value = full;
      flags[i] = 4;
    } else if (value < bottom) {
      value = bottom;
      flags[i] = 2;
    }
    reading[i] = value;
  }
  if (hard && chance(0.4)) {
    for (let i = 0; i < 1 + 4 * random(); i++) reading[Math.floor(random() * n)] *= uniform(1.2, 4);
  }
  if (hard && chance(0.3)) {
    const from = Math.floor(random() * n);
    for (let i = from; i < Math.min(n, from + n * 0.05); i++) {
      flags[i] = 1;
      reading[i] = Number.NaN;
    }
  }

  const segments = stages
    .map((one, s) => {
      let from = -1;
      let to = -1;
      for (let i = 0; i < n; i++) {
        if (stageAt[i] !== s) continue;
        if (from < 0) from = i;
        to = i;
      }
      return { kind: one.kind, from, to };
    })
    .filter((one) => one.from >= 0 && one.to > one.from);

  // Truth.
  const lastRise = (cause: TrueCause): number => Math.abs((rises.get(cause) ?? [])[isolationIndex] ?? 0);
  const allRise = (cause: TrueCause): number => (rises.get(cause) ?? []).reduce((sum, r) => sum + Math.abs(r ?? 0), 0);
  const causes = [...rises.keys()];
  const byLast = [...causes].sort((a, b) => lastRise(b) - lastRise(a));
  const byAll = [...causes].sort((a, b) => allRise(b) - allRise(a));
  const riseLast = causes.reduce((sum, cause) => sum + lastRise(cause), 0);
  const rows = segments.find((one) => one.kind === 'isolation');
  const perIsolation = rows ? rows.to - rows.from + 1 : 1;
  const steadyReading = Math.max(pult, 1e-9);
  const sigmaEnd = noiseLevel * Math.hypot(rel * (riseLast + steadyReading + highStart), abs) + capStep * 0.29;
  const correlated = Math.sqrt((1 + correlation) / (1 - correlation));
  const noiseLeak = ((V * sigmaEnd) / T) * Math.sqrt(12 / Math.max(3, perIsolation)) * correlated;
  const seen_ = riseLast > 4 * sigmaEnd * Math.sqrt(4 / Math.max(4, perIsolation)) * correlated;
  // A swing of the room that the gauge does not show is nothing to anybody who reads the record.
  const swingPa = ((highStart * 2 * roomAmp) / 293) * Math.sqrt(perIsolation / 26);
  let mainCauses: TrueCause[];
  if (kind === 'zero') mainCauses = seen_ ? ['measurement', byLast[0]] : ['measurement'];
  else if (kind === 'temperature' && swingPa < 8 * sigmaEnd) mainCauses = ['temperature', 'none'];
  else if (main !== null) mainCauses = [main];
  else if (kind === 'none') mainCauses = seen_ ? ['outgassing', 'none'] : ['none'];
  else {
    mainCauses = [...new Set([byLast[0], byAll[0]])];
    const close = byLast[1] && lastRise(byLast[1]) > 0.8 * lastRise(byLast[0]) ? [byLast[1]] : [];
    mainCauses = [...new Set([...mainCauses, ...close])];
  }
  const limit = leak.q > 0 ? leak.q * logu(0.15, 8) : ((V * Math.max(riseLast, 4 * sigmaEnd)) / T) * logu(0.05, 4);
  const wanted = pump
    ? pult / logu(2, 30)
    : kind === 'none'
      ? pult * logu(1.5, 5)
      : steadyLoad(riseLast, T, speedPerV) * logu(0.2, 4);
  const withTarget = chance(pump || kind === 'none' ? 0.7 : 0.4);
  const targetPa = withTarget ? wanted + (pump ? 0 : pult) : null;
  // Without a target nobody can say that the pressure is too high: then the cause of the rise is an answer as well.
  if (pump && targetPa === null) mainCauses = [...mainCauses, seen_ ? byLast[0] : 'none'];
  const volumeRelative = chance(0.5) ? 0.05 : 0.02;
  return {
    seed,
    timeS: time,
    reading,
    flags,
    resolution: capStep,
    segments,
    gauge: usedGauge,
    volumeM3: V,
    volumeRelative,
    volumeStatedM3: V * (1 + volumeRelative * normal()),
    targetPa,
    limitPaM3S: limit,
    leakPaM3S: leak.q,
    mainCauses,
    mixture: kind.includes('+'),
    foreign,
    hard,
    isolations: isolationCount,
    noiseLeakPaM3S: noiseLeak,
    what: kind,
  };
}

function steadyLoad(rise: number, T: number, speedPerV: number): number {
  return rise / T / speedPerV;
}

function pick(list: readonly (readonly [string, number])[], random: () => number): string {
  const total = list.reduce((sum, one) => sum + one[1], 0);
  let at = random() * total;
  for (const [name, weight] of list) {
    at -= weight;
    if (at < 0) return name;
  }
  return list[0][0];
}

/** Water from walls as a power of the time pumped. */
function powerLaw(
  q: number,
  ageRef: number,
  exponent: number,
  soften: number,
  perKelvin: number,
  pumpStart: number,
): Source {
  return {
    cause: 'outgassing',
    step(t, _h, _a, _v, _i, room) {
      const age = Math.max(1, t - pumpStart + soften);
      const warm = Math.exp(perKelvin * (room - 293));
      return { air: 0, vapour: q * (age / Math.max(1, ageRef + soften)) ** -exponent * warm };
    },
  };
}

/** Desorption from sites of many energies, with readsorption: a sum of first-order processes, none of them a power. */
function manySites(q: number, ageRef: number, V: number, tilt: number, resorb: number, pumpStart: number): Source {
  const taus = Array.from({ length: 14 }, (_, i) => 10 * 10 ** (i * 0.42));
  const content = taus.map((tau) => tau ** tilt);
  let unit = 0;
  taus.forEach((tau, i) => {
    unit += (content[i] / tau) * Math.exp(-ageRef / tau);
  });
  const state = content.map((c) => (c * q) / unit);
  let clock = pumpStart;
  return {
    cause: 'outgassing',
    step(t, h, _air, vapour, isolated, room) {
      const warm = Math.exp(0.13 * (room - 293));
      let flow = 0;
      if (t >= clock) {
        clock = t;
        for (let i = 0; i < taus.length; i++) {
          const gone = state[i] * -Math.expm1((-h * warm) / taus[i]);
          state[i] -= gone;
          flow += gone / h;
        }
      }
      const back = isolated ? resorb * V * vapour : 0;
      return { air: 0, vapour: flow - Math.min(back, flow) };
    },
  };
}

/** A pocket behind a narrow path; viscous at first where asked. */
function pocket(
  rise: number,
  tau: number,
  ageRef: number,
  V: number,
  T: number,
  viscous: boolean,
  pumpStart: number,
): Source {
  const made = viscous
    ? 1 / (1 + ageRef / tau) - 1 / (1 + (ageRef + T) / tau)
    : Math.exp(-ageRef / tau) - Math.exp(-(ageRef + T) / tau);
  const amount = (rise * V) / Math.max(made, 1e-6);
  const p0 = 1e5;
  const volume = amount / p0;
  let p = p0;
  let clock = pumpStart;
  return {
    cause: 'virtual leak',
    step(t, h, air, vapour) {
      if (t < clock) return { air: 0, vapour: 0 };
      clock = t;
      const chamber = Math.min(air + vapour, p0);
      const before = p;
      if (chamber > 0.5 * p0) return { air: 0, vapour: 0 };
      if (viscous) {
        const mean = chamber;
        const rateOf = (x: number): number => (x * x - mean * mean) / (p0 * tau) + (0.02 * (x - mean)) / tau;
        const middle = p - 0.5 * h * rateOf(p);
        p = Math.max(mean, p - h * rateOf(middle));
      } else p = chamber + (p - chamber) * Math.exp(-h / tau);
      return { air: ((before - p) * volume) / h, vapour: 0 };
    },
  };
}

/** A liquid at constant temperature: flow proportional to what its vapour pressure is above the partial pressure. */
function plainPool(ps: number, k: number, V: number): Source {
  return {
    cause: 'evaporation',
    step: (_t, h, _a, vapour) => ({ air: 0, vapour: (V * (ps - vapour) * -Math.expm1(-k * h)) / h }),
  };
}

/** A liquid that cools itself, follows the room slowly, freezes, and may run dry. */
function coolingPool(ps293: number, k: number, V: number, dries: boolean, random: () => number): Source {
  let cold = 0;
  const amountScale = ps293 * V;
  let left = dries ? amountScale * (1 + 6 * random()) : Infinity;
  const coolingPerAmount = (4 + 14 * random()) / amountScale;
  const recover = k * (0.05 + 0.4 * random());
  return {
    cause: 'evaporation',
    step(_t, h, _air, vapour, _i, room) {
      const temperature = room - cold;
      const ps = ps293 * Math.exp(5300 * (1 / 293 - 1 / temperature));
      let flow = (V * (ps - vapour) * -Math.expm1(-k * h)) / h;
      flow = Math.min(flow, left / h);
      left -= flow * h;
      cold += flow * h * coolingPerAmount - cold * -Math.expm1(-recover * h);
      cold = Math.max(-1, Math.min(40, cold));
      return { air: 0, vapour: flow };
    },
  };
}

/** A surface that takes gas up. */
function getter(k: number, V: number): Source {
  return {
    cause: 'sink',
    step: (_t, h, air, _v, isolated) => ({ air: isolated ? (-air * V * -Math.expm1(-k * h)) / h : 0, vapour: 0 }),
  };
}
