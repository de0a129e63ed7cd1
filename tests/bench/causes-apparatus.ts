/**
 * A second maker of records for the bench of the finding, so that a finding fitted to the first one shows. It starts
 * from an apparatus, not from a curve: a vessel of 0.05 L to 2 m3 with its walls, a pump, one of six kinds of gauge with
 * its range, display, lag and drift, a valve that takes time to close, a room with a day and an air conditioner; logs
 * every 0.1 s to 60 s, one to five isolations of 20 s to 12 h. It shares no physics with `src/` and none with the first
 * maker: walls that are metal and rubber at once, a slab that dries by diffusion, molecular, laminar and orifice paths,
 * a liquid with mass and heat, vapour that leaves oil. Records are invented; they stand for no real system.
 */
import { benchRandom, type MadeRecord, type Principle, type TrueCause } from './causes-simulator';

const AIR = 101325;

/** Random draws of one record. */
interface Dice {
  uniform(low: number, high: number): number;
  log(low: number, high: number): number;
  normal(): number;
  chance(probability: number): boolean;
  pick<T>(list: readonly T[]): T;
}

function diceOf(seed: number): Dice {
  const random = benchRandom(seed ^ 0x5bd1e995);
  for (let i = 0; i < 9; i++) random();
  const normal = (): number => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += random();
    return sum;
  };
  return {
    uniform: (low, high) => low + (high - low) * random(),
    log: (low, high) => Math.exp(Math.log(low) + Math.log(high / low) * random()),
    normal,
    chance: (probability) => random() < probability,
    pick: (list) => list[Math.min(list.length - 1, Math.floor(random() * list.length))],
  };
}

/** A gauge of the apparatus: what it shows of what is there. */
interface MadeGauge {
  readonly principle: Principle;
  /** Rises that it can follow, Pa. */
  readonly works: readonly [number, number];
  readonly relativeNoise: number;
  readonly absoluteNoise: number;
  /** Significant digits shown, 0 where the step is fixed. */
  readonly digits: number;
  readonly stepPa: number;
  readonly bottomPa: number;
  readonly topPa: number;
  readonly scale: number;
  readonly vapour: number;
  readonly lagS: number;
  /** Drift of the zero, Pa/s, and of the scale, 1/s. */
  readonly zeroDrift: number;
  readonly scaleDrift: number;
}

function gaugeOf(principle: Principle, dice: Dice): MadeGauge {
  const common = { zeroDrift: 0, scaleDrift: 0, lagS: dice.log(0.03, 3), stepPa: 0, digits: 3, principle };
  const drifts = dice.chance(0.3);
  if (principle === 'capacitance') {
    const full = dice.pick([13.3, 133, 1333, 13332, 133322]);
    return {
      ...common,
      works: [full * 2e-3, full * 0.6],
      relativeNoise: 1e-4,
      absoluteNoise: full * dice.log(3e-6, 1e-4),
      digits: 0,
      stepPa: full / dice.pick([4096, 16384, 65536, 1e5]),
      bottomPa: -full * 0.05,
      topPa: full * 1.05,
      scale: 1 + 0.003 * dice.normal(),
      vapour: 1,
      zeroDrift: drifts ? (full * 1e-5 * dice.normal()) / 3600 : 0,
    };
  }
  if (principle === 'piezo') {
    return {
      ...common,
      works: [800, 3e4],
      relativeNoise: 1e-4,
      absoluteNoise: dice.log(2, 15),
      digits: 0,
      stepPa: dice.pick([1, 10, 10]),
      bottomPa: 0,
      topPa: 1.2e5,
      scale: 1 + 0.005 * dice.normal(),
      vapour: 1,
      zeroDrift: drifts ? (3 * dice.normal()) / 3600 : 0,
    };
  }
  if (principle === 'hot-cathode' || principle === 'cold-cathode') {
    const cold = principle === 'cold-cathode';
    return {
      ...common,
      works: [2e-5, 0.2],
      relativeNoise: cold ? dice.log(0.005, 0.03) : dice.log(0.002, 0.015),
      absoluteNoise: 1e-8,
      digits: cold ? dice.pick([2, 3]) : dice.pick([3, 3, 4]),
      bottomPa: 1e-7,
      topPa: cold ? 1 : 10,
      scale: Math.exp((cold ? 0.2 : 0.1) * dice.normal()),
      vapour: dice.uniform(0.9, 1.25),
      scaleDrift: drifts ? (0.01 * dice.normal()) / 3600 : 0,
    };
  }
  const wide = principle === 'combined';
  return {
    ...common,
    works: wide && dice.chance(0.5) ? [1e-4, 0.05] : [1, 150],
    relativeNoise: dice.log(0.001, 0.01),
    absoluteNoise: wide ? 1e-7 : dice.log(0.002, 0.03),
    digits: dice.pick([2, 3, 3, 4]),
    bottomPa: wide ? 1e-7 : dice.pick([0.05, 0.1]),
    topPa: 1.2e5,
    scale: Math.exp(0.08 * dice.normal()),
    vapour: dice.uniform(1.35, 1.9),
    scaleDrift: drifts ? (0.005 * dice.normal()) / 3600 : 0,
  };
}

/** What a source sees at a moment. */
interface Moment {
  readonly t: number;
  readonly h: number;
  readonly air: number;
  readonly vapour: number;
  readonly isolated: boolean;
  readonly kelvin: number;
}

/** A source of the apparatus; flow in Pa m3/s. */
interface Part {
  readonly cause: TrueCause;
  readonly gas: 'air' | 'vapour';
  flow(now: Moment): number;
  /** The vessel stands at a pressure of gas, Pa. */
  soak?(pa: number, h: number): void;
}

const WALLS_PER_KELVIN = 0.13;

/** Walls of metal (1/t) with some rubber (t^-1/2): no single power. */
function metalAndRubber(load: number, at: number, rubber: number, age: () => number): Part {
  return {
    cause: 'outgassing',
    gas: 'vapour',
    flow: (now) => {
      const since = Math.max(3, age());
      const shape = (1 - rubber) * (at / since) + rubber * Math.sqrt(at / since);
      return load * shape * Math.exp(WALLS_PER_KELVIN * (now.kelvin - 293));
    },
  };
}

/** A slab that dries by diffusion: t^-1/2 at first, exponential later (the exact series). */
function dryingSlab(load: number, at: number, dryingS: number, age: () => number): Part {
  const shape = (t: number): number => {
    let sum = 0;
    for (let n = 0; n < 40; n++) sum += Math.exp((-((2 * n + 1) ** 2) * t) / dryingS);
    return sum;
  };
  const unit = shape(at);
  return {
    cause: 'outgassing',
    gas: 'vapour',
    flow: (now) => ((load * shape(Math.max(3, age()))) / unit) * Math.exp(0.06 * (now.kelvin - 293)),
  };
}

/** A layer that leaves as exp(coverage) says and comes back by the pressure over it (logarithmic isotherm). */
function layer(load: number, at: number, backPerS: number, volume: number, age: () => number): Part {
  return {
    cause: 'outgassing',
    gas: 'vapour',
    flow: (now) => {
      const out = (load * at) / Math.max(3, age());
      const back = now.isolated ? backPerS * volume * now.vapour : 0;
      return Math.max(0, out * Math.exp(WALLS_PER_KELVIN * (now.kelvin - 293)) - back);
    },
  };
}

/** A trapped volume behind a path that may be molecular, laminar or an orifice. */
function trapped(amount: number, emptyingS: number, path: 'molecular' | 'laminar' | 'orifice', startPa: number): Part {
  const volume = amount / AIR;
  let p = startPa;
  const rate = (x: number, outside: number): number => {
    if (path === 'molecular') return (x - outside) / emptyingS;
    if (path === 'laminar') return (x * x - outside * outside) / (AIR * emptyingS) + (0.01 * (x - outside)) / emptyingS;
    // Choked above about twice the pressure outside, else falling as the root of the difference.
    const ratio = x > 0 ? Math.min(1, outside / x) : 1;
    return (x / emptyingS) * Math.sqrt(Math.max(0, 1 - ratio * ratio)) * 0.99 + (0.01 * (x - outside)) / emptyingS;
  };
  return {
    cause: 'virtual leak',
    gas: 'air',
    flow: (now) => {
      const outside = Math.min(AIR, now.air);
      const before = p;
      const pieces = Math.min(20, Math.max(1, Math.ceil((4 * now.h) / emptyingS)));
      for (let i = 0; i < pieces; i++) {
        const next = p - (now.h / pieces) * rate(p, outside);
        p = p > outside ? Math.max(outside, next) : Math.min(outside, next);
      }
      return ((before - p) * volume) / now.h;
    },
    soak: (pa, h) => {
      p += (pa - p) * -Math.expm1(-h / emptyingS);
    },
  };
}

/** Saturation pressure about 293 K from a value there and a heat of evaporation, Pa. */
function saturation(at293: number, heatKelvin: number, kelvin: number): number {
  return at293 * Math.exp(heatKelvin * (1 / 293.15 - 1 / kelvin));
}

/** A liquid with a mass and a heat capacity, fed with heat by the room; water stops at its triple point until frozen. */
function pool(at293: number, perS: number, volume: number, water: boolean, dice: Dice): Part {
  const heatKelvin = water ? 5300 : dice.uniform(3800, 5200);
  let left = at293 * volume * (dice.chance(0.25) ? dice.log(1, 10) : 1e4);
  // Kelvin lost per amount (Pa m3) that leaves, and how quickly the room brings it back.
  const perAmount = dice.log(0.3, 12) / (at293 * volume);
  const recover = perS * dice.log(0.02, 1);
  let cold = 0;
  let frozen = 0;
  return {
    cause: 'evaporation',
    gas: 'vapour',
    flow: (now) => {
      const kelvin = now.kelvin - cold;
      const ps = saturation(at293, heatKelvin, kelvin);
      let flow = (volume * (ps - now.vapour) * -Math.expm1(-perS * now.h)) / now.h;
      flow = Math.min(flow, left / now.h);
      left -= flow * now.h;
      const loss = flow * now.h * perAmount;
      const gain = cold * -Math.expm1(-recover * now.h);
      if (water && cold > 20 && frozen < 25) frozen = Math.max(0, frozen + loss - gain);
      else cold = Math.max(-1, Math.min(35, cold + loss - gain));
      return flow;
    },
  };
}

/** Vapour held in oil: the pressure over it falls with what has left. */
function oil(at: number, perS: number, volume: number, dice: Dice): Part {
  const content = at * volume * dice.log(2, 30);
  let left = content;
  return {
    cause: 'evaporation',
    gas: 'vapour',
    flow: (now) => {
      const flow = (volume * ((at * left) / content - now.vapour) * -Math.expm1(-perS * now.h)) / now.h;
      left = Math.max(0, left - flow * now.h);
      return flow;
    },
  };
}

const SITUATIONS: readonly (readonly [string, number])[] = [
  ['leak', 15],
  ['outgassing', 16],
  ['virtual', 12],
  ['evaporation', 10],
  ['leak+outgassing', 9],
  ['leak+virtual', 5],
  ['leak+evaporation', 4],
  ['outgassing+virtual', 4],
  ['seat', 6],
  ['pump', 7],
  ['temperature', 4],
  ['sink', 3],
  ['zero', 3],
  ['none', 6],
];

/**
 * Makes one record of an apparatus.
 * @param seed whole number; equal seeds make equal records
 */
export function makeApparatusRecord(seed: number): MadeRecord {
  const dice = diceOf(seed);
  const situation = situationOf(dice);
  const filled = situation === 'temperature' || situation === 'sink';
  const wet = situation.includes('evaporation');
  const hot = ['hot-cathode', 'hot-cathode', 'cold-cathode'] as const;
  const coarse = ['capacitance', 'capacitance', 'thermal', 'combined', 'piezo'] as const;
  const fine = ['thermal', 'thermal', 'capacitance', 'capacitance', 'combined', 'piezo', ...hot] as const;
  const gauge = gaugeOf(
    wet || filled ? dice.pick(coarse) : situation === 'zero' ? 'capacitance' : dice.pick(fine),
    dice,
  );
  const V = dice.log(5e-5, 2);
  const count = dice.pick([1, 1, 2, 2, 2, 3, 3, 4, 5]);
  const T = dice.log(20, 43200 / count);
  const lagS = Math.min(gauge.lagS, T / 30);
  let speedPerS = dice.log(Math.max(0.004, 2 / T), 2);
  const pumped = dice.log(0.5, 20) * Math.max(T, 10 / speedPerS);
  const between = dice.log(0.2, 4) * Math.max(T, 10 / speedPerS);
  const whole = pumped + count * (T + between);
  const wantedStep = Math.max(T / dice.log(15, 1500), whole / 25000);
  const dt = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300].find((one) => one >= wantedStep) ?? 300;
  const work = wet ? 1 : dice.log(gauge.works[0], gauge.works[1]);
  const load = (work * V) / T;

  // The room: a day, an air conditioner, now and then a slow warming.
  const day = dice.log(0.2, 2);
  const dayPhase = dice.uniform(0, 6.283);
  const cooler = dice.chance(0.4) ? dice.log(0.03, 0.3) : 0;
  const coolerS = dice.log(500, 2500);
  const warms = situation === 'temperature' ? dice.uniform(1.5, 5) * (dice.chance(0.5) ? 1 : -1) : 0;
  const warmS = dice.log(0.3, 2) * T;

  // Stages.
  const vented = !dice.chance(0.15);
  const stages: { kind: string; s: number }[] = vented
    ? [
        { kind: 'atmosphere', s: 6 * dt },
        { kind: 'pump-down', s: pumped },
      ]
    : [{ kind: 'steady', s: Math.max(30 * dt, 0.2 * T) }];
  for (let i = 0; i < count; i++) {
    if (filled) stages.push({ kind: 'fill', s: 4 * dt });
    stages.push({ kind: 'isolation', s: Math.max(12 * dt, T * (i === 0 ? 1 : dice.log(0.5, 2))) });
    if (i < count - 1 || dice.chance(0.5)) {
      if (!filled && i < count - 1 && dice.chance(0.06)) stages.push({ kind: 'venting', s: 5 * dt });
      stages.push({ kind: 'pump-down', s: Math.max(25 * dt, between) });
    }
  }

  // What is in it.
  const before = vented ? 0 : dice.log(2, 50) * T;
  const clock = { startS: -before, now: 0 };
  const age = (): number => clock.now - clock.startS;
  const firstClose = stages.slice(0, vented ? 2 : 1).reduce((sum, one) => sum + one.s, 0) - clock.startS;
  const parts: Part[] = [];
  const leak = { q: 0 };
  const addLeak = (q: number): void => {
    leak.q += q;
    parts.push({ cause: 'real leak', gas: 'air', flow: (now) => q * Math.max(0, 1 - (now.air / AIR) ** 2) });
  };
  const addWalls = (wanted: number): void => {
    // Walls and seals do not fill a vessel with hundreds of pascal.
    const q = Math.min(wanted, (200 * V) / T);
    const kind = dice.uniform(0, 1);
    if (kind < 0.55) parts.push(metalAndRubber(q, firstClose, dice.chance(0.5) ? 0 : dice.uniform(0, 1), age));
    else if (kind < 0.75) parts.push(dryingSlab(q, firstClose, firstClose * dice.log(2, 40), age));
    else parts.push(layer(q, firstClose, dice.chance(0.4) ? dice.log(0.05, 0.7) / T : 0, V, age));
  };
  const addPocket = (rise: number): void => {
    const emptyingS = dice.log(0.3, 3) * T * (1 + (0.5 * firstClose) / T);
    const path = dice.pick(['molecular', 'molecular', 'laminar', 'orifice'] as const);
    const [a, b] = [firstClose / emptyingS, T / emptyingS];
    const gone = path === 'laminar' ? b / (1 + a) / (1 + a + b) : Math.exp(-a) * -Math.expm1(-b);
    // No pocket is larger than a few hundredths of the vessel.
    const amount = Math.min((rise * V) / Math.max(gone, 1e-7), 0.03 * V * AIR);
    parts.push(trapped(amount, emptyingS, path, vented ? AIR : AIR * 0.7));
  };
  let wetEnd = 1;
  const addWet = (): void => {
    const perS = dice.log(0.6, 15) / T;
    const kind = dice.uniform(0, 1);
    if (kind < 0.5) wetEnd = dice.uniform(1200, 3000);
    else if (kind < 0.75) wetEnd = dice.log(2500, 20000);
    else if (kind < 0.9) wetEnd = dice.log(30, 500);
    else wetEnd = dice.log(5, 100);
    parts.push(kind < 0.9 ? pool(wetEnd, perS, V, kind < 0.5, dice) : oil(wetEnd, perS, V, dice));
  };

  let seatPerS = 0;
  let base = (load / V / speedPerS) * dice.log(1e-3, 0.2);
  let zero = gauge.principle === 'capacitance' && dice.chance(0.3) ? gauge.stepPa * dice.uniform(-3, 3) : 0;
  let high = 0;
  let main: TrueCause | null = null;
  if (situation.startsWith('leak')) {
    const share = situation === 'leak' ? 1 : dice.uniform(0.1, 0.9);
    if (wet) {
      addWet();
      addLeak((V * wetEnd * dice.uniform(0.1, 0.9)) / T);
    } else addLeak(load * share);
    if (situation === 'leak+outgassing') addWalls(load * (1 - share));
    else if (situation === 'leak+virtual') addPocket(work * (1 - share));
    else if (!wet && dice.chance(0.7)) addWalls(load * dice.log(0.003, 0.1));
  } else if (situation === 'outgassing') addWalls(load);
  else if (situation === 'virtual') {
    addPocket(work);
    if (dice.chance(0.6)) addWalls(load * dice.log(0.003, 0.15));
  } else if (situation === 'outgassing+virtual') {
    const share = dice.uniform(0.15, 0.85);
    addWalls(load * share);
    addPocket(work * (1 - share));
  } else if (situation === 'evaporation') {
    addWet();
    if (dice.chance(0.4)) addWalls((V * wetEnd * dice.log(0.002, 0.05)) / T);
  } else if (situation === 'seat') {
    seatPerS = dice.log(1.8, 12) / T;
    // A shut seat passes less than the open valve.
    speedPerS = Math.max(speedPerS, 3 * seatPerS);
    if (dice.chance(0.5)) addLeak(load * seatPerS * T);
    else addWalls(load * seatPerS * T);
    main = 'passing valve';
  } else if (situation === 'pump') {
    addWalls(load * 0.01);
    base = work * dice.log(0.3, 3);
    main = 'pump side';
  } else if (situation === 'temperature') {
    high = Math.min(gauge.topPa * 0.7, dice.log(300, 5e4));
    addWalls((V * high * 1e-5) / T);
    main = 'temperature';
  } else if (situation === 'sink') {
    high = Math.min(gauge.topPa * 0.7, dice.log(10, 2e4));
    const perS = dice.log(0.4, 5) / T;
    const part = dice.chance(0.5) ? 1 : dice.log(0.02, 0.3);
    // A surface that takes all, or a warm fill that cools by a part.
    parts.push({
      cause: 'sink',
      gas: 'air',
      flow: ({ air, h, isolated }) =>
        isolated ? (-V * Math.max(0, air - (1 - part) * high) * -Math.expm1(-perS * h)) / h : 0,
    });
    main = 'sink';
  } else if (situation === 'zero') {
    addWalls(load * 0.01);
    zero = -work * dice.log(0.05, 0.5);
    base = 1e-4 * work;
    main = 'measurement';
  } else {
    addWalls(load * 1e-3);
    base = Math.max(gauge.bottomPa * 2, gauge.works[0] * dice.log(0.02, 1));
  }

  // Step through it.
  const n = Math.floor(stages.reduce((sum, one) => sum + one.s, 0) / dt) + 1;
  const time = new Float64Array(n);
  const air = new Float64Array(n);
  const vapour = new Float64Array(n);
  const kelvin = new Float64Array(n);
  const stageAt = new Int32Array(n);
  const rises = new Map<TrueCause, number[]>();
  const strokeS = dice.log(0.05, 2);
  const burst = dice.chance(0.35) ? work * (wet ? wetEnd : 1) * dice.log(0.003, 0.08) : 0;
  let isolation = -1;
  let stage = 0;
  let stageStart = 0;
  let stageEnd = stages[0].s;
  let pa = vented ? AIR : base;
  let pv = 0;
  let warmFrom = 0;
  if (!vented) {
    const h = before / 3000;
    for (let t = -before; t < 0; t += h) {
      clock.now = t;
      for (const part of parts) {
        const q = part.flow({ t, h, air: pa, vapour: pv, isolated: false, kelvin: 293 });
        const now = q / (V * speedPerS);
        if (part.gas === 'air') pa = base + now;
        else pv = now;
      }
    }
  }
  const roomAt = (t: number): number =>
    293 +
    day * Math.sin((2 * Math.PI * t) / 86400 + dayPhase) +
    cooler * Math.asin(0.95 * Math.sin((2 * Math.PI * t) / coolerS)) +
    (t > warmFrom ? warms * -Math.expm1(-(t - warmFrom) / warmS) : 0);
  for (let i = 0; i < n; i++) {
    const t = i * dt;
    while (t >= stageEnd && stage < stages.length - 1) {
      stageStart = stageEnd;
      stage++;
      stageEnd += stages[stage].s;
      if (stages[stage].kind === 'isolation') {
        isolation++;
        pa += burst * dice.uniform(0.3, 1);
        warmFrom = t;
      }
    }
    const kind = stages[stage].kind;
    if (kind === 'atmosphere' || kind === 'venting') {
      pa = AIR * (kind === 'venting' ? 0.8 : 1);
      pv = 0;
      clock.startS = t + dt;
    } else if (kind === 'fill') {
      pa = high;
      pv = 0;
    }
    time[i] = t;
    air[i] = pa;
    vapour[i] = pv;
    kelvin[i] = roomAt(t);
    stageAt[i] = stage;
    if (kind === 'atmosphere' || kind === 'venting' || kind === 'fill') {
      for (const part of parts) part.soak?.(pa, dt);
      continue;
    }
    const isolated = kind === 'isolation';
    const pieces = Math.min(60, Math.max(1, Math.ceil(dt / (isolated ? T / 200 : 3 / speedPerS))));
    const h = dt / pieces;
    for (let k = 0; k < pieces; k++) {
      const at = t + k * h;
      clock.now = at;
      let qa = 0;
      let qv = 0;
      for (const part of parts) {
        const q = part.flow({ t: at, h, air: pa, vapour: pv, isolated, kelvin: kelvin[i] });
        if (part.gas === 'air') qa += q;
        else qv += q;
        if (isolated) {
          const list = rises.get(part.cause) ?? [];
          list[isolation] = (list[isolation] ?? 0) + (q * h) / V;
          rises.set(part.cause, list);
        }
      }
      // The valve takes a while to close; afterwards only the seat is left.
      const open = isolated ? speedPerS * Math.max(0, 1 - (at - stageStart) / strokeS) + seatPerS : speedPerS;
      const keep = Math.exp(-open * h);
      const into = open > 1e-12 ? (1 - keep) / open : h;
      const floor = open > 1e-12 ? base : 0;
      pa = Math.max(0, floor + (pa - floor) * keep + (qa / V) * into);
      pv = Math.max(0, pv * keep + (qv / V) * into);
    }
  }

  // What the gauge shows.
  const reading = new Float64Array(n);
  const flags = new Uint8Array(n);
  const noisy = dice.chance(0.4) ? dice.log(1, 4) : 1;
  const memory = dice.chance(0.3) ? dice.uniform(0.2, 0.9) : 0;
  let seen = Number.NaN;
  let error = 0;
  let at0 = kelvin[0];
  for (let i = 0; i < n; i++) {
    if (i === 0 || stageAt[i] !== stageAt[i - 1]) at0 = kelvin[i];
    const closed = stages[stageAt[i]].kind === 'isolation';
    const there = (air[i] + gauge.vapour * vapour[i]) * (closed ? kelvin[i] / at0 : 1);
    seen = Number.isNaN(seen) ? there : seen + (there - seen) * -Math.expm1(-dt / lagS);
    error = memory * error + Math.sqrt(1 - memory * memory) * dice.normal();
    const sigma = noisy * Math.hypot(gauge.relativeNoise * seen, gauge.absoluteNoise);
    let value =
      gauge.scale * (1 + gauge.scaleDrift * time[i]) * seen + zero + gauge.zeroDrift * time[i] + sigma * error;
    if (gauge.digits > 0) {
      const unit = 10 ** (Math.floor(Math.log10(Math.max(Math.abs(value), 1e-12))) - gauge.digits + 1);
      value = unit * Math.round(value / unit);
    } else value = gauge.stepPa * Math.round(value / gauge.stepPa);
    if (value > gauge.topPa) {
      value = gauge.topPa;
      flags[i] = 4;
    } else if (value < gauge.bottomPa) {
      value = gauge.bottomPa;
      flags[i] = 2;
    }
    reading[i] = value;
  }
  const spoiled = dice.chance(0.2);
  if (spoiled) for (let i = 0; i < 1 + n / 800; i++) reading[Math.floor(dice.uniform(0, n))] *= dice.log(0.4, 5);
  if (dice.chance(0.15)) {
    const from = Math.floor(dice.uniform(0, n));
    for (let i = from; i < Math.min(n, from + n * dice.uniform(0.01, 0.08)); i++) {
      flags[i] = 1;
      reading[i] = Number.NaN;
    }
  }
  const segments = stages
    .map((one, s) => ({ kind: one.kind, from: stageAt.indexOf(s), to: stageAt.lastIndexOf(s) }))
    .filter((one) => one.from >= 0 && one.to > one.from);

  // What is true.
  const last = (cause: TrueCause): number => Math.abs(rises.get(cause)?.[isolation] ?? 0);
  const all = (cause: TrueCause): number => (rises.get(cause) ?? []).reduce((sum, r) => sum + Math.abs(r ?? 0), 0);
  const byLast = [...rises.keys()].sort((a, b) => last(b) - last(a));
  const byAll = [...rises.keys()].sort((a, b) => all(b) - all(a));
  const wholeRise = byLast.reduce((sum, cause) => sum + last(cause), 0);
  const end = wholeRise + base + high;
  const sigma =
    noisy * Math.hypot(gauge.relativeNoise * end, gauge.absoluteNoise) +
    0.29 * (gauge.digits > 0 ? end * 10 ** -(gauge.digits - 0.5) : gauge.stepPa);
  const rows = Math.max(4, T / dt) * ((1 - memory) / (1 + memory));
  const shows = wholeRise > 4 * sigma * Math.sqrt(4 / Math.max(4, rows));
  const swing = ((high * Math.abs(warms) * 0.6) / 293) * Math.sqrt(rows / 26);
  let mainCauses: TrueCause[];
  if (situation === 'zero') mainCauses = shows ? ['measurement', byLast[0]] : ['measurement'];
  else if (situation === 'temperature' && swing < 8 * sigma) mainCauses = ['temperature', 'none'];
  else if (situation === 'sink' && wholeRise * Math.sqrt(rows / 26) < 8 * sigma) mainCauses = ['sink', 'none'];
  // Gas that cools after a fill is a sink by its definition as well.
  else if (situation === 'temperature' && warms < 0) mainCauses = ['temperature', 'sink'];
  else if (main !== null) mainCauses = [main];
  else if (situation === 'none') mainCauses = shows ? ['outgassing', 'none'] : ['none'];
  else {
    const close = byLast[1] !== undefined && last(byLast[1]) > 0.8 * last(byLast[0]) ? [byLast[1]] : [];
    mainCauses = [...new Set([byLast[0], byAll[0], ...close, ...(shows ? [] : ['none' as const])])];
  }
  const steadyPa = base + wholeRise / T / speedPerS;
  const target =
    situation === 'pump'
      ? dice.chance(0.7)
        ? base / dice.log(2, 30)
        : null
      : !filled && dice.chance(situation === 'none' ? 0.7 : 0.4)
        ? situation === 'none'
          ? base * dice.log(1.5, 5)
          : steadyPa * dice.log(0.2, 4)
        : null;
  if (situation === 'pump' && target === null) mainCauses = [...mainCauses, shows ? byLast[0] : 'none'];
  const volumeRelative = dice.pick([0.01, 0.03, 0.1]);
  return {
    seed,
    timeS: time,
    reading,
    flags,
    resolution: gauge.stepPa,
    segments,
    gauge: gauge.principle,
    volumeM3: V,
    volumeRelative,
    volumeStatedM3: V * Math.exp(volumeRelative * dice.normal()),
    targetPa: target,
    limitPaM3S:
      leak.q > 0 ? leak.q * dice.log(0.15, 8) : ((V * Math.max(wholeRise, 4 * sigma)) / T) * dice.log(0.05, 4),
    leakPaM3S: leak.q,
    mainCauses,
    mixture: situation.includes('+'),
    foreign: true,
    hard: noisy > 1 || spoiled || rows < 30 || count === 1,
    isolations: count,
    noiseLeakPaM3S: ((V * sigma) / T) * Math.sqrt(12 / rows),
    what: situation,
  };
}

function situationOf(dice: Dice): string {
  const total = SITUATIONS.reduce((sum, [, weight]) => sum + weight, 0);
  let at = dice.uniform(0, total);
  for (const [name, weight] of SITUATIONS) {
    at -= weight;
    if (at < 0) return name;
  }
  return SITUATIONS[0][0];
}
