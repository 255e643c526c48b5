# SPDX-License-Identifier: MIT
"""The equilibrium over a charge against the multiphase equilibrium of the general library (cantera).

Both start from the same species, so that only the method is compared: ours by the lines that touch
two phases of the pair of salts, the library's by the least Gibbs energy over the amounts of all species.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from retortwright.situation.equilibrium import ChargeEquilibrium, Vapours
from situation.equilibria import ideal, over_charge, routed
from situation.general_library import ARGON, Found, Library, library_of

Names = tuple[str, str, str]
CHLORIDES = [
    ("Rb", "RbCl", "Ca"), ("Cs", "CsCl", "Ca"), ("K", "KCl", "Ca"), ("Cs", "CsCl", "Li"), ("Na", "NaCl", "Ca"),
]  # fmt: skip
OXIDES = [("Li", "Li2O", "Al"), ("Ca", "CaO", "Al"), ("Ba", "BaO", "Al"), ("Mg", "MgO", "Si")]
KELVIN = np.linspace(703.0, 1243.0, 10)
HOT_KELVIN = np.linspace(1003.0, 1543.0, 10)
LEFT = (0.1, 0.5, 0.9)
BESIDE = (0.1, 0.45, 0.9)  # not a half, where CaO, BaO and MgO are just used up for a compound
OTHER_SOLVER = {("Na", 883.0)}  # where the library's vcs does not come to an end, its other solver is taken
TRACE = 1e-6  # of the sum of the pressures: below it a gas is not compared
CLOSE = 1e-4  # what the argon takes along of the charge shifts the library's answer by up to half of this


@cache
def charge(names: Names, hot: bool = False) -> ChargeEquilibrium:
    return over_charge(routed(*names), HOT_KELVIN if hot else KELVIN)


@cache
def library(names: Names, melt: str) -> Library:
    return library_of(routed(*names), melt)


def differences(ours: Vapours, theirs: Found, place: int) -> dict[str, float]:
    """By how much each gas that counts differs, as a share of its pressure."""
    total = ours.total[place, 0]
    ours_here = {name: float(pressure[place, 0]) for name, pressure in ours.pressures.items()}
    return {
        name: abs(theirs.pressures[name] / pressure - 1)
        for name, pressure in ours_here.items()
        if pressure > TRACE * total
    }


def compared(equilibrium: ChargeEquilibrium, peer: Library, place: int, left: float) -> None:
    """One point: every pressure, how far it has reacted, how much is molten, whether metal lies in the charge."""
    ours, kelvin = equilibrium.at(left), float(equilibrium.temperature[place, 0])
    theirs = peer.found(kelvin, left, max(2 * float(ours.total[place, 0]), 1.0))
    assert theirs.solver == "vcs" or (peer.route.metal, kelvin) in OTHER_SOLVER
    assert theirs.lost < 1e-11
    gaps = differences(ours, theirs, place)
    assert gaps, "no gas compared"
    assert max(gaps.values()) < CLOSE, gaps  # exact: the same minimum by another method
    taken = 10 * ARGON
    assert theirs.reacted == pytest.approx(float(ours.reacted[place, 0]), abs=taken)
    assert (theirs.free > taken) == bool(ours.saturated[place, 0])
    if equilibrium.pair.liquids is not None:
        assert theirs.molten == pytest.approx(float(ours.molten[place, 0]), abs=1e-4)


@pytest.mark.parametrize("place", range(len(KELVIN)), ids=lambda place: f"{KELVIN[place]:.0f} K")
@pytest.mark.parametrize("names", CHLORIDES, ids="-".join)
def test_chlorides_with_an_ideal_melt(names: Names, place: int) -> None:
    for left in LEFT:
        compared(ideal(charge(names)), library(names, "ideal-condensed"), place, left)


@pytest.mark.parametrize("place", range(len(KELVIN)), ids=lambda place: f"{KELVIN[place]:.0f} K")
@pytest.mark.parametrize("names", CHLORIDES, ids="-".join)
def test_chlorides_with_their_own_melt(names: Names, place: int) -> None:
    equilibrium = charge(names)
    w, v = (
        float(np.broadcast_to(each, (*KELVIN.shape, 1))[place, 0]) for each in equilibrium.pair.interaction
    )
    peer = library_of(routed(*names), "Margules", (w, v))
    for left in LEFT:
        compared(equilibrium, peer, place, left)


@pytest.mark.parametrize("place", range(len(HOT_KELVIN)), ids=lambda place: f"{HOT_KELVIN[place]:.0f} K")
@pytest.mark.parametrize("names", OXIDES, ids="-".join)
def test_oxides_that_stay_solid(names: Names, place: int) -> None:
    for left in BESIDE:
        compared(charge(names, hot=True), library(names, ""), place, left)


def test_the_points_meet_every_kind_of_charge() -> None:
    met = set()
    for names in CHLORIDES:
        equilibrium = charge(names)
        lines = ["".join(line.phases) for line in equilibrium.pair.lines]
        doubles = [number for number, phases in enumerate(lines) if "CaCl3" in phases]
        for left in LEFT:
            ours = equilibrium.at(left)
            partly = (ours.molten > 0) & (ours.molten < 1)
            kinds = {
                "saturated": ours.saturated, "double salt": np.isin(ours.line, doubles),
                "all molten": ours.molten == 1, "all solid": ours.molten == 0, "partly molten": partly,
            }  # fmt: skip
            met |= {kind for kind, where in kinds.items() if np.any(where)}
    assert met == {"saturated", "double salt", "all molten", "all solid", "partly molten"}


def test_a_planted_slip_is_caught() -> None:
    """A reductant with 50 J/mol more of Gibbs energy must not pass."""
    names = CHLORIDES[0]
    shifted = replace(charge(names), reductant=charge(names).reductant + 50.0)
    with pytest.raises(AssertionError):
        compared(ideal(shifted), library(names, "ideal-condensed"), 0, 0.5)
