"""bench_outdoor.py PROGRAM FOLDER - the octave-band method beside the same formulas in numpy.

Runs PROGRAM, reads what it worked on and what it got, does the same for all pairs at once with
numpy (divergence, air, general ground method, way over the top and round both ends of a wall), and
compares to 1e-9 dB. Two times are given for numpy: told which wall stands between which pair, and
finding it as the program has to. It looks then through a grid of cells, made beforehand as the
program's index is, for walls on the straight way and on the four stretches round the ends.
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


class Grid:
    """Walls by the square cells that their boxes touch."""

    def __init__(self, ax, ay, bx, by):
        self.wall = ax, ay, bx, by
        self.side = float(np.median(np.maximum(abs(bx - ax), abs(by - ay))))
        self.x0, self.y0 = min(ax.min(), bx.min()), min(ay.min(), by.min())
        cell, wall = self.cells(ax, ay, bx, by)
        order = np.argsort(cell, kind="stable")
        self.cell, self.item = cell[order], wall[order]

    def cells(self, ax, ay, bx, by):
        """Cell numbers under the box of each stretch, and which stretch it is."""
        west, east = ((f(ax, bx) - self.x0) // self.side for f in (np.minimum, np.maximum))
        south, north = ((f(ay, by) - self.y0) // self.side for f in (np.minimum, np.maximum))
        wide = (east - west + 1).astype(np.int64)
        count = wide * (north - south + 1).astype(np.int64)
        which = np.repeat(np.arange(len(ax)), count)
        k = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
        column = west.astype(np.int64)[which] + k % wide[which]
        line = south.astype(np.int64)[which] + k // wide[which]
        return column * (1 << 31) + line, which

    def meet(self, ax, ay, bx, by):
        """Pairs (stretch, wall) that cross, each once."""
        cell, which = self.cells(ax, ay, bx, by)
        first = np.searchsorted(self.cell, cell, "left")
        count = np.searchsorted(self.cell, cell, "right") - first
        k = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
        code = np.unique(np.repeat(which, count) * len(self.wall[0])
                         + self.item[np.repeat(first, count) + k])
        i, j = code // len(self.wall[0]), code % len(self.wall[0])
        cx, cy, dx, dy = (v[j] for v in self.wall)
        ux, uy, vx, vy = bx[i] - ax[i], by[i] - ay[i], dx - cx, dy - cy
        cross = ux * vy - uy * vx
        with np.errstate(divide="ignore", invalid="ignore"):
            t = ((cx - ax[i]) * vy - (cy - ay[i]) * vx) / cross
            w = ((cx - ax[i]) * uy - (cy - ay[i]) * ux) / cross
        hit = (t >= 0) & (t <= 1) & (w >= 0) & (w <= 1)
        return i[hit], j[hit]


def find_walls(row, grid):
    """The rows with the wall found for each pair instead of the one told. Stops when a pair has
    another number of walls than one, or when a way round runs into another wall."""
    sx, sy, rx, ry = row[:, 0], row[:, 1], row[:, 3], row[:, 4]
    pair, wall = grid.meet(sx, sy, rx, ry)
    if not np.array_equal(pair, np.arange(len(row))):
        sys.exit("bench_outdoor: a pair without its one wall")
    found = row.copy()
    found[:, 6:11] = row[wall, 6:11]
    for ex, ey in (found[:, 6:8].T, found[:, 8:10].T):
        for i, j in (grid.meet(sx, sy, ex, ey), grid.meet(ex, ey, rx, ry)):
            if np.any(j != wall[i]):
                sys.exit("bench_outdoor: a way round runs into another wall")
    return found


def best_of(repeats, work):
    best = None
    for _ in range(repeats):
        start = time.perf_counter()
        result = work()
        took = time.perf_counter() - start
        best = took if best is None else min(best, took)
    return best, result


def levels(row, alpha):
    sx, sy, sz, rx, ry, rz, ax, ay, bx, by, top = (row[:, k] for k in range(11))
    g = 0.5
    ux, uy = rx - sx, ry - sy
    dp = np.hypot(ux, uy)
    d = np.hypot(dp, rz - sz)
    wave = 340.0 / np.array([63, 125, 250, 500, 1000, 2000, 4000, 8000])
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
    grid = Grid(*row[:, 6:10].T)
    told, want = best_of(5, lambda: levels(row, alpha))
    finding, found = best_of(5, lambda: levels(find_walls(row, grid), alpha))
    off = float(max(np.max(np.abs(got - want)), np.max(np.abs(got - found))))
    if not off <= 1e-9:
        sys.exit(f"bench_outdoor: differs from numpy by {off:.3g} dB, more than 1e-9")
    print(f"octave bands, {count} pairs with one screen each, one thread, largest difference "
          f"{off:.1e} dB")
    print(f"  stillground, finding the wall {ours * 1e3:8.2f} ms  "
          f"{8 * count / ours / 1e6:7.2f} million bands/s")
    for what, took in (("told the wall", told), ("finding the wall", finding)):
        rate = 8 * count / took / 1e6
        print(f"  numpy, {what:<22} {took * 1e3:8.2f} ms  {rate:7.2f} million bands/s,"
              f" takes {took / ours:.2f} of our time")
    walls = [(int(line[1]), float(line[2])) for line in lines if line[0] == "walls"]
    print("  cost of one pair with one screen among so many walls, beside the logarithm of their"
          " number:")
    print("     walls      us   cost / first   lg n / lg first")
    for number, took in walls:
        print(f"    {number:6}  {took:6.3f}   {took / walls[0][1]:12.2f}   "
              f"{np.log(number) / np.log(walls[0][0]):15.2f}")


if __name__ == "__main__":
    main()
