// Questions on the page: title, help, control, and what is to be said of the answer. Each is made once, by its place.

const PARTS = new Map();

function forget(prefix) {
  for (const place of [...PARTS.keys()]) if (place.startsWith(prefix)) PARTS.delete(place);
}

// The part kept for `place`, made when it is first asked for: {part, first, show}.
function partAt(place, made) {
  if (!PARTS.has(place)) PARTS.set(place, made());
  return PARTS.get(place);
}

function questionPart(question, place, control = controlOf) {
  return partAt(place, () => {
    const id = `q-${place}`;
    const made = control(question, place, id);
    const grouped = made.several || made.part !== made.first;
    const head = headOf(question, place, id, grouped, made);
    const note = make("p", { id: `${id}-note`, class: "note", hidden: true });
    const fault = make("p", { id: `${id}-fault`, class: "fault", hidden: true });
    const sure = button(say("It is so here too"), () => { STATE.copied.delete(place); changed(); }, { hidden: true });
    (made.several ? made.part : made.first).setAttribute("aria-describedby", `${id}-note ${id}-fault`);
    const part = make("div", { class: "ask", ...(grouped && { id, role: made.several || "group", "aria-labelledby": `${id}-title` }) }, head.part, head.help, made.part, fault, note, sure);
    const show = wanted => {
      const isCopied = STATE.copied.has(place);
      const said = isCopied ? say("Copied from another wall. Look at it here.") : isAnswered(STATE.doc, place) && !wanted ? say("As things stand, this makes no difference.") : "";
      const wrong = STATE.faults.find(one => one.place === place);
      made.show();
      tell(note, said);
      tell(fault, wrong ? faultOf(wrong) : "");
      made.first.setAttribute("aria-invalid", String(Boolean(wrong)));
      part.classList.toggle("apart", !wanted);
      sure.hidden = !isCopied;
      head.clear.hidden = made.lasting || !isAnswered(STATE.doc, place);
    };
    return { part, first: made.first, show };
  });
}

function tell(part, text) {
  setText(part, text);
  part.hidden = !text;
}

// What readers say of a fault is English; in another language the question's own help has to do.
function faultOf({ instead }) {
  return DATA.rules.language === "en" ? say("This cannot be read: {instead}.", { instead }) : say("This cannot be read as it stands. The help shows how to write it.");
}

function headOf(question, place, id, grouped, made) {
  const title = make(grouped ? "span" : "label", { id: `${id}-title`, class: "title", for: grouped ? false : id }, question.title);
  const help = make("p", { id: `${id}-help`, class: "help", hidden: true }, question.help);
  const ask = button("?", () => {
    help.hidden = !help.hidden;
    ask.setAttribute("aria-expanded", String(!help.hidden));
  }, { class: "round", "aria-expanded": "false", "aria-controls": `${id}-help`, "aria-label": say("Help: {question}", { question: question.title }), hidden: !question.help });
  const clear = button(say("Clear"), () => { answer(place, undefined); made.first.focus(); }, { class: "quiet", "aria-label": say("Clear: {question}", { question: question.title }) });
  if (grouped && !made.several && !made.first.hasAttribute("aria-labelledby")) made.first.setAttribute("aria-labelledby", `${id}-title`);
  return { help, clear, part: make("div", { class: "head" }, title, clear, ask) };
}

// -- lists: readings, instruments, lots, logs, photos ---------------------------------------------------------------

function listPart(asked, place) {
  return partAt(place, () => {
    const entries = make("div", {});
    const count = asked.countedBy ? countPart(asked.counted, countOf(asked, place), place) : null;
    const add = button(say("Add: {what}", { what: asked.entryTitle }), () => addEntry(asked, place), { class: "strong" });
    const help = { [DATA.form.logs]: say("A logger's file is read at the desk only. What it would show stays not verified on this phone."), [DATA.form.lists.photos]: say("Only the file's name is kept here. Put the file itself beside the survey. Photos decide nothing.") }[asked.path];
    const part = listBox(place, asked.title, help && make("p", { class: "help" }, help), entries, add, asked.path === DATA.form.lists.photos && photoPicker(place), count && count.part);
    const show = wanted => {
      arrange(entries, entriesAt(STATE.doc, place).map((_, i) => entryPart(asked, `${place}[${i}]`, i, wanted)));
      if (count) count.show(wanted);
      part.classList.toggle("apart", !wanted);
    };
    return { part, first: add, show };
  });
}

function listBox(place, title, ...inside) {
  return make("div", { class: "list", id: `q-${place}`, role: "group", "aria-labelledby": `q-${place}-title` }, make("h3", { id: `q-${place}-title`, class: "title" }, title), ...inside);
}

// The question how many there are, with one tap that says: those written down.
function countPart(question, place, list) {
  const asked = questionPart(question, place);
  const listed = () => entriesAt(STATE.doc, list).length;
  const all = button("", () => answer(place, String(listed())));
  const told = make("p", { class: "note" });
  const show = wanted => {
    const [count, declared] = [listed(), writtenAt(place)];
    asked.show(wanted);
    setText(all, count ? say("These are all: {count}", { count }) : say("There are none"));
    all.hidden = declared === String(count);
    tell(told, declared === "" ? say("Nobody has said yet that these are all.") : all.hidden ? "" : say("{count} written down, {most} stated.", { count, most: declared }));
  };
  return { part: make("div", {}, asked.part, all, told), show };
}

function countOf(asked, place) { return place.slice(0, place.length - asked.path.length) + asked.countedBy; }

function entryPart(asked, place, index, wanted) {
  const kept = partAt(place, () => {
    const title = `${asked.entryTitle} ${index + 1}`;
    const questions = asked.entry.map(question => ({ question, shown: questionPart(question, `${place}.${keyOf(asked, question)}`, question.path === "photos.rule" ? ruleControl : controlOf) }));
    const [own, finer] = [false, true].map(deep => questions.filter(({ question }) => keyOf(asked, question).includes(".") === deep).map(one => one.shown.part));
    const take = button(say("Remove"), () => removeEntry(asked, place, title), { class: "quiet", "aria-label": say("Remove: {what}", { what: title }) });
    const more = finer.length ? make("details", { open: isGroup(valueAt(STATE.doc, `${place}.${keyOf(asked, asked.entry[asked.entry.length - 1]).split(".")[0]}`)) }, make("summary", {}, say("More about it ({count})", { count: finer.length })), finer) : null;
    const part = make("section", { class: "entry", "aria-label": title }, make("div", { class: "head" }, make("h4", {}, title), take), own, more);
    return { part, first: questions[0].shown.first, questions };
  });
  kept.questions.forEach(one => one.shown.show(wanted));
  return kept.part;
}

function keyOf(asked, question) { return question.path.slice(asked.path.length + 1); }

// A reading is stamped with this phone's time and names the instrument that was used last; a list of things is not.
function addEntry(asked, place) {
  const listed = entriesAt(STATE.doc, place);
  const entry = {};
  const names = asked.reads ? namesIn(STATE.doc, asked.reads) : [];
  const last = listed.length ? listed[listed.length - 1].instrument : names.length === 1 ? names[0] : undefined;
  if (asked.reads) entry.at = nowWritten();
  if (names.includes(last)) entry.instrument = last;
  if (asked.entry.some(question => question.identity)) entry.name = freeName(namesIn(STATE.doc, place), asked.entryTitle);
  addTo(place, entry, asked.countedBy && countOf(asked, place));
  const begin = asked.entry.find(question => asked.reads && !["moment", "text"].includes(question.kind)) || asked.entry[0];
  focusOn(`${place}[${listed.length}].${keyOf(asked, begin)}`);
}

// Puts one more into a list. Where fewer were said to be all, how many there are is to be said again.
function addTo(place, entry, count) {
  const index = entriesAt(STATE.doc, place).length;
  if (count && Number(writtenAt(count)) <= index) put(STATE.doc, count, undefined);
  put(STATE.doc, `${place}[${index}]`, entry);
  changed();
}

function takeOut(list, index, title, undone = () => {}) {
  const entry = valueAt(STATE.doc, `${list}[${index}]`);
  put(STATE.doc, `${list}[${index}]`, undefined);
  forget(`${list}[`);
  changed();
  offerUndo(say("Removed: {what}", { what: title }), () => {
    const listed = entriesAt(STATE.doc, list);
    put(STATE.doc, list, [...listed.slice(0, index), entry, ...listed.slice(index)]);
    forget(`${list}[`);
    undone();
  });
}

function removeEntry(asked, place, title) {
  const at = place.lastIndexOf("[");
  takeOut(place.slice(0, at), Number(place.slice(at + 1, -1)), title);
}

function photoPicker(place) {
  const field = make("input", { type: "file", accept: "image/*", multiple: true, id: `q-${place}-files`, onchange: () => {
    for (const file of field.files) put(STATE.doc, `${place}[${entriesAt(STATE.doc, place).length}]`, { file: file.name });
    field.value = "";
    changed();
  } });
  return make("div", {}, make("label", { class: "title", for: `q-${place}-files` }, say("Take the names of photos on this phone")), field);
}
