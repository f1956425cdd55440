// Time, as timing.py has it: when each finding may pass by the clock alone, and the earliest honest start.
// A window is {opens, closes, byClock}; where not byClock, something but time is wanting.

const START = "planned_start";
const [AT_ONCE, NEVER] = [-Infinity, Infinity];
const ALWAYS = { opens: AT_ONCE, closes: NEVER, byClock: true };
const NOT_BY_CLOCK = { opens: AT_ONCE, closes: NEVER, byClock: false };
const UNTOLD = { low: NO_LOW, high: NO_HIGH };

// What of a list keeps to a limit on that side only where each of its entries does.
const EACH = { lowest: "min", highest: "max" };

// The starts for which `finding` passes, whatever start it was judged for; `at` as in facts.js.
function windowOf(at, finding) {
  if (finding.outcome === DOES_NOT_APPLY) return ALWAYS;
  const rule = at.rules.rules[finding.rule];
  const found = windowOfCondition(rule.require, at);
  const applies = !rule.appliesWhen || evaluate(rule.appliesWhen, at, [], true) === PASS;
  return applies ? found : { ...found, byClock: false };
}

// When waiting alone makes a finding pass, by its window: a moment, AT_ONCE or NEVER.
function clearsAt(survey, { opens, closes, byClock }) {
  const start = survey.space.answers.get(START);
  const tooLate = start && isLess(closes, start.value.high);
  return byClock && isAtMost(opens, closes) && !tooLate ? opens : NEVER;
}

function earliestStart(rules, survey, findings) {
  const facts = factsOf(rules, survey);
  const windows = holding(rules, findings).map((finding) => [windowOf(facts(finding.subject), finding), finding]);
  const opens = windows.map(([found]) => found.opens).filter((bound) => bound !== AT_ONCE);
  const until = least([NEVER, ...windows.map(([found]) => found.closes)]);
  const first = until === NEVER ? null : windows.find(([found]) => isSame(found.closes, until))[1];
  const told = { at: null, until: first && until, lapses: first, openThen: [] };
  told.byWaiting = windows.every(([found]) => clearsAt(survey, found) !== NEVER);
  if (!opens.length) return told;
  const at = most(opens);
  const later = holding(rules, judge(rules, startingAt(survey, at)));
  return { ...told, at, openThen: later.filter((f) => f.outcome === HOLD || f.outcome === NOT_VERIFIED) };
}

// The survey with another planned start.
function startingAt(survey, moment) {
  const start = { place: START, value: interval("moment", moment, moment) };
  return { ...survey, space: { ...survey.space, answers: new Map([...survey.space.answers, [START, start]]) } };
}

function isStart(expression) { return expression.question !== null && expression.question[1] === START; }

function windowOfCondition(condition, at) {
  if (!condition.parts) return windowOfCheck(condition, at);
  const parts = condition.parts.map((part) => windowOfCondition(part, at));
  if (condition.word === "all_of") return windowOfAll(parts);
  const good = parts.filter((part) => part.byClock);
  const sooner = (a, b) => (compared(b.opens, a.opens) || compared(a.closes, b.closes)) < 0 ? b : a;
  return (good.length ? good : parts).reduce(sooner);
}

function windowOfAll(parts) {
  const [opens, closes] = [most(parts.map((p) => p.opens)), least(parts.map((p) => p.closes))];
  return { opens, closes, byClock: parts.every((p) => p.byClock) };
}

function windowOfCheck(check, at) {
  const { expression } = at.rules.facts[check.fact];
  const { sides } = COMPARISONS[check.word];
  const ofEach = sides.length === 1 && sides[0] === EACH[expression.word];
  const elapsed = ofEach ? expression.operands[0] : expression;
  if (elapsed.word === "elapsed" && sides.length) {
    const [start, end] = elapsed.operands;
    const others = momentsOf(measure(at, isStart(end) ? start : end, newTrail()));
    if (isStart(end) !== isStart(start) && others.length) {
      const amounts = check.limits.map((name) => fractionOf(at.rules.limits[name].amount));
      const windows = sides.map((side, i) => others.map((other) => windowOfElapsed(side, other, amounts[i], isStart(end))));
      return windowOfAll(windows.flat());
    }
  }
  // Without the rows of a log nothing says when its band may have been held long enough.
  if (expression.word === "held" && isStart(expression.operands[2]) && check.word === "at_least") return NOT_BY_CLOCK;
  return compare(check, at) === PASS ? ALWAYS : NOT_BY_CLOCK;
}

// A moment, or each of a list and one more where the list may lack some.
function momentsOf(measured) {
  const known = (isSeries(measured) ? measured.items : [measured]).filter(isInterval);
  return known.length && isSeries(measured) && !measured.complete ? [...known, UNTOLD] : known;
}

// The window of one side of a limit on elapsed time, of which the start is one end and `other` is the other.
function windowOfElapsed(side, other, amount, toStart) {
  const opening = toStart === (side === "min");
  const end = opening ? other.high : other.low;
  const bound = toStart ? added(end, amount) : subtracted(end, amount);
  if (isEnd(bound)) return NOT_BY_CLOCK;
  return opening ? { opens: bound, closes: NEVER, byClock: true } : { opens: AT_ONCE, closes: bound, byClock: true };
}
