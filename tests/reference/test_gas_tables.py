# SPDX-License-Identifier: MIT
"""The tables of gas beside figures in print."""

from __future__ import annotations

import math

import pytest

from retortwright.ground.formula import elements_of
from retortwright.reference.datum import Row, number_of
from retortwright.reference.tables import shipped
from retortwright.rig.vocabulary import gauges, grades, metals, pump_kinds

TORR_LITRE = 133.322 * 1e-3 / 1e-4  # Torr L/s/cm2 in Pa m/s
MILLIBAR_LITRE = 0.1 / 1e-4


def band(table: str, subject: str, name: str) -> tuple[float, float, float]:
    """Low, best and high of a row."""
    row = shipped().find(table, subject, name)
    assert isinstance(row, Row)
    found = number_of(row)
    return found.low, found.best, found.high


@pytest.mark.parametrize(
    ("material", "name", "printed", "factor"),
    [
        # published: abstract, J. Vac. Sci. Technol. 6, 398: 2e-12 Torr L/s/cm2 after 250 degC for 15 to 30 h
        ("304L", "baked", 2e-12 * TORR_LITRE, 2.0),
        # regression: recalled from a course on outgassing, 2 to 3e-9 mbar L/s/cm2 after an hour, unbaked
        ("304L", "unbaked", 2.5e-9 * MILLIBAR_LITRE, 3.0),
        # regression: recalled from tables of elastomers, 1e-6 Torr L/s/cm2 after an hour
        ("FKM", "unbaked", 1e-6 * TORR_LITRE, 5.0),
    ],
)
def test_outgassing(material: str, name: str, printed: float, factor: float) -> None:
    best = band("outgassing", material, name)[1]
    assert abs(math.log(best / printed)) <= math.log(factor)


@pytest.mark.parametrize(
    ("printed", "where"),
    [
        (3e-13, "oxidised"), (5e-13, "oxidised"), (4e-13, "450 degC for 17 h"), (1e-12, "100 degC for 20 h in vacuum"),
        (1e-13, "100 degC in air, then vacuum"), (4.5e-15 / 1.33322, "316L, careful preparation"),
    ],
)
def test_a_baked_surface_is_no_worse_than_the_table(printed: float, where: str) -> None:
    # published: the abstracts on baked stainless steel; better treatment gives less than the table's best
    assert printed * TORR_LITRE <= band("outgassing", "304L", "baked")[1], where


def test_permeation_of_a_large_ring_of_fkm() -> None:
    # published: a pump maker's handbook: 4e-7 Pa m3/s of air at 60 % humidity through a ring of DN 500; the class of
    # the joint table, scaled by the bore, covers it within its band and a factor 2
    low, _, high = band("joints", "FKM O-ring cap", "leak")
    scaled = [end * 0.1 * 500 / 30 for end in (low, high)]
    assert scaled[0] < 4e-7 < 3 * scaled[1]


def test_activation_of_permeation() -> None:
    # published: J. IEST 38 (2), 43, abstract: about 18 to 51 kJ/mol for oxygen and water through O-rings
    for material in ("butyl", "FKM", "silicone"):
        low, _, high = band("permeability", material, "activation")
        assert (low, high) == (18e3, 51e3)


def test_hydrogen_through_steel_beside_another_fit() -> None:
    # regression: recalled of San Marchi 2007, 1.2e-4 mol/m/s/MPa^0.5 and 59.8 kJ/mol, within the factor 5 of steels
    _, factor, _ = band("permeability", "304L", "hydrogen")
    _, energy, _ = band("permeability", "304L", "hydrogen-activation")
    for kelvin in (700.0, 950.0, 1150.0):
        ours = factor * math.exp(-energy / 8.314462618 / kelvin)
        theirs = 1.2e-7 * math.exp(-59.8e3 / 8.314462618 / kelvin)
        assert abs(math.log(ours / theirs)) < math.log(5.0)


def test_a_metal_has_all_that_a_getter_needs() -> None:
    for metal in metals():
        oxide, most = band("getters", metal, "oxide")[1], band("getters", metal, "oxide-most")[1]
        nitride, worse = band("getters", metal, "nitride")[1], band("getters", metal, "nitride-most")[1]
        assert 0 < oxide <= most
        assert 0 <= nitride <= worse
        row = shipped().rows["getters", metal, "oxide"]
        atoms = elements_of(row.note.rsplit(": ", 1)[1])
        assert atoms[metal] / atoms["O"] == pytest.approx(oxide, rel=1e-3)  # exact: the formula it names


@pytest.mark.parametrize("metal", ["Rb", "Cs"])
def test_suboxides_tie_up_more(metal: str) -> None:
    # published: abstract of the review of suboxides: Rb9O2 and Cs11O3
    expected = {"Rb": 9 / 2, "Cs": 11 / 3}[metal]
    assert band("getters", metal, "oxide-most")[1] == pytest.approx(expected, rel=1e-3)


def test_formers_of_nitrides_are_told_apart() -> None:
    formers = {metal for metal in metals() if band("getters", metal, "nitride")[1] > 0}
    assert formers == {"Li", "Mg", "Ca", "Sr", "Ba", "Sm", "Eu", "Yb"}  # practice


def test_every_word_of_the_rig_file_has_its_rows() -> None:
    for gauge in gauges():
        assert band("gauges", gauge, "lowest")[1] < band("gauges", gauge, "highest")[1]
    for pump in pump_kinds():
        assert band("pumps", pump, "ultimate")[1] > 0
    ppm = [band("grades", grade, "oxygen")[1] for grade in grades()]
    assert ppm == sorted(ppm, reverse=True)  # display, cell, ultra-clean


@pytest.mark.parametrize(("gas", "factor"), [("argon", 1.7), ("hydrogen", 0.5), ("water", 0.5), ("helium", 0.8)])
def test_factors_of_a_pirani(gas: str, factor: float) -> None:
    # published: manual of a wide-range gauge, page 54
    assert band("gauges", "Pirani", f"factor-{gas}")[1] == factor
