"""Writes coverage.csv: how often intervals of the learning model hold what they are meant for, by simulated machines.

    python -m venv venv && venv/bin/pip install -r requirements.txt
    venv/bin/python coverage.py           # writes coverage.csv

The model is written out here a second time, with whole covariance matrices and none of the crate's code. A machine's bias,
its spread and every print are drawn; the 90 % interval of the next print of the first feature is asked whether it holds that
print. Where the model is true it must hold 88 to 92 % of them. The other rows say what becomes of it where it is not: a bias three
spreads off, a machine twice as wild as its profile, shares of the variance that are others than the model's.
"""

import csv
import math
import pathlib

import numpy as np
from scipy import stats

TABLE = pathlib.Path(__file__).with_name("coverage.csv")
RUNS = 20_000
rng = np.random.default_rng(20270211)

S0, NU0, PHI, PSI, LIMIT, W = 0.07, 6.0, 0.4, 0.2, 0.03, 8.333e-5


def kernel(features, jobs, phi, psi, kb, kc, w):
    same_feature = features[:, None] == features[None, :]
    same_job = jobs[:, None] == jobs[None, :]
    rest = (1 - phi - psi) * (same_feature & same_job)
    return kb + kc + phi * same_feature + psi * same_job + rest + np.diag(np.full(len(features), w))


def covered(features, jobs, bias_off=None, wild=1.0, phi=PHI, psi=PSI):
    """The share of runs whose 90 % interval holds the next print of feature 0, in a job of its own."""
    n = len(features)
    kc = (LIMIT / math.sqrt(3) / S0) ** 2
    inverse = np.linalg.inv(kernel(features, jobs, PHI, PSI, 1.0, kc, W / S0**2))
    k = 1.0 + PHI * (features == 0)
    held = 0
    for _ in range(RUNS):
        if wild == 1.0 and bias_off is None:
            sigma = math.sqrt(stats.invgamma.rvs(NU0 / 2, scale=(NU0 - 2) * S0**2 / 2, random_state=rng))
        else:
            sigma = wild * S0
        bias = rng.normal(0, sigma) if bias_off is None else bias_off * S0
        own = rng.normal(0, math.sqrt(phi) * sigma, features.max() + 1)
        job = rng.normal(0, math.sqrt(psi) * sigma, jobs.max() + 2)
        rest = math.sqrt(1 - phi - psi) * sigma
        # What reading adds goes with the spread in the closed form; it is small.
        scale = sigma / S0
        jaws = rng.normal(0, LIMIT / math.sqrt(3)) * scale
        y = bias + own[features] + job[jobs] + rng.normal(0, rest, n) + jaws + rng.normal(0, math.sqrt(W) * scale, n)
        following = bias + own[0] + job[-1] + rng.normal(0, rest)
        a = NU0 / 2 + n / 2
        c = (NU0 - 2) * S0**2 / 2 + y @ inverse @ y / 2
        scale = math.sqrt(c / a * (2.0 - k @ inverse @ k))
        held += abs(following - k @ inverse @ y) < stats.t.ppf(0.95, 2 * a) * scale
    return held / RUNS


def numbered(*numbers):
    return np.array(numbers)


CASES = [
    ("1 feature, 1 job", numbered(0), numbered(0), {}, "model"),
    ("3 features, 1 job", numbered(0, 1, 2), numbered(0, 0, 0), {}, "model"),
    ("3 features, 3 jobs", numbered(0, 1, 2) , numbered(0, 1, 2), {}, "model"),
    ("10 features, 1 job", np.arange(10), np.zeros(10, int), {}, "model"),
    ("4 features, 5 jobs each", np.tile(np.arange(4), 5), np.repeat(np.arange(5), 4), {}, "model"),
    ("5 features, bias 3 spreads off", np.arange(5), np.arange(5), {"bias_off": 3.0}, "not the model"),
    ("1 feature, bias 3 spreads off", numbered(0), numbered(0), {"bias_off": 3.0}, "not the model"),
    ("5 features, twice as wild", np.arange(5), np.arange(5), {"wild": 2.0}, "not the model"),
    ("20 features, twice as wild", np.arange(20), np.arange(20), {"wild": 2.0}, "not the model"),
    ("10 features, 1 job, job's share 0.5", np.arange(10), np.zeros(10, int), {"psi": 0.5, "phi": 0.2}, "not the model"),
]


def main():
    with TABLE.open("w", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["case", "true", "nominal", "held", "standard_error"])
        for name, features, jobs, given, true in CASES:
            held = covered(features, jobs, **given)
            error = math.sqrt(held * (1 - held) / RUNS)
            rows.writerow([name, true, 0.9, f"{held:.4f}", f"{error:.4f}"])
            print(name, held)


if __name__ == "__main__":
    main()
