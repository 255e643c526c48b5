# SPDX-License-Identifier: MIT
"""What stands in the pot and touches its wall: salt, reductant, what they become, water's hydrogen.

A thing is named as the table of attacks names it: `CaCl2(l)` is melted, `(s)` solid, `(g)` vapour, and
`RbCl(l) with Ca(l)` a melt that holds free metal, where the table tells that apart from the plain melt.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from retortwright.ground.formula import elements_of
from retortwright.ground.units import Band
from retortwright.reference.attacks import agents
from retortwright.reference.species import Species, find_species
from retortwright.rig.parts import Reagent
from retortwright.situation.charge import charge_of
from retortwright.situation.charge_room import ChargeRoom
from retortwright.situation.route import Route

if TYPE_CHECKING:
    from retortwright.situation.situation import Situation

__all__ = ["InPot", "in_the_pot"]

_COUNTS = 0.02  # share of a reagent from which on what it contains counts
_SLAG = "aluminate slag"


@dataclass(frozen=True, slots=True)
class InPot:
    """One thing in the pot: by its name in the table of attacks."""

    agent: str
    is_gas: bool  # a gas comes behind a loose liner, and up the walls


def in_the_pot(situation: Situation, hottest: float) -> tuple[InPot, ...]:
    """What touches the pot where its wall is at most `hottest` [K], each once."""
    found = _Pot(situation, hottest).all()
    return tuple(dict.fromkeys(InPot(agent, agent.endswith("(g)")) for agent in found))


class _Pot:
    def __init__(self, situation: Situation, hottest: float) -> None:
        self.rig, self.tables, self.hottest = situation.rig, situation.tables, hottest
        self.charge = charge_of(situation)
        self.room = ChargeRoom(self.charge)
        self.known = frozenset(agents(situation.tables))

    def all(self) -> Iterator[str]:
        """Every name, some of them twice."""
        pair = self.charge.pair
        for each in self.rig.charge:
            if each.formula == self.rig.aim.metal or len(elements_of(each.formula)) == 1:
                yield from self._element(each.formula)
            else:
                yield from self._compound(each.formula, None if pair is None else pair[1])
            for name, share in each.contains.items():
                if name == "H2O":
                    yield "H2(g)"
                elif share.best > _COUNTS and f"{name}(s)" in self.known:
                    yield f"{name}(s)"
        if isinstance(self.charge.route, Route):
            yield from self._compound(self.charge.route.left, self.charge.route.reductant)
        if pair is not None and self.charge.has_slag and elements_of(pair[1]).get("Al"):
            yield _SLAG

    def _element(self, formula: str) -> Iterator[str]:
        """A metal: melted or solid, and its vapour where the table knows of one."""
        liquid = find_species(self.tables, f"{formula}(l)")
        melts = liquid.melts if isinstance(liquid, Species) else None
        phase = "l" if melts is not None and self.hottest > melts else "s"
        if phase == "l" or f"{formula}(s)" in self.known:
            yield f"{formula}({phase})"
        if f"{formula}(g)" in self.known:
            yield f"{formula}(g)"

    def _compound(self, formula: str, reductant: str | None) -> Iterator[str]:
        """A salt or an oxide: as a melt, in company where that is told apart, else solid if the table knows it."""
        if self._is_melt(formula):
            mixed = f"{formula}(l) with {reductant}(l)"
            yield mixed if mixed in self.known else f"{formula}(l)"
        elif f"{formula}(s)" in self.known:
            yield f"{formula}(s)"

    def _is_melt(self, formula: str) -> bool:
        reagent = next((each for each in self.rig.charge if each.formula == formula), None)
        reagent = reagent or Reagent(formula, Band(1e-3, 1e-3, 1e-3))
        return bool(self.room.is_melt(self.charge.ledger(), reagent))
