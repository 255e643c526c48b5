# SPDX-License-Identifier: MIT
"""The JSON face: fixed units, no NaN, everything needed to compute it again."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from retortwright.assess.assessment import ANSWERED, assess
from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.report.json_report import as_json
from retortwright.rig.reading import read_rig

RIG = str(Path(__file__).parents[1] / "assess" / "short_arm.toml")
KEYS = {
    "id", "check", "question", "subject", "at", "state", "lost", "when", "verdict", "settled", "low", "best",
    "high", "unit", "worse", "limit", "reserve", "margin", "margin_unit", "driver", "because", "missing", "next",
    "mend", "formula", "inputs", "cites", "sources", "notes", "single", "peak_after_min", "limit_after_min", "limit_of",
}  # fmt: skip


@cache
def document() -> dict[str, Any]:
    """The short arm as JSON."""
    made = assess(read_rig(RIG), Draws(samples=32), edits=[("a", "b")])
    parsed: dict[str, Any] = json.loads(as_json(made), parse_constant=pytest.fail)
    return parsed


def test_the_head_says_how_it_was_made() -> None:
    made = document()["made_by"]
    assert made["samples"] == 32
    assert made["seed"] == 1
    assert made["ends"] == [0.05, 0.95]
    assert made["tables"] == f"sha256:{shipped().digest}"
    assert document()["rig"]["edits"] == {"a": "b"}
    assert document()["asked"] == list(ANSWERED)
    assert document()["not_asked"] == [3, 5, 7, 9, 10]


def test_every_finding_has_every_key_and_one_id() -> None:
    findings = document()["findings"]
    assert all(set(finding) == KEYS for finding in findings)
    names = [finding["id"] for finding in findings]
    assert len(names) == len(set(names))


def test_numbers_are_in_degrees_celsius_and_ordered() -> None:
    temperatures = [finding for finding in document()["findings"] if finding["question"] == 4]
    assert temperatures
    for finding in temperatures:
        assert finding["unit"] == "degC"
        assert finding["low"] <= finding["best"] <= finding["high"]
        assert finding["low"] > -273.15
        assert finding["high"] < 1300
        # exact: the margin is what is left to the reserve
        left = finding["limit"] - finding["reserve"] - finding["high"]
        if finding["worse"] == "low":
            left = finding["low"] - finding["limit"] - finding["reserve"]
        assert finding["margin"] == pytest.approx(left, abs=2e-3)


def test_every_input_has_a_basis_and_an_address() -> None:
    sources = shipped().sources
    for finding in document()["findings"]:
        for item in finding["inputs"]:
            assert item["basis"] in ("measured", "file", "table", "common practice", "default")
            assert item["from"]
            assert item["source"] in sources or item["basis"] == "file"
        assert set(finding["sources"]) <= set(sources)


def test_the_gravest_finding_comes_first() -> None:
    assert document()["findings"][0]["verdict"] == "fails"
    assert document()["verdict"] == "fails"


def test_seen_is_said_of_numbers_from_texts_only() -> None:
    items = [item for finding in document()["findings"] for item in finding["inputs"]]
    by_basis = {
        basis: {item["seen"] for item in items if item["basis"] == basis} for basis in ("table", "file")
    }
    assert by_basis["table"] <= {True, False}
    assert by_basis["table"]
    assert by_basis["file"] == {None}
    assert {item["seen"] for item in items if item["basis"] == "common practice"} == {None}


def test_the_limit_says_whose_it_is() -> None:
    found = {finding["id"]: finding["limit_of"] for finding in document()["findings"]}
    assert found["seal-heat/arm.closed/hot"] == "NBR O-ring"
    assert found["seal-heat/retort.bottom.joined/hot"] == "304L"
