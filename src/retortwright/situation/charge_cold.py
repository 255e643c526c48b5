# SPDX-License-Identifier: MIT
"""Whether a charge is too cold to give metal worth the name: what can stand over it at most is next to nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from retortwright.belief.beliefs import Draws
from retortwright.situation.charge import charge_of
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.reaction import ReactionWork
from retortwright.situation.saturation_table import saturation_of
from retortwright.situation.timing import hottest_state

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["is_too_cold"]

_LEAST = 0.3  # Pa: a square centimetre then gives some hundredths of a gram in an hour, and less
_NEARLY = 0.5  # of saturation: such a charge may be saturated when it is colder


def is_too_cold(situation: Situation, target: float) -> bool:
    """Whether next to no metal comes at a set-point [K], with every belief at its middle and the charge as hot.

    A charge that is not saturated where it is hottest makes its metal by a reaction that takes heat: colder its
    metal stands no nearer to saturation. Where the pressure is not known it is not too cold.
    """
    hottest = hottest_state(situation.rig)
    top = None if hottest is None else situation.rig.set_point(hottest)
    if top is None or target >= top:
        return False
    return situation.once(f"too cold at {target}", lambda: _too_cold(situation, target))


def _too_cold(situation: Situation, target: float) -> bool:
    draws = situation.draws
    one = situation.drawn(Draws(draws.samples, draws.seed, width=0.0, pick=(0,)))
    work = ReactionWork(one)
    ledger = work.ledger()
    saturation = saturation_of(Chemistry(ledger), situation.rig.aim.metal)
    if saturation is None or ledger.missing:
        return False
    most = saturation.pressure(np.array([target]))[0]
    if charge_of(one).redistils:
        return bool(most < _LEAST)
    figure = work.pressure(late=False)
    hot = figure.said.get("temperature")
    if figure.missing or hot is None or not np.isfinite(figure.values).all():
        return bool(most < _LEAST)
    nearness = float((figure.values / saturation.pressure(hot))[0])
    return bool(most * (nearness if nearness < _NEARLY else 1.0) < _LEAST)
