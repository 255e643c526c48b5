# SPDX-License-Identifier: MIT
"""Which phases a charge can have: every species in one of them, melts by what they are made of."""

from __future__ import annotations

from retortwright.ground.formula import elements_of
from retortwright.reference.tables import shipped
from retortwright.situation.charge_phases import charge_phases


def test_every_species_of_the_elements_is_in_one_phase() -> None:
    phases = charge_phases(shipped(), {"Na", "K", "Li", "Ca", "Cl", "O", "H"})
    names = [each.name for each in phases.species]
    expected = [
        name for name in shipped().subjects("species")
        if set(elements_of(name[:-3])) <= {"Na", "K", "Li", "Ca", "Cl", "O", "H"}
    ]  # fmt: skip
    assert sorted(names) == sorted(expected)
    assert "melt of Na K" in phases.names
    assert "Li(l)" in phases.names


def test_salts_melt_into_one_another_and_oxides_too() -> None:
    phases = charge_phases(shipped(), {"Na", "K", "Li", "Cl", "F", "O", "H", "C", "Al"})
    members = {
        name: {each.name for each in phases.species[part]}
        for name, part in zip(phases.names, phases.system.slices, strict=False)
    }
    assert {"NaCl(l)", "KF(l)", "NaOH(l)", "K2CO3(l)", "LiH(l)"} <= members["salt melt"]
    assert {"Na2O(l)", "Al2O3(l)", "LiAlO2(l)"} <= members["oxide melt"]
    assert members["melt of Na K"] == {"Na(l)", "K(l)"}
    assert not any("(s)" in name for each in members.values() for name in each)


def test_pairs_are_of_one_melt() -> None:
    phases = charge_phases(shipped(), {"Na", "K", "Cl", "O", "H"})
    for one, other in phases.system.pairs:
        parts = [part for part in phases.system.slices if part.start <= one < part.stop]
        assert len(parts) == 1
        assert parts[0].start <= other < parts[0].stop
    salts = {phases.pair(number) for number in range(len(phases.system.pairs))}
    assert ("NaCl", "KCl") in salts or ("KCl", "NaCl") in salts
    assert not any(set(pair) == {"NaCl", "Na2O"} for pair in salts)


def test_a_melt_of_one_is_a_pure_phase() -> None:
    phases = charge_phases(shipped(), {"Na", "Cl"})
    assert phases.names[0] == "gas"
    assert "salt melt" not in phases.names
    assert "NaCl(l)" in phases.names
