"""figures.py PROGRAM FOLDER - the figures of `measure` by name, in three forms; densities and
response spectra beside scipy's from the same file, which another program decodes.

Tolerances: densities are the same sum over the same segments, 1e-4 (five figures are printed).
Response spectra: a velocity that runs straight between its samples is an acceleration that is
steady over each step, for which scipy makes the oscillator exact in discrete time (zero-order
hold), 1e-4.
"""
import csv
import io
import json
import os
import subprocess
import sys
import warnings

import numpy as np
from scipy import signal
from scipy.io import wavfile

PROGRAM, FOLDER = sys.argv[1:]
VIBRATION, SOUND = "measurements/impact-10m.flac", "measurements/impact-sound-20m.flac"
BAD = []

# metric: figures, as the trade names them, with the column that holds each
VIBRATION_FIGURES = {
    "peaks": ["ppv_mm_s", "ppv_time_s", "frequency_crossing_hz", "frequency_spectrum_hz"],
    "motion": ["displacement_mm", "acceleration_m_s2", "rms_mm_s", "rms_1s_max_mm_s"],
    "sums": ["pcpv_mm_s", "pvs_mm_s", "vsc_mm_s"],
    "kb": ["kbf_max", "kbft_m", "takts_30s", "kbft_r"],
    "levels": ["vl_max_db", "vl_l10_db"],
    "doses": ["weighting", "aw_rms_m_s2", "mtvv_m_s2", "vdv_m_s175", "evdv_m_s175",
              "crest_factor", "crest_warning"],
    "bands": ["rms_mm_s", "rms_fast_max_mm_s"],
    "octaves": ["rms_mm_s"],
    "response": ["natural_hz", "psv_mm_s", "psa_m_s2"],
    "spectrum": ["density_per_hz", "amplitude", "segments"],
    "spectrogram": ["middle_s", "frequency_hz", "density_per_hz"],
}
SOUND_FIGURES = {
    "sound": ["laeq_db", "lafmax_db", "lasmax_db", "lae_db", "lcpeak_db", "lceq_db", "lzeq_db",
              "laieq_db", "laimax_db"],
    "percentiles": ["la1_db", "la5_db", "la10_db", "la50_db", "la90_db", "la95_db"],
    "rating": ["impulses", "impulse_prominence", "impulse_adjustment_db", "tone_hz",
               "tone_audibility_db", "tone_adjustment_db", "lex_8h_db"],
    "bands": ["leq_db", "lf_max_db"],
    "octaves": ["leq_db"],
    "spectrum": ["density_per_hz", "amplitude", "segments"],
    "spectrogram": ["middle_s", "frequency_hz", "density_per_hz"],
}


def run(path, metric, form, *options):
    said = subprocess.run([PROGRAM, "measure", path, "--metrics", metric, "--format", form,
                           "--exposure", "6h", *options] +
                          (["--to", "6s"] if metric == "spectrogram" else []),
                          capture_output=True)
    if said.returncode != 0:
        raise SystemExit(f"{path} {metric}: status {said.returncode}: {said.stderr.decode()}")
    return said.stdout.decode()


def shown(number, decimals):
    return f"{number:.{decimals}f}"


def compare_forms(path, metric, keys):
    table = json.loads(run(path, metric, "json"))["tables"][0]
    rows = list(csv.DictReader(io.StringIO(run(path, metric, "csv"), newline="")))
    text = run(path, metric, "table")
    head = {column["key"]: column["head"] for column in table["columns"]}
    if len(rows) != len(table["rows"]) or not rows:
        BAD.append(f"{metric}: {len(rows)} rows of CSV, {len(table['rows'])} of JSON")
        return
    for key in keys:
        if not head.get(key):
            BAD.append(f"{metric}: {key} is not in the table for readers")
        if all(row.get(key) in (None, "") for row in table["rows"]):
            BAD.append(f"{metric}: {key} has no value")
        for ours, theirs in zip(rows, table["rows"]):
            value, cell = theirs[key], ours[key]
            if isinstance(value, (int, float)):
                decimals = len(cell.partition(".")[2])
                if cell != shown(value, decimals) and abs(float(cell) - value) > 10.0**-decimals:
                    BAD.append(f"{metric}: {key} is {cell} in CSV, {value} in JSON")
                if len(rows) < 10 and cell not in text and cell.rstrip("0") not in text:
                    BAD.append(f"{metric}: {key} {cell} of the CSV is not in the table")
            elif (value or "") != cell.lstrip("'"):
                BAD.append(f"{metric}: {key} is {cell!r} in CSV, {value!r} in JSON")


def decode(path):
    wav = os.path.join(FOLDER, "decoded.wav")
    subprocess.run(["flac", "-d", "-f", "-s", "-o", wav, path], check=True)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", wavfile.WavFileWarning)
        rate, x = wavfile.read(wav)
    full = float(np.iinfo(x.dtype).max + 1)
    return float(rate), x.reshape(len(x), -1).T / full * 1000.0 / 28.8  # as the sidecar says


def close(name, ours, theirs, relative):
    if not abs(ours - theirs) <= relative * abs(theirs):
        BAD.append(f"{name} is {ours:.8g}, by scipy {theirs:.8g}")


def compare_scipy():
    rate, v = decode(VIBRATION)
    for window in ("hann", "flattop"):
        rows = json.loads(run(VIBRATION, "spectrum", "json", "--window",
                              window.replace("top", "-top")))["tables"][0]["rows"]
        rows = [row for row in rows if row["axis"] == "z"]
        length = 2 * (len(rows) - 1)
        hz, density = signal.welch(v[2], rate, window, length)
        for k in range(1, len(rows) - 1, 7):
            close(f"density of {hz[k]:.2f} Hz", rows[k]["density_per_hz"], density[k], 1e-4)
            close("frequency", rows[k]["frequency_hz"], hz[k], 1e-6)
        taper = signal.get_window(window, length)
        enbw = rate * np.sum(taper**2) / np.sum(taper) ** 2
        close("noise bandwidth", rows[1]["enbw_hz"], enbw, 1e-6)
        close("amplitude", rows[100]["amplitude"], np.sqrt(2 * density[100] * enbw), 1e-4)
    rows = json.loads(run(VIBRATION, "response", "json"))["tables"][0]["rows"]
    a = np.diff(v[2]) * rate  # mm/s2, steady over each step
    for row in [row for row in rows if row["axis"] == "z"][::4]:
        w = 2 * np.pi * row["natural_hz"]
        oscillator = signal.cont2discrete(([-1.0], [1.0, 2 * 0.05 * w, w * w]), 1 / rate, "zoh")
        u = signal.lfilter(np.squeeze(oscillator[0]), oscillator[1], np.append(a, 0.0))
        close(f"PSV at {row['natural_hz']:.2f} Hz", row["psv_mm_s"], w * np.max(np.abs(u)), 1e-4)


for figures, path in ((VIBRATION_FIGURES, VIBRATION), (SOUND_FIGURES, SOUND)):
    for metric, keys in figures.items():
        compare_forms(path, metric, keys)
compare_scipy()
for line in BAD[:40]:
    print("not ok figures:", line)
if not BAD:
    print("ok figures: each as table, CSV and JSON; densities and response spectra by scipy")
sys.exit(1 if BAD else 0)
