// Facts of one subject, as facts.py has them: each measured when first asked for, with the answers it came from and
// those it lacked. `at` is {rules, survey, subject, measured}: what is measured by, of whom, and what was already.
// A fact is {name, value, sources: [answer], missing: [{place, title, lacking}]}.

const LOGS = "climate_log";
const NO_ENTRIES = { place: "", entries: [], complete: false, most: null };

function factsOf(rules, survey) {
  const measured = new Map([survey.space, ...survey.others].map((subject) => [subject, new Map()]));
  return (subject) => ({ rules, survey, subject, measured: measured.get(subject) });
}

function newTrail() { return { sources: new Map(), missing: new Map() }; }

function noteSource(trail, answer) { trail.sources.set(answer.place, answer); }

function noteMissing(trail, place, title, lacking) {
  trail.missing.set([place, title, lacking].join("\n"), { place, title, lacking });
}

function factOf(at, name) {
  if (!at.measured.has(name)) {
    const trail = newTrail();
    const value = measure(at, at.rules.facts[name].expression, trail);
    at.measured.set(name, { name, value, sources: [...trail.sources.values()], missing: [...trail.missing.values()] });
  }
  return at.measured.get(name);
}

function measure(at, expression, trail) {
  if (expression.question) return answered(at, expression, trail);
  const operands = expression.limits.length
    ? expression.limits.map((name) => at.rules.limits[name]).filter(isAmount).map(valueOfLimit)
    : expression.operands.map((operand) => measure(at, operand, trail));
  if (expression.isLogged) noteLogs(at, trail);
  else if (expression.picked) noteOtherScales(at, expression, trail);
  return MEASURES[expression.word](expression, operands);
}

function isAmount(limit) { return "amount" in limit; }

function valueOfLimit(limit) {
  const amount = fractionOf(limit.amount);
  return interval(limit.kind, amount, amount, limit.unit, limit.written);
}

// A fixed word of the engine, in the language of the rule set, with `parts` in the places it names.
function said(at, text, parts = {}) {
  return at.rules.said[text].replace(/\{(\w+)\}/g, (_, name) => parts[name]);
}

function placeIn(owner, path) { return owner.about === "space" ? path : `${owner.place}.${path}`; }

function noteLogs(at, trail) {
  const entries = at.survey.space.rolls.get(LOGS) || NO_ENTRIES;
  for (const answers of entries.entries) if (answers.has("file")) noteSource(trail, answers.get("file"));
  const file = at.rules.questions[`space ${LOGS}.file`];
  if (file) noteUnlisted(at, file, at.survey.space, entries, trail);
}

// A reading on another scale lacks one on this: say so, for it would look answered.
function noteOtherScales(at, expression, trail) {
  const inner = newTrail();
  for (const operand of expression.operands) measure(at, operand, inner);
  for (const { place, value } of inner.sources.values()) {
    const isReading = isInterval(value) && value.kind.startsWith("moisture ") && !place.includes(".uncertainty.");
    if (!isReading || value.kind === expression.kind) continue;
    const parts = { reading: value.written, scale: expression.picked };
    const lacking = said(at, "{reading} was read; this limit is on the scale {scale}", parts);
    noteMissing(trail, place, said(at, "Reading on another scale"), lacking);
  }
}

function answered(at, expression, trail) {
  const question = at.rules.questions[expression.question.join(" ")];
  const owner = question.about === at.subject.about ? at.subject : at.survey.space;
  if (question.roll) return seriesOf(at, expression, question, owner, trail);
  const found = owner.answers.get(question.path);
  if (!found) {
    noteMissing(trail, placeIn(owner, question.path), question.title, said(at, "not answered"));
    return blank(expression);
  }
  noteSource(trail, found);
  return found.value;
}

function seriesOf(at, expression, question, owner, trail) {
  const entries = owner.rolls.get(question.roll) || NO_ENTRIES;
  const key = question.path.slice(question.roll.length + 1);
  const items = entries.entries.map((answers, i) => {
    const [found, place] = [answers.get(key), `${entries.place}[${i}]`];
    if (!found) {
      noteMissingIn(at, place, key, question.title, answers, trail);
      return blank(expression);
    }
    noteSource(trail, found);
    if (!question.measuredWith || !isInterval(found.value)) return found.value;
    return asMeasured(at, found.value, question, key, answers, place, trail);
  });
  noteUnlisted(at, question, owner, entries, trail);
  return { kind: expression.kind, items, complete: entries.complete, most: entries.most };
}

// A reading as well as its instrument knows it, by the decision of the rule set.
function asMeasured(at, value, question, key, answers, place, trail) {
  const group = key.includes(".") ? key.slice(0, key.lastIndexOf(".") + 1) : "";
  const readWith = group + question.measuredWith;
  if (at.rules.uncalibrated === "unknown" && !isCalibrated(at, question, readWith, answers, place, trail)) {
    return unknownInterval(value.kind);
  }
  if (at.rules.decision !== "guarded" || statesUncertainty(value.written)) return value;
  const by = `uncertainty.${value.kind.replace("%", "").replace(" ", "_").toLowerCase()}`;
  const stated = answers.get(`${readWith}.${by}`);
  if (!stated) {
    if (by in question.instrument) noteMissingIn(at, place, `${readWith}.${by}`, question.instrument[by], answers, trail);
    return unknownInterval(value.kind);
  }
  noteSource(trail, stated);
  return widened(at.survey.kinds, value, stated.value);
}

function isCalibrated(at, question, readWith, answers, place, trail) {
  const due = answers.get(`${readWith}.calibration_due`);
  const read = answers.get("at");
  if (!due) noteMissingIn(at, place, `${readWith}.calibration_due`, question.instrument.calibration_due, answers, trail);
  if (!read) noteMissing(trail, `${place}.at`, said(at, "When it was read"), said(at, "not answered"));
  if (!due || !read) return false;
  noteSource(trail, due);
  if (isAtMost(read.value.high, due.value.low)) return true;
  const parts = { instrument: answers.get(readWith).value.written };
  const lacking = said(at, "the calibration of {instrument} is not known to have been good then", parts);
  noteMissing(trail, `${place}.${readWith}`, question.title, lacking);
  return false;
}

// What an entry lacks: its own answer, or that of the entry of another list which it names.
function noteMissingIn(at, place, key, title, answers, trail) {
  const [through, ...rest] = key.split(".");
  const asked = rest.join(".");
  const lacks = (where, lacking = said(at, "not answered")) => noteMissing(trail, where, title, lacking);
  if (!asked || !answers.has(through)) return lacks(`${place}.${key}`);
  const named = answers.get(`${through}.name`);
  if (named) return lacks(`${named.place.replace(/\.name$/, "")}.${asked}`);
  const parts = { name: quoted(answers.get(through).value.written), list: said(at, `${through}s`) };
  return lacks(`${place}.${through}`, said(at, "{name} is not in the list of {list}", parts));
}

function noteUnlisted(at, question, owner, entries, trail) {
  const roll = at.rules.rolls[`${question.about} ${question.roll}`];
  if (!entries.complete) {
    const parts = { most: entries.most, count: entries.entries.length };
    const lacking = entries.most === null ? "not answered" : "{most} taken, {count} written down";
    noteMissing(trail, placeIn(owner, roll.countedBy), roll.countTitle, said(at, lacking, parts));
  } else if (!entries.entries.length) {
    noteMissing(trail, placeIn(owner, question.roll), roll.title, said(at, "none taken"));
  }
}
