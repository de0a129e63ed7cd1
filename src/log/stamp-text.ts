/** Reading time stamps from bytes: dates, times of day, elapsed times, in the orders that people write them. */

/** Order of the numbers of a date; a year of four digits or a month's name overrides it where they tell. */
export type DateOrder = 'ymd' | 'dmy' | 'mdy';

/** How a stamp is read: `clock` is for columns without dates, where `14.05.30` is a time of day written with dots. */
export type StampOrder = DateOrder | 'clock';

/** What `readStamp` found. One object is filled again and again, so that a million rows make no garbage. */
export interface Stamp {
  /** Whole seconds: since 1 January 1970 where there is a date (in UTC where a zone is given), else since 0:00. */
  seconds: number;
  /** The rest of the second, 0 <= fraction < 1. */
  fraction: number;
  hasDate: boolean;
  /** Number of fields of the time of day, 0 to 3. */
  timeFields: number;
  hasZone: boolean;
  hasHalfDay: boolean;
  /** Days in front of an elapsed time (`2 days, 3:04:05`). */
  hasDays: boolean;
  hasMonthName: boolean;
  /** Digits of the first number of the date. */
  firstDigits: number;
  /** First number of the time: hours as written, before AM and PM. */
  hours: number;
  /** The character between the numbers of the date. */
  mark: number;
}

/**
 * An empty stamp to be filled.
 * @returns a stamp of zeros
 */
export function newStamp(): Stamp {
  return {
    seconds: 0,
    fraction: 0,
    hasDate: false,
    timeFields: 0,
    hasZone: false,
    hasHalfDay: false,
    hasDays: false,
    hasMonthName: false,
    firstDigits: 0,
    hours: 0,
    mark: 0,
  };
}

/** First letters of the months in English, German, French, Spanish, Italian, Portuguese, Dutch (accents taken off). */
const MONTHS: Record<string, number> = {};
for (const [month, names] of Object.entries({
  1: 'jan ene gen janv',
  2: 'feb fev',
  3: 'mar mrz mae maa mrt',
  4: 'apr abr avr',
  5: 'may mai mei mag maj',
  6: 'jun giu juin',
  7: 'jul lug juil',
  8: 'aug ago aou',
  9: 'sep set',
  10: 'oct okt ott out',
  11: 'nov',
  12: 'dec dez dic',
})) {
  for (const name of names.split(' ')) MONTHS[name] = Number(month);
}
const FILLERS = new Set(['t', 'um', 'at', 'h', 'hrs', 'hr', 'm', 'min', 's', 'sec', 'uhr', 'kl', 'de', 'of']);
const DAYS = new Set(['d', 'day', 'days', 'tag', 'tage']);
/** Hours ahead of UTC, of names that mean one zone only. */
const ZONES = new Map(
  Object.entries({ z: 0, utc: 0, gmt: 0, wet: 0, west: 1, cet: 1, mez: 1, cest: 2, mesz: 2, eet: 2, eest: 3 }),
);
for (const [name, hours] of Object.entries({ est: -5, edt: -4, cdt: -5, mdt: -6, pst: -8, pdt: -7 }))
  ZONES.set(name, hours);
const WEEKDAYS = new Set(
  'mon tue wed thu fri sat sun die mit don fre sam son lun mer jeu ven dim mie jue vie dom'.split(' '),
);

/** Kinds of time literals of IEC 61131-3 (from memory). */
const LITERALS = new Set(['dt', 'ldt', 'tod', 'ltod', 'd']);
const HASH = 35;
const COLON = 58;
const MINUS = 45;
const PLUS = 43;
const NO_ZONE = Number.NaN;

/** The place in the cell and what was found so far; one object, filled again for each stamp. */
const scan = {
  bytes: new Uint8Array(0),
  at: 0,
  end: 0,
  /** Numbers of the date so far, and the place of the month's name among them (-1: none). */
  dates: 0,
  month: 0,
  monthAt: -1,
  /** Fields of the time so far, and whether the last thing read was one of them. */
  times: 0,
  inTime: false,
  hour: 0,
  minute: 0,
  second: 0,
  fraction: 0,
  days: 0,
  /** Whether the first number of a date stands in front of the time: a number behind it counts no days. */
  inFront: false,
  hasDays: false,
  /** 1 for PM, 0 for AM, -1 for neither. */
  afternoon: -1,
  /** Seconds ahead of UTC. */
  zone: NO_ZONE,
  negative: false,
  mark: 0,
  /** Dots part hours, minutes and seconds. */
  dotted: false,
  /** Numbers of the time, and those of them that a letter names: `1h 02m`. */
  timeNumbers: 0,
  lettered: 0,
  /** The character behind the hours. */
  clockMark: 0,
};
const numbers = new Float64Array(3);
const digits = new Int32Array(3);

/**
 * Reads one time stamp, all of the cell or nothing.
 * @param bytes text (UTF-8 or Latin-1)
 * @param start first byte, not a blank
 * @param end one past the last byte
 * @param order of a date written in numbers without a four-digit year in front
 * @param stamp filled where the cell is a stamp
 * @returns whether it is one; the calendar is checked (no 31 June)
 */
export function readStamp(bytes: Uint8Array, start: number, end: number, order: StampOrder, stamp: Stamp): boolean {
  begin(bytes, start, end);
  scan.dotted = order === 'clock' && !hasColon(bytes, start, end);
  while (scan.at < end) {
    const code = bytes[scan.at];
    const blank = code < 128 ? 0 : wideBlank(bytes, scan.at);
    if (blank > 0) {
      if (scan.times >= 2) scan.inTime = false;
      scan.at += blank;
      continue;
    }
    const taken = isDigit(code) ? takeNumber() : isLetter(code) ? takeWord() : takeMark(code);
    if (!taken) return false;
  }
  return finish(order, stamp);
}

function begin(bytes: Uint8Array, start: number, end: number): void {
  scan.bytes = bytes;
  scan.negative = bytes[start] === MINUS;
  scan.at = scan.negative ? start + 1 : start;
  scan.end = end;
  scan.dates = 0;
  scan.month = 0;
  scan.monthAt = -1;
  scan.times = 0;
  scan.inTime = false;
  scan.hour = 0;
  scan.minute = 0;
  scan.second = 0;
  scan.fraction = 0;
  scan.days = 0;
  scan.inFront = false;
  scan.hasDays = false;
  scan.afternoon = -1;
  scan.zone = NO_ZONE;
  scan.mark = 0;
  scan.timeNumbers = 0;
  scan.lettered = 0;
  scan.clockMark = 0;
}

/** Bytes of a no-break or thin blank (U+00A0, U+2007 to U+200A, U+202F; A0 of Latin-1), 0 where there is none. */
function wideBlank(bytes: Uint8Array, at: number): number {
  if (bytes[at] === 0xa0) return 1;
  if (bytes[at] === 0xc2 && bytes[at + 1] === 0xa0) return 2;
  const third = bytes[at] === 0xe2 && bytes[at + 1] === 0x80 ? bytes[at + 2] : 0;
  return third === 0xaf || (third >= 0x87 && third <= 0x8a) ? 3 : 0;
}

function hasColon(bytes: Uint8Array, start: number, end: number): boolean {
  for (let i = start; i < end; i++) if (bytes[i] === COLON) return true;
  return false;
}

/** All three parts of a date are there. */
function isDated(): boolean {
  return scan.dates + (scan.monthAt >= 0 ? 1 : 0) >= 3;
}

function takeNumber(): boolean {
  const { bytes, end } = scan;
  const from = scan.at;
  let n = 0;
  let at = from;
  for (; at < end && isDigit(bytes[at]); at++) n = n * 10 + (bytes[at] - 48);
  scan.at = at;
  const length = at - from;
  const next = at < end ? bytes[at] : 0;
  if ((isLetter(next) || next === 32) && (scan.dates === 0 || isDated())) {
    const field = fieldNamed(at);
    if (field >= scan.times) return addField(field, n, length);
  }
  const ofTime = next === COLON || scan.dotted || (scan.times > 0 && scan.inTime);
  const ofDate = !isDated() && !ofTime;
  return ofDate ? addToDate(n, length, next) : addToTime(n, length, next);
}

function addToDate(n: number, length: number, next: number): boolean {
  if (scan.dates === 0 && scan.times === 0 && length === 14) {
    compactDate(Math.floor(n / 1e6));
    compactTime(n % 1e6, 6);
    return true;
  }
  if (scan.dates === 0 && scan.times === 0 && length === 8) {
    compactDate(n);
    return true;
  }
  if (scan.dates >= 3 || length > 4) return false;
  if (scan.dates === 0) {
    scan.mark = next;
    scan.inFront = scan.times === 0;
  }
  numbers[scan.dates] = n;
  digits[scan.dates++] = length;
  return true;
}

/** 20240131 */
function compactDate(n: number): void {
  numbers[0] = Math.floor(n / 10000);
  numbers[1] = Math.floor(n / 100) % 100;
  numbers[2] = n % 100;
  digits[0] = 4;
  digits[1] = 2;
  digits[2] = 2;
  scan.dates = 3;
}

/** 235959 or 2359 */
function compactTime(n: number, length: number): void {
  scan.hour = Math.floor(length === 6 ? n / 10000 : n / 100);
  scan.minute = length === 6 ? Math.floor(n / 100) % 100 : n % 100;
  scan.second = length === 6 ? n % 100 : 0;
  scan.times = length === 6 ? 3 : 2;
  scan.inTime = true;
}

const FIELD_WORDS: Readonly<Record<string, number>> = {
  h: 0,
  hr: 0,
  hrs: 0,
  std: 0,
  m: 1,
  min: 1,
  mins: 1,
  s: 2,
  sec: 2,
  sek: 2,
};
const LONGEST_FIELD_WORD = 4;

/** The field of the time that the word behind a number names, 0 to 2; -1 where it names none. Its end is left in `wordEnd`. */
function fieldNamed(at: number): number {
  const { bytes, end } = scan;
  let from = at;
  if (bytes[from] === 32) from++;
  let word = '';
  let i = from;
  for (; i < end && isLetter(bytes[i]) && word.length <= LONGEST_FIELD_WORD; i++)
    word += String.fromCharCode(bytes[i] | 32);
  wordEnd = i;
  return FIELD_WORDS[word] ?? -1;
}
let wordEnd = 0;

/** `1h`, `02 min`: a number and the letter that says what it counts. */
function addField(field: number, n: number, length: number): boolean {
  if (length > [6, 2, 2][field]) return false;
  scan.at = wordEnd;
  scan.inTime = true;
  scan.timeNumbers++;
  scan.lettered++;
  if (field === 0) scan.hour = n;
  else if (field === 1) scan.minute = n;
  else scan.second = n;
  scan.times = field + 1;
  return true;
}

function addToTime(n: number, length: number, next: number): boolean {
  scan.inTime = true;
  scan.timeNumbers++;
  if (scan.times === 0) scan.clockMark = next;
  if (scan.times === 0 && isDated() && next !== COLON && length >= 4 && length <= 6) {
    compactTime(n, length === 5 ? 6 : length);
    return true;
  }
  if (length > [6, 2, 2, 9][scan.times] || (scan.times === 3 && scan.fraction !== 0)) return false;
  if (scan.times === 0) scan.hour = n;
  else if (scan.times === 1) scan.minute = n;
  else if (scan.times === 2) scan.second = n;
  else if (length < 3) return false;
  else scan.fraction = n / 10 ** length;
  if (scan.times < 3) scan.times++;
  return true;
}

function takeMark(code: number): boolean {
  const { bytes, at, end, times } = scan;
  const digitFollows = at + 1 < end && isDigit(bytes[at + 1]);
  const fieldFollows = code === 46 && times === 2 && scan.clockMark === 46;
  if (scan.inTime && times >= 2 && digitFollows && (code === 46 || code === 44) && !fieldFollows) return takeFraction();
  if (times >= 2 && digitFollows && (code === PLUS || code === MINUS) && isDated()) {
    const zone = readZone(bytes, at, end);
    if (zone && zone.at === end) {
      scan.zone = zone.seconds;
      scan.at = end;
      return true;
    }
    if (zone || code === PLUS || times === 3) return false;
  }
  if (code === COLON && !scan.inTime && times > 0) return false;
  if (code === 32 || code === 9) {
    if (times >= 2) scan.inTime = false;
  } else if (!isMark(code)) return false;
  scan.at++;
  return true;
}

function takeFraction(): boolean {
  const { bytes, end } = scan;
  let size = 1;
  let n = 0;
  let at = scan.at + 1;
  for (; at < end && isDigit(bytes[at]); at++) {
    if (size >= 1e12) continue;
    n = n * 10 + (bytes[at] - 48);
    size *= 10;
  }
  scan.fraction = n / size;
  scan.at = at;
  return true;
}

function takeWord(): boolean {
  const { bytes, end } = scan;
  const from = scan.at;
  let at = from;
  while (at < end && (isLetter(bytes[at]) || (bytes[at] === 46 && isLetter(bytes[at + 1])))) at++;
  scan.at = at;
  scan.inTime = scan.inTime && at < end && bytes[at] !== 32;
  if (at < end && bytes[at] === HASH) return takeLiteral(plainWord(bytes, from, at));
  if (at - from === 1 && (bytes[from] | 32) === 116) return true;
  return useWord(plainWord(bytes, from, at), at < end ? bytes[at] : 0);
}

/** `DT#2026-11-05-14:00:00`, `TOD#14:00:00`: literals of IEC 61131-3. */
function takeLiteral(word: string): boolean {
  scan.at++;
  return LITERALS.has(word) && scan.dates === 0 && scan.times === 0;
}

function useWord(word: string, next: number): boolean {
  if (word === 'am' || word === 'pm' || word === 'a' || word === 'p') {
    scan.afternoon = word[0] === 'p' ? 1 : 0;
    return scan.times > 0;
  }
  const month = word.length >= 3 && scan.monthAt < 0 && !WEEKDAYS.has(word) ? MONTHS[word.slice(0, 3)] : undefined;
  if (month !== undefined) {
    scan.month = month;
    scan.monthAt = scan.dates;
    if (scan.dates === 0) scan.mark = next;
    return true;
  }
  const zone = ZONES.get(word);
  if (zone !== undefined) {
    scan.zone = zone * 3600;
    return true;
  }
  if (DAYS.has(word) && scan.dates === 1 && scan.monthAt < 0 && scan.times === 0) {
    countAsDays();
    return true;
  }
  return FILLERS.has(word) || WEEKDAYS.has(word.slice(0, 3));
}

/** A single number in front of a time counts days: `1.02:03:04`, `2 days, 3:04:05`. */
function countAsDays(): void {
  scan.days = numbers[0];
  scan.dates = 0;
  scan.hasDays = true;
}

function finish(order: StampOrder, stamp: Stamp): boolean {
  if (scan.dates === 1 && scan.inFront && scan.monthAt < 0 && scan.times >= 2) countAsDays();
  const dated = isDated();
  if (!dated && (scan.dates > 0 || scan.monthAt >= 0 || scan.times < 2)) return false;
  if (scan.times === 1 && scan.afternoon < 0) return false;
  if (scan.lettered > 0 && scan.timeNumbers < 2) return false;
  if (scan.minute > 59 || scan.second > 60) return false;
  if (scan.afternoon >= 0 && scan.hour > 12) return false;
  const hour = scan.afternoon < 0 ? scan.hour : (scan.hour % 12) + 12 * scan.afternoon;
  if (dated && (hour > 24 || (hour === 24 && scan.minute + scan.second > 0))) return false;
  const day = dated ? dayOf(order, scan.month, scan.monthAt) : 0;
  if (Number.isNaN(day)) return false;
  const time = scan.days * 86400 + hour * 3600 + scan.minute * 60 + scan.second;
  const zone = Number.isNaN(scan.zone) ? 0 : scan.zone;
  stamp.seconds = day * 86400 + (scan.negative ? -time : time) - zone;
  stamp.fraction = scan.negative ? -scan.fraction : scan.fraction;
  describe(stamp, dated);
  return true;
}

/** What of the stamp only detection looks at. */
function describe(stamp: Stamp, dated: boolean): void {
  const named = scan.monthAt >= 0;
  stamp.hasDate = dated;
  stamp.hours = scan.hour;
  stamp.timeFields = scan.times;
  stamp.hasZone = !Number.isNaN(scan.zone);
  stamp.hasHalfDay = scan.afternoon >= 0;
  stamp.hasDays = scan.hasDays;
  stamp.hasMonthName = named;
  stamp.firstDigits = dated ? digits[0] : 0;
  stamp.mark = scan.mark;
}

function isDigit(code: number): boolean {
  return code >= 48 && code <= 57;
}

function isLetter(code: number): boolean {
  return (code >= 97 && code <= 122) || (code >= 65 && code <= 90) || code >= 128;
}

/** Blank, comma, dot, slash, hyphen, colon, underscore and the T of ISO 8601 (a letter, handled there). */
function isMark(code: number): boolean {
  return code === 44 || code === 46 || code === 47 || code === 45 || code === COLON || code === 95;
}

/** A word in lower case without dots and accents, so that `déc.` and `DEC` are one. */
function plainWord(bytes: Uint8Array, start: number, end: number): string {
  let word = '';
  let foreign = false;
  for (let i = start; i < end; i++) {
    if (bytes[i] === 46) continue;
    if (bytes[i] > 127) foreign = true;
    word += String.fromCharCode(bytes[i] | 32);
  }
  if (!foreign) return word;
  const utf8 = new TextDecoder().decode(bytes.subarray(start, end));
  const text = utf8.includes('�') ? String.fromCharCode(...bytes.subarray(start, end)) : utf8;
  return text
    .normalize('NFD')
    .replace(/[\u0300-\u036f.]/g, '')
    .toLowerCase();
}

/** A zone such as `+02:00`, `-0530`, `+01`, in seconds. */
function readZone(bytes: Uint8Array, start: number, end: number): { seconds: number; at: number } | undefined {
  let text = '';
  let i = start + 1;
  for (; i < end && (isDigit(bytes[i]) || bytes[i] === COLON); i++) text += String.fromCharCode(bytes[i]);
  const match = /^(\d\d):?(\d\d)?$/.exec(text);
  if (!match || Number(match[1]) > 14) return undefined;
  const seconds = Number(match[1]) * 3600 + Number(match[2] ?? 0) * 60;
  return { seconds: bytes[start] === 45 ? -seconds : seconds, at: i };
}

/** Days since 1 January 1970 of the date in `numbers`, or NaN where the calendar has no such day. */
function dayOf(order: StampOrder, month: number, monthAt: number): number {
  let year: number;
  let day: number;
  let monthOfYear = month;
  let yearDigits: number;
  if (monthAt >= 0) {
    const yearFirst = digits[0] >= 3 && monthAt > 0;
    year = yearFirst ? numbers[0] : numbers[1];
    day = yearFirst ? numbers[1] : numbers[0];
    yearDigits = yearFirst ? digits[0] : digits[1];
  } else if (order === 'ymd' || digits[0] >= 3) {
    [year, monthOfYear, day] = [numbers[0], numbers[1], numbers[2]];
    yearDigits = digits[0];
  } else {
    year = numbers[2];
    monthOfYear = order === 'dmy' ? numbers[1] : numbers[0];
    day = order === 'dmy' ? numbers[0] : numbers[1];
    yearDigits = digits[2];
  }
  if (yearDigits <= 2) year += year < 70 ? 2000 : 1900;
  return dayNumber(year, monthOfYear, day);
}

const DAYS_IN_MONTH = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/**
 * Days from 1 January 1970 in the Gregorian calendar.
 * @param year 1 to 9999
 * @param month 1 to 12
 * @param day of the month
 * @returns whole days, or NaN where there is no such day
 */
export function dayNumber(year: number, month: number, day: number): number {
  if (year < 1 || year > 9999 || month < 1 || month > 12 || day < 1) return Number.NaN;
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  if (day > DAYS_IN_MONTH[month - 1] + (leap && month === 2 ? 1 : 0)) return Number.NaN;
  const y = month > 2 ? year : year - 1;
  const m = month > 2 ? month - 3 : month + 9;
  const centuries = Math.floor(y / 100);
  const leaps = Math.floor((146097 * centuries) / 4) + Math.floor((1461 * (y % 100)) / 4);
  return leaps + Math.floor((153 * m + 2) / 5) + day - 719469;
}

/**
 * ISO 8601 text of a moment.
 * @param seconds since 1 January 1970
 * @param fraction of a second, 0 to 1
 * @param zone whether the moment is in UTC (then it ends in Z)
 * @returns the text, with milliseconds only where there are any
 */
export function isoText(seconds: number, fraction: number, zone: boolean): string {
  const milliseconds = Math.round(fraction * 1000);
  const text = new Date(seconds * 1000 + milliseconds).toISOString().replace('.000Z', 'Z');
  return zone ? text : text.slice(0, -1);
}
