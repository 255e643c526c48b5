# SPDX-License-Identifier: MIT
"""Equilibrium of any charge: random charges all at once, beside the general library's multiphase solver.

Each recipe is two to six formulas and a trace of argon; its charges differ in their amounts (spread
over nine powers of ten), temperature (600 to 1700 K) and pressure (1 to 1e5 Pa). Prints how many are
shown to be in equilibrium (every element balances to 1e-9, no absent phase would grow, all present
are even), how many of them have three phases or more, the processor time of a point beside that of
the library for some of the same points, and the largest difference in moles, as a share of the
largest total of an element, where the library came to an end. Both with melts that mix ideally; the
last line is ours with the interactions of melts. Nothing here fails on a slow machine.

    OPENBLAS_NUM_THREADS=1 PYTHONPATH=src python benchmarks/equilibrium_any_charge.py [recipes charges seed]
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.append(str(Path(__file__).resolve().parents[1] / "tests"))

from retortwright.belief.beliefs import Draws
from retortwright.ground.arrays import Array
from retortwright.ground.formula import elements_of
from retortwright.situation.any_charge import AnyCharge
from situation.charges_in_library import ideal, in_library
from situation.equilibria import chemistry

FORMULAS = tuple(
    """
    LiCl NaCl KCl RbCl CsCl MgCl2 CaCl2 SrCl2 BaCl2 LiF NaF KF RbF CsF MgF2 CaF2 LiOH NaOH KOH RbOH CsOH
    Mg(OH)2 Ca(OH)2 Li2CO3 Na2CO3 K2CO3 Rb2CO3 Cs2CO3 MgCO3 CaCO3 SrCO3 BaCO3 Li2O Na2O K2O MgO CaO SrO BaO
    Al2O3 SiO2 Ca2SiO4 CaH2 H2O N2 O2 C Li Na K Mg Ca Sr Ba Al Si Zn Ar
""".split()  # noqa: SIM905
)
MOST_ELEMENTS = 9
OF_THE_LIBRARY = 16  # charges of each recipe that it is given


@dataclass(frozen=True, slots=True)
class Recipe:
    """Charges of the same formulas."""

    amounts: Mapping[str, Array]
    kelvin: Array
    pressure: Array


def recipes(count: int, charges: int, seed: int) -> Iterator[Recipe]:
    """Random ones."""
    random = np.random.default_rng(seed)
    while count:
        formulas = [str(each) for each in random.choice(FORMULAS, random.integers(2, 7), replace=False)]
        if len({element for each in [*formulas, "Ar"] for element in elements_of(each)}) > MOST_ELEMENTS:
            continue
        amounts = 10 ** random.uniform(-9, 0, (charges, len(formulas)))
        amounts /= amounts.max(1, keepdims=True)
        by_formula = dict(zip(formulas, amounts.T, strict=True))
        by_formula["Ar"] = by_formula.get("Ar", 0.0) + 10 ** random.uniform(-9, 0, charges)
        kelvin, pressure = random.uniform(600, 1700, charges), 10 ** random.uniform(0, 5, charges)
        yield Recipe(by_formula, kelvin, pressure)
        count -= 1


class Tally:
    """What is printed in the end."""

    def __init__(self) -> None:
        self.points = self.shown = self.many = self.asked = self.ended = 0
        self.mixed_points = self.mixed_shown = 0
        self.own = self.theirs = self.mixed = 0.0  # s of the processor
        self.gaps: list[float] = []


@contextmanager
def hushed() -> Iterator[None]:
    """The library says what troubles it on the way: not here."""
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    sys.stdout.flush()
    os.dup2(nowhere, 1)
    try:
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def beside(recipe: Recipe, tally: Tally) -> None:
    """One recipe by both."""
    charges = ideal(recipe.amounts, recipe.kelvin, recipe.pressure)
    start = time.process_time()
    found = charges.solved()
    tally.own += time.process_time() - start
    tally.points += len(recipe.kelvin)
    tally.shown += int(found.converged.sum())
    tally.many += int(((found.phase_moles > 0).sum(1) >= 3).sum())
    for point in range(0, len(recipe.kelvin), max(1, len(recipe.kelvin) // OF_THE_LIBRARY)):
        amounts = {formula: float(each[point]) for formula, each in recipe.amounts.items()}
        peer = in_library(charges.phases, amounts, float(recipe.kelvin[point]), float(recipe.pressure[point]))
        start = time.process_time()
        with hushed():
            ended = peer.equilibrate()
        tally.theirs += time.process_time() - start
        tally.asked += 1
        whole = charges.totals[point]
        lost = np.abs(peer.moles() @ charges.system.atoms - whole).max() / whole.max()
        if ended and lost < 1e-7 and found.converged[point]:
            tally.ended += 1
            tally.gaps.append(float(np.abs(peer.moles() - found.moles[point]).max() / whole.max()))


def with_interactions(recipe: Recipe, tally: Tally) -> None:
    """One recipe by ours, from the species on, melts as the tables have them."""
    chemicals = chemistry(Draws(samples=1))
    amounts = {formula: each[:, None] for formula, each in recipe.amounts.items()}
    charge = AnyCharge(chemicals, ideal(recipe.amounts, recipe.kelvin, recipe.pressure).phases)
    start = time.process_time()
    found = charge.at(amounts, recipe.kelvin[:, None], recipe.pressure[:, None])
    tally.mixed += time.process_time() - start
    tally.mixed_points += found.shown.size
    tally.mixed_shown += int(found.shown.sum())


def main() -> None:
    """All of it in one run."""
    count, charges, seed = (int(each) for each in sys.argv[1:]) if len(sys.argv) > 1 else (20, 1000, 1)
    tally = Tally()
    for recipe in recipes(count, charges, seed):
        beside(recipe, tally)
        with_interactions(recipe, tally)
    own, theirs = 1e3 * tally.own / tally.points, 1e3 * tally.theirs / tally.asked
    print(f"{tally.points} charges: {100 * tally.shown / tally.points:.3f} % shown to be in equilibrium")
    print(f"three phases or more: {100 * tally.many / tally.points:.1f} %")
    print(f"ours {own:.3f} ms, library {theirs:.3f} ms a point: {theirs / own:.1f} times")
    print(
        f"library came to an end in {tally.ended} of {tally.asked}; largest gaps (share of the charge)",
        end=" ",
    )
    print(" ".join(f"{each:.1e}" for each in sorted(tally.gaps)[-3:]))
    print(f"with interactions: {100 * tally.mixed_shown / tally.mixed_points:.3f} % shown", end=", ")
    print(f"{1e3 * tally.mixed / tally.mixed_points:.3f} ms a point")


if __name__ == "__main__":
    main()
