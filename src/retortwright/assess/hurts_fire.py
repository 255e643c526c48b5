# SPDX-License-Identifier: MIT
"""Question 8, fire: what burns where, what covers it, what catches it, who is there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retortwright.assess.check import Check, limit_from_rule
from retortwright.assess.hurts_around import (
    book,
    figure_on,
    kept_back,
    limit_of_file,
    listed,
    made,
    plain,
    rule_number,
    stated,
    words_of,
    worse_end,
)
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.situation.figure import Figure
from retortwright.situation.hazard import Fuel, fuel_of, metal_mass
from retortwright.situation.inventory import Inventory, fresh_of, inventory_of, stopped_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = ["FireNeeds", "PlaceOnFire", "agents_for", "fire_checks", "fire_needs", "metals_there", "on_fire"]


@dataclass(frozen=True, slots=True)
class PlaceOnFire:
    """What burns at one place: the most that ever lies there."""

    place: str
    kind: str
    when: str
    fuel: Fuel
    inventory: Inventory
    ledger: Ledger


@dataclass(frozen=True, slots=True)
class FireNeeds:
    """What a fire of all the metal takes: powder [kg] and room in a tray [m^3], (samples,)."""

    powder: Figure
    tray: Figure


def fire_checks(situation: Situation) -> Iterator[Check]:
    """What burns, what covers and catches it, what stands near, who is there; none where there is no charge."""
    state = hottest_state(situation.rig)
    if state is None or not situation.rig.charge:
        return
    yield _agent(situation, state)
    yield _tray(situation, state)
    yield _clear(situation, state)
    yield _people(situation, state)
    yield _burns(situation, state)  # last: it asks where the vapour lands


def on_fire(situation: Situation) -> tuple[PlaceOnFire, ...]:
    """Every place with metal in it, the hottest fire first; the pot as it is worst over the run."""
    return situation.once("places on fire", lambda: tuple(_on_fire(situation)))


def _on_fire(situation: Situation) -> list[PlaceOnFire]:
    found: dict[tuple[str, str], PlaceOnFire] = {}
    for inventory in (inventory_of(situation), stopped_of(situation), fresh_of(situation)):
        for stock in inventory.stocks:
            ledger = book(situation)
            one = PlaceOnFire(
                stock.place, stock.kind, inventory.when, fuel_of(ledger, [stock]), inventory, ledger
            )
            known = found.get((stock.place, stock.kind))
            if known is None or _heat(one) > _heat(known):
                found[stock.place, stock.kind] = one
    return sorted((each for each in found.values() if each.fuel.metals), key=_heat, reverse=True)


def _heat(one: PlaceOnFire) -> float:
    return float(np.median(one.fuel.heat))


def metals_there(situation: Situation) -> tuple[str, ...]:
    """The metals that there is more than a trace of at any time, most first."""
    ledger = book(situation)
    masses: dict[str, float] = {}
    for inventory in (inventory_of(situation), stopped_of(situation), fresh_of(situation)):
        for metal, mass in metal_mass(ledger, inventory.stocks).items():
            masses[metal] = max(masses.get(metal, 0.0), float(np.median(mass)))
    whole = sum(masses.values())
    return tuple(sorted((each for each in masses if masses[each] > 0.01 * whole), key=lambda m: -masses[m]))


def agents_for(situation: Situation) -> tuple[str, ...]:
    """The agents that serve for every metal that is there."""
    lists = [words_of(situation, metal, "agent-serves").split("; ") for metal in metals_there(situation)]
    return tuple(each for each in lists[0] if all(each in other for other in lists)) if lists else ()


def fire_needs(situation: Situation) -> FireNeeds:
    """Powder and tray for a fire of all the metal there ever is at once, made once."""
    return situation.once("fire needs", lambda: _needs(situation))


def _needs(situation: Situation) -> FireNeeds:
    ledger = book(situation)
    inventories = (stopped_of(situation), fresh_of(situation))  # all of it, wherever it lies
    volume = np.max([fuel_of(ledger, each.stocks).volume for each in inventories], axis=0)
    blanket, patch = (rule_number(ledger, "agent", name) for name in ("blanket", "patch"))
    bulk = rule_number(ledger, "tray", "bulk")
    area = np.maximum(volume / ledger.default("fire.puddle", 1e-5, 1.0), patch)
    powder = area * blanket
    said = {"volume": volume, "area": area}
    return FireNeeds(
        figure_on(inventories[0], ledger, powder, said),
        figure_on(inventories[0], ledger, powder / bulk + volume, said),
    )


# ---- the checks


def _burns(situation: Situation, state: str) -> Check:
    places, retort = on_fire(situation), situation.tree.instances[0].row.name
    limit = limit_from_rule(book(situation), "burns")
    inventory = inventory_of(situation)
    if not places:
        figure = figure_on(inventory, book(situation), np.zeros(situation.draws.size))
        because = "what is left where is not known." if inventory.missing else "no metal that burns is in it."
        return made(
            situation,
            "burns",
            state,
            f"piece.{retort}",
            "heat of what burns",
            "energy",
            figure,
            limit,
            because,
        )
    worst = places[0]
    figure = figure_on(worst.inventory, worst.ledger, worst.fuel.heat, {"mass": worst.fuel.mass})
    told = [
        f"{each.place} {_megajoules(each.fuel.heat)} ({plain(float(np.median(each.fuel.mass)) * 1e3)} g "
        f"{listed(list(each.fuel.metals[:2]))}, {each.when})"
        for each in places[:4]
    ]
    because = f"burnt to the oxides that really form: {'; '.join(told)}."
    at = f"piece.{worst.place.split('.')[0]}"
    subject = f"heat of the metal in the {worst.place} if it burns"
    return made(
        situation, "burns", state, at, subject, "energy", figure, limit, because, _fire_notes(situation)
    )


def _megajoules(heat: Array) -> str:
    return f"{plain(float(np.median(heat)) / 1e6)} MJ"


def _fire_notes(situation: Situation) -> tuple[str, ...]:
    never = dict.fromkeys(
        word
        for metal in metals_there(situation)
        for word in words_of(situation, metal, "never").split(", ")
        if word
    )
    return (f"never on it: {', '.join(never)}",) if never else ()


def _agent(situation: Situation, state: str) -> Check:
    """Powder against what stands ready; none of it counts that does not serve for every metal that is there."""
    needs, agent = fire_needs(situation).powder, situation.rig.safety.agent
    serves, wanted = (
        agents_for(situation),
        plain(worse_end(needs.values) / (1.0 - kept_back(situation, "agent"))),
    )
    kinds = " or ".join(serves) or "no one powder"
    metals = listed(list(metals_there(situation)))
    lacks = f"what stands ready against burning {metals} is not said: {wanted} kg of {kinds}, as safety.agent"
    suits = agent is not None and agent.kind in serves
    mass = None if agent is None else agent.mass if suits else 0.0
    limit = limit_of_file(situation, mass, "safety.agent", lacks, "what stands ready")
    area = plain(float(np.median(needs.said["area"])) * 1e4) if not needs.missing else "not known"
    because = (
        f"{kinds} puts out {metals}; a blanket of 25 mm over {area} cm2, and no less than a patch of 22 cm: "
        f"have {wanted} kg."
    )
    if agent is not None and not suits:
        because = f"{agent.kind} is not for {metals}: none of it counts. {because[:1].upper()}{because[1:]}"
    subject = "dry powder that a fire of all the metal takes"
    notes = ("kept dry, lid on, within two steps and not behind the rig",)
    return made(situation, "agent", state, "safety.agent", subject, "kilograms", needs, limit, because, notes)


def _tray(situation: Situation, state: str) -> Check:
    needs, tray = fire_needs(situation).tray, situation.rig.safety.tray
    wanted = plain(worse_end(needs.values) * 1e3 / (1.0 - kept_back(situation, "tray")))
    lacks = f"the steel tray under the receivers is not said: {wanted} L, as safety.tray"
    limit = limit_of_file(situation, tray, "safety.tray", lacks, "the tray")
    volume = float(np.median(needs.said["volume"])) * 1e6 if not needs.missing else float("nan")
    because = f"it holds all the metal, {plain(volume)} mL, and its powder: {wanted} L of steel, dry, no wood under it."
    return made(
        situation, "tray", state, "safety.tray", "what the tray has to hold", "litres", needs, limit, because
    )


def _clear(situation: Situation, state: str) -> Check:
    limit = limit_from_rule(book(situation), "clear")
    lacks = (
        f"the distance from the tray to what burns is not said: {limit.value:g} m at least, as safety.clear"
    )
    figure = stated(situation, situation.rig.safety.clear, "safety.clear", lacks)
    because = "burning metal sprays: no wood, paper, solvent or plastic hose nearer."
    return made(
        situation, "clear", state, "safety.clear", "room around the tray without what burns", "length", figure,
        limit, because,
    )  # fmt: skip


def _people(situation: Situation, state: str) -> Check:
    people = situation.rig.safety.people
    lacks = "how many people are there is not said: two, as safety.people"
    figure = stated(situation, None if people is None else float(people), "safety.people", lacks)
    limit = limit_from_rule(book(situation), "people")
    because = words_of(situation, "people", "says") + "."
    return made(
        situation, "people", state, "safety.people", "people while it is hot and at opening", "people", figure,
        limit, because, (words_of(situation, "burns-of-skin", "says"),),
    )  # fmt: skip
