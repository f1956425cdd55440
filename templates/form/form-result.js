// The verdict, always in sight, and what stands behind it: who must put right what, what is open, what to beware of.

function ruleNamed(name) { return DATA.rules.rules[name]; }

function itemsOf(grade, outcome) {
  const items = new Map();
  for (const finding of STATE.findings) {
    const rule = ruleNamed(finding.rule);
    if (rule.grade !== grade || finding.outcome !== outcome || !finding.subject.listed) continue;
    if (!items.has(rule.name)) items.set(rule.name, { rule, findings: [] });
    items.get(rule.name).findings.push(finding);
  }
  return [...items.values()];
}

function unlisted() { return STATE.survey ? STATE.survey.others.filter(subject => !subject.listed) : []; }

function drawBar() {
  const pass = STATE.verdict === "pass";
  const tally = [
    say("{count} to put right", { count: itemsOf("hold", "hold").length }),
    say("{count} not verified", { count: itemsOf("hold", "not verified").length }),
  ];
  const faults = STATE.faults.length;
  if (unlisted().length) tally.push(say("walls missing"));
  if (faults) tally.unshift(unreadable(faults));
  byId("bar").className = pass ? "is-pass" : "is-hold";
  setText(byId("word"), (pass ? say("pass") : say("hold")).toUpperCase());
  setText(byId("tally"), pass ? headline() : tally.join(" · "));
}

function unreadable(count) {
  return sayMany("{count} answer cannot be read", "{count} answers cannot be read", count);
}

function headline() {
  if (STATE.verdict !== "pass") return say("Do not start the work.");
  return say("The work may start, as long as the space stays as it was on the walk.");
}

function subjectName(subject) { return subject.about === "space" ? say("The space") : subject.name; }

function deciding(finding) {
  const isHold = finding.outcome === "hold";
  return finding.compared.filter(one => one.verdict === finding.outcome && !(isHold && one.decidesApplying));
}

// Where to go for a finding: to what it lacks, else to what was written; each {place, title}, once.
function placesToGo(finding) {
  const facts = deciding(finding).map(one => finding.facts.get(one.check.fact));
  const missing = finding.outcome === "not verified" ? facts.flatMap(fact => fact.missing) : [];
  const found = missing.length ? missing : facts.flatMap(fact => fact.sources);
  return [...new Map(found.map(one => [one.place, one])).values()];
}

function goButton(text, place) { return button(text, () => goTo(place), { class: "go" }); }

function isOfLogs(expression) { return expression.isLogged || expression.operands.some(isOfLogs); }

function lackingOf(finding) {
  const asked = placesToGo(finding).filter(one => one.title);
  const notAnswered = say("not answered");
  const more = one => (one.lacking === notAnswered ? one.title : `${one.title}: ${one.lacking}`);
  if (asked.length) return asked.map(one => goButton(more(one), one.place));
  const open = finding.compared.filter(one => one.verdict === "not verified");
  if (open.some(one => isOfLogs(DATA.rules.facts[one.check.fact].expression))) return [paragraph(logsAtTheDesk())];
  const tooWide = open.map(one => {
    const { title: fact, kind } = DATA.rules.facts[one.check.fact];
    const limits = one.check.limits.map(limit => DATA.rules.limits[limit]);
    const measured = shownValue(finding.facts.get(one.check.fact).value, kind, limits);
    const parts = { fact, measured, required: one.check.asks };
    return paragraph(say("{fact}: {measured} is too wide to tell; required: {required}", parts));
  });
  return [...tooWide, goToFinding(finding)];
}

// One line for all subjects of which the same is said; what the heading has said already is not said again.
function heldLines(rule, findings, saidAbove) {
  const alike = new Map();
  for (const finding of findings) {
    const clears = STATE.clears(finding);
    const said = [sentenceOf(rule, finding), clears && say("Clears by waiting: {when}", { when: clears })];
    const key = said.join("\n");
    alike.set(key, { said, found: [...(alike.get(key) || { found: [] }).found, finding] });
  }
  return [...alike.values()].map(({ said, found }) => {
    const told = said.filter(text => text && text !== saidAbove).map(text => paragraph(text));
    return make("li", {}, told, found.map(goToFinding));
  });
}

function goToFinding(finding) {
  const where = subjectName(finding.subject);
  const [at] = placesToGo(finding);
  return at ? buttonOf(where, say("Go to the answer"), () => goTo(at.place), { class: "go" }) : paragraph(where);
}

function itemPart({ rule, findings }, heading, level = "h4", saidAbove = "") {
  const isHeld = findings[0].outcome === "hold";
  const open = findings.map(finding => make("li", {}, make("b", {}, subjectName(finding.subject)), lackingOf(finding)));
  const does = isHeld || rule.grade !== "hold" ? paragraph(make("b", {}, say("Do:")), " ", rule.putRight) : null;
  const why = make("p", { class: "why" }, make("b", {}, say("Why:")), " ", rule.why);
  const lines = make("ul", {}, isHeld ? heldLines(rule, findings, saidAbove) : open);
  return make("article", {}, make(level, {}, heading), lines, does, why);
}

// Items under a heading that unfolds, where there are some.
function groupPart(title, items, open) {
  if (!items.length) return [];
  return [make("details", { open }, make("summary", {}, make("h3", {}, `${title} (${items.length})`)), items)];
}

function cautionPart(item) {
  const { rule, findings } = item;
  if (findings[0].outcome !== "hold") return itemPart(item, say("Not verified: {check}", { check: rule.title }), "h3");
  const heading = sentenceOf(rule, findings[0]);
  return itemPart(item, heading, "h3", heading);
}

function overridePart(change) {
  const both = say("{was} by the rule set, {here} here.", change);
  const reason = say("Because: {because} ({basis})", change);
  return make("li", {}, make("b", {}, change.way), ` · ${change.what}: ${both} ${reason}`);
}

function partOfResult(title, inside, said) {
  return inside.length ? [make("h2", {}, title), said && paragraph(said), ...inside] : [];
}

function drawResult() {
  const [holds, open] = ["hold", "not verified"].map(outcome => itemsOf("hold", outcome));
  const cautions = [...itemsOf("caution", "hold"), ...itemsOf("caution", "not verified")];
  const { parties, themes, title: rules, revision } = DATA.rules;
  const required = item => itemPart(item, say("Required: {check}", { check: item.rule.title }));
  const byParty = Object.entries(parties).flatMap(([party, title]) =>
    groupPart(title, holds.filter(item => item.rule.by === party).map(required), true));
  const lacking = item => itemPart(item, item.rule.title);
  const byTheme = Object.entries(themes).flatMap(([theme, title]) =>
    groupPart(title, open.filter(item => item.rule.theme === theme).map(lacking), false));
  const walls = unlisted().map(subject =>
    goButton(say("Some walls may not be written down: how many are there?"), subject.countedBy));
  const faults = STATE.faults.map(one => goButton(`${one.place}: ${faultOf(one)}`, one.place));
  const changes = DATA.form.overrides.length ? [make("ul", {}, DATA.form.overrides.map(overridePart))] : [];
  const judged = say("Judged on this phone by {rules}, revision {revision}.", { rules, revision });
  const filed = say("The filed record is made at the desk by wallwalk check, from the exported survey.");
  byId("result").replaceChildren(...[
    make("h2", {}, `${byId("word").textContent} · ${writtenAt("space.name") || say("Space not stated")}`),
    make("p", { class: "lead" }, headline()),
    paragraph(STATE.start),
    STATE.trouble && make("p", { class: "fault" }, STATE.trouble),
    partOfResult(say("Changed by this project"), changes, say("Looser ones first.")),
    partOfResult(say("Answers that cannot be read"), faults, say("They count as not answered. The desk refuses them.")),
    partOfResult(say("Holds the work"), byParty),
    partOfResult(say("Not verified yet"), [...walls, ...byTheme], say("Each one holds the work until it is answered.")),
    partOfResult(say("Cautions"), cautions.map(cautionPart), say("Local code and licensed practice always decide.")),
    make("p", { class: "foot" }, judged, " ", filed),
    button(say("Back to the questions"), () => openView("asking"), { class: "strong" }),
  ].flat().filter(Boolean));
}
