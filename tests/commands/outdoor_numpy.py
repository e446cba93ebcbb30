"""outdoor_numpy.py PROGRAM - levels that the command `outdoor` prints, beside the same levels by a
second calculation written here with numpy: ISO 9613-1:1993 Eq. (3) to (5); ISO 9613-2:1996 Eq. (3)
to (22); ISO/TR 17534-3:2015 clause 5 (rubber band over the top, ways round the hull on either hand,
caps over the top alone, Abar at least 0). The scenes are drawn by chance, the same every time.
Fails when a level is more than 1e-6 dB apart, when a kind of way did not occur often enough, and
when numpy is not there.

Readings of its own: none. Where the standard leaves a choice, the program's is taken and named:
a face reflects a band when Eq. (19) holds at the band's lower edge, with length and height of the
face each projected in its own plane; ground that breaks the line of sight ends the ways round.
"""
import json
import math
import random
import subprocess
import sys
import tempfile

import numpy as np

BAND_HZ = np.array([63, 125, 250, 500, 1000, 2000, 4000, 8000.0])
MIDDLE_HZ = 1000 * 10 ** (0.3 * np.arange(-4, 4))
WAVE_M = 340 / BAND_HZ
A_DB = np.array([-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1])
POWER_DB = 93.0
WITHIN_DB = 1e-6
HAIR_M = 1e-6

SEEN = {"screens": 0, "left": 0, "right": 0, "reflected": 0, "ground": 0}


# ---- terms ----

def absorption(scene):
    kelvin, pressure = scene["temperature_C"] + 273.15, scene["pressure_kPa"] / 101.325
    saturation = 10 ** (-6.8346 * (273.16 / kelvin) ** 1.261 + 4.6151)
    h, t = scene["humidity_percent"] * saturation / pressure, kelvin / 293.15
    oxygen = pressure * (24 + 4.04e4 * h * (0.02 + h) / (0.391 + h))
    nitrogen = pressure * t ** -0.5 * (9 + 280 * h * math.exp(-4.170 * (t ** (-1 / 3) - 1)))
    f2 = MIDDLE_HZ ** 2
    return 8.686 * f2 * (1.84e-11 / pressure * t ** 0.5 + t ** -2.5 * (
        0.01275 * math.exp(-2239.1 / kelvin) / (oxygen + f2 / oxygen)
        + 0.1068 * math.exp(-3352.0 / kelvin) / (nitrogen + f2 / nitrogen)))


def end_region(g, h, plan):
    near, e = 1 - math.exp(-plan / 50), math.exp
    shaped = [1.5 + 3.0 * e(-0.12 * (h - 5) ** 2) * near
              + 5.7 * e(-0.09 * h * h) * (1 - e(-2.8e-6 * plan * plan)),
              1.5 + 8.6 * e(-0.09 * h * h) * near, 1.5 + 14.0 * e(-0.46 * h * h) * near,
              1.5 + 5.0 * e(-0.9 * h * h) * near]
    return np.array([-1.5] + [g * x - 1.5 for x in shaped] + 3 * [-1.5 * (1 - g)])


def mean_factor(scene, legs, start, end):
    """Length-weighted mean of G from start to end along the legs in plan."""
    total, done = 0.0, 0.0
    for a, b in zip(legs, legs[1:]):
        length = math.dist(a, b)
        cuts = {0.0, 1.0} | {(s - done) / length for s in (start, end)}
        for outline, _ in scene["regions"]:
            cuts |= {m[0] for m in map(lambda side: meet(a, b, *side), sides(outline)) if m}
        cuts = sorted(c for c in cuts if 0 <= c <= 1)
        for c, d in zip(cuts, cuts[1:]):
            middle = between(a, b, (c + d) / 2)
            if start < done + (c + d) / 2 * length < end:
                g = scene["ground_factor"]
                for outline, factor in scene["regions"]:
                    g = factor if inside(middle, outline) else g
                total += g * (d - c) * length
        done += length
    return total / (end - start)


def ground(scene, legs, hs, hr, plan):
    near, far = min(30 * hs, plan), max(plan - 30 * hr, 0)
    q = max(0.0, 1 - 30 * (hs + hr) / plan)
    middle = mean_factor(scene, legs, near, far) if q > 0 else 0
    return (end_region(mean_factor(scene, legs, 0, near), hs, plan)
            + end_region(mean_factor(scene, legs, far, plan), hr, plan)
            + np.array([-3 * q] + 7 * [-3 * q * (1 - middle)]))


def dz(z, between_m, kmet=1.0):
    c3 = 1.0
    if between_m > 0:
        x = (5 * WAVE_M / between_m) ** 2
        c3 = (1 + x) / (1 / 3 + x)
    return 10 * np.log10(3 + 20 / WAVE_M * c3 * z * kmet)


# ---- in the plane ----

def between(a, b, t):
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))


def turn(a, b, p):
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def meet(a, b, c, d):
    """Where a - b meets c - d: shares of both."""
    across = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
    if abs(across) < 1e-14:
        return None
    t, u = turn(c, d, a) / across, turn(a, b, c) / -across
    return (t, u) if 0 <= t <= 1 and 0 <= u <= 1 else None


def sides(outline):
    return list(zip(outline, outline[1:] + outline[:1]))


def inside(p, outline):
    odd = False
    for a, b in sides(outline):
        if (a[1] > p[1]) != (b[1] > p[1]):
            odd ^= p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    return odd


def faces(obstacle):
    corners = obstacle["corners"]
    return sides(corners) if obstacle["closed"] else list(zip(corners, corners[1:]))


def mirrored(p, a, b):
    square = math.dist(a[:2], b[:2]) ** 2
    off = turn(a, b, p) / square
    return (p[0] + 2 * off * (b[1] - a[1]), p[1] - 2 * off * (b[0] - a[0])) + tuple(p[2:])


def extent(obstacle, a, b):
    across = [turn(a, b, c) / math.dist(a[:2], b[:2]) for c in obstacle["corners"]]
    return max(across) - min(across)


def half_hull(points, sign):
    """Hull from the first to the last point; sign 1: over them, -1: under them."""
    chain = []
    for p in points:
        while len(chain) > 1 and sign * turn(chain[-2], chain[-1], p) >= -1e-12:
            chain.pop()
        chain.append(p)
    return chain


# ---- screens ----

def crossings(scene, legs, mirrors):
    """Edges of obstacles and ground under the legs: (s, z, obstacle or None for the ground)."""
    found, done = [], 0.0
    for leg, (a, b) in enumerate(zip(legs, legs[1:])):
        length = math.dist(a, b)
        for o in scene["obstacles"]:
            for face in faces(o):
                m = meet(a, b, face[0], face[1])
                if m and face not in mirrors:
                    found.append((done + m[0] * length,
                                  face[0][2] + m[1] * (face[1][2] - face[0][2]), o, leg))
        for x, z in scene["ground_lines"]:
            if (a[0] - x) * (b[0] - x) < 0:
                found.append((done + (x - a[0]) / (b[0] - a[0]) * length, z, None, leg))
        done += length
    return sorted(found, key=lambda f: f[0])


class Cut:
    """Obstacles cut by the plane through source and receptor: u towards the receptor, v left."""

    def __init__(self, source, receptor):
        self.s, self.r = source, receptor
        self.plan, self.d = math.dist(source[:2], receptor[:2]), math.dist(source, receptor)

    def uv(self, p):
        along = ((p[0] - self.s[0]) * (self.r[0] - self.s[0])
                 + (p[1] - self.s[1]) * (self.r[1] - self.s[1])) / self.plan
        return (along * self.d / self.plan, turn(self.s, self.r, p) / self.plan)

    def xy(self, p):
        ex, ey = ((self.r[i] - self.s[i]) / self.plan for i in (0, 1))
        along = p[0] * self.plan / self.d
        return (self.s[0] + along * ex - p[1] * ey, self.s[1] + along * ey + p[1] * ex)

    def over(self, p):
        return p[2] - self.s[2] - (self.r[2] - self.s[2]) * self.uv(p)[0] / self.d

    def bars(self, obstacle):
        """What of the top edges reaches over the plane."""
        out = []
        for a, b in faces(obstacle):
            over_a, over_b = self.over(a), self.over(b)
            if over_a < 0 and over_b < 0:
                continue
            ends = [self.uv(a), self.uv(b)]
            if over_a < 0 or over_b < 0:
                on = between(ends[0], ends[1], over_a / (over_a - over_b))
                ends[0 if over_a < 0 else 1] = on
            out.append(tuple(ends))
        return out


def way_round(cut, obstacles, others, hand, wave_m):
    """Corners round the hull on one hand (1 left, -1 right), with those of other obstacles that are
    run into. None when an end lies within the hull."""
    taken, others = list(obstacles), list(others)
    ends = [(0.0, 0.0), (cut.d, 0.0)]
    while True:
        points = [p for o in taken for bar in cut.bars(o) for p in bar]
        if any(p[0] <= HAIR_M or p[0] >= cut.d - HAIR_M for p in points if hand * p[1] > -HAIR_M):
            return None
        chain = half_hull(ends[:1] + sorted(points) + ends[1:], hand)
        run_into = [o for o in others for a, b in zip(chain, chain[1:])
                    if any(meet(a, b, *bar) for bar in cut.bars(o))
                    and extent(o, cut.xy(a), cut.xy(b)) > wave_m]
        if not run_into:
            return chain
        taken += run_into
        others = [o for o in others if o not in run_into]


def unfolded(mirror, used):
    """Obstacles on the legs, those on the first one seen in the mirror."""
    out = []
    for leg, o in used:
        if mirror and leg == 0:
            o = dict(o, corners=[mirrored(c, *mirror) for c in o["corners"]])
        out.append(o)
    return out


def lengths(chain):
    parts = [math.dist(a, b) for a, b in zip(chain, chain[1:])]
    return parts[0], sum(parts[1:-1]), parts[-1]


def screening(scene, cut, legs, mirror, agr):
    """Abar per band; None for a shape that is left to the unit tests (yards)."""
    abar = np.zeros(8)
    met = crossings(scene, legs, [mirror] if mirror else [])
    for b in range(8):
        wide = [m for m in met if m[2] is None
                or extent(m[2], legs[m[3]], legs[m[3] + 1]) > WAVE_M[b]]
        ends = [(0.0, cut.s[2]), (cut.plan, cut.r[2])]
        top = half_hull(ends[:1] + [m[:2] for m in wide] + ends[1:], 1)
        if len(top) == 2:
            continue
        first, middle, last = lengths(top)
        z = first + middle + last - cut.d
        kmet = math.exp(-math.sqrt(first * last * cut.d / (2 * z)) / 2000)
        over = min(dz(z, middle, kmet)[b], 20 if len(top) == 3 else 25)
        energy = 10 ** (-0.1 * max(0.0, over - max(agr[b], 0.0)))
        SEEN["screens"] += 1
        sight = [m for m in wide if m[1] > cut.s[2] + (cut.r[2] - cut.s[2]) * m[0] / cut.plan]
        if any(m[2] is None for m in sight):
            SEEN["ground"] += 1
        else:
            used = unfolded(mirror, [(m[3], m[2]) for m in sight])
            others = [] if mirror else [o for o in scene["obstacles"] if o not in used]
            for hand, name in ((1, "left"), (-1, "right")):
                chain = way_round(cut, used, others, hand, WAVE_M[b])
                if chain is None:
                    return None
                first, middle, last = lengths(chain) if len(chain) > 2 else (cut.d, 0, 0)
                energy += 10 ** (-0.1 * dz(first + middle + last - cut.d, middle)[b])
                SEEN[name] += 1
        abar[b] = max(0.0, -10 * math.log10(energy))
    return abar


# ---- ways and levels ----

def attenuation(scene, source, receptor, legs, cut, mirror=None):
    """A per band of one way, and its Cmet."""
    hs, hr = (p[2] - ground_z(scene, p[0]) for p in (source, receptor))
    agr = ground(scene, legs, hs, hr, cut.plan)
    abar = screening(scene, cut, legs, mirror, agr)
    near = 10 * (hs + hr)
    cmet = 0 if cut.plan <= near else scene["c0_dB"] * (1 - near / cut.plan)
    if abar is None:
        return None, cmet
    return 20 * math.log10(cut.d) + 11 + absorption(scene) * cut.d + agr + abar, cmet


def reflections(scene, source, receptor):
    """(legs, cut, face, loss per band) of every image source."""
    for o in scene["obstacles"]:
        for a, b in faces(o) if o["reflection"] > 0.2 else []:
            front, seen = turn(a, b, source), turn(a, b, receptor)
            image = mirrored(source, a, b)
            m = meet(image, receptor, a, b)
            if front * seen <= 0 or not m or (o["closed"] and front > 0):
                continue
            cut, point = Cut(image, receptor), between(a, b, m[1])
            z = source[2] + m[0] * (receptor[2] - source[2])
            if not ground_z(scene, point[0]) <= z <= a[2] + m[1] * (b[2] - a[2]):
                continue
            length = math.dist(a[:2], b[:2])
            cos_plan = (abs(front) + abs(seen)) / length / cut.plan
            height = (a[2] + b[2]) / 2 - ground_z(scene, (a[0] + b[0]) / 2)
            least = min(length * cos_plan, height * cut.plan / cut.d)
            so, ro = m[0] * cut.d, (1 - m[0]) * cut.d
            big = 1 / (math.sqrt(2) * WAVE_M) > 2 / least ** 2 * so * ro / (so + ro)
            loss = np.where(big, -10 * math.log10(o["reflection"]), np.inf)
            yield [source[:2], point, receptor[:2]], cut, (a, b), loss


def levels(scene):
    """Band levels, LAT(DW), LAT(LT); None for a yard."""
    source, receptor = scene["source"], scene["receptor"]
    ways = [([source[:2], receptor[:2]], Cut(source, receptor), None, 0.0)]
    ways += list(reflections(scene, source, receptor))
    band, long_term = np.zeros(8), 0.0
    for legs, cut, mirror, loss in ways:
        a, cmet = attenuation(scene, source, receptor, legs, cut, mirror)
        if a is None:
            return None
        energy = 10 ** (0.1 * (POWER_DB - a - loss))
        band += energy
        long_term += (energy * 10 ** (0.1 * A_DB)).sum() * 10 ** (-0.1 * cmet)
    SEEN["reflected"] += len(ways) - 1
    total = (band * 10 ** (0.1 * A_DB)).sum()
    return list(10 * np.log10(band)) + [10 * math.log10(total), 10 * math.log10(long_term)]


# ---- scenes ----

def ground_z(scene, x):
    lines = scene["ground_lines"] or [(0, 0)]
    return float(np.interp(x, [p[0] for p in lines], [p[1] for p in lines]))


def box(rng, x, y, wide, long):
    angle = rng.uniform(0, 3)
    c, s = math.cos(angle), math.sin(angle)
    return [(round(x + c * u - s * v, 2), round(y + s * u + c * v, 2))
            for u, v in ((-wide, -long), (wide, -long), (wide, long), (-wide, long))]


def clear(outline, others):
    """Stands apart from the others."""
    return not any(meet(*p, *q) for o in others for p in sides(outline) for q in faces(o)) and \
        not any(inside(o["corners"][0], outline) or (o["closed"] and inside(outline[0], [
            c[:2] for c in o["corners"]])) for o in others)


def draw_obstacles(scene, rng, far):
    obstacles, u = scene["obstacles"], rng.uniform
    for i in range(rng.randint(1, 3)):
        x, y, corners, flat = u(0.1, 0.9) * far, u(-40, 0), [], u(3, 9)
        for _ in range(rng.randint(2, 4)):
            top = ground_z(scene, x) + (u(2, 9) if i % 2 else flat)
            corners.append((round(x, 2), round(y, 2), round(top, 2)))
            x, y = x + u(-9, 9), y + u(4, 40)
        obstacles.append({"closed": False, "corners": corners, "reflection": 0.0})
    if rng.random() < 0.6:  # a mirror beside the way
        y, x, top = rng.choice((-60, 60)), u(-0.2, 0.4) * far, u(12, 20)
        corners = [(round(x, 2), y, top), (round(x + 0.8 * far, 2), y + u(-9, 9), top)]
        obstacles.append({"closed": False, "corners": corners, "reflection": u(0.3, 1)})
    for i in range(rng.randint(0, 3)):
        outline, top = box(rng, u(0.1, 0.9) * far, u(-25, 25), u(1, 12), u(1, 15)), u(9, 20)
        ends = [scene["source"], scene["receptor"]]
        if clear(outline, obstacles) and not any(inside(p, outline) for p in ends):
            obstacles.append({"closed": True, "corners": [p + (top,) for p in outline],
                              "reflection": rng.choice((0.0, 0.8))})


def draw(seed):
    rng = random.Random(seed)
    u, far = rng.uniform, rng.uniform(30, 400)
    scene = {"temperature_C": u(-5, 30), "humidity_percent": u(30, 95), "pressure_kPa": u(90, 103),
             "ground_factor": u(0, 1), "c0_dB": u(0, 4), "regions": [], "obstacles": [],
             "ground_lines": []}
    if seed % 3 == 0:
        lines = sorted(u(-20, far + 20) for _ in range(3))
        scene["ground_lines"] = [(x, u(0, 7)) for x in [-900.0] + lines + [1500.0]]
    for _ in range(rng.randint(0, 3)):
        scene["regions"].append((box(rng, u(0, far), u(-20, 20), u(5, 80), u(10, 80)), u(0, 1)))
    for name, x, h in (("source", 0, u(0.3, 6)), ("receptor", far, u(1.2, 8))):
        scene[name] = (x, u(-20, 20), ground_z(scene, x) + h)
    draw_obstacles(scene, rng, far)
    return scene


def written(scene):
    """As a case of the command: JSON is YAML."""
    case = {k: scene[k] for k in ("temperature_C", "humidity_percent", "pressure_kPa",
                                  "ground_factor", "c0_dB")}
    case["reach_m"], case["walls"], case["buildings"] = 5000, [], []
    for o in scene["obstacles"]:
        case["buildings" if o["closed"] else "walls"].append(
            {"outline" if o["closed"] else "line": o["corners"], "reflection": o["reflection"]})
    case["regions"] = [{"outline": o, "factor": g} for o, g in scene["regions"]]
    case["height_lines"] = [[[x, -900, z], [x, 900, z]] for x, z in scene["ground_lines"]]
    for name, more in (("source", {"lw_each_octave_dB": POWER_DB, "provenance": "made up"}),
                       ("receptor", {})):
        x, y, z = scene[name]
        case[name + "s"] = [dict(more, name=name, x_m=x, y_m=y, z_m=z)]
    return json.dumps({k: v for k, v in case.items() if v != []})


def printed(program, scene):
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(written(scene))
        file.flush()
        said = subprocess.run([program, "outdoor", "--format", "json", file.name],
                              capture_output=True, text=True)
    if said.returncode != 0:
        raise SystemExit(f"status {said.returncode}: {said.stderr}{written(scene)}")
    plain, weighted = json.loads(said.stdout)["tables"][0]["rows"]
    return [plain[f"l_{hz:.0f}_db"] for hz in BAND_HZ] + [weighted["lat_dw_db"],
                                                          weighted["lat_lt_db"]]


def main():
    program, bad, compared, worst = sys.argv[1], 0, 0, 0.0
    for seed in range(100):
        scene = draw(seed)
        ours = levels(scene)
        if ours is None:
            continue
        apart = max(abs(a - b) for a, b in zip(printed(program, scene), ours))
        compared, worst = compared + 1, max(worst, apart)
        if not apart <= WITHIN_DB:
            bad += 1
            print(f"    scene {seed}: {apart:.3f} dB apart: {np.round(ours, 2)} here,"
                  f" {np.round(printed(program, scene), 2)} printed, for {written(scene)}")
    scene = draw(0)  # a source a hand higher must show
    ours = levels(dict(scene, source=tuple(np.add(scene["source"], (0, 0, 0.1)))))
    blind = max(abs(a - b) for a, b in zip(printed(program, scene), ours)) <= WITHIN_DB
    print(f"    {compared} scenes, {bad} apart, largest difference {worst:.1e} dB; {SEEN}")
    return 1 if bad or blind or compared < 80 or min(SEEN.values()) < 30 else 0


if __name__ == "__main__":
    sys.exit(main())
