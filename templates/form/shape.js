// A survey file as plain data, and its shape, refused where yamlio.py and shape.py refuse it.
// A fault is {place, found, instead}: where, what was found, what to write.

const MOST_BYTES = 4000000;
const MOST_NODES = 100000;
const MOST_DEPTH = 40;
const NOT_TEXT = new RegExp( // what is not seen, or turns a text round: UNSEEN in errors.py
  "(?!\\r)[\\x00-\\x08\\x0b-\\x1f\\x7f-\\x9f\\xad\\u034f\\u061c\\u115f\\u1160\\u17b4\\u17b5\\u180b-\\u180f\\u200b-\\u200f\\u2028-\\u202e" +
  "\\u2060-\\u206f\\u3164\\ud800-\\udfff\\ufeff\\uffa0\\ufff0-\\ufffb\\ufffe\\uffff\\u{1d173}-\\u{1d17a}\\u{e0000}-\\u{e0fff}]", "u");
const TOKEN = /"(?:[^"\\]|\\.)*"|[{}[\]]|[^\s{}[\],:"]+/g;
const NOT_YAML = /"\s*[\r\n]\s*:|^\s*\t/; // a colon on a line of its own, a tab before all else
const TOO_DEEP = `is nested over ${MOST_DEPTH} levels deep`;

// The bytes of a JSON file as {doc, faults}; a number stays as it is written, and no key may come twice.
function readDocument(bytes) {
  const whole = (found, instead) => ({ doc: null, faults: [{ place: "", found, instead }] });
  if (bytes.byteLength > MOST_BYTES) return whole("is over 4,000,000 bytes", "split it or take out what is not asked");
  try {
    const text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    const odd = NOT_TEXT.exec(text);
    if (odd) return whole(notText(odd[0]), "take it out");
    JSON.parse(text);
    if (NOT_YAML.test(text)) throw new SyntaxError();
    const faults = [];
    return { doc: grown(text.match(TOKEN)[Symbol.iterator](), [], faults), faults };
  } catch (error) {
    if (error instanceof SyntaxError) return whole("is no survey that a form saved", "open a file that the form saved");
    if (error instanceof RangeError) return whole(TOO_DEEP, "write it with fewer levels");
    if (error instanceof TypeError) return whole("is not UTF-8 text", "save the file as UTF-8");
    throw error;
  }
}

// The tree of a text that JSON.parse has found sound, from its tokens; `undefined` where a list ends.
function grown(tokens, path, faults) {
  const token = tokens.next().value;
  if (token === "{") return grownGroup(tokens, path, faults);
  if (token === "[") {
    const list = [];
    for (let part; (part = grown(tokens, [...path, list.length], faults)) !== undefined;) list.push(part);
    return list;
  }
  if (token === "]") return undefined;
  if (token.startsWith('"')) return textOf(token, path, faults);
  return ["true", "false", "null"].includes(token) ? JSON.parse(token) : token;
}

function grownGroup(tokens, path, faults) {
  const group = Object.create(null);
  for (let token; (token = tokens.next().value) !== "}";) {
    const key = JSON.parse(token);
    const here = [...path, key];
    const part = grown(tokens, here, faults);
    if (key in group) faults.push({ place: showPath(here), found: "is written twice", instead: "keep one of the two" });
    else group[key] = part;
  }
  return group;
}

function textOf(token, path, faults) {
  if (/\\u[dD][89a-fA-F]/.test(token)) { // the desk takes no half of a sign
    faults.push({ place: showPath(path), found: "has a sign written in two halves", instead: "write the sign itself" });
  }
  return JSON.parse(token);
}

// What no document may hold, whatever its shape: signs that are no text, too many entries, too deep.
function documentFaults(doc) {
  const faults = [];
  let nodes = 0;
  const walk = (node, path) => {
    nodes += 1;
    const odd = typeof node === "string" && NOT_TEXT.exec(node);
    if (odd) faults.push({ place: showPath(path), found: notText(odd[0]), instead: "take it out" });
    if (path.length > MOST_DEPTH) faults.push({ place: "", found: TOO_DEEP, instead: "write it with fewer levels" });
    else for (const [key, part] of partsIn(node)) walk(part, [...path, key]);
  };
  walk(doc, []);
  if (nodes > MOST_NODES) {
    faults.push({ place: "", found: "holds over 100,000 entries", instead: "take out what is not asked" });
  }
  return faults;
}

function notText(sign) {
  return `has the character U+${sign.codePointAt(0).toString(16).toUpperCase().padStart(4, "0")}, which is not text`;
}

// What stands in a group or list, each with its key or number.
function partsIn(node) {
  if (Array.isArray(node)) return node.map((part, i) => [i, part]);
  return isGroup(node) ? Object.entries(node) : [];
}

function isGroup(node) { return typeof node === "object" && node !== null && !Array.isArray(node); }

// The document with every answer left out that is empty or `unknown`; list entries stay, to be counted.
function withoutUnknown(node) {
  if (Array.isArray(node)) return node.map((part) => (part === null ? {} : withoutUnknown(part)));
  if (isGroup(node)) {
    const known = Object.entries(node).map(([key, part]) => [key, withoutUnknown(part)]);
    return Object.fromEntries(known.filter(([, part]) => part !== null));
  }
  if (typeof node === "number") return String(node);
  return typeof node === "string" && onOneLine(node).toLowerCase() === "unknown" ? null : node;
}

// Every way in which `node` is not of `shape`, told to `fault(path, found, instead)`.
function checkShape(shape, node, path, advice, fault) {
  if (shape.group) return checkGroup(shape, node, path, advice, fault);
  if (shape.list) {
    if (!Array.isArray(node)) return fault(path, `is ${shown(node)}`, 'write a list, each entry starting with "- "');
    return node.forEach((part, i) => checkShape(shape.list, part, [...path, i], advice, fault));
  }
  if (shape.truth) return typeof node === "boolean" ? null : fault(path, `is ${shown(node)}`, advice.truth);
  const isListed = !shape.choices.length || shape.choices.includes(node);
  if (typeof node === "string" && isListed) return null;
  return fault(path, `is ${shown(node)}`, textAdvice(shape, node, advice));
}

function checkGroup(shape, node, path, advice, fault) {
  if (!isGroup(node)) {
    const where = path.length ? " below it, indented" : "";
    return fault(path, `is ${shown(node)}`, `write entries${where}, each with a colon, such as ${shape.first}:`);
  }
  const names = Object.keys(shape.group);
  const many = "take it out, or look for its name in the questions of the survey";
  const unasked = names.length > 12 ? many : `write one of: ${names.join(", ")}`;
  for (const [key, part] of Object.entries(node)) {
    if (Object.hasOwn(shape.group, key)) checkShape(shape.group[key], part, [...path, key], advice, fault);
    else fault([...path, key], "is not asked here", unasked);
  }
  for (const [key, instead] of Object.entries(shape.required)) {
    if (!Object.hasOwn(node, key)) fault(path, `has no ${key}`, instead);
  }
}

function textAdvice(shape, node, advice) {
  if (shape.choices.length) return `write one of: ${shape.choices.join(", ")}`;
  if (shape.text !== "text") return advice[shape.text];
  return typeof node === "boolean" ? "write it in quotes, so that it stays text" : "write one text";
}

function shown(node) {
  if (node === null) return "empty";
  if (typeof node === "boolean") return node ? "yes" : "no";
  return isGroup(node) ? "a group of entries" : Array.isArray(node) ? "a list" : quoted(node);
}

// `text` in double quotes on one line, signs that nobody sees escaped, cut to 60.
function quoted(text) {
  const signs = [...[...text].map(escaped).join("")];
  return signs.length <= 60 ? `"${signs.join("")}"` : `"${signs.slice(0, 60).join("")}…"`;
}

function escaped(sign) {
  if (sign === '"') return '\\"';
  if (sign === " " || !/[\p{C}\p{Z}]/u.test(sign)) return sign;
  const named = { "\t": "\\t", "\n": "\\n", "\r": "\\r" }[sign];
  const code = sign.codePointAt(0).toString(16);
  const [letter, width] = code.length > 4 ? ["U", 8] : code.length > 2 ? ["u", 4] : ["x", 2];
  return named || `\\${letter}${code.padStart(width, "0")}`;
}

// ["walls", 0, "name"] as walls[0].name; a key that is no plain word is quoted, as in [" "].
function showPath(path) {
  return path.reduce((place, part) => {
    if (typeof part === "number") return `${place}[${part}]`;
    if (!/^[_-]*[\p{L}\p{N}][\p{L}\p{N}_-]*$/u.test(part)) return `${place}[${quoted(part)}]`;
    return place ? `${place}.${part}` : part;
  }, "");
}
