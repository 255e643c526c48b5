# SPDX-License-Identifier: MIT
"""Equilibrium over a charge: our batch beside the general library's multiphase solver, as ratios in one run.

Ours is timed as it is used: ten temperatures, 256 samples each, at three conversions, from the species
on. The library solves one point at a time from phases that are already built, with its solver vcs.
The accuracy is that of the pressures of every gas above 1e-6 of the sum at the points both have
solved. Nothing here fails on a slow machine.

    OPENBLAS_NUM_THREADS=1 PYTHONPATH=src python benchmarks/charge_equilibrium.py
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.append(str(Path(__file__).resolve().parents[1] / "tests"))

from retortwright.belief.beliefs import Draws
from situation.equilibria import ideal, over_charge, routed
from situation.general_library import library_of

CHARGES = [("Rb", "RbCl", "Ca"), ("Cs", "CsCl", "Ca"), ("K", "KCl", "Ca"), ("Cs", "CsCl", "Li")]
KELVIN = np.linspace(703.0, 1243.0, 10)
LEFT = (0.1, 0.5, 0.9)
SAMPLES = 256


def of_a_point(names: tuple[str, str, str]) -> float:
    """Seconds that our batch takes for one temperature, sample and conversion."""
    route, found = routed(*names), []
    for _ in range(3):
        start = time.perf_counter()
        equilibrium = over_charge(route, KELVIN, Draws(samples=SAMPLES))
        for left in LEFT:
            equilibrium.at(left)
        found.append(time.perf_counter() - start)
    return float(np.median(found)) / (len(KELVIN) * SAMPLES * len(LEFT))


def of_the_library(names: tuple[str, str, str]) -> tuple[float, float]:
    """Seconds that the library takes for a point, and the largest difference between the two."""
    route = routed(*names)
    ours = ideal(over_charge(route, KELVIN))
    peer, spent, worst = library_of(route, "ideal-condensed"), [], 0.0
    for left in LEFT:
        vapours = ours.at(left)
        for place, kelvin in enumerate(KELVIN):
            total = float(vapours.total[place, 0])
            start = time.perf_counter()
            found = peer.found(float(kelvin), left, max(2 * total, 1.0))
            spent.append(time.perf_counter() - start)
            pressures = {gas: float(each[place, 0]) for gas, each in vapours.pressures.items()}
            gaps = [abs(found.pressures[gas] / p - 1) for gas, p in pressures.items() if p > 1e-6 * total]
            worst = max(worst, *gaps)
    return float(np.median(spent)), worst


def main() -> None:
    """One line for each charge."""
    print(
        f"{'charge':>12} {'ours, us a point':>18} {'library, us a point':>21} {'times slower':>14} {'apart by':>10}"
    )
    for names in CHARGES:
        ours = of_a_point(names)
        theirs, apart = of_the_library(names)
        ratio = theirs / ours
        print(
            f"{'+'.join(names[1:]):>12} {ours * 1e6:18.1f} {theirs * 1e6:21.0f} {ratio:14.0f} {apart:10.1e}"
        )


if __name__ == "__main__":
    main()
