# SPDX-License-Identifier: MIT
"""Pressures of every gas over the charge against temperature, fresh and when enough has left."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import PurePath

import numpy as np

from retortwright.assess.assessment import Assessment
from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.report.drawing.labels import Box
from retortwright.report.drawing.plot import STYLES, Frame, Style, axis_of, key, power_axis
from retortwright.report.drawing.sheet import Head, header, wrapped
from retortwright.report.drawing.svg import INK, document, element, group, line, polygon, rectangle, text
from retortwright.situation.charge import needed_conversion
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.equilibrium import charge_equilibrium
from retortwright.situation.reaction import COLDEST, FRESH, HOTTEST, ReactionWork
from retortwright.situation.route import Route
from retortwright.situation.situation import Situation

__all__ = ["pressure_plot"]

_WIDTH, _HEIGHT = 1400.0, 860.0
_POINTS = 81
_LEAST, _MOST = -3, 6  # powers of ten of the pressure axis [Pa]
_ZERO = 273.15


@dataclass(frozen=True, slots=True)
class _Curves:
    """Pressures of each gas [Pa] against temperature [K] for one charge, or why there are none."""

    title: str
    temperature: Array
    pressures: Mapping[str, Array]
    missing: str = ""
    bands: Mapping[str, Array] = field(default_factory=dict)  # low and high end, (2, temperatures)


def pressure_plot(assessment: Assessment, state: str | None = None) -> str:
    """The SVG of the pressures over the charge; the state does not matter to them."""
    del state
    situation = assessment.situation or Situation(assessment.rig, assessment.tables, assessment.draws)
    work = ReactionWork(situation)
    charges = [_curves(situation, work, late) for late in (False, True)]
    styles = _styles(charges)
    says = (
        "An equilibrium: what can be, not how fast. Lines have every figure at its middle; bands run from the "
        f"5 to the 95 % point of {situation.draws.samples} samples."
    )
    if isinstance(work.route, Route):
        says = f"{work.route}.  {says}"
    head = Head(
        f"{PurePath(assessment.rig.path).name}, pressures over the charge",
        " ".join(caution.text for caution in assessment.cautions),
        _line(assessment),
        "",
        False,
        says,
    )
    above, top = header(head, _WIDTH)
    made, clips = [group("head", above)], []
    for number, charge in enumerate(charges):
        box = Box(92.0 + number * 560.0, top + 34, 610.0 + number * 560.0, _HEIGHT - 60)
        frame = Frame(
            box,
            axis_of(COLDEST - _ZERO, HOTTEST - _ZERO, "temperature of the charge, degC", 12),
            power_axis(_LEAST, _MOST, "pressure, Pa"),
        )
        clips.append(frame.clip(f"inside{number}"))
        made.append(group(f"plot{number}", _panel(situation, work, charge, frame, styles, number)))
    left = 1192.0
    made.append(
        group("key", [*key(list(styles.items()), (left, top + 50)), *_marks_key(left, top, len(styles))])
    )
    return document(_WIDTH, _HEIGHT, head.title, _about(charges), [element("defs", {}, *clips), *made])


def _line(assessment: Assessment) -> str:
    """What is refused; else that a picture of pressures passes no judgement."""
    if assessment.refused:
        return "DO NOT LIGHT: " + "; ".join(each.subject for each in assessment.refused) + "."
    return "No verdict is in this picture: ask retortwright assess."


def _about(charges: list[_Curves]) -> str:
    gases = sorted({gas for charge in charges for gas in charge.pressures})
    return f"Pressure against temperature of the charge, fresh and late, of: {', '.join(gases) or 'nothing'}."


def _styles(charges: list[_Curves]) -> dict[str, Style]:
    """A style for each gas, the one of most pressure first."""
    highest: dict[str, float] = {}
    for charge in charges:
        for gas, values in charge.pressures.items():
            most = float(np.nanmax(values)) if np.any(np.isfinite(values)) else 0.0
            highest[gas] = max(highest.get(gas, 0.0), most)
    seen = [
        gas for gas in sorted(highest, key=lambda gas: (-highest[gas], gas)) if highest[gas] > 10.0**_LEAST
    ]
    return dict(zip(seen, STYLES, strict=False))


def _curves(situation: Situation, work: ReactionWork, late: bool) -> _Curves:
    """The pressures with every belief at its middle."""
    grid = np.linspace(COLDEST, HOTTEST, _POINTS)
    draws = Draws(situation.draws.samples, situation.draws.seed, width=0.0, pick=(0,))
    ledger = Ledger(situation.rig, situation.tables, draws)
    title = "fresh charge"
    if isinstance(work.route, Missing):
        return _Curves(title, grid, {}, work.route.says)
    besides = work.besides()
    if besides is not None:
        return _Curves(title, grid, {}, besides.says)
    left = np.full(1, FRESH)
    if late:
        left = needed_conversion(situation, ledger)
        share = float(left[0])
        title = f"when {share * 100:.0f} % of the metal has left" if math.isfinite(share) else "later on"
    equilibrium = None if ledger.missing else charge_equilibrium(Chemistry(ledger), work.route, grid[:, None])
    if equilibrium is None:
        return _Curves(title, grid, {}, ledger.missing[0].says if ledger.missing else "not known")
    found = equilibrium.at(left).pressures
    middle = {gas: np.asarray(values)[:, 0] for gas, values in found.items()}
    return _Curves(title, grid, middle, "", _bands(situation, work.route, grid, late))


def _bands(situation: Situation, route: Route, grid: Array, late: bool) -> dict[str, Array]:
    """The low and high ends of the pressure of each gas over the samples."""
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    left = needed_conversion(situation, ledger) if late else np.full(ledger.draws.size, FRESH)
    over = grid[:, None] + np.zeros(ledger.draws.size)
    equilibrium = None if ledger.missing else charge_equilibrium(Chemistry(ledger), route, over)
    if equilibrium is None:
        return {}
    found = equilibrium.at(left).pressures
    return {gas: np.quantile(values, [TAIL, 1 - TAIL], axis=1) for gas, values in found.items()}


def _band_drawn(charge: _Curves, gas: str, style: Style, frame: Frame) -> Iterator[str]:
    """The band of one gas, where both its ends are known."""
    if gas not in charge.bands:
        return
    low, high = charge.bands[gas]
    good = np.isfinite(low) & np.isfinite(high) & (low > 0)
    way = charge.temperature[good] - _ZERO
    least = frame.up.low
    outline = [frame.to(float(t), max(float(p), least)) for t, p in zip(way, low[good], strict=True)]
    outline += [
        frame.to(float(t), max(float(p), least)) for t, p in zip(way[::-1], high[good][::-1], strict=True)
    ]
    if outline:
        yield polygon(outline, fill=style.colour, fill_opacity=0.14)


def _panel(
    situation: Situation,
    work: ReactionWork,
    charge: _Curves,
    frame: Frame,
    styles: Mapping[str, Style],
    number: int,
) -> Iterator[str]:
    yield from frame.drawn(charge.title, numbers=number == 0)
    if charge.missing:
        yield text("no curves:", (frame.box.left + 20, frame.box.top + 40), 12, "bold")
        wide = frame.box.right - frame.box.left - 40
        for down, words in enumerate(wrapped(charge.missing, wide, 11)):
            yield text(words, (frame.box.left + 20, frame.box.top + 60 + 15 * down), 11)
    inside = list(_set_point(work, frame)) + list(_useful(situation, frame))
    for order, (gas, style) in enumerate(styles.items()):
        if gas in charge.pressures:
            points = [
                (float(t) - _ZERO, float(p) if p > 0 else math.nan)
                for t, p in zip(charge.temperature, charge.pressures[gas], strict=True)
            ]
            inside += [*_band_drawn(charge, gas, style, frame), *frame.curve(points, style, shift=order)]
    yield group(f"curves{number}", inside, clip_path=f"url(#inside{number})")


def _set_point(work: ReactionWork, frame: Frame) -> Iterator[str]:
    """The band of the charge's temperature and the furnace's set-point."""
    target = work.rig.set_point(work.state) if work.state is not None else None
    if target is None:
        return
    values = work.charge_temperature(work.ledger())
    good = values[np.isfinite(values)]
    box = frame.box
    if len(good):
        low, high = (
            frame.to(float(end) - _ZERO, frame.up.low)[0] for end in np.quantile(good, [TAIL, 1 - TAIL])
        )
        yield rectangle((low, box.top), high - low, box.bottom - box.top, fill="#efe6d8")
    x = frame.to(target - _ZERO, frame.up.low)[0]
    yield line((x, box.top), (x, box.bottom), stroke=INK, stroke_width=1.2, stroke_dasharray="6 3")


def _useful(situation: Situation, frame: Frame) -> Iterator[str]:
    """The pressure from which on a product comes over at a useful rate."""
    row = situation.tables.find("rules", "pressure-late", "limit")
    if isinstance(row, Row):
        y = frame.to(frame.across.low, number_of(row).best)[1]
        yield line(
            (frame.box.left, y),
            (frame.box.right, y),
            stroke=INK,
            stroke_width=0.9,
            stroke_dasharray="2 3",
        )


def _marks_key(left: float, top: float, gases: int) -> Iterator[str]:
    """What the straight lines are."""
    down = top + 70 + 20 * gases
    yield line((left, down - 4), (left + 34, down - 4), stroke=INK, stroke_width=1.2, stroke_dasharray="6 3")
    yield text("furnace set-point", (left + 42, down), 11.5)
    yield rectangle((left, down + 10), 34, 12, fill="#efe6d8")
    yield text("the charge then", (left + 42, down + 20), 11.5)
    yield line(
        (left, down + 36), (left + 34, down + 36), stroke=INK, stroke_width=0.9, stroke_dasharray="2 3"
    )
    yield text("useful pressure", (left + 42, down + 40), 11.5)
