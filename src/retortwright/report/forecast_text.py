# SPDX-License-Identifier: MIT
"""A forecast as plain text: cautions, one table by time, what happens when, what is not known."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.report.digits import face_of, shown_band
from retortwright.report.forecast_rows import Told, not_known, rows_shown
from retortwright.report.text_report import WIDTH, refusal_lines
from retortwright.situation.forecast import EVENTS, Forecast, Moment
from retortwright.situation.forecast_limits import LIMITS
from retortwright.situation.run_gauges import Shown

__all__ = ["forecast_text"]

_OFTEN = 0.95  # share of the samples from which on a thing is said without its share
_LEAST = {"mass": 1e-9, "amount": 1e-9}  # kg and mol: what there is less of at the most is no figure
_SEEN = 1e-8  # kg/s, from which on a stream is worth a number: some 0.6 mg/min
_COLUMNS = (8, 12, 18, 23, 10, 8, 8)  # letters
_BOUNDS = {
    "cold": "too cold",
    "reaction": "reaction",
    "surface": "surface",
    "line": "line",
    "heat": "heat",
    "plug": "PLUG",
    "spent": "spent",
}


def forecast_text(told: Told) -> str:
    """The text of a forecast."""
    lines = [wrapped for caution in told.cautions for wrapped in textwrap.wrap(caution.text, WIDTH)]
    lines += ["", _headline(told), ""]
    known = told.known
    if known is None:
        return "\n".join([*lines, *_stopped(told)]) + "\n"
    lines += _table(told, known)
    lines += ["", "What happens when (from the start of the programme)"]
    lines += [line for moment in known.moments for line in _moment(known, moment)]
    lines += ["", *_besides(known), "", "Not known"]
    for missing in not_known(told, known):
        lines += _paragraph(f"{missing.says}.")
    for note in known.notes:
        lines += _paragraph(f"{note}.")
    return "\n".join([*lines, "", *_deeper(told)]) + "\n"


def _headline(told: Told) -> str:
    draws = told.situation.draws
    edits = "".join(f"  with {key}={value}" for key, value in told.edits)
    drawn = f"{draws.samples} samples, seed {draws.seed}, bands 5 to 95 %"
    return f"{told.situation.rig.path}{edits}     forecast of its programme     {drawn}"


def _stopped(told: Told) -> list[str]:
    """Why there is no forecast."""
    if told.refused:
        lines = ["DO NOT LIGHT: no forecast is made of what is refused.", ""]
        for refusal in told.refused:
            lines += refusal_lines(refusal)
        return [*lines, "", *_deeper(told)]
    missing = told.forecast
    assert isinstance(missing, Missing)
    lines = ["CANNOT SAY: one thing that is not known stops the forecast.", ""]
    lines += textwrap.wrap(
        f"unknown  {missing.says}.", WIDTH, initial_indent="   ", subsequent_indent=" " * 12
    )
    lines += textwrap.wrap(f"at      {missing.datum}", WIDTH, initial_indent=" " * 12)
    return [*lines, "", *_deeper(told)]


def _deeper(told: Told) -> list[str]:
    return [f"Whether it will work and whether it will hurt: retortwright assess {told.situation.rig.path}"]


def _table(told: Told, known: Forecast) -> list[str]:
    sides = [next((each for each in known.gauges if each.hot_side == hot), None) for hot in (True, False)]
    heads = ["h:min", "step", "charge degC", f"{known.metal} come over g", "g/min"]
    heads += [_gauge_head(each) for each in sides]
    lines = [_row([*heads, "bounded by"])]
    bands = {name: known.figures[name].band() for name in ("charge", "left", "rate")}
    before = ""
    for place in rows_shown(told, known):
        cells = [_clock(known.times[place]), known.states[place] if known.states[place] != before else ""]
        before = known.states[place]
        low, best, high = (each[place] for each in bands["charge"])
        cells.append(f"{best - 273.15:.0f} ({low - 273.15:.0f}-{high - 273.15:.0f})")
        cells += [_come(known, bands, place), _rate(known, bands, place)]
        cells += ["" if each is None else _reading(each, place) for each in sides]
        lines.append(_row([*cells, _bounded(known, place)]))
    if known.practice:
        lines += ["", "~ at the pace of common practice: see below."]
    for each in sides:
        if each is not None:
            lines.append(_gauge_line(each))
    return lines


def _row(cells: list[str]) -> str:
    """One line of the table; the last cell runs on."""
    return "".join(cell.ljust(width) for cell, width in zip(cells, (*_COLUMNS, 0), strict=True)).rstrip()


def _clock(time: float) -> str:
    minutes = round(float(time) / 60)
    return f"{minutes // 60:3d}:{minutes % 60:02d}"


def _mark(known: Forecast) -> str:
    return "~" if known.practice else ""


def _come(known: Forecast, bands: Mapping[str, tuple[Array, ...]], place: int) -> str:
    low, best, high = (float(each[place]) * 1e3 for each in bands["left"])
    if high < 5e-3:
        return "none"
    return f"{_mark(known)}{_few(low)} < {_few(best)} < {_few(high)}"


def _few(grams: float) -> str:
    if grams < 5e-3:
        return "0"
    return f"{grams:.2f}" if grams < 0.095 else f"{grams:.2g}" if grams < 99.5 else f"{grams:.0f}"


def _rate(known: Forecast, bands: Mapping[str, tuple[Array, ...]], place: int) -> str:
    best = float(bands["rate"][1][place])
    if best < _SEEN:
        return "-"
    return f"{_mark(known)}{best * 6e4:.2g}"


def _gauge_head(shown: Shown | None) -> str:
    if shown is None:
        return "-"
    return f"{shown.name} Pa"


def _reading(shown: Shown, place: int) -> str:
    values = shown.reading[place]
    if not np.all(np.isfinite(values)):
        return "?"
    best = float(np.median(values))
    if best < shown.lowest:
        return f"<{shown.lowest:g}"
    return f">{shown.highest:g}" if best > shown.highest else f"{best:.2g}"


def _gauge_line(shown: Shown) -> str:
    where = (
        "on the side of the retort: it feels the vapour"
        if shown.hot_side
        else "beyond the landing: blind to vapour"
    )
    return f"{shown.name}  {shown.kind}, {where}; its scale is {shown.lowest:g} to {shown.highest:g} Pa."


def _bounded(known: Forecast, place: int) -> str:
    shares = {name: float(known.limits[name][place]) for name in LIMITS}
    first = max(shares, key=lambda name: shares[name])
    often = "" if shares[first] >= _OFTEN else f" {shares[first]:.0%}"
    return f"{_BOUNDS[first]}{often}"


def _moment(known: Forecast, moment: Moment) -> Iterator[str]:
    band = moment.band()
    says = EVENTS[moment.name].format(metal=known.metal)
    if band is None:
        if moment.often > 0.0 and moment.name == "plug":
            yield f"   {says}: in {moment.often:.1%} of the samples"
        return
    if moment.name == "faded":
        low, best, high = (f"{each / 60:.0f}" for each in band)
        when = f"{low} < {best} < {high} min"
    else:
        when = " < ".join(_clock(each).strip() for each in band)
    often = "" if moment.often >= _OFTEN else f" (in {moment.often:.0%} of the samples)"
    mark = "" if moment.name == "melts" else _mark(known)  # heat alone brings that
    yield from textwrap.wrap(
        f"{mark}{when}   {says}{often}", WIDTH, initial_indent="   ", subsequent_indent=" " * 6
    )


def _besides(known: Forecast) -> Iterator[str]:
    """Sums at the end of the programme."""
    yield "At the end of the programme"
    names = {
        "product": f"{known.metal} in the receivers, without what the walls keep",
        "hydrogen": "hydrogen that water in the charge has given",
        "along-reductant": "reductant that has come along as vapour",
        "past-walls-reductant": "of the reductant past the walls, if they catch all they can",
        "along-salt": "salt that has come along as vapour",
        "past-walls-salt": "of the salt past the walls, likewise",
    }
    for name, figure in known.figures.items():
        text = names.get(name)
        if name.startswith("to-"):
            text = f"{known.metal} landed in the {name[3:]}"
        elif name.startswith("along-") and text is None:
            text = f"{name[6:]} that has come along as vapour"
        elif name.startswith("open-"):
            text = f"bore left open in the {name[5:]}"
        low, best, high = (float(each[-1]) for each in figure.band())
        if text is not None and np.isfinite(best) and high > 0:
            least = _LEAST.get(figure.quantity, 0.0)
            shown = shown_band(low, best, high, face_of(figure.quantity)) if high >= least else "next to none"
            yield f"   {shown:<30}  {text}"


def _paragraph(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="   ", subsequent_indent="   ")
