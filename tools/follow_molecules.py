# SPDX-License-Identifier: MIT
"""Follow molecules one by one through passages with diffuse walls: an independent check.

`through_train` takes coaxial frustums, steps and a core; `through_elbow` takes a mitred bend of a
round tube. Plain numpy, all molecules of a batch at once, seeded. Run as a script it prints the
table of bends that ships in physics/elbow.py:

    python tools/follow_molecules.py 90 2000000
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from retortwright.physics.clausing import tube_transmission

Array = NDArray[np.float64]


def cosine_directions(draw: np.random.Generator, count: int) -> tuple[Array, Array, Array]:
    """Directions that leave a diffuse wall: along two tangents and the normal."""
    turn, square = 2 * np.pi * draw.random(count), draw.random(count)
    flat = np.sqrt(square)
    return flat * np.cos(turn), flat * np.sin(turn), np.sqrt(1 - square)


def through_elbow(first: float, second: float, angle: float, count: int, draw: np.random.Generator) -> float:
    """Share of molecules that pass a mitred bend of unit radius, legs measured along the axis.

    Each leg has its own frame: w is the way outward from the point where the axes meet, x points
    away from the inside of the bend, and the mitre is the plane w = x tan(angle / 2).
    """
    legs, slope = np.array([first, second]), np.tan(angle / 2)
    cosine, sine = np.cos(angle), np.sin(angle)
    radius, turn = np.sqrt(draw.random(count)), 2 * np.pi * draw.random(count)
    x, y, w = radius * np.cos(turn), radius * np.sin(turn), np.full(count, first)
    dx, dy, dw = cosine_directions(draw, count)
    dw, leg, passed = -dw, np.zeros(count, dtype=int), 0
    while len(x):
        across, level = x * dx + y * dy, dx * dx + dy * dy
        room = np.maximum(1 - x * x - y * y, 0)
        wall = (-across + np.sqrt(across**2 + level * room)) / np.maximum(level, 1e-300)
        slant = dw - slope * dx
        mitre = np.where(slant < 0, (slope * x - w) / np.where(slant < 0, slant, 1.0), np.inf)
        end = np.where(dw > 0, (legs[leg] - w) / np.where(dw > 0, dw, 1.0), np.inf)
        crosses = (mitre < wall) & (mitre < end)
        leaves = (end <= wall) & ~crosses
        passed += int(np.count_nonzero(leaves & (leg == 1)))
        way = np.where(crosses, np.maximum(mitre, 0.0), wall)
        stays = ~leaves
        x, y, w = ((at + way * step)[stays] for at, step in ((x, dx), (y, dy), (w, dw)))
        dx, dy, dw, leg, crosses = dx[stays], dy[stays], dw[stays], leg[stays], crosses[stays]
        fx, fy, fw = _scattered(x, y, draw)
        bent, bent_d = ((cosine * a + sine * b, sine * a - cosine * b) for a, b in ((x, w), (dx, dw)))
        x, w = np.where(crosses, bent[0], x), np.where(crosses, bent[1], w)
        dx, dw = np.where(crosses, bent_d[0], fx), np.where(crosses, bent_d[1], fw)
        dy = np.where(crosses, dy, fy)
        leg = np.where(crosses, 1 - leg, leg)
    return passed / count


def _scattered(x: Array, y: Array, draw: np.random.Generator) -> tuple[Array, Array, Array]:
    """Directions into the bore from points of its wall."""
    around, along, inward = cosine_directions(draw, len(x))
    size = np.hypot(x, y)
    cx, cy = x / size, y / size
    return -cx * inward - cy * around, -cy * inward + cx * around, along


def through_train(
    frustums: Sequence[tuple[float, float, float]], core: float, count: int, draw: np.random.Generator
) -> float:
    """Share of molecules that pass coaxial frustums (radius in, radius out, length) about a core."""
    first, last, length = (np.array(column) for column in zip(*frustums, strict=True))
    ends, widening = np.cumsum(length), (last - first) / length
    starts = ends - length
    part = np.zeros(count, dtype=int)
    radius = np.sqrt(core**2 + (first[0] ** 2 - core**2) * draw.random(count))
    turn = 2 * np.pi * draw.random(count)
    at = np.array([radius * np.cos(turn), radius * np.sin(turn), np.zeros(count)])
    step, passed = np.array(cosine_directions(draw, count)), 0
    while at.shape[1]:
        grown = first[part] + widening[part] * (at[2] - starts[part])
        wall = _next_root(
            step[0] ** 2 + step[1] ** 2 - (widening[part] * step[2]) ** 2,
            at[0] * step[0] + at[1] * step[1] - widening[part] * grown * step[2],
            np.minimum(at[0] ** 2 + at[1] ** 2 - grown**2, 0.0),
        )
        inner = _core_root(at, step, core)
        gate = np.where(step[2] > 0, ends[part], starts[part])
        with np.errstate(divide="ignore", invalid="ignore"):
            plane = np.where(step[2] != 0, np.maximum((gate - at[2]) / step[2], 0), np.inf)
        way = np.minimum(np.minimum(wall, inner), plane)
        at = at + way * step
        to = part + np.where(step[2] > 0, 1, -1)
        reached = plane <= np.minimum(wall, inner)
        passed += int(np.count_nonzero(reached & (to == len(first))))
        stays = ~(reached & ((to < 0) | (to == len(first))))
        at, step, part, to, reached = at[:, stays], step[:, stays], part[stays], to[stays], reached[stays]
        inside, on_core = _opening(at, step, to, first, last), (inner <= wall)[stays]
        normal = _normals(at, step, widening[part], reached, on_core & ~reached)
        through = reached & inside
        part = np.where(through, to, part)
        step = np.where(through, step, _off(normal, draw))
    return passed / count


def _next_root(a: Array, b: Array, c: Array) -> Array:
    """Smallest root beyond zero of a t^2 + 2 b t + c, from a point on or inside a frustum."""
    with np.errstate(divide="ignore", invalid="ignore"):
        spread = np.sqrt(np.maximum(b * b - a * c, 0))
        roots = np.array([(-b + spread) / a, (-b - spread) / a])
    return np.where(roots > 1e-9, roots, np.inf).min(axis=0)


def _core_root(at: Array, step: Array, core: float) -> Array:
    a, b = step[0] ** 2 + step[1] ** 2, at[0] * step[0] + at[1] * step[1]
    c = at[0] ** 2 + at[1] ** 2 - core**2
    with np.errstate(divide="ignore", invalid="ignore"):
        root = (-b - np.sqrt(np.maximum(b * b - a * c, 0))) / a
    return np.where((core > 0) & (b < 0) & (b * b > a * c) & (root > 1e-9), root, np.inf)


def _opening(at: Array, step: Array, to: NDArray[np.int_], first: Array, last: Array) -> NDArray[np.bool_]:
    """Whether a point in a plane between two pieces lies in the bore of the next one."""
    held = np.clip(to, 0, len(first) - 1)
    bore = np.where(step[2] > 0, first[held], last[held])
    return at[0] ** 2 + at[1] ** 2 < bore**2


def _normals(
    at: Array, step: Array, widening: Array, on_face: NDArray[np.bool_], on_core: NDArray[np.bool_]
) -> Array:
    size = np.hypot(at[0], at[1])
    slant = np.hypot(1.0, widening)
    wall = np.array([-at[0] / size, -at[1] / size, widening]) / slant
    middle = np.array([at[0] / size, at[1] / size, 0 * size])
    face = np.array([0 * size, 0 * size, -np.sign(step[2])])
    return np.where(on_face, face, np.where(on_core, middle, wall))


def _off(normal: Array, draw: np.random.Generator) -> Array:
    """Directions that leave walls with these normals."""
    one, other, out = cosine_directions(draw, normal.shape[1])
    axes = np.eye(3)[:, :, None]
    helper = np.where(np.abs(normal[2]) < 0.5, axes[2], axes[0])
    side = np.cross(normal, helper, axis=0)
    side = side / np.linalg.norm(side, axis=0)
    return one * side + other * np.cross(normal, side, axis=0) + out * normal


def main() -> None:
    """Print what passes bends of one angle, for a few lengths of the legs."""
    angle, count = float(sys.argv[1]), int(sys.argv[2])
    draw = np.random.default_rng(20240611)
    for leg in (1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 20.0):
        batches = [through_elbow(leg, leg, np.radians(angle), count // 10, draw) for _ in range(10)]
        share = float(np.mean(batches))
        error = np.sqrt(share * (1 - share) / count)
        extra = 8 / 3 * (1 / share - 1 / float(tube_transmission(2 * leg)))
        print(f"{angle:g} deg, legs {leg:g}: {share:.6f} +- {error:.6f}, extra {extra:.3f}", flush=True)


if __name__ == "__main__":
    main()
