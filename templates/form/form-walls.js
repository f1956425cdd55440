// Walls: add, copy, name, take out; how many there are is asked beside them.

function wallsPart(subject) {
  return partAt(subject.path, () => {
    const rows = make("div", {});
    const count = countPart(subject.counted, subject.countedBy, subject.path);
    const addNew = () => addWall(subject, { name: newName(subject) }, []);
    const add = addButton(subject.entryTitle, addNew);
    const show = wanted => {
      const walls = entriesAt(STATE.doc, subject.path);
      rows.replaceChildren(...walls.map((wall, i) => wallRow(subject, String(wall.name), i)));
      count.show(wanted);
    };
    return { part: listBox(subject.path, subject.title, rows, add, count.part), first: add, show };
  });
}

function newName(subject) { return freeName(namesIn(STATE.doc, subject.path), subject.entryTitle); }

function wallRow(subject, name, index) {
  const place = `${subject.path}[${index}]`;
  const copy = () => {
    const { made, copied } = copiedWall(STATE.doc, place, newName(subject));
    addWall(subject, made, copied);
  };
  const remove = buttonOf(say("Remove"), name, () => removeWall(subject, index, name));
  const open = button(name, () => openPage(place), { class: "name" });
  return make("div", { class: "wall" }, open, buttonOf(say("Copy"), name, copy), remove);
}

function addWall(subject, wall, copied) {
  const place = `${subject.path}[${entriesAt(STATE.doc, subject.path).length}]`;
  copied.forEach(path => STATE.copied.add(`${place}.${path}`));
  addTo(subject.path, wall, subject.countedBy);
  openPage(place);
}

// What was copied is told by place, and the walls after one that goes or comes move by one.
function movedCopies(path, from, by) {
  STATE.copied = new Set([...STATE.copied].map(place => {
    const [list, index] = stepsOf(place);
    return list === path && index >= from ? place.replace(`[${index}]`, `[${index + by}]`) : place;
  }));
}

function removeWall(subject, index, name) {
  const marks = [...STATE.copied].filter(one => one.startsWith(`${subject.path}[${index}].`));
  marks.forEach(one => STATE.copied.delete(one));
  movedCopies(subject.path, index, -1);
  takeOut(subject.path, index, name, () => {
    movedCopies(subject.path, index, 1);
    marks.forEach(one => STATE.copied.add(one));
  });
}
