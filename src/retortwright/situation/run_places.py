# SPDX-License-Identifier: MIT
"""Where what comes in a run lands: the share of each piece, and the crusts where it lands solid.

The shares are those of the steady picture of wall and vapour in the state in which the charge gives its metal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.situation.crusting import crusts_of
from retortwright.situation.outlet import outlet_of
from retortwright.situation.purity_walls import share_past
from retortwright.situation.route import Route
from retortwright.situation.run_in_time import RunInTime
from retortwright.situation.takers import molar

__all__ = ["CrustCourse", "RunPlaces", "places_of_run"]

_THIRD_LEFT = 8.0 / 9.0  # of a bore is filled when a third of its width is left
_COUNTS = 5e-4  # share of the metal from which on a piece is told


@dataclass(frozen=True, slots=True)
class CrustCourse:
    """The crust on one piece: what of the bore is full when all has come, and the bore [m]."""

    piece: str
    place: float  # m along it
    bore: float
    full: Array

    def thickness(self, gone: Array) -> Array:
        """When a share of what comes has gone [m]; half the bore where it is shut."""
        return np.asarray(self.bore / 2 - self.free(gone) / 2)

    def free(self, gone: Array) -> Array:
        """The bore left open [m]."""
        return np.asarray(self.bore * np.sqrt(np.clip(1.0 - self.full * gone, 0.0, 1.0)))


@dataclass(frozen=True, slots=True)
class RunPlaces:
    """Shares by piece, (samples,), and the crusts."""

    shares: Mapping[str, Array]
    lost: Array  # share that goes on towards the pump
    past: Mapping[str, Array]  # share of reductant and salt that gets past the walls before the metal lands
    crusts: tuple[CrustCourse, ...]


def places_of_run(run: RunInTime) -> RunPlaces:
    """The places of a run whose vapour meets no argon."""
    crossing = run.crossing
    vapour, mesh, tree = crossing.vapour, crossing.mesh, crossing.tree
    parts = np.bincount(vapour.same) / len(vapour.same)
    shares: dict[str, Array] = {}
    for landing, part in zip(vapour.landings, parts, strict=True):
        own = landing.landed / landing.entering
        for name in dict.fromkeys(tree.instances[n].row.name for n in mesh.instance[landing.cells]):
            here = [tree.instances[n].row.name == name for n in mesh.instance[landing.cells]]
            shares[name] = shares.get(name, 0.0) + part * np.sum(own[here], axis=0)
    outlet = outlet_of(crossing)
    lost = np.zeros(crossing.situation.draws.size)
    if outlet is not None:
        lost = np.clip(outlet.passed / np.maximum(vapour.entering, 1e-300), 0.0, 1.0)
    told = {name: share for name, share in shares.items() if float(np.median(share)) > _COUNTS}
    crusts = tuple(
        CrustCourse(each.row, each.place, each.bore, each.thickness.said["fullest"] * _THIRD_LEFT)
        for each in crusts_of(crossing)
    )
    return RunPlaces(told, np.asarray(lost), _past(run), crusts)


def _past(run: RunInTime) -> dict[str, Array]:
    """The share of what comes along that walls warmer than the dew point of the metal cannot catch.

    A wall that is colder than the dew point of the trace takes up what diffuses to it; by the mean of the run.
    """
    crossing, found = run.crossing, {}
    route = crossing.charge.route
    if not isinstance(route, Route):
        return {}
    for what, formula in (("reductant", route.reductant), ("salt", route.salt)):
        if what not in run.parts.besides:
            continue
        trial = crossing.plain_ledger()
        ratio = run.parts.besides[what][-1] / molar(trial, formula) / run.parts.comes
        share = share_past(crossing, trial, formula, ratio)
        if not trial.missing:
            run.ledger.used |= trial.used
            run.ledger.cites |= trial.cites
            found[what] = share
    return found
