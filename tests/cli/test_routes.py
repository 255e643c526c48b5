# SPDX-License-Identifier: MIT
"""The command `routes`: cautions first, one answer in three forms, sentences for what cannot be asked."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from cli.program import once, run

STOCK = ("routes", "K", "--stock", "KCl, Ca, Na, Mg, KOH", "--samples", "16")


def test_text_has_cautions_first_then_the_best_and_what_is_refused_last() -> None:
    done = once(*STOCK)
    assert done.returncode == 0
    assert done.stderr == ""
    assert done.stdout.startswith("Heats reactive metal in a closed vessel")
    order = [
        done.stdout.index(each)
        for each in ("Burning K", "Routes to potassium", "  1  holds    KCl + Ca", "REFUSED")
    ]
    assert order == sorted(order)
    assert "K and Na come over mixed" in done.stdout
    assert "the product would be magnesium" in done.stdout
    assert "NaN" not in done.stdout
    assert " nan" not in done.stdout


def test_json_and_csv_say_the_same() -> None:
    document = json.loads(once(*STOCK, "--format", "json").stdout)
    lines = list(csv.DictReader(io.StringIO(once(*STOCK, "--format", "csv").stdout)))
    assert document["made_by"]["samples"] == 16
    assert document["asked"]["stock"] == ["KCl", "Ca", "Na", "Mg", "KOH"]
    assert [each["route"] for each in document["routes"]] == [each["route"] for each in lines]
    first, line = document["routes"][0], lines[0]
    assert float(line["from_degC"]) == first["window"]["from"]["best"]
    assert (
        first["window"]["from"]["low"] <= first["window"]["from"]["best"] <= first["window"]["from"]["high"]
    )
    assert first["heat_of_reaction"]["unit"] == "kJ/mol"
    refused = next(each for each in document["routes"] if each["route"] == "KOH + Mg")
    assert refused["refused"]["class"] == "hydroxide"
    assert refused["window"] is None
    assert document["cautions"]


def test_nothing_that_serves_is_exit_code_1() -> None:
    done = run("routes", "K", "--stock", "KCl, Mg", "--samples", "16")
    assert done.returncode == 1
    assert done.stderr == ""


def test_a_name_and_a_bag_are_understood() -> None:
    done = run("routes", "magnesium", "--stock", "dolime, FeSi", "--samples", "16", "--format", "csv")
    assert [each["route"] for each in csv.DictReader(io.StringIO(done.stdout))] == [
        "MgO + CaO + Si",
        "MgO + Si",
    ]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("rubidum",), "did you mean rubidium?"),
        (("rb",), "did you mean Rb?"),
        (("Xx",), "no routes to 'Xx' are known here; give one of Ba, Ca, Cs"),
        (("K", "--vessel", "304"), "did you mean 304L?"),
        (("K", "--hottest", "900"), "--hottest: the unit is missing"),
        (("K", "--hottest", "9000 degC"), "is not between"),
        (("K", "--stock", "KCl,,Ca"), "a name is empty"),
        (("K", "--stock", "kcl"), "--stock: "),
        (("K", "--grade", "best"), "best"),
    ],
)
def test_mistakes_are_sentences(words: tuple[str, ...], says: str) -> None:
    done = run("routes", *words)
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stdout == ""
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("form", ["text", "json", "csv"])
def test_an_own_answer_may_be_written_over_and_nothing_else(tmp_path: Path, form: str) -> None:
    target = tmp_path / "routes.out"
    words = ("routes", "Zn", "--stock", "Zn", "--samples", "16", "--format", form, "-o", str(target))
    for _ in range(2):
        done = run(*words)
        assert done.returncode == 0, done.stderr
        assert done.stdout == ""
    target.write_text("precious", encoding="utf-8")
    assert run(*words).returncode == 2
    assert target.read_text(encoding="utf-8") == "precious"
