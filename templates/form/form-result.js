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

function drawBar() {
  const [holds, open] = [itemsOf("hold", "hold").length, itemsOf("hold", "not verified").length];
  const pass = STATE.verdict === "pass";
  byId("bar").className = pass ? "is-pass" : "is-hold";
  setText(byId("word"), (pass ? say("pass") : say("hold")).toUpperCase());
  const tally = [say("{count} to put right", { count: holds }), say("{count} not verified", { count: open })];
  if (unlisted().length) tally.push(say("walls missing"));
  if (STATE.faults.length) tally.unshift(sayMany("{count} answer cannot be read", "{count} answers cannot be read", STATE.faults.length));
  setText(byId("tally"), pass ? say("The work may start, as long as the space stays as it was on the walk.") : tally.join(" · "));
}

function subjectName(subject) {
  if (subject.about === "space") return say("The space");
  return subject.listed ? subject.name : say("walls not written down");
}

function deciding(finding) {
  return finding.compared.filter(one => one.verdict === finding.outcome && (finding.outcome !== "hold" || !one.decidesApplying));
}

function isOfLogs(expression) { return expression.isLogged || expression.operands.some(isOfLogs); }

// Where to go for a finding: first to what it lacks, else to what was written, else to the page of its subject.
function placesToGo(finding) {
  const facts = deciding(finding).map(one => finding.facts.get(one.check.fact));
  const missing = facts.flatMap(fact => fact.missing);
  const found = finding.outcome === "not verified" && missing.length ? missing : facts.flatMap(fact => fact.sources);
  const places = new Map();
  for (const one of found) if (!places.has(one.place)) places.set(one.place, one);
  return [...places.values()];
}

function goButton(text, place) { return button(text, () => goTo(place), { class: "go" }); }

function lackingOf(finding) {
  const found = placesToGo(finding).filter(one => one.title);
  if (found.length) return found.map(one => goButton([one.title, one.lacking && one.lacking !== "not answered" ? `: ${one.lacking}` : ""].join(""), one.place));
  const wide = finding.compared.filter(one => one.verdict === "not verified").map(one => {
    const fact = DATA.rules.facts[one.check.fact];
    const limits = one.check.limits.map(limit => DATA.rules.limits[limit]);
    return say("{fact}: {measured} is too wide to tell; required: {required}", { fact: fact.title, measured: shownValue(finding.facts.get(one.check.fact).value, fact.kind, limits), required: one.check.asks });
  });
  if (deciding(finding).some(one => isOfLogs(DATA.rules.facts[one.check.fact].expression))) return [make("p", {}, say("A logger's file is read at the desk only. What it would show stays not verified on this phone."))];
  return wide.map(text => { const at = placesToGo(finding)[0]; return at ? goButton(text, at.place) : make("p", {}, text); });
}

function findingPart(rule, finding) {
  const subject = subjectName(finding.subject);
  if (finding.outcome === "not verified") return make("li", {}, make("b", {}, subject), lackingOf(finding));
  const clears = STATE.clears(finding);
  const at = placesToGo(finding)[0];
  return make("li", {}, make("p", {}, make("b", {}, `${subject}: `), sentenceOf(rule, finding)),
    clears && make("p", {}, say("Clears by waiting: {when}", { when: clears })),
    at ? goButton(say("Go to the answer: {where}", { where: subject }), at.place) : null);
}

function itemPart({ rule, findings }, heading, level = "h4") {
  return make("article", {}, make(level, {}, heading), make("ul", {}, findings.map(finding => findingPart(rule, finding))),
    findings[0].outcome === "hold" || rule.grade !== "hold" ? make("p", {}, make("b", {}, say("Do:")), " ", rule.putRight) : null, make("p", { class: "why" }, make("b", {}, say("Why:")), " ", rule.why));
}

function group(title, parts, open) {
  return parts.length ? make("details", { open }, make("summary", {}, make("h3", {}, `${title} (${parts.length})`)), parts) : null;
}

function headingOf({ rule, findings }) {
  return findings[0].outcome === "hold" ? sentenceOf(rule, findings[0]) : say("Not verified: {check}", { check: rule.title });
}

function unlisted() { return STATE.survey ? STATE.survey.others.filter(subject => !subject.listed) : []; }

function unlistedParts() {
  return unlisted().map(subject => goButton(say("Some walls may not be written down: how many are there?"), subject.countedBy));
}

function overridePart(change) {
  return make("li", {}, make("b", {}, change.way), ` · ${change.what}: `, say("{was} by the rule set, {here} here.", change), " ", say("Because: {because} ({basis})", change));
}

function drawResult() {
  const holds = itemsOf("hold", "hold");
  const open = itemsOf("hold", "not verified");
  const cautions = [...itemsOf("caution", "hold"), ...itemsOf("caution", "not verified")];
  const byParty = Object.entries(DATA.rules.parties).map(([party, title]) => group(title, holds.filter(item => item.rule.by === party).map(item => itemPart(item, say("Required: {check}", { check: item.rule.title }))), true));
  const byTheme = Object.entries(DATA.rules.themes).map(([theme, title]) => group(title, open.filter(item => item.rule.theme === theme).map(item => itemPart(item, item.rule.title)), false));
  const changes = DATA.form.overrides.map(overridePart);
  const faults = STATE.faults.map(one => make("li", {}, goButton(`${one.place}: ${faultOf(one)}`, one.place)));
  const head = [make("h2", {}, `${byId("word").textContent} · ${writtenAt("space.name") || say("Space not stated")}`),
    make("p", { class: "lead" }, STATE.verdict === "pass" ? say("The work may start, as long as the space stays as it was on the walk.") : say("Do not start the work.")),
    make("p", {}, STATE.start), STATE.trouble && make("p", { class: "fault" }, STATE.trouble)];
  const part = (title, inside, said) => (inside.length ? [make("h2", {}, title), said && make("p", {}, said), ...inside] : []);
  byId("result").replaceChildren(...[...head,
    ...part(say("Changed by this project"), changes.length ? [make("ul", { class: "changes" }, changes)] : [], say("Looser ones first.")),
    ...part(say("Answers that cannot be read"), faults.length ? [make("ul", {}, faults)] : [], say("They count as not answered, and the desk refuses them.")),
    ...part(say("Holds the work"), byParty.filter(Boolean)),
    ...part(say("Not verified yet"), [...unlistedParts(), ...byTheme.filter(Boolean)], say("Each one holds the work until it is answered.")),
    ...part(say("Cautions"), cautions.map(item => itemPart(item, headingOf(item), "h3")), say("Local code and licensed practice always decide.")),
    make("p", { class: "foot" }, say("Judged on this phone by {rules}, revision {revision}. The filed record is made at the desk by wallwalk check, from the exported survey.", { rules: DATA.rules.title, revision: DATA.rules.revision })),
    button(say("Back to the questions"), () => openView("asking"), { class: "strong" })].flat().filter(Boolean));
}
