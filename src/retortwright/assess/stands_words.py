# SPDX-License-Identifier: MIT
"""Sentences of question 5: what rules a wall, numbers first."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from retortwright.assess.closed_rows import middle_of
from retortwright.ground.arrays import Array
from retortwright.physics.constants import ATMOSPHERE
from retortwright.reference.datum import Row, curve_of
from retortwright.rig.pairing import wall_class
from retortwright.situation.figure import Figure
from retortwright.situation.hoses import needed_share
from retortwright.situation.openings import Opening
from retortwright.situation.overpressure import OverPressure
from retortwright.situation.standing import Standing
from retortwright.situation.standing_ends import is_unsaid
from retortwright.situation.swelling import Swelling
from retortwright.situation.wall_metal import LONGEST_RUNS

__all__ = [
    "CODES",
    "beyond",
    "collapse",
    "creep",
    "end",
    "hose",
    "openings",
    "over_pressure",
    "scale",
    "swelling",
]

CODES = (
    "an estimate, no calculation to a code: where pressure-equipment law or a code applies, that decides, and a "
    "proof test under pressure or vacuum behind a screen comes before heat"
)
_ZERO = 273.15
_FACTOR = 3  # on the stress in creep


def _degrees(temperature: Array) -> str:
    return f"{middle_of(temperature) - _ZERO:.0f} degC"


def _pressure(value: float) -> str:
    return f"{value / 1e6:.3g} MPa" if value >= 1e6 else f"{value / 1e3:.3g} kPa"


def _stress(values: Array) -> str:
    return f"{float(f'{middle_of(values) / 1e6:.2g}'):g} MPa"


def _said(figure: Figure) -> dict[str, Array]:
    """What is said besides, of the samples that have a number."""
    known = np.isfinite(figure.values)
    if not np.any(known):
        return dict(figure.said)
    return {name: np.where(known, values, np.nan) for name, values in figure.said.items()}


def _share(share: float) -> str:
    return f"{float(f'{share * 100:.2g}'):g} %"


def _weakness(standing: Standing) -> str:
    return "yield" if wall_class(standing.piece.of) == "metal" else "breaking in tension"


def beyond(standing: Standing, props: Sequence[str], figure: Figure) -> str:
    """Why part of the band has no number: data that end below the hottest of it, where that is so."""
    found = [standing.situation.tables.find("materials", standing.piece.of, prop) for prop in props]
    ends = [float(curve_of(row).temperature[-1]) for row in found if isinstance(row, Row)]
    if ends and np.nanmax(figure.said["hot"]) > min(ends):
        until = f"{min(ends) - _ZERO:.0f} degC"
        return f"our strength of {standing.piece.of} ends at {until} and part of the band is hotter"
    return "in part of the band its data end before its heat or its stress does"


def _size(standing: Standing, wall: Array) -> str:
    shape = "flask" if standing.piece.shape == "flask" else "tube"
    return (
        f"{standing.outside * 1e3:.4g} mm {shape} of {standing.piece.of}, {middle_of(wall) * 1e3:.2g} mm left"
    )


def collapse(standing: Standing, figure: Figure) -> str:
    """What folds a wall."""
    if figure.missing:
        return "what a vacuum does to this wall at its temperature is not known."
    said = _said(figure)
    elastic, squash, folds = (middle_of(said[name]) for name in ("elastic", "squash", "folds"))
    rules = "buckling" if elastic < squash else "yield"
    weak = _weakness(standing)
    rules = rules if rules == "buckling" else weak
    bent = "" if folds > 0.8 * min(elastic, squash) else ", brought on by its being out of round,"
    alone = f"buckling alone {_pressure(elastic)}"
    if folds < 0.995 * squash:
        alone += f", {weak} alone {_pressure(squash)}"
    return (
        f"{_size(standing, said['wall'])}, at {_degrees(said['hot'])}: {rules}{bent} governs at {_pressure(folds)} "
        f"({alone}); the air presses with {_pressure(ATMOSPHERE)}, {_share(ATMOSPHERE / folds)} of that."
    )


def hose(standing: Standing, figure: Figure) -> str:
    """What a hose wants to stay open, and what this one has."""
    tube, wants = standing.piece.tube, middle_of(figure.said["wants"])
    stiff = needed_share(standing.piece.of)
    wired = "" if stiff.startswith("stiff") else f", or a wire in it ({stiff} = 0.05 under [assume])"
    return (
        f"{standing.piece.of} of {tube.outside * 1e3:.3g} x {tube.wall * 1e3:.2g} mm, its wall "
        f"{_share(tube.wall / tube.bore)} of its bore: to stay open it wants some {_share(wants)}{wired}."
    )


def creep(standing: Standing, figure: Figure) -> str:
    """What creep does in the runs."""
    if figure.missing:
        return f"the wall gets to {_hot(standing)} under vacuum, hot enough to creep; how long it stands is not known."
    said = _said(figure)
    tube, flat = middle_of(said["stress"]), middle_of(said["end"])
    what = f"its end at {_stress(said['end'])}" if flat > tube else f"its tube at {_stress(said['stress'])}"
    life = middle_of(said["life"])
    known = "at least" if _FACTOR * max(tube, flat) < middle_of(said["least"]) or life > 9e4 else "about"
    hours = f"{known} {float(f'{life:.2g}'):.0f} h" if life >= 1 else f"{known} {life * 60:.2g} min"
    runs = middle_of(figure.values)
    sum_up = "for more runs than anyone makes" if runs >= LONGEST_RUNS else f"for {known} {_whole(runs)} runs"
    return (
        f"creep at {_degrees(said['hot'])}: {what} governs, and counts three times; there it would last "
        f"{hours}, with ramps and cooling it is good {sum_up}."
    )


def _hot(standing: Standing) -> str:
    return _degrees(standing.hot(standing.state)) if standing.state is not None else "its heat"


def _whole(runs: float) -> str:
    return f"{runs:.2g}" if runs < 10 else f"{float(f'{runs:.2g}'):.0f}"


def scale(standing: Standing, figure: Figure) -> str:
    """What scale takes off a wall."""
    if figure.missing:
        return f"how much of its wall of {standing.piece.of} scale takes in a run is not known."
    said = _said(figure)
    loss = middle_of(said["loss"])
    lost = f"{loss * 1e3:.2g} mm" if loss > 1e-6 else "less than a micrometre"
    return (
        f"in air at {_degrees(said['hot'])} a run takes {lost} of {middle_of(said['wall']) * 1e3:.2g} mm; with a fifth "
        "gone it is retired. Fire, sulphur, salt and still damp air take more."
    )


def _bears(standing: Standing, yields: Array) -> str:
    if wall_class(standing.piece.of) == "metal":
        return f"where it yields at {_stress(yields)}"
    return f"where it may bear {_stress(yields)} for years"


def end(standing: Standing, which: str, shape: str | None, figure: Figure) -> str:
    """What an end bears."""
    if figure.missing:
        return f"the {which} end is not worked out: nothing here says that it holds."
    unsaid = "not described, " if which == "bottom" and is_unsaid(standing.piece) else ""
    said = _said(figure)
    pressed = middle_of(figure.values) > 1.05 * middle_of(said["stress"] / said["yields"])
    buckles = "; buckling of its crown governs" if pressed else ""
    told = "flat, counted as carried at its rim and not held" if shape == "flat" else f"{shape}"
    left = f"{middle_of(said['wall']) * 1e3:.2g} mm left"
    return (
        f"{unsaid}{told}, {left}: {_stress(said['stress'])} under an atmosphere at "
        f"{_degrees(said['hot'])}, {_bears(standing, said['yields'])}{buckles}."
    )


def openings(standing: Standing, found: Sequence[Opening], figure: Figure) -> str:
    """What openings take from a wall and what is there to spare; what is not covered of them."""
    told = [_opening(each, figure) for each in found]
    return (
        f"the {standing.row}, {standing.outside * 1e3:.4g} mm, has {'; '.join(told)}. Creep of the weld is not in it: "
        "weld it through, keep it out of the hottest stretch, look at it after every run."
    )


def _opening(opening: Opening, figure: Figure) -> str:
    where = "on its end" if opening.at_end else "in its side"
    text = f"the {opening.row} of {opening.tube.outside * 1e3:.4g} mm {where} at {_degrees(opening.hot)}"
    mine = [each for each in figure.missing if opening.row in each.says or opening.row in each.datum]
    if mine:
        return f"{text}: {mine[0].says}"
    needed, wall, spare, taken = (
        middle_of(figure.said[f"{name} of {opening.row}"]) for name in ("needed", "wall", "spare", "taken")
    )
    return (
        f"{text}: the air wants {needed * 1e3:.2g} of {wall * 1e3:.2g} mm there, the opening takes "
        f"{taken * 1e6:.2g} mm2 of it, and {spare * 1e6:.2g} mm2 are there to spare"
    )


def over_pressure(standing: Standing, over: OverPressure) -> str:
    """What pressure inside does."""
    if over.figure.missing:
        return "how far the pressure inside rises, or what the wall bears this hot, is not known."
    said = _said(over.figure)
    why = "with the argon left on" if over.left_on else "shut in"
    by = ", held by the relief" if over.relieved else ""
    return (
        f"{_pressure(middle_of(said['gauge']))} over the room {why}{by}: {_stress(said['stress'])} around the "
        f"{standing.row} at {_degrees(said['hot'])}, {_bears(standing, said['yields'])}."
    )


def swelling(found: Swelling) -> str:
    """What unequal swelling does to a joint."""
    if found.figure.missing:
        return f"how unequally {found.walls[0]} and {found.walls[1]} swell there is not known."
    said = found.figure.said
    parts = middle_of(said["strain"]) * 100
    apart = f"{found.walls[0]} and {found.walls[1]} part by {parts:.2g} % at {_degrees(said['at'])}"
    if found.glued:
        return f"{apart}: {_stress(found.figure.values)} of shear in the glue at both ends of its lap."
    return f"{apart}: in each run one yields, and yields back on cooling."
