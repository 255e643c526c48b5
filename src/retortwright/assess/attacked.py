# SPDX-License-Identifier: MIT
"""Question 7: what attacks what? Every wetted surface against what touches it, where that is hottest.

The temperature of the surface is compared with the one up to which a text that was read says that the material
bears it. What is said from memory only may fail or widen a finding; it never makes one hold. The user's own
experience counts as much as a text.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from retortwright.assess import attacked_words as words
from retortwright.assess.check import Check, Limit, plain_limit
from retortwright.assess.joints_live import subject_of
from retortwright.assess.questioned import Questioned
from retortwright.assess.refused_apparatus import refuse_materials
from retortwright.belief.beliefs import Belief
from retortwright.belief.believed import Ledger
from retortwright.ground.units import TAIL, Band
from retortwright.reference.attacks import attacked
from retortwright.reference.bearing import HARMS, Bearing, Said, bearing_of
from retortwright.reference.datum import Row, number_of
from retortwright.rig.pairing import fits
from retortwright.rig.vocabulary import materials
from retortwright.situation.situation import Situation
from retortwright.situation.wetted import Wetted, wetted_of

__all__ = ["CHECK", "QUESTION", "WHAT_ATTACKS", "bearing_at", "check_on", "hot_end", "instead_of"]

QUESTION = 7
CHECK = "attacked"
_NAMED = 3  # other materials
_WHOLE = 0.5  # K, below which a fraction of a kelvin was left off
_HOTTEST = 3000.0  # K, for a row without an upper end


def _made(situation: Situation) -> Iterator[Check]:
    for wetted in wetted_of(situation):
        yield check_on(situation, wetted)


WHAT_ATTACKS = Questioned(QUESTION, _made)


def hot_end(wetted: Wetted) -> float:
    """The hot end of the band of a surface [K]; nan where it is not known."""
    values = wetted.figure.values
    return (
        float(np.quantile(values, 1 - TAIL, method="higher")) if np.all(np.isfinite(values)) else float("nan")
    )


def bearing_at(situation: Situation, wetted: Wetted) -> Bearing:
    """What is known of a pair, with what the user has seen."""
    own = situation.rig.experience.get(f"{words.substance_of(wetted.agent)}.{wetted.material}")
    return bearing_of(situation.tables, wetted.agent, wetted.material, own or 0.0)


def check_on(situation: Situation, wetted: Wetted) -> Check:
    """The check of one pair at one place."""
    bearing, hot = bearing_at(situation, wetted), hot_end(wetted)
    instead = instead_of(situation, wetted) if bearing.verdict(hot) == "harmed" else ()
    says = "how hot it gets, and what touches it, is not known." if np.isnan(hot) else ""
    return Check(
        CHECK,
        wetted.state,
        f"{wetted.name}.{words.short_name(wetted.agent)}",
        _subject(situation, wetted),
        wetted.at,
        "temperature",
        wetted.figure,
        _limit(situation, wetted, bearing, hot),
        says or words.because(wetted, bearing, hot, instead),
        notes=tuple(_notes(situation, wetted)),
        limit_of=f"{words.plain_name(wetted.agent)} on {wetted.material}",
        doubtful=bearing.verdict(hot) == "slow",
    )


def _subject(situation: Situation, wetted: Wetted) -> str:
    touched = words.plain_name(wetted.agent)
    if wetted.joint is not None:
        return f"{subject_of(wetted.joint, situation)} in {touched}"
    part = "liner of " if wetted.name.endswith(".lined") else ""
    return f"{part}{wetted.row} ({wetted.material}) in {touched}"


def _limit(situation: Situation, wetted: Wetted, bearing: Bearing, hot: float) -> Limit:
    """Up to where it may get, with the row that says so; what is missing where none that was read does."""
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    ledger.cites |= {each.row.address for each in bearing.said}
    verdict = bearing.verdict(hot)
    if np.isnan(hot) or verdict in ("memory", "silent"):
        if not np.isnan(hot):
            ledger.missing.append(bearing.missing(hot))
        return plain_limit(ledger, np.nan, "")
    found = bearing.harmed if verdict == "harmed" else bearing.limit(hot)
    value = found.at if np.isfinite(found.at) else _own_limit(ledger, wetted)
    if verdict == "harmed" and hot < value:  # harmful as soon as it melts, by a row in whole kelvins
        value = hot - _WHOLE
    _write_down(
        ledger, wetted, {"harmed": bearing.harmed, "bears": bearing.bears}.get(verdict, bearing.lasts)
    )
    return plain_limit(ledger, value, "")


def _write_down(ledger: Ledger, wetted: Wetted, found: Said) -> None:
    """The row that a verdict rests on as an input, if it was read, or what the user has seen."""
    at = found.at if found.by is None or found.by.word in HARMS else min(found.by.high, _HOTTEST)
    if found.by is None:
        key = f"experience.{words.substance_of(wetted.agent)}.{wetted.material}"
        ledger.figure(key, Band(at, at, at), "K")
    elif found.by.seen:
        row, name = found.by.row, f"attack.{wetted.agent} on {wetted.material}"
        ledger.used[name] = Belief(
            name, Band(at, at, at), "K", "table", row.address, row.source, row.locator, True
        )


def _own_limit(ledger: Ledger, wetted: Wetted) -> float:
    """Where a row has no upper end: what the wall or the joint itself stands."""
    table, subject, name = "materials", wetted.material, "service-limit"
    if wetted.joint is not None and ("joints", wetted.joint.kind, "limit") in ledger.tables.rows:
        table, subject, name = "joints", wetted.joint.kind, "limit"
    row = ledger.row(table, subject, name)
    return number_of(row).low if isinstance(row, Row) else float("nan")


def _notes(situation: Situation, wetted: Wetted) -> Iterator[str]:
    moist = words.left_moist(situation.tables, wetted)
    if moist is not None:
        yield moist
    for refusal in _refused(situation):
        if wetted.at == refusal[0]:
            yield f"refused as well: {refusal[1]}"


def _refused(situation: Situation) -> tuple[tuple[str, str], ...]:
    """Walls and joints that are refused whatever touches them: key and id."""
    return situation.once(
        "refused walls and joints", lambda: tuple((each.at, each.id) for each in refuse_materials(situation))
    )


def instead_of(situation: Situation, wetted: Wetted) -> tuple[str, ...]:
    """Other walls, or what other joints are touched in, that bear all that touches a place, as far as was read."""
    there = [each for each in wetted_of(situation) if each.at == wetted.at]
    found = []
    for material in dict.fromkeys((*materials(), *attacked(situation.tables, wetted.agent))):
        if material == wetted.material or not _may_be(situation, wetted, material):
            continue
        others = [replace(each, material=material) for each in there]
        if bearing_at(situation, replace(wetted, material=material)).verdict(
            hot_end(wetted)
        ) == "bears" and all(
            bearing_at(situation, each).verdict(hot_end(each)) != "harmed" for each in others
        ):
            found.append(material)
    return tuple(found[:_NAMED])


def _may_be(situation: Situation, wetted: Wetted, material: str) -> bool:
    """Whether a wall or liner can be of that, or some joint that suits the walls is touched in it."""
    if wetted.joint is None:
        return material in materials()
    instances = situation.tree.instances
    walls = [instances[n].row.of for n in (wetted.joint.onto, wetted.joint.instance) if n >= 0]
    kinds = [each for each in situation.tables.subjects("attacks", "wets")
             if situation.tables.rows["attacks", each, "wets"].data == material]  # fmt: skip
    return any(fits(each, walls) for each in kinds)
