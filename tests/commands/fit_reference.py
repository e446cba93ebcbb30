"""Fits of the program beside the same fits by scipy and numpy, on random data, to 1e-9.

Called by fit_scipy.sh with the path of the program and an empty folder. Written from the
formulas, not from the program: dense matrices and general-purpose optimisers throughout.
"""
import json
import os
import subprocess
import sys

import numpy as np
from scipy import integrate, optimize, special, stats

PROGRAM, FOLDER = sys.argv[1:3]
TOLERANCE = 1e-9
failed = 0


def check(name, have, want, tolerance=TOLERANCE):
    global failed
    good = abs(have - want) <= tolerance * max(1.0, abs(want))
    failed += not good
    print(f"{'ok' if good else 'not ok'} fit by scipy: {name}"
          + ("" if good else f": {have!r}, scipy has {want!r}"))


def student(p, dof):
    """Upper quantile; scipy's own t.ppf is good to nine digits only."""
    tail = optimize.brentq(lambda z: special.betainc(dof / 2, 0.5, z) / 2 - (1 - p), 1e-12, 1,
                           xtol=1e-16, rtol=1e-15)
    return np.sqrt(dof * (1 / tail - 1))


def run(columns, *options):
    path = os.path.join(FOLDER, "data.csv")
    names = list(columns)
    with open(path, "w", encoding="ascii") as file:
        print(",".join(names), file=file)
        for row in zip(*columns.values()):
            print(",".join(c if isinstance(c, str) else repr(float(c)) for c in row), file=file)
    told = subprocess.run([PROGRAM, "fit", path, "--format", "json", *options],
                          capture_output=True, text=True, check=False)
    if told.returncode != 0:
        print(f"not ok fit by scipy: {' '.join(options)}: status {told.returncode}: {told.stderr}")
        sys.exit(1)
    tables = {t["id"]: t["rows"] for t in json.loads(told.stdout)["tables"]}
    items = {row["item"]: row["value"] for row in tables["fit"]}
    return items, tables


def sample(rng, n, slope=-1.3, sd=0.2):
    x = rng.uniform(0.5, 2.0, n)
    return x, 1.7 + slope * x + sd * rng.standard_normal(n)


def ordinary(rng):
    n = int(rng.integers(6, 60))
    x, y = sample(rng, n)
    items, tables = run({"distance_m": 10.0 ** x, "ppv_mm_s": 10.0 ** y}, "--at", "17",
                        "--percentile", "90", "--confidence", "80")
    fit = stats.linregress(x, y)
    check("slope", items["slope b"], fit.slope)
    check("intercept", items["intercept a"], fit.intercept)
    check("slope error", items["standard error of b"], fit.stderr)
    check("intercept error", items["standard error of a"], fit.intercept_stderr)
    check("R^2", items["R^2"], fit.rvalue ** 2)
    s = np.sqrt(np.sum((y - fit.intercept - fit.slope * x) ** 2) / (n - 2))
    check("scatter", items["residual standard deviation s"], s)
    x0 = np.log10(17.0)
    q = 1 / n + (x0 - x.mean()) ** 2 / np.sum((x - x.mean()) ** 2)
    line = fit.intercept + fit.slope * x0
    row = tables["lines"][0]
    check("prediction limit", row["prediction"],
          10 ** (line + student(0.9, n - 2) * s * np.sqrt(1 + q)))
    check("mean from", row["mean_low"], 10 ** (line - student(0.9, n - 2) * s * np.sqrt(q)))
    k = stats.nct.ppf(0.8, n - 2, stats.norm.ppf(0.9) / np.sqrt(q)) * np.sqrt(q)
    check("tolerance limit", row["tolerance"], 10 ** (line + k * s), 1e-8)


def fixed(rng):
    n = int(rng.integers(3, 20))
    x, y = sample(rng, n)
    items, _ = run({"distance_m": 10.0 ** x, "ppv_mm_s": 10.0 ** y}, "--slope", "-1.25")
    check("held slope: intercept", items["intercept a"], np.mean(y + 1.25 * x))
    check("held slope: scatter", items["residual standard deviation s"],
          np.std(y + 1.25 * x, ddof=1))


def scaled(rng):
    n = 25
    x, y = sample(rng, n)
    w = 10.0 ** rng.uniform(3, 5, n)
    items, _ = run({"Distance (ft)": 10.0 ** x * np.sqrt(w) / 0.3048, "Energy [kJ]": w / 1e3,
                    "PPV (in/s)": 10.0 ** y / 25.4}, "--scaled")
    fit = stats.linregress(x, y)
    check("scaled, other units: slope", items["slope b"], fit.slope)
    check("scaled, other units: intercept", items["intercept a"], fit.intercept)


def scaled_only(rng):
    """Scaled distances in the table, none in m: the distance that keeps a limit."""
    n = 25
    x, y = sample(rng, n)
    x = x - 2.0
    fit = stats.linregress(x, y)
    limit, energy = 10 ** (fit.intercept + fit.slope * (x.mean() + 0.1)), 30e3
    columns = {"scaled_distance_m_sqrtkJ": 10.0 ** (x + 1.5), "ppv_mm_s": 10.0 ** y}
    want = 10 ** ((np.log10(limit) - fit.intercept) / fit.slope)
    row = run(columns, "--limit", repr(float(limit)))[1]["least_distance"][0]
    check("scaled distance that keeps a limit", row["central_m"], want)
    row = run(columns, "--limit", repr(float(limit)), "--energy", "30 kJ")[1]["least_distance"][0]
    check("distance that keeps a limit at an energy", row["central_m"], want * np.sqrt(energy))
    check("which lies among the data", float(row["outside"] == ""), 1.0)
    w = 10.0 ** rng.uniform(3, 5, n)
    columns = {"distance_m": 10.0 ** x * np.sqrt(w), "energy_J": w, "ppv_mm_s": 10.0 ** y}
    row = run(columns, "--scaled", "--limit", repr(float(limit)))[1]["least_distance"][0]
    check("the same without an energy", row["central_m"], want)


def level(rng):
    x, y = sample(rng, 30, -22.0, 2.0)
    y = y + 90
    items, _ = run({"distance_m": 10.0 ** x, "laeq_dB": y})
    fit = stats.linregress(x, y)
    check("level: slope", items["slope b"], fit.slope)
    check("level: intercept", items["intercept a"], fit.intercept)


def robust(rng):
    n = 24
    x, y = sample(rng, n)
    y[::9] += 1.2
    items, _ = run({"distance_m": 10.0 ** x, "ppv_mm_s": 10.0 ** y}, "--by", "robust")
    start = stats.theilslopes(y, x)
    scale = np.median(np.abs(y - start[1] - start[0] * x)) / stats.norm.ppf(0.75)

    def gradient(beta):
        e = y - beta[0] - beta[1] * x
        psi = np.clip(e, -1.345 * scale, 1.345 * scale)
        return [-np.sum(psi), -np.sum(psi * x)]

    free = optimize.least_squares(lambda beta: y - beta[0] - beta[1] * x, [start[1], start[0]],
                                  loss="huber", f_scale=1.345 * scale, xtol=1e-15, ftol=1e-15,
                                  gtol=1e-15)
    exact = optimize.root(gradient, free.x, tol=1e-15)
    check("robust: intercept", items["intercept a"], exact.x[0])
    check("robust: slope", items["slope b"], exact.x[1])


def mixed(rng):
    groups = np.repeat(np.arange(9), rng.integers(2, 7, 9))
    n = len(groups)
    x, y = sample(rng, n, sd=0.1)
    y = y + (0.25 * rng.standard_normal(9))[groups]
    items, _ = run({"distance_m": 10.0 ** x, "ppv_mm_s": 10.0 ** y,
                    "receptor": [f"R{g}" for g in groups]}, "--by", "mixed", "--group", "receptor")
    design = np.column_stack([np.ones(n), x])
    z = (groups[:, None] == np.arange(9)[None, :]).astype(float)

    def parts(ratio):
        v = np.linalg.inv(np.eye(n) + ratio * z @ z.T)
        c = np.linalg.inv(design.T @ v @ design)
        return v, c, v - v @ design @ c @ design.T @ v

    def score(ratio):
        _, _, p = parts(ratio)
        return np.trace(p @ z @ z.T) - (n - 2) * (y @ p @ z @ z.T @ p @ y) / (y @ p @ y)

    ratio = optimize.brentq(score, 1e-6, 1e4, xtol=1e-14, rtol=1e-14)
    v, c, p = parts(ratio)
    own = y @ p @ y / (n - 2)
    beta = c @ design.T @ v @ y
    check("mixed: slope", items["slope b"], beta[1])
    check("mixed: intercept", items["intercept a"], beta[0])
    check("mixed: of each pile", items["part of each pile"], np.sqrt(own))
    check("mixed: shared", items["shared part of the scatter"], np.sqrt(own * ratio))
    check("mixed: slope error", items["standard error of b"], np.sqrt(own * c[1, 1]))
    check("mixed: intercept error", items["standard error of a"], np.sqrt(own * c[0, 0]))


def update(rng):
    n = int(rng.integers(3, 30))
    x, y = sample(rng, n)
    items, tables = run({"distance_m": 10.0 ** x, "ppv_mm_s": 10.0 ** y}, "--at", "30", "--prior",
                        "bs5228-2-vibratory", "--set", "phase=steady")
    sd = np.log10(266 / 60) / stats.norm.ppf(0.95)
    centre, own = x.mean(), sd ** 2 / 2
    mean0 = np.array([np.log10(60) - 1.4 * centre, -1.4])
    prec0 = np.diag([own / (sd ** 2 / 2), own / 0.3 ** 2])
    u = np.column_stack([np.ones(n), x - centre])
    prec = prec0 + u.T @ u
    mean = np.linalg.solve(prec, prec0 @ mean0 + u.T @ y)
    dof = 4 + n
    s2 = (4 * own + y @ y + mean0 @ prec0 @ mean0 - mean @ prec @ mean) / dof
    check("update: slope", items["slope b"], mean[1])
    check("update: intercept", items["intercept a"], mean[0] - mean[1] * centre)
    check("update: scatter", items["residual standard deviation s"], np.sqrt(s2))
    u0 = np.array([1.0, np.log10(30) - centre])
    want = u0 @ mean + student(0.95, dof) * np.sqrt(s2 * (1 + u0 @ np.linalg.inv(prec) @ u0))
    check("update: limit", tables["lines"][0]["prediction"], 10 ** want)


def chance(rng):
    n = 12
    x, y = sample(rng, n)
    _, tables = run({"distance_m": 10.0 ** x, "ppv_mm_s": 10.0 ** y}, "--at", "10", "--limit", "5",
                    "--piles", "40")
    fit = stats.linregress(x, y)
    s = np.sqrt(np.sum((y - fit.intercept - fit.slope * x) ** 2) / (n - 2))
    q = 1 / n + (1 - x.mean()) ** 2 / np.sum((x - x.mean()) ** 2)
    room = np.log10(5.0) - fit.intercept - fit.slope
    row = tables["chance"][0]
    check("chance of one pile", row["one_percent"] / 100,
          stats.t.sf(room / (s * np.sqrt(1 + q)), n - 2))

    def inside(u, w):
        c = np.sqrt((n - 2) / w)
        over = stats.norm.sf((room / c - s * np.sqrt(q) * u) / s)
        return stats.norm.pdf(u) * stats.chi2.pdf(w, n - 2) * -np.expm1(40 * np.log1p(-over))

    want = integrate.dblquad(inside, 1e-6, 80, -8, 8, epsabs=1e-11, epsrel=1e-10)[0]
    check("chance of 40 piles", row["any_percent"] / 100, want, 1e-7)


generator = np.random.default_rng(20260504)
for _ in range(3):
    ordinary(generator)
    fixed(generator)
    robust(generator)
    mixed(generator)
    update(generator)
scaled(generator)
scaled_only(generator)
level(generator)
chance(generator)
sys.exit(1 if failed else 0)
