// Parts of the page, made by hand: what a survey or a rule set says is always set as text, never as markup.

function say(text, parts = {}) {
  const told = DATA.words[text] || text;
  return told.replace(/\{(\w+)\}/g, (all, name) => (Object.hasOwn(parts, name) ? parts[name] : all));
}

function sayMany(one, many, count) { return say(count === 1 ? one : many, { count }); }

// An element with its traits (those that are functions are what it does) and what stands inside it.
function make(tag, traits, ...inside) {
  const part = document.createElement(tag);
  for (const [name, trait] of Object.entries(traits || {})) {
    if (typeof trait === "function") part.addEventListener(name.slice(2), trait);
    else if (trait !== false && trait !== undefined) part.setAttribute(name, trait === true ? "" : trait);
  }
  part.append(...inside.flat(2).filter(one => one !== null && one !== undefined && one !== false && one !== ""));
  return part;
}

function paragraph(...inside) { return make("p", {}, ...inside); }

function button(text, onclick, traits) { return make("button", { type: "button", onclick, ...traits }, text); }

// A button whose short text says to the ear what it is for.
function buttonOf(text, of, onclick, traits) {
  return button(text, onclick, { "aria-label": `${text}: ${of}`, ...traits });
}

function picker(choices, traits) {
  return make("select", traits, choices.map(([value, shown]) => make("option", { value }, shown)));
}

function byId(id) { return document.getElementById(id); }

// Puts `wanted` into `box` in that order, moving nothing that stays, so that no field loses the focus.
function arrange(box, wanted) {
  const stays = new Set(wanted);
  for (const part of [...box.children]) if (!stays.has(part)) part.remove();
  wanted.forEach((part, i) => { if (box.children[i] !== part) box.insertBefore(part, box.children[i] || null); });
}

function setText(part, text) { if (part.textContent !== text) part.textContent = text; }

// A text that is there only where there is something to say.
function tell(part, text) {
  setText(part, text);
  part.hidden = !text;
}
