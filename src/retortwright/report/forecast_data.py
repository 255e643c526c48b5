# SPDX-License-Identifier: MIT
"""A forecast as JSON and as a table of comma-separated values: fixed units, no NaN, all that made it."""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Iterator
from typing import Any

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.report.digits import Face, face_of, in_face
from retortwright.report.forecast_rows import Told, not_known, rows_shown
from retortwright.report.json_report import input_document
from retortwright.report.made_by import made_by, rig_document
from retortwright.situation.forecast import EVENTS, Forecast, Moment

__all__ = ["FORECAST_FORM", "forecast_csv", "forecast_document", "forecast_json"]

FORECAST_FORM = 1  # version of the shape
_ENDS = ("low", "best", "high")


def forecast_json(told: Told) -> str:
    """The text of the document, one figure a line."""
    document = forecast_document(told)
    figures = document.pop("figures")
    head = json.dumps(document, indent=2, allow_nan=False, ensure_ascii=False)
    lines = ",\n".join(f"    {json.dumps(each, allow_nan=False, ensure_ascii=False)}" for each in figures)
    return head.removesuffix("\n}") + ',\n  "figures": [\n' + lines + "\n  ]\n}\n"


def forecast_document(told: Told) -> dict[str, Any]:
    """The document as plain dicts and lists."""
    rig, draws, known = told.situation.rig, told.situation.draws, told.known
    stopped = told.forecast if known is None and told.forecast is not None else None
    head = {
        "form": FORECAST_FORM,
        "made_by": made_by(told.situation.tables, draws),
        "rig": rig_document(rig, told.edits),
        "cautions": [{"text": each.text, "source": each.source} for each in told.cautions],
        "refused": [{"id": each.id, "says": each.says, "do": each.do} for each in told.refused],
        "stopped": {"datum": stopped.datum, "says": stopped.says}
        if stopped is not None and not isinstance(stopped, Forecast)
        else None,
    }
    if known is None:
        return {**head, "figures": []}
    return head | _body(told, known)


def _body(told: Told, known: Forecast) -> dict[str, Any]:
    """What a forecast that could be made says."""
    rows = rows_shown(told, known)
    return {
        "metal": known.metal,
        "gives_metal_in": known.state,
        "pace_of_practice": known.practice,
        "time_min": [round(float(known.times[row]) / 60, 3) for row in rows],
        "step": [known.states[row] for row in rows],
        "set_point_degC": [_plain(known.set_point[row] - 273.15) for row in rows],
        "bounded_by": {
            name: [round(float(shares[row]), 4) for row in rows] for name, shares in known.limits.items()
        },
        "moments": [_moment(known, moment) for moment in known.moments],
        "not_known": [{"datum": each.datum, "says": each.says} for each in not_known(told, known)],
        "notes": list(known.notes),
        "inputs": [input_document(belief) for belief in known.inputs],
        "cites": sorted(known.cites),
        "figures": [
            {"name": name, "unit": face.unit} | dict(zip(_ENDS, band, strict=True)) | more
            for name, face, band, more in _figures(known, rows)
        ],
    }


def _figures(
    known: Forecast, rows: list[int]
) -> Iterator[tuple[str, Face, list[list[float | None]], dict[str, Any]]]:
    """Every figure and reading with its band at the rows that are shown."""
    for name, figure in known.figures.items():
        face = face_of(figure.quantity)
        yield name, face, [[in_face(_plain(each[row]), face) for row in rows] for each in figure.band()], {}
    for shown in known.gauges:
        face = face_of("pressure")
        ends = np.quantile(shown.reading, [0.05, 0.5, 0.95], axis=1)
        seen = (ends >= shown.lowest) & (ends <= shown.highest)
        band = [[in_face(_plain(each[row]), face) for row in rows] for each in np.where(seen, ends, np.nan)]
        more = {
            "gauge": shown.kind,
            "feels_vapour": shown.hot_side,
            "scale_Pa": [shown.lowest, shown.highest],
        }
        yield f"shown-by-{shown.name}", face, band, more


def _plain(value: Array | float) -> float | None:
    """A number, or nothing."""
    return float(value) if np.isfinite(value) else None


def _moment(known: Forecast, moment: Moment) -> dict[str, Any]:
    band = moment.band()
    shown = [None] * 3 if band is None else [round(each / 60, 1) for each in band]
    return {
        "name": moment.name,
        "says": EVENTS[moment.name].format(metal=known.metal),
        "share_of_samples": round(moment.often, 4),
    } | {f"{end}_min": each for end, each in zip(_ENDS, shown, strict=True)}


def forecast_csv(told: Told) -> str:
    """The table, after lines that say what made it; a cell without a number is empty."""
    rig, known = told.situation.rig, told.known
    made = made_by(told.situation.tables, told.situation.draws)
    digest = hashlib.sha256(rig.text.encode()).hexdigest()
    edits = "".join(f"; with {key}={value}" for key, value in told.edits)
    lines = [
        f"# retortwright forecast {made['version']}, tables {made['tables']}",
        f"# {made['samples']} samples, seed {made['seed']}, low and high are the 5 and 95 % points",
        f"# rig {rig.path}, sha256:{digest}{edits}",
    ]
    lines += [f"# caution: {each.text}" for each in told.cautions]
    lines += [f"# refused: {each.says}" for each in told.refused]
    if known is None:
        stopped = told.forecast
        says = "" if stopped is None or isinstance(stopped, Forecast) else f"{stopped.datum}: {stopped.says}"
        return "\n".join([*lines, *([f"# stopped: {says}"] if says else [])]) + "\n"
    lines += [f"# not known: {each.says}" for each in not_known(told, known)]
    lines += [f"# note: {each}" for each in known.notes]
    return "\n".join(lines) + "\n" + _cells(known, rows_shown(told, known))


def _cells(known: Forecast, rows: list[int]) -> str:
    figures = list(_figures(known, rows))
    heads = ["time [min]", "step", "set-point [degC]", "bounded by"]
    heads += [f"{name} {end} [{face.unit}]" for name, face, _, _ in figures for end in _ENDS]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(heads)
    for number, row in enumerate(rows):
        target = _plain(known.set_point[row] - 273.15)
        cells = [round(float(known.times[row]) / 60, 3), known.states[row], _cell(target), known.bounded[row]]
        cells += [_cell(end[number]) for _, _, band, _ in figures for end in band]
        writer.writerow(cells)
    return out.getvalue()


def _cell(value: float | None) -> str:
    return "" if value is None else f"{value:.6g}"
