# SPDX-License-Identifier: MIT
"""What the walls keep: a film that drains, or what scraping leaves of a metal that lands solid."""

from __future__ import annotations

import math

import pytest

from retortwright.belief.believed import Ledger
from retortwright.reference.tables import shipped
from retortwright.situation.holdup import held_back, is_scraped, wetted
from situation.charges import MIDDLE, rig_text, situation

SLEEVE = """
[piece.pot]
tube = "25 x 2 mm"
length = "160 mm"
rises = "90 deg"
of = "304L"
bottom = { shape = "flat", thick = "4 mm", joined = "TIG" }
[piece.sleeve]
on = "pot"
joined = "TIG"
tube = "32 x 1 mm"
length = "99.7 mm"
rises = "90 deg"
of = "304L"
receives = { up_to = "50 %" }
closed = "copper knife-edge flange"
"""
EUROPIUM = {"Eu2O3": "0.7 g", "La": "0.62 g"}


def kept(metal: str, reagents: dict[str, str], pieces: str | None = None) -> float:
    """What is held back [kg], every belief at its middle."""
    made = situation(rig_text(metal, reagents, *([] if pieces is None else [pieces])))
    ledger = Ledger(made.rig, made.tables, MIDDLE)
    held, _ = held_back(made.tree, ledger, metal)
    assert not ledger.missing
    return float(held[0])


def test_a_sleeve_keeps_more_europium_than_was_wanted() -> None:
    area = math.pi * 30e-3 * 99.7e-3
    assert area * 1e4 == pytest.approx(94, abs=0.1)
    # practice: 94 cm2 that cannot be scraped better than 30 um keep 1.5 g
    assert kept("Eu", EUROPIUM, SLEEVE) * 1e3 == pytest.approx(1.5, abs=0.05)


def test_an_ampoule_that_is_sealed_keeps_only_its_neck() -> None:
    sealed = SLEEVE.replace('up_to = "50 %"', 'up_to = "50 %", at = "10 mm"')
    assert kept("Eu", EUROPIUM, sealed) == pytest.approx(kept("Eu", EUROPIUM, SLEEVE) * 10 / 99.7)  # exact: by length


def test_what_drains_leaves_nothing_in_a_receiver_without_a_neck() -> None:
    made = situation(rig_text("K", {"KCl": "10 g", "Ca": "3 g"}, SLEEVE))
    assert wetted(made.tree) == {}
    assert len(wetted(made.tree, scraped=True)) == 1


@pytest.mark.parametrize(("metal", "solid"), [("Mg", True), ("Ba", True), ("Eu", True), ("K", False), ("Zn", False)])
def test_which_metals_are_scraped(metal: str, solid: bool) -> None:
    assert is_scraped(shipped(), metal) is solid  # practice: earths and rare earths crust, alkali metals and zinc drain
