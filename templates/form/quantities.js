// Quantities as people write them, read into exact intervals as quantities.py does: 72 °F, 4 ft 6 in, 20 to 22 °C.
// An interval is {kind, low, high, unit, written}; `kinds` is the table that readKinds makes of DATA.survey.units.

const NUMERAL = "(?:[0-9]{1,12} )?[0-9]{1,12}/[0-9]{1,12}|[0-9]{1,15}(?:\\.[0-9]{1,15})?";
const PLUS_MINUS = ["±", "+/-"];
const BLANKS = /[\t-\r\x1c-\x20\x85\xa0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]+/; // as Python's split

function readKinds(units) {
  return Object.fromEntries(Object.entries(units).map(([name, kind]) => {
    const found = kind.units.map((u) => ({ ...u, scale: fractionOf(u.scale), offset: fractionOf(u.offset) }));
    const spelled = new Map(found.flatMap((unit) => unit.spellings.map((s) => [s, unit])));
    return [name, {
      ...kind, units: spelled, base: found[0].spellings[0], term: termOf([...spelled.keys()]),
      low: kind.low === null ? NO_LOW : fractionOf(kind.low),
      high: kind.high === null ? NO_HIGH : fractionOf(kind.high),
    }];
  }));
}

// The longest spelling first; a hyphen may join one term to the next, as in 4'-6".
function termOf(spellings) {
  const longest = [...spellings].sort((a, b) => b.length - a.length);
  const units = longest.map((s) => s.replace(/[\^$.*+?()[\]{}|/\\]/g, "\\$&")).join("|");
  return new RegExp(`^ *(${NUMERAL}) *(${units})(?:$| *-? *(?=[0-9]))`);
}

// Stops the reading of one answer; `instead` says what to write, `needsZone` that only the site's zone is lacking.
function refuse(instead, needsZone = false) {
  throw Object.assign(new Error(instead), { instead, needsZone });
}

function onOneLine(text) { return text.split(BLANKS).filter(Boolean).join(" "); }

function stripped(text) { return text.replace(/^ +| +$/g, ""); }

function parseQuantity(kinds, text, kind) {
  const clean = onOneLine(text.replace(/−|–/g, "-"));
  const names = kind === "moisture" ? Object.keys(kinds).filter((k) => k.startsWith("moisture ")) : [kind];
  for (const name of names) {
    const found = partsOf(kinds, clean, name);
    if (!found) continue;
    const [low, high, unit] = found;
    refusePastEnds(kinds[name], low, high, unit);
    return { kind: name, low, high, unit, written: clean };
  }
  return refuse(quantityAdvice(kinds, clean, kind));
}

function partsOf(kinds, text, kind) {
  if ([...text].length > 80 || text.includes(" - ")) return null; // such a dash may mean a range or a sum
  if (text.includes(" to ")) return rangeOf(kinds, ...splitOnce(text, " to "), kind);
  const sign = PLUS_MINUS.find((s) => text.includes(s));
  if (sign) return uncertainOf(kinds, ...splitOnce(text, sign), kind);
  const one = writtenAmount(kinds, text, kind);
  return one && [one[0], one[0], one[1]];
}

function splitOnce(text, sign) {
  const at = text.indexOf(sign);
  return [text.slice(0, at), text.slice(at + sign.length)];
}

function rangeOf(kinds, first, last, kind) {
  const end = writtenAmount(kinds, last, kind);
  const alone = writtenAmount(kinds, first, kind);
  const start = alone || (end && writtenAmount(kinds, `${first} ${end[1]}`, kind));
  if (!start || !end) return null;
  if (isLess(end[0], start[0]) && kind !== "adhesion") {
    refuse(`write the smaller one first: ${last} to ${alone ? first : stripped(`${first} ${end[1]}`)}`);
  }
  return [lesser(start[0], end[0]), greater(start[0], end[0]), end[1]];
}

function uncertainOf(kinds, value, spread, kind) {
  const half = writtenAmount(kinds, spread, kind === "temperature" ? "temperature difference" : kind);
  const middle = writtenAmount(kinds, value, kind) || (half && writtenAmount(kinds, `${value} ${half[1]}`, kind));
  if (!middle || !half || kind === "adhesion") return null;
  if (isLess(half[0], ZERO)) refuse("write the uncertainty as a plain number after ±");
  const [low, high] = [subtracted(middle[0], half[0]), added(middle[0], half[0])];
  refusePastEnds(kinds[kind], high, low, middle[1]); // some of it must lie within
  return [greater(low, kinds[kind].low), lesser(high, kinds[kind].high), middle[1]];
}

function writtenAmount(kinds, text, kind) {
  const { term, units, compound } = kinds[kind];
  text = stripped(text);
  let rest = text.replace(/^[-+]/, "");
  let [total, shown, last] = [ZERO, "", null];
  while (rest) {
    const found = term.exec(rest);
    if (!found) return null;
    const unit = units.get(found[2]);
    if (last && !(compound && isLess(unit.scale, last.scale))) return null;
    const amount = numeralOf(found[1]);
    if (!amount) return null;
    total = added(total, times(amount, unit.scale));
    shown = shown || unit.spellings[0];
    last = unit;
    rest = stripped(rest.slice(found[0].length));
  }
  return last && [added(text.startsWith("-") ? negated(total) : total, last.offset), shown];
}

function numeralOf(text) {
  const parts = text.split(" ");
  return parts.some((part) => /\/0+$/.test(part)) ? null : parts.map(fractionOf).reduce(added);
}

function refusePastEnds(kind, low, high, unit) {
  const countsDown = signOf(kind.units.get(unit).scale) < 0;
  const advice = (end, way) => `write ${withUnit(showNumber(inUnit(end, kind, unit)), unit)} or ${way}`;
  if (isLess(low, kind.low)) refuse(advice(kind.low, countsDown ? "less" : "more"));
  if (isLess(kind.high, high)) refuse(advice(kind.high, countsDown ? "more" : "less"));
}

function quantityAdvice(kinds, text, kind) {
  const comma = text.includes(",");
  if (kind === "moisture" && comma) return "write a number with a point and its scale, such as 12.5 %MC";
  if (kind === "moisture") return "write a number with its scale, such as 12.5 %MC, 14 %WME or 0.6 gypsum";
  const { example } = kinds[kind];
  if (comma) return `write a number with a point, not a comma, such as ${example}`;
  if (kind === "number") return `write a plain number, such as ${example}`;
  const isBare = new RegExp(`^[+-]? *(?:${NUMERAL})$`).test(text);
  return `write ${isBare ? "the" : "a"} number with its unit, such as ${example}`;
}

function statesUncertainty(text) { return PLUS_MINUS.some((sign) => text.includes(sign)); }

// `value` ± the most of `spread`, within the natural ends of its kind.
function widened(kinds, value, spread) {
  const natural = kinds[value.kind];
  const low = greater(subtracted(value.low, spread.high), natural.low);
  const high = lesser(added(value.high, spread.high), natural.high);
  const inSameUnit = () => withUnit(showNumber(inUnit(spread.high, kinds[spread.kind], value.unit)), value.unit);
  const around = spread.unit === value.unit ? spread.written : inSameUnit();
  return { ...value, low, high, written: `${value.written} ± ${around}` };
}

// `amount` of base units of a kind (of the table), as a number of `unit`.
function inUnit(amount, kind, unit) {
  const { scale, offset } = kind.units.get(unit);
  return isEnd(amount) ? amount : divided(subtracted(amount, offset), scale);
}

function withUnit(number, unit) { return unit === "B" ? number + unit : `${number} ${unit}`.trimEnd(); }

// To at most `digits` decimals, halves to even, without trailing noughts.
function showNumber(amount, digits = 2) {
  if (isEnd(amount)) return amount > 0 ? "no end" : "no start";
  const scaled = halvedToEven(times(amount, fraction(10n ** BigInt(digits))));
  const figures = String(scaled < 0n ? -scaled : scaled).padStart(digits + 1, "0");
  const cut = figures.length - digits;
  const part = figures.slice(cut).replace(/0+$/, "");
  return (scaled < 0n ? "-" : "") + figures.slice(0, cut) + (part ? `.${part}` : "");
}

function halvedToEven(a) {
  const whole = floored(a);
  const twice = 2n * (a.n - whole * a.d);
  return whole + (twice > a.d || (twice === a.d && whole % 2n !== 0n) ? 1n : 0n);
}
