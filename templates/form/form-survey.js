// The survey as a document: what stands at a place such as walls[0].primer.finished, put, taken out and told apart.

const UNKNOWN_WORD = "unknown";

function stepsOf(place) { return place.match(/[^.[\]]+/g).map(step => (/^\d+$/.test(step) ? Number(step) : step)); }

function valueAt(doc, place) {
  let node = doc;
  for (const step of stepsOf(place)) {
    if (node === null || typeof node !== "object" || !Object.hasOwn(node, step)) return undefined;
    node = node[step];
  }
  return node;
}

// Puts `value` at `place`; undefined takes out what is there, and the groups that are left empty by it.
function put(doc, place, value) {
  const steps = stepsOf(place);
  const last = steps.pop();
  const path = [doc];
  for (const [i, step] of steps.entries()) {
    const node = path[i];
    if (!Object.hasOwn(node, step) || node[step] === null || typeof node[step] !== "object") {
      if (value === undefined) return;
      node[step] = typeof (steps[i + 1] ?? last) === "number" ? [] : {};
    }
    path.push(node[step]);
  }
  const inside = path[path.length - 1];
  if (value !== undefined) { inside[last] = value; return; }
  if (Array.isArray(inside)) inside.splice(last, 1);
  else delete inside[last];
  for (let i = steps.length - 1; i >= 0 && isGroup(path[i]) && isEmpty(path[i + 1]); i--) delete path[i][steps[i]];
}

function isEmpty(node) { return isGroup(node) && !Object.keys(node).length; }

function entriesAt(doc, place) {
  const listed = valueAt(doc, place);
  return Array.isArray(listed) ? listed : [];
}

function isAnswered(doc, place) {
  const value = valueAt(doc, place);
  return value !== undefined && value !== null && value !== "" && !(Array.isArray(value) && !value.length);
}

function namesIn(doc, list) {
  return entriesAt(doc, list).filter(entry => entry && entry.name).map(entry => String(entry.name));
}

function freeName(names, base) {
  let number = names.length + 1;
  while (names.includes(`${base} ${number}`)) number++;
  return `${base} ${number}`;
}

// Everything that names an entry of `list` goes with it to its new name.
function renamed(doc, list, from, to) {
  for (const asked of allAsked().filter(one => one.question === null)) {
    for (const place of placesOf(doc, asked)) {
      for (const entry of entriesAt(doc, place).filter(isGroup)) {
        for (const question of asked.entry.filter(one => one.refersTo === list)) {
          const key = question.path.slice(asked.path.length + 1);
          if (entry[key] === from) entry[key] = to;
        }
      }
    }
  }
}

// Where something asked stands in this survey: once for the space, once for each wall.
function placesOf(doc, asked) {
  const list = DATA.form.subjects[asked.about];
  return list ? entriesAt(doc, list.path).map((_, i) => `${list.path}[${i}].${asked.path}`) : [asked.path];
}

function allAsked() { return DATA.asked.flatMap(section => section.asked); }

// A copy of a wall without its name and without what was measured or counted on it.
function copiedWall(doc, place, name) {
  const made = { name };
  const copied = [];
  for (const { about, path, question } of allAsked()) {
    const value = DATA.form.subjects[about] && question ? valueAt(doc, `${place}.${path}`) : undefined;
    if (value === undefined || path === "name" || !DATA.form.copied.includes(question.kind)) continue;
    put(made, path, value);
    copied.push(path);
  }
  return { made, copied };
}

// This moment on the phone's own clock, with its offset: whatever zone the site turns out to be in, it stays the same.
function nowWritten() { return stampOf(Date.now(), phoneZone()).replace("T", " "); }
