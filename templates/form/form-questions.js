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
    const isGroup = made.several || made.part !== made.first;
    const head = headOf(question, place, id, isGroup, made);
    const note = make("p", { id: `${id}-note`, class: "note", hidden: true });
    const fault = make("p", { id: `${id}-fault`, class: "fault", hidden: true });
    const sure = button(say("It is so here too"), () => { STATE.copied.delete(place); changed(); });
    (made.several ? made.part : made.first).setAttribute("aria-describedby", `${id}-note ${id}-fault`);
    const named = { role: made.several || "group", "aria-labelledby": `${id}-title` };
    const group = isGroup ? { id: Boolean(made.several) && id, ...named } : {}; // else its first field has the id
    const part = make("div", { class: "ask", ...group }, head.part, head.help, made.part, fault, note, sure);
    const show = wanted => {
      const isWrong = STATE.faults.find(one => one.place === place);
      made.show();
      tell(note, noteOf(place, wanted));
      tell(fault, isWrong ? faultOf(isWrong) : "");
      made.first.setAttribute("aria-invalid", String(Boolean(isWrong)));
      part.classList.toggle("apart", !wanted);
      sure.hidden = !STATE.copied.has(place);
      head.clear.hidden = made.lasting || !isAnswered(STATE.doc, place);
    };
    return { part, first: made.first, show };
  });
}

function noteOf(place, wanted) {
  if (STATE.copied.has(place)) return say("Copied from another wall. Look at it here.");
  return isAnswered(STATE.doc, place) && !wanted ? say("As things stand, this makes no difference.") : "";
}

// What readers say of a fault is English; in another language the question's own help has to do.
function faultOf({ instead }) {
  if (DATA.rules.language === "en") return say("This cannot be read: {instead}.", { instead });
  return say("This cannot be read as it stands. The help shows how to write it.");
}

function headOf({ title, help: text }, place, id, isGroup, made) {
  const bound = isGroup ? {} : { for: id };
  const named = make(isGroup ? "span" : "label", { id: `${id}-title`, class: "title", ...bound }, title);
  const help = make("p", { id: `${id}-help`, class: "help", hidden: true }, text);
  const unfold = () => {
    help.hidden = !help.hidden;
    ask.setAttribute("aria-expanded", String(!help.hidden));
  };
  const traits = { class: "round", "aria-expanded": "false", "aria-controls": help.id, hidden: !text };
  const ask = button("?", unfold, { ...traits, "aria-label": say("Help: {question}", { question: title }) });
  const empty = () => {
    answer(place, undefined);
    made.first.focus();
  };
  const clear = buttonOf(say("Clear"), title, empty, { class: "quiet" });
  if (isGroup && !made.several) made.first.setAttribute("aria-labelledby", `${id}-title`);
  return { help, clear, part: make("div", { class: "head" }, named, clear, ask) };
}
