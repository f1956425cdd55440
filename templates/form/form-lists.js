// Lists: readings, instruments, lots, logs, photos; and the question how many there are, kept in step by one tap.

function listPart(asked, place) {
  return partAt(place, () => {
    const isPhotos = asked.path === DATA.form.lists.photos;
    const entries = make("div", {});
    const count = asked.countedBy ? countPart(asked.counted, countOf(asked, place), place) : null;
    const add = addButton(asked.entryTitle, () => addEntry(asked, place));
    const help = listHelp(asked.path);
    const inside = [help && make("p", { class: "help" }, help), entries, add, isPhotos && photoPicker(place)];
    const part = listBox(place, asked.title, inside, count && count.part);
    const show = wanted => {
      arrange(entries, entriesAt(STATE.doc, place).map((_, i) => entryPart(asked, `${place}[${i}]`, i, wanted)));
      if (count) count.show(wanted);
      part.classList.toggle("apart", !wanted);
    };
    return { part, first: add, show };
  });
}

function addButton(what, does) { return button(say("Add: {what}", { what }), does, { class: "strong" }); }

function listHelp(path) {
  if (path === DATA.form.logs) return logsAtTheDesk();
  if (path !== DATA.form.lists.photos) return "";
  return say("Only the file's name is kept here. Put the file itself beside the survey. Photos decide nothing.");
}

function logsAtTheDesk() {
  return say("A logger's file is read at the desk only. What it would show stays not verified on this phone.");
}

function listBox(place, title, ...inside) {
  const id = `q-${place}`;
  const head = make("h3", { id: `${id}-title`, class: "title" }, title);
  return make("div", { class: "list", id, role: "group", "aria-labelledby": head.id }, head, ...inside);
}

function countPart(question, place, list) {
  const asked = questionPart(question, place);
  const all = button("", () => answer(place, String(entriesAt(STATE.doc, list).length)));
  const told = make("p", { class: "note" });
  const show = wanted => {
    const [count, most] = [entriesAt(STATE.doc, list).length, writtenAt(place)];
    asked.show(wanted);
    setText(all, count ? say("These are all: {count}", { count }) : say("There are none"));
    all.hidden = most === String(count);
    if (most === "") tell(told, say("Nobody has said yet that these are all."));
    else tell(told, all.hidden ? "" : say("{count} written down, {most} stated.", { count, most }));
  };
  return { part: make("div", {}, asked.part, all, told), show };
}

function countOf(asked, place) { return place.slice(0, place.length - asked.path.length) + asked.countedBy; }

function keyOf(asked, question) { return question.path.slice(asked.path.length + 1); }

function entryPart(asked, place, index, wanted) {
  const kept = partAt(place, () => {
    const title = `${asked.entryTitle} ${index + 1}`;
    const questions = asked.entry.map(question => {
      const key = keyOf(asked, question);
      const control = key === "rule" ? ruleControl : controlOf;
      return { isFiner: key.includes("."), shown: questionPart(question, `${place}.${key}`, control) };
    });
    const own = questions.filter(one => !one.isFiner).map(one => one.shown.part);
    const finer = questions.filter(one => one.isFiner).map(one => one.shown.part);
    const take = buttonOf(say("Remove"), title, () => takeOut(placeOfList(place), index, title), { class: "quiet" });
    const head = make("div", { class: "head" }, make("h4", {}, title), take);
    const more = finer.length ? folded(finer) : null;
    const part = make("section", { class: "entry", "aria-label": title }, head, own, more);
    return { part, first: questions[0].shown.first, questions };
  });
  kept.questions.forEach(one => one.shown.show(wanted));
  return kept.part;
}

function placeOfList(place) { return place.slice(0, place.lastIndexOf("[")); }

function folded(parts) {
  return make("details", {}, make("summary", {}, say("More about it ({count})", { count: parts.length })), parts);
}

// A reading is stamped with this phone's time and names the instrument that was used last; a list of things is not.
function addEntry(asked, place) {
  const listed = entriesAt(STATE.doc, place);
  const entry = {};
  const names = asked.reads ? namesIn(STATE.doc, asked.reads) : [];
  const last = listed.length ? listed[listed.length - 1].instrument : names.length === 1 ? names[0] : undefined;
  if (asked.reads) entry.at = nowWritten();
  if (names.includes(last)) entry.instrument = last;
  if (asked.entry.some(one => one.identity)) entry.name = freeName(namesIn(STATE.doc, place), asked.entryTitle);
  addTo(place, entry, asked.countedBy && countOf(asked, place));
  const begin = asked.entry.find(one => asked.reads && !["moment", "text"].includes(one.kind)) || asked.entry[0];
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

function photoPicker(place) {
  const id = `q-${place}-files`;
  const take = () => {
    const named = [...field.files].map(file => ({ file: file.name }));
    put(STATE.doc, place, [...entriesAt(STATE.doc, place), ...named]);
    field.value = "";
    changed();
  };
  const field = make("input", { type: "file", accept: "image/*", multiple: true, id, onchange: take });
  const label = make("label", { class: "title", for: id }, say("Take the names of photos on this phone"));
  return make("div", {}, label, field);
}
