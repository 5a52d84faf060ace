"""The belief about a person's level of wobble, by a route of its own.

Writes readiness_cases.json beside this file: cases with their inputs and what
numpy and scipy make of them. The program integrates in the logarithms of the
two spreads with the session means as summary; here every trial stands in one
full covariance matrix, and the two variances are integrated over the quantiles
of their beliefs (Gauss-Legendre). Cases without board noise are drawn a second
time by Gibbs sampling, which must agree within its own error.

Run: python3 tests/peer/readiness_check.py
Needs numpy and scipy.
"""

import json
import math
import sys
from pathlib import Path

import numpy as np
import scipy
from scipy.optimize import brentq
from scipy.stats import invgamma, norm

EDGE, LOWER = math.log(25.4), math.log(6.35)
SHIFT_MEAN, SHIFT_SD = math.log(1.17), 0.26
N_NODES = 240
OUT = Path(__file__).with_name("readiness_cases.json")


def cases():
    """Inputs: made-up courses, ordinary and awkward, seeded."""
    draw = np.random.default_rng(20240607)

    def course(level_mm, tau, sigma, sizes):
        level = math.log(level_mm)
        return [
            [float(level + t + sigma * draw.standard_normal()) for _ in range(n)]
            for n in sizes
            for t in [tau * draw.standard_normal()]
        ]

    home, clinic, firm, weak = (0.155, 10.0), (0.11, 10.0), (0.22, 10.0), (0.25, 3.0)
    days = (0.15, 4.0)
    rows = [
        ("three even sessions", course(19, 0.15, 0.155, [3, 3, 3]), home, days, 0.0, 0.0),
        ("at the edge", course(25.4, 0.12, 0.155, [3, 3, 3, 3, 3]), home, days, 0.0, 0.0),
        ("uneven sessions", course(22, 0.15, 0.155, [1, 5, 2, 3]), home, days, 0.0, 0.0),
        ("one trial a session", course(21, 0.2, 0.11, [1] * 8), clinic, days, 0.0, 0.0),
        ("one session", course(18, 0.15, 0.155, [4]), home, days, 0.0, 0.0),
        ("one trial", course(18, 0.15, 0.155, [1]), home, days, 0.0, 0.0),
        ("two sessions far apart", [[2.3, 2.4], [3.6, 3.5]], home, days, 0.0, 0.0),
        ("an outlying session", [[2.9, 3.0, 2.95], [2.9, 2.95], [3.0, 2.9], [4.2, 4.3]], home, days, 0.0, 0.0),
        ("no spread at all", [[3.2] * 3] * 4, home, days, 0.0, 0.0),
        ("firm ground, under the window", course(6.0, 0.1, 0.2, [3, 3, 3, 3]), firm, days, 0.0, 0.0),
        ("tandem, weak belief", course(24, 0.2, 0.3, [2, 2, 2]), weak, days, 0.0, 0.0),
        ("board noise and scale", course(23, 0.15, 0.155, [3, 3, 3]), home, days, 0.08, 0.03),
        ("much board noise", course(20, 0.1, 0.2, [2, 3, 4, 2]), clinic, days, 0.25, 0.05),
        ("ten sessions", course(23.5, 0.15, 0.155, [3] * 10), home, days, 0.02, 0.01),
    ]
    keys = ("name", "sessions", "trial_prior", "day_prior", "noise_log_sd", "calibration_log_sd")
    return [dict(zip(keys, row)) for row in rows]


def spread_belief(prior):
    scale, freedom = prior
    return invgamma(freedom / 2, scale=freedom * scale**2 / 2)


def mixture(case):
    """Nodes of the belief: weight, mean and variance of the level, both variances."""
    at, weight = np.polynomial.legendre.leggauss(N_NODES)
    at, weight = (at + 1) / 2, weight / 2
    person = spread_belief(case["trial_prior"]).ppf(at)
    day = spread_belief(case["day_prior"]).ppf(at)
    y = np.concatenate(case["sessions"])
    owner = np.repeat(np.arange(len(case["sessions"])), [len(s) for s in case["sessions"]])
    same_day = (owner[:, None] == owner[None, :]).astype(float)
    ones, eye = np.ones(len(y)), np.eye(len(y))
    rows = []
    for sigma2, w_sigma in zip(person + case["noise_log_sd"] ** 2, weight):
        cov = sigma2 * eye + day[:, None, None] * same_day
        _, logdet = np.linalg.slogdet(cov)
        solved = np.linalg.solve(cov, np.stack([ones, y], axis=1)[None].repeat(len(day), 0))
        precision = solved[:, :, 0] @ ones
        mean = (solved[:, :, 0] @ y) / precision
        misfit = solved[:, :, 1] @ y - precision * mean**2
        log_like = -0.5 * (logdet + np.log(precision) + misfit)
        rows.append((np.log(w_sigma * weight) + log_like, mean, 1 / precision, np.full(len(day), sigma2), day))
    log_w, mean, variance, sigma2, tau2 = (np.concatenate(c) for c in zip(*rows))
    w = np.exp(log_w - log_w.max())
    return w / w.sum(), mean, variance + case["calibration_log_sd"] ** 2, sigma2, tau2


def answers(case):
    w, mean, variance, sigma2, tau2 = mixture(case)
    below = lambda level, m=0.0, s=0.0: float(w @ norm.cdf(level, mean + m, np.sqrt(variance + s**2)))
    quantile = lambda p: float(brentq(lambda x: below(x) - p, -20, 30, xtol=1e-12))
    trial = float(w @ norm.cdf(EDGE, mean, np.sqrt(variance + sigma2 + tau2)))
    return {
        "at_most_upper": below(EDGE),
        "at_most_lower": below(LOWER),
        "shifted_at_most_upper": below(EDGE, SHIFT_MEAN, SHIFT_SD),
        "trial_at_most_upper": trial,
        "quantiles": [quantile(p) for p in (0.025, 0.5, 0.975)],
        "session_of_3_variance": float(w @ (tau2 + sigma2 / 3)),
    }


def gibbs_at_most_upper(case, n_chains=400, n_kept=2500, n_dropped=300):
    """The same probability by conjugate draws: an average of many chains side by side."""
    draw = np.random.default_rng(7)
    sessions = [np.array(s) for s in case["sessions"]]
    n = np.array([len(s) for s in sessions])
    sums = np.array([s.sum() for s in sessions])
    squares = np.array([(s**2).sum() for s in sessions])
    (s0, nu0), (t0, mu0) = case["trial_prior"], case["day_prior"]
    sigma2, tau2 = np.full(n_chains, s0**2), np.full(n_chains, t0**2)
    theta = np.full(n_chains, sums.sum() / n.sum())
    hits = []
    for step in range(n_dropped + n_kept):
        precision = n / sigma2[:, None] + 1 / tau2[:, None]
        centre = (sums / sigma2[:, None] + (theta / tau2)[:, None]) / precision
        level = centre + draw.standard_normal(centre.shape) / np.sqrt(precision)
        theta_mean, theta_sd = level.mean(axis=1), np.sqrt(tau2 / len(sessions))
        if step >= n_dropped:
            hits.append(norm.cdf(EDGE, theta_mean, theta_sd))
        theta = theta_mean + theta_sd * draw.standard_normal(n_chains)
        misfit = (squares - 2 * level * sums + n * level**2).sum(axis=1)
        sigma2 = (nu0 * s0**2 + misfit) / draw.chisquare(nu0 + n.sum(), n_chains)
        scatter = ((level - theta[:, None]) ** 2).sum(axis=1)
        tau2 = (mu0 * t0**2 + scatter) / draw.chisquare(mu0 + len(sessions), n_chains)
    chains = np.mean(hits, axis=0)
    return float(chains.mean()), float(chains.std(ddof=1) / math.sqrt(n_chains))


def main():
    rows = []
    for case in cases():
        found = answers(case)
        if case["noise_log_sd"] == 0 and case["calibration_log_sd"] == 0:
            drawn, error = gibbs_at_most_upper(case)
            gap = abs(drawn - found["at_most_upper"])
            assert gap < 5 * error + 1e-5, (case["name"], drawn, error, found["at_most_upper"])
            found["gibbs_at_most_upper"], found["gibbs_error"] = drawn, error
        rows.append({**case, "expected": found})
        print(f"{case['name']:32} {found['at_most_upper']:.6f} {found.get('gibbs_at_most_upper', '')}")
    made_by = {
        "command": "python3 tests/peer/readiness_check.py",
        "python": sys.version.split()[0],
        "numpy": np.__version__,
        "scipy": scipy.__version__,
    }
    levels = {"upper_mm": 25.4, "lower_mm": 6.35, "shift_mean": SHIFT_MEAN, "shift_sd": SHIFT_SD}
    OUT.write_text(json.dumps({"made_by": made_by, **levels, "cases": rows}, indent=1) + "\n")


if __name__ == "__main__":
    main()
