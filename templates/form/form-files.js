// Surveys in and out: those on this phone, a file to export, share or print, and one to import.

function drawKept() {
  const rows = keptSurveys().map(kept => {
    const name = String(valueAt(kept.doc, "space.name") || say("Space not stated"));
    const told = [valueAt(kept.doc, "project.name"), new Date(kept.changed).toLocaleString(DATA.form.locale)].filter(Boolean).map(String).join(" · ");
    const open = button(name, () => { openSurvey(kept.id, kept); }, { class: "name", "aria-current": kept.id === STATE.id ? "true" : false });
    return make("div", { class: "wall" }, open, button(say("Delete"), () => deleteSurvey(kept, name), { "aria-label": say("Delete: {what}", { what: name }) }), make("p", { class: "note" }, told));
  });
  byId("surveys").replaceChildren(...rows);
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

function openSurvey(id, kept) {
  Object.assign(STATE, { id, doc: kept.doc, copied: new Set(kept.copied || []), changed: kept.changed, page: "job" });
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
  const name = [valueAt(STATE.doc, "space.name"), valueAt(STATE.doc, "walk.at")].filter(Boolean).map(String).join(" ");
  return `${name.normalize("NFKD").replace(/[^A-Za-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60).toLowerCase() || "survey"}.json`;
}

function surveyFile() { return new File([`${JSON.stringify(STATE.doc, null, 2)}\n`], fileName(), { type: "application/json" }); }

function exportSurvey() {
  const address = URL.createObjectURL(surveyFile());
  const link = make("a", { href: address, download: fileName(), hidden: true });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  announce(say("Exported: {what}", { what: fileName() }));
}

function shareSurvey() {
  navigator.share({ files: [surveyFile()], title: fileName() }).catch(error => {
    if (error.name !== "AbortError") announce(say("Sharing did not work. Export the survey and send the file."));
  });
}

function canShare() { return Boolean(navigator.canShare) && navigator.canShare({ files: [new File(["{}"], "survey.json", { type: "application/json" })] }); }

async function importSurvey(file) {
  const { doc, faults: broken } = readDocument(await file.arrayBuffer());
  const faults = broken.length ? broken : readSurvey(DATA, doc).faults;
  const worst = broken[0] || faults.find(one => !isMendable(doc, one.place));
  if (worst) {
    const told = { what: file.name, ...worst };
    announce(DATA.rules.language === "en" ? say("{what} was not imported: {place} {found}; {instead}. Nothing was changed.", told) : say("{what} was not imported: it is no survey that can be read ({place}). Nothing was changed.", told));
    return;
  }
  openSurvey(newId(), { doc, copied: [], changed: "" });
  save();
  draw();
  announce(faults.length ? sayMany("Imported; {count} answer in it cannot be read.", "Imported; {count} answers in it cannot be read.", faults.length) : say("Imported: {what}", { what: file.name }));
}

// Whether the form can put right what is wrong at `place`: an answer that it asks for.
function isMendable(doc, place) {
  const value = place ? valueAt(doc, place) : undefined;
  if (value === undefined || (value !== null && typeof value === "object")) return false;
  const path = place.replace(/\[\d+\]/g, "");
  return allAsked().some(asked => asked.question ? path === asked.path || path.endsWith(`.${asked.path}`) && DATA.form.subjects[asked.about] : asked.entry.some(question => path === question.path || path.endsWith(`.${question.path}`)));
}

// -- on paper: the result, then every answer, and a line to sign ----------------------------------------------------

function answerRows(asked, place) {
  const shown = question => at => { const text = writtenAt(at); return text && [question.title, text === "true" ? say("yes") : text === "false" ? say("no") : text === UNKNOWN_WORD ? say("not known") : question.kind === "choice" ? shownChoice(text) : text]; };
  if (asked.question) return [shown(asked.question)(place)];
  return entriesAt(STATE.doc, place).flatMap((_, i) => [[`${asked.entryTitle} ${i + 1}`, ""], ...asked.entry.map(question => shown(question)(`${place}[${i}].${question.path.slice(asked.path.length + 1)}`))]);
}

function drawPaper() {
  drawResult();
  byId("result").querySelectorAll("details").forEach(one => { one.open = true; });
  const tables = pages().map(page => {
    const rows = DATA.asked.filter(section => !page.holds || page.holds(section.name)).flatMap(section => section.asked).filter(asked => asked.about === page.about).flatMap(asked => answerRows(asked, page.prefix + asked.path)).filter(Boolean);
    return rows.length ? make("section", {}, make("h3", {}, page.title), make("table", {}, make("tbody", {}, rows.map(([title, text]) => make("tr", {}, make("th", { scope: "row" }, title), make("td", {}, text)))))) : null;
  });
  byId("paper").replaceChildren(make("h2", {}, say("Answers")), ...tables.filter(Boolean), make("p", { class: "sign" }, say("Name, company, date and signature:")));
}
