# SPDX-License-Identifier: MIT
"""Each figure of the rig file without its unit, of the wrong dimension, and out of bounds."""

from __future__ import annotations

import re

import pytest

from retortwright.ground.units import DIMENSIONS
from retortwright.rig.compound import HoseKind, StretchKind, TubeKind
from retortwright.rig.kinds import Count, Kind, Quantity
from rig.whole import (
    SLOTS,
    TEXT,
    Slot,
    allowance,
    ids,
    line_at,
    span_of,
    the_mistake,
)

LEAVES = [slot for slot in SLOTS if not slot.is_table]
SIZES = TubeKind | StretchKind | HoseKind


# ---- (b) without unit, (c) of the wrong dimension


QUANTITIES = [
    slot for slot in LEAVES
    if isinstance(slot.kind, SIZES) or (isinstance(slot.kind, Quantity) and slot.kind.dimension != "plain")
]


@pytest.mark.parametrize("slot", QUANTITIES, ids=ids(QUANTITIES))
def test_a_value_without_its_unit(slot: Slot) -> None:
    span = span_of(slot.path)
    bare = "1.5 nylon" if isinstance(slot.kind, HoseKind) else re.sub(r"\s*(?:%|[A-Za-z][\w/3 ]*)$", "", slot.value)
    if isinstance(slot.kind, TubeKind | StretchKind):
        bare = "12 x 1" if isinstance(slot.kind, TubeKind) else "0 to 12"
    for value in (f'"{bare}"', "12", "1.5"):
        says = the_mistake(span.with_value(value), line_at(TEXT, span.key[0]), slot.dotted)
        assert allowance(slot.kind) in says
        if isinstance(slot.kind, Quantity):
            assert ("the unit is missing: " if value[0] == '"' else "in quotes, got ") in says


DIMENSIONED = [slot for slot in LEAVES if isinstance(slot.kind, SIZES | Quantity)]


@pytest.mark.parametrize("slot", DIMENSIONED, ids=ids(DIMENSIONED))
def test_the_wrong_dimension(slot: Slot) -> None:
    span = span_of(slot.path)
    wrong = "kg" if not (isinstance(slot.kind, Quantity) and slot.kind.dimension == "mass") else "mm"
    value = {TubeKind: f"12 x 1 {wrong}", StretchKind: f"1 to 9 {wrong}", HoseKind: f"2 {wrong} nylon"}.get(
        type(slot.kind), f"3 {wrong}"
    )
    says = the_mistake(span.with_value(f'"{value}"'), line_at(TEXT, span.key[0]), slot.dotted)
    allowed = DIMENSIONS["length"].allowed() if isinstance(slot.kind, SIZES) else allowance(slot.kind)
    assert allowed in says
    assert f"3 {wrong}" in says or not isinstance(slot.kind, Quantity)


def test_a_difference_of_temperatures_is_no_temperature() -> None:
    span = span_of(("tighten", "seal-reserve"))
    says = the_mistake(span.with_value('"60 degC"'), line_at(TEXT, span.key[0]), "tighten.seal-reserve")
    assert "expected a temperature difference such as '40 K' (units: K), got '60 degC'" in says


# ---- (d) out of bounds


BOUNDED = [slot for slot in LEAVES if isinstance(slot.kind, SIZES | Quantity | Count)]
BEYOND_SIZES = {
    TubeKind: (["0.5 x 0.1 mm", "12 x 0.01 mm"], ["1.2 x 0.01 m", "12 x 6 mm"], "outside 1 mm to 1 m"),
    StretchKind: (["-5 to 5 mm", "9 to 5 mm"], ["1 to 11 m"], "from 0 to at most 10 m"),
    HoseKind: (["0 m nylon", "-1 m nylon"], ["101 m nylon"], "above 0 and up to 100 m"),
}


def beyond(kind: Kind) -> tuple[list[str], str]:
    """Values as TOML below and above what is allowed, and how the message says the bounds."""
    if isinstance(kind, Count):
        return [str(kind.low - 1), str(kind.high + 1)], kind.allowed()
    if type(kind) in BEYOND_SIZES:
        low, high, says = BEYOND_SIZES[type(kind)]
        return [f'"{value}"' for value in (*low, *high)], says
    assert isinstance(kind, Quantity)
    unit, (factor, offset) = next(iter(DIMENSIONS[kind.dimension].words.items()))
    step = 1e-6 * (kind.high - kind.low)
    ends = [(end - offset) / factor for end in (kind.low - step, kind.high + step)]
    return [f'"{end:.12g} {unit}"' for end in ends], f"{kind.bounds()} is allowed"


@pytest.mark.parametrize("slot", BOUNDED, ids=ids(BOUNDED))
def test_out_of_bounds(slot: Slot) -> None:
    span = span_of(slot.path)
    values, bounds = beyond(slot.kind)
    assert len(values) >= 2
    for value in values:
        says = the_mistake(span.with_value(value), line_at(TEXT, span.key[0]), slot.dotted)
        assert bounds in says, value
        assert value.strip('"') in says


BANDED = [slot for slot in LEAVES if isinstance(slot.kind, Quantity) and slot.kind.banded]


@pytest.mark.parametrize("slot", BANDED, ids=ids(BANDED))
def test_a_band_with_one_end_out_of_bounds_or_upside_down(slot: Slot) -> None:
    span, kind = span_of(slot.path), slot.kind
    assert isinstance(kind, Quantity)
    unit, (factor, offset) = next(iter(DIMENSIONS[kind.dimension].words.items()))
    middle, end = ((value - offset) / factor for value in ((kind.low + kind.high) / 2, 2 * kind.high - kind.low))
    line = line_at(TEXT, span.key[0])
    says = the_mistake(span.with_value(f'"{middle:.9g} to {end:.9g} {unit}"'), line, slot.dotted)
    assert f"{kind.bounds()} is allowed" in says
    says = the_mistake(span.with_value(f'"{end:.9g} to {middle:.9g} {unit}"'), line, slot.dotted)
    assert "the second figure of a band must be the larger one" in says


SINGLE = [slot for slot in LEAVES if isinstance(slot.kind, Quantity) and not slot.kind.banded]


@pytest.mark.parametrize("slot", SINGLE, ids=ids(SINGLE))
def test_a_band_where_one_number_belongs(slot: Slot) -> None:
    span = span_of(slot.path)
    number, unit = re.match(r"([\d.e+-]+)\s*(.*)", slot.value).groups()  # type: ignore[union-attr]
    value = f"{number} to {float(number) * 1.0001} {unit}"
    says = the_mistake(span.with_value(f'"{value}"'), line_at(TEXT, span.key[0]), slot.dotted)
    assert f"takes one number without a band, got '{value}'" in says
