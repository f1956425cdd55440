// The pages: the job, the space, each wall, the photos; on each the questions that matter, by theme.

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
  waiting = 0;
  save();
  judgeNow();
  draw();
}

function announce(text) {
  setText(byId("said"), text);
  byId("told").hidden = !text;
  byId("undo").hidden = true;
}

function offerUndo(text, undo) {
  STATE.undo = undo;
  announce(text);
  byId("undo").hidden = false;
  byId("undo").focus();
}

function undoLast() {
  const { undo } = STATE;
  STATE.undo = null;
  announce("");
  if (!undo) return;
  undo();
  changed();
}

// -- what each page asks --------------------------------------------------------------------------------------------

// A page has the place of its subject (`owner`, empty for the space), and `holds` says which sections stand on it.
function pages() {
  const { job, photos } = DATA.form.lists;
  const own = [job, "", photos].map(name => ({
    page: name || "space", about: "space", prefix: "", owner: "",
    title: name ? DATA.asked.find(section => section.name === name).title : say("The space"),
    holds: section => (name ? section === name : section !== job && section !== photos),
  }));
  const wallPage = (wall, about, owner) =>
    ({ page: owner, about, prefix: `${owner}.`, owner, title: String(wall.name), holds: () => true });
  const walls = Object.values(DATA.form.subjects).flatMap(({ about, path }) =>
    entriesAt(STATE.doc, path).map((wall, i) => wallPage(wall, about, `${path}[${i}]`)));
  return [own[0], own[1], ...walls, own[2]].filter(page => askedOn(page).length);
}

// What a page asks, each with its section: a count is asked with its list, and walls where they are counted.
function askedOn(page) {
  return DATA.asked.filter(section => page.holds(section.name)).flatMap(section => {
    const counts = section.asked.map(asked => asked.countedBy);
    const own = section.asked.filter(asked => asked.about === page.about && !counts.includes(asked.path));
    return own.map(asked => ({ section, asked, place: page.prefix + asked.path }));
  });
}

function isWanted(page, asked) { return (STATE.wanted.get(page.owner) || new Set()).has(asked.path); }

// How much of what matters here is still to be answered; a list is, once it is said to be whole.
function openAt(page, only) {
  return askedOn(page).filter(({ section, asked, place }) => {
    if ((only && section !== only) || !isWanted(page, asked)) return false;
    if (asked.question) return !isAnswered(STATE.doc, place);
    return asked.countedBy && writtenAt(countOf(asked, place)) !== String(entriesAt(STATE.doc, place).length);
  }).length;
}

function partOf(asked, place) {
  const subject = Object.values(DATA.form.subjects).find(list => list.countedBy === asked.path);
  if (subject) return wallsPart(subject);
  return asked.question ? questionPart(asked.question, place) : listPart(asked, place);
}

// -- drawing --------------------------------------------------------------------------------------------------------

function draw() {
  drawBar();
  byId("refused").hidden = STATE.kept;
  if (STATE.view === "result") drawResult();
  if (STATE.view === "kept") drawKept();
  const all = pages();
  const page = all.find(one => one.page === STATE.page) || all[0];
  STATE.page = page.page;
  byId("pages").replaceChildren(...all.map(one => make("li", {}, tabOf(one, one === page))));
  drawPage(page, all[all.indexOf(page) + 1]);
}

function tabOf(page, isHere) {
  const open = openAt(page);
  const title = open ? `${page.title} (${open})` : page.title;
  return button(title, () => openPage(page.page), { "aria-current": isHere && "page" });
}

function drawPage(page, next) {
  const bodies = new Map();
  for (const { section, asked, place } of askedOn(page)) {
    const { part, show } = partOf(asked, place);
    const wants = isWanted(page, asked);
    const stays = wants || isAnswered(STATE.doc, place) || part.contains(document.activeElement);
    if (stays) bodies.set(section, [...(bodies.get(section) || []), part]);
    show(wants);
  }
  const filled = [...bodies];
  setText(byId("page-title"), page.title);
  arrange(byId("questions"), filled.map(([section, parts], i) => sectionPart(page, section, parts, i, filled)));
  setText(byId("onward"), next ? say("Next: {what}", { what: next.title }) : say("See the result"));
  byId("onward").onclick = () => (next ? openPage(next.page) : openView("result"));
}

const SECTIONS = new Map();

function sectionPart(page, section, parts, index, filled) {
  const key = `${page.page} ${section.name}`;
  if (!SECTIONS.has(key)) SECTIONS.set(key, newSection(index === 0));
  const { title, body, next, part } = SECTIONS.get(key);
  const open = openAt(page, section);
  const isJob = page.owner && section.name === DATA.form.lists.job;
  const name = isJob ? DATA.form.subjects[page.about].entryTitle : section.title;
  setText(title, open ? say("{section}: {count} to answer", { section: name, count: open }) : name);
  part.firstChild.hidden = filled.length === 1;
  arrange(body, parts);
  const [following] = filled[index + 1] || [null];
  next.hidden = !following;
  if (following) setText(next, say("Next: {what}", { what: following.title }));
  next.onclick = () => {
    const then = SECTIONS.get(`${page.page} ${following.name}`).part;
    part.open = false;
    then.open = true;
    then.firstChild.focus();
    then.scrollIntoView();
  };
  return part;
}

function newSection(open) {
  const [title, body, next] = [make("h3", {}), make("div", {}), button("", () => {}, { class: "next" })];
  return { title, body, next, part: make("details", { open }, make("summary", {}, title), body, next) };
}

// -- where one is ---------------------------------------------------------------------------------------------------

function openView(view) {
  STATE.view = view;
  for (const name of ["asking", "result", "kept"]) byId(name).hidden = name !== view;
  byId("bar").setAttribute("aria-expanded", String(view === "result"));
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
  for (let box = shown.part; box; box = box.parentElement) if (box.tagName === "DETAILS") box.open = true;
  shown.part.scrollIntoView({ block: "center" });
  const chosen = shown.first.type === "radio" && shown.part.querySelector(":checked");
  (chosen || shown.first).focus({ preventScroll: true });
}

// To the question at `place`, or to the nearest list that would hold it.
function goTo(place) {
  const asks = ({ asked }) => place === asked.path || place === asked.countedBy || place.startsWith(`${asked.path}[`);
  const page = pages().find(one => (one.owner ? place.startsWith(one.prefix) : askedOn(one).some(asks)));
  openPage(page ? page.page : STATE.page);
  let near = place;
  while (near && !PARTS.has(near)) near = near.slice(0, Math.max(near.lastIndexOf("."), near.lastIndexOf("["), 0));
  focusOn(near);
}
