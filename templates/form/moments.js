// Moments as moments.py reads them: RFC 3339, or local in an IANA zone, as seconds since 1970-01-01T00:00Z.
// A zone is {key, clock}: its name, and the browser's own clock of it. A time that a clock change skips or repeats is
// refused with both moments it could be; a date alone is some moment of that day.

const MOMENT_FORM = new RegExp("^([0-9]{4})-([0-9]{2})-([0-9]{2})" +
  "(?:[ Tt]([0-9]{2}):([0-9]{2})(?::([0-9]{2})(\\.[0-9]{1,9})?)? ?([Zz]|[+-][0-9]{2}:[0-9]{2})?)?$");
const MOMENT_ADVICE = "write it as year-month-day hour:minute, such as 2026-03-09 08:30";
const DATE_ADVICE = "write it as year-month-day, such as 2026-09-30";
const [FIRST_YEAR, LAST_YEAR, DAY_SECONDS] = [1900, 2199, 86400];

function findZone(name) {
  if (["localtime", "Factory", "posixrules"].includes(name)) return null;
  if (!/^[A-Za-z][A-Za-z0-9_+-]*(?:\/[A-Za-z0-9_+-]+)*$/.test(name)) return null;
  const parts = ["year", "month", "day", "hour", "minute", "second"].map((part) => [part, "numeric"]);
  const asked = { timeZone: name, hourCycle: "h23", calendar: "gregory", ...Object.fromEntries(parts) };
  try {
    const clock = new Intl.DateTimeFormat("en-US", asked);
    return isSpelledAsListed(name, clock.resolvedOptions().timeZone) ? { key: name, clock } : null;
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

// A browser takes a name in any case; the desk looks it up as it is written.
function isSpelledAsListed(name, listed) {
  if (name.toLowerCase() === listed.toLowerCase()) return name === listed;
  return name.split("/").every((part) => !/^[a-z]/.test(part)) && !/[A-Z]{5}/.test(name);
}

function parseMoment(text, zone) {
  const written = onOneLine(text);
  const form = momentForm(written, MOMENT_ADVICE);
  if (form[4] === undefined) {
    const [low, high] = dayEnds(form, zone, MOMENT_ADVICE);
    return { kind: "moment", low, high, unit: "", written };
  }
  if (form[4] === "24") refuse("write midnight as 00:00 of the next day");
  const local = localSeconds(form);
  if (local === null) refuse(`there is no such date and time; ${MOMENT_ADVICE}`);
  const whole = form[8] ? local - offsetWritten(form[8]) : secondsOnClock(local, known(zone));
  const at = added(wholeNumber(whole), form[7] ? fractionOf(`0${form[7]}`) : ZERO);
  return { kind: "moment", low: at, high: at, unit: "", written };
}

// The last day that something covers: the moment at which that day ends.
function parseLastDay(text, zone) {
  const written = onOneLine(text);
  const form = momentForm(written, DATE_ADVICE);
  if (form[4] !== undefined) refuse(DATE_ADVICE);
  const high = dayEnds(form, zone, DATE_ADVICE)[1];
  return { kind: "moment", low: high, high, unit: "", written };
}

// Whether `name` is a clock that a logger may keep: the site's own, an offset from UTC, or an IANA zone.
function isClock(name) {
  if (name.toLowerCase() === "site") return true;
  if (/^(?:[Zz]|[+-](?:[01][0-9]|2[0-3]):[0-5][0-9])$/.test(name)) return true;
  return findZone(name) !== null;
}

function momentForm(text, advice) {
  const form = MOMENT_FORM.exec(text);
  if (!form) refuse(advice);
  const year = Number(form[1]);
  if (year < FIRST_YEAR || year > LAST_YEAR) refuse(`write a year from ${FIRST_YEAR} to ${LAST_YEAR}`);
  return form;
}

// What a clock shows, counted as if it were UTC; null where no calendar or clock shows it.
function localSeconds(form) {
  const [year, month, day, hour = 0, minute = 0, second = 0] = form.slice(1, 7).map((part) => Number(part || 0));
  const at = new Date(Date.UTC(year, month - 1, day, hour, minute, second));
  const shown = at.getUTCMonth() === month - 1 && at.getUTCDate() === day && at.getUTCHours() === hour;
  return shown && minute < 60 && second < 60 ? at.getTime() / 1000 : null;
}

function dayEnds(form, zone, advice) {
  const midnight = localSeconds(form.slice(0, 4));
  if (midnight === null) refuse(`there is no such date; ${advice}`);
  // A midnight that a clock change skips is the moment of the change, one that comes twice is the first of the two.
  return [midnight, midnight + DAY_SECONDS].map((local) => {
    const { moments, isSkipped } = momentsOnClock(local, known(zone));
    return wholeNumber(moments.at(isSkipped ? -1 : 0));
  });
}

function known(zone) {
  return zone || refuse("write the offset behind the time, such as 2026-03-09T08:30-05:00", true);
}

function wholeNumber(number) { return fraction(BigInt(number)); }

function offsetWritten(text) {
  if (text === "Z" || text === "z") return 0;
  const [hours, minutes] = [Number(text.slice(1, 3)), Number(text.slice(4, 6))];
  if (hours > 23 || minutes > 59) refuse("write an offset from -23:59 to +23:59, such as -06:00");
  return (text[0] === "-" ? -60 : 60) * (hours * 60 + minutes);
}

function secondsOnClock(local, zone) {
  const { moments, isSkipped } = momentsOnClock(local, zone);
  if (moments.length === 1) return moments[0];
  const choices = [moments[0], moments.at(-1)].map((at) => isoMoment(at, zone)).join(" or ");
  const written = quoted(isoMoment(local, null).slice(0, 16).replace("T", " "));
  if (!isSkipped) return refuse(`the clock change makes ${written} come twice in ${zone.key}; write ${choices}`);
  return refuse(`the clock change skips ${written} in ${zone.key}; write ${choices}`);
}

// The moments that a clock shows as `local`, first one first; where a change skips it, those that it would be by the
// clock after the change and by the clock before it.
function momentsOnClock(local, zone) {
  const beside = [local - DAY_SECONDS, local + DAY_SECONDS].map((at) => offsetAt(at, zone));
  const offsets = [...new Set([...beside, ...beside.map((offset) => offsetAt(local - offset, zone))])];
  const real = offsets.filter((offset) => offsetAt(local - offset, zone) === offset);
  const moments = (real.length ? real : offsets).map((offset) => local - offset).sort((a, b) => a - b);
  return { moments, isSkipped: !real.length };
}

// Seconds that the clock of `zone` is ahead of UTC at a moment.
function offsetAt(seconds, zone) {
  if (!zone) return 0;
  const shown = Object.fromEntries(zone.clock.formatToParts(seconds * 1000).map((p) => [p.type, Number(p.value)]));
  const local = Date.UTC(shown.year, shown.month - 1, shown.day, shown.hour % 24, shown.minute, shown.second);
  return local / 1000 - seconds;
}

// A moment for machines: RFC 3339 with the offset of the site, to the second; part seconds round up.
function isoMoment(at, zone) {
  const seconds = secondsUp(at);
  const offset = offsetAt(seconds, zone);
  return new Date((seconds + offset) * 1000).toISOString().slice(0, 19) + offsetText(offset);
}

function secondsUp(at) { return typeof at === "number" ? at : Number(ceiled(at)); }

function offsetText(offset) {
  const size = Math.abs(offset);
  const parts = [Math.floor(size / 3600), Math.floor(size / 60) % 60, ...(size % 60 ? [size % 60] : [])];
  return (offset < 0 ? "-" : "+") + parts.map((part) => String(part).padStart(2, "0")).join(":");
}

// A moment for people: `Tue 10 Mar 2026 08:00`, with seconds where it has some; UTC where no zone is known.
function showMoment(at, zone, locale = "en-US") {
  const clock = isoMoment(at, zone).slice(11, 19);
  return `${showDay(at, zone, locale)} ${clock.endsWith(":00") ? clock.slice(0, 5) : clock}${zone ? "" : " UTC"}`;
}

function showDay(at, zone, locale) {
  const asked = { weekday: "short", day: "numeric", month: "short", year: "numeric", calendar: "gregory" };
  const clock = new Intl.DateTimeFormat(locale, { timeZone: zone ? zone.key : "UTC", ...asked });
  const parts = Object.fromEntries(clock.formatToParts(secondsUp(at) * 1000).map((p) => [p.type, p.value]));
  return `${parts.weekday} ${parts.day} ${parts.month} ${parts.year}`;
}

// The minute that begins at or before a moment in milliseconds, as a survey writes it: `2026-03-09T08:30-05:00`.
function stampOf(milliseconds, zone) {
  const written = isoMoment(Math.floor(milliseconds / 60000) * 60, zone);
  return written.slice(0, 16) + written.slice(19);
}

// The zone that this phone is set to, or null.
function phoneZone() { return findZone(Intl.DateTimeFormat().resolvedOptions().timeZone || ""); }
