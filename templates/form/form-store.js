// What this phone keeps: one key a survey, and what units were used last. Nothing leaves the phone from here.

const KEPT = "wallwalk.survey.";

function keptText(key) {
  try { return localStorage.getItem(key); } catch { return null; }
}

// Whether the phone kept it: private browsing and full storage both refuse.
function keep(key, text) {
  try { localStorage.setItem(key, text); return localStorage.getItem(key) === text; } catch { return false; }
}

function drop(key) {
  try { localStorage.removeItem(key); } catch { /* what cannot be kept need not be dropped */ }
}

function readKept(text) {
  try {
    const kept = JSON.parse(text);
    return isGroup(kept) && isGroup(kept.doc) ? kept : null;
  } catch { return null; }
}

// Every survey on this phone, the one changed last first.
function keptSurveys() {
  const found = [];
  try {
    for (let i = 0; i < localStorage.length; i++) {
      const key = localStorage.key(i);
      const kept = key.startsWith(KEPT) ? readKept(localStorage.getItem(key)) : null;
      if (kept) found.push({ id: key.slice(KEPT.length), ...kept });
    }
  } catch { /* storage that is refused holds nothing */ }
  return found.sort((a, b) => (a.changed < b.changed ? 1 : -1));
}

function newId() { return `${Date.now().toString(36)}${Math.random().toString(36).slice(2, 8)}`; }

function save() {
  STATE.changed = new Date().toISOString();
  const { id, doc, copied, changed: at } = STATE;
  STATE.kept = keep(KEPT + id, JSON.stringify({ doc, copied: [...copied], changed: at }));
}

function preferred(name) { return keptText(`wallwalk.unit.${name}`); }

function prefer(name, unit) { keep(`wallwalk.unit.${name}`, unit); }
