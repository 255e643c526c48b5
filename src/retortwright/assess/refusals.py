# SPDX-License-Identifier: MIT
"""What is refused before anything is sized: routes that are never lit, and rigs that are never heated.

A refusal is no finding: it has no band and no margin. It withholds the questions whose answers
would presuppose what it forbids. Each entry of REFUSALS is one kind of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from retortwright.assess.finding import Finding, judged
from retortwright.assess.refusal import Refusal
from retortwright.assess.refused_agent import refuse_agent
from retortwright.assess.refused_apparatus import refuse_closed, refuse_materials, refuse_thin_can
from retortwright.assess.refused_gas import (
    refuse_blind_backfill,
    refuse_nitrogen_in_flow,
    refuse_water_on_glass,
)
from retortwright.belief.believed import Ledger
from retortwright.ground.formula import elements_of
from retortwright.reference.compounds import REDUCING, class_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.reference.tables import Tables
from retortwright.rig.parts import Rig
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.route import molar_mass
from retortwright.situation.route_enthalpy import heat_of, species_unknown
from retortwright.situation.route_reaction import Reaction, reaction_of
from retortwright.situation.situation import Situation

__all__ = ["OF_THE_CHARGE", "REFUSALS", "Advice", "advice_of", "refusals_of", "withheld"]

OF_THE_CHARGE = (1, 2, 3, 10)  # questions that presuppose that the charge is lit


@dataclass(frozen=True, slots=True)
class Advice:
    """A route that is not refused but has to be minded: said among the cautions."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class _Substance:
    """Something in the charge, reagent or impurity: its class and the most it can be of the whole charge."""

    formula: str
    key: str
    kind: str
    share: float
    of: str  # the reagent that it is in, empty for a reagent


@dataclass(frozen=True, slots=True)
class _Match:
    """A class of route that a charge falls under: with what, and by what partners."""

    subject: str
    salt: _Substance
    partners: tuple[_Substance, ...]


def refusals_of(situation: Situation) -> tuple[Refusal, ...]:
    """Everything that is refused of a rig, each once."""
    found = (each for refuse in REFUSALS.values() for each in refuse(situation))
    return tuple({each.id: each for each in found}.values())


def advice_of(situation: Situation) -> tuple[Advice, ...]:
    """What is flagged in the charge and not refused."""
    tables = situation.tables
    refused = {match.salt.key for match in _matches(situation.rig, tables, "refused")}
    found = {}
    for match in _matches(situation.rig, tables, "flagged"):
        if match.salt.key not in refused:
            says, do = (_text(tables, match.subject, name) for name in ("says", "do"))
            row = tables.rows["routes", match.subject, "says"]
            found[match.subject, match.salt.key] = Advice(
                f"{_named(match)}: {says}. {_capital(do)}.", row.source
            )
    return tuple(found.values())


def withheld(findings: Iterable[Finding], refused: tuple[Refusal, ...]) -> tuple[Finding, ...]:
    """The findings; those of a question that a refusal covers without number or verdict, with the reason."""
    by_question = {question: each for each in reversed(refused) for question in each.withholds}
    return tuple(
        _withheld(finding, by_question[finding.question]) if finding.question in by_question else finding
        for finding in findings
    )


def _withheld(finding: Finding, refusal: Refusal) -> Finding:
    what = "the charge" if refusal.withholds == OF_THE_CHARGE else refusal.subject
    return replace(
        finding,
        judgement=judged(np.full(1, np.nan), 0.0, 0.0, "high"),
        because="",
        missing=Missing(refusal.id, f"withheld: {what} is refused, see {refusal.id}"),
        driver=None,
        next=None,
        mend=(),
        inputs=(),
        cites=refusal.cites,
        sources=refusal.sources,
        notes=(),
    )


def _routes(situation: Situation) -> Iterator[Refusal]:
    """Classes of salt with classes of reductant."""
    tables = situation.tables
    for match in _matches(situation.rig, tables, "refused"):
        rows = [tables.rows[key] for key in tables.rows if key[:2] == ("routes", match.subject)]
        ledger = Ledger(situation.rig, tables, situation.draws)
        because = "; ".join(part for part in (_heat(ledger, match), _amount(tables, match)) if part)
        yield Refusal(
            match.subject,
            match.salt.key.removeprefix("charge."),
            match.salt.key,
            f"{_named(match)}: {_text(tables, match.subject, 'called')}",
            _text(tables, match.subject, "says"),
            because,
            _text(tables, match.subject, "do"),
            OF_THE_CHARGE,
            tuple(sorted({row.source for row in rows})),
            frozenset(row.address for row in rows) | frozenset(ledger.cites),
        )


def _matches(rig: Rig, tables: Tables, verdict: str) -> Iterator[_Match]:
    """The classes of one verdict that the charge falls under, each with the salt that it does so by."""
    substances = list(_substances(rig, tables))
    present = {element for each in substances for element in elements_of(each.formula)}
    for subject in tables.subjects("routes", "verdict"):
        if _text(tables, subject, "verdict") != verdict:
            continue
        salts, partners, of, near = (
            _listed(tables, subject, name) for name in ("salt", "with", "of", "near")
        )
        trace = number_of(tables.rows["routes", subject, "trace"]).best
        if near and not present & set(near):
            continue
        enough = [each for each in substances if each.share > trace]
        for salt in (each for each in enough if each.kind in salts and _is_of(each, of)):
            found = tuple(each for each in enough if each is not salt and _is_partner(tables, each, partners))
            if found or partners == ("alone",):
                yield _Match(subject, salt, found)


def _is_of(salt: _Substance, elements: tuple[str, ...]) -> bool:
    """Whether a salt is one of the elements that its class names, if it names any."""
    return not elements or bool(set(elements) & set(elements_of(salt.formula)))


def _is_partner(tables: Tables, substance: _Substance, partners: tuple[str, ...]) -> bool:
    """Whether a substance takes oxygen or a halogen away in the way that a class asks for."""
    if substance.kind not in REDUCING:
        return False
    elements = set(elements_of(substance.formula))
    if "reactive-metal" in partners and elements & set(_listed(tables, "reactive-metal", "elements")):
        return True
    return "any" in partners or substance.kind in partners or substance.formula in partners


def _substances(rig: Rig, tables: Tables) -> Iterator[_Substance]:
    """Reagents and what they contain, with the high end of what is stated."""
    whole = sum(each.mass.best for each in rig.charge)
    for each in rig.charge:
        key, share = f"charge.{each.formula}", each.mass.best / whole
        yield _Substance(each.formula, key, class_of(tables, each.formula), share, "")
        for name, band in each.contains.items():
            most = share * band.high
            yield _Substance(name, f"{key}.contains.{name}", class_of(tables, name), most, each.formula)


def _listed(tables: Tables, subject: str, name: str) -> tuple[str, ...]:
    row = tables.rows.get(("routes", subject, name))
    return () if row is None else tuple(row.data.split("; "))


def _text(tables: Tables, subject: str, name: str) -> str:
    return tables.rows["routes", subject, name].data


def _named(match: _Match) -> str:
    """The salt, where it is, and what it meets."""
    inside = f" in the {match.salt.of}" if match.salt.of else ""
    others = dict.fromkeys(each.formula for each in match.partners if each.formula != match.salt.of)
    partners = " and ".join(others)
    return f"{match.salt.formula}{inside}" + (f" with {partners}" if partners else "")


def _heat(ledger: Ledger, match: _Match) -> str:
    """The reaction and its heat, where our tables have all of it; else the heat of the class."""
    tables, salt = ledger.tables, match.salt.formula
    single = [each for each in match.partners if len(elements_of(each.formula)) == 1]
    if single:
        own = ledger.rig.aim.metal if ledger.rig.aim.metal in elements_of(salt) else None
        reaction = reaction_of(tables, salt, max(single, key=lambda each: each.share).formula, own)
        if isinstance(reaction, Reaction) and not species_unknown(tables, reaction.formulas):
            return _heat_of(ledger, reaction)
    row = ledger.row("routes", match.subject, "heat") if _has_heat(tables, match.subject) else None
    if row is None:
        return ""
    band = number_of(row)
    low, high = band.low / 1e6, band.high / 1e6
    return f"salts of this class set free {low:.2g} to {high:.2g} kJ a gram"


def _has_heat(tables: Tables, subject: str) -> bool:
    return isinstance(tables.find("routes", subject, "heat"), Row)


def _heat_of(ledger: Ledger, reaction: Reaction) -> str:
    """Heat by the mole of salt and by the gram of what reacts, and the gas."""
    heat = -float(np.median(heat_of(Chemistry(ledger), reaction)))
    mass = sum(number * molar_mass(ledger.tables, name) for number, name in reaction.reactants)
    number, salt = reaction.reactants[0]
    verb = "sets free" if heat > 0 else "takes in"
    a_gram = abs(heat) / mass / 1e6
    return f"{reaction} {verb} {abs(heat) / number / 1e3:.0f} kJ per mole of {salt}, {a_gram:.2g} kJ a gram"


def _amount(tables: Tables, match: _Match) -> str:
    """How much of the charge an impurity is, and how little of it is let pass."""
    if not match.salt.of:
        return ""
    trace = number_of(tables.rows["routes", match.subject, "trace"]).best
    passes = f"{trace * 100:.2g} % is let pass" if trace else "none is let pass"
    return f"it is up to {match.salt.share * 100:.2g} % of the whole charge, {passes}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


REFUSALS: dict[str, Callable[[Situation], Iterator[Refusal]]] = {
    "routes": _routes,
    "blind-backfill": refuse_blind_backfill,
    "nitrogen-in-flow": refuse_nitrogen_in_flow,
    "water-on-glass": refuse_water_on_glass,
    "heated-closed": refuse_closed,
    "thin-can": refuse_thin_can,
    "materials": refuse_materials,
    "wrong-agent": refuse_agent,
}
