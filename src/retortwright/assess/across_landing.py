# SPDX-License-Identifier: MIT
"""Question 2, the vapour: does it get over the crest, how far into the arms, where does it land, what is lost?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess import across_words as words
from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.situation.crossing import Crossing, blank
from retortwright.situation.figure import Figure
from retortwright.situation.outlet import Outlet, landing_place, outlet_of
from retortwright.situation.returning import delivered
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_ways import Arm

__all__ = ["landing_checks", "landing_unknown"]

_FOG = (
    "fog is not in it: where gas flows fast past the landing, 5 to 20 % go with it by practice; "
    "under vacuum next to nothing"
)
_KELVIN_OVER = 40.0  # K by which a joint has to stand more than the dew point for vapour not to matter to it


def landing_checks(crossing: Crossing) -> Iterator[Check]:
    """Delivered, reach of every arm, where it lands and what of it goes on to a pump that runs."""
    yield _delivered(crossing)
    for arm in crossing.vapour.ways.arms:
        check = _reach(crossing, arm)
        if check is not None:
            yield check
    outlet = outlet_of(crossing)
    if outlet is not None:
        yield _lands(crossing, outlet)


def landing_unknown(situation: Situation, state: str, missing: Missing) -> Iterator[Check]:
    """The same checks where wall and vapour are not known."""
    retort = f"piece.{situation.tree.instances[0].row.name}"
    metal = situation.rig.aim.metal
    said = {
        "delivered": (f"share of the {metal} that gets over the crest of its way", "portion"),
        "landing-end": (f"where the {metal} has landed", "length"),
    }
    for name, (subject, quantity) in said.items():
        ledger = Ledger(situation.rig, situation.tables, situation.draws)
        figure, limit = blank(situation, missing), plain_limit(ledger, np.nan, "")
        says = f"where the {metal} goes cannot be said."
        yield _check(situation, state, name, subject, retort, quantity, figure, limit, says)


def _check(
    situation: Situation,
    state: str,
    name: str,
    subject: str,
    at: str,
    quantity: str,
    figure: Figure,
    limit: Limit,
    because: str,
    notes: tuple[str, ...] = (),
) -> Check:
    sense, place = sense_of_rule(situation.tables, name), at.partition(".")[2]
    return Check(name, state, place, subject, at, quantity, figure, limit, because, sense, notes)


def _delivered(crossing: Crossing) -> Check:
    figure = delivered(crossing)
    way = crossing.vapour.ways.ways[0]
    crest = way.cells[min(way.crest, len(way.cells) - 1)]
    at = f"piece.{crossing.tree.instances[crossing.mesh.instance[crest]].row.name}"
    limit = limit_from_rule(crossing.plain_ledger(), "delivered")
    subject = f"share of the {crossing.metal} that gets over the crest of its way"
    because = words.delivered(crossing, figure)
    if outlet_of(crossing) is None and not figure.missing:
        because = f"{because.rstrip('.')}; {words.lands_at(crossing, crossing.vapour.landings[0])}."
    return _check(
        crossing.situation, crossing.state, "delivered", subject, at, "portion", figure, limit, because
    )


def _reach(crossing: Crossing, arm: Arm) -> Check | None:
    """How far from the first joint that vapour would harm it stays; None where every joint stands it."""
    harmed = sorted(_harmed(crossing, arm))
    if not harmed:
        return None
    place, key = harmed[0]
    ledger = crossing.ledger()
    reach = crossing.vapour.reaches[arm.name]
    figure = crossing.figure(ledger, place - reach, {"reach": reach})
    limit = limit_from_rule(crossing.plain_ledger(), "reach")
    joint = key.removeprefix("piece.")
    subject = f"distance of hot vapour in the {arm.name} from {joint}"
    because = words.reach(crossing, arm, joint, place - reach)
    return _check(crossing.situation, crossing.state, "reach", subject, key, "length", figure, limit, because)


def _harmed(crossing: Crossing, arm: Arm) -> Iterator[tuple[float, str]]:
    """Joints in an arm that do not stand its vapour: distance from the mouth [m] and key."""
    tree, dew = crossing.tree, float(np.quantile(crossing.vapour.mouths[arm.name], 0.95))
    mouth = tree.index(arm.name)
    outward = {mouth: -arm.begins}
    inside = set(crossing.mesh.instance[arm.cells].tolist())
    for number in sorted(inside):
        if number not in outward:
            outward[number] = outward[tree.instances[number].parent] + tree.instances[number].at
    for joint in tree.joints:
        if joint.instance not in outward or (joint.instance == mouth and joint.place <= arm.begins):
            continue
        row = crossing.tables.find("joints", joint.kind, "limit")
        if not isinstance(row, Row) or number_of(row).low < dew + _KELVIN_OVER:
            yield outward[joint.instance] + joint.place, joint.key


def _lands(crossing: Crossing, outlet: Outlet) -> Check:
    """Where all but a little has landed, against the place where the way to the pump leaves that of the metal."""
    ledger, ends = crossing.ledger(), crossing.plain_ledger()
    may_pass = limit_from_rule(ends, "landing-end").value
    limit = plain_limit(ends, outlet.place, "where the way to the pump leaves that of the metal")
    place = landing_place(crossing, outlet.way, outlet.landing, 1.0 - may_pass)
    figure = crossing.figure(ledger, place, {"passed": _passed(crossing, outlet)})
    subject = f"way by which all but {may_pass * 100:.2g} % of the {crossing.metal} has landed"
    at = f"piece.{crossing.tree.instances[outlet.single].row.name}"
    because = words.lands(crossing, outlet, figure)
    return _check(
        crossing.situation,
        crossing.state,
        "landing-end",
        subject,
        at,
        "length",
        figure,
        limit,
        because,
        (_FOG,),
    )


def _passed(crossing: Crossing, outlet: Outlet) -> Array:
    """Metal that goes on to the pump in the hold [kg], no more than is freed; nan where no hold is said."""
    aside = crossing.plain_ledger()
    freed, _ = crossing.charge.freed(aside)
    flow = outlet.passed * crossing.molar_mass(aside)
    return np.asarray(np.minimum(flow * crossing.held_for(aside), freed))
