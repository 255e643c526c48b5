# SPDX-License-Identifier: MIT
"""Solve rarefied flow in a long round tube from its kinetic equation and print the table that ships.

The linearised BGK equation (Poiseuille flow, any share of diffuse reflection) and the linearised
S-model (thermal creep, diffuse wall) are turned into integral equations over the cross-section and
solved by Galerkin's method with polynomials in the square of the radius. A cross-section integral
over pairs of points is taken chord by chord: both points lie on one chord, at the distance s.
A molecule reflected like light from the wall of a round tube runs along a chord of the same
length again and again, so that a wall of accommodation a adds images weighted with (1 - a)^k.

    python tools/solve_tube_kinetics.py > src/retortwright/physics/transition_table.py

takes some ten seconds on one core. `--check` prints values beside published ones instead.
"""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.polynomial import chebyshev, legendre
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

Array = NDArray[np.float64]

LOWEST, HIGHEST = 1e-3, 1e2  # of the rarefaction parameter in the table
LEAST_ACCOMMODATION = 0.5
PLACES_RAREFACTION, PLACES_ACCOMMODATION = 22, 6
_STEP = 0.08
_LOG_SPEED = np.arange(-38.0, 2.3, _STEP)
_LOG_ARGUMENT = np.linspace(-32.0, 7.5, 8000)  # T_n beyond its end is below 1e-60
HEAT_COUPLING = np.sqrt(2 / 15)  # of the S-model: makes its two moments one symmetric system


@functools.cache
def _abramowitz_spline(order: int) -> Callable[[Array], Array]:
    speed = np.exp(_LOG_SPEED)
    weight = _STEP * speed ** (order + 1) * np.exp(-(speed**2))
    return CubicSpline(_LOG_ARGUMENT, np.exp(-np.exp(_LOG_ARGUMENT)[:, None] / speed) @ weight)


def abramowitz(order: int, argument: Array) -> Array:
    """T_n(x), the integral of t^n exp(-t^2 - x/t) over all positive t, by the trapezoid in ln t."""
    log = np.clip(np.log(argument), _LOG_ARGUMENT[0], _LOG_ARGUMENT[-1])
    return _abramowitz_spline(order)(log)


class Pairs(NamedTuple):
    """Pairs of points on the chords of the unit circle: distance apart, weight, basis at either."""

    distance: Array
    weight: Array
    first: Array
    second: Array


def _gauss(count: int) -> tuple[Array, Array]:
    nodes, weights = legendre.leggauss(count)
    return (nodes + 1) / 2, weights / 2


def _basis(square: Array, size: int) -> Array:
    return legendre.legvander(2 * square - 1, size - 1)


def direct_pairs(size: int, fine: int) -> Pairs:
    """Pairs on one chord, graded towards distance zero where the kernel has its kink."""
    angle, angle_weight = _gauss(fine)
    near, near_weight = _gauss(fine + 16)
    along, along_weight = _gauss(2 * size + 4)
    offset = np.sin(angle * np.pi / 2)[:, None, None]
    chord = 2 * np.cos(angle * np.pi / 2)[:, None, None]
    distance = chord * near[None, :, None] ** 3
    room = chord - distance
    start = -chord / 2 + room * along
    weight = (angle_weight * np.pi / 2)[:, None, None] * chord / 2  # d offset
    weight = weight * chord * (3 * near**2 * near_weight)[None, :, None] * room * along_weight
    # both orders of the pair, both signs of the offset, all directions
    weight = weight * 2 * 2 * 2 * np.pi / 2
    one = _basis(offset**2 + start**2, size).reshape(-1, size)
    other = _basis(offset**2 + (start + distance) ** 2, size).reshape(-1, size)
    return Pairs(np.broadcast_to(distance, weight.shape).ravel(), weight.ravel(), one, other)


def image_pairs(size: int, fine: int) -> tuple[Pairs, Array]:
    """Pairs on one chord by way of the first reflection, and the length of their chord."""
    angle, angle_weight = _gauss(fine)
    place, place_weight = _gauss(fine)
    half = np.cos(angle * np.pi / 2)[:, None, None]
    offset = np.sin(angle * np.pi / 2)[:, None, None]
    position = -np.cos(np.pi * place)
    measure = np.pi * np.sin(np.pi * place) * place_weight
    one, other = half * position[None, :, None], half * position[None, None, :]
    weight = (angle_weight * np.pi / 2)[:, None, None] * half * half**2
    weight = weight * measure[None, :, None] * measure[None, None, :] * 2 * 2 * np.pi
    distance = one - other + 2 * half
    shape = distance.shape
    bases = [
        _basis(np.broadcast_to(offset**2 + where**2, shape), size).reshape(-1, size) for where in (one, other)
    ]
    length = np.broadcast_to(2 * half, shape).ravel()
    return Pairs(distance.ravel(), weight.ravel(), bases[0], bases[1]), length


def _sandwich(pairs: Pairs, kernel: Array) -> Array:
    square = pairs.first.T @ ((pairs.weight * kernel)[:, None] * pairs.second)
    return (square + square.T) / 2 / np.pi


class Section:
    """The cross-section of a tube, cut into pairs of points once for all rarefactions."""

    def __init__(self, size: int = 16, fine: int = 28) -> None:
        self.size = size
        self.direct = direct_pairs(size, fine)
        self.image, self.length = image_pairs(size, fine)
        self.mass = np.diag(np.pi / (2 * np.arange(size) + 1))
        self.one = np.eye(size)[0]

    def operator(self, rarefaction: float, orders: dict[int, float], accommodation: float = 1.0) -> Array:
        """Matrix of (1/pi) times the integral of a mix of T_n along all chords."""

        def kernel(distance: Array) -> Array:
            values, back = np.unique(distance, return_inverse=True)
            mix = sum(share * abramowitz(order, rarefaction * values) for order, share in orders.items())
            return np.asarray(mix)[back]

        total = _sandwich(self.direct, kernel(self.direct.distance))
        share, reflections = 1.0 - accommodation, 0
        while share ** (reflections + 1) > 1e-9:
            reflections += 1
            distance = self.image.distance + (reflections - 1) * self.length
            total = total + share**reflections * _sandwich(self.image, kernel(distance))
        return total

    def poiseuille(self, rarefaction: float, accommodation: float = 1.0) -> float:
        """Poiseuille coefficient of the BGK equation."""
        flight = self.operator(rarefaction, {0: 1.0}, accommodation)
        source = -0.5 * flight @ self.one
        speed = np.linalg.solve(self.mass - rarefaction * flight, source)
        return float(-2 * (self.mass @ speed)[0] / np.pi)

    def s_model(self, rarefaction: float) -> tuple[float, float]:
        """Poiseuille and thermal creep coefficients of the S-model, diffuse wall."""
        plain = self.operator(rarefaction, {0: 1.0})
        mixed = self.operator(rarefaction, {2: 1.0, 0: -1.0})
        heat = self.operator(rarefaction, {4: 1.0, 2: -2.0, 0: 1.0})
        c = HEAT_COUPLING
        flight = np.block([[plain, c * mixed], [c * mixed, c**2 * heat + plain / 5]])
        matrix = np.kron(np.eye(2), self.mass) - rarefaction * flight
        by_pressure = np.concatenate([-0.5 * plain @ self.one, -0.5 * c * mixed @ self.one])
        by_heat = np.concatenate(
            [-0.5 * mixed @ self.one, c * (-0.5 * heat @ self.one - 0.75 * plain @ self.one)]
        )
        flows = [np.linalg.solve(matrix, source)[0] for source in (by_pressure, by_heat)]
        return -2 * flows[0], 2 * flows[1]


def chebyshev_places(count: int, low: float, high: float) -> Array:
    """Chebyshev points of the first kind between two ends."""
    return low + (high - low) * (1 + chebyshev.chebpts1(count)) / 2


def poiseuille_coefficients(section: Section) -> Array:
    """Chebyshev coefficients of G a/(2 - a) - rarefaction a/(2 - a)/4 in ln rarefaction and in a."""
    places = np.exp(chebyshev_places(PLACES_RAREFACTION, np.log(LOWEST), np.log(HIGHEST)))
    shares = chebyshev_places(PLACES_ACCOMMODATION, LEAST_ACCOMMODATION, 1.0)
    values = np.array(
        [[(section.poiseuille(d, a) - d / 4) * a / (2 - a) for a in shares] for d in places]
    )
    return _transform(_transform(values).T).T


def creep_coefficients(section: Section) -> Array:
    """Chebyshev coefficients of (1 + 2 rarefaction) times the creep coefficient in ln rarefaction."""
    places = np.exp(chebyshev_places(PLACES_RAREFACTION, np.log(LOWEST), np.log(HIGHEST)))
    return _transform(np.array([section.s_model(d)[1] * (1 + 2 * d) for d in places]))


def _transform(values: Array) -> Array:
    points = chebyshev.chebpts1(len(values))
    return np.linalg.solve(chebyshev.chebvander(points, len(values) - 1), values)


def check() -> None:
    """Print values at published rarefactions, and what a finer cut changes."""
    coarse, fine = Section(), Section(20, 36)
    for rarefaction in (1e-4, 1e-3, 0.01, 0.02, 0.04, 0.1, 1.0, 1.4, 2.0, 5.0, 10.0, 50.0, 100.0):
        pair = coarse.poiseuille(rarefaction), fine.poiseuille(rarefaction)
        print(rarefaction, *(f"{value:.6f}" for value in (*pair, *fine.s_model(rarefaction))))
    for share in (0.94, 0.9, 0.84, 0.8, 0.6, 0.5):
        pair = coarse.poiseuille(0.01, share), fine.poiseuille(0.01, share)
        print("accommodation", share, *(f"{value:.5f}" for value in pair))


def _rows(values: Array) -> str:
    rows = np.atleast_2d(values)
    return "\n".join("    [" + ", ".join(f"{value:.9f}" for value in row) + "]," for row in rows)


def table() -> str:
    """The module that ships."""
    section = Section()
    poiseuille, creep = poiseuille_coefficients(section), creep_coefficients(section)
    return f'''# SPDX-License-Identifier: MIT
"""Flow coefficients of a long round tube, as printed by tools/solve_tube_kinetics.py.

Chebyshev coefficients, lowest order first, in x = the logarithm of the rarefaction parameter
brought from {LOWEST:g} ... {HIGHEST:g} to -1 ... 1. POISEUILLE has a row for each order in x and a
column for each order in the accommodation brought from {LEAST_ACCOMMODATION:g} ... 1 to -1 ... 1.
"""

from __future__ import annotations

import numpy as np

__all__ = ["CREEP", "LEAST_ACCOMMODATION", "POISEUILLE", "RAREFACTION_ENDS", "UNITS"]

UNITS = {{"LEAST_ACCOMMODATION": "1"}}
RAREFACTION_ENDS = ({LOWEST:g}, {HIGHEST:g})
LEAST_ACCOMMODATION = {LEAST_ACCOMMODATION:g}

# (G_P - rarefaction / 4) * a / (2 - a) from the linearised BGK equation
POISEUILLE = np.array([
{_rows(poiseuille)}
])  # fmt: skip

# G_T * (1 + 2 * rarefaction) from the linearised S-model, diffuse wall
CREEP = np.array([
{_rows(creep.reshape(-1, 2))}
]).ravel()  # fmt: skip
'''


if __name__ == "__main__":
    if "--check" in sys.argv:
        check()
    else:
        sys.stdout.write(table())
