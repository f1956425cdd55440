// Values in words, as inspect/wallwalk/wording.py: as written, else with digits enough to stay on their side of limits.

function shownWord(kind, word) {
  if (kind === "truth") return word === "yes" ? say("yes") : say("no");
  return kind === "choice" ? shownChoice(word) : word;
}

function shownValue(value, kind, limits) {
  if (value.items) return value.items.map(item => shownValue(item, kind, limits)).join("; ") || say("not known");
  if (!("low" in value)) {
    const words = [...(value.words || [])].map(word => shownWord(kind, word)).sort();
    return words.join(say(" or ")) || say("not known");
  }
  if (value.written && value.kind !== "moment") return value.written;
  if (value.low === NO_LOW && value.high === NO_HIGH) return say("not known");
  if (value.kind === "moment") return shownSpan(value, shownMoment, say("{value} or earlier"), say("{value} or later"));
  const marks = limits.filter(limit => limit.kind === value.kind);
  const unit = marks.length ? marks[0].unit : fittingUnit(value);
  const show = bound => shownAmount(bound, value.kind, unit, marks);
  return shownSpan(value, show, say("{value} or less"), say("{value} or more"));
}

function shownSpan(value, show, less, more) {
  if (isSame(value.low, value.high)) return show(value.low);
  if (value.high === NO_HIGH) return more.replace("{value}", () => show(value.low));
  if (value.low === NO_LOW) return less.replace("{value}", () => show(value.high));
  return say("{low} to {high}", { low: show(value.low), high: show(value.high) });
}

function fittingUnit(value) {
  const unit = value.unit || DATA.survey.units[value.kind].units[0].spellings[0];
  const smaller = value.kind === "length" ? { ft: "in", m: "mm" }[unit] : undefined;
  const inIt = end => Math.abs(toNumber(inUnit(end, STATE.survey.kinds[value.kind], unit)));
  const ends = [value.low, value.high].filter(end => !isEnd(end)).map(inIt);
  return smaller && ends.length && Math.max(...ends) < 0.5 ? smaller : unit;
}

function shownAmount(bound, kind, unit, marks) {
  const exact = inUnit(bound, STATE.survey.kinds[kind], unit);
  if (kind === "duration" && (unit === "h" || unit === "d")) {
    const shown = inTwoUnits(exact, unit);
    if (shown) return shown;
  }
  const ends = marks.map(limit => [inUnit(fractionOf(limit.amount), STATE.survey.kinds[kind], unit), limit]);
  for (let digits = 2; ; digits++) {
    const text = showNumber(exact, digits);
    const crossed = ends.find(([end]) => compared(exact, end) !== compared(fractionOf(text), end));
    if (!crossed) return withUnit(text, unit);
    if (digits < 9) continue;
    const [end, { written: limit }] = crossed;
    if (isSame(exact, end)) return limit;
    return isLess(exact, end) ? say("just under {limit}", { limit }) : say("just over {limit}", { limit });
  }
}

function inTwoUnits(exact, unit) {
  const [finer, parts] = { h: ["min", 60n], d: ["h", 24n] }[unit];
  const count = times(exact, fraction(parts));
  if (isEnd(count) || count.d !== 1n) return "";
  const size = count.n < 0n ? -count.n : count.n;
  const both = [[size / parts, unit], [size % parts, finer]].filter(([number]) => number);
  const shown = both.map(([number, name]) => `${number} ${name}`).join(" ");
  return `${count.n < 0n ? "-" : ""}${shown || `0 ${unit}`}`;
}

function shownMoment(at) { return showMoment(at, STATE.survey.zone, DATA.form.locale); }

// The rule's own sentence with what was measured in it.
function sentenceOf(rule, finding) {
  const checksOf = name => finding.compared.filter(one => one.check.fact === name);
  const limitsOf = name => checksOf(name).flatMap(one => one.check.limits).map(limit => DATA.rules.limits[limit]);
  return rule.hold.replace(/\{([^{}]*)\}/g, (all, name) => {
    const fact = finding.facts.get(name);
    if (fact) return shownValue(fact.value, DATA.rules.facts[name].kind, limitsOf(name));
    return DATA.rules.limits[name] ? DATA.rules.limits[name].shown : all;
  });
}
