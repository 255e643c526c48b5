# SPDX-License-Identifier: MIT
"""All that a drawing of a state shows, before it is known how large it will be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from retortwright.assess.assessment import Assessment
from retortwright.ground.arrays import Array
from retortwright.ground.words import VERDICTS
from retortwright.report.drawing.filled import Fill, fill_of
from retortwright.report.drawing.flat import Choices, Flat
from retortwright.report.drawing.marks import Mark
from retortwright.report.drawing.sayings import JointSaying, joint_saying
from retortwright.report.drawing.svg import Point
from retortwright.report.drawing.temperature_scale import TemperatureScale, scale_of_rig
from retortwright.report.drawing.vapour_view import VapourView, vapour_view
from retortwright.rig.parts import Rig
from retortwright.rig.tree import Joint, Tree
from retortwright.situation.heat import HeatPicture
from retortwright.situation.situation import Situation

__all__ = ["PlantThing", "View", "view_of"]

_ROOM = 101325.0  # Pa, from which a gauge pressure is counted


@dataclass(frozen=True, slots=True)
class PlantThing:
    """A thing of the plant: its name, its kind, what is said of it, and where it is connected."""

    name: str
    kind: str
    words: str
    instance: int
    place: float


@dataclass(frozen=True, slots=True)
class View:
    """What is drawn of a rig in a state."""

    assessment: Assessment
    situation: Situation
    state: str
    choices: Choices
    flats: tuple[Flat, ...]
    picture: HeatPicture
    middle: Array  # temperature of each cell [K], nan where it is not known
    scale: TemperatureScale
    joints: tuple[tuple[tuple[Joint, ...], JointSaying], ...]  # joints of one key, the gravest first
    plant: tuple[PlantThing, ...]
    fill: Fill
    vapour: VapourView
    marks: tuple[Mark, ...]

    @property
    def rig(self) -> Rig:
        """The rig."""
        return self.assessment.rig

    @property
    def tree(self) -> Tree:
        """Its tree."""
        return self.situation.tree

    @property
    def running(self) -> tuple[str, ...]:
        """What runs in the state."""
        return next(each.running for each in self.rig.states if each.name == self.state)

    @property
    def open(self) -> tuple[str, ...]:
        """What is open in the state."""
        return next(each.open for each in self.rig.states if each.name == self.state)

    def corners(self) -> tuple[Point, Point]:
        """The lower left and upper right of all pieces in the plane [m]."""
        xs, zs = [], []
        for flat, single in zip(self.flats, self.tree.instances, strict=True):
            half = max(single.tube_at(share * single.length).outside / 2 for share in (0.0, 0.5, 1.0))
            for x, z in flat.points:
                xs += [x - half, x + half]
                zs += [z - half, z + half]
        return (min(xs), min(zs)), (max(xs), max(zs))


def view_of(
    assessment: Assessment,
    situation: Situation,
    state: str,
    room: tuple[Choices, Sequence[Flat]],
    marks: Sequence[Mark],
) -> View:
    """The view of a state."""
    picture = situation.heat(state)
    temperature = picture.temperature
    known = np.all(np.isfinite(temperature), axis=1)
    middle = np.where(known, np.median(temperature, axis=1), np.nan)
    vapour = vapour_view(situation, state, middle)
    return View(
        assessment,
        situation,
        state,
        room[0],
        tuple(room[1]),
        picture,
        middle,
        scale_of_rig(assessment.rig, middle),
        tuple(_joints(assessment, situation.tree, picture, state, vapour.grave)),
        tuple(_plant(assessment.rig, situation.tree)),
        fill_of(situation),
        vapour,
        (*vapour.marks, *marks),
    )


def _joints(
    assessment: Assessment, tree: Tree, picture: HeatPicture, state: str, dry: bool
) -> list[tuple[tuple[Joint, ...], JointSaying]]:
    keys: Mapping[str, list[Joint]] = {joint.key: [] for joint in tree.joints}
    for joint in tree.joints:
        keys[joint.key].append(joint)
    found = [
        (tuple(joints), joint_saying(assessment, joints[0], picture, state, len(joints), dry))
        for joints in keys.values()
    ]
    order = (*VERDICTS, "")
    return sorted(found, key=lambda each: order.index(each[1].verdict))


def _plant(rig: Rig, tree: Tree) -> Iterator[PlantThing]:
    plant = rig.plant
    named = {"pump": plant.pump, "argon": plant.argon, "relief": plant.relief, "bubbler": plant.bubbler}
    for name, item in named.items():
        if item is not None:
            on = tree.index(item["on"])
            place = item.get("at")
            yield PlantThing(name, name, _said(name, item), on, _place(tree, on, place))
    for gauge in plant.gauges:
        on = tree.index(gauge.on)
        yield PlantThing(gauge.name, "gauge", f"{gauge.gauge} gauge", on, _place(tree, on, gauge.at))


def _place(tree: Tree, on: int, place: float | None) -> float:
    return tree.instances[on].length if place is None else place


def _said(name: str, item: Mapping[str, object]) -> str:
    if name == "pump":
        return str(item["kind"])
    opens, bore = item.get("opens"), item.get("bore")
    if name == "relief" and isinstance(opens, float) and isinstance(bore, float):
        return f"opens at {(opens - _ROOM) / 1e3:.3g} kPa gauge, bore {bore * 1e3:.3g} mm"
    depth = item.get("depth")
    return f"dips {depth * 1e3:.3g} mm" if isinstance(depth, float) else "argon supply"
