"""bench_signal.py PROGRAM FOLDER - the figures of the meters by scipy, on the samples that PROGRAM
(bench_signal) writes into FOLDER, and the time both take on one thread. Fails when a figure differs
by more than its tolerance.

The filters here are made from the same standards by other means: bilinear transforms of the
analogue poles and zeros (IEC 61672-1 Annex E, ISO 8041-1 Table 3), Butterworth bands by scipy's
own design. The signals have next to nothing in the top third of the band, where a bilinear filter
is off.
"""
import subprocess
import sys
import time

import numpy as np
from scipy import signal

PI2 = 2 * np.pi
VIB_RATE, SOUND_RATE = 2000.0, 48000.0
P0 = 20e-6
TIMES = 5  # the fastest counts, as in bench_signal.c


def sos_of(zeros, poles, gain, rate):
    z, p, k = signal.bilinear_zpk(zeros, poles, gain, rate)
    return signal.zpk2sos(z, p, k)


def quadratic(f, q):
    w = PI2 * f
    return list(np.roots([1.0, w / q, w * w]))


def vibration_sos(f1, f2, f3, f4, q4, step, gain, rate):
    """Weighting of acceleration, times s / 1000 for velocity in mm/s."""
    root = np.sqrt(0.5)
    zeros, poles, k = [0.0], [], gain / 1000.0
    if f1:
        zeros += [0.0, 0.0]
        poles += quadratic(f1, root)
    w3, w4 = PI2 * f3, PI2 * f4
    zeros.append(-w3)
    poles += quadratic(f4, q4)
    k *= w4 * w4 / w3
    if step:
        f5, q5, f6, q6 = step
        zeros += quadratic(f5, q5)
        poles += quadratic(f6, q6)
    if f2:
        poles += quadratic(f2, root)
        k *= (PI2 * f2) ** 2
    return sos_of(zeros, poles, k, rate)


WM = 1 / (PI2 * 0.028)
DOSES = [
    (0.4, 100, 16, 16, 0.55, (2.5, 0.9, 4, 0.95), 1.024),
    (0.4, 100, 2, 2, 0.63, None, 1.0),
    (0.4, 100, 12.5, 12.5, 0.63, (2.37, 0.91, 3.35, 0.91), 1.0),
    (10 ** -0.1, 100, WM, WM, 0.5, None, 1.0),
]


def exponential(square, rate, tau):
    k = -np.expm1(-1 / (rate * tau))
    return signal.lfilter([k], [1, k - 1], square)


def running_max(square, length):
    total = np.cumsum(square, axis=-1)
    later = (total[..., length:] - total[..., :-length]).max(axis=-1)
    return np.maximum(total[..., length - 1], later) / length


def band_sos(third, rate):
    """Third order as a rule, fourth where the bilinear transform makes third miss the mask."""
    fm = 1000 * 10 ** (third / 10)
    order = 3 if fm <= 0.209 * rate else 4
    return signal.butter(order, [fm * 10 ** -0.05, fm * 10 ** 0.05], "bandpass", fs=rate,
                         output="sos")


def vibration(x):
    """All axes at once: every filter is made once and runs over the rows of x."""
    out, rate = {}, VIB_RATE

    def put(name, values):
        for i, value in enumerate(values):
            out[f"{name}{i}"] = value

    root = np.sqrt(0.5)
    jp_sos = vibration_sos(0, 0, 1.5, 5.3, 0.68, None, 0.3 * np.sqrt(2), rate)
    kb_sos = sos_of([0, 0, 0], quadratic(0.8, root) + [-PI2 * 5.6] + quadratic(100, root),
                    (PI2 * 100) ** 2, rate)
    displacement_sos = sos_of([0.0], quadratic(0.5, root), 1.0, rate)
    slope = np.array([-1 / 280, 4 / 105, -1 / 5, 4 / 5, 0, -4 / 5, 1 / 5, -4 / 105, 1 / 280]) * rate
    square = x * x
    put("ppv", np.abs(x).max(axis=1))
    put("rms", np.sqrt(square.mean(axis=1)))
    put("rms1s", np.sqrt(running_max(square, int(rate))))
    put("displacement", np.abs(signal.sosfilt(displacement_sos, x)).max(axis=1))
    put("acceleration", np.abs(signal.lfilter(slope, [1.0], x)[:, 8:]).max(axis=1) / 1000)
    kbf = exponential(signal.sosfilt(kb_sos, x) ** 2, rate, 0.125)
    put("kbfmax", np.sqrt(kbf.max(axis=1)))
    takts = kbf.reshape(len(x), -1, int(30 * rate)).max(axis=2)
    put("kbftm", np.sqrt(np.where(takts > 0.01, takts, 0).mean(axis=1)))
    jp = exponential(signal.sosfilt(jp_sos, x) ** 2, rate, 0.63)
    put("vlmax", 10 * np.log10(jp.max(axis=1) / 1e-10))
    for d, row in enumerate(DOSES):
        a2 = signal.sosfilt(vibration_sos(*row[:6], row[6], rate), x) ** 2
        put(f"aw{d}.", np.sqrt(a2.mean(axis=1)))
        put(f"vdv{d}.", ((a2 * a2).sum(axis=1) / rate) ** 0.25)
        put(f"mtvv{d}.", np.sqrt(running_max(a2, int(rate))))
        exponential(a2, rate, 1.0).max(axis=1)
    for third in range(-31, -4):
        if 1000 * 10 ** (third / 10 + 0.05) > 0.46 * rate:
            break
        band = signal.sosfilt(band_sos(third, rate), x) ** 2
        put(f"band{third}.", np.sqrt(band.mean(axis=1)))
        put(f"bandmax{third}.", np.sqrt(exponential(band, rate, 0.125).max(axis=1)))
    out["pvs"] = np.sqrt(square.sum(axis=0).max())
    return out


def sound_sos(a_weighting, rate):
    f1, f2, f3, f4 = 20.5989971, 107.6526486, 737.8622307, 12194.2171480
    zeros, poles = [0, 0], [-PI2 * f1] * 2 + [-PI2 * f4] * 2
    if a_weighting:
        zeros, poles = zeros + [0, 0], poles + [-PI2 * f2, -PI2 * f3]
    z, p, k = signal.bilinear_zpk(zeros, poles, 1.0, rate)
    _, h = signal.freqz_zpk(z, p, k, worN=[1000.0], fs=rate)
    return signal.zpk2sos(z, p, k / abs(h[0]))


def level(square):
    return 10 * np.log10(square / P0 ** 2)


def sound(x):
    out, rate = {}, SOUND_RATE
    a2 = signal.sosfilt(sound_sos(True, rate), x) ** 2
    c = signal.sosfilt(sound_sos(False, rate), x)
    fast = exponential(a2, rate, 0.125)
    out["laeq"], out["lceq"], out["lzeq"] = (level(v.mean()) for v in (a2, c * c, x * x))
    out["lafmax"] = level(fast.max())
    out["lasmax"] = level(exponential(a2, rate, 1.0).max())
    exponential(c * c, rate, 0.125).max()
    out["lcpeak"] = level(np.abs(c).max() ** 2)
    readings = level(fast[int(rate / 10) - 1::int(rate / 10)])
    out["l10"], out["l90"] = np.percentile(readings, 90), np.percentile(readings, 10)
    rise = exponential(a2, rate, 0.035)
    steps = np.arange(len(rise)) / (rate * 1.5)
    held = np.exp(np.maximum.accumulate(np.log(rise + 1e-300) + steps) - steps)
    out["laieq"] = level(held.mean())
    for third in range(-18, 13):
        band = signal.sosfilt(band_sos(third, rate), x) ** 2
        out[f"third{third}"] = level(band.mean())
        out[f"thirdmax{third}"] = level(exponential(band, rate, 0.125).max())
    return out


def tolerance(name, value):
    """dB for levels, a share for the rest; both pipelines approximate the same analogue filter."""
    if name in ("vlmax0", "vlmax1", "vlmax2") or name[0] == "l" or name.startswith("third"):
        return 0.15
    return (0.02 if name.startswith("bandmax") else 0.01) * abs(value)


def main():
    program, folder = sys.argv[1:3]
    ours = {}
    for line in subprocess.run([program, folder], check=True, capture_output=True,
                               text=True).stdout.splitlines():
        name, value = line.split()
        ours[name] = float(value)
    x = np.fromfile(f"{folder}/vibration.f64").reshape(3, -1)
    s = np.fromfile(f"{folder}/sound.f64")
    theirs, took = {}, {}
    for name, work, data in (("vibration", vibration, x), ("sound", sound, s)):
        took[name] = np.inf
        for _ in range(TIMES):
            start = time.process_time()
            theirs.update(work(data))
            took[name] = min(took[name], time.process_time() - start)
    compared = bad = 0
    for name, value in ours.items():
        if name.startswith("time."):
            continue
        compared += 1
        if not abs(value - theirs[name]) <= tolerance(name, theirs[name]):
            bad += 1
            print(f"  {name}: {value:.6g}, by scipy {theirs[name]:.6g}")
    for name, span in (("vibration", 120.0), ("sound", 60.0)):
        mine = ours["time." + name]
        print(f"  {name}: {span:.0f} s of recording in {mine:.4f} s, {span / mine:.0f} times real "
              f"time; scipy {took[name]:.3f} s, {took[name] / mine:.1f} times as long")
    print(f"  {compared} figures compared, {bad} apart")
    return 1 if bad or compared < 250 else 0


if __name__ == "__main__":
    sys.exit(main())
