#!/usr/bin/python3
"""The sum of bench_vibration.c once more with numpy, in the same run, on the same data.

    bench_vibration.py BENCH_PROGRAM FOLDER

Runs the C program, does the same with numpy, compares every result to 1e-9 and prints pairs a
second for both. numpy is timed three ways, each with its best chunk size, so that the reader can
choose what to compare with:

    as written    v = K * r ** -n at every stage of every pair, the largest, v.max(), (v ** 4).sum()
    thrifty       one power a stage and pair, on squared distances, without temporaries
    folded        the kernel's own idea: the stages are compared before one power a pair

Everything runs on one thread, as element-wise numpy does.
"""
import os
import subprocess
import sys
import time

import numpy as np

REPEATS = 5
CHUNK_BYTES = (32 << 10, 64 << 10, 128 << 10, 256 << 10, 1 << 20)


def read_data(path):
    data = np.fromfile(path)
    n, stages, piles, receptors = data[0], int(data[1]), int(data[2]), int(data[3])
    parts = np.split(data[4:], np.cumsum([stages, stages, piles, piles, receptors]))
    return n, parts


def as_written(n, parts, rows):
    gain, toe, pile_x, pile_y, x, y = parts
    peak = np.empty_like(x)
    sum4 = np.empty_like(x)
    for start in range(0, x.size, rows):
        part = slice(start, start + rows)
        d = np.sqrt((x[part, None] - pile_x) ** 2 + (y[part, None] - pile_y) ** 2)
        worst = np.zeros_like(d)
        for k, depth in zip(gain, toe):
            r = np.sqrt(d**2 + depth**2)
            worst = np.maximum(worst, k * r**-n)
        peak[part] = worst.max(axis=1)
        sum4[part] = (worst**4).sum(axis=1)
    return peak, sum4


def squared(parts, part, a, b):
    pile_x, pile_y, x, y = parts[2:]
    np.subtract(x[part, None], pile_x, out=a)
    np.subtract(y[part, None], pile_y, out=b)
    a *= a
    b *= b
    a += b


def finish(worst, part, peak, sum4):
    peak[part] = worst.max(axis=1)
    worst *= worst
    worst *= worst
    sum4[part] = worst.sum(axis=1)


def chunks(parts, rows):
    shape = (rows, parts[2].size)
    room = [np.empty(shape) for _ in range(3)]
    size = parts[4].size
    for start in range(0, size, rows):
        part = slice(start, min(start + rows, size))
        yield part, [array[: part.stop - start] for array in room]


def thrifty(n, parts, rows):
    gain, toe = parts[:2]
    peak, sum4 = np.empty_like(parts[4]), np.empty_like(parts[4])
    for part, (d2, v, worst) in chunks(parts, rows):
        squared(parts, part, d2, v)
        worst[:] = 0
        for k, depth in zip(gain, toe):
            np.add(d2, depth**2, out=v)
            np.power(v, -0.5 * n, out=v)
            v *= k
            np.maximum(worst, v, out=worst)
        finish(worst, part, peak, sum4)
    return peak, sum4


def folded(n, parts, rows):
    gain, toe = parts[:2]
    peak, sum4 = np.empty_like(parts[4]), np.empty_like(parts[4])
    scale = gain ** (-2.0 / n)
    for part, (d2, v, least) in chunks(parts, rows):
        squared(parts, part, d2, v)
        least[:] = np.inf
        for g, depth in zip(scale, toe):
            np.multiply(d2, g, out=v)
            v += g * depth**2
            np.minimum(least, v, out=least)
        np.power(least, -0.5 * n, out=least)
        finish(least, part, peak, sum4)
    return peak, sum4


WAYS = (
    ("numpy, as written", as_written),
    ("numpy, thrifty", thrifty),
    ("numpy, folded", folded),
)


def best_of(call):
    best = float("inf")
    for _ in range(REPEATS):
        start = time.perf_counter()
        result = call()
        best = min(best, time.perf_counter() - start)
    return best, result


def main():
    program, folder = sys.argv[1:3]
    data, result = (os.path.join(folder, name) for name in ("vibration.data", "vibration.result"))
    lines = subprocess.run([program, data, result], check=True, capture_output=True, text=True)
    n, parts = read_data(data)
    piles, receptors = parts[2].size, parts[4].size
    pairs = piles * receptors
    ours = {int(t): float(s) for _, t, s in (line.split() for line in lines.stdout.splitlines())}

    want = np.fromfile(result)
    if want.size != 2 * receptors or not np.all(np.isfinite(want)):
        sys.exit("bench_vibration: results are missing or not finite")

    theirs = []
    apart = 0.0
    for name, field in WAYS:
        rows = [max(1, size // (8 * piles)) for size in CHUNK_BYTES]
        took, have = min(
            (best_of(lambda: field(n, parts, count)) for count in rows), key=lambda row: row[0]
        )
        apart = max(apart, np.max(np.abs(want / np.concatenate(have) - 1.0)))
        theirs.append((name, took))
    if not apart <= 1e-9:
        sys.exit(f"bench_vibration: the two differ by {apart:.3g}, more than 1e-9")

    print(f"vibration kernel: {piles} piles x {receptors} receptors, {parts[0].size} stages of "
          f"driving, largest value and sum of fourth powers, best of {REPEATS}")
    print(f"  {'':22} {'s':>9} {'pairs/s':>11}   one thread of ours is")
    for threads, seconds in sorted(ours.items()):
        name = f"ours, {threads} thread" + ("s" if threads > 1 else "")
        print(f"  {name:22} {seconds:9.5f} {pairs / seconds:11.4g}")
    for name, took in theirs:
        print(f"  {name:22} {took:9.5f} {pairs / took:11.4g}   {took / ours[1]:.1f} times as fast")
    print(f"  results agree to {apart:.1g} (at most 1e-9 is allowed)")


main()
