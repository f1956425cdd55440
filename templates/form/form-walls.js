// Walls: add, copy, name, take out; how many there are is asked beside them.

function wallsPart(subject) {
  const { path, counted } = subject;
  if (PARTS.has(path)) return PARTS.get(path);
  const rows = make("div", {});
  const count = questionPart(counted, subject.countedBy);
  const all = button("", () => answer(subject.countedBy, String(entriesAt(STATE.doc, path).length)));
  const add = button(say("Add: {what}", { what: subject.entryTitle }), () => addWall(subject, { name: freeName(namesIn(STATE.doc, path), subject.entryTitle) }, []), { class: "strong" });
  const part = make("div", { class: "list", id: `q-${path}`, role: "group", "aria-labelledby": `q-${path}-title` }, make("h4", { class: "title", id: `q-${path}-title` }, subject.title), rows, add, count.part, make("div", { class: "row" }, all));
  const show = wanted => {
    const listed = entriesAt(STATE.doc, path);
    rows.replaceChildren(...listed.map((wall, i) => wallRow(subject, String(wall.name), i)));
    count.show(wanted);
    setText(all, say("These are all: {count}", { count: listed.length }));
    all.hidden = !listed.length || writtenAt(subject.countedBy) === String(listed.length);
  };
  PARTS.set(path, { part, first: add, show });
  return PARTS.get(path);
}

function wallRow(subject, name, index) {
  const place = `${subject.path}[${index}]`;
  const doing = (text, does) => button(text, does, { "aria-label": `${text}: ${name}` });
  return make("div", { class: "wall" }, button(name, () => openPage(place), { class: "name" }),
    doing(say("Copy"), () => {
      const { made, copied } = copiedWall(STATE.doc, place, freeName(namesIn(STATE.doc, subject.path), subject.entryTitle));
      addWall(subject, made, copied);
    }),
    doing(say("Remove"), () => removeWall(subject, index, name)));
}

function addWall(subject, wall, copied) {
  const index = entriesAt(STATE.doc, subject.path).length;
  if (Number(writtenAt(subject.countedBy)) <= index) put(STATE.doc, subject.countedBy, undefined);
  put(STATE.doc, `${subject.path}[${index}]`, wall);
  copied.forEach(path => STATE.copied.add(`${subject.path}[${index}].${path}`));
  changed();
  openPage(`${subject.path}[${index}]`);
}

// What was copied is told by place, and places after a wall that is taken out move up by one.
function movedCopies(path, from, by) {
  const marks = [...STATE.copied].map(place => {
    const [list, index] = stepsOf(place);
    return list === path && index >= from ? place.replace(`[${index}]`, `[${index + by}]`) : place;
  });
  STATE.copied = new Set(marks);
}

function removeWall(subject, index, name) {
  const place = `${subject.path}[${index}]`;
  const wall = valueAt(STATE.doc, place);
  const marks = [...STATE.copied].filter(one => one.startsWith(`${place}.`));
  marks.forEach(one => STATE.copied.delete(one));
  put(STATE.doc, place, undefined);
  movedCopies(subject.path, index, -1);
  forget(`${subject.path}[`);
  offerUndo(say("Removed: {what}", { what: name }), () => {
    movedCopies(subject.path, index, 1);
    marks.forEach(one => STATE.copied.add(one));
    if (!entriesAt(STATE.doc, subject.path).length) put(STATE.doc, subject.path, []);
    entriesAt(STATE.doc, subject.path).splice(index, 0, wall);
    forget(`${subject.path}[`);
  });
  changed();
}
