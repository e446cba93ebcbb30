"""recordings_scipy.py PROGRAM FOLDER [seismograms] - figures that the command `measure` prints,
beside the same figures by scipy from the same files, which another program decodes. FOLDER holds
recordings that nobody here made. Fails when a figure is apart by more than its tolerance, and when
scipy is not there.

Tolerances: both sides approximate the same analogue filters, ours by matched magnitude, scipy's by
bilinear transforms: levels 0.15 dB, weighted figures 1 %, unfiltered figures 1e-4. A line near the
edge of a band may come out differently from two class 1 filters (IEC 61260-1 allows 5 dB at the
edge): bands 0.8 dB or 8 %. Peaks of noise up to half the rate lie between samples: acceleration
between the sampled and the resampled peak, LCpeak 1 dB (class 1: 2 dB at 8 kHz).
"""
import json
import os
import shutil
import struct
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


def steim(words, steim2):
    """Differences out of one frame of sixteen words, after the SEED manual, Appendix B."""
    out = []
    for n in range(1, 16):
        code, word = words[0] >> (30 - 2 * n) & 3, words[n]
        if code == 0:
            continue
        if code == 1 or not steim2:
            width = {1: 8, 2: 16, 3: 32}[code]
            count = 32 // width
        else:
            width, count = {(2, 1): (30, 1), (2, 2): (15, 2), (2, 3): (10, 3), (3, 0): (6, 5),
                            (3, 1): (5, 6), (3, 2): (4, 7)}[code, word >> 30]
        for k in range(count):
            value = word >> (width * (count - 1 - k)) & ((1 << width) - 1)
            out.append(value - (1 << width) if value >> (width - 1) else value)
    return out


def read_mseed(path):
    """Samples by channel from records of miniSEED 2 with Steim 1 or 2, by a decoder of its own."""
    with open(path, "rb") as file:
        data = file.read()
    channels, at = {}, 0
    while at < len(data):
        name = data[at + 8:at + 20].decode("ascii")
        order = ">" if 1900 < struct.unpack_from(">H", data, at + 20)[0] < 2100 else "<"
        count, = struct.unpack_from(order + "H", data, at + 30)
        begin, blockette = struct.unpack_from(order + "HH", data, at + 44)
        while struct.unpack_from(order + "H", data, at + blockette)[0] != 1000:
            blockette, = struct.unpack_from(order + "H", data, at + blockette + 2)
        encoding, words_big, power = struct.unpack_from("BBB", data, at + blockette + 4)
        assert encoding in (10, 11), (path, encoding)
        words = struct.unpack_from((">" if words_big else "<") + "%dI" % (((1 << power) - begin) //
                                                                          4), data, at + begin)
        steps = []
        for frame in range(0, len(words) - 15, 16):
            skip = 2 if frame == 0 else 0  # the first and the last sample
            head = words[frame] & (0xFFFFFFFF if not skip else ~(0xF << 26))
            steps += steim((head,) + words[frame + 1:frame + 16], encoding == 11)
        first, last = struct.unpack("2i", struct.pack("2I", *words[1:3]))
        values = first + np.concatenate(([0], np.cumsum(steps[1:count])))
        assert values[-1] == last, path
        channels.setdefault(name, []).append(values)
        at += 1 << power
    return [np.concatenate(channels[name]).astype(float) for name in sorted(channels)]


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


def check_vibration(where, tables, x, rate, axes, fine=1):
    """fine: how many times the rate scipy gets, where its filters need it."""
    by_scipy.VIB_RATE = rate * fine
    whole = len(x[0]) // int(30 * rate) * int(30 * rate)
    x = x[:, :whole] if whole else x
    theirs = by_scipy.vibration(signal.resample_poly(x, fine, 1, axis=1) if fine > 1 else x)
    theirs["pvs"] = np.sqrt((x * x).sum(axis=0).max())
    for i, samples in enumerate(x):
        theirs[f"ppv{i}"] = np.abs(samples).max()
        theirs[f"rms{i}"] = np.sqrt((samples ** 2).mean())
        theirs[f"rms1s{i}"] = np.sqrt(by_scipy.running_max(samples ** 2, int(rate)))
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
        if fine > 1 and row["rms_mm_s"] < 0.1 * peaks[row["axis"]]["rms_mm_s"]:
            continue  # far below the drive it is skirts that are read, which class 1 leaves free
        if -23 <= third <= -5:  # below, a minute of record has not settled alike
            i = axes.index(row["axis"])
            compare(where, f"{row['axis']} {row['band_hz']:g} Hz", row["rms_mm_s"],
                    theirs[f"band{third}.{i}"], 0.08)


def check_sound(where, tables, x, rate, top_third, channel=0):
    by_scipy.SOUND_RATE = rate
    theirs = by_scipy.sound(x)
    row = tables["sound"][channel]
    for key, name in (("laeq_db", "laeq"), ("lceq_db", "lceq"), ("lzeq_db", "lzeq"),
                      ("lafmax_db", "lafmax"), ("lasmax_db", "lasmax"), ("laieq_db", "laieq")):
        compare(where, key, row[key], theirs[name], 0, 0.15)
    compare(where, "lcpeak_db", row["lcpeak_db"], theirs["lcpeak"], 0, 1.0)
    for band in tables["bands"]:
        third = round(10 * np.log10(band["band_hz"] / 1000))
        if band["sensor"] != row["sensor"] or theirs["lzeq"] - band["leq_db"] > 30:
            continue  # far below the rest it is skirts that are read, which class 1 leaves free
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
    x = np.array(read_mseed("measurements/vibratory-10m.mseed")) * 1e-5
    tables = measure(program, "measurements/vibratory-10m.mseed")
    check_vibration("vibratory-10m", tables, x, 1000.0, ["x", "y", "z"], 4)
    # with a gap of 2.5 s, over which no filter runs alike: what needs none
    x = np.array(read_mseed("measurements/vibratory-30m.mseed")) * 1e-5
    tables = measure(program, "measurements/vibratory-30m.mseed")
    for i, row in enumerate(tables["peaks"]):
        compare("vibratory-30m", "ppv", row["ppv_sampled_mm_s"], np.abs(x[i]).max(), 1e-4)
        compare("vibratory-30m", "rms", row["rms_mm_s"], np.sqrt((x[i] ** 2).mean()), 1e-4)
    compare("vibratory-30m", "pvs", tables["sums"][0]["pvs_mm_s"],
            np.sqrt((x * x).sum(axis=0).max()), 1e-4)
    for name in ("impact-sound-20m", "press-in-sound-20m"):
        path = f"measurements/{name}.flac"
        rate, x = decode(path, folder)
        tone, rest = x[0, :int(3 * rate)], x[0, int(3 * rate):]
        pascal = 20e-6 * 10 ** (94 / 20) / np.sqrt(np.mean((tone - tone.mean()) ** 2))
        # noise up to half the rate, where a bilinear filter is off: scipy gets four times the rate
        tables = measure(program, path)
        fine = signal.resample_poly(rest * pascal, 4, 1)
        check_sound(name, tables, fine, 4 * rate, 3)


def effects(path, number):
    """One WAV out of a file of many, by its table of offsets and lengths."""
    with open(path, "rb") as file:
        data = file.read()
    at, length = struct.unpack_from("<2I", data, 8 * number)
    at &= 0x7FFFFFFF  # the top bit marks entries with names
    part = data[at:at + length + 512]
    riff = part.index(b"RIFF")
    return part[riff:riff + 8 + struct.unpack_from("<I", part, riff + 4)[0]]


def calibrate(path, factor, channels):
    """A sidecar of `channels` microphones with the same factor."""
    sidecar(os.path.splitext(path)[0] + ".yaml", "channels:\n" + "".join(
        f"  - {{quantity: sound-pressure, by: factor, factor: {factor}, sensor: {n + 1}}}\n"
        for n in range(channels)))


def wavs(real_folder):
    """Field recordings as WAV: name, content, whether its tops are cut off."""
    for name in ("tree-cutting", "steam", "jackhammer", "gavel", "Noise"):
        with open(f"{real_folder}/{name}.wav", "rb") as file:
            yield name, file.read(), name == "steam"
    for name, number in (("air hammer", 33), ("smithy", 39), ("saw", 40), ("machinery", 11)):
        yield name, effects(f"{real_folder}/opensfx.cat", number), None


def beat_s(x, rate):
    """The beat of an envelope of 1 ms from its autocorrelation beyond 25 ms."""
    step = int(rate / 1000)
    env = np.abs(x[:len(x) // step * step]).reshape(-1, step).mean(axis=1)
    env = env - env.mean()
    like = signal.correlate(env, env)[len(env) - 1:]
    return (25 + np.argmax(like[25:200])) * step / rate


def real(program, folder, real_folder):
    """Field recordings: an axe in a wood, a whistle with its tops cut off, hammers, a heart."""
    for name, content, clips in wavs(real_folder):
        copy = os.path.join(folder, name.replace(" ", "-") + ".wav")
        with open(copy, "wb") as out:
            out.write(content)
        rate, x = read_wav(copy)
        calibrate(copy, 1, len(x))
        tables = measure(program, copy)
        clipped = any(row["code"] == "Q01" for row in tables["findings"])
        if clips is not None and clipped != clips:
            BAD.append(f"{name}: clipping {'not ' if not clipped else ''}found")
        if name == "air hammer":  # 24 blows a second, as the list of recordings has it
            compare(name, "beat", beat_s(x[0], rate), 0.042, 0, 0.0015)
        fine = 4 if rate > 40000 else 8
        for channel, samples in enumerate(x):
            check_sound(name, tables, signal.resample_poly(samples, fine, 1), fine * rate, 3,
                        channel)
        calibrate(copy, 2, len(x))
        twice = measure(program, copy)["sound"][0]
        for key in ("laeq_db", "lafmax_db", "lcpeak_db", "lae_db", "la10_db"):
            compare(name, f"{key} at twice the factor", twice[key],
                    tables["sound"][0][key] + 20 * np.log10(2), 0, 0.01 if key[2] == "1" else 1e-6)
    for name in ("perc_impact1", "perc_door", "ambi_sauna", "loop_industrial"):
        copy = os.path.join(folder, name + ".flac")
        with open(f"{real_folder}/{name}.flac", "rb") as file, open(copy, "wb") as out:
            out.write(file.read())
        rate, x = decode(copy, folder)
        calibrate(copy, 1, len(x))
        tables = measure(program, copy)
        for channel, samples in enumerate(x):
            check_sound(name, tables, signal.resample_poly(samples, 4, 1), 4 * rate, 3, channel)
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


def seismograms(program, folder, real_folder):
    """Every seismogram of the folder gives figures or an error; two of them are compared."""
    figures = 0
    for name in sorted(os.listdir(real_folder)):
        copy = os.path.join(folder, name)
        shutil.copyfile(os.path.join(real_folder, name), copy)
        sidecar(copy[:-6] + ".yaml", "channels:\n  - {quantity: velocity, axis: z, by: factor, "
                                     "factor: 1e-3}\n")
        said = subprocess.run([program, "measure", copy], capture_output=True, text=True)
        figures += said.returncode == 0
        if said.returncode != 0 and (said.returncode < 0 or copy[:-6] not in said.stderr):
            BAD.append(f"{name}: status {said.returncode} without an error that names the file")
    if figures < 5:  # the others are at 1 Hz, too slow for vibration
        BAD.append(f"only {figures} seismograms gave figures")
    for name in ("Steim1-AllDifferences-BE", "unapplied-timecorrection"):
        copy = os.path.join(folder, name + ".mseed")
        x = read_mseed(copy)[0]
        row = measure(program, copy)["peaks"][0]
        compare(name, "ppv", row["ppv_sampled_mm_s"], np.abs(x).max() * 1e-3, 1e-6)
        compare(name, "rms", row["rms_mm_s"], np.sqrt((x ** 2).mean()) * 1e-3, 1e-6)
    print(f"    {figures} seismograms gave figures")
    return 4


def everyday(program, folder, real_folder):
    shipped(program, folder)
    real(program, folder, real_folder)
    return 900


def main():
    program, real_folder = sys.argv[1:3]
    work = seismograms if sys.argv[3:] == ["seismograms"] else everyday
    with tempfile.TemporaryDirectory() as folder:
        least = work(program, folder, real_folder)
    for line in BAD:
        print("    " + line)
    print(f"    {COMPARED} figures compared, {len(BAD)} apart")
    return 1 if BAD or COMPARED < least else 0


if __name__ == "__main__":
    sys.exit(main())
