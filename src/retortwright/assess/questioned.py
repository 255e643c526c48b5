# SPDX-License-Identifier: MIT
"""A question that is answered by checks: all its findings, one of them, the samples behind one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from retortwright.assess.check import Check, finding_of, seen_values
from retortwright.assess.finding import Finding
from retortwright.ground.arrays import Array
from retortwright.situation.situation import Situation

__all__ = ["Questioned"]


@dataclass(frozen=True, slots=True)
class Questioned:
    """One question: its number, and what makes its checks. Each check is made once in a situation."""

    number: int
    made: Callable[[Situation], Iterator[Check]]

    def findings(self, situation: Situation) -> Iterator[Finding]:
        """Every finding of the question."""
        for check in self._all(situation):
            yield finding_of(situation, check, self.number)

    def finding(self, situation: Situation, name: str) -> Finding | None:
        """One finding by its id; the checks that come after it are not made."""
        check = self.check(situation, name)
        return None if check is None else finding_of(situation, check, self.number)

    def values(self, situation: Situation, finding: Finding) -> Array:
        """The samples behind a finding."""
        check = self.check(situation, finding.id)
        if check is None:
            raise LookupError(f"no check is called {finding.id}")
        return seen_values(check)

    def check(self, situation: Situation, name: str) -> Check | None:
        """The check of an id."""
        known = self._known(situation)
        if name not in known:
            for each in self.made(situation):
                known.setdefault(each.id, each)
                if each.id == name:
                    break
        return known.get(name)

    def _known(self, situation: Situation) -> dict[str, Check]:
        return situation.once(f"checks of question {self.number}", dict[str, Check])

    def _all(self, situation: Situation) -> tuple[Check, ...]:
        made = situation.once(f"all checks of question {self.number}", lambda: tuple(self.made(situation)))
        self._known(situation).update({each.id: each for each in made})
        return made
