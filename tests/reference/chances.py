"""Writes chances.csv: the chance of failing of demands and stacks, by exact distributions or a million draws.

    python -m venv venv && venv/bin/pip install -r requirements.txt
    venv/bin/python chances.py           # writes chances.csv

A mean of n readings is drawn from a t distribution with n - 1 degrees of freedom, scaled by s / sqrt(n) (JCGM 101:2008,
6.4.9); a tolerance from a normal one of which it is two standard deviations; bounds from a rectangular one. The tolerance
is four standard errors of the draws, and a little for what the crate approximates.
"""

import csv
import math
import pathlib

import numpy as np
from scipy import integrate, stats
from scipy.special import stdtr

TABLE = pathlib.Path(__file__).with_name("chances.csv")
DRAWS = 1_000_000
rng = np.random.default_rng(20240229)


def normal(middle, plus_minus):
    return rng.normal(middle, plus_minus / 2, DRAWS)


def between(low, high):
    return rng.uniform(low, high, DRAWS)


def readings(*values, limit=0.0, step=0.0):
    """Their mean, with the instrument's limit and half its step as half-widths."""
    n = len(values)
    scale = np.std(values, ddof=1) / math.sqrt(n)
    own = between(-limit, limit) + between(-step / 2, step / 2)
    return np.mean(values) + scale * rng.standard_t(n - 1, DRAWS) + own


def t_above(limit, *values):
    """Exactly how much of the distribution of a mean of readings lies above a limit."""
    n = len(values)
    scale = np.std(values, ddof=1) / math.sqrt(n)
    return stats.t.sf((limit - np.mean(values)) / scale, n - 1)


def above(limit, *sets):
    """The same of a sum of such means: the density of one after the other, by quadrature."""
    first, *others = sets
    n = len(first)
    middle, scale = np.mean(first), np.std(first, ddof=1) / math.sqrt(n)
    if not others:
        return stdtr(n - 1, (middle - limit) / scale)
    whole = math.gamma(n / 2) / (math.sqrt((n - 1) * math.pi) * math.gamma((n - 1) / 2))

    def part(v):
        t = math.sinh(v)
        return whole * (1 + t * t / (n - 1)) ** (-n / 2) * math.cosh(v) * above(limit - middle - scale * t, *others)

    return integrate.quad(part, -20, 20, epsabs=1e-9, limit=500)[0]


def exact():
    three, two, five = (10, 11, 13), (10, 10.5), (10, 10.4, 10.1, 10.7, 10.3)
    yield "three readings", "bought f { x measured 10, 11, 13 s }", "f.x < 13 s", t_above(13, *three)
    yield "two readings", "bought f { x measured 10, 10.5 s }", "f.x < 11 s", t_above(11, *two)
    yield "five readings", "bought f { x measured 10, 10.4, 10.1, 10.7, 10.3 s }", "f.x < 10.5 s", t_above(10.5, *five)
    yield "far out on two readings", "bought f { x measured 10, 10.5 s }", "f.x < 11.8 s", t_above(11.8, *two)
    several = "bought f { x measured 10, 11, 13 s; y measured 3, 3.1 s; v measured 5, 5.4, 5.1 s; w measured 7, 7.8 s }"
    y, v, w = (3, 3.1), (5, 5.4, 5.1), (7, 7.8)
    yield "readings of three things", several, "f.x + f.y + f.v < 21 s", above(21, three, v, y)
    yield "readings of three things of which one is taken off", several, "f.w - f.y + f.v < 10.3 s", above(10.3, v, w, (-3, -3.1))
    pairs = "bought f { " + "; ".join(f"x{index} measured 10, 10.5 s" for index in range(10)) + " }"
    total = " + ".join(f"f.x{index}" for index in range(10))
    yield "ten pairs of readings", pairs, f"{total} < 105 s", stats.cauchy.sf(105, 102.5, 2.5)
    # The second limit is reached by a tail of few readings alone.
    near, far = t_above(-10.45, *(-value for value in three)), t_above(16.45, *three)
    yield "a second limit far out on three readings", "bought f { x measured 10, 11, 13 s }", "abs(f.x - 13.45 s) < 3 s", near + far
    # Flat at its middle: to first order nothing moves it.
    near = "bought f { x 10 mm ± 0.2 mm }"
    yield "a square at its least", near, "(f.x - 10 mm) * (f.x - 10 mm) <= 0.01 mm2", 2 * stats.norm.sf(1)
    yield "a distance at its least", near, "abs(f.x - 10 mm) <= 0.1 mm", 2 * stats.norm.sf(1)
    # By its slope it is nine standard uncertainties from the limit, and curves towards it.
    base = "bought f { x 2 mm ± 1 mm }"
    yield "a power that its slope takes for certain", base, "(f.x / (1 mm)) ^ 12 < 120000", stats.norm.sf((120000 ** (1 / 12) - 2) / 0.5)
    # A gap between two limits that is narrower than what is uncertain, off the middle.
    half = "bought f { x 10 mm ± 0.2 mm; y 5 mm ± 0.2 mm; v 3 mm ± 0.2 mm; w 2 mm ± 0.2 mm }"
    missed = 1 - stats.norm.cdf(0.21 / 0.2) + stats.norm.cdf(0.01 / 0.2)
    yield "a gap narrower than the spread", half, "abs(f.x + f.y + f.v + f.w - 20.11 mm) < 0.1 mm", missed
    wall = "bought wall { x 2 mm ± 0.1 mm }"
    yield "a stack with least alone", wall, 'stack "gap" { gap wall.x; least 1.96 mm }', stats.norm.cdf(-0.8)
    yield "a stack with most alone", wall, 'stack "gap" { gap wall.x; most 2.03 mm }', stats.norm.cdf(-0.6)
    both = stats.norm.cdf(-0.8) + stats.norm.cdf(-0.6)
    yield "a stack with both", wall, 'stack "gap" { gap wall.x; least 1.96 mm; most 2.03 mm }', both


def drawn():
    measured = "bought m { x measured 10.02, 10.05, 10.11 mm; y measured 5.00, 5.04, 5.01, 5.06 mm; z 5 mm ± 0.1 mm }"
    caliper = {"limit": 0.03, "step": 0.01}
    x, y = readings(10.02, 10.05, 10.11, **caliper), readings(5.00, 5.04, 5.01, 5.06, **caliper)
    z = normal(5, 0.1)
    yield "readings and a tolerance", measured, "m.x + m.z < 15.12 mm", x + z >= 15.12
    yield "readings of two things", measured, "m.x - m.y < 5.08 mm", x - y >= 5.08
    two = "bought m { x measured 10, 11, 13 s; y measured 3, 3.1 s; z 5 s ± 0.6 s }"
    x2, y2, z2 = readings(10, 11, 13), readings(3.0, 3.1), normal(5, 0.6)
    yield "readings of two things without more", two, "m.x + m.y < 16 s", x2 + y2 >= 16
    yield "readings of two things of which one counts twice", measured, "m.x + 2 * m.y < 20.16 mm", x + 2 * y >= 20.16
    yield "readings of two things and a tolerance", two, "m.x + m.y + m.z < 21.5 s", x2 + y2 + z2 >= 21.5
    yield "readings in a product", measured, "m.x * m.z < 51 mm2", x * z >= 51
    yield "readings on both sides", measured, "abs(m.x - 10.06 mm) < 0.05 mm", np.abs(x - 10.06) >= 0.05
    ab = "bought a { x 10 mm ± 0.2 mm }\nbought b { x 5 mm ± 0.2 mm }\nbought c { x between 2.9 mm and 3.1 mm }"
    a, b, c = normal(10, 0.2), normal(5, 0.2), between(2.9, 3.1)
    yield "both of two that share", ab, "a.x < 10.1 mm and a.x + b.x > 14.9 mm", ~((a < 10.1) & (a + b > 14.9))
    yield "either of two", ab, "a.x < 10 mm or b.x < 4.95 mm", ~((a < 10) | (b < 4.95))
    yield "either of two that share", ab, "a.x < 10.05 mm or a.x - b.x < 4.9 mm", ~((a < 10.05) | (a - b < 4.9))
    three = "a.x < 10.1 mm and b.x < 5.12 mm and c.x > 2.95 mm"
    yield "all of three", ab, three, ~((a < 10.1) & (b < 5.12) & (c > 2.95))
    mixed = "(a.x < 10.05 mm or c.x < 3 mm) and b.x < 5.1 mm"
    yield "both of which one is either", ab, mixed, ~(((a < 10.05) | (c < 3)) & (b < 5.1))
    one = "a.x > 0 mm and b.x < 5.05 mm"
    yield "both of which one is certain", ab, one, ~((a > 0) & (b < 5.05))
    four = measured.replace(" }", "; v measured 7.02, 7.09 mm; w measured 2.31, 2.26, 2.30 mm }")
    v, w = readings(7.02, 7.09, **caliper), readings(2.31, 2.26, 2.30, **caliper)
    yield "readings of four things", four, "m.x + m.y + m.v + m.w < 24.5 mm", x + y + v + w >= 24.5


def main():
    with TABLE.open("w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["id", "given", "asked", "expected", "tolerance", "how_obtained"])
        for name, given, asked, chance in exact():
            table.writerow([name, given, asked, f"{chance:.7f}", "1e-6", "exact, scipy"])
        for name, given, asked, fails in drawn():
            chance = fails.mean()
            error = 4 * math.sqrt(chance * (1 - chance) / DRAWS)
            table.writerow([name, given, asked, f"{chance:.6f}", f"{error + 0.004:.4f}", "a million draws, numpy"])


if __name__ == "__main__":
    main()
