// Starts the form: what its fixed buttons do, and the survey that was open last.

function start() {
  byId("bar").onclick = () => openView(STATE.view === "result" ? "asking" : "result");
  byId("to-kept").onclick = () => openView(STATE.view === "kept" ? "asking" : "kept");
  byId("new").onclick = newSurvey;
  byId("export").onclick = exportSurvey;
  byId("print").onclick = () => window.print();
  byId("share").onclick = shareSurvey;
  byId("share").hidden = !canShare();
  byId("import").onchange = event => {
    const [file] = event.target.files;
    event.target.value = "";
    if (file) importSurvey(file);
  };
  byId("undo").onclick = () => {
    const { undo } = STATE;
    STATE.undo = null;
    announce("");
    if (undo) { undo(); changed(); }
    if (STATE.view === "kept") drawKept();
  };
  byId("dismiss").onclick = () => announce("");
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
}

start();
