# SPDX-License-Identifier: MIT
"""The names used on every face: questions, verdicts, bases."""

from __future__ import annotations

__all__ = ["BASES", "QUESTIONS", "VERDICTS", "worst"]

QUESTIONS: dict[int, str] = {
    1: "Will it make metal?",
    2: "Will the metal get across?",
    3: "How clean will it be?",
    4: "Will every joint live?",
    5: "Will the walls stand?",
    6: "Is it tight enough?",
    7: "What attacks what?",
    8: "What can hurt you?",
    9: "Is it proven?",
    10: "Is it worth it?",
}

VERDICTS = ("fails", "unknown", "thin", "holds")  # by gravity, worst first

BASES = ("measured", "file", "table", "common practice", "default")  # by rank, best first


def worst(verdicts: list[str]) -> str:
    """The gravest of some verdicts; nothing asked is unknown.

    >>> worst(["holds", "thin"])
    'thin'
    """
    return min(verdicts, key=VERDICTS.index) if verdicts else "unknown"
