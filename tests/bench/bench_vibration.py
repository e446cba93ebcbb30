#!/usr/bin/python3
"""The sum of bench_vibration.c once more with numpy, in the same run, on the same data.

    bench_vibration.py BENCH_PROGRAM FOLDER

Runs the C program, does the same with numpy, compares every result to 1e-9 and prints pairs a
second for both. numpy is timed three ways, each with its best chunk size, so that the reader can
choose what to compare with:

    as written    v = K * r ** -n for each pair, v.max(), (v ** 4).sum()
    by power      one power a pair: peak from the least distance, r2 ** (-2 n), no temporaries
    by exp, log   the same, but exp(-2 n log(r2)), which numpy may do with wide vectors

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
    k, n, piles, receptors = data[0], data[1], int(data[2]), int(data[3])
    parts = np.split(data[4:], np.cumsum([piles, piles, receptors]))
    return k, n, parts


def as_written(k, n, parts, rows):
    pile_x, pile_y, x, y = parts
    peak = np.empty_like(x)
    sum4 = np.empty_like(x)
    for start in range(0, x.size, rows):
        part = slice(start, start + rows)
        r = np.sqrt((x[part, None] - pile_x) ** 2 + (y[part, None] - pile_y) ** 2)
        v = k * r**-n
        peak[part] = v.max(axis=1)
        v *= v
        v *= v
        sum4[part] = v.sum(axis=1)
    return peak, sum4


def power(r2, exponent, out):
    np.power(r2, exponent, out=out)


def exp_log(r2, exponent, out):
    np.log(r2, out=out)
    out *= exponent
    np.exp(out, out=out)


def thrifty(raise_to):
    def field(k, n, parts, rows):
        pile_x, pile_y, x, y = parts
        peak = np.empty_like(x)
        sum4 = np.empty_like(x)
        dx = np.empty((rows, pile_x.size))
        dy = np.empty((rows, pile_x.size))
        for start in range(0, x.size, rows):
            part = slice(start, min(start + rows, x.size))
            a, b = dx[: part.stop - start], dy[: part.stop - start]
            np.subtract(x[part, None], pile_x, out=a)
            np.subtract(y[part, None], pile_y, out=b)
            a *= a
            b *= b
            a += b
            peak[part] = a.min(axis=1)
            raise_to(a, -2.0 * n, b)  # r^-4n, the fourth power of r^-n
            sum4[part] = b.sum(axis=1)
        return k * peak ** (-0.5 * n), k**4 * sum4

    return field


WAYS = (
    ("numpy, as written", as_written),
    ("numpy, by power", thrifty(power)),
    ("numpy, by exp, log", thrifty(exp_log)),
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
    k, n, parts = read_data(data)
    pairs = parts[0].size * parts[2].size
    ours = {int(t): float(s) for _, t, s in (line.split() for line in lines.stdout.splitlines())}

    want = np.fromfile(result)
    if want.size != 2 * parts[2].size or not np.all(np.isfinite(want)):
        sys.exit("bench_vibration: results are missing or not finite")

    theirs = []
    apart = 0.0
    for name, field in WAYS:
        rows = [max(1, size // (8 * parts[0].size)) for size in CHUNK_BYTES]
        took, have = min(
            (best_of(lambda: field(k, n, parts, count)) for count in rows), key=lambda row: row[0]
        )
        apart = max(apart, np.max(np.abs(want / np.concatenate(have) - 1.0)))
        theirs.append((name, took))
    if not apart <= 1e-9:
        sys.exit(f"bench_vibration: the two differ by {apart:.3g}, more than 1e-9")

    print(f"vibration kernel: {parts[0].size} piles x {parts[2].size} receptors, "
          f"v = K r^-n, largest value and sum of fourth powers, best of {REPEATS}")
    print(f"  {'':22} {'s':>9} {'pairs/s':>11}   one thread of ours is")
    for threads, seconds in sorted(ours.items()):
        name = f"ours, {threads} thread" + ("s" if threads > 1 else "")
        print(f"  {name:22} {seconds:9.5f} {pairs / seconds:11.4g}")
    for name, took in theirs:
        print(f"  {name:22} {took:9.5f} {pairs / took:11.4g}   {took / ours[1]:.1f} times as fast")
    print(f"  results agree to {apart:.1g} (at most 1e-9 is allowed)")


main()
