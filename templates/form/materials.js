// The measures of materials, as packing.py, sheets.py and material_measures.py have them: the fewest pieces for given
// cuts, sheets that keep their top, adhesive from the trowel's notch. Counts are BigInt; a wall is {length, height}.

const EXACT_CUTS = 10; // up to so many cuts shorter than the stock are packed in every way there is
const MOST_SETS = 200; // so many sets of pieces, alike ones counted once, are tried by cuts straight through
const MOST_ROWS = 500n; // more rows than that are not stacked one by one
const MOST_CUTS = 2000; // with so many cuts, every cut is counted a piece of its own

// -- packing.py

// The fewest pieces of `stock` for `cuts`, none longer than it: no fewer than the first, no more than the second.
function fewest(cuts, stock) {
  const bottom = [stock, ...cuts].reduce((d, cut) => d * fraction(cut.d, d).n, 1n); // one for all, so that they are whole
  const [full, ...sizes] = [stock, ...cuts].map((cut) => cut.n * (bottom / cut.d));
  const taken = BigInt(sizes.filter((size) => size === full).length);
  const parts = sizes.filter((size) => 0n < size && size < full).sort((a, b) => (a < b ? 1 : a > b ? -1 : 0));
  let [low, high] = [atLeast(parts, full), firstFit(parts, full)];
  if (low < high && parts.length <= EXACT_CUTS) low = high = searched(parts, full, high);
  return [taken + BigInt(low), taken + BigInt(high)];
}

function atLeast(parts, stock) {
  const long = parts.filter((part) => 2n * part > stock).length;
  const sum = parts.reduce((a, b) => a + b, 0n);
  return Math.max(long, Number((sum + stock - 1n) / stock));
}

// The longest first, each from the first piece that has room for it.
function firstFit(parts, stock) {
  const room = [];
  for (const part of parts) {
    const i = room.findIndex((left) => part <= left);
    if (i < 0) room.push(stock - part);
    else room[i] -= part;
  }
  return room.length;
}

// The fewest of all ways to take `parts`, which no more than `best` pieces are known to do.
function searched(parts, stock, best) {
  const place = (at, room) => {
    if (room.length >= best) return;
    if (at === parts.length) { best = room.length; return; }
    const part = parts[at];
    room.forEach((left, i) => { // pieces with the same room left are one choice
      if (part <= left && room.indexOf(left) === i) place(at + 1, room.map((r, k) => (k === i ? r - part : r)));
    });
    place(at + 1, [...room, stock - part]);
  };
  place(0, []);
  return best;
}

// -- packing.py: sheets by cuts straight through

// The fewest of `sheet` for `pieces`, each a width and a length no more than its; null where they are too many.
function fewestCutThrough(pieces, sheet) {
  const bottom = [sheet, ...pieces].flat().reduce((d, side) => d * fraction(side.d, d).n, 1n);
  const [full, ...all] = [sheet, ...pieces].map((size) => size.map((side) => side.n * (bottom / side.d)));
  const kinds = new Map(); // alike ones counted once
  for (const size of all) kinds.set(String(size), { size, count: (kinds.get(String(size))?.count ?? 0) + 1 });
  const whole = kinds.get(String(full))?.count ?? 0;
  kinds.delete(String(full));
  const [sizes, counts] = [[...kinds.values()].map((kind) => kind.size), [...kinds.values()].map((kind) => kind.count)];
  if (counts.reduce((sets, count) => sets * (count + 1), 1) > MOST_SETS) return null;
  const [boxes, needed] = [new Map(), new Map()];
  for (const set of setsWithin(counts)) {
    const parts = partingsOf(set).map(([one, other]) => [String(one), String(other)]);
    const found = boxesOf(set, sizes, parts, boxes, full);
    boxes.set(String(set), found);
    const shared = () => Math.min(...parts.filter(([one]) => boxes.get(one).length).map(([, other]) => 1 + needed.get(other)));
    needed.set(String(set), set.every((count) => !count) ? 0 : found.length ? 1 : shared());
  }
  return BigInt(whole + needed.get(String(counts)));
}

// Every set of so many of each kind or fewer, smaller ones first.
function setsWithin(counts) {
  return counts.reduce((sets, count) => sets.flatMap((set) => [...Array(count + 1).keys()].map((n) => [...set, n])), [[]]);
}

// Every way to part a set in two; each way is met twice, once from either side.
function partingsOf(set) {
  return setsWithin(set).map((one) => [one, set.map((count, i) => count - one[i])])
    .filter((halves) => halves.every((half) => half.some((count) => count)));
}

// The smallest boxes within a sheet that the pieces fill: none of them has room for another.
function boxesOf(set, sizes, parts, boxes, [width, length]) {
  const count = set.reduce((a, b) => a + b, 0);
  if (count === 1) return [sizes[set.indexOf(1)]];
  const area = sizes.reduce((sum, [w, l], i) => sum + BigInt(set[i]) * w * l, 0n);
  if (!count || area > width * length) return [];
  const found = new Map();
  for (const [one, other] of parts) {
    for (const a of boxes.get(one)) for (const b of boxes.get(other)) {
      for (const box of [[a[0] + b[0], larger(a[1], b[1])], [larger(a[0], b[0]), a[1] + b[1]]]) {
        if (box[0] <= width && box[1] <= length) found.set(String(box), box);
      }
    }
  }
  const all = [...found.values()];
  return all.filter((a) => !all.some((b) => b !== a && b[0] <= a[0] && b[1] <= a[1]));
}

// -- sheets.py

// One wall from end to end: whole sheets side by side, and the widths of the strips cut beside them.
function strips(run, sheet) {
  const side = floored(divided(run.length, sheet.width));
  const rest = subtracted(run.length, times(fraction(side), sheet.width));
  if (isSame(rest, ZERO) || side === 0n || isAtMost(sheet.leastStrip, rest)) return [side, isSame(rest, ZERO) ? [] : [rest]];
  return [side - 1n, [subtracted(added(sheet.width, rest), sheet.leastStrip), sheet.leastStrip]];
}

function sheetsAtLeast(runs, sheet) {
  const area = summed(runs.map((run) => times(run.length, run.height)));
  const rows = levels(runs, sheet).map(([part, per]) => roundedUp(rowsAtLeast(part, sheet), per));
  return [ceiled(divided(area, times(sheet.width, sheet.length))), ...rows, 0n].reduce(larger);
}

// So many are surely enough, no offcut used beside another strip. Null where a wall is higher than a sheet.
function sheetsWithoutOffcuts(runs, sheet) {
  const tallest = most([ZERO, ...runs.map((run) => run.height)]);
  if (isLess(sheet.length, tallest) || isLess(sheet.width, times(whole(2), sheet.leastStrip))) return null;
  const rows = runs.reduce((sum, run) => sum + ceiled(divided(run.length, sheet.width)), 0n);
  return isSame(tallest, ZERO) ? 0n : roundedUp(rows, floored(divided(sheet.length, tallest)));
}

// The fewest sheets cut so: no fewer than the first, no more than the second. Null where no number will do.
function sheetsPlanned(runs, sheet) {
  const enough = sheetsWithoutOffcuts(runs, sheet);
  if (enough === null) return null;
  let [low, high] = [sheetsAtLeast(runs, sheet), enough];
  for (const [part, per] of levels(runs, sheet)) {
    const found = part.map((run) => strips(run, sheet));
    const side = found.reduce((sum, [n]) => sum + n, 0n);
    const [fewer, more] = fewest(found.flatMap(([, cut]) => cut), sheet.width);
    low = larger(low, roundedUp(side + fewer, per));
    if (part.length === runs.length) {
      const tallest = most(runs.map((run) => run.height));
      high = smaller(high, roundedUp(side + more, floored(divided(sheet.length, tallest))));
    }
  }
  high = smaller(high, stacked(runs, sheet, high));
  const exact = low < high ? tried(runs, sheet) : null;
  return exact === null ? [low, high] : [exact, exact];
}

// The fewest sheets of all ways to cut the strips of walls that are not alike in height; null for too many.
function tried(runs, sheet) {
  const found = runs.filter((run) => isLess(ZERO, run.height) && isLess(ZERO, run.length))
    .map((run) => [run.height, ...strips(run, sheet)]);
  if (found.reduce((sum, [, side, cut]) => sum + side + BigInt(cut.length), 0n) > BigInt(MOST_SETS)) return null;
  const pieces = found.flatMap(([height, side, cut]) =>
    [...Array(Number(side)).fill(sheet.width), ...cut].map((width) => [width, height]));
  return fewestCutThrough(pieces, [sheet.width, sheet.length]);
}

// For each height, the runs at least as high, and how many rows of that height one sheet gives.
function levels(runs, sheet) {
  const heights = runs.filter((r) => isLess(ZERO, r.height) && isLess(ZERO, r.length)).map((r) => r.height).sort(compared);
  return heights.filter((h, i) => !i || !isSame(h, heights[i - 1])).map((height) => [
    runs.filter((run) => isAtMost(height, run.height)), larger(1n, floored(divided(sheet.length, height))),
  ]);
}

function rowsAtLeast(runs, sheet) { return ceiled(divided(summed(runs.map((run) => run.length)), sheet.width)); }

// So many are enough: strips, the highest first, side by side in rows; the rows one above the other in sheets.
function stacked(runs, sheet, otherwise) {
  if (runs.every((run) => isSame(run.height, runs[0].height)) || rowsAtLeast(runs, sheet) > MOST_ROWS) return otherwise;
  const found = runs.map((run) => [run.height, strips(run, sheet)]);
  const rows = found.flatMap(([height, [side]]) => Array(Number(side)).fill(height));
  const cut = []; // height of the row, and width left in it
  const strip = found.flatMap(([height, [, widths]]) => widths.map((width) => [height, width]));
  for (const [height, width] of strip.sort((a, b) => compared(b[0], a[0]) || compared(b[1], a[1]))) {
    const row = cut.find(([, left]) => isAtMost(width, left));
    if (row) row[1] = subtracted(row[1], width);
    else cut.push([height, subtracted(sheet.width, width)]);
  }
  return fewest([...rows, ...cut.map(([height]) => height)], sheet.length)[1];
}

function larger(a, b) { return a < b ? b : a; }
function smaller(a, b) { return b < a ? b : a; }
function roundedUp(number, per) { return (number + per - 1n) / per; }

// -- material_measures.py: adhesive from the notch

// Mean film that a V-notch leaves: the triangle of each notch, width x depth / 2, spread over its pitch.
function notchFilm(made, width, depth, pitch) {
  if (isAtMost(pitch.low, ZERO)) return unknownInterval("length", width.unit);
  const low = overPitch(width.low, depth.low, pitch.high);
  return interval("length", low, overPitch(width.high, depth.high, pitch.low), pitch.unit);
}

function overPitch(width, depth, pitch) {
  [width, depth] = [greater(width, ZERO), greater(depth, ZERO)]; // an unknown low end is no film without end
  if (isEnd(width) || isEnd(depth)) return NO_HIGH;
  return divided(times(width, depth), times(whole(2), pitch));
}

// Area that a volume covers at a wet film: 1 over the film.
function spreadRate(made, film) {
  const [low, high] = isAtMost(ZERO, film.low) ? [rate(film.high), rate(film.low)] : [ZERO, NO_HIGH];
  return interval("spread", low, high, unitBeside(made, [film.unit]));
}

function rate(film) { return isEnd(film) ? ZERO : isSame(film, ZERO) ? NO_HIGH : divided(whole(1), times(whole(1000), film)); }

// -- material_measures.py: sheets and trim

// Joints between the strips on one run: one less than the strips.
function joints(made, run, width) {
  if (isAtMost(width.low, ZERO)) return unknownInterval("number");
  return interval("number", betweenStrips(run.low, width.high), betweenStrips(run.high, width.low));
}

function betweenStrips(run, width) {
  if (isEnd(run)) return run > 0 ? NO_HIGH : ZERO;
  return isEnd(width) || isAtMost(run, ZERO) ? ZERO : fraction(ceiled(divided(run, width)) - 1n);
}

// An end that is known to be there; an end that is not counts as nothing of it.
function endOf(bound) { return isEnd(bound) ? ZERO : bound; }

// From the fewest sheets there is a proof for to the fewest there is a plan for; one number where they are one.
function sheetsNeeded(made, [lengths, heights, width, length, leastStrip]) {
  const unsure = isAtMost(width.low, ZERO) || isAtMost(length.low, ZERO) || !isKnown(width) || !isKnown(length);
  if (unsure) return interval("number", ZERO, NO_HIGH);
  const walls = lengths.items.map((item, i) => [item, heights.items[i]]);
  const runsBy = (end) => walls.map(([a, b]) => ({
    length: endOf(greater(a[end], ZERO)), height: endOf(greater(b[end], ZERO)),
  }));
  const sheetBy = (size, strip) => ({ width: endOf(width[size]), length: endOf(length[size]), leastStrip: endOf(leastStrip[strip]) });
  const low = sheetsAtLeast(runsBy("low"), sheetBy("high", "low"));
  const ends = [...walls.flat(), width, length, leastStrip];
  if (!lengths.complete || !walls.length || !ends.every(isKnown)) return interval("number", fraction(low), NO_HIGH);
  const [runs, smallest] = [runsBy("high"), sheetBy("low", "high")];
  const planned = ends.every(isExact) && sheetsPlanned(runs, smallest);
  if (planned) return interval("number", fraction(planned[0]), fraction(planned[1]));
  const enough = sheetsWithoutOffcuts(runs, smallest);
  return interval("number", fraction(low), enough === null ? NO_HIGH : fraction(enough));
}

// The fewest pieces of trim from which so many of each length can be cut whole; none is put together of two.
function piecesNeeded(made, [of, counts, piece]) {
  const lengths = isSeries(of) ? of : { items: [of], complete: true };
  const cuts = lengths.items.map((cut, i) => [cut, isSeries(counts) ? counts.items[i] : counts]);
  if (isAtMost(piece.low, ZERO)) return interval("number", ZERO, NO_HIGH);
  const all = summed(cuts.map(([a, n]) => times(endOf(greater(a.low, ZERO)), endOf(greater(n.low, ZERO)))));
  const low = isEnd(piece.high) ? ZERO : fraction(ceiled(divided(all, piece.high)));
  const ends = [...cuts.flat(), piece];
  if (!lengths.complete || !cuts.length || !ends.every(isKnown)) return interval("number", low, NO_HIGH);
  if (cuts.some(([cut, n]) => isLess(piece.low, cut.high) && isLess(ZERO, n.high))) return interval("number", low, NO_HIGH);
  if (ends.every(isExact)) {
    const every = cuts.flatMap(([cut, n]) => Array(timesCut(n.low)).fill(cut.low));
    if (every.length < MOST_CUTS) return interval("number", ...fewest(every, piece.low).map((n) => fraction(n)));
  }
  return interval("number", low, summed(cuts.map(([, n]) => endOf(n.high))));
}

function timesCut(number) { return Math.max(0, Math.min(Math.trunc(toNumber(number)), MOST_CUTS)); }
