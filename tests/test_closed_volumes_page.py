# SPDX-License-Identifier: MIT
"""The table worked by hand in docs/closed-volumes.md against the program, and the rows that the page quotes."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.reference.datum import number_of
from retortwright.reference.tables import shipped
from retortwright.rig.reading import read_rig
from retortwright.situation.closed_pressure import Closed, closed_of
from retortwright.situation.situation import Situation

ROOT = Path(__file__).resolve().parents[1]
PAGE = (ROOT / "docs" / "closed-volumes.md").read_text(encoding="utf-8")
ROW = re.compile(
    r"^\| ([\w-]+)(?:, (six|half))? \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \|$",
    re.MULTILINE,
)


@cache
def situation() -> Situation:
    """The example with every belief at its middle."""
    rig = read_rig(str(ROOT / "docs" / "closed-volumes.toml"))
    return Situation(rig, shipped(), Draws(samples=1, width=0.0, pick=(0,)))


@cache
def volume(kind: str, what: str) -> Closed:
    """The volume of the retort in `distil` with one thing wrong; of several the smallest."""
    work = closed_of(situation())
    cases = [case for case in work.cases() if (case.state, case.kind, case.what) == ("distil", kind, what)]
    found = [each for case in cases for each in work.closed(case) if each.piece == 0]
    return min(found, key=lambda each: each.volume)


def by_hand() -> list[tuple[str, float, float, float, float]]:
    """Piece, mL, K, mL/K and bar of vapour of each row; the volume worked out again from bore and length."""
    found = []
    for name, many, bore, length, volume_said, kelvin, room, vapour in ROW.findall(PAGE):
        count = 6.0 if many == "six" else 1.0
        own = np.pi / 4 * float(bore) ** 2 * float(length) * 1e-3 * count
        assert own == pytest.approx(float(volume_said), abs=0.006)
        assert float(volume_said) / float(kelvin) == pytest.approx(float(room), abs=6e-5)
        found.append((name, own, float(kelvin), own / float(kelvin), float(vapour)))
    return found


def said(pattern: str) -> float:
    """A number that the page gives."""
    found = re.search(pattern, PAGE)
    assert found is not None, pattern
    return float(found[1])


def test_volumes_and_temperatures_are_those_of_the_program() -> None:
    # exact: volumes by hand from the file; the temperatures are the program's own, to a kelvin
    slivers = closed_of(situation()).slivers
    picture = volume("never", "V1").picture
    kelvin = slivers.temperature(picture.temperature)[:, 0]
    saturated = closed_of(situation()).saturated(picture)[slivers.cell][:, 0]
    inside = np.isin(np.arange(len(kelvin)), slivers.inside(volume("never", "V1").inner))
    names = np.array([single.row.name for single in situation().tree.instances])[slivers.instance]
    rows = by_hand()
    assert {row[0] for row in rows} == set(names[inside])
    for name, millilitres, warm, _, vapour in rows:
        own = inside & (names == name)
        assert np.sum(slivers.volume[own]) * 1e6 == pytest.approx(millilitres, rel=1e-3)
        assert np.sum(slivers.volume[own]) / np.sum(slivers.volume[own] / kelvin[own]) == pytest.approx(
            warm, abs=1.0
        )
        held = np.sum(slivers.volume[own] / kelvin[own] * saturated[own]) / np.sum(
            slivers.volume[own] / kelvin[own]
        )
        assert held / 1e5 == pytest.approx(vapour, abs=0.0006)


def test_the_sums_by_hand() -> None:
    # exact: sums of the columns, and the gas law
    rows = by_hand()
    whole, room = sum(row[1] for row in rows), sum(row[3] for row in rows)
    assert whole == pytest.approx(said(r"together \| \| \| ([\d.]+)"), abs=0.01)
    assert room == pytest.approx(said(r"together \| \| \| [\d.]+ \| \| ([\d.]+)"), abs=3e-4)
    gas = 1.01325 * whole / 293.15 / room
    assert gas == pytest.approx(said(r"= \*\*([\d.]+) bar\*\*\.\n- Hydrogen"), abs=0.003)
    hydrogen = said(r"([\d.]+) mmol\. The charge") * 1e-3 * 8.314463 / ((room - 8.0 / 952) * 1e-6) / 1e5
    assert hydrogen == pytest.approx(said(r"= \*\*([\d.]+) bar\*\*\.\n- Vapour"), rel=0.01)
    vapour = sum(row[3] * row[4] for row in rows) / room
    assert vapour == pytest.approx(said(r"so it holds \*\*([\d.]+) bar"), abs=0.001)
    assert gas + hydrogen + vapour + 0.05 == pytest.approx(said(r"Together \*\*([\d.]+) bar"), abs=0.006)


def test_the_program_comes_to_the_same() -> None:
    # exact: the gas law by hand against the program, within 1 % (temperatures rounded to a kelvin)
    shut = volume("never", "V1").figure
    assert shut.said["gas"][0] / 1e5 == pytest.approx(said(r"= \*\*([\d.]+) bar\*\*\.\n- Hydrogen"), rel=0.01)
    assert shut.said["hydrogen"][0] / 1e5 == pytest.approx(
        said(r"= \*\*([\d.]+) bar\*\*\.\n- Vapour"), rel=0.01
    )
    assert shut.values[0] / 1e5 == pytest.approx(said(r"Together \*\*([\d.]+) bar"), abs=0.01)
    plugged = volume("plug", "line")
    assert plugged.volume * 1e6 == pytest.approx(said(r"half of V2, ([\d.]+) mL"), abs=0.1)
    assert plugged.figure.said["vapour"][0] / 1e5 == pytest.approx(said(r"stands at ([\d.]+) bar"), abs=0.005)
    assert plugged.figure.values[0] / 1e5 == pytest.approx(said(r"adds 0\.098\. \*\*([\d.]+) bar"), abs=0.01)


def test_what_the_page_says_of_practice_stands_in_the_tables() -> None:
    rows = shipped().rows
    quoted = {
        ("joints", "rubber bung"): 5, ("joints", "greased ground joint"): 5, ("joints", "hose clamp"): 20,
        ("joints", "FKM O-ring cap"): 30, ("materials", "borosilicate"): 20,
    }  # fmt: skip
    for (table, subject), kilopascal in quoted.items():
        assert number_of(rows[table, subject, "bears"]).best == kilopascal * 1e3
    assert number_of(rows["rules", "closed", "limit"]).best == 100e3
    assert number_of(rows["rules", "closed", "reserve-share"]).best == 0.5
    assert number_of(rows["rules", "closed", "running"]).best == 5e3
    assert number_of(rows["rules", "closed", "restart"]).best == 1e3
