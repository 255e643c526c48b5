# SPDX-License-Identifier: MIT
"""Free-molecular transmission of a whole train of coaxial pieces: tubes, cones, steps, plates, bends.

A train is three arrays, one number a piece in the order of flow: radius at its inlet, radius at its
outlet, length along the axis. Where the radii of two neighbours differ there is a flat step; a piece
of length zero is a thin plate with a hole. Walls are diffuse. Every ring of wall exchanges molecules
with every other that it sees, through all openings between them, so that the beam which forms in one
piece is felt in the next ones: values of single pieces, multiplied or added up, miss that.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array, Real
from retortwright.ground.ranges import Mask, each, plain, quietly
from retortwright.physics.clausing import tube_transmission
from retortwright.physics.elbow import elbow_extra_length
from retortwright.physics.rings import Panels, Rings

__all__ = ["TrainTransmission", "cone_transmission", "train_transmission"]

_COARSE, _FINE = 5, 8  # Gauss places on each panel
_FIRST_PANEL, _GROWTH, _LARGEST_PANEL = 0.1, 3.0, 2.0  # of the smaller radius of a piece
_RESOLVED_LENGTH = 60.0  # radii of a tube that are cut into rings; what is longer is added by Clausing
_MOST_RINGS = 2500
_EVEN = 1e-9


_THINNEST = 0.01  # of the smaller radius: what is thinner is a plate of length zero
_LARGEST_ERROR = 0.02  # of the transmission: beyond it nothing is said


@dataclass(frozen=True, slots=True)
class TrainTransmission:
    """Transmission of a train, and by how much a coarser cut would change it."""

    transmission: Real
    numerical_error: Real


@dataclass(frozen=True, slots=True)
class _Profile:
    """The inside of a train in its meridian plane, lengths in inlet radii."""

    inlet: Array
    outlet: Array
    length: Array

    @property
    def heights(self) -> Array:
        """Of the planes before, between and behind the pieces."""
        return np.concatenate([[0.0], np.cumsum(self.length)])

    @property
    def gates(self) -> Array:
        """The openings between pieces: height and radius."""
        inner = self.heights[1:-1]
        return np.stack([inner, np.minimum(self.outlet[:-1], self.inlet[1:])], axis=-1)

    def lines(self) -> list[tuple[tuple[float, float], tuple[float, float], float]]:
        """Walls and step faces from inlet to outlet, each with the length that sets its panels."""
        found, heights = [], self.heights
        for piece, (inlet, outlet) in enumerate(zip(self.inlet, self.outlet, strict=True)):
            low, high = heights[piece], heights[piece + 1]
            if high > low:
                found.append(((inlet, low), (outlet, high), min(inlet, outlet)))
            following = self.inlet[piece + 1] if piece + 1 < len(self.inlet) else outlet
            if abs(following - outlet) > _EVEN * outlet:
                room = self.room(piece if following < outlet else piece + 1)
                found.append(((outlet, high), (following, high), min(outlet, following, room)))
        return found

    def room(self, piece: int) -> float:
        """Length of a piece, or no limit for a plate: flat faces close together need narrow panels."""
        length = float(self.length[piece])
        return length if length > 0 else np.inf


@quietly
def train_transmission(
    inlet_radii: Array, outlet_radii: Array, lengths: Array, bend_angles: Array
) -> TrainTransmission:
    """Free-molecular transmission of a train of pieces, of the molecules that enter its first opening.

    Parameters
    ----------
    inlet_radii : of the pieces in the order of flow [m]
    outlet_radii : of the pieces; equal to the inlet radius for a tube [m]
    lengths : of the pieces along the axis; zero for a thin plate with a hole [m]
    bend_angles : by which the axis turns in a mitre behind each piece, zero for none [rad]

    Returns
    -------
    transmission : of the train [1]
    numerical_error : change between a coarse and a fine cut; the fine one is the better [1]

    Range
    -----
    Radii above zero; lengths zero or from 0.01 radii on, to 60 radii for a cone; bends up to a
    quarter turn, between two tubes of one radius, each at least one radius long. nan otherwise, and
    where the two cuts differ by more than 2 %. Straight trains within 0.2 %, tubes and cones within
    0.01 %. Of a tube longer than 60 radii the rest is added as the difference
    of two of Clausing's tubes. A bend counts as an extra length of tube, itself within 1 %.

    Source
    ------
    Exchange between diffuse rings, the method of [clausing-1932] for any surface of revolution.

    Example
    -------
    >>> flask_neck_flask = np.array([0.10, 0.03, 0.10])
    >>> train = train_transmission(flask_neck_flask, flask_neck_flask, np.array([0.4, 0.3, 0.4]), np.zeros(3))
    >>> round(float(train.transmission), 4)
    0.0165
    """
    first = np.ravel(inlet_radii)[0]
    profile = _Profile(*(plain(np.divide(part, first)) for part in (inlet_radii, outlet_radii, lengths)))
    bends = plain(bend_angles)
    if not _is_train(profile, bends):
        return TrainTransmission(np.float64(np.nan), np.float64(np.nan))
    if not np.any(profile.length > 0):
        hole = float(np.min(np.minimum(profile.inlet, profile.outlet)) ** 2)
        return TrainTransmission(np.float64(hole), np.float64(0.0))
    short, more = _shortened(profile)
    more += _bent(profile, bends)
    coarse, fine = (1 / (1 / _solved(short, order) + more) for order in (_COARSE, _FINE))
    error = abs(fine - coarse)
    settled = np.float64(1.0 if error <= _LARGEST_ERROR * fine else np.nan)
    return TrainTransmission(settled * fine, settled * error)


@quietly
def cone_transmission(inlet_radius: Real, outlet_radius: Real, length: Real) -> Real:
    """Free-molecular transmission of a cone with diffuse wall, narrowing or widening.

    Parameters
    ----------
    inlet_radius : of the end where the molecules come in [m]
    outlet_radius : of the other end [m]
    length : along the axis [m]

    Returns
    -------
    transmission : of the molecules that enter the inlet [1]

    Range
    -----
    Radii above zero, length above zero to 60 times the smaller radius; nan otherwise. Numerical
    error below 1e-4 of the value; inlet area times transmission is the same from either end.

    Source
    ------
    Exchange between diffuse rings, the method of [clausing-1932] for a cone.

    Example
    -------
    >>> round(float(cone_transmission(0.02, 0.01, 0.04)), 4)
    0.1793
    """

    def solve(outlet: float, long: float) -> float:
        profile = _Profile(np.ones(1), np.array([outlet]), np.array([long]))
        return _solved(profile, _FINE) if long > 0 and _is_train(profile, np.zeros(1)) else float("nan")

    return each(solve, np.divide(outlet_radius, inlet_radius), np.divide(length, inlet_radius))


def _is_train(profile: _Profile, bends: Array) -> bool:
    """Whether these pieces can be computed."""
    parts = (profile.inlet, profile.outlet, profile.length, bends)
    if len({part.shape for part in parts}) > 1 or not all(np.all(np.isfinite(part)) for part in parts):
        return False
    smaller = np.minimum(profile.inlet, profile.outlet)
    tube = np.abs(profile.inlet - profile.outlet) <= _EVEN * profile.inlet
    thin = (profile.length > 0) & (profile.length < _THINNEST * smaller) & (len(bends) > 1)
    slender = profile.length > _RESOLVED_LENGTH * smaller
    sound = np.all(smaller > 0) and np.all(profile.length >= 0) and np.all(tube | (profile.length > 0))
    return bool(sound and not np.any(slender & ~tube | thin) and bends[-1] == 0)


def _shortened(profile: _Profile) -> tuple[_Profile, float]:
    """The train with its very long tubes cut down, and the resistance taken away by that."""
    kept = np.minimum(profile.length, _RESOLVED_LENGTH * profile.inlet)
    whole, part = (1 / tube_transmission(length / profile.inlet) for length in (profile.length, kept))
    return _Profile(profile.inlet, profile.outlet, kept), float(np.sum((whole - part) / profile.inlet**2))


def _bent(profile: _Profile, bends: Array) -> float:
    """Resistance that the bends add; nan where a bend is not between two tubes of one radius."""
    more = 0.0
    for joint in np.flatnonzero(bends):
        radii = [part[one] for one in (joint, joint + 1) for part in (profile.inlet, profile.outlet)]
        radius = radii[0]
        if max(radii) - min(radii) > _EVEN * radius:
            return float("nan")
        legs = profile.length[joint : joint + 2] / radius
        more += 3 / 8 * float(elbow_extra_length(legs[0], legs[1], bends[joint])) / radius**2
    return more


def _solved(profile: _Profile, order: int) -> float:
    """Transmission by exchange between rings with so many Gauss places on each panel."""
    walls = [_cut(start, end, scale, order) for start, end, scale in profile.lines()]
    wall = walls[0]
    for more in walls[1:]:
        wall = wall.and_those(more)
    if len(wall.radius) > _MOST_RINGS:
        return float("nan")
    top, gates = float(profile.heights[-1]), profile.gates
    inlet = _end_disc(float(profile.inlet[0]), 0.0, 1.0, top, order)
    outlet = _end_disc(float(profile.outlet[-1]), top, -1.0, top, order)
    between = wall.exchange(wall, gates, 0.0)
    from_inlet = _end_exchange(wall, inlet, profile, gates, is_inlet=True)
    to_outlet = _end_exchange(wall, outlet, profile, gates, is_inlet=False)
    balance = np.diag(between.sum(axis=1) + from_inlet + to_outlet) - between
    passed = from_inlet @ np.linalg.solve(balance, to_outlet)
    if len(profile.length) == 1:
        straight = float(_disc_to_disc(profile.inlet[0], profile.outlet[0], top))
    else:
        straight = float(inlet.exchange(outlet, gates, 0.0).sum())
    return float(passed + straight) / (np.pi * float(profile.inlet[0]) ** 2)


def _cut(start: tuple[float, float], end: tuple[float, float], scale: float, order: int) -> Rings:
    """A wall or a step face cut into rings."""
    length = float(np.hypot(end[0] - start[0], end[1] - start[1]))
    return Rings.along(start, end, _panels(scale).edges(length), order)


def _panels(scale: float) -> Panels:
    return Panels(_FIRST_PANEL * scale, _GROWTH, _LARGEST_PANEL * scale)


def _end_disc(radius: float, height: float, upward: float, top: float, order: int) -> Rings:
    """An open end cut into rings, finest at its rim."""
    edges = _panels(min(radius, top)).half_edges(radius)
    rings = Rings.along((radius, height), (0.0, height), edges, order)
    return Rings(rings.radius, rings.height, rings.outward, np.full_like(rings.radius, upward), rings.width)


def _end_exchange(wall: Rings, disc: Rings, profile: _Profile, gates: Array, *, is_inlet: bool) -> Array:
    """Exchange areas of the wall with an open end; in closed form where nothing is in between."""
    shared = wall.exchange(disc, gates, 0.0).sum(axis=1)
    solid = np.flatnonzero(profile.length > 0)
    if is_inlet:
        clear = wall.height <= profile.heights[solid[0] + 1] * (1 + _EVEN)
        seen, radius = clear & ~_turned_from(wall, profile.heights[solid[0] + 1], 1.0), profile.inlet[0]
    else:
        low = profile.heights[solid[-1]]
        clear = wall.height >= low * (1 - _EVEN)
        seen, radius = clear & ~_turned_from(wall, low, -1.0), profile.outlet[-1]
    exact = wall.exchange_with_disc(float(radius), float(disc.height[0]), float(disc.upward[0]))
    return np.where(seen, exact, shared)


def _turned_from(wall: Rings, height: float, upward: float) -> Mask:
    """Whether a ring lies on a face in this plane that looks away from the end in question."""
    on_plane = np.abs(wall.height - height) <= _EVEN * max(height, 1.0)
    away: Mask = on_plane & (np.sign(wall.upward) == upward) & (wall.outward == 0)
    return away


def _disc_to_disc(radius: float, other: float, apart: float) -> float:
    """Exchange area of two coaxial discs."""
    total = apart**2 + radius**2 + other**2
    root = np.sqrt((apart**2 + (radius - other) ** 2) * (apart**2 + (radius + other) ** 2))
    return float(np.pi * 2 * (radius * other) ** 2 / (total + root))
