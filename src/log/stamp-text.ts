/** Reading time stamps from bytes: dates, times of day, elapsed times, in the orders that people write them. */

/** Order of the numbers of a date; a year of four digits or a month's name overrides it where they tell. */
export type DateOrder = 'ymd' | 'dmy' | 'mdy';

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
  /** The numbers of a date as they stand, for deciding their order; 0 where not numeric. */
  first: number;
  second: number;
  third: number;
  /** Digits of the first number of the date. */
  firstDigits: number;
  thirdDigits: number;
  /** First number of the time: hours as written, before AM and PM. */
  hours: number;
  /** The character between the numbers of the date. */
  mark: number;
}

/** An empty stamp to be filled. */
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
    first: 0,
    second: 0,
    third: 0,
    firstDigits: 0,
    thirdDigits: 0,
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
  5: 'may mai mei mag',
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
const FILLERS = new Set(['t', 'um', 'at', 'h', 'hrs', 'hr', 'm', 'min', 's', 'sec', 'uhr', 'de', 'of']);
const DAYS = new Set(['d', 'day', 'days', 'tag', 'tage']);
const ZONES = new Set(['z', 'utc', 'gmt']);
const WEEKDAYS = new Set(
  'mon tue wed thu fri sat sun die mit don fre sam son lun mer jeu ven dim mie jue vie dom'.split(' '),
);

const COLON = 58;
const numbers = new Float64Array(9);
const digits = new Int32Array(9);

/**
 * Reads one time stamp, all of the cell or nothing.
 * @param bytes text (UTF-8 or Latin-1)
 * @param start first byte, not a blank
 * @param end one past the last byte
 * @param order of a date written in numbers without a four-digit year in front
 * @param stamp filled where the cell is a stamp
 * @returns whether it is one; the calendar is checked (no 31 June)
 */
export function readStamp(bytes: Uint8Array, start: number, end: number, order: DateOrder, stamp: Stamp): boolean {
  let i = start;
  let dates = 0;
  let month = 0;
  let monthAt = -1;
  let times = 0;
  let inTime = false;
  let afternoon = -1;
  let zone = Number.NaN;
  let days = 0;
  let fraction = 0;
  let mark = 0;
  let hour = 0;
  let minute = 0;
  let second = 0;
  let negative = false;
  stamp.hasDays = false;
  if (bytes[i] === 45) {
    negative = true;
    i++;
  }
  while (i < end) {
    const c = bytes[i];
    if (c >= 48 && c <= 57) {
      const from = i;
      let n = 0;
      for (; i < end; i++) {
        const d = bytes[i] - 48;
        if (d < 0 || d > 9) break;
        n = n * 10 + d;
      }
      const length = i - from;
      const next = i < end ? bytes[i] : 0;
      const dated = dates + (monthAt >= 0 ? 1 : 0) >= 3;
      if (!dated && times === 0 && next !== COLON) {
        if (length === 8 && dates === 0) {
          numbers[0] = Math.floor(n / 10000);
          numbers[1] = Math.floor(n / 100) % 100;
          numbers[2] = n % 100;
          digits[0] = 4;
          digits[2] = 2;
          dates = 3;
          continue;
        }
        if (length === 14 && dates === 0) {
          const day = Math.floor(n / 1e6);
          numbers[0] = Math.floor(day / 10000);
          numbers[1] = Math.floor(day / 100) % 100;
          numbers[2] = day % 100;
          digits[0] = 4;
          digits[2] = 2;
          dates = 3;
          hour = Math.floor(n / 10000) % 100;
          minute = Math.floor(n / 100) % 100;
          second = n % 100;
          times = 3;
          inTime = true;
          continue;
        }
        if (dates >= 3 || length > 4) return false;
        numbers[dates] = n;
        digits[dates++] = length;
        if (dates === 1) mark = next;
        continue;
      }
      if (times > 0 && !inTime && !dated && next !== COLON) {
        if (dates >= 3 || length > 4) return false;
        numbers[dates] = n;
        digits[dates++] = length;
        if (dates === 1) mark = next;
        continue;
      }
      if (times === 0) {
        if (length === 6 && dated && next !== COLON) {
          hour = Math.floor(n / 10000);
          minute = Math.floor(n / 100) % 100;
          second = n % 100;
          times = 3;
        } else if (length === 4 && dated && next !== COLON) {
          hour = Math.floor(n / 100);
          minute = n % 100;
          times = 2;
        } else {
          if (length > 6) return false;
          hour = n;
          times = 1;
        }
      } else if (times === 1) {
        if (length > 2) return false;
        minute = n;
        times = 2;
      } else if (times === 2) {
        if (length > 2) return false;
        second = n;
        times = 3;
      } else if (times === 3 && length <= 9 && fraction === 0) {
        fraction = n / 10 ** length;
      } else return false;
      inTime = true;
      continue;
    }
    if (times > 0) {
      if (inTime && (c === 46 || c === 44) && times >= 2 && i + 1 < end && isDigit(bytes[i + 1])) {
        let size = 1;
        let n = 0;
        i++;
        for (; i < end && isDigit(bytes[i]); i++) {
          if (size >= 1e12) continue;
          n = n * 10 + (bytes[i] - 48);
          size *= 10;
        }
        fraction = n / size;
        continue;
      }
      const dated = dates + (monthAt >= 0 ? 1 : 0) >= 3;
      if ((c === 43 || c === 45) && dated && times >= 2 && isDigit(bytes[i + 1])) {
        const offset = readZone(bytes, i, end);
        if (offset === undefined) {
          if (c === 43 || times === 3) return false;
        } else {
          zone = offset.seconds;
          i = offset.at;
          if (i !== end) return false;
          continue;
        }
      }
    }
    if (isLetter(c)) {
      const from = i;
      while (i < end && (isLetter(bytes[i]) || (bytes[i] === 46 && isLetter(bytes[i + 1])))) i++;
      const word = plainWord(bytes, from, i);
      const found = MONTHS[word.slice(0, 3)];
      if (word === 'am' || word === 'pm' || word === 'a' || word === 'p') {
        if (times === 0) return false;
        afternoon = word[0] === 'p' ? 1 : 0;
      } else if (found !== undefined && monthAt < 0 && word.length >= 3 && !WEEKDAYS.has(word)) {
        month = found;
        monthAt = dates;
        if (dates === 0) mark = i < end ? bytes[i] : 0;
      } else if (ZONES.has(word)) {
        zone = 0;
      } else if (DAYS.has(word) && dates === 1 && monthAt < 0 && times === 0) {
        days = numbers[0];
        dates = 0;
        stamp.hasDays = true;
      } else if (!FILLERS.has(word) && !WEEKDAYS.has(word.slice(0, 3))) return false;
      inTime = inTime && i < end && bytes[i] !== 32;
      continue;
    }
    if (c === COLON && !inTime && times > 0) return false;
    if (c === 32 || c === 9) {
      if (times >= 2) inTime = false;
    } else if (!isMark(c)) return false;
    i++;
  }
  if (dates === 1 && monthAt < 0 && times >= 2) {
    days = numbers[0];
    dates = 0;
    stamp.hasDays = true;
  }
  const fields = dates + (monthAt >= 0 ? 1 : 0);
  if (fields !== 0 && fields !== 3) return false;
  if (times === 1 && afternoon < 0) return false;
  if (fields === 0 && times < 2) return false;
  if (times > 1 && minute > 59) return false;
  if (second > 60) return false;
  if (afternoon >= 0) {
    if (hour < 0 || hour > 12) return false;
    stamp.hours = hour;
    hour = (hour % 12) + 12 * afternoon;
  } else stamp.hours = hour;
  let day = 0;
  if (fields === 3) {
    if (hour > 24 || (hour === 24 && minute + second > 0)) return false;
    day = dayOf(order, month, monthAt);
    if (Number.isNaN(day)) return false;
  }
  const time = days * 86400 + hour * 3600 + minute * 60 + second;
  stamp.seconds = day * 86400 + (negative ? -time : time) - (Number.isNaN(zone) ? 0 : zone);
  stamp.fraction = negative ? -fraction : fraction;
  stamp.hasDate = fields === 3;
  stamp.timeFields = times;
  stamp.hasZone = !Number.isNaN(zone);
  stamp.hasHalfDay = afternoon >= 0;
  stamp.hasMonthName = monthAt >= 0;
  stamp.first = monthAt === 0 ? 0 : numbers[0];
  stamp.second = monthAt >= 0 ? 0 : numbers[1];
  stamp.third = monthAt >= 0 ? 0 : numbers[2];
  stamp.firstDigits = digits[0];
  stamp.thirdDigits = monthAt >= 0 ? 0 : digits[2];
  stamp.mark = mark;
  return true;
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
function dayOf(order: DateOrder, month: number, monthAt: number): number {
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
 */
export function isoText(seconds: number, fraction: number, zone: boolean): string {
  const milliseconds = Math.round(fraction * 1000);
  const text = new Date(seconds * 1000 + milliseconds).toISOString().replace('.000Z', 'Z');
  return zone ? text : text.slice(0, -1);
}
