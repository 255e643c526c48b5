# SPDX-License-Identifier: MIT
"""What is wrong with a route, in a few words each; and the names of the metals."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess.finding import Finding
from retortwright.assess.makes_charge_words import plain
from retortwright.assess.route_cards import Asked, RouteCard
from retortwright.assess.route_serves import Served
from retortwright.assess.route_walls import Bearing
from retortwright.reference.compounds import class_of
from retortwright.reference.tables import Tables
from retortwright.situation.melting import mix_as_metals

__all__ = ["NAMES", "reasons_of"]

NAMES = {
    "Li": "lithium", "Na": "sodium", "K": "potassium", "Rb": "rubidium", "Cs": "caesium", "Mg": "magnesium",
    "Ca": "calcium", "Sr": "strontium", "Ba": "barium", "Zn": "zinc", "Sm": "samarium", "Eu": "europium",
    "Yb": "ytterbium", "Tm": "thulium", "Al": "aluminium", "Si": "silicon", "La": "lanthanum",
}  # fmt: skip
_CELSIUS = 273.15
_MIXED = 0.05  # mass of reductant over that of the product from which on the product is called a mixture


def reasons_of(tables: Tables, asked: Asked, card: RouteCard) -> tuple[str, ...]:
    """Why a route does not simply hold, the gravest first."""
    if card.refusal is not None:
        because = f"; {card.refusal.because}" if card.refusal.because else ""
        return (f"{card.refusal.says}{because}",)
    found = [*_of_heat(card), *_of_what_comes(tables, card)]
    if asked.vessel is not None and card.walls and _counts(card, card.walls[0]):
        found.append(f"{asked.vessel}: {card.walls[0].because}")
    if card.missing is not None:
        found.append(card.missing.says)
    found += [
        f"{one} and {other} alloy: taken as pure here, so less may come" for one, other in _alloys(card)
    ]
    if card.candidate.redistils:
        found.append("how clean it comes depends on what is in it, which is not asked here")
    return tuple(dict.fromkeys(found))


def _counts(card: RouteCard, wall: Bearing) -> bool:
    """Whether what is said of the wall adds anything: not where the route fails before."""
    return wall.verdict in ("fails", "thin") or (wall.verdict == "unknown" and card.verdict == "unknown")


def _alloys(card: RouteCard) -> tuple[tuple[str, str], ...]:
    return () if card.served is None else card.served.window.alloys


def _of_heat(card: RouteCard) -> Iterator[str]:
    words = {
        "reaction-heat": "gives {} J a gram of charge: once it has started the furnace {}",
        "reaction-gas": "frees {} mmol of gas in a gram of charge: it lifts powder and fills what is shut",
        "self-heating": "heats itself by up to {} K if it all goes at once",
    }
    scale = {"reaction-heat": 1e-3, "reaction-gas": 1.0, "self-heating": 1.0}
    for check, says in words.items():
        finding = card.findings.get(check)
        high = None if finding is None else finding.judgement.high
        if finding is not None and finding.verdict in ("fails", "thin") and high is not None:
            leads = "does not lead it" if finding.verdict == "fails" else "leads it in part only"
            yield says.format(plain(high * scale[check]), leads)
        elif (
            finding is not None
            and finding.verdict == "unknown"
            and finding.missing is not None
            and card.missing is None
        ):
            yield finding.missing.says


def _of_what_comes(tables: Tables, card: RouteCard) -> Iterator[str]:
    """What spoils the product, or keeps the window shut."""
    served = card.served
    if served is None or card.candidate.redistils:
        return
    finding = served.finding
    if finding.verdict not in ("fails", "thin") or _wide(finding):
        return
    low, high = float(np.median(served.window.low)), float(np.median(served.upper))
    if low >= served.window.top * (1 - 1e-9):
        yield f"no useful pressure of {card.candidate.metal} below {low - _CELSIUS:.0f} degC"
        return
    yield from _besides(tables, card, served)
    if served.rules == "wall":
        yield f"the pot bears {high - _CELSIUS:.0f} degC, the metal comes from {low - _CELSIUS:.0f} degC on"


def _wide(finding: Finding) -> bool:
    """Thin for another reason than its width."""
    low = finding.judgement.low
    limit, reserve = finding.limit or 0.0, finding.reserve or 0.0
    return low is not None and low >= limit + reserve


def _besides(tables: Tables, card: RouteCard, served: Served) -> Iterator[str]:
    metal, reductant, salt = card.candidate.metal, card.candidate.reductant, card.candidate.salt
    hot = f"at {served.looked_at - _CELSIUS:.0f} degC"
    share = float(np.median(served.seen.reductant))
    boils = _boils(tables, card)
    if boils and share > _MIXED:
        much = f"{plain(share)} times as much {reductant} as {metal} {hot}"
        yield f"{boils} boils out of the charge and comes along: {much}"
        return
    if share > 1 and mix_as_metals(tables, metal, reductant):
        yield f"{metal} and {reductant} come over mixed: an alloy with {plain(share)} times as much {reductant} {hot}"
    elif share > 1:
        name = NAMES.get(reductant, reductant)
        yield f"the product would be {name}: {plain(share)} times as much of it as of {metal} comes over {hot}"
    elif share > _MIXED:
        yield f"{metal} comes over mixed with {reductant}: {plain(share * 100)} % of its mass {hot}"
    elif served.rules == "reductant":
        yield f"{reductant} comes along: {plain(share * 1e6)} ppm {hot}"
    share = float(np.median(served.seen.salt))
    if share > 1:
        yield f"{plain(share)} times as much salt as {metal} comes over {hot}"
    elif share > _MIXED:
        yield f"{plain(share * 100)} % of salt comes along {hot}"
    elif served.rules == "salt":
        yield f"{salt} comes along: {plain(share * 1e6)} ppm {hot}"


def _boils(tables: Tables, card: RouteCard) -> str:
    """What the reductant becomes, where that is a halide that boils; empty where it stays."""
    left = (
        []
        if card.reaction is None
        else [name for _, name in card.reaction.products if name != card.candidate.metal]
    )
    slags = ("reductants", card.candidate.reductant, "slag-oxide") in tables.rows
    return (
        left[0] if left and slags and class_of(tables, left[0]) in ("chloride", "fluoride", "bromide") else ""
    )
