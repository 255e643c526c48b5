# SPDX-License-Identifier: MIT
"""What the command `routes` is asked, read and checked; and its answer in each form."""

from __future__ import annotations

from collections.abc import Sequence

from retortwright.assess.cautions import cautions_of
from retortwright.assess.route_cards import Asked, RouteCard, cards_for
from retortwright.assess.route_walls import VESSELS
from retortwright.assess.route_words import NAMES
from retortwright.belief.beliefs import Draws
from retortwright.ground.errors import AskError, allowed_words, nearest
from retortwright.ground.formula import elements_of
from retortwright.ground.units import DIMENSIONS, read_single
from retortwright.reference.tables import Tables, shipped
from retortwright.report.route_data import routes_csv, routes_json
from retortwright.report.route_text import routes_text
from retortwright.situation.candidates import Candidate, makeable, rig_for
from retortwright.situation.situation import Situation

__all__ = ["answer", "asked_of"]

_NAMED = {
    "dolime": ("MgO", "CaO"),
    "FeSi": ("Si",),
    "ferrosilicon": ("Si",),
}  # what a bag is called, what it brings
_COLD, _HOT = 500.0, 2000.0  # K


def asked_of(metal: str, grade: str, vessel: str | None, hottest: str | None, stock: str | None) -> Asked:
    """What is asked. Raises AskError where a word or a value is not one of those allowed."""
    tables = shipped()
    return Asked(
        _metal(tables, metal),
        grade,
        None if vessel is None else _vessel(vessel),
        None if hottest is None else _hottest(hottest),
        None if stock is None else _stock(stock),
    )


def _metal(tables: Tables, word: str) -> str:
    symbols = makeable(tables)
    names = {NAMES[each]: each for each in symbols}
    found = names.get(word.casefold(), word)
    if found not in symbols:
        allowed = allowed_words(symbols)
        raise AskError(
            f"no routes to '{word}' are known here; {nearest(word, [*symbols, *names])}give one of {allowed}"
        )
    return found


def _vessel(word: str) -> str:
    if word not in VESSELS:
        raise AskError(
            f"--vessel: '{word}' is no wall we know; {nearest(word, VESSELS)}give one of {allowed_words(VESSELS)}"
        )
    return word


def _hottest(text: str) -> float:
    try:
        value = read_single(text, DIMENSIONS["temperature"])
    except ValueError as error:
        raise AskError(f"--hottest: {error}") from error
    if not _COLD <= value <= _HOT:
        raise AskError(
            f"--hottest: '{text}' is not between {_COLD - 273.15:.0f} and {_HOT - 273.15:.0f} degC; "
            "give the most the pot may get"
        )
    return value


def _stock(text: str) -> tuple[str, ...]:
    found: list[str] = []
    for word in (each.strip() for each in text.split(",")):
        if not word:
            raise AskError(
                "--stock: a name is empty; give formulas with commas between, such as 'KCl, Ca, Li'"
            )
        try:
            elements_of(_NAMED.get(word, (word,))[0])
        except ValueError as error:
            raise AskError(f"--stock: {error}; give formulas such as 'KCl, Ca, Li'") from error
        found += _NAMED.get(word, (word,))
    return tuple(dict.fromkeys(found))


def answer(asked: Asked, form: str, draws: Draws) -> tuple[str, Sequence[RouteCard]]:
    """The text of the answer, and the routes in it."""
    tables = shipped()
    cards = cards_for(tables, asked, draws)
    if form == "csv":
        return routes_csv(tables, asked, cards, draws), cards
    alone = rig_for(tables, Candidate(asked.metal, asked.metal), asked.vessel or "304L", _HOT, asked.grade)
    cautions = cautions_of(Situation(alone, tables, draws))
    write = routes_json if form == "json" else routes_text
    return write(tables, asked, cards, cautions, draws), cards
