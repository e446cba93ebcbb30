"""recordings_scipy.py PROGRAM FOLDER - figures that the command `measure` prints, beside the same
figures by scipy from the same files, which another program decodes. FOLDER holds recordings that
nobody here made. Fails when a figure is apart by more than its tolerance, and when scipy is not
there.

Tolerances: both sides approximate the same analogue filters, ours by matched magnitude, scipy's by
bilinear transforms: levels 0.15 dB, weighted figures 1 %, unfiltered figures 1e-4. A line near the
edge of a band may come out differently from two class 1 filters (IEC 61260-1 allows 5 dB at the
edge): bands 0.8 dB or 8 %. Peaks of noise up to half the rate lie between samples: acceleration
between the sampled and the resampled peak, LCpeak 1 dB (class 1: 2 dB at 8 kHz).
"""
import json
import os
import subprocess
import sys
import tempfile
import warnings

import numpy as np
from scipy import signal
from scipy.io import wavfile

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "bench"))
import bench_signal as by_scipy  # noqa: E402

BAD = []
COMPARED = 0


def compare(where, name, ours, theirs, relative=0.0, absolute=0.0):
    global COMPARED
    COMPARED += 1
    if ours is None or not abs(ours - theirs) <= relative * abs(theirs) + absolute:
        BAD.append(f"{where}: {name} is {ours}, by scipy {theirs:.6g}")


def between(where, name, ours, sampled, resampled):
    """A peak between samples lies from the largest sample up to that of the resampled signal."""
    global COMPARED
    COMPARED += 1
    if not sampled * (1 - 1e-4) <= ours <= max(sampled, resampled) * 1.02:
        BAD.append(f"{where}: {name} is {ours}, by scipy {sampled:.6g} to {resampled:.6g}")


def measure(program, path, *options):
    said = subprocess.run([program, "measure", path, "--format", "json", "--metrics", "all",
                           *options], capture_output=True, text=True)
    if said.returncode != 0:
        raise SystemExit(f"{path}: status {said.returncode}: {said.stderr}")
    return {t["id"]: t["rows"] for t in json.loads(said.stdout)["tables"]}


def decode(path, folder):
    """Samples as a share of full scale, by another decoder than ours."""
    wav = os.path.join(folder, "decoded.wav")
    subprocess.run(["flac", "-d", "-f", "-s", "-o", wav, path], check=True)
    return read_wav(wav)


def read_wav(path):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", wavfile.WavFileWarning)
        rate, x = wavfile.read(path)
    if x.dtype == np.uint8:
        x = (x.astype(float) - 128) / 128
    else:
        x = x / float(np.iinfo(x.dtype).max + 1)
    return float(rate), x.reshape(len(x), -1).T


def slope_of(v, rate):
    """m/s2 from mm/s by central differences of order eight."""
    weight = np.array([-1 / 280, 4 / 105, -1 / 5, 4 / 5, 0, -4 / 5, 1 / 5, -4 / 105, 1 / 280])
    return signal.lfilter(weight * rate, [1.0], v)[8:] / 1000


def check_vibration(where, tables, x, rate, axes):
    by_scipy.VIB_RATE = rate
    whole = len(x[0]) // int(30 * rate) * int(30 * rate)
    theirs = by_scipy.vibration(x[:, :whole] if whole else x)
    peaks = {row["axis"]: row for row in tables["peaks"]}
    for i, axis in enumerate(axes):
        row = peaks[axis]
        for key, name, tolerance in (
                ("ppv_sampled_mm_s", "ppv", 1e-4), ("rms_mm_s", "rms", 1e-4),
                ("rms_1s_max_mm_s", "rms1s", 1e-4), ("displacement_mm", "displacement", 0.01),
                ("kbf_max", "kbfmax", 0.01),
                ("kbft_m", "kbftm", 0.01)):
            compare(where, f"{axis} {key}", row[key], theirs[f"{name}{i}"], tolerance)
        slope = slope_of(x[i], rate)
        between(where, f"{axis} acceleration_m_s2", row["acceleration_m_s2"], np.abs(slope).max(),
                np.abs(signal.resample_poly(slope, 8, 1)[200:-200]).max())
        if axis == "z":
            compare(where, "vl_max_db", row["vl_max_db"], theirs[f"vlmax{i}"], 0, 0.15)
    compare(where, "pvs", tables["sums"][0]["pvs_mm_s"], theirs["pvs"], 1e-4)
    for row in tables["doses"]:
        d = ["Wb", "Wd", "Wk", "Wm"].index(row["weighting"])
        i = axes.index(row["axis"])
        for key, name in (("aw_rms_m_s2", "aw"), ("vdv_m_s175", "vdv"), ("mtvv_m_s2", "mtvv")):
            compare(where, f"{row['axis']} {row['weighting']} {key}", row[key],
                    theirs[f"{name}{d}.{i}"], 0.01)
    for row in tables["bands"]:
        third = round(10 * np.log10(row["band_hz"] / 1000))
        if -23 <= third <= -5:  # below, a minute of record has not settled alike
            i = axes.index(row["axis"])
            compare(where, f"{row['axis']} {row['band_hz']:g} Hz", row["rms_mm_s"],
                    theirs[f"band{third}.{i}"], 0.08)


def check_sound(where, tables, x, rate, top_third):
    by_scipy.SOUND_RATE = rate
    theirs = by_scipy.sound(x)
    row = tables["sound"][0]
    for key, name in (("laeq_db", "laeq"), ("lceq_db", "lceq"), ("lzeq_db", "lzeq"),
                      ("lafmax_db", "lafmax"), ("lasmax_db", "lasmax"), ("laieq_db", "laieq")):
        compare(where, key, row[key], theirs[name], 0, 0.15)
    compare(where, "lcpeak_db", row["lcpeak_db"], theirs["lcpeak"], 0, 1.0)
    for band in tables["bands"]:
        third = round(10 * np.log10(band["band_hz"] / 1000))
        if -15 <= third <= top_third:
            compare(where, f"{band['band_hz']:g} Hz", band["leq_db"], theirs[f"third{third}"], 0,
                    0.8)


def sidecar(path, lines):
    with open(path, "w", encoding="ascii") as file:
        file.write(lines)


def shipped(program, folder):
    full_scale = 10 / 10 / 28.8 * 1000  # 10 V, 20 dB, 28.8 V per m/s
    for name in ("impact-10m", "impact-30m", "press-in-10m", "press-in-30m"):
        path = f"measurements/{name}.flac"
        rate, x = decode(path, folder)
        check_vibration(name, measure(program, path), x * full_scale, rate, ["x", "y", "z"])
    for name in ("impact-sound-20m", "press-in-sound-20m"):
        path = f"measurements/{name}.flac"
        rate, x = decode(path, folder)
        tone, rest = x[0, :int(3 * rate)], x[0, int(3 * rate):]
        pascal = 20e-6 * 10 ** (94 / 20) / np.sqrt(np.mean((tone - tone.mean()) ** 2))
        # noise up to half the rate, where a bilinear filter is off: scipy gets four times the rate
        tables = measure(program, path)
        fine = signal.resample_poly(rest * pascal, 4, 1)
        check_sound(name, tables, fine, 4 * rate, 3)


def real(program, folder, real_folder):
    """Field recordings: an axe in a wood, a whistle with its tops cut off, a heart."""
    for name in ("tree-cutting", "steam"):
        rate, x = read_wav(f"{real_folder}/{name}.wav")
        copy = os.path.join(folder, name + ".wav")
        with open(f"{real_folder}/{name}.wav", "rb") as file, open(copy, "wb") as out:
            out.write(file.read())
        sidecar(copy[:-4] + ".yaml", "channels:\n  - {quantity: sound-pressure, by: factor, "
                                     "factor: 1}\n")
        tables = measure(program, copy)
        clipped = any(row["code"] == "Q01" for row in tables["findings"])
        if clipped != (name == "steam"):
            BAD.append(f"{name}: clipping {'not ' if not clipped else ''}found")
        check_sound(name, tables, signal.resample_poly(x[0], 8, 1), 8 * rate, 3)
        sidecar(copy[:-4] + ".yaml", "channels:\n  - {quantity: sound-pressure, by: factor, "
                                     "factor: 2}\n")
        twice = measure(program, copy)["sound"][0]
        for key in ("laeq_db", "lafmax_db", "lcpeak_db", "lae_db", "la10_db"):
            compare(name, f"{key} at twice the factor", twice[key],
                    tables["sound"][0][key] + 20 * np.log10(2), 0, 0.01 if key[2] == "1" else 1e-6)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from scipy import misc
        heart = misc.electrocardiogram()[:360 * 60]
    path = os.path.join(folder, "heart.csv")
    with open(path, "w", encoding="ascii") as file:
        file.write("time_s,z\n")
        for k, value in enumerate(heart):
            file.write(f"{k / 360:.9f},{value:.6f}\n")
    sidecar(path[:-4] + ".yaml", "channels:\n  - {name: z, quantity: velocity, axis: z, by: factor,"
                                 " factor: 1}\n")
    peaks = measure(program, path)["peaks"][0]
    compare("heart", "ppv", peaks["ppv_sampled_mm_s"], np.abs(heart).max(), 1e-5)
    compare("heart", "rms", peaks["rms_mm_s"], np.sqrt((heart ** 2).mean()), 1e-5)


def main():
    program, real_folder = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as folder:
        shipped(program, folder)
        real(program, folder, real_folder)
    for line in BAD:
        print("    " + line)
    print(f"    {COMPARED} figures compared, {len(BAD)} apart")
    return 1 if BAD or COMPARED < 300 else 0


if __name__ == "__main__":
    sys.exit(main())
