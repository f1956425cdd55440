// Starts the form: what its fixed buttons do, and the survey that was open last.

function start() {
  const toggled = view => () => openView(STATE.view === view ? "asking" : view);
  const does = {
    bar: toggled("result"), "to-kept": toggled("kept"), new: newSurvey, export: exportSurvey, share: shareSurvey,
    print: () => window.print(), undo: undoLast, dismiss: () => announce(""),
  };
  for (const [id, doing] of Object.entries(does)) byId(id).onclick = () => doing();
  byId("import").onchange = event => {
    const [file] = event.target.files;
    if (file) importSurvey(file);
    event.target.value = "";
  };
  for (const field of document.querySelectorAll("[name=system]")) {
    field.checked = field.value === unitSystem();
    field.onchange = () => { prefer("system", field.value); PARTS.clear(); SECTIONS.clear(); draw(); };
  }
  window.addEventListener("beforeprint", drawPaper);
  window.addEventListener("beforeunload", event => { if (!STATE.kept) event.preventDefault(); });
  window.addEventListener("storage", event => {
    const kept = event.key === KEPT + STATE.id && event.newValue ? readKept(event.newValue) : null;
    if (kept) openSurvey(STATE.id, kept);
  });
  const id = keptText("wallwalk.open");
  const kept = id && readKept(keptText(KEPT + id) || "");
  if (kept) openSurvey(id, kept);
  else newSurvey();
  byId("share").hidden = !canShare();
}

start();
