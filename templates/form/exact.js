// Exact numbers: fractions of BigInt, and the two ends that are no number, -Infinity and Infinity.
// A bound is {n, d} in lowest terms with d > 0n, or one of the two infinities.

const NO_LOW = -Infinity;
const NO_HIGH = Infinity;
const MOST_EXACT = BigInt(Number.MAX_SAFE_INTEGER);

function fraction(n, d = 1n) {
  if (d < 0n) { n = -n; d = -d; }
  let [a, b] = [n < 0n ? -n : n, d];
  while (b) [a, b] = [b, a % b];
  return a > 1n ? { n: n / a, d: d / a } : { n, d };
}

const ZERO = fraction(0n);

// "7", "-3/4" or "0.125", as the data of the form and a survey write them.
function fractionOf(text) {
  const [top, bottom] = text.split("/");
  const [whole, part = ""] = top.split(".");
  return fraction(BigInt(whole + part), BigInt(bottom || 1) * 10n ** BigInt(part.length));
}

function isEnd(a) { return typeof a === "number"; }

function compared(a, b) {
  if (isEnd(a) || isEnd(b)) {
    const [x, y] = [isEnd(a) ? a : 0, isEnd(b) ? b : 0];
    return x === y ? 0 : x < y ? -1 : 1;
  }
  const [x, y] = [a.n * b.d, b.n * a.d];
  return x === y ? 0 : x < y ? -1 : 1;
}

function isSame(a, b) { return compared(a, b) === 0; }
function isLess(a, b) { return compared(a, b) < 0; }
function isAtMost(a, b) { return compared(a, b) <= 0; }
function lesser(a, b) { return isLess(b, a) ? b : a; }
function greater(a, b) { return isLess(a, b) ? b : a; }

function negated(a) { return isEnd(a) ? -a : { n: -a.n, d: a.d }; }

function added(a, b) {
  if (isEnd(a) || isEnd(b)) return isEnd(a) ? a : b; // no measure adds the two ends to one another
  return fraction(a.n * b.d + b.n * a.d, a.d * b.d);
}

function subtracted(a, b) { return added(a, negated(b)); }

function signOf(a) { return isEnd(a) ? Math.sign(a) : a.n > 0n ? 1 : a.n < 0n ? -1 : 0; }

// Nought times an end is nought: nothing of whatever there may be.
function times(a, b) {
  if (signOf(a) === 0 || signOf(b) === 0) return ZERO;
  if (isEnd(a) || isEnd(b)) return signOf(a) * signOf(b) * Infinity;
  return fraction(a.n * b.n, a.d * b.d);
}

function divided(a, b) {
  if (isEnd(b)) return isEnd(a) ? signOf(a) * signOf(b) * Infinity : ZERO;
  if (isEnd(a)) return signOf(a) * signOf(b) * Infinity;
  return fraction(a.n * b.d, a.d * b.n);
}

function floored(a) {
  const whole = a.n / a.d;
  return a.n < 0n && whole * a.d !== a.n ? whole - 1n : whole;
}

function ceiled(a) { return -floored(negated(a)); }

// The double nearest to it, where both of its numbers are doubles themselves; else one beside that at most.
function toNumber(a) {
  if (isEnd(a)) return a;
  if (a.d <= MOST_EXACT && a.n <= MOST_EXACT && -a.n <= MOST_EXACT) return Number(a.n) / Number(a.d);
  const whole = floored(a);
  const rest = a.n - whole * a.d;
  return Number(whole) + Number((rest * 10n ** 18n) / a.d) / 1e18;
}
