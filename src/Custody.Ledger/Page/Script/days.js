// Dates as people know them: EDTF (Library of Congress, 4 February 2019; the profile of ISO 8601-2:2019), levels 0 to 2. Told is only what
// the page needs: whether a text is such a date, and the days between which it lies. Day 0 is 0001-01-01 of the proleptic Gregorian calendar.
const LARGEST_YEAR = 9_999_999_999_999;
const LONGEST = 256;

const isLeap = (year) => year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);

const daysInMonth = (year, month) => (month === 2 ? (isLeap(year) ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31);

export function dayOf(year, month, day) {
  const past = year - 1;
  let days = 365 * past + Math.floor(past / 4) - Math.floor(past / 100) + Math.floor(past / 400);
  for (let m = 1; m < month; m++) days += daysInMonth(year, m);
  return days + day - 1;
}

const months = (year, from, to) => ({ lo: dayOf(year, from, 1), hi: dayOf(year, to, daysInMonth(year, to)) });

// Winter is said of the one that ends in the year and of the one that begins then: both are possible.
const turn = (year) => ({ lo: dayOf(year, 12, 1), hi: dayOf(year + 1, 3, 31) });

// Codes 21 to 41. Quarters, quadrimesters and halves are exact; seasons are every month they touch by any custom.
function season(code, year) {
  if ([21, 25, 31].includes(code)) return [months(year, 3, 6)];
  if ([22, 26, 32].includes(code)) return [months(year, 6, 9)];
  if ([23, 27, 29].includes(code)) return [months(year, 9, 12)];
  if ([24, 28, 30].includes(code)) return [turn(year - 1), turn(year)];
  if (code <= 36) return [months(year, 3 * (code - 33) + 1, 3 * (code - 33) + 3)];
  if (code <= 39) return [months(year, 4 * (code - 37) + 1, 4 * (code - 37) + 4)];
  return [months(year, 6 * (code - 40) + 1, 6 * (code - 40) + 6)];
}

const isSeason = (month) => !month.includes("X") && Number(month) >= 21 && Number(month) <= 41;

// The numbers a mask of digits and X fits, ascending.
function fitting(mask, from, to) {
  const pattern = new RegExp(`^${mask.replaceAll("X", "[0-9]")}$`);
  if (!mask.includes("X")) return Number(mask) >= from && Number(mask) <= to ? [Number(mask)] : [];
  const fits = [];
  for (let value = from; value <= to; value++) if (pattern.test(String(value).padStart(mask.length, "0"))) fits.push(value);
  return fits;
}

// The possible days within one year: the first and the last run are enough here.
function runsOf(year, month, day) {
  if (month === undefined || (month === "XX" && (day === undefined || day === "XX"))) return [months(year, 1, 12)];
  if (day === undefined && isSeason(month)) return season(Number(month), year);
  return fitting(month, 1, 12).flatMap((m) => (day === undefined || day === "XX" ? [months(year, m, m)]
    : fitting(day, 1, daysInMonth(year, m)).map((d) => ({ lo: dayOf(year, m, d), hi: dayOf(year, m, d) }))));
}

const PLAIN = /^([?~%])?(-?[0-9X]{4})([?~%])?(?:-([?~%])?([0-9X]{2})([?~%])?(?:-([?~%])?([0-9X]{2})([?~%])?)?)?$/;
const LONG_YEAR = /^(?:(Y)(-)?([0-9]+)(?:E([0-9]+))?(?:S([0-9]+))?|(-)?([0-9]{4})S([0-9]+))$/;

// One date: {lo, hi, precision, masked, qualified}, or null.
function readDate(text) {
  const plain = PLAIN.exec(text);
  return plain !== null ? readPlain(text, plain) : readLongYear(text);
}

function readPlain(text, [, ly, year, ry, lm, month, rm, ld, day, rd]) {
  if ((ly && ry) || (lm && rm) || (ld && rd)) return null; // a component carries one qualifier, on one side
  const negative = year[0] === "-";
  const digits = negative ? year.slice(1) : year;
  const isOfSeason = month !== undefined && isSeason(month);
  if ((negative && digits === "0000") || (isOfSeason && day !== undefined)) return null;
  const years = negative ? fitting(digits, 1, 9999).map((y) => -y).reverse() : fitting(digits, 0, 9999);
  const first = firstRun(years, month, day);
  if (first === undefined) return null;
  return {
    lo: first[0].lo, hi: firstRun([...years].reverse(), month, day).at(-1).hi,
    precision: day !== undefined ? "day" : isOfSeason ? "season" : month !== undefined ? "month" : "year",
    masked: text.includes("X"), qualified: /[?~%]/.test(text),
  };
}

function firstRun(years, month, day) {
  for (const year of years) {
    const runs = runsOf(year, month, day);
    if (runs.length > 0) return runs;
  }
  return undefined;
}

// Level 1, letter-prefixed year; level 2, exponential year and significant digits.
function readLongYear(text) {
  const match = LONG_YEAR.exec(text);
  if (match === null) return null;
  const letter = match[1] !== undefined;
  const [digits, minus, kept] = [match[3] ?? match[7], match[2] ?? match[6], match[5] ?? match[8]];
  const small = (number) => (number.length > 3 ? 999 : Number(number)); // no more digits make sense
  const zeros = small(match[4] ?? "0");
  if (zeros > 13 || digits.length + zeros > 14 || (letter && zeros === 0 && digits.length < 5) || (letter && digits[0] === "0")) return null;
  const year = Number(digits + "0".repeat(zeros));
  if ((minus && year === 0) || year > LARGEST_YEAR) return null;
  let [lo, hi] = [year, year];
  if (kept !== undefined) {
    if (small(kept) < 1 || small(kept) > digits.length + zeros) return null;
    const unit = 10 ** (digits.length + zeros - small(kept));
    lo = Math.floor(lo / unit) * unit;
    hi = Math.min(lo + unit - 1, LARGEST_YEAR);
  }
  if (minus) [lo, hi] = [-hi, lo === 0 ? -1 : -lo];
  return { lo: dayOf(lo, 1, 1), hi: dayOf(hi, 12, 31), precision: "year", masked: false, qualified: false };
}

// Level 0: hours to 23, no leap second, shifts within 14 hours of UTC, none of them a minus nothing.
function isTime(text) {
  const match = /^(\d{2}):(\d{2}):(\d{2})(?:Z|([+-])(\d{2})(?::(\d{2}))?)?$/.exec(text);
  if (match === null || Number(match[1]) > 23 || Number(match[2]) > 59 || Number(match[3]) > 59) return false;
  const [minutes, shift] = [Number(match[6] ?? 0), Number(match[5] ?? 0) * 60 + Number(match[6] ?? 0)];
  return minutes <= 59 && shift <= 14 * 60 && !(shift === 0 && match[4] === "-");
}

// The four bounds of a value: days, infinite where open, null where unknown; or null when the text is none.
export function readEdtf(text) {
  if (text.length === 0 || text.length > LONGEST || !/^[0-9\-/.,:+?~%[\]{}XYESTZ]*$/.test(text)) return null;
  if (/\?~|~\?/.test(text)) return null;
  if (text[0] === "[" || text[0] === "{") return readSet(text);
  if (text.includes("/")) return readInterval(text);
  const at = text.indexOf("T");
  const date = readDate(at < 0 ? text : text.slice(0, at));
  if (date === null || (at >= 0 && (date.precision !== "day" || date.masked || date.qualified || !isTime(text.slice(at + 1))))) return null;
  return { startLo: date.lo, startHi: date.hi, endLo: date.lo, endHi: date.hi };
}

function readInterval(text) {
  const ends = text.split("/");
  if (ends.length !== 2) return null;
  const dated = ends.map((end) => end !== "" && end !== "..");
  const dates = ends.map((end, i) => (dated[i] && !end.includes("T") ? readDate(end) : null));
  if (!dated.includes(true) || dates.some((date, i) => dated[i] && date === null)) return null;
  const [from, to] = dates;
  if (from !== null && to !== null && from.lo > to.hi) return null;
  // Open: no limit. Unknown: any day that the other end allows; told as unknown.
  const endHi = to?.hi ?? Infinity;
  const startHi = Math.min(from?.hi ?? -Infinity, endHi);
  const startLo = from?.lo ?? -Infinity;
  const endLo = Math.max(to?.lo ?? Infinity, startLo);
  return {
    startLo: ends[0] === "" ? null : startLo, startHi: ends[0] === "" ? null : startHi,
    endLo: ends[1] === "" ? null : endLo, endHi: ends[1] === "" ? null : endHi,
  };
}

// Level 2: [one of] and {all of}, members apart by commas, ranges by "..", also before the first and after the last.
function readSet(text) {
  const oneOf = text[0] === "[";
  if (text.length < 3 || !text.endsWith(oneOf ? "]" : "}")) return null;
  const texts = text.slice(1, -1).split(",");
  const members = texts.map((member, i) => readMember(member, i === 0, i === texts.length - 1, oneOf));
  if (members.includes(null)) return null;
  const [least, most] = [(of) => Math.min(...members.map(of)), (of) => Math.max(...members.map(of))];
  // All of these together: it began in the earliest and ended in the latest.
  return oneOf
    ? { startLo: least((m) => m.startLo), startHi: most((m) => m.startHi), endLo: least((m) => m.endLo), endHi: most((m) => m.endHi) }
    : { startLo: least((m) => m.startLo), startHi: least((m) => m.startHi), endLo: most((m) => m.endLo), endHi: most((m) => m.endHi) };
}

function readMember(text, isFirst, isLast, oneOf) {
  const dots = text.indexOf("..");
  if (dots < 0) {
    const date = text.includes("T") ? null : readDate(text);
    return date === null ? null : { startLo: date.lo, startHi: date.hi, endLo: date.lo, endHi: date.hi };
  }
  const [left, right] = [text.slice(0, dots), text.slice(dots + 2)];
  if ((left === "" && !isFirst) || (right === "" && !isLast) || (left === "" && right === "")) return null;
  const limit = (end) => {
    const date = readDate(end);
    return date === null || date.precision === "season" || date.masked ? undefined : date;
  };
  const [from, to] = [left === "" ? null : limit(left), right === "" ? null : limit(right)];
  if (from === undefined || to === undefined) return null;
  if (from !== null && to !== null && (from.precision !== to.precision || from.lo > to.lo)) return null;
  const [lo, hi] = [from?.lo ?? -Infinity, to?.hi ?? Infinity];
  return oneOf ? { startLo: lo, startHi: hi, endLo: lo, endHi: hi }
    : { startLo: lo, startHi: from?.hi ?? -Infinity, endLo: to?.lo ?? Infinity, endHi: hi };
}

// The first of the four bounds that is a day; null when none is.
export function firstDay(text) {
  const bounds = readEdtf(text);
  return [bounds.startLo, bounds.startHi, bounds.endLo, bounds.endHi].find((bound) => bound !== null && Number.isFinite(bound)) ?? null;
}

// The day of a second in UTC.
export const dayOfSecond = (text) => dayOf(Number(text.slice(0, 4)), Number(text.slice(5, 7)), Number(text.slice(8, 10)));
