/**
 * The few formulas that are shown while timing: twins of the Python ones, held to them by a parity test.
 *
 * Definitions and sources stand there: basis.stat.summary, .quantiles, .intervals, .sample, .sequence,
 * basis.people.lifting and observe.walk.
 */

// ---- sums -----------------------------------------------------------------------------------------------------------

/** Sum with Neumaier's compensation. */
export function sum(values) {
  let total = 0;
  let lost = 0;
  for (const x of values) {
    const next = total + x;
    lost += Math.abs(total) >= Math.abs(x) ? total - next + x : x - next + total;
    total = next;
  }
  return total + lost;
}

/** Number, mean and standard deviation (divided by n - 1) of two or more readings. */
export function moments(values) {
  const n = values.length;
  const mean = sum(values) / n;
  const shifted = values.map((x) => x - mean);
  const squares = sum(shifted.map((d) => d * d)) - sum(shifted) ** 2 / n;
  return { n, mean, sd: Math.sqrt(Math.max(squares, 0) / (n - 1)) };
}

// ---- normal and Student ---------------------------------------------------------------------------------------------

const SQRT2 = Math.SQRT2;
const TWO_OVER_ROOT_PI = 2 / Math.sqrt(Math.PI);

/** erfc(x) for x >= 0: the series of erf below 2, the continued fraction above. */
function erfc(x) {
  if (x < 2) {
    let term = x;
    let total = x;
    for (let n = 1; term > total * 1e-17; n += 1) {
      term *= (2 * x * x) / (2 * n + 1);
      total += term;
    }
    return 1 - TWO_OVER_ROOT_PI * Math.exp(-x * x) * total;
  }
  let tail = 0;
  for (let k = 60; k > 0; k -= 1) tail = k / 2 / (x + tail);
  return Math.exp(-x * x) / Math.sqrt(Math.PI) / (x + tail);
}

/** P(Z > z) of the standard normal. */
export const normalTail = (z) => (z >= 0 ? erfc(z / SQRT2) / 2 : 1 - erfc(-z / SQRT2) / 2);

const normalDensity = (z) => Math.exp(-(z * z) / 2) / Math.sqrt(2 * Math.PI);

/** The z with P(Z > z) = q, for 0 < q <= 1/2. */
function normalUpper(q) {
  if (q === 0.5) return 0;
  const r = Math.sqrt(-2 * Math.log(q));
  // Abramowitz and Stegun 26.2.23 is near enough to start from
  let z = r - (2.515517 + r * (0.802853 + r * 0.010328)) / (1 + r * (1.432788 + r * (0.189269 + r * 0.001308)));
  for (let i = 0; i < 4; i += 1) {
    const miss = (normalTail(z) - q) / normalDensity(z);
    z += miss / (1 - (miss * z) / 2);
  }
  return z;
}

/** z with the given probability between -z and z. */
export const twoSidedZ = (confidence) => normalUpper((1 - confidence) / 2);

/** ln of Gamma(a + 1/2) / Gamma(a): recurrence up to 20, then the asymptotic series. */
function logGammaStep(a) {
  let product = 1;
  for (; a < 20; a += 1) product *= a / (a + 0.5);
  const i = 1 / (a * a);
  const series = (-1 / 8 + i * (1 / 192 + i * (-1 / 640 + i * (17 / 14336 + i * (-31 / 18432))))) / a;
  return Math.log(a) / 2 + series + Math.log(product);
}

const logStudentScale = (df) => logGammaStep(df / 2) - Math.log(df * Math.PI) / 2;

/** The continued fraction of the incomplete beta function, by Lentz. */
function betaFraction(x, a, b) {
  const tiny = 1e-300;
  const keep = (v) => (Math.abs(v) < tiny ? tiny : v);
  let c = 1;
  let d = 1 / keep(1 - ((a + b) * x) / (a + 1));
  let found = d;
  for (let m = 1; m < 10_000; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / keep(1 + even * d);
    c = keep(1 + even / c);
    found *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / keep(1 + odd * d);
    c = keep(1 + odd / c);
    const by = d * c;
    found *= by;
    if (Math.abs(by - 1) < 1e-16) break;
  }
  return found;
}

/** P(T > t) of Student's t, t >= 0. */
export function studentTail(t, df) {
  const a = df / 2;
  const squared = t * t;
  const x = df / (df + squared);
  // x^a (1-x)^(1/2) / B(a, 1/2)
  const logFront =
    -a * Math.log1p(squared / df) + Math.log(squared / (df + squared)) / 2 + logGammaStep(a) - Math.log(Math.PI) / 2;
  if (x < (a + 1) / (a + 2.5)) return (Math.exp(logFront) * betaFraction(x, a, 0.5)) / a / 2;
  return t === 0 ? 0.5 : (1 - 2 * Math.exp(logFront) * betaFraction(1 - x, 0.5, a)) / 2;
}

/** The t with P(T > t) = q, for 0 < q < 1/2: Newton on the logarithms of both, where the tail is nearly straight. */
export function studentUpper(q, df) {
  if (df === 1) return 1 / Math.tan(Math.PI * q);
  if (df === 2) return (1 - 2 * q) / Math.sqrt(2 * q * (1 - q));
  const scale = logStudentScale(df);
  const z = normalUpper(q);
  let t = z * (1 + (z * z + 1) / (4 * df));
  for (let i = 0; i < 60; i += 1) {
    const tail = studentTail(t, df);
    const density = Math.exp(scale - ((df + 1) / 2) * Math.log1p((t * t) / df));
    const step = (Math.log(tail / q) * tail) / (t * density);
    t *= Math.exp(Math.max(-2, Math.min(2, step)));
    if (Math.abs(step) < 1e-14) break;
  }
  return t;
}

/** t with the given probability between -t and t. */
export const twoSidedT = (confidence, df) => studentUpper((1 - confidence) / 2, df);

// ---- intervals and how many more ------------------------------------------------------------------------------------

/** Student's interval of the mean; null below two readings. */
export function meanInterval(values, confidence) {
  if (values.length < 2) return null;
  const { n, mean, sd } = moments(values);
  const reach = (twoSidedT(confidence, n - 1) * sd) / Math.sqrt(n);
  return { low: mean - reach, high: mean + reach };
}

/** Readings that bring the mean within the relative error, by t of the readings there are, not iterated. */
export function readingsNeeded(values, relativeError, confidence) {
  const { n, mean, sd } = moments(values);
  const exact = ((twoSidedT(confidence, n - 1) * sd) / (relativeError * mean)) ** 2;
  return Math.max(1, Math.ceil(exact * (1 - 1e-9)));
}

/** How many more; null with fewer than 3 readings or none that differ, as there is nothing to go by. */
export function readingsMore(values, relativeError, confidence) {
  if (values.length < 3 || new Set(values).size < 2) return null;
  return Math.max(0, readingsNeeded(values, relativeError, confidence) - values.length);
}

/** Mean after less mean before, with Welch's interval. */
export function welchDifference(before, after, confidence) {
  const b = moments(before);
  const a = moments(after);
  const v1 = (b.sd * b.sd) / b.n;
  const v2 = (a.sd * a.sd) / a.n;
  const most = Math.max(v1, v2);
  const [p, q] = [v1 / most, v2 / most];
  const df = most === 0 ? b.n + a.n - 2 : (p + q) ** 2 / ((p * p) / (b.n - 1) + (q * q) / (a.n - 1));
  const reach = twoSidedT(confidence, df) * Math.sqrt(v1 + v2);
  const difference = a.mean - b.mean;
  return { difference, df, low: difference - reach, high: difference + reach };
}

export const FIRST_LOOK = 10;
const LARGEST_RANGE = 1e6;

/** How high the boundary lies that a look after every reading keeps under, with the confidence stated. */
export function constantBoundary(range, confidence) {
  const spread = Math.log(Math.min(Math.max(range, 1), LARGEST_RANGE));
  const scale = (1 - confidence) * Math.sqrt(2 * Math.PI);
  let c = 2.5;
  for (let i = 0; i < 30; i += 1) c = Math.sqrt(2 * Math.log(((c - 1 / c) * spread + 4 / c) / scale));
  return c;
}

function reachOf({ n, mean, sd }, boundary, positive) {
  const t = studentUpper(normalTail(boundary), n - 1);
  if (!positive) {
    const plain = (t * sd) / Math.sqrt(n);
    return [plain, plain];
  }
  const squared = (sd / mean) ** 2;
  const r = t * Math.sqrt(squared / n);
  const skewed = (1 + squared / 3) * (r * r + squared / (2 * n));
  return [mean * -Math.expm1(-r), mean * (r + skewed)];
}

/** The limits of `anytimeDifference` from number, mean and sd of both sides. */
export function anytimeLimits(before, after, confidence, positive) {
  const ratio = after.sd === 0 ? 0 : (after.sd / before.sd) ** 2;
  const boundary = constantBoundary(1 + (before.n / FIRST_LOOK) * ratio, confidence);
  const [downB, upB] = reachOf(before, boundary, positive);
  const [downA, upA] = reachOf(after, boundary, positive);
  const difference = after.mean - before.mean;
  return { difference, low: difference - Math.hypot(downA, upB), high: difference + Math.hypot(upA, downB) };
}

/**
 * Mean after less mean before with the interval that stays valid however often one looks; null below 10 readings on
 * either side. The one to show while timing.
 */
export function anytimeDifference(before, after, confidence) {
  if (Math.min(before.length, after.length) < FIRST_LOOK) return null;
  const positive = before.every((x) => x > 0) && after.every((x) => x > 0);
  return anytimeLimits(moments(before), moments(after), confidence, positive);
}
