# SPDX-License-Identifier: MIT
"""What is refused of what stands ready against a fire: water, CO2, ABC powder, halon, sand on burning metal."""

from __future__ import annotations

from collections.abc import Iterator

from retortwright.assess.hurts_around import listed, words_of
from retortwright.assess.refusal import Refusal
from retortwright.belief.believed import Ledger
from retortwright.situation.situation import Situation

__all__ = ["refuse_agent"]

_SAME = {"foam": "water", "dry sand": "sand"}  # what it is on burning metal


def refuse_agent(situation: Situation) -> Iterator[Refusal]:
    """An agent that must never go on a metal of the charge or on the one it gives."""
    agent, rig = situation.rig.safety.agent, situation.rig
    if agent is None or not rig.charge:
        return
    metals = dict.fromkeys([rig.aim.metal, *(each.formula for each in rig.charge)])
    word = _SAME.get(agent.kind, agent.kind)
    hurt = [metal for metal in metals if word in words_of(situation, metal, "never").split(", ")]
    if not hurt:
        return
    ledger = Ledger(rig, situation.tables, situation.draws)
    rows = {name: ledger.row("rules", "wrong-agent", name) for name in ("says", "do")}
    words = {name: row.data for name, row in rows.items() if row is not None}
    never = [ledger.row("hazards", metal, "never") for metal in hurt]
    sources = tuple(sorted({row.source for row in (*rows.values(), *never) if row is not None}))
    yield Refusal(
        "wrong-agent", "agent", "safety.agent", f"{agent.kind} against burning {listed(hurt)}", words.get("says", ""),
        f"never on {listed(hurt)}: {words_of(situation, hurt[0], 'never')}", words.get("do", ""), (), sources,
        frozenset(ledger.cites),
    )  # fmt: skip
