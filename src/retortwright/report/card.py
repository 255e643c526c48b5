# SPDX-License-Identifier: MIT
"""The card for the fire, the opening and the quench: one page to hang beside the rig, as text and as JSON."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from retortwright.assess.cautions import cautions_of
from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding
from retortwright.assess.hurts_around import book, listed, plain, rule_number, words_of
from retortwright.assess.hurts_fire import agents_for, fire_needs, metals_there, on_fire
from retortwright.assess.hurts_opening import (
    alcohol_for,
    argon_volume,
    gas_litres,
    ignites,
    opening_time,
    quench_plan,
)
from retortwright.assess.hurts_room import water_says
from retortwright.assess.hurts_you import QUESTION, around_checks
from retortwright.assess.refusals import refusals_of
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Row
from retortwright.report.made_by import made_by, rig_document
from retortwright.situation.inventory import Stock, inventory_of, landing_known, stopped_of
from retortwright.situation.situation import Situation
from retortwright.situation.takers import molar

__all__ = ["card_findings", "card_json", "card_text", "never_on", "statements_of"]

_WIDTH = 100
_SHOWN = 1e-5  # kg: what there is less of is left out
_SAYS = "says"


def card_findings(situation: Situation) -> tuple[Finding, ...]:
    """The findings about fire, opening, room and people."""
    return situation.once(
        "card findings",
        lambda: tuple(finding_of(situation, each, QUESTION) for each in around_checks(situation)),
    )


def card_text(situation: Situation, edits: Sequence[str] = ()) -> str:
    """The page."""
    lines = _wrapped(words_of(situation, "law-first", _SAYS))
    for each in cautions_of(situation):
        lines += textwrap.wrap(each.text, _WIDTH)
    named = f"{situation.rig.path}{'  with ' if edits else ''}{', '.join(edits)}"
    lines += ["", f"{named}     card for fire, opening and quench", ""]
    for refusal in refusals_of(situation):
        lines += _wrapped(f"REFUSED  {refusal.subject}: {refusal.says}. Instead {refusal.do}.")
    end = f"Whether it will work and whether it will hurt: retortwright assess {situation.rig.path}"
    if not situation.rig.charge:
        return "\n".join([*lines, "There is no charge: nothing burns and nothing is quenched.", "", end]) + "\n"
    for title, body in (
        ("What lies where after the run", _inventory(situation)),
        ("Fire", _fire(situation)),
        ("Opening", _opening(situation)),
        ("Quench and waste", _quench(situation)),
        ("Marked", _marked(situation)),
        ("Not settled", _open_points(situation)),
    ):
        told = list(body)
        lines += [title, *(line for each in told for line in _wrapped(each)), ""] if told else []
    return "\n".join([*lines, end]) + "\n"


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, subsequent_indent="  ", break_on_hyphens=False)


def _band(values: Array, factor: float = 1.0) -> str:
    """A middle, with its ends where they are others."""
    low, best, high = (plain(float(each) * factor) for each in np.quantile(values, [TAIL, 0.5, 1 - TAIL]))
    return best if low == high else f"{best} ({low} to {high})"


# ---- inventory


def _masses(situation: Situation, stock: Stock) -> dict[str, Array]:
    """Mass of each substance [kg], most first, without what there is next to nothing of."""
    ledger = book(situation)
    found = {formula: moles * molar(ledger, formula) for formula, moles in stock.moles.items()}
    shown = {formula: mass for formula, mass in found.items() if float(np.median(mass)) >= _SHOWN}
    return dict(sorted(shown.items(), key=lambda item: -float(np.median(item[1]))))


def _inventory(situation: Situation) -> Iterator[str]:
    inventory = inventory_of(situation)
    if inventory.missing:
        yield f"not known: {inventory.missing[0].says}"
        return
    for stock in inventory.stocks:
        masses = _masses(situation, stock)
        if masses:
            told = [f"{formula} {_band(mass, 1e3)} g" for formula, mass in masses.items()]
            yield f"{stock.place} ({_KINDS[stock.kind]}): {', '.join(told)}"
    pot = _masses(situation, stopped_of(situation).stocks[0])
    metal = situation.rig.aim.metal
    if metal in pot:
        yield f"if it stops half-way all of it may still be in the pot: {metal} {_band(pot[metal], 1e3)} g"
    if not landing_known(situation):
        yield "where vapour lands is not known: all but a film on the way counts in the receivers"
    if "leak" not in situation.rig.assume:
        yield "nitride is not in it: nobody measured the leak"


_KINDS = {
    "pot": "pot",
    "line": "on its walls",
    "receiver": "receiver",
    "cold end": "cold end, takes fire in air",
    "pump side": "toward the pump",
}


# ---- fire


def _fire(situation: Situation) -> Iterator[str]:
    for each in on_fire(situation)[:4]:
        if float(np.median(each.fuel.mass)) < _SHOWN:
            continue
        yield (
            f"{each.place}: {_band(each.fuel.heat, 1e-6)} MJ from {_band(each.fuel.mass, 1e3)} g of "
            f"{listed(list(each.fuel.metals))}, {each.when}"
        )
    needs, safety = fire_needs(situation), situation.rig.safety
    kinds = " or ".join(agents_for(situation)) or "no one powder: ask the fire service"
    if not needs.powder.missing:
        stands = (
            "" if safety.agent is None else f"; {plain(safety.agent.mass)} kg {safety.agent.kind} stand ready"
        )
        yield f"cover with {_band(needs.powder.values)} kg {kinds}{stands}; leave it covered until it is cold"
        yield f"steel tray of {_band(needs.tray.values, 1e3)} L under the receivers"
    ledger = book(situation)
    clear = rule_number(ledger, "clear", "limit")
    yield f"{plain(clear)} m clear of all that burns. {words_of(situation, 'people', _SAYS).capitalize()}"
    yield f"NEVER on it: {', '.join(never_on(situation))}"
    yield f"{water_says(situation)}."
    yield f"wear {words_of(situation, 'ppe', _SAYS)}. Burns: {words_of(situation, 'burns-of-skin', _SAYS)}"


def never_on(situation: Situation) -> tuple[str, ...]:
    """What never goes on any of the metals that are there."""
    words = (
        word
        for metal in metals_there(situation)
        for word in words_of(situation, metal, "never").split(", ")
        if word
    )
    return tuple(dict.fromkeys(words))


# ---- opening, quench, waste


def _opening(situation: Situation) -> Iterator[str]:
    figure, cold = opening_time(situation)
    if figure is not None:
        yield (
            f"every wall below {cold - 273.15:.0f} degC: {_band(figure.values, 1 / 3600)} h after the furnace is off; "
            f"then {plain(argon_volume(situation) * 1e3)} L of argon; face away from the first crack, behind the screen"
        )
    yield from ignites(situation)
    for metal in metals_there(situation):
        for name in ("crust", "nitrogen", "fine", "poison", "graphite"):
            said = words_of(situation, metal, name)
            if said:
                yield f"{metal}: {said}"


def _quench(situation: Situation) -> Iterator[str]:
    plan = quench_plan(situation)
    yield words_of(situation, "quench", "hand-in")
    if not plan.time.missing:
        yield (
            f"else {alcohol_for(situation)} first, in {plain(plan.solvent * 1e3)} L of dry inert solvent: "
            f"{_band(plan.quench.heat, 1e-3)} kJ, {listed(list(gas_litres(plan.quench)))}, at least "
            f"{_band(plan.time.values, 1 / 3600)} h; gas at the fastest {_band(plan.fastest.values, 6e4)} L/min, "
            f"hood over {plain(_hood(situation))} m3/h"
        )
        if plan.quench.unsaid:
            yield f"no heat in our tables, counted as metal: {', '.join(plan.quench.unsaid)}"
    yield words_of(situation, "quench", "how")
    yield words_of(situation, "quench", "never")
    if "Na" in metals_there(situation):
        yield words_of(situation, "quench", "slow")
    yield words_of(situation, "waste", _SAYS)
    yield words_of(situation, "law-fire", _SAYS)
    yield words_of(situation, "law-pressure", _SAYS)


def _hood(situation: Situation) -> float:
    """What the hood has to draw at the least [m^3/h]."""
    most = float(np.quantile(quench_plan(situation).fastest.values, 1 - TAIL))
    return most / rule_number(book(situation), "quench-hydrogen", "limit") * 3600


# ---- statements


def statements_of(situation: Situation) -> dict[str, Row]:
    """The row of statements of each substance that is there after the run, or was weighed in."""
    inventory = inventory_of(situation)
    present = dict.fromkeys(
        [*inventory.weighed, *(name for stock in inventory.stocks for name in stock.moles)]
    )
    rows = {each: situation.tables.find("hazards", each, "statements") for each in present}
    return {each: row for each, row in rows.items() if isinstance(row, Row)}


def _marked(situation: Situation) -> Iterator[str]:
    rows = statements_of(situation)
    told = [
        f"{each} {' '.join(row.data.split())}{'' if row.known == 'seen' else '*'}"
        for each, row in rows.items()
    ]
    if told:
        yield f"{'; '.join(told)}{_STAR if any(row.known != 'seen' for row in rows.values()) else ''}"
        codes = dict.fromkeys(code for row in rows.values() for code in row.data.split())
        yield "; ".join(f"{code} {words_of(situation, code, 'means')}" for code in codes)
        yield f"prevention {words_of(situation, 'prevention', 'codes')}"


_STAR = "   (* from memory: read the sheet of your supplier)"


def _open_points(situation: Situation) -> Iterator[str]:
    for each in card_findings(situation):
        if each.verdict == "unknown" and each.missing is not None:
            yield f"unknown  {each.missing.says}"
        elif each.verdict in ("fails", "thin"):
            yield f"{each.verdict.upper()}  {each.subject}: {each.because}"


# ---- JSON


def card_json(situation: Situation, edits: Sequence[tuple[str, str]] = ()) -> str:
    """The same as JSON; masses in kg, heats in J, times in s, volumes in m^3, flows in m^3/s."""
    rig, draws, inventory = situation.rig, situation.draws, inventory_of(situation)
    document = {
        "form": 1,
        "made_by": made_by(situation.tables, draws),
        "rig": rig_document(rig, edits),
        "first": words_of(situation, "law-first", _SAYS),
        "cautions": [{"text": each.text, "source": each.source} for each in cautions_of(situation)],
        "refused": [{"id": each.id, "says": each.says, "do": each.do} for each in refusals_of(situation)],
        "inventory": [_stock(situation, each) for each in inventory.stocks],
        "missing": [{"datum": each.datum, "says": each.says} for each in inventory.missing],
        **_fire_document(situation),
        **_after_document(situation),
        "findings": [
            {
                "id": each.id,
                "verdict": each.verdict,
                "because": each.because,
                "missing": None if each.missing is None else each.missing.says,
            }
            for each in card_findings(situation)
        ],
    }
    return json.dumps(document, indent=2, allow_nan=False, ensure_ascii=False) + "\n"


def _fire_document(situation: Situation) -> dict[str, Any]:
    """What burns, and what it takes."""
    needs = fire_needs(situation)
    return {
        "fire": [
            {
                "place": each.place,
                "when": each.when,
                "heat_J": _ends(each.fuel.heat),
                "mass_kg": _ends(each.fuel.mass),
                "metals": list(each.fuel.metals),
            }
            for each in on_fire(situation)
        ],
        "agents": list(agents_for(situation)),
        "agent_kg": _ends(needs.powder.values),
        "tray_m3": _ends(needs.tray.values),
        "never": list(never_on(situation)),
    }


def _after_document(situation: Situation) -> dict[str, Any]:
    """Opening, quench, statements."""
    plan, (opening, cold) = quench_plan(situation), opening_time(situation)
    return {
        "opening": {
            "below_K": cold,
            "after_s": None if opening is None else _ends(opening.values),
            "argon_m3": _finite(argon_volume(situation)),
            "ignites": list(ignites(situation)),
        },
        "quench": {
            "alcohol": alcohol_for(situation),
            "heat_J": _ends(plan.quench.heat),
            "gases_mol": {gas: _ends(moles) for gas, moles in plan.quench.gases.items()},
            "least_s": _ends(plan.time.values),
            "fastest_m3_s": _ends(plan.fastest.values),
            "solvent_m3": _finite(plan.solvent),
        },
        "statements": {
            each: {"codes": row.data.split(), "known": row.known, "source": row.source}
            for each, row in statements_of(situation).items()
        },
    }


def _stock(situation: Situation, stock: Stock) -> dict[str, Any]:
    masses = _masses(situation, stock)
    return {
        "place": stock.place,
        "kind": stock.kind,
        "kg": {formula: _ends(mass) for formula, mass in masses.items()},
    }


def _ends(values: Array) -> list[float] | None:
    """Low end, best and high end; None where a sample has no number."""
    if not np.all(np.isfinite(values)):
        return None
    return [float(f"{float(each):.6g}") for each in np.quantile(values, [TAIL, 0.5, 1 - TAIL])]


def _finite(value: float) -> float | None:
    return float(f"{value:.6g}") if np.isfinite(value) else None
