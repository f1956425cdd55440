// One control for each kind of question. Each is {part, first, show}: `show` sets it to what the survey says now.

const WRITE_OUT = "…";
const FRACTIONS = ["", "1/16", "1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "11/16", "3/4", "13/16", "7/8", "15/16"];

function shownChoice(word) { return DATA.form.choices[word] || word; }

function controlOf(question, place, id) {
  if (question.kind === "truth") return pickControl([[true, say("Yes")], [false, say("No")]], place, id);
  if (question.kind === "choice") return pickControl(question.choices.map(word => [word, shownChoice(word)]), place, id);
  if (question.kind === "moment" || question.kind === "last day") return momentControl(question, place, id);
  if (question.refersTo) return referenceControl(question, place, id);
  if (question.kind === "zone") return zoneControl(place, id);
  if (["count", "level", "year"].includes(question.kind)) return fieldControl(place, id, { inputmode: question.kind === "level" ? "decimal" : "numeric" });
  if (DATA.form.kinds[question.kind]) return quantityControl(question, place, id);
  return question.identity ? nameControl(place, id) : fieldControl(place, id, {});
}

function pickControl(choices, place, id) {
  const fields = [...choices, [UNKNOWN_WORD, say("Not known")]].map(([value, shown], i) => {
    const field = make("input", { type: "radio", name: id, id: `${id}-${i}`, onchange: () => answer(place, value) });
    return { value, field, label: make("label", { class: "pick", for: `${id}-${i}` }, field, make("span", {}, shown)) };
  });
  const part = make("div", { class: "picks" }, fields.map(one => one.label));
  const show = () => fields.forEach(one => { one.field.checked = valueAt(STATE.doc, place) === one.value; });
  return { part, first: fields[0].field, several: "radiogroup", show };
}

function textField(traits) { return make("input", { type: "text", autocomplete: "off", autocapitalize: "sentences", ...traits }); }

// A field that is written to is left alone until it is left; anything else follows the survey.
function follow(field, text) { if (document.activeElement !== field && field.value !== text) field.value = text; }

function writtenAt(place) {
  const value = valueAt(STATE.doc, place);
  return value === undefined || value === null || typeof value === "object" ? "" : String(value);
}

function fieldControl(place, id, traits) {
  const field = textField({ id, ...traits, oninput: () => answer(place, field.value.trim() || undefined, true) });
  return { part: field, first: field, show: () => follow(field, writtenAt(place)) };
}

function zoneControl(place, id) {
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const zones = Intl.supportedValuesOf ? Intl.supportedValuesOf("timeZone") : [here];
  const field = fieldControl(place, id, { list: `${id}-all`, autocapitalize: "off" });
  const list = make("datalist", { id: `${id}-all` }, zones.map(value => make("option", { value })));
  const take = button(say("This phone's: {zone}", { zone: here }), () => { answer(place, here); });
  return { ...field, part: make("div", { class: "row" }, field.part, list, take) };
}

// The name of a wall or an instrument: none is left without one, and no two have the same.
function nameControl(place, id) {
  const [list, index] = stepsOf(place);
  const field = textField({ id, onchange: () => {
    const [before, name] = [writtenAt(place), field.value.trim()];
    const others = entriesAt(STATE.doc, list).map((entry, i) => (i === index ? "" : String(entry.name)));
    if (!/[\p{L}\p{N}]/u.test(name) || others.includes(name)) {
      announce(say("Each one needs a name of its own. It is still called {name}.", { name: before }));
      field.value = before;
      return;
    }
    renamed(STATE.doc, list, before, name);
    answer(place, name);
  } });
  return { part: field, first: field, show: () => follow(field, writtenAt(place)), lasting: true };
}

function referenceControl(question, place, id) {
  const field = make("select", { id, onchange: () => answer(place, field.value || undefined) });
  const show = () => {
    const names = namesIn(STATE.doc, question.refersTo);
    const value = writtenAt(place);
    const nothing = [["", say("Not stated")]];
    const lost = value && !names.includes(value) ? [[value, say("{name} (not in the list)", { name: value })]] : [];
    field.replaceChildren(...picker([...nothing, ...lost, ...names.map(name => [name, name])]).children);
    field.value = value;
  };
  return { part: field, first: field, show };
}

function ruleControl(_, place, id) {
  const rules = Object.entries(DATA.rules.rules).map(([name, rule]) => [name, rule.title]);
  const field = picker([["", say("None in particular")], ...rules], { id, onchange: () => answer(place, field.value || undefined) });
  return { part: field, first: field, show: () => { field.value = writtenAt(place); } };
}

const WRITTEN_MOMENT = /^(\d{4}-\d\d-\d\d)(?:[ T](\d\d:\d\d)(?::[\d.]+)? ?(Z|[+-]\d\d:\d\d)?)?$/;

function momentControl(question, place, id) {
  const isDay = question.kind === "last day";
  const field = make("input", { id, type: isDay ? "date" : "datetime-local", oninput: () => answer(place, field.value.replace("T", " ") || undefined, true) });
  if (isDay) return { part: field, first: field, show: () => follow(field, writtenAt(place)) };
  const offset = make("span", { class: "offset" });
  const only = button("", () => setForm(field.type !== "date"), { class: "quiet" });
  const now = button(say("Now"), () => answer(place, nowWritten()));
  const setForm = day => {
    const [date, time] = field.value.split("T");
    field.type = day ? "date" : "datetime-local";
    setText(only, day ? say("With the hour") : say("Only the day"));
    if (date && day) { field.value = date; answer(place, date); }
    else if (date && time) field.value = `${date}T${time}`;
  };
  const show = () => {
    const form = WRITTEN_MOMENT.exec(writtenAt(place));
    if (document.activeElement !== field) {
      const day = form ? !form[2] : field.type === "date";
      field.type = day ? "date" : "datetime-local";
      setText(only, day ? say("With the hour") : say("Only the day"));
      const text = form ? form[1] + (day ? "" : `T${form[2]}`) : "";
      if (field.value !== text) field.value = text;
    }
    setText(offset, form && form[3] ? `UTC${form[3] === "Z" ? "" : form[3]}` : "");
  };
  return { part: make("div", { class: "row" }, field, offset, now, only), first: field, show };
}

// -- quantities: a number and a unit, feet with inches, sixteenths; anything else is written out --------------------

function quantityRead(text, units) {
  const known = [...units].sort((a, b) => b.length - a.length).find(unit => text.endsWith(unit));
  if (!known) return units.length > 1 && /^\d+(\.\d+)?$/.test(text) ? { unit: "", number: text, inches: "", part: "", spread: "" } : null;
  const bare = text.slice(0, -known.length).trim();
  const feet = /^(\d+(?:\.\d+)?) ft$/.exec(text) || /^(\d+) ft (?:(\d+(?:\.\d+)?))?(?: ?(\d+\/\d+))? in$/.exec(text);
  if (feet && units.includes("ft")) return { unit: "ft", number: feet[1], inches: feet[2] || "", part: feet[3] || "", spread: "" };
  const one = /^(-?\d*(?:\.\d*)?)(?:(?:^| )(\d+\/\d+))?(?: ?± ?(\d+(?:\.\d+)?|\d+\/\d+))?$/.exec(bare);
  if (!one || (one[2] && known !== "in")) return null;
  const read = { unit: known, number: one[1], inches: "", part: one[2] || "", spread: one[3] || "" };
  return (read.number || read.part) && (!read.part || FRACTIONS.includes(read.part)) ? read : null;
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

function unitAtFirst(question) {
  return preferred(question.path) || (question.units.fits ? "" : preferred(question.kind)) || question.units[unitSystem()];
}

function unitSystem() { return preferred("system") || "us"; }

// A keypad whose only sign for decimals is a comma means a point by it.
function withPoint(text) { return text.trim().replace(/^(-?\d+),(\d{1,2})$/, "$1.$2"); }

function quantityControl(question, place, id) {
  const units = DATA.form.kinds[question.kind];
  let chosen = "";
  const title = `${id}-title`;
  const write = () => {
    const read = Object.fromEntries(Object.entries(fields).map(([name, field]) => [name, withPoint(field.value)]));
    const text = unit.value === WRITE_OUT ? free.value.trim() : quantityWritten({ ...read, unit: unit.value });
    answer(place, text || undefined, true);
  };
  const number = (name, label) => textField({ id: name ? `${id}-${name}` : id, inputmode: "decimal", "aria-labelledby": title, "aria-description": label, oninput: write });
  const fields = { number: number("", say("Number")), inches: number("inches", say("Inches")), part: picker(FRACTIONS.map(part => [part, part || "–"]), { "aria-label": say("Part of an inch"), onchange: write }), spread: number("spread", "±") };
  const free = textField({ "aria-labelledby": title, autocapitalize: "off", oninput: write });
  const unit = picker([...(question.units.scale ? [["", say("Scale")]] : []), ...units.map(name => [name, name]), [WRITE_OUT, say("Write it out")]], { "aria-label": say("Unit"), class: "unit", onchange: () => {
    chosen = unit.value;
    if (chosen && chosen !== WRITE_OUT) { prefer(question.path, chosen); prefer(question.kind, chosen); }
    free.value = writtenAt(place);
    layOut();
    write();
  } });
  const marks = { feet: make("span", {}, "ft"), inches: make("span", {}, "in"), spread: make("span", {}, "±") };
  const more = button("±", () => { fields.spread.hidden = marks.spread.hidden = false; more.hidden = true; fields.spread.focus(); }, { class: "quiet", "aria-label": say("Say how sure the reading is") });
  const layOut = () => {
    const [ft, inch, out] = ["ft", "in", WRITE_OUT].map(name => unit.value === name);
    for (const part of Object.values(fields)) part.hidden = out;
    fields.inches.hidden = marks.feet.hidden = marks.inches.hidden = !ft;
    fields.part.hidden = !(ft || inch);
    marks.spread.hidden = fields.spread.hidden = out || ft || !fields.spread.value;
    more.hidden = out || ft || !question.spreads || !fields.spread.hidden;
    free.hidden = !out;
  };
  const show = () => {
    if (part.contains(document.activeElement)) return;
    const text = writtenAt(place);
    const read = text ? quantityRead(text, units) : { unit: chosen || unitAtFirst(question), number: "", inches: "", part: "", spread: "" };
    unit.value = read ? read.unit : WRITE_OUT;
    free.value = text;
    if (read) for (const [name, field] of Object.entries(fields)) field.value = read[name];
    layOut();
  };
  const part = make("div", { class: "row" }, fields.number, marks.feet, fields.inches, fields.part, marks.inches, free, marks.spread, fields.spread, more, unit);
  if (units.length === 1 && !units[0]) unit.hidden = true;
  return { part, first: fields.number, show };
}
