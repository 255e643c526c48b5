# SPDX-License-Identifier: MIT
"""What the walls between the retort and the receivers keep: a film that cannot be chased out, or scraped off."""

from __future__ import annotations

import math

import numpy as np

from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, Row
from retortwright.reference.tables import Tables
from retortwright.rig.tree import Instance, Tree

__all__ = ["held_back", "is_scraped", "receivers_of", "wetted"]

_STEPS = 200  # along a piece whose bore changes


def receivers_of(tree: Tree) -> list[int]:
    """The single pieces that receive."""
    return [number for number, single in enumerate(tree.instances) if single.row.receives is not None]


def is_scraped(tables: Tables, metal: str) -> bool:
    """Whether a metal lands solid, so that it is scraped off where another drains."""
    row = tables.find("metals", metal, "lands")
    return isinstance(row, Row) and row.data == "solid"


def wetted(tree: Tree, scraped: bool = False) -> dict[int, tuple[float, float]]:
    """From where to where the vapour or the metal passes along each piece [m]: retort to receivers.

    The retort itself is hot and keeps none. Of a receiver only the neck counts, as far as the place
    where it is closed off; where it is closed off nowhere and the metal is scraped out of it, all of it
    counts. Arms to pump, argon and gauges are no way of the metal.
    """
    ways: dict[int, float] = {}
    for number in receivers_of(tree):
        single = tree.instances[number]
        receives = single.row.receives
        neck = receives.at if receives is not None else None
        if neck is None:
            neck = single.length if scraped else 0.0
        ways[number] = max(ways.get(number, 0.0), min(neck, single.length))
        while single.parent > 0:
            ways[single.parent] = max(ways.get(single.parent, 0.0), single.at)
            single = tree.instances[single.parent]
    return {number: (0.0, end) for number, end in sorted(ways.items()) if end > 0.0}


def _inside(single: Instance, start: float, end: float) -> float:
    """Inner surface of a stretch of a piece [m^2]."""
    if single.row.shape == "tube" and single.row.tapers_to is None:
        return math.pi * single.row.tube.bore * (end - start)
    edges = np.linspace(start, end, _STEPS + 1)
    bores = [single.tube_at(float(place)).bore for place in edges]
    widths = np.hypot(np.diff(edges), np.diff(bores) / 2)
    return float(np.sum(np.pi * (np.array(bores[1:]) + np.array(bores[:-1])) / 2 * widths))


def held_back(tree: Tree, ledger: Ledger, metal: str) -> tuple[Array, dict[str, Array]]:
    """Mass of metal that the walls keep [kg], in all and by piece."""
    scraped = is_scraped(ledger.tables, metal)
    film = ledger.default("hold-up.scraped" if scraped else "film.thickness", 0.0, 0.01)
    density = ledger.sampled(f"density.{metal}", "charges", metal, "density", 10.0, 3e4)
    places: dict[str, Array] = {}
    if not receivers_of(tree):
        says = "no piece of the rig receives the metal: give the receiver the key `receives`"
        ledger.missing.append(Missing("piece.receives", says))
    for number, (start, end) in wetted(tree, scraped).items():
        name = f"on {tree.instances[number].row.name}"
        kept = film * density * _inside(tree.instances[number], start, end)
        places[name] = places.get(name, 0.0) + kept
    return np.asarray(sum(places.values(), np.zeros(ledger.draws.size))), places
