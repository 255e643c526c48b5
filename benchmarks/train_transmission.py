# SPDX-License-Identifier: MIT
"""Transmission of tubes and trains beside two plain ways to get it, as ratios of time in one run.

The first is scipy: Clausing's equation collocated with an adaptive integrator for every entry. The
second is plain numpy: molecules followed one by one, and the time it would take them to reach the
same error, which goes with the square of it. Nothing here fails on a slow machine.

    OPENBLAS_NUM_THREADS=1 python benchmarks/train_transmission.py
"""

from __future__ import annotations

import importlib.util
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.integrate import quad

from retortwright.physics.clausing import tube_transmission
from retortwright.physics.tubetrain import train_transmission

_TOOL = Path(__file__).resolve().parents[1] / "tools" / "follow_molecules.py"
TRAINS = {
    "flask, neck, flask": [(1.0, 1.0, 4.0), (0.3, 0.3, 3.0), (1.0, 1.0, 4.0)],
    "retort, reducer, line, flare, condenser": [
        (1.0, 1.0, 3.0), (1.0, 0.4, 1.0), (0.4, 0.4, 6.0), (0.4, 1.2, 0.8), (1.2, 1.2, 5.0),
    ],
}  # fmt: skip
# From the same exchange cut four times finer; good to 1e-4.
FINE = {"flask, neck, flask": 0.016489, "retort, reducer, line, flare, condenser": 0.021088}


def seconds(function: Callable[[], object], least: float = 0.3) -> float:
    """Median time of a call, over calls for so many seconds."""
    function()
    found: list[float] = []
    while sum(found) < least:
        start = time.perf_counter()
        function()
        found.append(time.perf_counter() - start)
    return float(np.median(found))


def by_quadrature(length: float, pieces: int = 16) -> float:
    """Clausing's equation with a share linear in each of some pieces of wall, entries by scipy."""
    places = np.linspace(0, length, pieces + 1)

    def hat(number: int, place: float) -> float:
        return max(0.0, 1 - abs(place - places[number]) * pieces / length)

    def ring(apart: float) -> float:
        x = abs(apart)
        return 0.5 * (1 - x * (x * x + 6) / (x * x + 4) ** 1.5)

    def end(x: float) -> float:
        return 0.5 * ((x * x + 2) / np.sqrt(x * x + 4) - x)

    matrix = np.eye(pieces + 1)
    for row, here in enumerate(places):
        for column in range(pieces + 1):
            low, high = places[max(column - 1, 0)], places[min(column + 1, pieces)]
            kinks = [one for one in (here, places[column]) if low < one < high] or None
            matrix[row, column] -= quad(
                lambda x, n=column, at=here: ring(x - at) * hat(n, x), low, high, points=kinks
            )[0]
    share = np.linalg.solve(matrix, [end(length - place) for place in places])
    by_wall = quad(
        lambda x: 2 * end(x) * np.interp(x, places, share), 0, length, points=places[1:-1], limit=200
    )[0]
    return float(1 + length**2 / 2 - length * np.sqrt(1 + length**2 / 4) + by_wall)


def followed(pieces: list[tuple[float, float, float]], count: int) -> tuple[float, float]:
    """Relative error and time of so many molecules followed."""
    spec = importlib.util.spec_from_file_location("follow_molecules", _TOOL)
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    start = time.perf_counter()
    share = tool.through_train(pieces, 0.0, count, np.random.default_rng(1))
    return float(np.sqrt((1 - share) / (share * count))), time.perf_counter() - start


def single_tubes() -> None:
    """One tube: Clausing by a quadratic form beside scipy and beside molecules."""
    print(f"{'tube, L/R':>42} {'error':>9} {'ms':>8}   scipy: error, times slower   molecules: times slower")
    for length in (1.0, 5.0, 20.0):
        exact = float(tube_transmission(length))
        ours = seconds(lambda x=length: tube_transmission(x))
        start = time.perf_counter()
        error = abs(by_quadrature(length) / exact - 1)
        quadrature = time.perf_counter() - start
        spread, spent = followed([(1.0, 1.0, length)], 200_000)
        equal = spent * (spread / 1e-4) ** 2
        print(
            f"{length:>42g} {'< 1e-7':>9} {ours * 1e3:8.2f}   {error:12.1e} {quadrature / ours:14.0f}"
            f"   {equal / ours:20.0f} (to 1e-4)"
        )


def trains() -> None:
    """Trains: exchange between rings beside molecules followed to the same error."""
    print(f"\n{'train':>42} {'error':>9} {'ms':>8}   molecules: times slower at that error, and at 1e-3")
    for name, pieces in TRAINS.items():
        columns = [np.array(column) for column in zip(*pieces, strict=True)]
        straight = np.zeros(len(pieces))
        found = train_transmission(*columns, straight)
        ours = seconds(lambda c=columns, s=straight: train_transmission(*c, s))
        error = max(abs(float(found.transmission) / FINE[name] - 1), 1e-4)
        spread, spent = followed(pieces, 400_000)
        ratios = [spent * (spread / goal) ** 2 / ours for goal in (error, 1e-3)]
        print(f"{name:>42} {error:9.1e} {ours * 1e3:8.1f}   {ratios[0]:20.0f} {ratios[1]:20.0f}")


if __name__ == "__main__":
    single_tubes()
    trains()
