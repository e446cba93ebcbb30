"""bench_field.py PROGRAM FOLDER - octave bands without screens beside the same formulas in numpy.

Runs PROGRAM (a million receptors by 200 sources, one thread and two), reads what it worked on and
what it got, does the same sum with numpy for the first receptors (as many as numpy does in some
seconds; rates are compared, not times) and compares every level to 6e-8 dB. numpy is timed two
ways, each with its best number of receptors at a time:

    as written    the terms of every pair as the standard writes them, in decibels, then 10^(L/10)
    thrifty       what depends on a height alone worked out once a point, one power a band and pair,
                  no temporaries: the kernel's own thrift

Everything runs on one thread, as element-wise numpy does.
"""
import subprocess
import sys
import time

import numpy as np

RECEPTORS = 4000
ROWS = (100, 400, 1000, 4000)
A_WEIGHT = np.array([-26.2, -16.1, -8.6, -3.2, 0.0, 1.2, 1.0, -1.1])
SHAPES = ((3.0, 0.12, 5.0), (8.6, 0.09, 0.0), (14.0, 0.46, 0.0), (5.0, 0.9, 0.0))


def read(path):
    raw = np.fromfile(path)
    nsource, nreceptor, g = int(raw[0]), int(raw[1]), raw[2]
    alpha, rest = raw[3:11], raw[11:]
    s = rest[:3 * nsource].reshape(3, nsource)
    r = rest[3 * nsource:3 * (nsource + nreceptor)].reshape(3, nreceptor)
    power = rest[3 * (nsource + nreceptor):].reshape(nsource, 8)
    return g, alpha, s, r, power


def end(h, dp, g):
    """As or Ar of all pairs, a list of eight."""
    near = 1 - np.exp(-dp / 50)
    a = (1.5 + 3.0 * np.exp(-0.12 * (h - 5) ** 2) * near
         + 5.7 * np.exp(-0.09 * h ** 2) * (1 - np.exp(-2.8e-6 * dp ** 2)))
    b = 1.5 + 8.6 * np.exp(-0.09 * h ** 2) * near
    c = 1.5 + 14.0 * np.exp(-0.46 * h ** 2) * near
    d = 1.5 + 5.0 * np.exp(-0.9 * h ** 2) * near
    high = -1.5 * (1 - g)
    return [-1.5] + [-1.5 + g * f for f in (a, b, c, d)] + [high] * 3


def as_written(g, alpha, s, r, power):
    dp = np.hypot(r[0][:, None] - s[0], r[1][:, None] - s[1])
    hr, hs = r[2][:, None], s[2]
    d = np.hypot(dp, hr - hs)
    q = np.maximum(0, 1 - 30 * (hs + hr) / dp)
    divergence = 20 * np.log10(d) + 11
    source, receptor = end(hs, dp, g), end(hr, dp, g)
    out = np.empty((r.shape[1], 8))
    for b in range(8):
        middle = -3 * q * (1 if b == 0 else 1 - g)
        level = power[:, b] - divergence - alpha[b] * d - source[b] - middle - receptor[b]
        out[:, b] = 10 * np.log10((10 ** (0.1 * level)).sum(axis=1))
    return out


def thrifty(g, alpha, s, r, power):
    scale = -0.1 * np.log(10)
    x, y, w = (np.empty((r.shape[1], s.shape[1])) for _ in range(3))
    d, near, far, q = (np.empty_like(x) for _ in range(4))
    np.subtract(r[0][:, None], s[0], out=x)
    np.subtract(r[1][:, None], s[1], out=y)
    x *= x
    y *= y
    x += y                                          # dp^2
    np.sqrt(x, out=y)                               # dp
    np.subtract(r[2][:, None], s[2], out=d)
    d *= d
    d += x
    np.divide(10 ** -1.1, d, out=w)                 # spread
    np.sqrt(d, out=d)
    np.multiply(y, -1 / 50, out=near)
    np.exp(near, out=near)
    np.subtract(1, near, out=near)
    np.multiply(x, -2.8e-6, out=far)
    np.exp(far, out=far)
    np.subtract(1, far, out=far)
    np.add(r[2][:, None], s[2], out=q)
    q *= -30
    q /= y
    q += 1
    np.maximum(q, 0, out=q)
    out = np.empty((r.shape[1], 8))
    for b in range(8):
        np.multiply(d, alpha[b] * scale, out=x)
        np.multiply(q, -3 * scale * (1 if b == 0 else 1 - g), out=y)
        x += y
        fixed = -3.0
        if 1 <= b <= 4:
            strength, decay, shift = SHAPES[b - 1]
            fixed += 3 * g
            np.add((scale * g * strength * np.exp(-decay * (r[2] - shift) ** 2))[:, None],
                   scale * g * strength * np.exp(-decay * (s[2] - shift) ** 2), out=y)
            y *= near
            x += y
            if b == 1:
                np.add((scale * g * 5.7 * np.exp(-0.09 * r[2] ** 2))[:, None],
                       scale * g * 5.7 * np.exp(-0.09 * s[2] ** 2), out=y)
                y *= far
                x += y
        elif b > 4:
            fixed = -3.0 * (1 - g)
        np.exp(x, out=x)
        x *= w
        out[:, b] = 10 * np.log10(x @ (10 ** (0.1 * power[:, b]) * np.exp(scale * fixed)))
    return out


def best_of(way, data):
    g, alpha, s, r, power = data
    best = None
    for rows in ROWS:
        start = time.perf_counter()
        result = np.concatenate([way(g, alpha, s, r[:, k:k + rows], power)
                                 for k in range(0, r.shape[1], rows)])
        took = time.perf_counter() - start
        if best is None or took < best[0]:
            best = took, rows
    return best[0], best[1], result


def main():
    program, folder = sys.argv[1:3]
    data, result = folder + "/field.data", folder + "/field.result"
    run = subprocess.run([program, data, result], check=True, capture_output=True, text=True)
    ours = [float(line.split()[2]) for line in run.stdout.splitlines()]
    g, alpha, s, r, power = read(data)
    pairs = s.shape[1] * r.shape[1]
    got = np.fromfile(result)
    band, total = got[:8 * r.shape[1]].reshape(-1, 8), got[8 * r.shape[1]:]
    part = r[:, ::r.shape[1] // RECEPTORS][:, :RECEPTORS]
    band, total = (v[::r.shape[1] // RECEPTORS][:RECEPTORS] for v in (band, total))
    rates = [8 * pairs / took for took in ours]
    print(f"octave bands without screens: {r.shape[1]} receptors by {s.shape[1]} sources by 8"
          f" bands; numpy works on {RECEPTORS} of the receptors")
    for threads, rate in enumerate(rates, 1):
        print(f"  stillground, {threads} thread{'s' * (threads > 1):1}    "
              f"{rate / 1e6:8.1f} million evaluations/s")
    print(f"  two threads over one      {rates[1] / rates[0]:8.2f}")
    for name, way in (("as written", as_written), ("thrifty", thrifty)):
        took, rows, want = best_of(way, (g, alpha, s, part, power))
        off = float(np.max(np.abs(band - want)))
        off = max(off, float(np.max(np.abs(total - 10 * np.log10(
            (10 ** (0.1 * (want + A_WEIGHT))).sum(axis=1))))))
        if not off <= 6e-8:
            sys.exit(f"bench_field: differs from numpy by {off:.3g} dB, more than 6e-8")
        rate = 8 * part.shape[1] * s.shape[1] / took
        print(f"  numpy, {name:<12}       {rate / 1e6:8.1f} million evaluations/s, "
              f"{rates[0] / rate:.1f} times slower than one thread, {rows} receptors at a time, "
              f"largest difference {off:.1e} dB")


if __name__ == "__main__":
    main()
