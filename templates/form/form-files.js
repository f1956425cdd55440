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
  const named = writtenAt("rules") || DATA.form.defaultRules;
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

// -- on paper: the result, then every answer, and a line to sign ----------------------------------------------------

function shownAnswer(question, place) {
  const text = writtenAt(place);
  if (text === UNKNOWN_WORD) return say("not known");
  if (question.kind === "truth") return { true: say("yes"), false: say("no") }[text] || "";
  return question.kind === "choice" ? shownChoice(text) : text;
}

function answerRows(asked, place) {
  const row = (question, at) => [question.title, shownAnswer(question, at)];
  if (asked.question) return [row(asked.question, place)].filter(([, text]) => text);
  return entriesAt(STATE.doc, place).flatMap((_, i) => {
    const rows = asked.entry.map(question => row(question, `${place}[${i}].${keyOf(asked, question)}`));
    return [[`${asked.entryTitle} ${i + 1}`, ""], ...rows.filter(([, text]) => text)];
  });
}

function drawPaper() {
  drawResult();
  byId("result").querySelectorAll("details").forEach(one => { one.open = true; });
  const tables = pages().map(page => {
    const sections = DATA.asked.filter(section => !page.holds || page.holds(section.name));
    const own = sections.flatMap(section => section.asked).filter(asked => asked.about === page.about);
    const rows = own.flatMap(asked => answerRows(asked, page.prefix + asked.path)).map(([title, text]) =>
      make("tr", {}, make("th", { scope: "row" }, title), make("td", {}, text)));
    const table = make("table", {}, make("tbody", {}, rows));
    return rows.length ? make("section", {}, make("h3", {}, page.title), table) : "";
  });
  const sign = make("p", { class: "sign" }, say("Name, company, date and signature:"));
  byId("paper").replaceChildren(make("h2", {}, say("Answers")), ...tables.filter(Boolean), sign);
}
