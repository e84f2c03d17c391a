#!/usr/bin/env python3
"""Writes fresh cases of what readings teach, in the form of learning.csv: `learning_cases.py SEED ROUNDS > learning_cases.csv`.

Each value is worked out by another road than the crate takes: dense matrices and distributions of numpy and scipy in the place
of elimination, adaptive quadrature in the place of fixed steps. Half of the cases lie at edges: one reading, readings that are
all alike, no scatter of the reading, far tails, lengths that were read in inches.
"""

import math
import sys

import numpy as np
from scipy import integrate, optimize, special, stats

SEED, ROUNDS = int(sys.argv[1]), int(sys.argv[2])
rng = np.random.default_rng(SEED)
rows = []


def put(quantity, inputs, expected, tolerance, how):
    text = ";".join(f"{name}={value if isinstance(value, str) else repr(float(value))}" for name, value in inputs.items())
    rows.append((quantity, f'"{text}"', f"{expected:.17g}", tolerance, how))


def pick(*choices):
    return choices[rng.integers(len(choices))]


def near(low, high):
    return float(rng.uniform(low, high))


def spread(low, high):
    return float(math.exp(rng.uniform(math.log(low), math.log(high))))


def listed(values):
    return "|".join(repr(float(value)) for value in values)


def quad(of, points):
    """Adaptive quadrature between places that follow one another."""
    points = sorted(set(points))
    return sum(integrate.quad(of, a, b, epsabs=0, epsrel=1e-12, limit=400)[0] for a, b in zip(points, points[1:]))


# Readings.


def repeats():
    count = pick(1, 1, 2, 3, 5, 12)
    middle = pick(near(0.5, 60), spread(1e-2, 1e3), 25.4 * near(0.05, 3))
    scatter = pick(0.0, 0.01, 0.02, 0.5)
    readings = np.round(middle + scatter * rng.standard_normal(count), 4)
    given = {"s_r0": pick(0.015, spread(1e-4, 1)), "nu_r": pick(6.0, 0.1, 1000.0), "step": pick(0.01, 0.0, 0.0254), "limit": pick(0.03, 0.0, 0.5)}
    squares = float(np.sum((readings - np.mean(readings)) ** 2))
    sd = math.sqrt((given["nu_r"] * given["s_r0"] ** 2 + squares) / (given["nu_r"] + count - 1))
    u = math.sqrt(sd**2 / count + given["step"] ** 2 / 12 + given["limit"] ** 2 / 3)
    inputs = {"readings": listed(readings)} | given
    put("reading_repeat_sd", inputs, sd, 1e-9, "numpy sums")
    put("reading_u", inputs, u, 1e-9, "numpy sums")


def chord():
    diameter = spread(0.5, 50)
    land = pick(0.5, diameter, 0.3 * diameter, 1e-3 * diameter)
    if land <= diameter:
        put("chord_loss", {"diameter": diameter, "land": land}, diameter * (1 - math.cos(math.asin(land / diameter))), 1e-6, "D(1-cos asin(f/D))")


def scores():
    given = {"expected": near(-1, 50), "u_expected": pick(0.07, spread(1e-3, 1), 0.0), "u_reading": pick(0.018, spread(1e-3, 0.3))}
    u = math.hypot(given["u_expected"], given["u_reading"])
    given["reading"] = given["expected"] + pick(0.0, near(-3, 3), near(-30, 30)) * u
    zeta = (given["reading"] - given["expected"]) / u
    put("zeta", given, zeta, 1e-9, "direct")
    put("E_n", given, zeta / 2, 1e-9, "direct")
    put("zeta_chance", given, 2 * stats.norm.sf(abs(zeta)), 1e-8, "scipy norm.sf")
    count, level = pick(1, 2, 7, 30, 500, 20000), pick(0.95, 0.5, 0.99, 0.999)
    limit = stats.norm.isf(-math.expm1(math.log(level) / count) / 2)
    put("largest_zeta_limit", {"dimensions": str(count), "level": level}, limit, 1e-7, "scipy norm.isf of 1 - level^(1/n)")


# The model of deviations, by the whole covariance matrix.


class Case:
    def __init__(self):
        self.b0, self.s0 = pick(-0.1, 0.05, near(-0.5, 0.5), 0.0), pick(0.07, spread(5e-3, 0.5))
        self.s_b = self.s0 * pick(1.0, 0.3, 4.0, 0.0)
        self.nu0 = pick(6.0, 2.5, 50.0)
        self.phi, self.psi = pick((0.4, 0.2), (0.0, 0.0), (0.7, 0.1), (0.2, 0.8), (0.0, 0.5))
        self.s_k, self.limit = pick(0.0, 0.0, 0.002), pick(0.03, 0.0, 0.3)
        count = pick(1, 1, 2, 4, 9, 25)
        self.data = []
        taken = set()
        for _ in range(count):
            feature, job, copy = f"f{rng.integers(max(1, count // 2) + 1)}", f"J{rng.integers(max(1, count // 3) + 1)}", rng.integers(1, 3)
            if (feature, job, copy) in taken:
                continue
            taken.add((feature, job, copy))
            w = pick(8.333e-05, 0.0002333, 0.0, 0.01) if self.phi + self.psi < 1 else pick(8.333e-05, 0.01)
            value = pick(self.b0, self.b0 + self.s0 * near(-2, 2), self.b0 + near(-1.5, 1.5), -0.0254)
            self.data.append((feature, job, f"{job}.{copy}", float(value), w, pick(0.0, 10.0, 60.0)))
        self.feature, self.job, self.object = self.data[-1][:3]
        n = len(self.data)
        s2 = self.s0**2
        self.rho = 1 - self.phi - self.psi
        self.kb, self.kk, kc = self.s_b**2 / s2, self.s_k**2 / s2, self.limit**2 / 3 / s2
        k = np.zeros((n, n))
        for i, (fi, ji, oi, _, wi, xi) in enumerate(self.data):
            for j, (fj, jj, oj, _, _, xj) in enumerate(self.data):
                k[i, j] = self.kb + self.kk * xi * xj + self.phi * (fi == fj) + self.psi * (ji == jj) + self.rho * (fi == fj and oi == oj) + kc
            k[i, i] += wi / s2
        self.k, self.d = k, np.array([one[3] for one in self.data]) - self.b0
        self.inverse = np.linalg.inv(k)
        self.a = self.nu0 / 2 + n / 2
        self.c = (self.nu0 - 2) * s2 / 2 + self.d @ self.inverse @ self.d / 2

    def inputs(self, **more):
        data = "|".join(f"{f}/{o}/{value!r}/{w!r}/{x!r}" for f, _, o, value, w, x in self.data)
        given = {"b0": self.b0, "s0": self.s0, "s_b": self.s_b, "nu0": self.nu0, "phi": self.phi, "psi": self.psi, "s_k": self.s_k, "limit": self.limit}
        return given | {"data": data} | more

    def target(self, what, length=0.0):
        vector, own = [], {"bias": 0.0, "scale": 0.0}.get(what, 1.0)
        for feature, job, obj, _, _, x in self.data:
            if what == "scale":
                vector.append(self.kk * x)
                continue
            value = self.kb + self.kk * x * length
            if what in ("next", "here"):
                value += self.phi * (feature == self.feature)
            if what == "here":
                value += self.psi * (job == self.job) + self.rho * (feature == self.feature and obj == self.object)
            vector.append(value)
        vector = np.array(vector)
        whole = self.kk if what == "scale" else self.kb + self.kk * length**2 + own
        mean = vector @ self.inverse @ self.d + (0 if what == "scale" else self.b0)
        variance = max(whole - vector @ self.inverse @ vector, 0)
        return mean, math.sqrt(self.c / self.a * variance), 2 * self.a


def learned():
    case = Case()
    how = "whole covariance matrix (numpy), Student's t (scipy)"
    put("learned_spread", case.inputs(), math.sqrt(case.c / (case.a - 1)), 1e-6, how)
    for what in ("bias", "next", "here", "new") + (("scale",) if case.s_k else ()):
        length = pick(0.0, 30.0) if case.s_k and what != "scale" else 0.0
        mean, scale, freedom = case.target(what, length)
        if scale < 1e-6 * case.s0:
            continue
        more = {"of": what, "feature": case.feature, "print": case.object, "length": length}
        if abs(mean) > 1e-3:
            put("learned_mean", case.inputs(**more), mean, 1e-5, how)
        put("learned_u", case.inputs(**more), scale * math.sqrt(freedom / (freedom - 2)), 1e-5, how)
        p = pick(0.05, 0.5, 0.95, 0.001, 0.9999)
        quantile = stats.t.ppf(p, freedom, mean, scale)
        if abs(quantile) > 1e-3:
            put("learned_quantile", case.inputs(**more, p=p), quantile, 1e-5, how)
        low, high = mean + scale * near(-3, 1), mean + scale * pick(near(1, 4), math.inf)
        put("learned_chance_within", case.inputs(**more, low=low, high=high), stats.t.cdf(high, freedom, mean, scale) - stats.t.cdf(low, freedom, mean, scale), 1e-6, how)


def left_out():
    case = Case()
    n = len(case.data)
    at = int(rng.integers(n))
    rest = [i for i in range(n) if i != at]
    inner, d = case.k[np.ix_(rest, rest)], case.d[rest]
    cross = case.k[at, rest]
    solved = np.linalg.solve(inner, np.column_stack([d, cross])) if rest else np.zeros((0, 2))
    off = case.d[at] - cross @ solved[:, 0]
    a = case.nu0 / 2 + (n - 1) / 2
    c = (case.nu0 - 2) * case.s0**2 / 2 + d @ solved[:, 0] / 2
    scale = math.sqrt(c / a * (case.k[at, at] - cross @ solved[:, 1]))
    name = f"{case.data[at][0]}/{case.data[at][2]}"
    if abs(off) > 1e-4:
        put("left_out_off", case.inputs(of=name), off, 1e-5, "conditioned on the others (numpy)")
    put("left_out_chance", case.inputs(of=name), 2 * stats.t.sf(abs(off) / scale, 2 * a), 1e-5, "conditioned on the others (numpy), Student's t (scipy)")


def mistyped():
    given = {"deviation": pick(0.0, near(0, 1), 5.0), "u": pick(0.08, spread(1e-3, 1)), "eps": pick(0.02, 1e-6, 0.5), "half_width": pick(5.0, 0.1, 1000.0)}
    density = stats.norm.logpdf(given["deviation"], scale=given["u"])
    odds = math.log(given["eps"] / (1 - given["eps"]) / 2 / given["half_width"]) - density
    put("mistyped_chance_single", given, special.expit(odds), 1e-5, "scipy norm.logpdf")
    case = Case()
    if rng.integers(2):
        f, j, o, value, w, x = case.data[0]
        case.data[0] = (f, j, o, value + pick(0.5, 5.0, -2.0), w, x)
        case.d[0] = case.data[0][3] - case.b0
    n = len(case.data)

    def ln_density(rest):
        if not rest:
            return 0.0
        shape = case.k[np.ix_(rest, rest)] * case.s0**2 * (case.nu0 - 2) / case.nu0
        return stats.multivariate_t.logpdf(case.d[rest], shape=shape, df=case.nu0)

    eps, half = pick(0.02, 0.001), pick(5.0, 1.0)
    ln = [n * math.log1p(-eps) + ln_density(list(range(n)))]
    ln += [math.log(eps / 2 / half) + (n - 1) * math.log1p(-eps) + ln_density([i for i in range(n) if i != at]) for at in range(n)]
    chances = special.softmax(ln)
    at = int(rng.integers(n))
    how = "multivariate t of each hypothesis (scipy)"
    put("mistyped_none", case.inputs(eps=eps, half_width=half), chances[0], 1e-4, how)
    put("mistyped_which", case.inputs(eps=eps, half_width=half, of=f"{case.data[at][0]}/{case.data[at][2]}"), chances[1 + at], 1e-4, how)


def planned():
    case = Case()
    mean, scale, freedom = case.target("bias")
    root = scale / math.sqrt(case.c / case.a)
    if root > 1e-6:
        put("design_bias_u", case.inputs(), case.s0 * root, 1e-5, "whole covariance matrix (numpy)")
    if case.s_k:
        mean, scale, freedom = case.target("scale")
        put("design_scale_u", case.inputs(), case.s0 * scale / math.sqrt(case.c / case.a), 1e-5, "whole covariance matrix (numpy)")


def counts():
    given = {"spread": spread(0.02, 0.3), "limit": pick(0.03, 0.0, 0.01), "w": pick(8.333e-05, 0.0)}
    given["s_b"] = given["spread"] * pick(1.0, 3.0)
    given["u_wanted"] = max(spread(0.1, 0.9) * given["s_b"], 1.2 * given["limit"] / math.sqrt(3))
    count = 1
    while 1 / (1 / given["s_b"] ** 2 + 1 / (given["limit"] ** 2 / 3 + (given["spread"] ** 2 + given["w"]) / count)) > given["u_wanted"] ** 2:
        count += 1
    put("prints_for_bias", given, count, 0, "counted up one by one")
    within, chance = pick(0.3, 0.2, 0.5, 0.9), pick(0.9, 0.683, 0.5)
    count = 2
    while stats.chi2.cdf((count - 1) * (1 + within) ** 2, count - 1) - stats.chi2.cdf((count - 1) * (1 - within) ** 2, count - 1) < chance:
        count += 1
    put("prints_for_spread", {"within": within, "chance": chance}, count, 0, "scipy chi2, counted up")


# Decisions.


def corrections():
    phi, prints = pick(0.4, 0.0, 0.9, near(0, 1)), pick(1.0, 2.0, 7.0, 500.0)
    given = {"phi": phi, "psi": 0.0, "prints": prints}
    weight = phi / (phi + (1 - phi) / prints)
    if phi > 0:
        put("own_weight", given, weight, 1e-9, "algebra")
    put("full_correction_variance", given, (1 - phi) + (1 - phi) / prints, 1e-9, "algebra")
    # The next print less the weighed mean: the feature's part that stays, its own scatter, the mean's scatter.
    put("damped_correction_variance", given, phi * (1 - weight) ** 2 + (1 - phi) + weight**2 * (1 - phi) / prints, 1e-9, "three parts added")


def revised():
    wanted, deviation, u, grid = near(1, 40), near(-0.4, 0.4), pick(0.07, spread(1e-3, 0.5)), pick(0.1, 0.05, 0.01, 0.254, 0.0254)
    wanted = round(wanted, 3)
    low, high = wanted - pick(0.0, 0.05, 0.3), wanted + pick(0.1, 0.2, math.inf)
    given = {"wanted": wanted, "deviation": deviation, "u_next": u, "grid": grid, "low": low, "high": high}
    middle = (low + high) / 2 if math.isfinite(high) else wanted
    near_to, ends = wanted - deviation, sorted([wanted - deviation, middle - deviation])
    values = grid * np.arange(math.ceil((ends[0] - 1) / grid), math.floor((ends[1] + 1) / grid) + 1)
    chances = stats.norm.cdf((high - values - deviation) / u) - stats.norm.cdf((low - values - deviation) / u)
    best = min(np.flatnonzero(chances > chances.max() - 1e-9), key=lambda at: abs(values[at] - near_to))
    others = np.delete(chances, best)
    put("next_drawn_ideal", given, near_to, 1e-9, "direct")
    put("next_drawn_chance", given, chances[best], 1e-6, "scipy norm.cdf, every grid value within 1 mm tried")
    if math.isfinite(high) and chances[best] - others.max() > 1e-7:
        put("next_drawn", given, values[best], 1e-9, "every grid value within 1 mm tried")


def causes():
    n = pick(1, 2, 3, 8)
    slopes = rng.choice([0.0, 1.0, 2.0, 3.0, -1.0, 0.5], n)
    slopes[0] = pick(1.0, 2.0)
    deviations = np.round(slopes * pick(0.0, 0.4, 20.0) + pick(0.0, 0.05, 1.0) * rng.standard_normal(n), 4)
    variances = np.array([pick(0.0045, 1e-6, 1.0) for _ in range(n)])
    root = np.sqrt(variances)
    shift = np.linalg.lstsq((slopes / root)[:, None], deviations / root, rcond=None)[0][0]
    left = float(np.sum(((deviations - slopes * shift) / root) ** 2))
    given = {"deviations": listed(deviations), "variances": listed(variances), "slopes": listed(slopes)}
    if abs(shift) > 1e-6:
        put("cause_shift", given, shift, 1e-8, "least squares (numpy)")
    put("cause_u", given, 1 / math.sqrt(np.sum(slopes**2 / variances)), 1e-8, "direct")
    if left > 1e-9:
        put("cause_left_over", given, left, 1e-6, "residuals of least squares (numpy)")
        chance = stats.chi2.sf(left, n - 1)
        if n > 1 and chance > 1e-200:
            put("cause_left_chance", given, chance, 1e-5, "scipy chi2.sf")


def worths():
    u = pick(1.0, spread(1e-3, 1e3))
    room, removed = u * near(-3, 3), u * pick(near(0.05, 0.95), 0.9999, 1.0)
    act, fail = pick((1.0, 5.0), (1.0, 20.0), (1.0, 1.5), (2.0, 5.0))
    left = math.sqrt(max(u * u - removed * removed, 0))

    def risk(margin, u):
        return min(act, fail * (stats.norm.sf(margin / u) if u > 0 else float(margin <= 0)))

    place = stats.norm.isf(act / fail)
    points = [-12, -4, 0, 4, 12] + [(share * left - room) / removed for share in (place, place + 2, place + 5, place + 9)]
    points = [min(max(point, -12), 12) for point in points]
    after = quad(lambda z: stats.norm.pdf(z) * risk(room + removed * z, left), points)
    given = {"room": room, "u": u, "u_removed": removed, "loss_act": act, "loss_fail": fail}
    put("risk_now", given, risk(room, u), 1e-8, "scipy norm.sf")
    value = risk(room, u) - after
    if value > 1e-4:
        put("value_of_measuring", given, value, 1e-4, "adaptive quadrature of the smaller loss (scipy)")
    u_input, u_new = pick(0.06, spread(1e-4, 10)), pick(0.0245, spread(1e-4, 10), 0.0)
    put("u_removed", {"u_input": u_input, "u_of_new_measurement": u_new}, u_input * math.sqrt(u_input**2 / (u_input**2 + u_new**2)), 1e-9, "direct")


def risks():
    mean, sd = near(-0.2, 0.3), pick(0.06, spread(1e-3, 1))
    u = sd * pick(0.3, 1e-3, 3.0)
    low, high = mean + sd * near(-4, 0.5), pick(mean + sd * near(0.6, 5), math.inf)
    guard = u * pick(0.0, 1.0, -1.0)
    accept = (low + guard, high - guard)
    if accept[0] >= accept[1]:
        return
    places = {low, mean - 9 * sd, mean + 9 * sd, mean}
    for edge in (low, high, *accept):
        if math.isfinite(edge):
            places |= {edge + step * u for step in range(-9, 10)} | {edge}
    inside = [place for place in places if low <= place <= min(high, mean + 9 * sd)] + [min(high, mean + 9 * sd)]
    below = [place for place in places if mean - 9 * sd <= place <= low] + [low]
    above = [place for place in places if high <= place <= mean + 9 * sd] + [high] if math.isfinite(high) else []

    def density(x):
        return stats.norm.pdf(x, mean, sd)

    def out(x):
        return stats.norm.cdf((accept[0] - x) / u) + stats.norm.sf((accept[1] - x) / u)

    def inner(x):
        from_low, from_high = (accept[0] - x) / u, (accept[1] - x) / u
        return stats.norm.sf(from_low) - stats.norm.sf(from_high) if from_low > 0 else stats.norm.cdf(from_high) - stats.norm.cdf(from_low)

    given = {"mean": mean, "spread": sd, "u_measuring": u, "low": low, "high": high, "accept_low": accept[0], "accept_high": accept[1]}
    bad = quad(lambda x: density(x) * inner(x), below) + (quad(lambda x: density(x) * inner(x), above) if above else 0)
    good = quad(lambda x: density(x) * out(x), inside)
    put("risk_bad_accepted", given, bad, 1e-4, "adaptive quadrature over the true value (scipy)")
    put("risk_good_rejected", given, good, 1e-4, "adaptive quadrature over the true value (scipy)")
    expected, reading = near(-0.2, 0.2), near(-0.3, 0.3)
    s, u = pick(0.06, spread(1e-3, 0.3)), pick(0.02, spread(1e-3, 0.3))
    variance = 1 / (1 / s**2 + 1 / u**2)
    middle, sd = variance * (expected / s**2 + reading / u**2), math.sqrt(variance)
    low, high = middle + sd * near(-3, 1), middle + sd * near(1.1, 4)
    put("part_in_hand_conforms", {"expected": expected, "spread": s, "reading": reading, "u_reading": u, "low": low, "high": high}, stats.norm.cdf((high - middle) / sd) - stats.norm.cdf((low - middle) / sd), 1e-5, "product of two normals (scipy)")


# Trials.


class Limit:
    def __init__(self, worth=False):
        self.median, self.cv = pick(0.024, spread(2e-3, 0.3)), pick(0.3, 0.05, 1.0)
        self.within, self.slope = pick(0.12, 0.03, 0.4), 0.0 if worth else pick(0.0, 0.074)
        self.trials = []
        if not worth:
            for _ in range(pick(0, 1, 1, 3, 8)):
                at, times = self.median * spread(0.3, 3), pick(1, 1, 50, 1000)
                # Strips know their strain to 2 % or 7 %.
                u = pick(0.0, 0.0, 0.02, 0.08)
                kind = rng.integers(3)
                if kind == 0:
                    self.trials.append((f"held:e={at!r},n={times},u={u!r}", (at, times), None, u))
                elif kind == 1:
                    self.trials.append((f"cracked:e={at!r},n={times},u={u!r}", None, (at, times), u))
                else:
                    before = at * near(0.6, 0.95)
                    self.trials.append((f"cracked:e={at!r},n={times},after={before!r}/{times},u={u!r}", (before, times), (at, times), u))
        self.sd = math.sqrt(math.log1p(self.cv**2))
        grid = np.linspace(-30, 30, 60001) * self.sd + math.log(self.median)
        self.grid, ln = grid, stats.norm.logpdf(grid, math.log(self.median), self.sd)
        for _, held, failed, u in self.trials:
            ln = ln + self.ln_likely(grid, held, failed, u)
        self.weights = np.exp(ln - ln.max())
        self.weights /= self.weights.sum()

    def place(self, opening, s, u=0.0):
        strain, times = opening
        return (math.log(strain) + self.slope * math.log(max(times, 1)) - s) / math.hypot(self.within, u)

    def ln_likely(self, s, held, failed, u):
        if held and failed:
            low, high = self.place(held, s, u), self.place(failed, s, u)
            with np.errstate(divide="ignore"):
                return np.where(low > 0, special.log_ndtr(-low) + np.log1p(-np.exp(special.log_ndtr(-high) - special.log_ndtr(-low))), special.log_ndtr(high) + np.log1p(-np.exp(special.log_ndtr(low) - special.log_ndtr(high))))
        return special.log_ndtr(self.place(failed, s, u)) if failed else special.log_ndtr(-self.place(held, s, u))

    def inputs(self, **more):
        trials = "|".join(one[0] for one in self.trials) or "none"
        return {"median": self.median, "cv": self.cv, "within": self.within, "slope": self.slope, "trials": trials} | more

    def fails(self, strain, times=1.0):
        return float(np.sum(self.weights * special.ndtr(self.place((strain, times), self.grid))))


def limits():
    limit = Limit()
    how = "60,001 points over 30 prior sd either way (numpy), interpolated"
    p = pick(0.05, 0.5, 0.95)
    # The share below a point of the grid: half of its own weight counts.
    below = np.cumsum(limit.weights) - limit.weights / 2
    put("limit_quantile", limit.inputs(p=p), math.exp(np.interp(p, below, limit.grid)), 5e-4, how)
    mean = float(np.sum(limit.weights * limit.grid))
    put("limit_ln_sd", limit.inputs(), math.sqrt(np.sum(limit.weights * (limit.grid - mean) ** 2)), 5e-4, how)
    strain, cycles = limit.median * spread(0.3, 3), pick(1.0, 100.0)
    chance = limit.fails(strain, cycles)
    if chance > 1e-12:
        put("limit_chance_next", limit.inputs(strain=strain, cycles=cycles), chance, 5e-4, how)
    p = pick(0.05, 0.01, 0.5)
    root = optimize.brentq(lambda ln: limit.fails(math.exp(ln)) - p, math.log(limit.median) - 9, math.log(limit.median) + 9, xtol=1e-12)
    put("limit_for_sheet", limit.inputs(p=p), math.exp(root), 5e-4, how)
    once, cv, within, p = spread(1e-3, 0.1), pick(0.3, 1.0), pick(0.12, 0.5), pick(0.05, 0.01)
    put("prior_median_from_sheet_limit", {"flex_once": once, "cv": cv, "within": within, "p": p}, once * math.exp(stats.norm.isf(p) * math.sqrt(math.log1p(cv**2) + within**2)), 1e-8, "scipy norm.isf")
    slope, cycles = pick(0.074, 0.14, 0.0), pick(1.0, 50.0, 1e6)
    put("cycles_factor", {"slope": slope, "cycles": cycles}, cycles**-slope, 1e-9, "direct")


def trial_worth():
    limit = Limit(worth=True)
    act, fail = pick((1.0, 5.0), (1.0, 20.0))
    strain = limit.median * near(0.4, 1.2)
    tried = strain * pick(0.9, 1.0, 1.25, 1.4)

    def loss(weights):
        weights = weights / weights.sum()
        return min(act, fail * float(np.sum(weights * special.ndtr(limit.place((strain, 1), limit.grid)))))

    failing = special.ndtr(limit.place((tried, 1), limit.grid))
    chance = float(np.sum(limit.weights * failing))
    value = loss(limit.weights) - chance * loss(limit.weights * failing) - (1 - chance) * loss(limit.weights * (1 - failing))
    if value > 1e-4:
        put("value_of_trial", limit.inputs(strain=strain, trial=tried, loss_act=act, loss_fail=fail), value, 1e-3, "each outcome summed over 60,001 points (numpy)")


def frictions():
    ratio, lead, u_ratio, u_angle = pick(near(0.6, 4), 30.0), near(5, 60), near(0.01, 0.4), near(0.1, 3)
    given = {"push_over_arm_force": ratio, "lead_in_deg": lead, "u_ratio": u_ratio, "u_angle_deg": u_angle}

    def of(ratio, lead):
        return math.tan(math.atan(ratio) - math.radians(lead))

    def slope(of, at, step):
        return (8 * (of(at + step) - of(at - step)) - (of(at + 2 * step) - of(at - 2 * step))) / 12 / step

    by_ratio, by_lead = slope(lambda x: of(x, lead), ratio, 1e-3 * ratio), slope(lambda x: of(ratio, x), lead, 1e-2)
    if abs(of(ratio, lead)) > 1e-3:
        put("friction_of_push", given, of(ratio, lead), 1e-8, "tan(atan r - alpha)")
        put("friction_of_push_u", given, math.hypot(by_ratio * u_ratio, by_lead * u_angle), 1e-4, "numerical slopes")
    length = near(50, 300)
    rise, u_rise, u_length = length * near(0.05, 0.95), near(0.1, 3), pick(1.0, 0.0)
    given = {"rise": rise, "length": length, "u_rise": u_rise, "u_length": u_length}

    def ramp(rise, length):
        return math.tan(math.asin(rise / length))

    slopes = slope(lambda x: ramp(x, length), rise, 1e-4 * rise), slope(lambda x: ramp(rise, x), length, 1e-4 * length)
    put("friction_of_ramp", given, ramp(rise, length), 1e-8, "tan(asin(rise/length))")
    put("friction_of_ramp_u", given, math.hypot(slopes[0] * u_rise, slopes[1] * u_length), 1e-4, "numerical slopes")
    prior, scatter = near(0.1, 0.9), pick(0.12, 0.02, 1.0)
    u_prior = prior * pick(0.13, 0.01, 2.0)
    readings = [near(0.05, 1.2) for _ in range(pick(1, 3, 12))]
    sd = math.sqrt(math.log1p((u_prior / prior) ** 2))

    def ln_density(ln):
        return stats.norm.logpdf(ln, math.log(prior), sd) + sum(stats.norm.logpdf(math.log(one), ln, scatter) for one in readings)

    middle = optimize.minimize_scalar(lambda ln: -ln_density(ln), bounds=(-8, 4), method="bounded", options={"xatol": 1e-10}).x
    put("friction_learned", {"prior": prior, "u_prior": u_prior, "readings": listed(readings), "scatter": scatter}, math.exp(middle), 1e-5, "likeliest place (scipy), the median of a normal")


def clearances():
    u = pick(0.05, spread(1e-3, 0.5))
    clearance, u_limit = near(-0.1, 0.4), pick(0.03, 0.0, spread(1e-3, 0.2))
    limit = clearance + math.hypot(u, u_limit) * pick(near(-3, 3), near(-8, 5), -45.0)
    top = clearance if limit > clearance else clearance - (clearance - limit) * u**2 / (u**2 + u_limit**2)

    def ln_density(x):
        if u_limit == 0:
            return stats.norm.logpdf(x, clearance, u) if x <= limit else -math.inf
        return stats.norm.logpdf(x, clearance, u) + special.log_ndtr((limit - x) / u_limit)

    most = optimize.minimize_scalar(lambda x: -ln_density(x), bounds=(top - 12 * u, min(top + 12 * u, limit) if u_limit == 0 else top + 12 * u), method="bounded", options={"xatol": 1e-12}).x
    peak, reach = ln_density(most), 12 * u
    ends = [most - reach * share for share in (1, 0.5, 0.25, 0.1, 0.03, 0.01, 0.003)] + [most] + [most + reach * share for share in (0.003, 0.01, 0.03, 0.1, 0.25, 0.5, 1)]
    ends = [end for end in ends if u_limit or end < limit] + ([limit] if u_limit == 0 else [])

    def over(of):
        return quad(lambda x: math.exp(ln_density(x) - peak) * of(x), ends)

    whole = over(lambda x: 1.0)
    off = over(lambda x: x - most) / whole
    variance = over(lambda x: (x - most - off) ** 2) / whole
    mean, how = most + off, "adaptive quadrature about the likeliest place (scipy)"
    given = {"clearance": clearance, "u": u, "limit": limit, "u_limit": u_limit}
    if abs(mean) > 1e-3:
        put("too_tight_mean", given, mean, 1e-5, how)
    put("too_tight_u", given, math.sqrt(variance), 1e-4, how)
    if variance < 0.9 * u * u:
        own = 1 / (1 / variance - 1 / u**2)
        value = own * (mean / variance - clearance / u**2)
        if abs(value) > 1e-3:
            put("too_tight_as_reading", given, value, 5e-4, how)
        put("too_tight_as_reading_variance", given, own, 5e-4, how)
    low = clearance + u * pick(near(-3, 3), near(-50, 50))
    high = low + u * pick(0.01, near(0.1, 5))
    z = ((low - clearance) / u, (high - clearance) / u)
    most = min(max(0.0, z[0]), z[1])

    def between(of):
        ends = [z[0], z[1]] + [most + side * share for side in (-1, 1) for share in (0, 0.003, 0.01, 0.03, 0.1, 0.3, 1, 3, 9)]
        ends = [end for end in ends if z[0] <= end <= z[1]]
        return quad(lambda x: math.exp((most - x) * (most + x) / 2) * of(x), ends)

    whole = between(lambda x: 1.0)
    off = between(lambda x: x - most) / whole
    variance = between(lambda x: (x - most - off) ** 2) / whole
    given = {"clearance": clearance, "u": u, "low": low, "high": high}
    if abs(clearance + u * (most + off)) > 1e-3:
        put("went_together_mean", given, clearance + u * (most + off), 1e-5, how)
    put("went_together_u", given, u * math.sqrt(variance), 1e-4, how)


# Pieces.


def combs():
    slots, step, spread_ = int(pick(1, 3, 9, 17)), pick(0.05, 0.1, 0.025), pick(0.05, 0.03, 0.01, 0.005)
    first, expected, u = 3.0, 3.0 + step * slots / 2 + near(-0.1, 0.1), pick(0.1, 0.05, 0.5)
    need = expected + u * near(-1, 1)
    drawn = first + step * np.arange(slots)
    goes = drawn + spread_ * rng.standard_normal(slots) > need
    if rng.integers(3) == 0:
        goes[:] = bool(rng.integers(2))
    if rng.integers(4) == 0 and slots > 1:
        goes[0] = not goes[0]

    def ln_density(x):
        marks = np.where(goes, special.log_ndtr((drawn - x) / spread_), special.log_ndtr((x - drawn) / spread_))
        return float(np.sum(marks)) + stats.norm.logpdf(x, expected, u)

    lo, hi = min(drawn[0], expected) - 10 * u - 1, max(drawn[-1], expected) + 10 * u + 1
    most = optimize.minimize_scalar(lambda x: -ln_density(x), bounds=(lo, hi), method="bounded", options={"xatol": 1e-12}).x
    peak = ln_density(most)
    ends = [place for place in drawn if abs(place - most) < 9 * u] + [most + side * u * share for side in (-1, 1) for share in (0, 0.001, 0.003, 0.01, 0.03, 0.1, 0.3, 1, 3, 9)]

    def over(of):
        return quad(lambda x: math.exp(max(ln_density(x) - peak, -700)) * of(x), ends)

    whole = over(lambda x: 1.0)
    off = over(lambda x: x - most) / whole
    variance = over(lambda x: (x - most - off) ** 2) / whole
    given = {"first": first, "step": step, "slots": str(slots), "spread": spread_, "goes": "".join("1" if mark else "0" for mark in goes), "expected": expected, "u_expected": u}
    how = "adaptive quadrature about the likeliest place (scipy)"
    put("comb_needed", given, most + off, 1e-5, how)
    put("comb_needed_u", given, math.sqrt(variance), 1e-3, how)
    step, spread_ = near(0.02, 0.2), spread(0.01, 0.5)
    # The variance of the count, by the slots' chances, averaged over where the need lies between two slots.
    whole = quad(lambda x: stats.norm.cdf(x) * stats.norm.sf(x), [-9, -2, 0, 2, 9])
    put("comb_count_u", {"step": step, "spread": spread_}, math.sqrt(step * spread_ * whole), 1e-6, "the slots' chances integrated (scipy)")


def shapes():
    thickness, strain = spread(0.3, 5), spread(1e-3, 0.3)
    radius = optimize.brentq(lambda r: thickness / (2 * r + thickness) - strain, 0, 1e5, xtol=1e-13)
    put("arc_radius", {"thickness": thickness, "strain": strain}, radius, 1e-6, "root of t/(2R+t)")
    length = spread(5, 100)
    put("arm_stop", {"thickness": thickness, "length": length, "strain": strain}, 2 * strain * length**2 / 3 / thickness, 1e-9, "direct, plain handbook formula")
    drawn, scale, excess = near(10, 200), near(-0.005, 0.005), near(-0.3, 0.3)
    given = {"outside": drawn * (1 + scale) + excess, "inside": drawn * (1 + scale) - excess, "drawn": drawn}
    if abs(scale) > 1e-4:
        put("pair_scale", given, scale, 1e-8, "made with this scale")
    put("pair_line_excess", given, excess, 1e-8, "made with this excess")
    d, length, shear, strength = near(2, 20), near(2, 60), near(0.5, 8), near(5, 60)
    given = {"diameter": d, "length": length, "shear": shear, "strength": strength}
    put("dowel_pull_out", given, math.pi * d * length * shear, 1e-9, "area times stress")
    put("dowel_break", given, math.pi * (d / 2) ** 2 * strength, 1e-9, "area times stress")
    put("dowel_equal_length", given, optimize.brentq(lambda x: math.pi * d * x * shear - math.pi * d**2 / 4 * strength, 0, 1e4, xtol=1e-12), 1e-8, "both forces set equal")
    pull, flank, friction = near(10, 900), near(2, 45), near(0, 0.8)
    normal = pull / 2 / (math.sin(math.radians(flank)) + friction * math.cos(math.radians(flank)))
    put("dovetail_spread", {"pull": pull, "flank_deg": flank, "friction": friction}, normal * (math.cos(math.radians(flank)) - friction * math.sin(math.radians(flank))), 1e-9, "normal force from the balance along the pull, then across")


if __name__ == "__main__":
    for _ in range(ROUNDS):
        for of in (repeats, chord, scores, learned, left_out, mistyped, planned, counts, corrections, revised, causes, worths, risks, limits, trial_worth, frictions, clearances, combs, shapes):
            of()
    print("id,quantity,inputs,expected,tolerance_rel,how_obtained")
    for number, (quantity, inputs, expected, tolerance, how) in enumerate(rows, 1):
        print(f'F{number:04},{quantity},{inputs},{expected},{tolerance},"{how}"')
