"""Gauge runs of made-up cars: an independent solver for the check of the step prove.

Reads the left front corner of a car file (a strut, an arm and a steered rod), draws cars from the ±
it states, runs three dials over the travel as each sits and again with parts fitted, and writes
what the dials read. Nothing of Trammel is used: a rigid body of six unknowns, its five members as they
are said in words, Newton with slopes by differences, all cars side by side.

  made_gauge_runs.py CAR.toml runs.csv HONEST BENT LEANING
                                                       so many of each kind
  made_gauge_runs.py CAR.toml --truth NAME=X,Y,Z ... ball=MM outer=MM
                                                       one run for a car file, from a known truth
                                                       with so much fitted

A line of the table: kind, joint, axis, then front, rear and low dial row by row, as it sits and
with parts. Kind 0 is honest; of kind 1 a joint was moved by 2 mm between the two runs; of kind 2 an
end of the strut sideways by 5 mm, which leans the wheel and hardly steers it.
"""
import re
import sys
import tomllib

import numpy as np

TRAVELS = [*range(0, 41, 10), *range(30, -41, -10), *range(-30, 1, 10)]
BASE, PLATE, DROP = 300.0, 60.0, 200.0
DIAL, ZERO, RIDE = 0.03, 0.5, 0.5
DRAG = np.radians(0.003) / 25.0
PLAY = np.radians(0.01)
TOE_SET = np.radians(0.25)
TURNED = 0.05
BENT_MM, LEANING_MM = 2.0, 5.0
FITTED = {"ball": 25.0, "outer": 27.5}
JOINTS = ["ball", "inner_front", "inner_rear", "outer", "inner", "top", "foot"]


def number(x):
    """A coordinate as a car file writes it: its value and its own ±, if it says one."""
    if isinstance(x, (int, float)):
        return float(x), None
    m = re.match(r"\s*(-?[\d.]+)\s*(?:mm)?\s*(?:±|\+/-)\s*([\d.]+)", x)
    return float(m[1]), float(m[2])


def corner_of(path):
    with open(path, "rb") as f:
        axle = tomllib.load(f)["front"]
    arm = next(iter(axle["arm"].values()))
    rod = next(iter(axle["rod"].values()))
    places = {
        "centre": axle["wheel"]["centre"],
        "ball": arm["upright"],
        "inner_front": arm["body_front"],
        "inner_rear": arm["body_rear"],
        "outer": rod["upright"],
        "inner": rod["body"],
        "top": axle["strut"]["top"],
        "foot": axle["strut"]["foot"],
    }
    at, sigma = {}, {}
    for name, point in places.items():
        read = [number(x) for x in point]
        at[name] = np.array([value for value, _ in read])
        sigma[name] = np.array([own or axle.get("sigma", 0.0) for _, own in read])
    wheel = {k: np.radians(float(axle["wheel"].get(k, 0.0))) for k in ("camber", "toe")}
    return at, sigma, wheel


def turned(rotation, v):
    """v turned by a rotation vector (Rodrigues), car by car."""
    angle = np.linalg.norm(rotation, axis=1, keepdims=True)
    axis = rotation / np.where(angle > 1e-12, angle, 1.0)
    along = np.sum(axis * v, axis=1, keepdims=True)
    return v * np.cos(angle) + np.cross(axis, v) * np.sin(angle) + axis * along * (1 - np.cos(angle))


class Corner:
    """Many corners: joints as measured (cars x 3 each), members rigid."""

    def __init__(self, at, camber, toe):
        self.body = {n: at[n] for n in ("inner_front", "inner_rear", "inner", "top")}
        c = at["centre"]
        self.centre = c
        self.arm = {n: at[n] - c for n in ("ball", "outer", "foot")}  # on the upright
        line = at["top"] - at["foot"]
        self.strut = line / np.linalg.norm(line, axis=1, keepdims=True)
        helper = np.broadcast_to([1.0, 0.0, 0.0], line.shape)
        self.square = np.cross(self.strut, helper)
        self.square /= np.linalg.norm(self.square, axis=1, keepdims=True)
        self.square = [self.square, np.cross(self.strut, self.square)]
        length = lambda a, b: np.linalg.norm(at[a] - at[b], axis=1)
        self.length = {
            "front": length("ball", "inner_front"),
            "rear": length("ball", "inner_rear"),
            "rod": length("outer", "inner"),
        }
        spin = [np.sin(toe) * np.cos(camber), np.cos(toe) * np.cos(camber), -np.sin(camber)]
        self.spin = np.broadcast_to(spin, c.shape)
        self.pose = np.hstack([np.zeros_like(c), c])

    def rows(self, pose, height):
        turn, centre = pose[:, :3], pose[:, 3:]
        place = {n: centre + turned(turn, v) for n, v in self.arm.items()}
        far = lambda p, q: np.linalg.norm(place[p] - self.body[q], axis=1)
        up = self.body["top"] - place["foot"]
        return np.stack(
            [
                far("ball", "inner_front") - self.length["front"],
                far("ball", "inner_rear") - self.length["rear"],
                far("outer", "inner") - self.length["rod"],
                *[np.sum(turned(turn, s) * up, axis=1) for s in self.square],
                centre[:, 2] - height,
            ],
            axis=1,
        )

    def solve(self, height):
        """The pose with the wheel's centre at `height`, from the last one."""
        step = np.array([1e-6] * 3 + [1e-4] * 3)
        for _ in range(12):
            off = self.rows(self.pose, height)
            if np.max(np.abs(off)) < 1e-9:
                return
            slopes = np.empty((len(off), 6, 6))
            for k in range(6):
                by = np.zeros(6)
                by[k] = step[k]
                ahead, back = self.rows(self.pose + by, height), self.rows(self.pose - by, height)
                slopes[:, :, k] = (ahead - back) / (2 * step[k])
            self.pose = self.pose - np.linalg.solve(slopes, off[:, :, None])[:, :, 0]
        raise SystemExit("a corner has no position")

    def normal(self):
        return turned(self.pose[:, :3], self.spin)

    def toe(self):
        n = self.normal()
        return np.arctan2(n[:, 0], n[:, 1])

    def fit(self, by):
        """Joints moved on the upright (mm downwards, each car its own), same wheel height."""
        for _ in range(4):
            for name, mm in by.items():
                self.arm[name] = self.arm[name] - 0.25 * mm[:, None] * [0.0, 0.0, 1.0]
            self.solve(self.centre[:, 2])

    def set_toe(self, toe):
        """The rod turned until the wheel stands at `toe` (secant)."""
        last, before = np.zeros(len(toe)), self.toe() - toe
        by = np.full(len(toe), 0.5)
        for _ in range(20):
            self.length["rod"] = self.length["rod"] + (by - last)
            self.solve(self.centre[:, 2])
            off = self.toe() - toe
            if np.max(np.abs(off)) < 1e-10:
                return
            change = off - before
            nearer = by - off * (by - last) / np.where(np.abs(change) > 1e-15, change, 1e-15)
            last, before, by = by, off, nearer
        raise SystemExit("toe does not settle")

    def dials(self, random, low_random, dial=DIAL, circumstances=True):
        """Front, rear and low dial of a whole run: cars x rows x 3. The low dial draws for itself."""
        cars = len(self.centre)
        draw = lambda sigma, r=random: r.normal(0.0, sigma, cars) if circumstances else np.zeros(cars)
        shift, drag, play = draw(RIDE), draw(DRAG), draw(PLAY)
        zeros = [draw(ZERO), draw(ZERO), draw(ZERO, low_random)]
        ride = self.centre[:, 2]
        self.solve(ride)
        stood = self.pose[:, 3:].copy()  # the wheel's centre, when the dials were put up about it
        read, up = [], 1.0
        for i, travel in enumerate(TRAVELS):
            self.solve(ride + travel + shift)
            n, centre = self.normal(), self.pose[:, 3:]
            if i > 0:
                up = 1.0 if travel > TRAVELS[i - 1] else -1.0
            row = []
            places = ((0.5 * BASE, 0.0), (-0.5 * BASE, 0.0), (0.0, -DROP))
            for (ahead, above), zero in zip(places, zeros):
                # Where the dial's own line across the car, fixed to the floor, meets the plate.
                x, z = stood[:, 0] + ahead - centre[:, 0], stood[:, 2] + above - centre[:, 2]
                out = centre[:, 1] + (PLATE - n[:, 0] * x - n[:, 2] * z) / n[:, 1]
                slack = -np.sign(ahead) * 0.5 * BASE * (drag * travel + 0.5 * up * play)
                row.append(out + slack + zero)
            read.append(row)
        dials = np.transpose(np.array(read), (2, 0, 1))
        dials = dials - dials[:, :1, :]
        upper = random.normal(0.0, dial, dials[:, :, :2].shape)
        low = low_random.normal(0.0, dial, dials[:, :, 2:].shape)
        return dials + np.concatenate([upper, low], axis=2)


def drawn(at, sigma, cars, random):
    return {n: at[n] + sigma[n] * random.normal(size=(cars, 3)) for n in at}


def with_parts(corner, random, toe, fitted=FITTED):
    cars = len(corner.centre)
    corner.solve(corner.centre[:, 2])
    corner.fit({n: mm + random.normal(0.0, TURNED, cars) for n, mm in fitted.items()})
    corner.set_toe(toe + random.normal(0.0, TOE_SET, cars))
    return corner


def rows(car, kinds, seed):
    random, low = np.random.default_rng(seed), np.random.default_rng(seed + 1)
    at, sigma, wheel = corner_of(car)
    cars = len(kinds)
    truth = drawn(at, sigma, cars, random)
    sits = Corner(truth, wheel["camber"], wheel["toe"]).dials(random, low)
    joint = random.integers(0, len(JOINTS), cars)
    axis = random.integers(0, 3, cars)
    way = random.choice([-BENT_MM, BENT_MM], cars)
    leans = kinds == 2
    joint[leans] = JOINTS.index("top") + joint[leans] % 2
    axis[leans] = 1
    way[leans] *= LEANING_MM / BENT_MM
    for i in np.flatnonzero(kinds):
        truth[JOINTS[joint[i]]][i, axis[i]] += way[i]
    after = with_parts(Corner(truth, wheel["camber"], wheel["toe"]), random, wheel["toe"])
    after = after.dials(random, low)
    for i in range(cars):
        values = np.concatenate([sits[i].ravel(), after[i].ravel()])
        which = [kinds[i], joint[i], axis[i]]
        yield ",".join([*map(str, which), *(f"{x:.6f}" for x in values)]) + "\n"


def table(car, out, honest, bent, leaning):
    with open(out, "w", encoding="utf-8") as f:
        f.writelines(rows(car, np.repeat([0, 1], [honest, bent]), 20240501))
        f.writelines(rows(car, np.full(leaning, 2), 20240511))


def one_run(car, places, fitted):
    """A row of [[reading]] from a known truth, dials good to 0.02 mm."""
    random = np.random.default_rng(7)
    at, _, wheel = corner_of(car)
    at = {n: places.get(n, v)[None, :] for n, v in at.items()}
    corner = Corner(at, wheel["camber"], wheel["toe"])
    corner = with_parts(corner, random, wheel["toe"], fitted)
    rows = corner.dials(random, random, dial=0.02, circumstances=False)[0]
    print(", ".join(f"[{t}, {f:.2f}, {r:.2f}]" for t, (f, r, _) in zip(TRAVELS, rows)))


def main(words):
    if words[1] == "--truth":
        places, fitted = {}, {}
        for word in words[2:]:
            name, values = word.split("=")
            numbers = np.array([float(x) for x in values.split(",")])
            (places if len(numbers) == 3 else fitted)[name] = numbers if len(numbers) == 3 else numbers[0]
        one_run(words[0], places, fitted)
    else:
        table(words[0], words[1], *map(int, words[2:5]))


if __name__ == "__main__":
    main(sys.argv[1:])
