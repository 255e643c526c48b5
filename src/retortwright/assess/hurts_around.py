# SPDX-License-Identifier: MIT
"""What every finding about fire, opening, room and people is made with: its limit, its check, plain numbers."""

from __future__ import annotations

import numpy as np

from retortwright.assess.check import Check, Limit, plain_limit, sense_of_rule
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.inventory import Inventory
from retortwright.situation.situation import Situation

__all__ = [
    "book",
    "figure_on",
    "kept_back",
    "limit_of_file",
    "listed",
    "made",
    "plain",
    "rule_number",
    "stated",
    "words_of",
    "worse_end",
]


def book(situation: Situation) -> Ledger:
    """A new ledger."""
    return Ledger(situation.rig, situation.tables, situation.draws)


def made(
    situation: Situation, name: str, state: str, at: str, subject: str, quantity: str, figure: Figure, limit: Limit,
    because: str, notes: tuple[str, ...] = (),
) -> Check:  # fmt: skip
    """A check at a place in the file."""
    place = at.partition(".")[2] or at
    sense = sense_of_rule(situation.tables, name)
    return Check(name, state, place, subject, at, quantity, figure, limit, because, sense, notes)


def figure_on(
    inventory: Inventory, ledger: Ledger, values: Array, said: dict[str, Array] | None = None
) -> Figure:
    """A figure that rests on an inventory and on what a ledger has written down besides."""
    ledger.used |= {belief.name: belief for belief in inventory.inputs}
    ledger.cites |= inventory.cites
    ledger.missing += [each for each in inventory.missing if each not in ledger.missing]
    return figure_of(ledger, values, said)


def rule_number(ledger: Ledger, rule: str, name: str) -> float:
    """A number of the rules, cited; nan with the reason written down."""
    row = ledger.row("rules", rule, name)
    return number_of(row).best if isinstance(row, Row) else float("nan")


def kept_back(situation: Situation, rule: str) -> float:
    """The share of a limit that is kept back, by the rule or the user."""
    key, share = (
        situation.tables.find("rules", rule, "tighten"),
        rule_number(book(situation), rule, "reserve-share"),
    )
    return max(share, situation.rig.tighten.get(key.data, 0.0)) if isinstance(key, Row) else share


def limit_of_file(situation: Situation, value: float | None, key: str, lacks: str, words: str) -> Limit:
    """A limit that stands in the file; unknown with what is lacking where it does not."""
    ledger = book(situation)
    if value is None:
        ledger.missing.append(Missing(key, lacks))
    return plain_limit(ledger, np.nan if value is None else value, words)


def stated(situation: Situation, value: float | None, key: str, lacks: str) -> Figure:
    """A figure that stands in the file; unknown with what is lacking where it does not."""
    ledger = book(situation)
    if value is None:
        ledger.missing.append(Missing(key, lacks))
    return figure_of(ledger, np.full(ledger.draws.size, np.nan if value is None else value))


def worse_end(values: Array) -> float:
    """The high end of a band; nan where a sample has no number."""
    return float(np.quantile(values, 1 - TAIL)) if np.all(np.isfinite(values)) else float("nan")


def words_of(situation: Situation, subject: str, name: str) -> str:
    """Words of the table of hazards; empty where there are none."""
    row = situation.tables.find("hazards", subject, name)
    return row.data if isinstance(row, Row) else ""


def plain(value: float) -> str:
    """Two digits without an exponent where that can be read."""
    return f"{float(f'{value:.2g}'):g}" if np.isfinite(value) else "not known"


def listed(words: list[str]) -> str:
    """Words with commas and a last and."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else "nothing"
