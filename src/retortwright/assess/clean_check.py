# SPDX-License-Identifier: MIT
"""How a check of question 3 is made: at a key of the file, against a limit of the grade."""

from __future__ import annotations

from retortwright.assess.check import Check, Limit, plain_limit, sense_of_rule
from retortwright.situation.figure import Figure
from retortwright.situation.purity import PurityWork
from retortwright.situation.purity_figures import grade_limit

__all__ = ["grade_of", "made", "wanted_of"]


def made(
    work: PurityWork,
    name: str,
    at: str,
    subject: str,
    quantity: str,
    figure: Figure,
    limit: Limit,
    because: str,
    notes: tuple[str, ...] = (),
) -> Check:
    """A check of the question at a key of the file."""
    sense, place = sense_of_rule(work.tables, name), at.partition(".")[2]
    return Check(name, work.state, place, subject, at, quantity, figure, limit, because, sense, notes)


def grade_of(work: PurityWork, what: str) -> Limit:
    """What the grade allows of one class."""
    ledger = work.ledger()
    return plain_limit(ledger, grade_limit(work, ledger, what), "grade")


def wanted_of(work: PurityWork) -> Limit:
    """The amount that is wanted, as a limit."""
    ledger = work.ledger()
    return plain_limit(ledger, work.wanted(ledger), "amount wanted")
