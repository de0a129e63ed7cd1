import type { RunNow } from '../../src/investigation';
import { span } from '../../src/investigation/text-layout';
import type { Estimate } from '../../src/numerics/estimate';
import type { SegmentKind } from '../../src/segments';
import { formatInterval, fromSI } from '../../src/units';
import { escapeHtml } from './table';

/** A line of large type. */
interface LargeLine {
  /** Height of the type as a part of the large figure's. */
  readonly size: number;
  readonly text: string;
  /** What stands before it in full height. */
  readonly figure?: string;
  /** Stands out from afar. */
  readonly alarm?: boolean;
}

/** Height of the large figure, px, where none is wanted: read from some six metres on a usual screen. */
const FIGURE_PX = 140;
/** Width of a bold digit of the widest usual type as a part of its height. */
const WIDTH_OF_DIGIT = 0.7;
/** What came all at once stands out for so long, s. */
const ALARM_S = 180;
/** A log is late after so many of its usual steps, and never before so many seconds. */
const LATE_STEPS = 5;
const LATE_S = 10;
/** As many changes as are told. */
const CHANGES = 3;

const DOING: Readonly<Record<SegmentKind, string>> = {
  atmosphere: 'at atmosphere',
  'pump-down': 'being pumped down',
  steady: 'standing',
  isolation: 'rising, as with the valve shut',
  fill: 'gas comes in',
  regulated: 'held',
  venting: 'being vented',
  'bake-out': 'heated',
  unknown: 'not clear what is going on',
};

/**
 * How a run stands, to be read from the other end of the room: nothing but paragraphs with a size of type, which is all
 * that an untrusted notebook keeps. The largest figure is the last reading in the unit of the log.
 * @param now the state of the run
 * @param figurePx height of the largest type, px; 140 where absent
 * @param withinPx width that the largest figure must not exceed, px: one that is cut off reads as another number
 */
export function largeHtml(now: RunNow, figurePx = FIGURE_PX, withinPx = Number.POSITIVE_INFINITY): string {
  const lines = largeLines(now);
  const longest = Math.max(...lines.map(({ figure = '' }) => figure.length), 1);
  const fitting = Math.min(figurePx, withinPx / (longest * WIDTH_OF_DIGIT));
  const px = Math.round(Math.min(600, Math.max(40, fitting)));
  return lines.map((line) => lineHtml(line, px)).join('\n');
}

/** The same as text. */
export function largeText(now: RunNow): string {
  return largeLines(now)
    .map(({ figure, text, alarm }) => `${alarm ? '! ' : ''}${figure ? `${figure} ` : ''}${text}`)
    .join('\n');
}

function lineHtml({ size, text, figure, alarm }: LargeLine, px: number): string {
  const type = (part: number): string => `font-size:${Math.round(px * part)}px;line-height:1.2`;
  const large = figure ? `<strong style="${type(1)}">${escapeHtml(figure)}</strong> ` : '';
  const plain = escapeHtml(text);
  const words = alarm ? `<strong style="color:#000000;background-color:#f0e442">${plain}</strong>` : plain;
  return `<p style="${type(size)};margin:0">${large}${words}</p>`;
}

function largeLines(now: RunNow): LargeLine[] {
  return [
    ...lateLines(now),
    readingLine(now),
    ...trendLines(now),
    ...doingLines(now),
    ...changeLines(now).filter(({ alarm }) => alarm),
    ...setPointLines(now),
    ...changeLines(now).filter(({ alarm }) => !alarm),
  ];
}

/** Three digits, with their noughts, so that the figure does not dance. */
export function figureText(value: number): string {
  if (value === 0 || !Number.isFinite(value)) return String(value);
  const size = Math.abs(value);
  return size >= 1e-3 && size < 9999.5 ? steadyDigits(value) : value.toExponential(2);
}

function steadyDigits(value: number): string {
  const text = value.toPrecision(3);
  return text.includes('e') ? String(Number(text)) : text;
}

function readingLine({ reading, unit, channel }: RunNow): LargeLine {
  const { pa, flag } = reading;
  const value = Number.isFinite(pa) ? figureText(fromSI(pa, unit)) : '';
  if (flag === '') return { size: 0.4, figure: value, text: unit };
  const beside = value === '' ? channel : `${value} ${unit}`;
  return { size: 0.3, figure: flag, text: beside };
}

function trendLines({ trend, unit }: RunNow): LargeLine[] {
  if (!trend) return [{ size: 0.3, text: 'trend: too few readings' }];
  const { direction, ratePaPerS: rate, fromS, toS } = trend;
  const words = { rises: '\u25b2 rises', falls: '\u25bc falls', steady: '\u25ac steady', 'not clear': 'not clear' }[
    direction
  ];
  const [least, most] = [Math.abs(rate.low), Math.abs(rate.high)];
  const size =
    direction === 'rises' || direction === 'falls'
      ? { value: Math.abs(rate.value), low: Math.min(least, most), high: Math.max(least, most) }
      : rate;
  return [
    { size: 0.28, text: `${words} ${rateText(size, unit)}` },
    { size: 0.14, text: `trend of the last ${span(toS - fromS)}, with its 95 % interval` },
  ];
}

/** As wide as the wider half of the interval, so that it is short. */
function rateText({ value, low, high }: Estimate, unit: string): string {
  const half = Math.max(high - value, value - low);
  return formatInterval({ value, low: value - half, high: value + half }, `${unit}/min`).replace(' (95 %)', '');
}

function doingLines({ doing, isolation, atS, unit }: RunNow): LargeLine[] {
  if (!doing) return [];
  const since = span(atS - doing.startS);
  if (!isolation) return [{ size: 0.2, text: `${DOING[doing.kind]}, for ${since}` }];
  const load = isolation.gasLoad
    ? [{ size: 0.2, text: `gas load ${formatInterval(isolation.gasLoad, 'mbar L/s').replace(' (95 %)', '')}` }]
    : [];
  return [
    { size: 0.24, text: `rate of rise ${rateText(isolation.rate, unit)}` },
    ...load,
    { size: 0.14, text: `${DOING[doing.kind]}, for ${since}; with its 95 % interval` },
  ];
}

function changeLines({ changes, atS, unit }: RunNow): LargeLine[] {
  return changes
    .slice(-CHANGES)
    .reverse()
    .map(({ kind, atS: at, fromPa, toPa }) => {
      const [from, to] = [fromPa, toPa].map((pa) => figureText(fromSI(pa, unit)));
      const up = toPa > fromPa ? 'step up' : 'step down';
      const what = { burst: 'burst of gas', step: up, 'rise from rest': 'stood, then rose' }[kind];
      const isNew = atS - at <= ALARM_S;
      const text = `${what} ${span(atS - at)} ago: ${from} to ${to} ${unit}`;
      return { size: isNew ? 0.2 : 0.15, alarm: isNew, text };
    });
}

const SET_POINT = { below: '\u2714 below', about: '\u2248 about', above: '\u2718 above' } as const;

function setPointLines({ setPoints, atS }: RunNow): LargeLine[] {
  return setPoints.map(({ label, now, sinceS }) => {
    if (now === null) return { size: 0.18, text: `? ${label}` };
    const ago = sinceS === null ? '' : span(atS - sinceS);
    const since = ago === '' ? '' : now === 'above' ? `, came back up ${ago} ago` : `, passed ${ago} ago`;
    return { size: 0.18, text: `${SET_POINT[now]} ${label}${since}` };
  });
}

/** Says when nothing has come for longer than is usual: then everything below is old. */
function lateLines({ sinceLastRowS, stepS }: RunNow): LargeLine[] {
  if (sinceLastRowS === null || sinceLastRowS < Math.max(LATE_S, LATE_STEPS * stepS)) return [];
  return [{ size: 0.3, alarm: true, text: `no new row for ${span(sinceLastRowS)}: what follows is old` }];
}
