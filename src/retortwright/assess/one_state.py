# SPDX-License-Identifier: MIT
"""The joints of one state alone, for a picture of it: nothing else is solved."""

from __future__ import annotations

from collections.abc import Sequence

from retortwright.assess.assessment import Assessment
from retortwright.assess.cautions import cautions_of
from retortwright.assess.joints_cooling import joints_cooling
from retortwright.assess.joints_live import QUESTION, joints_live
from retortwright.assess.refusals import refusals_of, withheld
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.parts import Rig
from retortwright.situation.situation import Situation

__all__ = ["joints_of"]


def joints_of(
    rig: Rig,
    state: str,
    draws: Draws | None = None,
    tables: Tables | None = None,
    edits: Sequence[tuple[str, str]] = (),
) -> Assessment:
    """The verdicts of the joints in one state, with nothing lost, and what is refused."""
    tables = tables or shipped()
    situation = Situation(rig, tables, draws or Draws())
    refused = refusals_of(situation)
    findings = withheld((*joints_live(situation, state), *joints_cooling(situation, state)), refused)
    return Assessment(
        rig,
        situation.draws,
        tables,
        (QUESTION,),
        findings,
        cautions_of(situation),
        tuple(edits),
        situation,
        refused,
    )
