# SPDX-License-Identifier: MIT
"""How two salts mix when they melt: the same in either order, a default where nothing is published."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.physics.melts import excess_gibbs
from retortwright.reference.tables import shipped
from retortwright.situation.melting import interaction_of, melts_together, mix_as_metals
from situation.equilibria import chemistry, routed

PAIRS = [subject for subject in shipped().subjects("melts") if "-" in subject]
KELVIN = np.array([[800.0], [1100.0]])


@pytest.mark.parametrize("pair", PAIRS)
def test_the_order_of_the_salts_does_not_matter(pair: str) -> None:
    one, other = pair.split("-")
    chemicals = chemistry(Draws(samples=8))
    there, back = interaction_of(chemicals, one, other, KELVIN), interaction_of(chemicals, other, one, KELVIN)
    for share in (0.1, 0.5, 0.8):
        # exact: one melt, one excess Gibbs energy
        assert excess_gibbs(share, *there) == pytest.approx(excess_gibbs(1 - share, *back), abs=1e-6)
    assert f"melt.{pair}" in chemicals.ledger.used
    assert chemicals.ledger.missing == []


def test_the_share_counts_the_second_salt() -> None:
    """The two terms of a row, with signs that would show if they were read the other way round."""
    row = {
        name: float(shipped().rows["melts", "LiCl-KCl", f"excess-{name}"].data)
        for name in ("h0", "h1", "s0", "s1")
    }
    found = interaction_of(chemistry(), "LiCl", "KCl", np.array([[970.0]]))
    w, v = (row[f"h{n}"] - 970.0 * row[f"s{n}"] for n in (0, 1))
    assert [float(np.squeeze(each)) for each in found] == pytest.approx([w, v], rel=1e-12)  # exact
    assert abs(v) > 100.0  # else the order would not show


def test_where_nothing_is_published_a_wide_default_holds() -> None:
    chemicals = chemistry(Draws(samples=64))
    assert ("melts", "RbF-CaF2", "excess-h0") not in shipped().rows
    constant, slope = interaction_of(chemicals, "RbF", "CaF2", KELVIN)
    assert "melt.interaction" in chemicals.ledger.used
    assert np.ptp(constant) > 15e3
    assert not np.any(slope)


@pytest.mark.parametrize(
    ("names", "melts"),
    [(("Rb", "RbCl", "Ca"), True), (("Na", "NaF", "Ca"), True), (("Ca", "CaO", "Al"), False)],
)
def test_halides_melt_and_oxides_do_not(names: tuple[str, str, str], melts: bool) -> None:
    assert (melts_together(chemistry(), routed(*names), np.array([1100.0])) is not None) == melts


@pytest.mark.parametrize(
    ("one", "other", "mix"),
    [("Na", "K", True), ("Cs", "Rb", True), ("Li", "Cs", False), ("Li", "Na", False), ("K", "Ca", False)],
)
def test_alkali_metals_but_lithium_mix(one: str, other: str, mix: bool) -> None:
    # practice: their phase diagrams
    assert mix_as_metals(shipped(), one, other) == mix == mix_as_metals(shipped(), other, one)
