# SPDX-License-Identifier: MIT
"""Every route to a metal as a card: what it gives off, from where to where it serves, what bears it; the best first.

Heat, gas and self-heating are the findings of the first question for a charge weighed by the book; so are
the pressures behind the window. A route that is refused is listed with its reason and computed no further.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import islice

import numpy as np

from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding
from retortwright.assess.makes_route import route_checks
from retortwright.assess.refusal import Refusal
from retortwright.assess.refusals import REFUSALS, Advice, advice_of
from retortwright.assess.route_serves import Served, served
from retortwright.assess.route_walls import LINERS, VESSELS, Bearing, bearing_of, service_limit
from retortwright.belief.beliefs import Draws
from retortwright.ground.words import VERDICTS, worst
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.tables import Tables
from retortwright.situation.candidates import Candidate, candidates_for, rig_for
from retortwright.situation.figure import Figure
from retortwright.situation.route_enthalpy import species_unknown
from retortwright.situation.route_heat import RouteHeat
from retortwright.situation.route_reaction import Reaction
from retortwright.situation.situation import Situation

__all__ = ["CLASSES", "Asked", "RouteCard", "cards_for"]

CLASSES = ("endothermic", "neutral", "exothermic", "violent", "not known")
_HOT = 1273.15  # K, set-point of a charge of which no temperature is asked
_TURNS_BACK = (
    "carbon monoxide comes in equal parts with the vapour and turns it back into oxide and soot as it cools: "
    "how much is left is not computed"
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What the routes are to be looked at for."""

    metal: str
    grade: str = "display"
    vessel: str | None = None
    hottest: float | None = None  # K
    stock: tuple[str, ...] | None = None  # formulas that are at hand


@dataclass(frozen=True, slots=True)
class RouteCard:
    """One route, judged."""

    candidate: Candidate
    reaction: Reaction | None
    verdict: str  # holds, thin, fails, unknown or refused
    heat_class: str  # one of CLASSES
    masses: Mapping[str, float]  # weighed for 10 g of metal in the salt [kg]
    per_mole: Figure | None = None  # J per mole of metal
    findings: Mapping[str, Finding] = field(default_factory=dict)
    served: Served | None = None
    usual: Row | None = None  # temperatures of practice
    walls: tuple[Bearing, ...] = ()
    liners: tuple[Bearing, ...] = ()
    refusal: Refusal | None = None
    advice: tuple[Advice, ...] = ()
    missing: Missing | None = None
    left: tuple[Row, ...] = ()  # what is said of what stays in the pot


def cards_for(tables: Tables, asked: Asked, draws: Draws) -> tuple[RouteCard, ...]:
    """Every route to a metal, the best first, what is refused last."""
    wanted = (each for each in candidates_for(tables, asked.metal) if _at_hand(each, asked.stock))
    return tuple(sorted((_card(tables, asked, draws, each) for each in wanted), key=_order))


def _at_hand(candidate: Candidate, stock: tuple[str, ...] | None) -> bool:
    return stock is None or all(each in stock for each in candidate.formulas)


def _order(card: RouteCard) -> tuple[float, ...]:
    """What serves before what fails, what is not known and what is refused; then what is usual, then what is mild."""
    unknown = 0 if card.served is not None and card.served.within else 2
    group = {
        "holds": 0,
        "thin": 0,
        "unknown": unknown,
        "fails": 0 if card.usual is not None and _at_worst(card) else 1,
    }
    carried = 0.0 if card.served is None or card.served.seen is None else card.served.seen.besides
    return (
        group.get(card.verdict, 3),
        card.usual is None,
        card.candidate.redistils,
        -VERDICTS.index(card.verdict) if card.verdict in VERDICTS else 0,
        CLASSES.index(card.heat_class),
        carried if np.isfinite(carried) else 1e9,
    )


def _at_worst(card: RouteCard) -> bool:
    """Whether what fails does so at the bad end of its band only."""
    return not any(each.verdict == "fails" and each.judgement.settled for each in card.findings.values())


def _card(tables: Tables, asked: Asked, draws: Draws, candidate: Candidate) -> RouteCard:
    rig = rig_for(tables, candidate, asked.vessel or "304L", asked.hottest or _HOT, asked.grade)
    situation = Situation(rig, tables, draws)
    heat = RouteHeat(situation)
    reaction = heat.reaction if isinstance(heat.reaction, Reaction) else None
    masses = {each.formula: each.mass.best for each in rig.charge}
    refusal = next(REFUSALS["routes"](situation), None)
    per_mole = None if reaction is None else heat.per_mole()
    heats = () if candidate.redistils else _heat_findings(situation, refusal is not None)
    findings = {each.check: each for each in heats}
    kind = "neutral" if candidate.redistils else _class_of(tables, findings.get("reaction-heat"))
    usual = tables.find("usual", str(candidate), "charge-temperature")
    made = RouteCard(
        candidate, reaction, "unknown", kind, masses, per_mole, findings,
        usual=usual if isinstance(usual, Row) else None, refusal=refusal,
        advice=advice_of(situation), left=tuple(_left(tables, candidate, reaction)),
    )  # fmt: skip
    return _judged(tables, asked, situation, made)


def _heat_findings(situation: Situation, refused: bool) -> Iterator[Finding]:
    """The heat, of what is refused no more than that; gas and self-heating."""
    checks = islice(route_checks(situation), 1) if refused else route_checks(situation)
    return (finding_of(situation, check, 1) for check in checks)


def _class_of(tables: Tables, finding: Finding | None) -> str:
    """By the heat that a kilogram of the charge sets free."""
    free = None if finding is None else finding.judgement.best
    if free is None:
        return "not known"
    violent, neutral = (
        number_of(tables.rows["rules", *key]).best
        for key in (("reaction-heat", "limit"), ("route-card", "neutral"))
    )
    return CLASSES[3 if free > violent else 2 if free > neutral else 1 if free > -neutral else 0]


def _left(tables: Tables, candidate: Candidate, reaction: Reaction | None) -> Iterator[Row]:
    made = [name for _, name in reaction.products if name != candidate.metal] if reaction is not None else []
    for name in dict.fromkeys([*made, candidate.reductant]):
        row = tables.find("usual", name, "left-behind") if name else None
        if isinstance(row, Row):
            yield row


def _unknown(tables: Tables, card: RouteCard) -> Missing | None:
    """Why a route is not computed at all."""
    if card.candidate.redistils:
        return None
    if card.reaction is None:
        says = f"what {card.candidate.reductant} makes of {card.candidate.salt} is not computed"
        return Missing(f"species/{card.candidate.salt}", says)
    formulas = species_unknown(tables, card.reaction.formulas)
    if formulas:
        return Missing(
            f"species/{formulas[0]}", f"no thermochemical data of {' and '.join(formulas)} in our tables"
        )
    if "CO" in card.reaction.formulas:
        return Missing("species/CO(g)", _TURNS_BACK)
    return None


def _judged(tables: Tables, asked: Asked, situation: Situation, card: RouteCard) -> RouteCard:
    """The card with its window, its walls and its verdict."""
    if card.refusal is not None:
        return _with(card, verdict="refused")
    missing = _unknown(tables, card)
    if missing is not None:
        return _with(card, missing=missing)
    found = served(situation, card.candidate, _cap(tables, asked), card.usual)
    if isinstance(found, Missing):
        return _with(card, missing=found)
    left = (
        "" if card.reaction is None else next((n for _, n in card.reaction.products if n != asked.metal), "")
    )

    def bearing(material: str) -> Bearing:
        return bearing_of(tables, card.candidate, left, material, found.looked_at)

    names = VESSELS if asked.vessel is None else (asked.vessel,)
    walls = tuple(bearing(each) for each in names if _stands(tables, each, found.looked_at) or asked.vessel)
    verdicts = [found.finding.verdict, *(each.verdict for each in card.findings.values())]
    if asked.vessel is not None:
        verdicts.append(walls[0].verdict)
    return _with(
        card, verdict=worst(verdicts), served=found, walls=walls, liners=tuple(bearing(each) for each in LINERS),
        findings={**card.findings, "window": found.finding}, missing=found.finding.missing,
    )  # fmt: skip


def _with(card: RouteCard, **changes: object) -> RouteCard:
    return replace(card, **changes)  # type: ignore[arg-type]


def _cap(tables: Tables, asked: Asked) -> float | None:
    """The hottest that the wall may get [K]; None where neither a vessel nor a temperature is named."""
    limit = service_limit(tables, asked.vessel) if asked.vessel is not None else None
    ends = [each for each in (limit, asked.hottest) if isinstance(each, float)]
    return min(ends) if ends else None


def _stands(tables: Tables, material: str, temperature: float) -> bool:
    limit = service_limit(tables, material)
    return isinstance(limit, float) and limit >= temperature
