// Questions on the page: title, help, control, and what is to be said of the answer. Each is made once, by its place.

const PARTS = new Map();

function forget(prefix) {
  for (const place of [...PARTS.keys()]) if (place.startsWith(prefix)) PARTS.delete(place);
}

function questionPart(question, place, control = controlOf) {
  const found = PARTS.get(place);
  if (found) return found;
  const id = `q-${place}`;
  const { part: inside, first, several, show: showInside, lasting } = control(question, place, id);
  const compound = several || inside !== first;
  const title = make(compound ? "span" : "label", { id: `${id}-title`, class: "title", for: compound ? false : id }, question.title);
  const help = make("p", { id: `${id}-help`, class: "help", hidden: true }, question.help);
  const ask = question.help && button("?", () => {
    help.hidden = !help.hidden;
    ask.setAttribute("aria-expanded", String(!help.hidden));
  }, { class: "round", "aria-expanded": "false", "aria-controls": `${id}-help`, "aria-label": say("Help: {question}", { question: question.title }) });
  const note = make("p", { id: `${id}-note`, class: "note", hidden: true });
  const fault = make("p", { id: `${id}-fault`, class: "fault", hidden: true });
  const sure = button(say("It is so here too"), () => { STATE.copied.delete(place); changed(); }, { hidden: true });
  const clear = button(say("Clear"), () => { answer(place, undefined); first.focus(); }, { class: "quiet", hidden: true, "aria-label": say("Clear: {question}", { question: question.title }) });
  const group = compound ? { role: several || "group", "aria-labelledby": `${id}-title` } : {};
  if (compound && !several && !first.hasAttribute("aria-labelledby")) first.setAttribute("aria-labelledby", `${id}-title`);
  (several ? inside : first).setAttribute("aria-describedby", `${id}-note ${id}-fault`);
  const part = make("div", { class: "ask", id, ...group, ...(compound ? {} : { id: false }) }, make("div", { class: "head" }, title, ask || null), help, inside, fault, note, make("div", { class: "row" }, sure, clear));
  const show = wanted => {
    showInside();
    const said = STATE.faults.find(one => one.place === place);
    const about = STATE.copied.has(place) ? say("Copied from another wall. Look at it here.") : isAnswered(STATE.doc, place) && !wanted ? say("As things stand, this makes no difference.") : "";
    setText(note, about);
    note.hidden = !about;
    setText(fault, said ? say("This cannot be read: {instead}.", { instead: said.instead }) : "");
    fault.hidden = !said;
    first.setAttribute("aria-invalid", String(Boolean(said)));
    part.classList.toggle("apart", !wanted);
    sure.hidden = !STATE.copied.has(place);
    clear.hidden = lasting || !isAnswered(STATE.doc, place);
  };
  PARTS.set(place, { part, first, show });
  return PARTS.get(place);
}

// -- lists: readings, instruments, lots, logs, photos ---------------------------------------------------------------

function listPart(asked, place) {
  if (PARTS.has(place)) return PARTS.get(place);
  const entries = make("div", {});
  const box = make("div", { class: "list", id: `q-${place}`, role: "group", "aria-labelledby": `q-${place}-title`, tabindex: "-1" });
  const counted = asked.countedBy && questionPart(asked.counted, beside(place, asked.countedBy));
  const all = button("", () => answer(beside(place, asked.countedBy), String(entriesAt(STATE.doc, place).length)));
  const add = button(say("Add: {what}", { what: asked.entryTitle }), () => addEntry(asked, place), { class: "strong" });
  const told = make("p", { class: "note" });
  const says = { [DATA.form.logs]: say("A logger's file is read at the desk only. What it would show stays not verified on this phone."), photos: say("Only the file's name is kept here. Put the file itself beside the survey. Photos decide nothing.") }[asked.path];
  box.append(make("h4", { id: `q-${place}-title`, class: "title" }, asked.title), ...(says ? [make("p", { class: "help" }, says)] : []), entries, add, ...(asked.path === "photos" ? [photoPicker(place)] : []), ...(counted ? [counted.part, make("div", { class: "row" }, all)] : []), told);
  const show = wanted => {
    const listed = entriesAt(STATE.doc, place);
    arrange(entries, listed.map((_, i) => entryPart(asked, `${place}[${i}]`, i, wanted)));
    if (counted) {
      counted.show(wanted);
      const declared = writtenAt(beside(place, asked.countedBy));
      setText(all, listed.length ? say("These are all: {count}", { count: listed.length }) : say("There are none"));
      all.hidden = declared === String(listed.length);
      setText(told, declared === "" ? say("Nobody has said yet that these are all.") : declared === String(listed.length) ? "" : say("{count} written down, {most} stated.", { count: listed.length, most: declared }));
    }
    box.classList.toggle("apart", !wanted);
  };
  PARTS.set(place, { part: box, first: add, show });
  return PARTS.get(place);
}

function beside(place, path) { return place.startsWith("walls[") || /\]\./.test(place) ? `${place.slice(0, place.lastIndexOf("].") + 2)}${path}` : path; }

function entryPart(asked, place, index, wanted) {
  const found = PARTS.get(place);
  const shown = found || { questions: asked.entry.map(question => questionPart(question, `${place}.${question.path.slice(asked.path.length + 1)}`, entryControl(question))) };
  if (!found) {
    const title = `${asked.entryTitle} ${index + 1}`;
    const take = button(say("Remove"), () => removeEntry(asked, place, title), { class: "quiet", "aria-label": say("Remove: {what}", { what: title }) });
    shown.part = make("section", { class: "entry", "aria-label": title }, make("div", { class: "head" }, make("h5", {}, title), take), shown.questions.map(one => one.part));
    shown.first = shown.questions[0].first;
    PARTS.set(place, shown);
  }
  shown.questions.forEach(one => one.show(wanted));
  return shown.part;
}

function entryControl(question) {
  return question.path === "photos.rule" ? (_, place, id) => ruleControl(place, id) : controlOf;
}

// A reading is stamped with this phone's time and names the instrument that was used last; a list of things is not.
function addEntry(asked, place) {
  const listed = entriesAt(STATE.doc, place);
  const entry = {};
  if (asked.reads) {
    entry.at = nowWritten();
    const names = namesIn(STATE.doc, asked.reads);
    const last = listed.length ? listed[listed.length - 1].instrument : names.length === 1 ? names[0] : undefined;
    if (names.includes(last)) entry.instrument = last;
  }
  if (asked.entry.some(question => question.identity)) entry.name = freeName(namesIn(STATE.doc, place), asked.entryTitle);
  // One more than was said to be all: how many there are is to be said again.
  const count = asked.countedBy && beside(place, asked.countedBy);
  if (count && Number(writtenAt(count)) <= listed.length) put(STATE.doc, count, undefined);
  put(STATE.doc, `${place}[${listed.length}]`, entry);
  changed();
  const fields = asked.entry.filter(question => !["moment", "text"].includes(question.kind));
  focusOn(`${place}[${listed.length}].${(asked.reads && fields[0] || asked.entry[0]).path.slice(asked.path.length + 1)}`);
}

function removeEntry(asked, place, title) {
  const [list, index] = [place.slice(0, place.lastIndexOf("[")), Number(place.slice(place.lastIndexOf("[") + 1, -1))];
  const entry = valueAt(STATE.doc, place);
  put(STATE.doc, place, undefined);
  forget(`${list}[`);
  offerUndo(say("Removed: {what}", { what: title }), () => {
    if (!entriesAt(STATE.doc, list).length) put(STATE.doc, list, []);
    entriesAt(STATE.doc, list).splice(index, 0, entry);
    forget(`${list}[`);
  });
  changed();
}

function photoPicker(place) {
  const field = make("input", { type: "file", accept: "image/*", multiple: true, id: `q-${place}-files`, onchange: () => {
    for (const file of field.files) put(STATE.doc, `${place}[${entriesAt(STATE.doc, place).length}]`, { file: file.name });
    field.value = "";
    changed();
  } });
  return make("div", {}, make("label", { class: "title", for: `q-${place}-files` }, say("Take the names of photos on this phone")), field);
}
