// Surveys in and out: those on this phone, a file to export, share or print, and one to import.

function drawKept() {
  byId("surveys").replaceChildren(...keptSurveys().map(kept => {
    const name = String(valueAt(kept.doc, "space.name") || say("Space not stated"));
    const told = [valueAt(kept.doc, "project.name"), new Date(kept.changed).toLocaleString(DATA.form.locale)];
    const isOpen = kept.id === STATE.id;
    const open = button(name, () => openSurvey(kept.id, kept), { class: "name", "aria-current": isOpen && "true" });
    const take = buttonOf(say("Delete"), name, () => deleteSurvey(kept, name));
    return make("div", { class: "wall" }, open, take, make("p", { class: "note" }, told.filter(Boolean).join(" · ")));
  }));
}

function deleteSurvey(kept, name) {
  drop(KEPT + kept.id);
  if (kept.id === STATE.id) newSurvey();
  offerUndo(say("Deleted: {what}", { what: name }), () => {
    keep(KEPT + kept.id, JSON.stringify({ doc: kept.doc, copied: kept.copied, changed: kept.changed }));
    openSurvey(kept.id, kept);
    openView("kept");
  });
  openView("kept");
}

function openSurvey(id, { doc, copied, changed: at }) {
  Object.assign(STATE, { id, doc, copied: new Set(copied || []), changed: at, page: "" });
  PARTS.clear();
  SECTIONS.clear();
  keep("wallwalk.open", id);
  judgeNow();
  announce("");
  byId("other").hidden = isOfTheseRules();
  openView("asking");
}

function newSurvey() {
  const zone = phoneZone();
  const doc = { ...JSON.parse(JSON.stringify(DATA.form.blank)), ...(zone && { time_zone: zone.key }) };
  openSurvey(newId(), { doc, copied: [], changed: "" });
}

// Whether the desk will check by the rules that this form judges by.
function isOfTheseRules() {
  const named = writtenAt("rules") || DATA.form.rulesUnnamed;
  const overlays = doc => entriesAt(doc, "overlays").map(one => one && one.file).join("\n");
  return named === DATA.rules.name && overlays(STATE.doc) === overlays(DATA.form.blank);
}

function fileName() {
  const named = ["space.name", "walk.at"].map(place => writtenAt(place)).join(" ").normalize("NFKD");
  return `${named.replace(/[^A-Za-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60).toLowerCase() || "survey"}.json`;
}

function surveyFile() {
  return new File([`${JSON.stringify(STATE.doc, null, 2)}\n`], fileName(), { type: "application/json" });
}

function exportSurvey() {
  const file = surveyFile();
  const address = URL.createObjectURL(file);
  make("a", { href: address, download: file.name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  announce(say("Exported: {what}", { what: file.name }));
}

function shareSurvey() {
  navigator.share({ files: [surveyFile()], title: fileName() }).catch(error => {
    if (error.name !== "AbortError") announce(say("Sharing did not work. Export the survey and send the file."));
  });
}

function canShare() { return Boolean(navigator.canShare) && navigator.canShare({ files: [surveyFile()] }); }

async function importSurvey(file) {
  const { doc, faults: broken } = readDocument(await file.arrayBuffer());
  const faults = broken.length ? broken : readSurvey(DATA, doc).faults;
  const worst = broken[0] || faults.find(one => !isMendable(doc, one.place));
  if (worst) { announce(refusal(file.name, worst)); return; }
  openSurvey(newId(), { doc, copied: [], changed: "" });
  save();
  draw();
  const told = say("Imported: {what}", { what: file.name });
  announce(faults.length ? `${told} · ${unreadable(faults.length)}` : told);
}

function refusal(what, fault) {
  const told = { what, ...fault };
  if (DATA.rules.language === "en") {
    return say("{what} was not imported: {place} {found}; {instead}. Nothing was changed.", told);
  }
  return say("{what} was not imported: it is no survey that can be read ({place}). Nothing was changed.", told);
}

// Whether the form can put right what is wrong at `place`: an answer that it asks for.
function isMendable(doc, place) {
  const value = place ? valueAt(doc, place) : undefined;
  if (value === undefined || (value !== null && typeof value === "object")) return false;
  const path = place.replace(/\[\d+\]/g, "");
  return allAsked().some(asked => {
    const list = DATA.form.subjects[asked.about];
    const home = list ? `${list.path}.` : "";
    return (asked.question ? [asked] : asked.entry).some(question => path === home + question.path);
  });
}

// -- on paper: the result without its reasons, every answer with walls side by side, and a line to sign -------------

const SIDE_BY_SIDE = 5;

function shownAnswer(question, place) {
  const text = writtenAt(place);
  if (text === UNKNOWN_WORD) return say("not known");
  if (question.kind === "truth") return { true: say("yes"), false: say("no") }[text] || "";
  return question.kind === "choice" ? shownChoice(text) : text;
}

// What was answered: [title, text] of a question, or of each entry of a list, which stands on one line.
function answerRows(asked, place) {
  if (asked.question) return [[asked.title, shownAnswer(asked.question, place)]].filter(([, text]) => text);
  return entriesAt(STATE.doc, place).map((_, i) => {
    const told = asked.entry.map(question => {
      const text = shownAnswer(question, `${place}[${i}].${keyOf(asked, question)}`);
      return text && question.kind === "truth" ? `${question.title} ${text}` : text;
    });
    return [`${asked.entryTitle} ${i + 1}`, told.filter(Boolean).join("; ")];
  });
}

// The answers of pages that ask the same, a column for each.
function answersPart(kin) {
  const own = askedOn(kin[0]).filter(({ asked }) => !asked.question || !asked.question.identity);
  const rows = own.flatMap(({ asked }) => {
    const told = kin.map(page => new Map(answerRows(asked, page.prefix + asked.path)));
    const titles = [...new Set(told.flatMap(answers => [...answers.keys()]))];
    return titles.map(title => [title, ...told.map(answers => answers.get(title) || "")]);
  });
  const cells = ([title, ...texts]) => [make("th", { scope: "row" }, title), texts.map(text => make("td", {}, text))];
  const names = kin[0].owner ? kin.map(page => make("th", { scope: "col" }, page.title)) : [];
  const head = names.length ? make("thead", {}, make("tr", {}, make("td", {}), names)) : null;
  const title = names.length ? DATA.form.subjects[kin[0].about].title : kin[0].title;
  const table = make("table", {}, head, make("tbody", {}, rows.map(row => make("tr", {}, cells(row)))));
  return make("section", { class: names.length ? "wide" : "" }, make("h3", {}, title), table);
}

function kinOf(all) {
  const alike = (one, other) => one.owner && other.owner && one.about === other.about;
  return all.reduce((groups, page) => {
    const last = groups[groups.length - 1];
    if (last && alike(last[0], page) && last.length < SIDE_BY_SIDE) last.push(page);
    else groups.push([page]);
    return groups;
  }, []);
}

function drawPaper() {
  drawResult();
  byId("result").querySelectorAll("details").forEach(one => { one.open = true; });
  const sign = make("p", { class: "sign" }, say("Name, company, date and signature:"));
  byId("paper").replaceChildren(make("h2", {}, say("Answers")), ...kinOf(pages()).map(answersPart), sign);
}
