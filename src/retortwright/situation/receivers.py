# SPDX-License-Identifier: MIT
"""The room of the receivers beyond the place where they are closed off, and the liquid that comes."""

from __future__ import annotations

import math

import numpy as np

from retortwright.rig.tree import Instance, Tree
from retortwright.situation.crossing import Crossing
from retortwright.situation.figure import Figure
from retortwright.situation.holdup import receivers_of

__all__ = ["receiver_rows", "receiver_volume", "ullage"]

_STEPS = 400


def receiver_rows(tree: Tree) -> dict[str, list[int]]:
    """The single receivers by the row they stand in."""
    found: dict[str, list[int]] = {}
    for number in receivers_of(tree):
        found.setdefault(tree.instances[number].row.name, []).append(number)
    return found


def receiver_volume(tree: Tree, number: int) -> float:
    """Volume of a receiver from where it is closed off to its far end, and of what goes on below that [m^3]."""
    below = [
        child
        for child in tree.children(number)
        if tree.instances[child].at_end and tree.instances[child].row.slope <= 0.0
    ]
    own = _beyond_neck(tree.instances[number])
    return own + sum(tree.instances[child].volume for child in below)


def _beyond_neck(single: Instance) -> float:
    receives = single.row.receives
    neck = receives.at if receives is not None and receives.at is not None else 0.0
    if neck <= 0.0:
        return single.volume
    if single.row.shape == "tube" and single.row.tapers_to is None:
        return math.pi / 4 * single.row.tube.bore**2 * (single.length - neck)
    edges = np.linspace(neck, single.length, _STEPS + 1)
    middles = (edges[1:] + edges[:-1]) / 2
    bores = np.array([single.tube_at(float(place)).bore for place in middles])
    return float(np.sum(np.pi / 4 * bores**2 * np.diff(edges)))


def ullage(crossing: Crossing, row: str) -> Figure:
    """The share of one receiver of a row that is full where it takes as much as it can get; full at most.

    Said besides: the volume that comes, that of one receiver, and the share where all take alike.
    """
    rows = receiver_rows(crossing.tree)
    smallest = min(receiver_volume(crossing.tree, number) for number in rows[row])
    whole = sum(receiver_volume(crossing.tree, n) for numbers in rows.values() for n in numbers)
    product = crossing.charge.product()
    ledger = crossing.plain_ledger()
    ledger.used |= {belief.name: belief for belief in product.inputs}
    ledger.cites |= product.cites
    ledger.missing += list(product.missing)
    melting = crossing.melting(ledger)
    walls = [
        np.max(crossing.heat.temperature[crossing.mesh.first[n] : crossing.mesh.last[n] + 1], axis=0)
        for n in rows[row]
    ]
    density = crossing.liquid_density(ledger, np.fmax(np.max(walls, axis=0), melting))
    volume = product.values / density
    said = {
        "volume": volume,
        "one": np.full(ledger.draws.size, smallest),
        "even": volume / whole,
        "mass": product.values,
    }
    return crossing.figure(ledger, np.minimum(volume / smallest, 1.0), said)
