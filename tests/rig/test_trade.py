# SPDX-License-Identifier: MIT
"""Words of the trade are answered with the words of the file, and nothing misleading is suggested."""

from __future__ import annotations

import pytest

from retortwright.ground.errors import RigError, allowed_words
from retortwright.ground.units import DIMENSIONS, read_band
from retortwright.rig.reading import rig_of
from retortwright.rig.starter import starter_text
from retortwright.rig.trade import _TRADE, meant
from retortwright.rig.vocabulary import (
    coolants,
    finishes,
    insulations,
    joints,
    materials,
    metals,
    pump_kinds,
)

EVERY = {*coolants(), *finishes(), *insulations(), *joints(), *materials(), *metals(), *pump_kinds()}


def says(old: str, new: str) -> str:
    """The one mistake of the starter after a change."""
    assert old in starter_text()
    with pytest.raises(RigError) as error:
        rig_of(starter_text().replace(old, new, 1))
    (found,) = error.value.mistakes
    return found.says


def test_every_answer_is_a_word_of_the_file() -> None:
    for word, answers in _TRADE.items():
        assert set(answers) <= EVERY, word


@pytest.mark.parametrize(
    ("old", "new", "question"),
    [
        ('of     = "borosilicate"', 'of     = "glass"', "did you mean borosilicate or fused silica?"),
        ('metal  = "K"', 'metal  = "potassium"', "did you mean K?"),
        ('joined = "TIG"', 'joined = "weld"', "did you mean TIG, MIG, stick weld or oxy-fuel weld?"),
        ('of     = "304L"', 'of     = "stainless"', "did you mean 304L, 316L or 310S?"),
        ('valve  = "FKM seat"', 'valve  = "Viton"', "FKM clamp, FKM seat or gauge port FKM?"),
        (
            'kind = "rotary, two-stage"',
            'kind = "rotary"',
            "did you mean 'rotary, two-stage' or 'rotary, one-stage'?",
        ),
        ('by = "air"', 'by = "fan"', "did you mean air?"),
    ],
)
def test_the_trade_is_understood(old: str, new: str, question: str) -> None:
    assert question in says(old, new)


def test_nothing_misleading() -> None:
    assert meant("glass", ["brass", "butyl"]) == ""
    assert meant("brsas", ["brass", "butyl"]) == "did you mean brass? "


def test_words_with_commas_are_told_apart() -> None:
    assert allowed_words(["b, c", "a"]) == "a, 'b, c'"
    assert "'rotary, one-stage', 'rotary, two-stage', scroll" in says(
        'kind = "rotary, two-stage"', 'kind = "oil"'
    )


@pytest.mark.parametrize(
    ("dimension", "text", "part"),
    [
        ("length", "20 µm", "did you mean um? "),
        ("temperature", "20-25 degC", "; write a band with the word to: '20 to 25 degC'"),
        ("temperature", "20 – 25 degC", "; write a band with the word to: '20 to 25 degC'"),
        ("temperature", "20..25 degC", "; write a band with the word to: '20 to 25 degC'"),
        ("temperature_difference", "5 degC", "expected a temperature difference such as"),
        ("film_coefficient", "5 W/m2K", "did you mean W/m2/K? expected a film coefficient such as"),
        ("length", "１２ mm", "expected a length such as"),
    ],
)
def test_units_and_bands(dimension: str, text: str, part: str) -> None:
    with pytest.raises(ValueError, match="expected") as error:
        read_band(text, DIMENSIONS[dimension])
    assert part in str(error.value)
    if "band" in part:
        assert "did you mean" not in str(error.value)


def test_one_number_only() -> None:
    assert says("retortwright = 1 ", "retortwright = 2 ") == "expected the number 1, got 2"
