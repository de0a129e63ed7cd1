import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  analyse,
  answersToRemarks,
  chamberStep,
  endLevel,
  findSegments,
  type GaugeLog,
  gaugeAtAtmosphere,
  gaugeAtZero,
  lineStep,
  openStep,
  parseLimit,
  pumpBlankedOff,
  quantity,
  readLog,
  readSectionPlan,
  SERVICE_STEPS,
  sectionLoads,
  sectionRises,
  serviceCall,
  tracerStep,
} from '../../src';

const datasets = join(__dirname, '../../datasets');
const demo = (file: string): GaugeLog => readLog(readFileSync(join(datasets, file)), { file });
/** A log with one gauge in mbar, a reading a second. */
const made = (values: readonly (number | string)[]): GaugeLog =>
  readLog(new TextEncoder().encode(`time [s],P [mbar]\n${values.map((value, i) => `${i},${value}`).join('\n')}\n`), {
    file: 'made.csv',
  });
const around = (level: number, count = 60): number[] =>
  Array.from({ length: count }, (_, i) => level * (1 + 1e-3 * ((i * 7) % 5)));

const barometer = quantity('1002 hPa', 'pressure');
const target = quantity('0.05 mbar', 'pressure');
const ultimate = quantity('0.02 mbar', 'pressure');

describe('the level at the end of a record', () => {
  it('is the median of its last tenth, in Pa', () => {
    const level = endLevel(made([...around(5, 50), ...around(3, 50)]));
    expect(level.pa / 300).toBeCloseTo(1, 2);
    expect(level.moves).toBe('no');
    expect(level.unit).toBe('mbar');
  });

  it('tells that it still falls or rises', () => {
    const falling = Array.from({ length: 100 }, (_, i) => Number((10 * Math.exp(-i / 50)).toFixed(4)));
    expect(endLevel(made(falling)).moves).toBe('falls');
    expect(endLevel(made(falling.reverse())).moves).toBe('rises');
  });

  it('tells what lies outside the range', () => {
    expect(endLevel(made([...around(5, 20), ...new Array<string>(80).fill('OVER')])).overRange).toBe(1);
  });
});

describe('the gauge', () => {
  it('of the demo is as it should be at atmosphere and at zero (made: barometer 1002 hPa, zero error 0.4 Pa)', () => {
    const atmosphere = gaugeAtAtmosphere(demo('service-atmosphere.csv'), { barometer, gauge: 'combined' });
    expect(atmosphere.state).toBe('as it should be');
    expect(gaugeAtZero(demo('service-zero.csv'), { target }).state).toBe('as it should be');
  });

  it('is not as it should be where it is off by more than its kind may be', () => {
    const log = made(around(950));
    expect(gaugeAtAtmosphere(log, { barometer, gauge: 'piezo' }).state).toBe('not as it should be');
    expect(gaugeAtAtmosphere(log, { gauge: 'piezo' }).state).toBe('cannot tell');
    expect(gaugeAtAtmosphere(made(around(300)), {}).state).toBe('not as it should be');
    expect(gaugeAtZero(made(around(0.02)), { target }).state).toBe('not as it should be');
  });

  it('cannot be told where nothing could show it', () => {
    expect(gaugeAtAtmosphere(made(around(950)), { barometer, gauge: 'thermal' }).state).toBe('cannot tell');
    const over = made([...around(5, 10), ...new Array<string>(90).fill('OVER')]);
    expect(gaugeAtAtmosphere(over, { barometer }).state).toBe('cannot tell');
    expect(gaugeAtZero(made(around(0.002)), {}).state).toBe('cannot tell');
    const falling = made(Array.from({ length: 100 }, (_, i) => Number((Math.exp(-i / 30) / 50).toFixed(6))));
    expect(gaugeAtZero(falling, { target }).state).toBe('cannot tell');
  });

  it('that was not looked at says how it is done', () => {
    for (const step of [gaugeAtAtmosphere(null), gaugeAtZero(null)]) {
      expect(step.state).toBe('not given');
      expect(step.todo.length).toBeGreaterThan(0);
    }
  });
});

describe('the pump blanked off', () => {
  const [shut, open, again] = ['shut', 'ballast', 'shut-again'].map((name) => demo(`service-pump-${name}.csv`));

  it('of the demo had water in its oil, which the ballast cleared', () => {
    const steps = pumpBlankedOff({ shut, open, shutAgain: again }, { ultimate });
    expect(steps.map(({ state }) => state)).toEqual(['not as it should be', 'as it should be', 'as it should be']);
    expect(steps[2].shows.join(' ')).toContain('there was vapour in the oil, and it is gone');
  });

  it('is worn or leaks where the ballast does not help', () => {
    const [, , third] = pumpBlankedOff({ shut, open, shutAgain: shut }, { ultimate });
    expect(third.state).toBe('not as it should be');
    expect(third.shows.join(' ')).toContain('the ballast did not help');
  });

  it('has a ballast valve that passes where opening it changes nothing', () => {
    const [, second] = pumpBlankedOff({ shut, open: shut, shutAgain: null }, { ultimate });
    expect(second.state).toBe('not as it should be');
    expect(second.shows.join(' ')).toContain('its valve may pass when shut');
  });

  it('cannot be told without what it reached new, and says what is missing', () => {
    const steps = pumpBlankedOff({ shut, open: null, shutAgain: null });
    expect(steps.map(({ state }) => state)).toEqual(['cannot tell', 'not given', 'not given']);
    expect(pumpBlankedOff({ shut: null, open, shutAgain: null })[1].state).toBe('cannot tell');
  });

  it('that still falls is not judged as bad', () => {
    const falling = made(Array.from({ length: 200 }, (_, i) => Number((10 * Math.exp(-i / 80)).toFixed(4))));
    expect(pumpBlankedOff({ shut: falling, open: null, shutAgain: null }, { ultimate })[0].state).toBe('cannot tell');
  });
});

describe('line, chamber and tracer of the demo', () => {
  const limit = 1e-3;
  const log = demo('service-line.csv');
  const rises = sectionRises(
    [{ log, segmented: findSegments(log) }],
    readSectionPlan('all open: 22.2 L; oven: 2.2 L; pipe: 0.8 L'),
  );
  const sections = sectionLoads(rises, 'one after another');

  it('the pipe lies above the limit (made: 2e-3 Pa m3/s there)', () => {
    const step = lineStep(sections, { limit });
    expect(step.state).toBe('not as it should be');
    expect(step.todo[0]).toContain('pipe');
    expect(step.shows.at(-1)).toMatch(/: pipe$/);
    expect(lineStep(sections, { limit: 1e-2 }).state).toBe('as it should be');
    expect(lineStep(sections).state).toBe('cannot tell');
    expect(lineStep(null).state).toBe('not given');
  });

  it('the chamber does not leak (made: none), its walls give off gas', () => {
    const chamber = analyse(demo('service-chamber.csv'), {
      volume: quantity('20 L ± 5 %', 'volume'),
      gauge: 'combined',
      limit: parseLimit('5e-3 mbar L/s'),
    });
    const step = chamberStep(chamber, { unit: 'mbar L/s' });
    expect(step.state).toBe('as it should be');
    expect(step.shows[0]).toContain('outgassing');
    expect(chamberStep(null).state).toBe('not given');
  });

  it('a chamber without an isolation, or without a limit, is not judged', () => {
    const pumped = chamberStep(analyse(demo('service-pump-shut.csv')));
    expect(pumped).toMatchObject({
      state: 'cannot tell',
      shows: ['there is no isolation in its log: no load is known'],
    });
    expect(pumped.todo[0]).toContain('shut the valve');
    expect(chamberStep(analyse(demo('service-chamber.csv'))).shows.at(-1)).toContain('not judged');
  });

  it('the tracer answers at the flange before the trap alone (made there)', () => {
    const step = tracerStep(answersToRemarks(demo('service-tracer.csv')));
    expect(step.state).toBe('not as it should be');
    expect(step.todo[0]).toContain('flange before the trap');
    expect(step.todo[0]).not.toContain('oven');
    expect(tracerStep([]).state).toBe('cannot tell');
    expect(tracerStep(null).state).toBe('not given');
  });
});

describe('a service call', () => {
  const good = (step: (typeof SERVICE_STEPS)[number]) => ({
    step,
    state: 'as it should be' as const,
    shows: [],
    todo: [],
  });

  it('lists every step in order, and what is missing', () => {
    const call = serviceCall([good('chamber'), good('gauge at zero')]);
    expect(call.steps.map(({ step }) => step)).toEqual([...SERVICE_STEPS]);
    expect(call.missing).toEqual(SERVICE_STEPS.filter((step) => step !== 'chamber' && step !== 'gauge at zero'));
    expect(call.stands.join(' ')).toContain('everything else leans on the gauge');
    expect(call.next?.step).toBe('gauge at atmosphere');
  });

  it('goes on with the first step that is not as it should be, and leaves a pump alone that is in order again', () => {
    const wrong = { state: 'not as it should be' as const, shows: [], todo: ['mend it'] };
    const others = SERVICE_STEPS.map(good).filter(({ step }) => step !== 'chamber' && !step.endsWith('ballast shut'));
    const call = serviceCall([
      ...others,
      { step: 'pump blanked off, ballast shut', ...wrong },
      { step: 'chamber', ...wrong },
    ]);
    expect(call.next).toEqual({ step: 'chamber', todo: ['mend it'] });
    expect(call.stands).toContain('the pump was not in order before its ballast was opened, and is now');
  });

  it('goes on where the tracer has answered, once line or chamber is known to be the place', () => {
    const wrong = (step: (typeof SERVICE_STEPS)[number]) => ({
      step,
      state: 'not as it should be' as const,
      shows: [],
      todo: [`at ${step}`],
    });
    expect(serviceCall([wrong('tracer'), wrong('line, section by section')]).next?.step).toBe('tracer');
    expect(serviceCall([wrong('tracer'), wrong('gauge at zero')]).next?.step).toBe('gauge at zero');
  });

  it('keeps a step apart that was made but has an open question', () => {
    const step = openStep('chamber', [{ 'what is open': 'column "p" names no unit', answers: 'Pa, mbar' }]);
    expect(serviceCall([step]).missing).not.toContain('chamber');
    expect(step).toMatchObject({ state: 'cannot tell', todo: ['answer one of: Pa, mbar'] });
  });

  it('says so where all is well', () => {
    expect(serviceCall(SERVICE_STEPS.map(good)).stands).toEqual(['every step is as it should be']);
    expect(serviceCall(SERVICE_STEPS.map(good)).next).toBeNull();
  });
});
