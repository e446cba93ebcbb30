"""bench_outdoor.py PROGRAM FOLDER - the octave-band method beside the same formulas in numpy.

Runs PROGRAM, reads what it worked on and what it got, does the same for all pairs at once with
numpy (divergence, air, general ground method, way over the top and round both ends of a wall), and
compares to 1e-9 dB. numpy is told which wall stands between which pair; the program has to find it.
"""
import subprocess
import sys
import time

import numpy as np


def ends(h, dp, g):
    """As or Ar for all pairs: eight bands."""
    near = 1 - np.exp(-dp / 50)
    shape = [
        1.5 + 3.0 * np.exp(-0.12 * (h - 5) ** 2) * near
        + 5.7 * np.exp(-0.09 * h ** 2) * (1 - np.exp(-2.8e-6 * dp ** 2)),
        1.5 + 8.6 * np.exp(-0.09 * h ** 2) * near,
        1.5 + 14.0 * np.exp(-0.46 * h ** 2) * near,
        1.5 + 5.0 * np.exp(-0.9 * h ** 2) * near,
    ]
    out = np.empty((len(h), 8))
    out[:, 0] = -1.5
    for k in range(4):
        out[:, k + 1] = -1.5 + g * shape[k]
    out[:, 5:] = -1.5 * (1 - g)
    return out


def levels(row, alpha):
    sx, sy, sz, rx, ry, rz, ax, ay, bx, by, top = (row[:, k] for k in range(11))
    g = 0.5
    ux, uy = rx - sx, ry - sy
    dp = np.hypot(ux, uy)
    d = np.hypot(dp, rz - sz)
    wave = 340.0 / (1000.0 * 2.0 ** np.arange(-4, 4))
    reach = 30 * (sz + rz)
    q = np.where(dp <= reach, 0.0, 1 - reach / dp)
    middle = np.empty((len(dp), 8))
    middle[:, 0] = -3 * q
    middle[:, 1:] = (-3 * q * (1 - g))[:, None]
    agr = ends(sz, dp, g) + middle + ends(rz, dp, g)
    vx, vy = bx - ax, by - ay
    t = ((ax - sx) * vy - (ay - sy) * vx) / (ux * vy - uy * vx)
    first, last = np.hypot(t * dp, top - sz), np.hypot((1 - t) * dp, top - rz)
    z = first + last - d
    meteo = np.exp(-np.sqrt(first * last * d / (2 * z)) / 2000)
    dz = 10 * np.log10(3 + 20 / wave * (z * meteo)[:, None])
    over = np.maximum(0, np.minimum(dz, 20) - np.maximum(agr, 0))
    energy = 10 ** (-0.1 * over)
    for ex, ey in ((ax, ay), (bx, by)):
        u = ((ex - sx) * ux + (ey - sy) * uy) / dp * d / dp
        v = ((ey - sy) * ux - (ex - sx) * uy) / dp
        length = np.hypot(u, v) + np.hypot(d - u, v)
        side = 10 * np.log10(3 + 20 / wave * (length - d)[:, None])
        counts = length <= 8 * (first + last)
        energy += np.where(counts[:, None], 10 ** (-0.1 * side), 0)
    abar = np.maximum(0, -10 * np.log10(energy))
    return 100 - (20 * np.log10(d)[:, None] + 11) - alpha * d[:, None] - agr - abar


def main():
    program, folder = sys.argv[1:3]
    data, result = folder + "/outdoor.data", folder + "/outdoor.result"
    run = subprocess.run([program, data, result], check=True, capture_output=True, text=True)
    lines = [line.split() for line in run.stdout.splitlines()]
    ours = float(next(line[2] for line in lines if line[0] == "stillground"))
    raw = np.fromfile(data)
    count, alpha, row = int(raw[0]), raw[1:9], raw[9:].reshape(-1, 12)
    got = np.fromfile(result)[1:].reshape(count, 8)
    best = None
    for _ in range(5):
        start = time.perf_counter()
        want = levels(row, alpha)
        took = time.perf_counter() - start
        best = took if best is None else min(best, took)
    off = float(np.max(np.abs(got - want)))
    if not off <= 1e-9:
        sys.exit(f"bench_outdoor: differs from numpy by {off:.3g} dB, more than 1e-9")
    print(f"octave bands, {count} pairs with one screen each, one thread, largest difference "
          f"{off:.1e} dB")
    print(f"  stillground  {ours * 1e3:8.2f} ms  {8 * count / ours / 1e6:7.2f} million bands/s")
    print(f"  numpy        {best * 1e3:8.2f} ms  {8 * count / best / 1e6:7.2f} million bands/s  "
          f"({best / ours:.2f} times as long)")
    print("  cost of one pair among so many walls:")
    for line in lines:
        if line[0] == "walls":
            print(f"    {line[1]:>6} walls  {line[2]} us")


if __name__ == "__main__":
    main()
