# SPDX-License-Identifier: MIT
"""Question 3: how clean will it be? What comes over, what gas brings, where to cut, what the label may say."""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess.check import Check
from retortwright.assess.clean_again import again_checks
from retortwright.assess.clean_carry import carry_checks
from retortwright.assess.clean_gas import gas_checks
from retortwright.assess.clean_label import form_checks, label_checks
from retortwright.assess.questioned import Questioned
from retortwright.situation.purity import purity_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state
from retortwright.situation.vapour_state import gives_metal

__all__ = ["HOW_CLEAN"]


def _made(situation: Situation) -> Iterator[Check]:
    state = hottest_state(situation.rig)
    if not situation.rig.charge or state is None or not gives_metal(situation, state):
        return
    work = purity_of(situation, state)
    yield from again_checks(work) if work.charge.redistils else carry_checks(work)
    for part in (gas_checks, form_checks, label_checks):
        yield from part(work)


HOW_CLEAN = Questioned(3, _made)
