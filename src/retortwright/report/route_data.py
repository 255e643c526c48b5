# SPDX-License-Identifier: MIT
"""Routes as JSON and as CSV: fixed units, nothing where there is no number."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

import numpy as np

from retortwright.assess.cautions import Caution
from retortwright.assess.route_cards import Asked, RouteCard
from retortwright.assess.route_walls import Bearing
from retortwright.assess.route_words import reasons_of
from retortwright.belief.beliefs import Draws
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import number_of
from retortwright.reference.tables import Tables
from retortwright.report.digits import Face, face_of, in_face
from retortwright.report.made_by import made_by

__all__ = ["banded", "routes_csv", "routes_document", "routes_json"]

_FORM = 1
_TEMPERATURE, _SHARE, _PRESSURE = face_of("temperature"), face_of("share"), face_of("pressure")
_MOLAR, _HEAT, _GAS, _RISE = (
    Face("kJ/mol", 1e-3),
    face_of("heat_of_charge"),
    face_of("gas_of_charge"),
    Face("K"),
)


def banded(values: Array | None) -> tuple[float, float, float] | None:
    """Low, best and high of some samples; None where one of them has no number."""
    if values is None or not np.isfinite(values).all():
        return None
    low, best, high = (float(end) for end in np.quantile(values, [TAIL, 0.5, 1 - TAIL]))
    return low, best, high


def routes_json(
    tables: Tables, asked: Asked, cards: Sequence[RouteCard], cautions: Sequence[Caution], draws: Draws
) -> str:
    """The text of the document."""
    document = routes_document(tables, asked, cards, cautions, draws)
    return json.dumps(document, indent=2, allow_nan=False, ensure_ascii=False) + "\n"


def routes_document(
    tables: Tables, asked: Asked, cards: Sequence[RouteCard], cautions: Sequence[Caution], draws: Draws
) -> dict[str, Any]:
    """All that was asked and found, as plain dicts and lists."""
    return {
        "form": _FORM,
        "made_by": made_by(tables, draws),
        "asked": {
            "metal": asked.metal,
            "grade": asked.grade,
            "vessel": asked.vessel,
            "hottest_degC": in_face(asked.hottest, _TEMPERATURE),
            "stock": None if asked.stock is None else list(asked.stock),
        },
        "cautions": [{"text": each.text, "source": each.source} for each in cautions],
        "routes": [_route(tables, asked, card, place) for place, card in enumerate(cards, 1)],
    }


def _route(tables: Tables, asked: Asked, card: RouteCard, place: int) -> dict[str, Any]:
    found = {
        "place": place,
        "route": str(card.candidate),
        "salt": card.candidate.salt,
        "reductant": card.candidate.reductant or None,
        "beside": card.candidate.beside or None,
        "verdict": card.verdict,
        "reasons": list(reasons_of(tables, asked, card)),
        "reaction": None if card.reaction is None else str(card.reaction),
        "class": card.heat_class,
        "heat_of_reaction": _band(None if card.per_mole is None else card.per_mole.values, _MOLAR),
        "heat_set_free": _of(card, "reaction-heat", _HEAT),
        "gas": _of(card, "reaction-gas", _GAS),
        "self_heating": _of(card, "self-heating", _RISE),
        "checks": {name: finding.verdict for name, finding in card.findings.items()},
        "usual_degC": _usual(card),
        "window": _window(card),
        "looked_at": _looked_at(card),
        "walls": [_bearing(each) for each in card.walls],
        "liners": [_bearing(each) for each in card.liners],
        "left_behind": [row.data for row in card.left],
        "weigh_g": {name: in_face(mass, face_of("mass")) for name, mass in card.masses.items()},
        "mind": [each.text for each in card.advice],
        "refused": None,
        "missing": None if card.missing is None else {"datum": card.missing.datum, "says": card.missing.says},
        "sources": sorted({source for each in card.findings.values() for source in each.sources}),
    }
    if card.refusal is not None:
        refusal = card.refusal
        found["refused"] = {
            "class": refusal.kind, "says": refusal.says, "because": refusal.because or None, "do": refusal.do,
            "sources": list(refusal.sources),
        }  # fmt: skip
        found["weigh_g"] = {}
    return found


def _band(values: Array | None, face: Face) -> dict[str, Any] | None:
    ends = banded(values)
    if ends is None:
        return None
    low, best, high = (in_face(end, face) for end in ends)
    return {"low": low, "best": best, "high": high, "unit": face.unit}


def _of(card: RouteCard, check: str, face: Face) -> dict[str, Any] | None:
    """The band of a finding."""
    finding = card.findings.get(check)
    if finding is None or finding.judgement.best is None:
        return None
    judged = finding.judgement
    low, best, high = (in_face(end, face) for end in (judged.low, judged.best, judged.high))
    return {"low": low, "best": best, "high": high, "unit": face.unit}


def _usual(card: RouteCard) -> list[float | None] | None:
    if card.usual is None:
        return None
    band = number_of(card.usual)
    return [in_face(band.low, _TEMPERATURE), in_face(band.high, _TEMPERATURE)]


def _window(card: RouteCard) -> dict[str, Any] | None:
    if card.served is None:
        return None
    served, window = card.served, card.served.window
    return {
        "from": _band(window.low, _TEMPERATURE),
        "from_fresh": _band(window.fresh, _TEMPERATURE),
        "from_late": _band(window.late, _TEMPERATURE),
        "to": _band(served.upper, _TEMPERATURE),
        "to_because_of": served.rules,
        "known_between_degC": [in_face(window.bottom, _TEMPERATURE), in_face(window.top, _TEMPERATURE)],
        "taken": round(window.taken, 4),
        "taken_late": round(window.nearly, 4),
        "ceiling": round(window.ceiling, 4),
        "taken_as_pure": [list(pair) for pair in window.alloys],
        "balance": "all species" if window.general else "one salt and one reductant",
    }


def _looked_at(card: RouteCard) -> dict[str, Any] | None:
    if card.served is None:
        return None
    seen = card.served.seen
    return {
        "temperature_degC": in_face(seen.temperature, _TEMPERATURE),
        "product": _band(seen.product, _PRESSURE),
        "reductant": _band(seen.reductant, _SHARE),
        "salt": _band(seen.salt, _SHARE),
    }


def _bearing(bearing: Bearing) -> dict[str, Any]:
    return {
        "material": bearing.material,
        "verdict": bearing.verdict,
        "because": bearing.because,
        "seen": bearing.seen,
        "cites": sorted(bearing.cites),
    }


_COLUMNS = (
    "place", "verdict", "route", "class", "reaction", "heat_kJ_per_mol_low", "heat_kJ_per_mol", "heat_kJ_per_mol_high",
    "set_free_J_per_g", "gas_mmol_per_g", "from_degC_low", "from_degC", "from_degC_high", "to_degC_low", "to_degC",
    "to_degC_high", "to_because_of", "ceiling_percent", "looked_at_degC", "product_Pa", "reductant_ppm", "salt_ppm",
    "reasons",
)  # fmt: skip


def routes_csv(tables: Tables, asked: Asked, cards: Sequence[RouteCard], draws: Draws) -> str:
    """One line a route; an empty cell where there is no number."""
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\n")
    writer.writerow(_COLUMNS)
    for each in routes_document(tables, asked, cards, (), draws)["routes"]:
        heat, window, seen = each["heat_of_reaction"] or {}, each["window"] or {}, each["looked_at"] or {}
        low, high = window.get("from") or {}, window.get("to") or {}
        bands = [band.get(end) for band in (heat,) for end in ("low", "best", "high")]
        ends = [band.get(end) for band in (low, high) for end in ("low", "best", "high")]
        over = [(seen.get(name) or {}).get("best") for name in ("product", "reductant", "salt")]
        row = [each["place"], each["verdict"], each["route"], each["class"], each["reaction"], *bands]
        row += [(each[name] or {}).get("best") for name in ("heat_set_free", "gas")]
        row += [*ends, window.get("to_because_of"), 100 * window["ceiling"] if window else None]
        row += [seen.get("temperature_degC"), *over, "; ".join(each["reasons"])]
        writer.writerow(["" if cell is None else cell for cell in row])
    return written.getvalue()
