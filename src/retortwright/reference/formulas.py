# SPDX-License-Identifier: MIT
"""What each computation does, in words, with its sources: one entry per formula name."""

from __future__ import annotations

from retortwright.reference.formulas_of_charge import CHARGE
from retortwright.reference.formulas_of_hurts import HURTS
from retortwright.reference.formulas_of_line import LINE
from retortwright.reference.formulas_of_purity import PURITY
from retortwright.reference.formulas_of_walls import WALLS
from retortwright.reference.said import Formula

__all__ = ["FORMULAS"]

FORMULAS: dict[str, Formula] = {
    **LINE,
    **CHARGE,
    **PURITY,
    **WALLS,
    **HURTS,
    "none": Formula("Not computed by this version.", ()),
}
