# SPDX-License-Identifier: MIT
"""Question 7 in words: what touches a place, what its rows say of that, what else would bear it."""

from __future__ import annotations

from collections.abc import Iterable

from retortwright.ground.formula import elements_of
from retortwright.reference.attacks import WORDS, Attack, attacks_on
from retortwright.reference.bearing import Bearing
from retortwright.reference.tables import Tables
from retortwright.situation.wetted import Wetted

__all__ = ["because", "left_moist", "plain_name", "short_name", "substance_of"]

_ZERO = 273.15
_PHASES = {"g": "vapour of {}", "l": "liquid {}", "s": "solid {}"}
_PLAIN = {"H2(g)": "hydrogen"}


def substance_of(agent: str) -> str:
    """The formula of an agent, whatever its phase.

    >>> [substance_of(agent) for agent in ("Rb(g)", "RbCl(l) with Ca(l)", "air")]
    ['Rb', 'RbCl', 'air']
    """
    return agent.partition("(")[0]


def plain_name(agent: str) -> str:
    """An agent in plain words.

    >>> [plain_name(agent) for agent in ("Rb(g)", "CaCl2(l)", "RbCl(l) with Ca(l)", "H2(g)")]
    ['vapour of Rb', 'melted CaCl2', 'melted RbCl with free Ca', 'hydrogen']
    """
    if agent in _PLAIN or "(" not in agent:
        return _PLAIN.get(agent, agent)
    first, _, beside = agent.partition(" with ")
    formula, phase = first.rstrip(")").split("(")
    melted = phase == "l" and len(elements_of(formula)) > 1
    said = f"melted {formula}" if melted else _PHASES[phase].format(formula)
    return f"{said} with free {substance_of(beside)}" if beside else said


def short_name(agent: str) -> str:
    """An agent as a word of an id.

    >>> short_name("RbCl(l) with Ca(l)")
    'melted-RbCl-with-free-Ca'
    """
    return plain_name(agent).replace(" of ", " ").replace(" ", "-")


def because(wetted: Wetted, bearing: Bearing, hot: float, instead: tuple[str, ...]) -> str:
    """Why a finding on a place is what it is, at the hot end of its band [K]."""
    touched = f"{plain_name(wetted.agent)} on {wetted.material}"
    verdict = bearing.verdict(hot)
    if verdict == "harmed" and bearing.harmed.by is not None:
        other = f" {_either(instead)} bears it, as far as was read." if instead else ""
        return f"{touched}: {_told(bearing.harmed.by)}.{other}"
    if verdict in ("memory", "silent"):
        asked = f"{touched}, up to {hot - _ZERO:.0f} degC"
        told = max((each for each in bearing.said if each.covers(hot)), key=_rank, default=bearing.told.by)
        return f"{asked}: {_told(told)}." if told is not None else f"{asked}: nothing is written down of it."
    if verdict == "slow":
        by = bearing.slowed.by if hot >= bearing.slowed.at else bearing.lasts.by
        return f"{touched}: {_told(by)}: it lasts runs, count them." if by is not None else f"{touched}."
    by = bearing.bears.by
    return f"{touched}: {_told(by)}." if by is not None else f"{touched}: you have seen it borne."


def left_moist(tables: Tables, wetted: Wetted) -> str | None:
    """What a salt does to a wall when it is left to drink water from the air; None where that is not known as worse."""
    said = attacks_on(tables, f"moist {substance_of(wetted.agent)}", wetted.material)
    worst = max(said, key=lambda each: each.rank, default=None)
    if worst is None or worst.rank == 0:
        return None
    salt = substance_of(wetted.agent)
    return f"{salt} left in it drinks water from the air: {_told(worst)}. Wash it out the same day"


def _rank(attack: Attack) -> int:
    return attack.rank


def _told(attack: Attack) -> str:
    """A row in words: what it says, where, by whom."""
    how = f", {attack.how}" if attack.how else ""
    source = "from memory" if not attack.seen else attack.row.source
    return f"{_word(attack)}{how} ({source})"


def _word(attack: Attack) -> str:
    low, high = attack.low - _ZERO, attack.high - _ZERO
    assert attack.word in WORDS
    if attack.word == "bears":
        return f"borne up to {high:.0f} degC"
    said = {"slow": "slowly attacked", "eaten": "eaten", "violent": "reacts violently"}[attack.word]
    return f"{said} from {low:.0f} degC"


def _either(words: Iterable[str]) -> str:
    listed = list(words)
    return listed[0] if len(listed) == 1 else f"{', '.join(listed[:-1])} or {listed[-1]}"
