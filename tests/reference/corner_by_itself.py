"""A wheel's corner solved by itself: an independent solver for the checks of travel and forces.

Reads the left corner of an axle from a car file: an arm and a rod with a strut, two arms and a rod, a
strut and three rods, or five rods. Nothing of Trammel is used: a rigid body of six unknowns, its members
as they are said in words, plain Newton with slopes by differences.

  corner_by_itself.py CAR.toml front|rear [--lowered MM] [--keep] [--part JOINT=X,Y,Z ...]
                      [--travel=-50,-40,...] [--load X,Y,Z] [--trail MM] [--sigma X,Y,Z]

--lowered   the body so much lower than the file has it, its floor with it
--keep      the toe rod keeps its length; else it is reset until the wheel has the toe of the file
--part      a joint moved on its upright by so much, in mm, member lengths kept: a spacer, say
--load      forces of the road on the tyre, forward, outboard and up in N, to forces in the members;
            struts only, the spring along the strut
--trail     where they act, behind the contact point
--sigma     how well every joint and the wheel's centre are known, in mm by axis: what that leaves of the
            figures at ride height, to first order, as the corner sits, with its parts, and of the change

Prints one object of JSON: by travel, toe (in positive) and camber in degrees, the roll centre's height in
mm; at ride height the slopes per 25 mm of bump by differences, steering axis, scrub and trail. Angles and
axes as in the docs (ISO 8855: x forward, y left, z up).
"""
import argparse
import json
import re
import sys
import tomllib

import numpy as np

STEP = 1e-5  # of differences, mm and mrad
METRES = {"mm": 1.0, "in": 25.4, "": 1.0}


def number(x):
    """A value as a car file writes it, its ± left aside."""
    if isinstance(x, (int, float)):
        return float(x)
    m = re.fullmatch(r"\s*(-?[\d.]+)\s*(mm|in|)\s*(?:(?:±|\+/-).*)?", x)
    if not m:
        sys.exit(f"'{x}' is more than this script reads")
    return float(m[1]) * METRES[m[2]]


def read(p):
    return np.array([number(x) for x in p])


def turned(v):
    """The rotation by a vector (Rodrigues)."""
    a = np.linalg.norm(v)
    if a < 1e-300:
        return np.eye(3)
    k = np.array([[0, -v[2], v[1]], [v[2], 0, -v[0]], [-v[1], v[0], 0]]) / a
    return np.eye(3) + np.sin(a) * k + (1 - np.cos(a)) * k @ k


class Corner:
    """Points on the body stay; points on the upright move with it: six unknowns, the centre's shift in mm
    and the rotation about where it stood, in mrad."""

    def __init__(self, axle, moved, shifted=None):
        wheel = axle["wheel"]
        shifted = shifted or {}
        point = lambda p, name: read(p) + shifted.get(name, 0.0)  # noqa: E731
        self.centre = point(wheel["centre"], "wheel.centre")
        camber, toe = (np.radians(number(wheel.get(k, 0.0))) for k in ("camber", "toe"))
        self.spin = np.array([np.sin(toe) * np.cos(camber), np.cos(toe) * np.cos(camber), -np.sin(camber)])
        self.radius = self.centre[2] / np.sqrt(1 - self.spin[2] ** 2)
        self.names, self.inner, self.outer = [], [], []
        for name, arm in axle.get("arm", {}).items():
            for leg in ("body_front", "body_rear"):
                self.member(f"arm.{name}.{leg}", point(arm[leg], f"arm.{name}.{leg}"),
                            point(arm["upright"], f"arm.{name}.upright"))
        for name, rod in axle.get("rod", {}).items():
            self.member(f"rod.{name}", point(rod["body"], f"rod.{name}.body"),
                        point(rod["upright"], f"rod.{name}.upright"))
        self.length = np.array([np.linalg.norm(o - i) for o, i in zip(self.outer, self.inner)])
        strut = axle.get("strut")
        self.top = point(strut["top"], "strut.top") if strut else None
        self.foot = point(strut["foot"], "strut.foot") if strut else None
        # A part moves the joint on its upright; the lengths stay.
        for joint, by in moved.items():
            member, end = joint.rsplit(".", 1)
            hit = False
            for i, name in enumerate(self.names):
                if end == "upright" and (name == member or name.startswith(member + ".")):
                    self.outer[i] = self.outer[i] + by
                    hit = True
            if not hit:
                sys.exit(f"there is no joint {joint} on the upright")
        adjust = axle.get("adjust", {}).get("toe", {}).get("rod")
        steered = [n for n, r in axle.get("rod", {}).items() if r.get("steered")]
        self.toe_rod = adjust or (steered[0] if steered else "toe")
        self.steered = bool(steered)
        self.wanted_toe = toe

    def member(self, name, inner, outer):
        self.names.append(name)
        self.inner.append(inner)
        self.outer.append(outer)

    def place(self, q, p):
        """Where a point of the upright is."""
        return self.centre + q[:3] + turned(q[3:] * 1e-3) @ (p - self.centre)

    def lengths(self, q):
        return np.array([np.linalg.norm(self.place(q, o) - i) for o, i in zip(self.outer, self.inner)])

    def off_the_line(self, q):
        """The strut's line is the upright's and runs through the top mount: what it misses it by."""
        foot, along = self.place(q, self.foot), turned(q[3:] * 1e-3) @ (self.top - self.foot)
        along = along / np.linalg.norm(along)
        side = np.cross(along, [1.0, 0.0, 0.0])
        side = side / np.linalg.norm(side)
        gap = self.top - foot
        return np.array([gap @ side, gap @ np.cross(along, side)])

    def rows(self, q, travel):
        r = list(self.lengths(q) - self.length)
        if self.top is not None:
            r += list(self.off_the_line(q))
        return np.array(r + [q[2] - travel])

    def jacobian(self, f, q):
        columns = []
        for k in range(6):
            d = np.zeros(6)
            d[k] = STEP
            columns.append((f(q + d) - f(q - d)) / (2 * STEP))
        return np.array(columns).T

    def solve(self, travel, q):
        for _ in range(50):
            r = self.rows(q, travel)
            if r.size != 6:
                sys.exit(f"{r.size - 1} equations hold the upright, expected 5")
            dq = np.linalg.solve(self.jacobian(lambda x: self.rows(x, travel), q), r)
            q = q - dq
            if np.abs(dq).max() < 1e-11:
                return q
        sys.exit(f"no position at travel {travel}")

    def reach(self, travel, q):
        """In steps, so that Newton stays on its branch."""
        begin = q[2]
        steps = max(1, int(np.ceil(abs(travel - begin) / 10.0)))
        for i in range(1, steps + 1):
            q = self.solve(begin + (travel - begin) * i / steps, q)
        return q

    def angles(self, q):
        n = turned(q[3:] * 1e-3) @ self.spin
        return np.arctan2(n[0], n[1]), np.arcsin(-n[2])

    def contact(self, q):
        """Of the tyre, and the point of the upright that is there now."""
        r = turned(q[3:] * 1e-3)
        n = r @ self.spin
        down = np.array([0.0, 0.0, -1.0]) + n[2] * n
        at = self.centre + q[:3] + self.radius * down / np.linalg.norm(down)
        return at, self.centre + r.T @ (at - self.centre - q[:3])

    def roll_centre(self, q):
        """Above the ground under the tyre: half track times the contact point's way sideways for its way
        up, as a point of the upright."""
        at, fixed = self.contact(q)
        up, down = self.solve(q[2] + 0.05, q), self.solve(q[2] - 0.05, q)
        way = self.place(up, fixed) - self.place(down, fixed)
        return at[1] * way[1] / way[2]

    def set_toe(self, q):
        """The toe rod reset at this height until the toe is the file's."""
        i = self.names.index(f"rod.{self.toe_rod}")
        for _ in range(30):
            miss = self.angles(q)[0] - self.wanted_toe
            if abs(miss) < 1e-14:
                break
            self.length[i] += 1e-3
            slope = (self.angles(self.solve(q[2], q))[0] - self.wanted_toe - miss) / 1e-3
            self.length[i] -= 1e-3 + miss / slope
            q = self.solve(q[2], q)
        return q

    def balls(self):
        return [i for i, n in enumerate(self.names) if n.startswith("arm.") and n.endswith("body_front")]

    def has_axis(self):
        return len(self.balls()) + (self.top is not None) == 2

    def axis(self, q):
        """The steering axis, a point of it and its direction upwards."""
        ends = [self.place(q, self.outer[i]) for i in self.balls()]
        if self.top is not None:
            ends.append(self.top)
        low, high = sorted(ends, key=lambda p: p[2])
        return low, high - low

    def forces(self, q, load, trail):
        """In the members, tension positive: what the tyre's load does on a small move of the upright is
        what the members' changes of length take up. The strut bears along itself and sideways."""
        at, _ = self.contact(q)
        at = at - np.array([trail, 0.0, 0.0])
        fixed = self.centre + turned(q[3:] * 1e-3).T @ (at - self.centre - q[:3])

        def held(x):
            foot = self.place(x, self.foot)
            return np.concatenate([self.lengths(x), self.off_the_line(x), [np.linalg.norm(self.top - foot)]])

        grown = self.jacobian(held, q)
        work = self.jacobian(lambda x: self.place(x, fixed), q).T @ load
        return dict(zip(self.names + ["strut.side", "strut.across", "strut.along"],
                        np.linalg.solve(grown.T, work)))


def joints_of(axle):
    yield "wheel.centre"
    for kind in ("arm", "rod"):
        for name, member in axle.get(kind, {}).items():
            for end in ("body_front", "body_rear", "body", "upright"):
                if end in member:
                    yield f"{kind}.{name}.{end}"
    for end in ("top", "foot"):
        if end in axle.get("strut", {}):
            yield f"strut.{end}"


def slopes_at_ride(corner, ride):
    up, down = (np.array(corner.angles(corner.solve(ride[2] + d, ride))) for d in (0.05, -0.05))
    return np.degrees(up - down) * 250.0


def standing(axle, parts, asked, shifted=None):
    corner = Corner(axle, parts, shifted)
    ride = corner.reach(asked.lowered, np.zeros(6))
    return corner, ride if asked.keep else corner.set_toe(ride)


def doubts(axle, parts, asked):
    """Each coordinate a tenth of a millimetre either way, its figures' changes added up in squares."""
    sigma = [float(x) for x in asked.sigma.split(",")]
    total = np.zeros((3, 2))
    for joint in joints_of(axle):
        for k in range(3):
            by = np.eye(3)[k] * 0.1
            found = []
            for sign in (1, -1):
                for fitted in ({}, parts):
                    corner, ride = standing(axle, fitted, asked, {joint: sign * by})
                    found.append(np.array([slopes_at_ride(corner, ride)[0], corner.roll_centre(ride)]))
            sits, with_parts = found[0] - found[2], found[1] - found[3]
            total += (np.array([sits, with_parts, with_parts - sits]) * sigma[k] / 0.2) ** 2
    keys = ("toe_slope_deg_per_25_mm", "roll_centre_height_mm")
    return {word: dict(zip(keys, row)) for word, row in
            zip(("as_it_sits", "with_parts", "of_the_change"), np.sqrt(total).tolist())}


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("car")
    ask.add_argument("axle", choices=["front", "rear"])
    ask.add_argument("--lowered", type=float, default=0.0)
    ask.add_argument("--keep", action="store_true")
    ask.add_argument("--part", action="append", default=[])
    ask.add_argument("--travel", default="-50,-40,-30,-20,-10,0,10,20,30,40,50")
    ask.add_argument("--load")
    ask.add_argument("--trail", type=float, default=0.0)
    ask.add_argument("--sigma")
    asked = ask.parse_args()
    with open(asked.car, "rb") as f:
        axle = tomllib.load(f)[asked.axle]
    parts = {joint: np.array([float(x) for x in by.split(",")])
             for joint, by in (p.split("=") for p in asked.part)}
    corner, ride = standing(axle, parts, asked)
    degrees = np.degrees
    told = {"travel_mm": [], "toe_deg": [], "camber_deg": [], "roll_centre_height_mm": []}
    for travel in (float(t) for t in asked.travel.split(",")):
        q = corner.reach(asked.lowered + travel, ride)
        toe, camber = corner.angles(q)
        told["travel_mm"].append(travel)
        told["toe_deg"].append(degrees(toe))
        told["camber_deg"].append(degrees(camber))
        told["roll_centre_height_mm"].append(corner.roll_centre(q))
    toe, camber = corner.angles(ride)
    slopes = slopes_at_ride(corner, ride)
    at_ride = {"toe_deg": degrees(toe), "camber_deg": degrees(camber),
               "roll_centre_height_mm": corner.roll_centre(ride),
               "toe_slope_deg_per_25_mm": slopes[0],
               "camber_gain_deg_per_25_mm": slopes[1]}
    if corner.steered and corner.has_axis():
        low, along = corner.axis(ride)
        ground, _ = corner.contact(ride)
        meets = low + along * (ground[2] - low[2]) / along[2]
        n = turned(ride[3:] * 1e-3) @ corner.spin
        out = np.array([n[0], n[1], 0.0]) / np.hypot(n[0], n[1])
        ahead = np.array([out[1], -out[0], 0.0])
        at_ride |= {"caster_deg": degrees(np.arctan2(-along[0], along[2])),
                    "steering_axis_inclination_deg": degrees(np.arctan2(-along[1], along[2])),
                    "scrub_radius_mm": (ground - meets) @ out, "caster_trail_mm": (meets - ground) @ ahead}
    told["ride"] = at_ride
    if asked.load:
        load = np.array([float(x) for x in asked.load.split(",")])
        told["force_n"] = corner.forces(ride, load, asked.trail)
    if asked.sigma:
        told["sigma"] = doubts(axle, parts, asked)
    json.dump(told, sys.stdout, indent=1)
    print()


if __name__ == "__main__":
    main()
