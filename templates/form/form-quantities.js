// Quantities: a number and a unit, feet with inches and parts of one, with ± where wanted; anything else written out.

const WRITE_OUT = "…";
const SIXTEENTHS = ["1/16", "1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2"];
const FRACTIONS = ["", ...SIXTEENTHS, "9/16", "5/8", "11/16", "3/4", "13/16", "7/8", "15/16"];
const NOTHING_WRITTEN = { unit: "", number: "", inches: "", part: "", spread: "" };

// The fields that say what is written; null where they cannot, and it has to be written out.
function quantityRead(text, units) {
  const known = [...units].sort((a, b) => b.length - a.length).find(unit => text.endsWith(unit));
  if (!known) return /^\d+(\.\d+)?$/.test(text) ? { ...NOTHING_WRITTEN, number: text } : null;
  const feet = /^(\d+(?:\.\d+)?) ft$/.exec(text) || /^(\d+) ft (?:(\d+(?:\.\d+)?))?(?: ?(\d+\/\d+))? in$/.exec(text);
  const bare = text.slice(0, -known.length).trim();
  const one = /^(-?\d*(?:\.\d*)?)(?:(?:^| )(\d+\/\d+))?(?: ?± ?(\d+(?:\.\d+)?|\d+\/\d+))?$/.exec(bare);
  const [, number = "", second = "", third = ""] = feet || one || [];
  if (feet && units.includes("ft")) return { unit: "ft", number, inches: second, part: third, spread: "" };
  const fits = one && (number || second) && FRACTIONS.includes(second) && (!second || known === "in");
  return fits ? { unit: known, number, inches: "", part: second, spread: third } : null;
}

function quantityWritten({ unit, number, inches, part, spread }) {
  const joined = (...parts) => parts.filter(Boolean).join(" ");
  const small = joined(unit === "ft" ? inches : number, part);
  if (unit === "ft") return joined(number && `${number} ft`, small && `${small} in`);
  const amount = unit === "in" ? small : number;
  if (!amount) return "";
  if (spread) return `${amount} ± ${spread} ${unit}`;
  return unit === "B" ? `${amount}B` : joined(amount, unit);
}

function unitSystem() { return preferred("system") || "us"; }

// Last used for this question, else what its own help shows, else last used for its kind.
function unitAtFirst({ path, kind, units }) {
  return preferred(path) || (!units.fits && preferred(kind)) || units[unitSystem()];
}

// A keypad whose only sign for decimals is a comma means a point by it.
function withPoint(text) { return text.trim().replace(/^(-?\d+),(\d{1,2})$/, "$1.$2"); }

function quantityControl(question, place, id) {
  const units = DATA.form.kinds[question.kind];
  const labelled = { "aria-labelledby": `${id}-title`, autocapitalize: "off" };
  const field = (name, label) =>
    textField({ id: id + name, inputmode: "decimal", "aria-description": label, oninput: write, ...labelled });
  const write = () => {
    const read = Object.fromEntries(Object.entries(fields).map(([name, one]) => [name, withPoint(one.value)]));
    const text = unit.value === WRITE_OUT ? free.value.trim() : quantityWritten({ ...read, unit: unit.value });
    answer(place, text || undefined, true);
  };
  const fields = {
    number: field("", say("Number")),
    inches: field("-inches", say("Inches")),
    part: picker(FRACTIONS.map(part => [part, part || "–"]), { "aria-label": say("Part of an inch"), onchange: write }),
    spread: field("-spread", "±"),
  };
  const free = textField({ oninput: write, ...labelled });
  const { unit, chosen } = unitPicker(question, units, () => {
    free.value = writtenAt(place);
    layOut();
    write();
  });
  const marks = { feet: make("span", {}, "ft"), inches: make("span", {}, "in"), spread: make("span", {}, "±") };
  const addSpread = () => {
    fields.spread.hidden = marks.spread.hidden = false;
    more.hidden = true;
    fields.spread.focus();
  };
  const more = button("±", addSpread, { class: "quiet", "aria-label": say("Say how sure the reading is") });
  const layOut = () => {
    const [ft, inch, out] = ["ft", "in", WRITE_OUT].map(name => unit.value === name);
    for (const one of Object.values(fields)) one.hidden = out;
    fields.inches.hidden = marks.feet.hidden = marks.inches.hidden = !ft;
    fields.part.hidden = !(ft || inch);
    marks.spread.hidden = fields.spread.hidden = out || ft || !fields.spread.value;
    more.hidden = out || ft || !question.spreads || !fields.spread.hidden;
    free.hidden = !out;
  };
  const show = () => {
    if (part.contains(document.activeElement)) return;
    const text = writtenAt(place);
    const read = text ? quantityRead(text, units) : { ...NOTHING_WRITTEN, unit: chosen() || unitAtFirst(question) };
    unit.value = read ? read.unit : WRITE_OUT;
    free.value = text;
    for (const [name, one] of Object.entries(fields)) one.value = read ? read[name] : "";
    layOut();
  };
  const { number, inches, part: parts, spread } = fields;
  const row = [number, marks.feet, inches, parts, marks.inches, free, marks.spread, spread, more, unit];
  const part = make("div", { class: "row" }, row);
  return { part, first: number, show };
}

function unitPicker(question, units, changedTo) {
  let last = "";
  const scale = question.units.scale ? [["", say("Scale")]] : [];
  const choices = [...scale, ...units.map(name => [name, name]), [WRITE_OUT, say("Write it out")]];
  const onchange = () => {
    last = unit.value;
    if (last && last !== WRITE_OUT) [question.path, question.kind].forEach(name => prefer(name, last));
    changedTo();
  };
  const unit = picker(choices, { "aria-label": say("Unit"), onchange });
  return { unit, chosen: () => last };
}
