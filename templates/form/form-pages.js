// The pages: the job, the room, each wall, the photos; on each the questions that matter, by theme.

const STATE = { id: "", doc: {}, copied: new Set(), changed: "", kept: true, page: "job", view: "asking", survey: null, findings: [], faults: [], verdict: "hold", wanted: new Map(), start: "", trouble: "", clears: () => "", undo: null };

// Reads and judges what is written. What cannot be read counts as not answered, which never makes a verdict better.
function judgeNow() {
  const doc = JSON.parse(JSON.stringify(STATE.doc));
  Object.assign(STATE, { survey: null, faults: [], findings: [], verdict: "hold", wanted: new Map(), start: "", trouble: "", clears: () => "" });
  try {
    for (let tries = 0; !STATE.survey && tries < 100; tries++) {
      const { survey, faults } = readSurvey(DATA, doc);
      STATE.survey = survey;
      STATE.faults.push(...faults);
      faults.forEach(fault => leaveOut(doc, fault.place));
    }
    if (STATE.survey) judgeSurvey();
    else STATE.trouble = say("This phone cannot read the survey. Export it and have it looked at at the desk.");
  } catch (error) {
    Object.assign(STATE, { survey: null, findings: [], verdict: "hold" });
    STATE.trouble = say("This phone could not judge the survey ({error}). Export it and have it checked at the desk.", { error: error.message });
  }
}

// Takes what cannot be read out of a copy; a wall without a name of its own is given one, since it is there.
function leaveOut(doc, place) {
  const list = place.replace(/\[\d+\](\.name)?$/, "");
  if (list !== place && allAsked().concat(Object.values(DATA.form.subjects)).some(one => one.path === list && (one.counted || one.entry.some(question => question.identity)))) put(doc, place.replace(/(\.name)?$/, ".name"), freeName(namesIn(doc, list), list));
  else if (place) put(doc, place, undefined);
}

function judgeSurvey() {
  STATE.findings = judge(DATA.rules, STATE.survey);
  const verdict = STATE.faults.length ? "hold" : verdictOf(DATA.rules, STATE.findings);
  STATE.wanted = wanted(DATA, STATE.survey, STATE.findings);
  const facts = factsOf(DATA.rules, STATE.survey);
  const clears = finding => {
    const at = clearsAt(STATE.survey, windowOf(facts(finding.subject), finding));
    return isEnd(at) ? "" : shownMoment(at);
  };
  STATE.start = earliestLine(earliestStart(DATA.rules, STATE.survey, STATE.findings), verdict);
  Object.assign(STATE, { clears, verdict });
}

function earliestLine(earliest, verdict) {
  const when = earliest.at === null ? "" : shownMoment(earliest.at);
  const lapsesFirst = earliest.until !== null && earliest.at !== null && isLess(earliest.until, earliest.at);
  const ends = earliest.until === null || lapsesFirst ? "" : ` ${say("After {when} this lapses: {check}.", { when: shownMoment(fraction(floored(earliest.until))), check: ruleNamed(earliest.lapses.rule).title })}`;
  if (verdict === "pass") return (when ? say("Start no earlier than {when}.", { when }) : say("No clock holds the start.")) + ends;
  if (earliest.byWaiting && earliest.openThen.length) return say("Earliest honest start: {when}, with what has lapsed by then done again.", { when });
  if (earliest.byWaiting && when && !writtenAt("planned_start")) return say("Give a planned start, no earlier than {when}.", { when }) + ends;
  if (earliest.byWaiting && when) return say("Earliest honest start: {when}. Only time is wanting.", { when }) + ends;
  if (when) return say("Not before {when}, and not before everything below is put right.", { when }) + ends;
  return say("No start can be named: waiting does not cure what holds. Put it right and walk again.");
}

// -- changes --------------------------------------------------------------------------------------------------------

let waiting = 0;

// One answer; while it is typed, judging waits for a pause, saving does not.
function answer(place, value, typing = false) {
  put(STATE.doc, place, value);
  STATE.copied.delete(place);
  if (!typing) { changed(); return; }
  save();
  clearTimeout(waiting);
  waiting = setTimeout(changed, 300);
}

function changed() {
  clearTimeout(waiting);
  save();
  judgeNow();
  draw();
}

function announce(text) { setText(byId("said"), text); byId("told").hidden = !text; byId("undo").hidden = true; }

function offerUndo(text, undo) {
  STATE.undo = undo;
  announce(text);
  byId("undo").hidden = false;
  byId("undo").focus();
}

// -- drawing --------------------------------------------------------------------------------------------------------

function pages() {
  const walls = Object.values(DATA.form.subjects).flatMap(list => entriesAt(STATE.doc, list.path).map((wall, i) => ({ page: `${list.path}[${i}]`, title: String(wall.name), about: list.about, prefix: `${list.path}[${i}].`, owner: `${list.path}[${i}]` })));
  const space = { about: "space", prefix: "", owner: "" };
  const { job, photos } = DATA.form.lists;
  const own = [job, "", photos].map(name => ({ ...space, page: name || "space", title: name ? titleOf(name) : say("The space"), holds: section => (name ? section === name : section !== job && section !== photos) }));
  own.splice(2, 0, ...walls);
  return own.filter(page => askedOn(page).length);
}

function titleOf(name) { return DATA.asked.find(section => section.name === name).title; }

function isWanted(page, path) { return (STATE.wanted.get(page.owner) || new Set()).has(path); }

// How much of what matters here is still to be answered; a list is, once it is said to be whole.
function openAt(page, section) {
  return askedOn(page).filter(([own, asked]) => (!section || own === section) && isWanted(page, asked.path)).filter(([, asked]) => {
    const place = page.prefix + asked.path;
    if (asked.question) return !isAnswered(STATE.doc, place);
    return asked.countedBy && writtenAt(countOf(asked, place)) !== String(entriesAt(STATE.doc, place).length);
  }).length;
}

// What one page may ask, with its section: a count is asked with its list, a list of walls where they are counted.
function askedOn(page) {
  return DATA.asked.filter(section => !page.holds || page.holds(section.name)).flatMap(section => {
    const counts = new Set(section.asked.map(asked => asked.countedBy).filter(Boolean));
    return section.asked.filter(asked => asked.about === page.about && !counts.has(asked.path)).map(asked => [section, asked]);
  });
}

function partOf(page, asked) {
  const subject = Object.values(DATA.form.subjects).find(list => list.countedBy === asked.path);
  if (subject) return wallsPart(subject);
  return asked.question ? questionPart(asked.question, page.prefix + asked.path) : listPart(asked, page.prefix + asked.path);
}

function draw() {
  drawBar();
  if (STATE.view === "result") drawResult();
  byId("refused").hidden = STATE.kept;
  arrange(byId("pages"), pages().map(page => {
    const open = openAt(page);
    const tab = button(open ? `${page.title} (${open})` : page.title, () => openPage(page.page), { "aria-current": page.page === STATE.page ? "page" : false });
    return make("li", {}, tab);
  }));
  drawPage();
}

function drawPage() {
  const all = pages();
  const page = all.find(one => one.page === STATE.page) || all[0];
  STATE.page = page.page;
  setText(byId("page-title"), page.title);
  const bodies = new Map();
  for (const [section, asked] of askedOn(page)) {
    const part = partOf(page, asked);
    const wants = isWanted(page, asked.path);
    if (!bodies.has(section)) bodies.set(section, []);
    if (wants || isAnswered(STATE.doc, page.prefix + asked.path) || part.part.contains(document.activeElement)) bodies.get(section).push(part.part);
    part.show(wants);
  }
  const filled = [...bodies].filter(([, parts]) => parts.length);
  arrange(byId("questions"), filled.map(([section, parts], i) => sectionPart(page, section, parts, i, filled)));
  const next = all[all.indexOf(page) + 1];
  const onward = byId("onward");
  setText(onward, next ? say("Next: {what}", { what: next.title }) : say("See the result"));
  onward.onclick = () => (next ? openPage(next.page) : openView("result"));
}

const SECTIONS = new Map();

function sectionPart(page, section, parts, index, filled) {
  const key = `${page.page} ${section.name}`;
  if (!SECTIONS.has(key)) {
    const [title, body] = [make("h3", {}), make("div", {})];
    const next = button("", () => {}, { class: "next" });
    SECTIONS.set(key, { title, body, next, part: make("details", { open: index === 0 }, make("summary", {}, title), body, next) });
  }
  const { title, body, next, part } = SECTIONS.get(key);
  const open = openAt(page, section);
  const name = page.owner && section.name === DATA.form.lists.job ? DATA.form.subjects[page.about].entryTitle : section.title;
  setText(title, open ? say("{section}: {count} to answer", { section: name, count: open }) : name);
  part.firstChild.hidden = filled.length === 1;
  arrange(body, parts);
  const following = filled[index + 1];
  next.hidden = !following;
  if (following) setText(next, say("Next: {what}", { what: following[0].title }));
  next.onclick = () => {
    const then = SECTIONS.get(`${page.page} ${following[0].name}`).part;
    part.open = false;
    then.open = true;
    then.firstChild.focus();
    then.scrollIntoView();
  };
  return part;
}

// -- where one is ---------------------------------------------------------------------------------------------------

function openView(view) {
  STATE.view = view;
  for (const name of ["asking", "result", "kept"]) byId(name).hidden = name !== view;
  byId("bar").setAttribute("aria-expanded", String(view === "result"));
  if (view === "kept") drawKept();
  draw();
  byId(view).focus();
  scrollTo(0, 0);
}

function openPage(page) {
  STATE.page = page;
  openView("asking");
}

function focusOn(place) {
  const shown = PARTS.get(place);
  if (!shown) return;
  for (let box = shown.part.parentElement; box; box = box.parentElement) if (box.tagName === "DETAILS") box.open = true;
  shown.part.scrollIntoView({ block: "center" });
  const first = (shown.first.type === "radio" && shown.part.querySelector(":checked")) || shown.first;
  first.focus({ preventScroll: true });
}

// To the question at `place`, or to the nearest list that would hold it.
function goTo(place) {
  const page = pages().find(one => one.owner && place.startsWith(one.prefix)) || pages().find(one => !one.owner && askedOn(one).some(([, asked]) => place === asked.path || place === asked.countedBy || place.startsWith(`${asked.path}[`)));
  STATE.page = page ? page.page : STATE.page;
  openView("asking");
  let near = place;
  while (near && !PARTS.has(near)) near = near.replace(/(\.[^.[]+|\[\d+\])$/, "") === near ? "" : near.replace(/(\.[^.[]+|\[\d+\])$/, "");
  focusOn(near);
}
