// The closed table of comparisons, and judging by it, as comparisons.py and judging.py have them: every rule, once for
// every subject it is about, gives one finding. Knowing less may only ever turn an answer into "not verified".

const [PASS, HOLD, NOT_VERIFIED, DOES_NOT_APPLY] = ["pass", "hold", "not verified", "does not apply"];

function verdictBy(allOfIt, noneOfIt) { return allOfIt ? PASS : noneOfIt ? HOLD : NOT_VERIFIED; }

function atLeastLimit(fact, [limit]) { return verdictBy(isAtMost(limit, fact.low), isLess(fact.high, limit)); }

function atMostLimit(fact, [limit]) { return verdictBy(isAtMost(fact.high, limit), isLess(limit, fact.low)); }

function betweenLimits(fact, [low, high]) {
  const outside = isLess(fact.high, low) || isLess(high, fact.low);
  return verdictBy(isAtMost(low, fact.low) && isAtMost(fact.high, high), outside);
}

function isWord(fact, _, words) {
  const possible = [...(fact.words || [])];
  if (!possible.length) return NOT_VERIFIED;
  return verdictBy(possible.every((word) => words.has(word)), !possible.some((word) => words.has(word)));
}

function isNotWord(fact, _, words) {
  return { [PASS]: HOLD, [HOLD]: PASS, [NOT_VERIFIED]: NOT_VERIFIED }[isWord(fact, _, words)];
}

function isStated(fact) {
  if (!isSeries(fact)) return isKnown(fact) ? PASS : NOT_VERIFIED;
  return fact.complete && fact.items.length && fact.items.every(isKnown) ? PASS : NOT_VERIFIED;
}

const COMPARISONS = {
  at_least: { sides: ["min"], run: atLeastLimit },
  at_most: { sides: ["max"], run: atMostLimit },
  between: { sides: ["min", "max"], run: betweenLimits },
  is: { sides: [], run: isWord },
  is_not: { sides: [], run: isNotWord },
  is_one_of: { sides: [], run: isWord },
  is_none_of: { sides: [], run: isNotWord },
  stated: { sides: [], run: isStated },
};

// The first of `order` that is among the verdicts, else `otherwise`; never of nothing.
function firstOf(order, verdicts, otherwise) {
  if (!verdicts.length) throw new RangeError("a group of nothing has no verdict");
  return order.find((verdict) => verdicts.includes(verdict)) || otherwise;
}

function allOf(verdicts) { return firstOf([HOLD, NOT_VERIFIED], verdicts, PASS); }
function anyOf(verdicts) { return firstOf([PASS, NOT_VERIFIED], verdicts, HOLD); }

function subjectsOf(survey, about) {
  return about === "space" ? [survey.space] : survey.others.filter((subject) => subject.about === about);
}

function judge(rules, survey, facts = factsOf(rules, survey)) {
  return Object.values(rules.rules).flatMap((rule) => subjectsOf(survey, rule.about).map((subject) => findingOf(rule, facts(subject))));
}

// "pass" when every hold-grade rule that applies passes, and at least one does; "hold" otherwise.
function verdictOf(rules, findings) {
  const outcomes = holding(rules, findings).map((f) => f.outcome).filter((outcome) => outcome !== DOES_NOT_APPLY);
  return outcomes.length && outcomes.every((outcome) => outcome === PASS) ? PASS : HOLD;
}

function holding(rules, findings) {
  return findings.filter((finding) => rules.rules[finding.rule].grade === "hold");
}

function findingOf(rule, at) {
  const made = [];
  const outcome = outcomeOf(rule, at, made);
  const used = [...made.map((one) => one.check.fact), ...(outcome === HOLD ? rule.shows : [])];
  const facts = new Map(used.map((name) => [name, factOf(at, name)]));
  return { rule: rule.name, subject: at.subject, outcome, compared: made, facts };
}

function outcomeOf(rule, at, made) {
  const applies = rule.appliesWhen ? evaluate(rule.appliesWhen, at, made, true) : PASS;
  if (applies === HOLD) return DOES_NOT_APPLY;
  const required = evaluate(rule.require, at, made, false);
  return applies === NOT_VERIFIED ? NOT_VERIFIED : required;
}

// The verdict of a condition; every comparison in it is made and kept, whatever the others came to.
function evaluate(condition, at, made, decidesApplying) {
  if (condition.parts) {
    const verdicts = condition.parts.map((part) => evaluate(part, at, made, decidesApplying));
    return condition.word === "all_of" ? allOf(verdicts) : anyOf(verdicts);
  }
  const verdict = compare(condition, at);
  made.push({ check: condition, verdict, decidesApplying });
  return verdict;
}

function compare(check, at) {
  const named = check.limits.map((name) => at.rules.limits[name]);
  const words = new Set([...check.words, ...named.flatMap((limit) => limit.words || [])]);
  const amounts = named.filter(isAmount).map((limit) => fractionOf(limit.amount));
  return COMPARISONS[check.word].run(factOf(at, check.fact).value, amounts, words);
}
