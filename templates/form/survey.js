// Reads a filled-in survey as survey_reader.py does: its shape, each answer by its question, every fault at once.
// A survey is {zone, space, others, kinds}; an answer is {place, value}; words are {words: Set or null, written}.

function readSurvey(data, doc) {
  const broken = documentFaults(doc);
  if (broken.length) return { survey: null, faults: broken };
  const reader = newReader(data.survey, doc);
  const known = withoutUnknown(doc);
  checkShape(data.survey.shape, known, [], data.survey.advice, reader.fault);
  const survey = isGroup(known) ? surveyOf(reader, known) : null;
  const faults = inWrittenOrder(reader.faults, doc);
  return { survey: faults.length ? null : survey, faults };
}

// What one reading carries along: the questions by whom they are about and the list they stand in, and faults so far.
function newReader(asked, doc) {
  const faults = [];
  const fault = (path, found, instead) => { faults.push({ path, place: showPath(path), found, instead }); };
  const groups = new Map();
  for (const question of asked.questions) {
    const key = `${question.about} ${question.roll}`;
    groups.set(key, [...(groups.get(key) || []), question]);
  }
  const kinds = readKinds(asked.units);
  return { asked, groups, doc, kinds, zone: null, lent: new Map(), withoutZone: [], faults, fault };
}

function surveyOf(reader, data) {
  readZone(reader, data);
  if (Object.hasOwn(reader.doc, "overlays") && !Object.hasOwn(data, "overlays")) {
    reader.fault(["overlays"], "does not say which", "write a list of files, or take it out");
  }
  const named = entriesOf(reader, data, "instruments", "space", []);
  for (const entry of named.entries) if (entry.has("name")) reader.lent.set(entry.get("name").value.written, entry);
  const space = subjectOf(reader, data, "space", []);
  const others = othersOf(reader, data, space);
  for (const [path, entries] of seenFromSpace(reader, others)) space.rolls.set(path, entries);
  askForZone(reader);
  return { zone: reader.zone, space, others, kinds: reader.kinds };
}

function readZone(reader, data) {
  if (typeof data.time_zone !== "string") return;
  reader.zone = findZone(data.time_zone);
  if (reader.zone) return;
  reader.fault(["time_zone"], `is ${quoted(data.time_zone)}`, "write an IANA name such as America/Chicago");
  reader.zone = findZone("UTC"); // so that the other moments are still looked at
}

// One fault for all local times of a survey without a zone, at the first of them.
function askForZone(reader) {
  if (!reader.withoutZone.length) return;
  const order = placesInOrder(reader.doc);
  const [first, ...others] = reader.withoutZone.sort((a, b) => order.get(showPath(a)) - order.get(showPath(b)));
  const rest = others.length ? ` (and so are ${others.map(showPath).join(", ")})` : "";
  const advice = "write time_zone: and an IANA name such as America/Chicago, or put the offset behind each time";
  reader.fault(first, `is a time of the site's own clock, and time_zone is not given${rest}`, advice);
}

function subjectOf(reader, data, about, path) {
  const asked = reader.groups.get(`${about} `);
  const answers = answersOf(reader, data, asked, path, "");
  const rolls = new Map();
  for (const roll of reader.asked.rolls) {
    if (roll.about === about && !roll.subject) rolls.set(roll.path, entriesOf(reader, data, roll.path, about, path));
  }
  refuseContradictions(reader, asked, answers, path);
  const name = answers.has("name") ? answers.get("name").value.written : about;
  return { about, name, place: showPath(path), answers, rolls, listed: true, declared: null, countedBy: "" };
}

// A question that is asked only where another is answered yes must not be answered where that is no.
function refuseContradictions(reader, asked, answers, path) {
  for (const question of asked) {
    const lead = answers.get(question.follows);
    if (!lead || !answers.has(question.path) || !["no", "none"].includes(lead.value.written)) continue;
    const found = `is answered, but ${lead.place} is ${lead.value.written}`;
    reader.fault([...path, ...question.path.split(".")], found, "put one of the two right, or take this one out");
  }
}

function othersOf(reader, data, space) {
  return reader.asked.rolls.filter((roll) => roll.subject).flatMap((roll) => {
    const about = roll.subject;
    const parts = listAt(data, roll.path).map((part) => (isGroup(part) ? part : {}));
    const subjects = parts.map((part, i) => subjectOf(reader, part, about, [roll.path, i]));
    refuseSameNames(reader, subjects.map((subject) => subject.answers), [roll.path]);
    const { complete, most } = completenessOf(reader, subjects.length, roll.countedBy, space.answers, []);
    if (complete && subjects.length) return subjects;
    const nothing = { answers: new Map(), rolls: new Map(), listed: false, declared: most, countedBy: roll.countedBy };
    return [...subjects, { about, name: `${about}s not written down`, place: roll.path, ...nothing }];
  });
}

// Each list of subjects, as a fact about the space sees it.
function seenFromSpace(reader, others) {
  return reader.asked.rolls.filter((roll) => roll.subject).map((roll) => {
    const kin = others.filter((subject) => subject.about === roll.subject);
    const entries = kin.filter((subject) => subject.listed).map((subject) => subject.answers);
    const rest = kin.find((subject) => !subject.listed);
    return [roll.path, { place: roll.path, entries, complete: !rest, most: rest ? rest.declared : entries.length }];
  });
}

function listAt(data, name) { return Array.isArray(data[name]) ? data[name] : []; }

function entriesOf(reader, data, name, about, path) {
  const asked = reader.groups.get(`${about} ${name}`) || [];
  const entries = listAt(data, name).map((part, i) => entryOf(reader, asked, part, name, [...path, name, i]));
  if (name === "instruments") refuseSameNames(reader, entries, [...path, name]);
  const place = showPath([...path, name]);
  const { countedBy } = reader.asked.rolls.find((roll) => roll.about === about && roll.path === name);
  if (!countedBy) return { place, entries, complete: false, most: null };
  const count = reader.groups.get(`${about} `).filter((question) => question.path === countedBy);
  const counts = answersOf({ ...reader, fault: () => null, withoutZone: [] }, data, count, path, "");
  return { place, entries, ...completenessOf(reader, entries.length, countedBy, counts, path) };
}

// One entry of a list, with what the instrument that it names lends to it.
function entryOf(reader, asked, part, name, path) {
  const found = answersOf(reader, isGroup(part) ? { [name]: part } : {}, asked, path, name);
  for (const question of asked) {
    if (question.refersTo !== "instruments" || !found.has(question.path)) continue;
    const lent = reader.lent.get(found.get(question.path).value.written) || new Map();
    for (const [key, answer] of lent) found.set(`${question.path}.${key}`, answer);
  }
  refuseBetterThanInstrument(reader, asked, found, path, name);
  return new Map([...found].map(([key, answer]) => [key.slice(name.length + 1), answer]));
}

// A reading cannot be known better than the instrument that took it.
function refuseBetterThanInstrument(reader, asked, found, path, roll) {
  for (const question of asked.filter((q) => q.measuredWith && found.has(q.path))) {
    const { value } = found.get(question.path);
    if (!("low" in value) || !statesUncertainty(value.written)) continue;
    const kind = value.kind.replace("%", "").replace(" ", "_").toLowerCase();
    const stated = found.get(`${roll}.${question.measuredWith}.uncertainty.${kind}`);
    const [natural, width] = [reader.kinds[value.kind], subtracted(value.high, value.low)];
    const isCut = isSame(value.low, natural.low) || isSame(value.high, natural.high);
    const least = stated && "low" in stated.value ? stated.value.low : ZERO;
    if (signOf(width) !== 0 && !isLess(width, isCut ? least : added(least, least))) continue;
    const than = stated ? `its instrument, ± ${stated.value.written}` : "any instrument";
    const place = [...path, ...question.path.split(".").slice(1)];
    reader.fault(place, `is ${quoted(value.written)}, better than ${than}`, "write that ±, or none at all");
  }
}

// Whether a list of `count` entries is known to hold every one there is, and how many there can be at most.
function completenessOf(reader, count, countedBy, answers, path) {
  const declared = answers.get(countedBy);
  if (!declared || !("low" in declared.value)) return { complete: false, most: null };
  const most = Number(declared.value.high.n);
  if (most < count) {
    const [verb, extra] = [count === 1 ? "is" : "are", count - most === 1 ? "one" : "ones"];
    const found = `is ${most}, but ${count} ${verb} written down`;
    reader.fault([...path, countedBy], found, `write ${count}, or take the extra ${extra} out`);
  }
  return { complete: most === count, most };
}

// What a name looks like, as lookalikes.py tells it.
function lookOf(alike, name) {
  const letters = new Map(alike.flatMap(([signs, looks]) => [...signs].map((sign, i) => [sign, [...looks][i]])));
  const bare = name.normalize("NFKD").replace(/[\ufe0e\ufe0f]/g, "");
  return onOneLine([...bare].map((sign) => letters.get(sign) ?? sign).join(""));
}

function refuseSameNames(reader, entries, path) {
  const seen = new Map();
  const reserved = reader.asked.reserved.map((name) => lookOf(reader.asked.alike, name));
  entries.forEach((answers, i) => {
    if (!answers.has("name")) return;
    const name = answers.get("name").value.written;
    const fault = (found, instead) => reader.fault([...path, i, "name"], `is ${quoted(name)}, ${found}`, instead);
    const look = lookOf(reader.asked.alike, name);
    if (reserved.includes(look)) fault("which reports use themselves", "give it another name");
    if (!seen.has(look)) return void seen.set(look, i);
    const first = seen.get(look);
    const isSame = entries[first].get("name").value.written === name;
    const other = `${showPath([...path, first])}.name`;
    return fault(isSame ? `as ${other} is` : `which looks like ${other}`, "give each its own name");
  });
}

function answersOf(reader, data, asked, path, roll) {
  const answers = new Map();
  for (const question of asked) {
    const parts = question.path.split(".");
    const node = parts.reduce((group, part) => (isGroup(group) ? group[part] ?? null : null), data);
    if (node === null || typeof node === "object") continue;
    const place = [...path, ...(roll ? parts.slice(1) : parts)];
    const value = valueOf(reader, question, node, place);
    if (value) answers.set(question.path, { place: showPath(place), value });
  }
  return answers;
}

function valueOf(reader, question, node, place) {
  if (typeof node === "boolean") return question.kind === "truth" ? oneWord(node ? "yes" : "no") : null;
  try {
    return readAnswer(reader.kinds, question, node, reader.zone);
  } catch (error) {
    if (!("instead" in error)) throw error;
    if (error.needsZone) reader.withoutZone.push(place);
    else reader.fault(place, `is ${quoted(node)}`, error.instead);
    return null;
  }
}

// The text of one answer by the kind of its question; null where the shape check speaks.
function readAnswer(kinds, question, text, zone) {
  const { kind, choices } = question;
  if (kind === "moment") return parseMoment(text, zone);
  if (kind === "last day") return parseLastDay(text, zone);
  if (["count", "level", "year"].includes(kind)) return plainNumber(kinds, question, text);
  if (kind === "choice") return choices.includes(text) ? oneWord(text) : null;
  if (kind === "truth") return text === "yes" || text === "no" ? oneWord(text) : null;
  if (kind === "clock") return clockNamed(text);
  return kind === "text" || kind === "zone" ? freeText(text) : quantityAnswer(kinds, question, text);
}

function oneWord(word) { return { words: new Set([word]), written: word }; }

function freeText(text) {
  if ([...onOneLine(text)].length > 1000) refuse("write it in 1,000 characters or less");
  if (!/[\p{L}\p{N}]/u.test(text)) refuse("write it in letters or digits, or leave it out");
  return oneWord(onOneLine(text));
}

function clockNamed(text) {
  const name = onOneLine(text);
  if (!isClock(name)) refuse("write site, an IANA name such as America/Chicago, or an offset such as -06:00");
  return oneWord(name);
}

function plainNumber(kinds, { kind, minimum, maximum }, text) {
  const value = parseQuantity(kinds, text, "number");
  if (kind !== "level" && !(isSame(value.low, value.high) && value.low.d === 1n)) refuse("write one whole number");
  const isUnder = minimum !== null && isLess(value.low, wholeNumber(minimum));
  if (isUnder || (maximum !== null && isLess(wholeNumber(maximum), value.high))) {
    const one = maximum === null ? `write ${minimum} or more` : `write ${maximum} or less`;
    refuse(minimum !== null && maximum !== null ? `write a number from ${minimum} to ${maximum}` : one);
  }
  return value;
}

function quantityAnswer(kinds, { kind, path, minimum, overZero }, text) {
  const value = parseQuantity(kinds, text, kind);
  if (`.${path}`.includes(".uncertainty.") && isAtMost(value.low, ZERO)) {
    refuse("write what its certificate or data sheet says, over nothing");
  }
  if (overZero && (isAtMost(value.high, ZERO) || isLess(value.low, ZERO))) {
    refuse("write what was measured, over zero, or leave it out");
  }
  if (minimum !== null && isLess(value.low, wholeNumber(minimum))) refuse(`write ${minimum} ${value.unit} or more`);
  return value;
}

// Faults in the order of their places in the document, each once.
function inWrittenOrder(faults, doc) {
  if (!faults.length) return [];
  const order = placesInOrder(doc);
  const rank = (path) => order.get(showPath(path)) ?? rank(path.slice(0, -1));
  const said = new Map(faults.map(({ path, ...fault }) => [JSON.stringify(fault), { fault, rank: rank(path) }]));
  return [...said.values()].sort((a, b) => a.rank - b.rank).map(({ fault }) => fault);
}

// The number of each place of the document, as it is written from top to bottom.
function placesInOrder(doc) {
  const order = new Map();
  const walk = (node, path) => {
    order.set(showPath(path), order.size);
    for (const [key, part] of partsIn(node)) walk(part, [...path, key]);
  };
  walk(doc, []);
  return order;
}
