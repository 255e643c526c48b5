# SPDX-License-Identifier: MIT
"""What the walls of the line could catch: none where they are hot, all but saturation where they are cold."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.situation.chemistry import Chemistry
from retortwright.situation.purity_walls import saturated, share_past
from situation.crossings import RUBIDIUM, changed, crossing


def test_a_metal_over_itself() -> None:
    # published: 1 Pa of calcium at 864.2 K, log10(p/atm) = 10.127 - 9517/T - 1.4030 log10 T [alcock-1984]
    found = saturated(Chemistry(crossing(RUBIDIUM).plain_ledger()), "Ca", np.array([[864.2]]))
    assert found.item() == pytest.approx(1.0, rel=0.1)


def test_a_salt_over_itself_with_its_dimer() -> None:
    chemistry = Chemistry(crossing(RUBIDIUM).plain_ledger())
    one, both = chemistry.gibbs("RbCl(g)", 900.0), saturated(chemistry, "RbCl", np.array([[900.0]]))
    alone = 1e5 * np.exp((chemistry.lowest(["RbCl(s)", "RbCl(l)"], 900.0) - one) / (8.314462618 * 900.0))
    assert both.item() > alone.item()
    # practice: some torr at 830 degC, a thousandth of that 200 degC colder
    assert 0.1 < both.item() < 10.0


def test_without_data_it_is_missing() -> None:
    ledger = crossing(RUBIDIUM).plain_ledger()
    assert np.isnan(saturated(Chemistry(ledger), "Sn", np.array([[900.0]]))).all()
    assert "Sn" in ledger.missing[0].says


def past(formula: str, ratio: float, *edits: tuple[str, str]) -> float:
    """The share that gets past."""
    made = crossing(changed(RUBIDIUM, *edits))
    return float(share_past(made, made.ledger(), formula, np.array([ratio]))[0])


def test_between_all_and_nothing() -> None:
    assert 0.0 < past("Ca", 1e-2) < 1.0
    assert past("Ca", 0.0) == 1.0


def test_what_is_under_saturation_everywhere_is_not_caught() -> None:
    # exact: rubidium itself stands below its own saturation until it lands
    assert past("Rb", 1e-9) == pytest.approx(1.0)


def test_a_faster_stream_carries_more_past() -> None:
    assert past("Ca", 1e-2, ("assume.reaction.time", "10 min")) > past(
        "Ca", 1e-2, ("assume.reaction.time", "90 min")
    )


def test_more_of_it_is_caught_in_a_larger_part() -> None:
    # exact: saturation at the wall is left over whatever comes
    assert past("Ca", 1e-1) <= past("Ca", 1e-3)
