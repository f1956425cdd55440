// The closed table of measures, as measures.py, limit_measures.py, log_measures.py and psychrometrics.py have it: how
// survey answers become facts. `made` is the measure as the rule set declares it: its kind, and the base unit of that.

const DRIEST_PERCENT = fraction(1n, 100n);
const [COLDEST_C, HOTTEST_C] = [fraction(-40n), fraction(90n)];
const US = { length: "ft", area: "ft²", volume: "gal", spread: "ft²/gal", "work rate": "ft²/h" };
const US_UNITS = ["ft", "in", "mil", "ft²", "gal", "qt", "ft²/gal", "ft²/h"];

function interval(kind, low, high, unit = "", written = "") {
  if (isLess(high, low)) throw new RangeError(`an interval of ${kind} that holds no number`);
  return { kind, low, high, unit, written };
}

function unknownInterval(kind, unit = "") { return interval(kind, NO_LOW, NO_HIGH, unit); }

function isInterval(value) { return "low" in value; }
function isSeries(value) { return "items" in value; }
function isExact(value) { return isSame(value.low, value.high); }

function isKnown(value) {
  return isInterval(value) ? value.low !== NO_LOW && value.high !== NO_HIGH : value.words !== null && value.words.size === 1;
}

function least(bounds) { return bounds.reduce((a, b) => lesser(a, b)); }
function most(bounds) { return bounds.reduce((a, b) => greater(a, b)); }
function summed(bounds) { return bounds.reduce((a, b) => added(a, b), ZERO); }
function whole(number) { return fraction(BigInt(number)); }

function blank(made) {
  return ["truth", "choice", "text"].includes(made.kind) ? { words: null, written: "" } : unknownInterval(made.kind, made.base);
}

// Makes a measure of single values work entry by entry on a series.
function each(run) {
  return (made, operands) => {
    const series = operands.filter(isSeries);
    if (!series.length) return run(made, ...operands);
    if (new Set(series.map((s) => s.items.length)).size > 1) throw new RangeError("lists of different lengths");
    const items = series[0].items.map((_, i) => run(made, ...operands.map((o) => (isSeries(o) ? o.items[i] : o))));
    return { kind: made.kind, items, complete: series.every((s) => s.complete), most: series[0].most };
  };
}

// The unit for what is worked out from amounts in `units`: of the same family as the first that has one.
function unitBeside(made, units) {
  return made.kind in US && US_UNITS.includes(units.find(Boolean)) ? US[made.kind] : made.base;
}

// -- differences, products, ratios

function difference(made, a, b) {
  const unit = made.kind === "duration" ? "h" : a.unit;
  return interval(made.kind, subtracted(a.low, b.high), subtracted(a.high, b.low), unit);
}

function corners(run, a, b) { return [run(a.low, b.low), run(a.low, b.high), run(a.high, b.low), run(a.high, b.high)]; }

function product(made, a, b) {
  const same = [b, a].find((f) => f.kind === made.kind && f.unit);
  const ends = corners(times, a, b);
  return interval(made.kind, least(ends), most(ends), same ? same.unit : unitBeside(made, [a.unit, b.unit]));
}

function ratio(made, a, b) {
  const unit = unitBeside(made, [a.unit, b.unit]);
  if (isAtMost(b.low, ZERO) && isAtMost(ZERO, b.high)) return unknownInterval(made.kind, unit);
  const ends = corners(divided, a, b);
  return interval(made.kind, least(ends), most(ends), unit);
}

// -- one fact out of many readings

function extreme(pick, isHighest) {
  return (made, [series]) => {
    const items = series.items.filter(isInterval);
    if (!items.length) return unknownInterval(made.kind, made.base);
    let [low, high] = [pick(items.map((i) => i.low)), pick(items.map((i) => i.high))];
    if (!series.complete) [low, high] = isHighest ? [low, NO_HIGH] : [NO_LOW, high];
    const source = items.find((i) => isSame(i.low, low) && isSame(i.high, high));
    return interval(made.kind, low, high, (source || items[0]).unit, source ? source.written : "");
  };
}

function count(made, [series]) {
  const listed = whole(series.items.length);
  return interval("number", listed, series.complete ? listed : series.most === null ? NO_HIGH : whole(series.most));
}

function total(made, [series]) {
  const items = series.items.filter(isInterval);
  if (!series.complete || !items.length) return unknownInterval(made.kind, made.base);
  return interval(made.kind, summed(items.map((i) => i.low)), summed(items.map((i) => i.high)), items[0].unit);
}

// The highest less the lowest, which another reading can only raise.
function spread(made, [series]) {
  const items = series.items.filter(isInterval);
  if (!items.length) return unknownInterval(made.kind, made.base);
  const [lows, highs] = [items.map((i) => i.low), items.map((i) => i.high)];
  const low = greater(ZERO, subtracted(most(lows), least(highs)));
  return interval(made.kind, low, series.complete ? subtracted(most(highs), least(lows)) : NO_HIGH, items[0].unit);
}

// A reading on another scale says nothing on this one.
function onScale(made, [of]) {
  const read = (item) => (isInterval(item) && item.kind === made.kind ? item : unknownInterval(made.kind, made.base));
  return isSeries(of) ? { ...of, kind: made.kind, items: of.items.map(read) } : read(of);
}

// -- moist air

// Dew point to a thousandth of °C, halves to even, as the double nearest to it says.
function dewPointC(temperatureC, humidityPercent) {
  if (isAtMost(humidityPercent, ZERO)) return NO_LOW;
  const t = toNumber(temperatureC);
  const exponent = Math.log(toNumber(humidityPercent) / 100) + (17.625 * t) / (243.04 + t);
  const thousandths = times(exactly((243.04 * exponent) / (17.625 - exponent)), fraction(1000n));
  return fraction(halvedToEven(thousandths), 1000n);
}

// A double as the fraction that it is.
function exactly(number) {
  let bottom = 1n;
  for (; !Number.isInteger(number); number *= 2) bottom *= 2n;
  return fraction(BigInt(number), bottom);
}

function dewPoint(made, temperature, humidity) {
  const dry = isLess(temperature.low, COLDEST_C) || humidity.low === NO_LOW;
  const low = dry ? NO_LOW : dewPointC(lesser(temperature.low, HOTTEST_C), humidity.low);
  if (isLess(HOTTEST_C, temperature.high)) return interval(made.kind, low, NO_HIGH, temperature.unit);
  // Air never holds more than all the water it can: at an unknown humidity the dew point is at most its temperature.
  const wettest = greater(lesser(humidity.high, fraction(100n)), DRIEST_PERCENT);
  return interval(made.kind, low, dewPointC(greater(temperature.high, COLDEST_C), wettest), temperature.unit);
}

// -- made with limits

// One limit as it stands, or everything from one limit to another.
function limit(made, ends) {
  const written = ends.length === 1 ? ends[0].written : "";
  return interval(made.kind, least(ends.map((e) => e.low)), most(ends.map((e) => e.high)), ends[0].unit, written);
}

function testsNeeded(made, area, first, over, then, per) {
  if (isAtMost(per.low, ZERO)) return unknownInterval("number");
  const low = needed(area.low, first.low, over.high, then.low, per.high);
  return interval("number", low, needed(area.high, first.high, over.low, then.high, per.low));
}

// So many for the first area, and so many again for each further one or part of it.
function needed(area, first, over, then, per) {
  const further = greater(ZERO, subtracted(area, over));
  if (isSame(further, ZERO) || isSame(then, ZERO)) return first;
  if (isEnd(further)) return NO_HIGH;
  return added(first, times(then, isEnd(per) ? ZERO : fraction(ceiled(divided(further, per)))));
}

// The value at a place between the points of a table, on the straight line from each to the next; else unknown.
function interpolated(made, [at, ...ends]) {
  const points = [];
  for (let i = 0; i < ends.length; i += 2) points.push([ends[i].low, ends[i + 1].low]);
  points.sort((a, b) => compared(a[0], b[0]) || compared(a[1], b[1]));
  const unit = ends[1].unit;
  const outside = isLess(at.low, points[0][0]) || isLess(points[points.length - 1][0], at.high);
  if (isEnd(at.low) || isEnd(at.high) || outside) return unknownInterval(made.kind, unit);
  const values = points.filter(([x]) => isAtMost(at.low, x) && isAtMost(x, at.high)).map(([, y]) => y);
  values.push(onLine(points, at.low), onLine(points, at.high));
  return interval(made.kind, least(values), most(values), unit);
}

function onLine(points, at) {
  const i = points.findIndex(([x], k) => k && isAtMost(points[k - 1][0], at) && isAtMost(at, x));
  const [[x0, y0], [x1, y1]] = [points[i - 1], points[i]];
  if (isSame(x0, x1)) return greater(y0, y1);
  return added(y0, divided(times(subtracted(y1, y0), subtracted(at, x0)), subtracted(x1, x0)));
}

// -- of climate logs, which only the desk reads: here nothing was logged, so nothing more is known than the time asked for

function held(made, [, , until, forgiving]) {
  if (!isKnown(until) || !isKnown(forgiving)) return unknownInterval("duration", "h");
  return interval("duration", ZERO, NO_HIGH, "h");
}

// The most of time in a band, and of an excursion: all the time asked for.
function upToAll(made, [, , begin, end]) {
  return interval("duration", ZERO, greater(ZERO, subtracted(end.high, begin.low)), "h");
}

function excursions(made, [, , begin, end]) {
  const order = compared(begin.low, end.high);
  return interval("number", ZERO, order > 0 ? ZERO : order === 0 ? whole(1) : NO_HIGH);
}

// How far out, and for how long: nothing where no time was asked for.
function furthest(made, [low, , begin, end]) {
  const shown = { "temperature difference": low.unit, "degree hours": low.unit === "K" ? "" : low.unit && `${low.unit}·h` };
  return interval(made.kind, ZERO, isLess(end.high, begin.low) ? ZERO : NO_HIGH, shown[made.kind] || "");
}

// Every measure; those of materials stand in materials.js.
const MEASURES = {
  elapsed: each((made, start, end) => difference(made, end, start)),
  difference: each(difference),
  product: each(product),
  ratio: each(ratio),
  lowest: extreme(least, false),
  highest: extreme(most, true),
  count,
  total,
  dew_point: each(dewPoint),
  spread,
  limit,
  tests_needed: each(testsNeeded),
  interpolated,
  held,
  time_in_band: upToAll,
  longest_excursion: upToAll,
  excursions,
  furthest_out: furthest,
  degree_hours: furthest,
  logged_at: (made) => unknownInterval(made.kind),
  notch_film: each(notchFilm),
  spread_rate: each(spreadRate),
  joints: each(joints),
  sheets_needed: sheetsNeeded,
  pieces_needed: piecesNeeded,
  on_scale: onScale,
};
