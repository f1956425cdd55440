// One control for each kind of question. Each is {part, first, show}: `show` sets it to what the survey says now.

function shownChoice(word) { return DATA.form.choices[word] || word; }

function controlOf(question, place, id) {
  const { kind, choices } = question;
  if (kind === "truth") return pickControl([[true, say("Yes")], [false, say("No")]], place, id);
  if (kind === "choice") return pickControl(choices.map(word => [word, shownChoice(word)]), place, id);
  if (kind === "moment" || kind === "last day") return momentControl(question, place, id);
  if (question.refersTo) return referenceControl(question, place, id);
  if (kind === "zone") return zoneControl(place, id);
  if (kind === "count" || kind === "year") return fieldControl(place, id, { inputmode: "numeric" });
  if (kind === "level") return fieldControl(place, id, { inputmode: "decimal" });
  if (DATA.form.kinds[kind]) return quantityControl(question, place, id);
  return question.identity ? nameControl(place, id) : fieldControl(place, id, {});
}

function pickControl(choices, place, id) {
  const fields = [...choices, [UNKNOWN_WORD, say("Not known")]].map(([value, shown], i) => {
    const own = `${id}-${i}`;
    const field = make("input", { type: "radio", name: id, id: own, onchange: () => answer(place, value) });
    return { value, field, label: make("label", { class: "pick", for: own }, field, make("span", {}, shown)) };
  });
  const part = make("div", { class: "picks" }, fields.map(one => one.label));
  const show = () => fields.forEach(one => { one.field.checked = valueAt(STATE.doc, place) === one.value; });
  return { part, first: fields[0].field, several: "radiogroup", show };
}

function textField(traits) {
  return make("input", { type: "text", autocomplete: "off", autocapitalize: "sentences", ...traits });
}

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
  const take = button(say("This phone's: {zone}", { zone: here }), () => answer(place, here));
  return { ...field, part: make("div", { class: "row" }, field.part, list, take) };
}

// The name of a wall or an instrument: none is left without one, and no two have the same.
function nameControl(place, id) {
  const [list, index] = stepsOf(place);
  const rename = () => {
    const [before, name] = [writtenAt(place), field.value.trim()];
    const others = entriesAt(STATE.doc, list).map((entry, i) => (i === index ? "" : String(entry.name)));
    if (/[\p{L}\p{N}]/u.test(name) && !others.includes(name)) {
      renamed(STATE.doc, list, before, name);
      answer(place, name);
    } else {
      announce(say("Each one needs a name of its own. It is still called {name}.", { name: before }));
      field.value = before;
    }
  };
  const field = textField({ id, onchange: rename });
  return { part: field, first: field, show: () => follow(field, writtenAt(place)), lasting: true };
}

function referenceControl(question, place, id) {
  const field = make("select", { id, onchange: () => answer(place, field.value || undefined) });
  const show = () => {
    const [value, names] = [writtenAt(place), namesIn(STATE.doc, question.refersTo)];
    const lost = value && !names.includes(value) ? [[value, say("{name} (not in the list)", { name: value })]] : [];
    const choices = [["", say("Not stated")], ...lost, ...names.map(name => [name, name])];
    field.replaceChildren(...picker(choices).children);
    field.value = value;
  };
  return { part: field, first: field, show };
}

function ruleControl(_, place, id) {
  const rules = Object.values(DATA.rules.rules).map(rule => [rule.name, rule.title]);
  const onchange = () => answer(place, field.value || undefined);
  const field = picker([["", say("None in particular")], ...rules], { id, onchange });
  return { part: field, first: field, show: () => { field.value = writtenAt(place); } };
}

const WRITTEN_MOMENT = /^(\d{4}-\d\d-\d\d)(?:[ T](\d\d:\d\d)(?::[\d.]+)? ?(Z|[+-]\d\d:\d\d)?)?$/;

function momentControl(question, place, id) {
  const oninput = () => answer(place, field.value.replace("T", " ") || undefined, true);
  const field = make("input", { id, type: question.kind === "last day" ? "date" : "datetime-local", oninput });
  if (field.type === "date") return { part: field, first: field, show: () => follow(field, writtenAt(place)) };
  const offset = make("span", {});
  const only = button("", () => setForm(field.type !== "date"), { class: "quiet" });
  const takeForm = day => {
    field.type = day ? "date" : "datetime-local";
    setText(only, day ? say("With the hour") : say("Only the day"));
  };
  const setForm = day => {
    const [date] = field.value.split("T");
    takeForm(day);
    field.value = day ? date : "";
    if (date) answer(place, day ? date : undefined);
  };
  const show = () => {
    const form = WRITTEN_MOMENT.exec(writtenAt(place));
    setText(offset, form && form[3] ? `UTC${form[3].replace("Z", "")}` : "");
    if (document.activeElement === field) return;
    takeForm(form ? !form[2] : field.type === "date");
    follow(field, form ? form[1] + (form[2] ? `T${form[2]}` : "") : "");
  };
  const now = button(say("Now"), () => answer(place, nowWritten()));
  return { part: make("div", { class: "row" }, field, offset, now, only), first: field, show };
}
