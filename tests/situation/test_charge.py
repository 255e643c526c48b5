# SPDX-License-Identifier: MIT
"""The charge weighed: what is needed, what is over, what arrives."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.reference.datum import Row
from retortwright.reference.tables import Tables, shipped
from retortwright.situation.charge import ChargePicture, charge_of, needed_conversion
from retortwright.situation.figure import Figure
from retortwright.situation.route import Route
from situation.charges import MIDDLE, POT, rig_text, situation


def picture(metal: str, reagents: dict[str, str], tables: Tables | None = None, **more: str) -> ChargePicture:
    return charge_of(situation(rig_text(metal, reagents, **more), tables=tables))


def said(figure: Figure, name: str) -> float:
    assert not figure.missing
    return float(figure.said[name][0])


def value(figure: Figure) -> float:
    assert not figure.missing
    return float(figure.values[0])


def with_density(metal: str, density: float) -> Tables:
    row = shipped().rows["charges", "Rb", "density"]
    return shipped().with_row(replace(row, subject=metal, data=f"{density}"))


@pytest.mark.parametrize(
    ("salt", "reductant", "metal", "needs", "gives"),
    [
        ("CsCl", "Li", "Cs", 0.412, 7.894),
        ("CsCl", "Ca", "Cs", 1.190, 7.894),
        ("RbCl", "Ca", "Rb", 1.657, 7.068),
        ("KCl", "Na", "K", 3.084, 5.244),
    ],
)
def test_reagents_for_ten_grams_of_salt(
    salt: str, reductant: str, metal: str, needs: float, gives: float
) -> None:
    # exact: atomic masses; to the digits printed
    found = picture(metal, {salt: "10 g", reductant: "5 g"})
    assert said(found.excess(), "need") * 1e3 == pytest.approx(needs, abs=5e-4)
    assert value(found.possible()) * 1e3 == pytest.approx(gives, abs=5e-4)


@pytest.mark.parametrize(
    ("metal", "salt", "reductant", "salt_grams", "reductant_grams"),
    [
        ("Rb", "RbCl", "Ca", "14.15", "2.34"),
        ("Cs", "CsCl", "Ca", "12.67", "1.51"),
        ("Cs", "CsCl", "Li", "12.67", "0.52"),
        ("K", "KCl", "Ca", "19.07", "5.13"),
        ("Na", "NaCl", "Ca", "25.42", "8.72"),
        ("Ca", "CaO", "Al", "18.7", "4.49"),
        ("Sr", "SrO", "Al", "15.8", "2.05"),
        ("Ba", "BaO", "Al", "14.9", "1.31"),
        ("Sm", "Sm2O3", "La", "11.6", "9.2"),
        ("Eu", "Eu2O3", "La", "11.6", "9.1"),
        ("Yb", "Yb2O3", "La", "11.4", "8.0"),
    ],
)
def test_salt_and_reductant_for_ten_grams_of_metal(
    metal: str, salt: str, reductant: str, salt_grams: str, reductant_grams: str
) -> None:
    # exact: atomic masses, with 75 % of the oxide beside aluminium; to the digits printed
    found = picture(metal, {salt: "10 g", reductant: "10 g"})
    times = 10.0 / (value(found.possible()) * 1e3)
    for computed, printed in ((10.0, salt_grams), (said(found.excess(), "need") * 1e3, reductant_grams)):
        digit = 10.0 ** -len(printed.partition(".")[2])
        assert computed * times == pytest.approx(float(printed), abs=0.5 * digit)


def test_lime_beside_silicon_frees_all_of_the_magnesia() -> None:
    # exact: 2 MgO + 2 CaO + Si -> 2 Mg + Ca2SiO4; 16.6 g MgO and 5.78 g Si for 10 g; half of it without lime
    lime = {"MgO": "16.58 g", "CaO": "23.07 g", "Si": "6 g"}
    found = picture("Mg", lime)
    assert said(found.possible(), "ceiling") == pytest.approx(1.0, abs=1e-4)
    assert value(found.possible()) * 1e3 == pytest.approx(10.0, abs=0.005)
    assert said(found.excess(), "need") * 1e3 == pytest.approx(5.78, abs=0.005)
    bare = picture("Mg", {"MgO": "16.58 g", "Si": "6 g"})
    assert said(bare.possible(), "ceiling") == pytest.approx(0.5, rel=1e-9)
    half = picture("Mg", lime | {"CaO": "11.535 g"})
    assert said(half.possible(), "ceiling") == pytest.approx(0.75, abs=1e-4)  # exact: (1 + 1/2) / 2


def test_baria_and_aluminium_to_the_slag_and_no_further() -> None:
    # exact: 49.6 g BaO and 5.0 g Al: 15 % over for the three quarters that can come; 90 % of those are 30 g
    found = picture("Ba", {"BaO": "49.6 g", "Al": "5.0 g"}, more='[assume]\ncharge.reacts = "0.9"')
    assert said(found.possible(), "ceiling") == pytest.approx(0.75, rel=1e-12)
    assert value(found.excess()) == pytest.approx(0.15, abs=0.005)
    product = found.product()
    assert said(product, "came") / said(product, "arrives") * 1e3 == pytest.approx(30.0, abs=0.05)


def test_a_charge_of_nine_grams_of_rubidium_chloride() -> None:
    # exact: 9 g RbCl hold 6.361 g Rb; 1.83 g Ca are 23 % over, 1.95 g with 6.15 % crust the same
    found = picture("Rb", {"RbCl": "9 g", "Ca": "1.83 g"})
    assert value(found.excess()) == pytest.approx(1.83 / 1.4914 - 1, abs=2e-4)
    crusted = picture("Rb", {"RbCl": "9 g", "Ca": "1.95 g; CaO = '6.1538 %'"})
    assert value(crusted.excess()) == pytest.approx(value(found.excess()), abs=1e-5)
    assert said(found.product(), "metal") * 1e3 == pytest.approx(6.361, abs=5e-4)


@pytest.mark.parametrize(("reductant", "eaten", "half"), [("Ca", 2.2, 0.05), ("Li", 0.8, 0.05)])
def test_each_milligram_of_water_eats(reductant: str, eaten: float, half: float) -> None:
    # exact: one atom of calcium or two of lithium a molecule; to the digits printed
    found = picture("Cs", {"CsCl": "10 g; H2O = '0.01 %'", reductant: "2 g"}).eaten_by_water()
    assert said(found, "eaten") * 1e6 == pytest.approx(eaten, abs=half)
    live = 2e-3
    assert value(found) == pytest.approx(said(found, "eaten") / live, rel=1e-9)


@pytest.mark.parametrize(
    ("percent", "share"), [("0.01", "0.1"), ("0.05", "0.7"), ("0.1", "1.3"), ("0.5", "6.7"), ("1", "13")]
)
def test_calcium_eaten_by_the_water_of_twenty_grams_of_salt(percent: str, share: str) -> None:
    # exact: over what 20 g of dry salt need; to the digits printed
    found = picture("Rb", {"RbCl": f"20 g; H2O = '{percent} %'", "Ca": "5 g"}).excess()
    dry = said(found, "need") / (1 - float(percent) / 100)
    digit = 10.0 ** -len(share.partition(".")[2])
    assert said(found, "water") / dry * 100 == pytest.approx(float(share), abs=0.5 * digit)


def test_hydroxide_counts_as_its_water() -> None:
    # exact: Ca(OH)2 gives one molecule of water: 18.015 of 74.093 by mass
    wet = picture("Rb", {"RbCl": "9 g; H2O = '0 %'", "Ca": "2 g; 'Ca(OH)2' = '5 %'"}).eaten_by_water()
    assert said(wet, "eaten") * 1e3 == pytest.approx(2 * 0.05 * 40.078 / 74.093, rel=1e-4)


def test_neighbours_take_their_part() -> None:
    # exact: 0.09 g KCl take half an atom of calcium a formula: 24.19 mg
    found = picture("Rb", {"RbCl": "9 g; KCl = '1 %'", "Ca": "2 g"}).excess()
    assert said(found, "charge.RbCl.contains.KCl") * 1e6 == pytest.approx(24.19, abs=0.005)
    assert said(found, "others") == said(found, "charge.RbCl.contains.KCl")
    barium = picture("Rb", {"RbCl": "9 g; BaCl2 = '1 %'", "Ca": "2 g"}).excess()
    assert said(barium, "others") == 0.0


def test_where_the_reductant_is_short_it_decides() -> None:
    # exact: half of what the salt needs frees half of the metal
    whole, half = (
        picture("Rb", {"RbCl": "9 g", "Ca": f"{mass} g"}).product() for mass in (1.4914, 1.4914 / 2)
    )
    assert said(half, "came") == pytest.approx(said(whole, "came") / 2, rel=2e-4)
    assert said(half, "served") == pytest.approx(0.5, abs=1e-4)


def test_the_product_is_what_reacts_and_arrives_less_what_clings() -> None:
    # exact: 6.3614 g x 0.9 x 0.8 less the film
    found = picture(
        "Rb", {"RbCl": "9 g", "Ca": "2 g"}, more='[assume]\ncharge.reacts = "0.9"\ncharge.arrives = "0.8"'
    ).product()
    assert said(found, "came") * 1e3 == pytest.approx(6.3614 * 0.72, abs=1e-4)
    assert value(found) == pytest.approx(said(found, "came") - said(found, "held"), rel=1e-12)


def test_practice_brings_half_to_four_fifths() -> None:
    # practice: 50 to 82 % of the metal, in all
    text = rig_text("Rb", {"RbCl": "9 g", "Ca": "2 g"})
    found = charge_of(situation(text, Draws(samples=256))).product()
    low, best, high = np.quantile(found.said["came"] / found.said["metal"], [0.05, 0.5, 0.95])
    assert low == pytest.approx(0.50, abs=0.05)
    assert best == pytest.approx(0.70, abs=0.02)
    assert high == pytest.approx(0.82, abs=0.04)


def test_the_film_on_the_way_and_nowhere_else() -> None:
    # exact: 30 um on 200 mm of 8 mm bore and on 20 mm of 14 mm bore of the neck; the arm keeps none
    found = picture("Rb", {"RbCl": "9 g", "Ca": "2 g"}).product()
    assert said(found, "on line") == pytest.approx(np.pi * 0.008 * 0.2 * 30e-6 * 1530, rel=1e-9)
    assert said(found, "on glass") == pytest.approx(np.pi * 0.014 * 0.02 * 30e-6 * 1530, rel=1e-9)
    assert said(found, "held") == pytest.approx(said(found, "on line") + said(found, "on glass"), rel=1e-12)
    assert {name for name in found.said if name.startswith("on ")} == {"on line", "on glass"}


def test_a_sleeve_that_keeps_more_than_the_product() -> None:
    # exact: 94 cm2 that keep 30 um of europium keep 1.5 g; a batch is worth it from 7 g on
    wide = POT.replace("10 x 1 mm", "22 x 1 mm").replace("200 mm", "150 mm")
    sleeve = wide.replace('at = "20 mm" }', 'at = "0 mm" }')
    found = picture("Eu", {"Eu2O3": "0.7 g", "La": "1 g"}, with_density("Eu", 5244), pieces=sleeve)
    assert said(found.product(), "held") * 1e3 == pytest.approx(1.5, abs=0.05)
    assert value(found.product()) == 0.0
    assert value(found.batch()) < 0.4
    assert 5 * said(found.batch(), "held") * 1e3 == pytest.approx(7.4, abs=0.05)


def test_several_receivers_share_the_way() -> None:
    # exact: the manifold counts once, up to its last branch; each neck counts
    many = POT.replace(
        '[piece.glass]\non = "line"', '[piece.glass]\non = "line"\nat = "40 mm"\nevery = "50 mm"\ncount = 3'
    )
    many = (
        many.replace('on = "glass"', 'on = "glass.1"')
        .replace("16 x 1 mm", "8 x 1 mm")
        .replace("12 x 1 mm", "8 x 1 mm")
    )
    found = picture("Rb", {"RbCl": "9 g", "Ca": "2 g"}, pieces=many).product()
    assert said(found, "on line") == pytest.approx(np.pi * 0.008 * 0.14 * 30e-6 * 1530, rel=1e-9)
    assert said(found, "on glass") == pytest.approx(3 * np.pi * 0.006 * 0.02 * 30e-6 * 1530, rel=1e-9)


def test_a_cone_keeps_a_film_on_its_slant() -> None:
    # exact: the frustum of 8 to 4 mm bore over 200 mm
    cone = POT.replace('tube = "10 x 1 mm"', 'tube = "10 x 1 mm"\ntapers_to = "6 x 1 mm"')
    cone = cone.replace("16 x 1 mm", "6 x 1 mm").replace("12 x 1 mm", "6 x 1 mm")
    found = picture("Rb", {"RbCl": "9 g", "Ca": "2 g"}, pieces=cone).product()
    slant = np.pi * (0.004 + 0.002) * np.hypot(0.2, 0.002)
    assert said(found, "on line") == pytest.approx(slant * 30e-6 * 1530, rel=1e-9)


def test_metal_that_is_distilled_once_more() -> None:
    # exact: nothing has to react; 78 % of 5 g less 1 % of oxide
    found = picture("Rb", {"Rb": "5 g; Rb2O = '1 %'"})
    assert found.redistils
    assert said(found.product(), "came") * 1e3 == pytest.approx(5 * 0.99 * 0.78, rel=1e-9)
    assert "reacts" not in found.product().said
    assert value(found.batch()) > 5


def test_what_has_to_leave_for_the_amount_that_is_wanted() -> None:
    # exact: (1 g and the film) / 0.78 / 6.3614 g
    case = situation(rig_text("Rb", {"RbCl": "9 g", "Ca": "2 g"}))
    held = said(charge_of(case).product(), "held")
    ledger = charge_of(case).ledger()
    assert needed_conversion(case, ledger)[0] == pytest.approx((1e-3 + held) / 0.78 / 6.3614e-3, rel=1e-4)
    more = situation(rig_text("Rb", {"RbCl": "9 g", "Ca": "2 g"}, aim='amount = "20 g"'))
    assert needed_conversion(more, charge_of(more).ledger())[0] == pytest.approx(1.0, abs=1e-5)
    none = situation(rig_text("Rb", {"RbCl": "9 g", "Ca": "2 g"}, aim=""))
    book = charge_of(none).ledger()
    assert np.isnan(needed_conversion(none, book)[0])
    assert [each.datum for each in book.missing] == ["aim.amount"]


@pytest.mark.parametrize(
    ("reagents", "datum"),
    [
        ({"RbCl": "9 g"}, "charge"),
        ({"RbNO3": "9 g", "Ca": "2 g"}, "charge.RbNO3"),
    ],
)
def test_without_a_route_nothing_is_said(reagents: dict[str, str], datum: str) -> None:
    found = picture("Rb", reagents)
    assert not isinstance(found.route, Route)
    for figure in (
        found.excess(),
        found.leftover(),
        found.eaten_by_water(),
        found.product(),
        found.possible(),
    ):
        assert np.isnan(figure.values).all()
        assert figure.missing[0].datum == datum


def test_a_rig_without_a_receiver_says_so() -> None:
    blind = POT.replace('receives = { up_to = "80 %", sealed = "flame", at = "20 mm" }\n', "")
    found = picture("Rb", {"RbCl": "9 g", "Ca": "2 g"}, pieces=blind)
    assert found.product().missing[0].datum == "piece.receives"
    assert not found.excess().missing


@pytest.mark.parametrize(
    "address", ["charges/Rb/density", "beliefs/charge.arrives/default", "elements/Cl/valence"]
)
def test_a_figure_without_one_of_its_data_has_no_number(address: str) -> None:
    whole = picture("Rb", {"RbCl": "9 g", "Ca": "2 g"}).product()
    assert address in whole.cites
    blind = picture("Rb", {"RbCl": "9 g", "Ca": "2 g"}, shipped().without(address)).product()
    assert np.isnan(blind.values).all()
    assert any(address in each.datum for each in blind.missing)


def test_every_row_cited_is_needed_for_the_excess() -> None:
    text = rig_text("Rb", {"RbCl": "9 g; H2O = '0.03 %', KCl = '0.1 %'", "Ca": "2 g; CaO = '5 %'"})
    figure = charge_of(situation(text)).excess()
    assert len(figure.cites) > 8
    for address in figure.cites:
        assert isinstance(shipped().find(*address.split("/", 1)[:1], *address.split("/")[1:]), Row)  # type: ignore[misc]
        assert charge_of(situation(text, tables=shipped().without(address))).excess().missing, address


def test_samples_share_their_draws() -> None:
    # exact: one belief a figure of the file, so the same sample has the same mass everywhere
    text = rig_text("Rb", {"RbCl": "8 to 10 g", "Ca": "2 g"})
    found = charge_of(situation(text, Draws(samples=16)))
    metal = found.product().said["metal"]
    need = found.excess().said["need"]
    assert np.ptp(metal / need) < 1e-12 * np.max(metal / need) * 1e3
    assert np.ptp(metal) > 0
    assert MIDDLE.size == 1
