import { ArgumentError, LogError, QuestionError } from '../errors';
import type { Channel, GaugeLog } from '../log/gauge-log';
import * as elementary from '../numerics/elementary';

/** The channel to follow, and why. */
export interface ChosenChannel {
  readonly channel: Channel;
  /** What was taken for granted in choosing, each in a sentence. */
  readonly notes: readonly string[];
}

/** Names of gauges in the line behind the pump or the valve, where the chamber is asked about. */
const BEHIND = /fore[ _-]?(line|vac)|vorvak|vorpump|backing|rough(ing)?[ _-]?line|vide[ _-]?primaire|exhaust|auspuff/i;

const BEST = 'having the most good readings over the widest range with the least noise';
const ALONE = 'for the others are named after the line behind the pump';

/** Rows that are compared between two gauges. */
const COMPARED = 2000;
/** Two gauges agree when their readings stand in a steady ratio: interquartile range of ln(p1/p2) below this. */
const AGREE = 0.7;

/**
 * Chooses the pressure channel to follow. With several, gauges that follow each other stand for one chamber and the
 * best
 * is taken (set points are no gauges; not one that is named after the line behind the pump; most usable readings, widest
 * range of them, finest resolution); where they do not, a person must say.
 * @param log a log that has been read
 * @param name header of the channel; any unique part of it will do
 * @returns the channel, and what was taken for granted
 * @throws ArgumentError when there is no such channel, it is no pressure, or has fewer than two good readings
 * @throws LogError where cells that are no numbers are why it has so few
 * @throws QuestionError when several gauges are there that do not follow each other
 */
export function chooseChannel(log: GaugeLog, name?: string): ChosenChannel {
  const pressures = log.channels.filter((c) => c.quantity === 'pressure' && !/set[ _-]?(point|pt)/i.test(c.name));
  const list = pressures.map((c) => `"${c.name}"`).join(', ') || 'none';
  if (name !== undefined) return { channel: byName(log, pressures, name, list), notes: [] };
  if (pressures.length === 0) throw new ArgumentError('log', log.file, 'a pressure channel; give its unit or its law');
  const usable = pressures.filter((c) => countGood(c) >= 2);
  if (usable.length === 0) throw tooFewReadings(pressures, `channels ${list}`);
  if (usable.length === 1) {
    const left = pressures.length - 1;
    const note = `"${usable[0].name}" is followed: the other pressure channels (${left}) have no good readings`;
    return { channel: usable[0], notes: left > 0 ? [note] : [] };
  }
  const atChamber = usable.filter(({ name: header }) => !BEHIND.test(header));
  const best = [...(atChamber.length > 0 ? atChamber : usable)].sort((a, b) => merit(b) - merit(a))[0];
  if (usable.some((c) => c !== best && !follow(best, c))) {
    throw new QuestionError([
      {
        about: 'channel',
        text:
          `the log has ${usable.length} pressure channels that do not follow each other; ` +
          'which one is to be judged?',
        choices: usable.map((c) => c.name),
        answer: '--channel NAME',
      },
    ]);
  }
  const others = usable.filter((c) => c !== best).map((c) => `"${c.name}"`);
  return {
    channel: best,
    notes: [
      `"${best.name}" is followed, ${atChamber.length === 1 ? ALONE : BEST}; ` +
        `${others.join(', ')} ${others.length > 1 ? 'follow' : 'follows'} it`,
    ],
  };
}

function byName(log: GaugeLog, pressures: readonly Channel[], name: string, list: string): Channel {
  const exact = log.channels.find((c) => c.name === name);
  const wanted = name.trim().toLowerCase();
  const alike = exact ? [exact] : log.channels.filter((c) => c.name.trim().toLowerCase() === wanted);
  const partly = alike.length > 0 ? alike : pressures.filter((c) => c.name.toLowerCase().includes(wanted));
  if (wanted === '' || partly.length !== 1) {
    throw new ArgumentError('channel', name, `the name of one pressure channel, one of ${list}`);
  }
  if (partly[0].quantity !== 'pressure') {
    throw new ArgumentError(
      'channel',
      name,
      `a pressure channel (this one holds ${partly[0].quantity}), one of ${list}`,
    );
  }
  if (countGood(partly[0]) < 2) throw tooFewReadings(partly, `channel "${partly[0].name}"`);
  return partly[0];
}

/** Names the first cell that is no number, where such cells are why. */
function tooFewReadings(channels: readonly Channel[], what: string): ArgumentError | LogError {
  const channel = channels.find(({ oddCell }) => oddCell !== undefined);
  const met = 'fewer than two good readings';
  if (channel?.oddCell === undefined) return new ArgumentError(what, met, 'two at least');
  const { file, line, text } = channel.oddCell;
  return new LogError({
    file,
    line,
    column: channel.column,
    met: `"${text}" in "${channel.name}"`,
    expected: 'a number',
    remedy: `${what}: ${met}`,
  });
}

/**
 * Counts the good readings of a channel.
 * @param channel a channel
 * @returns how many readings are good and finite
 */
export function countGood(channel: Channel): number {
  let count = 0;
  for (let i = 0; i < channel.values.length; i++) {
    if (channel.flags[i] === 0 && Number.isFinite(channel.values[i])) count++;
  }
  return count;
}

/** Share of a decade of range that a tenth of the noise is worth. */
const STEADINESS = 0.6;
/** Noise beyond which a gauge is not better, relative. */
const STEADIEST = 1e-4;

/** Noise of a gauge, relative: the median deviation from the mean of both neighbours. Large where it has too few. */
function relativeNoise({ values, flags }: Channel): number {
  const stride = Math.max(1, Math.floor(values.length / COMPARED));
  const deviations: number[] = [];
  for (let i = 1; i + 1 < values.length; i += stride) {
    if ((flags[i - 1] | flags[i] | flags[i + 1]) !== 0 || !(values[i] > 0)) continue;
    deviations.push(Math.abs(values[i] - (values[i - 1] + values[i + 1]) / 2) / values[i]);
  }
  if (deviations.length < 8) return 1;
  deviations.sort((a, b) => a - b);
  return Math.min(1, Math.max(STEADIEST, deviations[deviations.length >> 1]));
}

/** Good readings count most; then decades spanned and steadiness; then the step between codes. */
function merit(channel: Channel): number {
  const { values, flags } = channel;
  let low = Number.POSITIVE_INFINITY;
  let high = 0;
  let good = 0;
  for (let i = 0; i < values.length; i++) {
    if (flags[i] !== 0 || !Number.isFinite(values[i])) continue;
    good++;
    if (values[i] > 0 && values[i] < low) low = values[i];
    if (values[i] > high) high = values[i];
  }
  const decades = high > low ? elementary.log10(high / low) : 0;
  const fineness = channel.resolution > 0 && low > 0 ? Math.min(1, low / channel.resolution / 1000) : 0.5;
  return (
    (good / values.length) *
    (1 + 0.5 * (decades - STEADINESS * elementary.log10(relativeNoise(channel))) + 0.2 * fineness)
  );
}

/** Do two gauges follow each other, up to a factor, where both read well? */
function follow(a: Channel, b: Channel): boolean {
  const stride = Math.max(1, Math.floor(a.values.length / COMPARED));
  const ratios: number[] = [];
  for (let i = 0; i < a.values.length; i += stride) {
    if (a.flags[i] === 0 && b.flags[i] === 0 && a.values[i] > 0 && b.values[i] > 0) {
      ratios.push(elementary.log(a.values[i] / b.values[i]));
    }
  }
  if (ratios.length < 8) return false;
  ratios.sort((x, y) => x - y);
  const at = (q: number): number => ratios[Math.floor(q * (ratios.length - 1))];
  // Half a decade apart in the middle is another place, or another quantity.
  return at(0.75) - at(0.25) < AGREE && Math.abs(at(0.5)) < elementary.log(3.2);
}
