# SPDX-License-Identifier: MIT
"""Question 2, the vapour: does it get over the crest, how far into the arms, where does it land, what is lost?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess import across_words as words
from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.belief.believed import Ledger
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.situation.crossing import Crossing, blank
from retortwright.situation.figure import Figure
from retortwright.situation.outlet import landing_place, outlet_of
from retortwright.situation.returning import delivered
from retortwright.situation.situation import Situation
from retortwright.situation.vapour_ways import Arm

__all__ = ["landing_checks", "landing_unknown"]

_FOG = (
    "fog is not in it: where gas flows fast past the landing, 5 to 20 % go with it by practice; "
    "under vacuum next to nothing"
)
_KELVIN_OVER = 40.0  # K by which a joint has to stand more than the dew point for vapour not to matter to it
_NEARLY_ALL = 0.99


def landing_checks(crossing: Crossing) -> Iterator[Check]:
    """Delivered, reach of every arm, where it lands, what goes to the pump."""
    yield _delivered(crossing)
    for arm in crossing.vapour.ways.arms:
        check = _reach(crossing, arm)
        if check is not None:
            yield check
    yield from _lands(crossing)


def landing_unknown(situation: Situation, state: str, missing: Missing) -> Iterator[Check]:
    """The same checks where wall and vapour are not known."""
    retort = f"piece.{situation.tree.instances[0].row.name}"
    metal = situation.rig.aim.metal
    said = {
        "delivered": (f"share of the {metal} that gets over the crest of its way", "portion"),
        "landing-end": (f"where the {metal} has landed", "length"),
        "passes-pump": (f"{metal} that goes on to the pump", "mass"),
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
    tree, dew = crossing.tree, float(np.quantile(crossing.vapour.dew, 0.95))
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


def _lands(crossing: Crossing) -> Iterator[Check]:
    """Where nearly all has landed, and what passes; without a pump only where it lands."""
    outlet, situation, state = outlet_of(crossing), crossing.situation, crossing.state
    ledger, ends = crossing.ledger(), crossing.plain_ledger()
    subject = f"way by which 99 % of the {crossing.metal} has landed"
    if outlet is None:
        way = crossing.vapour.ways.ways[0]
        place = landing_place(crossing, way, crossing.vapour.landings[0], _NEARLY_ALL)
        whole = float(np.sum(crossing.mesh.width[way.cells]))
        at = f"piece.{crossing.tree.instances[way.receiver].row.name}"
        figure, limit = crossing.figure(ledger, place), plain_limit(ends, whole, "end of the receiver")
        because = words.lands(crossing, crossing.vapour.landings[0], None)
        yield _check(situation, state, "landing-end", subject, at, "length", figure, limit, because)
        return
    place = landing_place(crossing, outlet.way, outlet.landing, _NEARLY_ALL)
    at = f"piece.{crossing.tree.instances[outlet.single].row.name}"
    figure = crossing.figure(ledger, place)
    limit = plain_limit(ends, outlet.place, "where the way to the pump leaves that of the metal")
    because = words.lands(crossing, outlet.landing, outlet)
    yield _check(situation, state, "landing-end", subject, at, "length", figure, limit, because)
    yield _passes(crossing, at)


def _passes(crossing: Crossing, at: str) -> Check:
    outlet, ledger, ends = outlet_of(crossing), crossing.ledger(), crossing.plain_ledger()
    assert outlet is not None
    freed, _ = crossing.charge.freed(ledger)
    time = crossing.held_for(ledger)
    lost = np.minimum(outlet.passed * crossing.molar_mass(ledger) * time, freed)
    share = limit_from_rule(ends, "passes-pump").value
    amount = crossing.rig.aim.amount
    if amount is None:
        ends.missing.append(Missing("aim.amount", "how much metal is wanted is not said: aim.amount"))
    limit = plain_limit(ends, np.nan if amount is None else share * amount, "share of the product")
    subject = f"{crossing.metal} that goes on to the pump as vapour"
    figure = crossing.figure(ledger, lost)
    because = words.passes(figure)
    return _check(
        crossing.situation,
        crossing.state,
        "passes-pump",
        subject,
        at,
        "mass",
        figure,
        limit,
        because,
        (_FOG,),
    )
