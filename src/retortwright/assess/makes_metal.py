# SPDX-License-Identifier: MIT
"""Question 1: will it make metal? Route, charge, moisture, equilibrium, in this order."""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess.check import Check
from retortwright.assess.makes_carbonate import carbonate_checks
from retortwright.assess.makes_charge import charge_checks
from retortwright.assess.makes_equilibrium import equilibrium_checks
from retortwright.assess.makes_moisture import moisture_checks
from retortwright.assess.makes_route import route_checks
from retortwright.assess.questioned import Questioned
from retortwright.situation.situation import Situation

__all__ = ["MAKES_METAL"]

_PARTS = (route_checks, charge_checks, moisture_checks, carbonate_checks, equilibrium_checks)


def _made(situation: Situation) -> Iterator[Check]:
    if situation.rig.charge:
        for part in _PARTS:
            yield from part(situation)


MAKES_METAL = Questioned(1, _made)
