# SPDX-License-Identifier: MIT
"""Solve for one key: the smallest change of it after which a finding has the verdict that is wanted.

Values are tried outward from what stands in the file, up and down, on a share of the samples; the
nearest that serves is narrowed down and confirmed on all of them. Everything that is asked is then
asked again of the changed rig, so that what the change does elsewhere is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from retortwright.assess.assessment import ANSWERED, findings_of
from retortwright.assess.finding import Finding
from retortwright.assess.refusals import refusals_of, withheld
from retortwright.belief.beliefs import Draws
from retortwright.ground.errors import AskError, UserError, nearest
from retortwright.ground.words import VERDICTS
from retortwright.reference.tables import Tables
from retortwright.rig.edit import Edit, edited
from retortwright.rig.parts import Rig
from retortwright.rig.written import Written, written_at
from retortwright.situation.situation import Situation

__all__ = ["Solution", "Turned", "parse_until", "solve"]

_STEERING = 32  # samples that steer the search
_HALVINGS = 5
_FURTHER = 6  # steps outward until all samples agree
_BETTER = {"fails": 0, "unknown": 1, "thin": 2, "holds": 3}


@dataclass(frozen=True, slots=True)
class Turned:
    """A finding that changes its verdict with the edit."""

    id: str
    was: str
    then: str

    @property
    def worse(self) -> bool:
        """Whether it is graver afterwards."""
        return _BETTER[self.then] < _BETTER[self.was]


@dataclass(frozen=True, slots=True)
class Solution:
    """What serves: the edit, the finding before and after, and what else turns with it."""

    rig: Rig
    draws: Draws
    wanted: str
    written: Written
    before: Finding
    edit: Edit | None  # None: nothing that was tried serves
    after: Finding | None
    turned: tuple[Turned, ...]
    refused: tuple[str, ...]  # what is refused of the changed rig and was not before
    tried: tuple[str, ...]  # from where to where, or which words

    @property
    def good(self) -> bool:
        """Whether the verdict is as wanted, with the edit or without one."""
        return self.edit is not None or _BETTER[self.before.verdict] >= _BETTER[self.wanted]


def parse_until(text: str) -> tuple[str, str]:
    """A finding and the verdict wanted, from FINDING or FINDING=VERDICT. Raises AskError."""
    name, equals, verdict = text.partition("=")
    verdict = verdict.strip() if equals else "holds"
    if verdict not in ("holds", "thin"):
        raise AskError(f"--until {text}: what is wanted is 'holds' or 'thin', not '{verdict}'")
    return name.strip(), verdict


def solve(rig: Rig, tables: Tables, key: str, until: str, draws: Draws | None = None) -> Solution:
    """The smallest change of a key that gives a finding the verdict wanted.

    Raises AskError where no finding bears that name, EditError where nothing stands at the key.
    """
    name, wanted = parse_until(until)
    search = _Search(rig, tables, draws or Draws(), name, wanted)
    return search.solution(written_at(rig, key))


class _Search:
    def __init__(self, rig: Rig, tables: Tables, draws: Draws, name: str, wanted: str) -> None:
        self.rig, self.tables, self.draws = rig, tables, draws
        self.name, self.wanted = name, wanted
        self.few = draws if draws.samples <= _STEERING else Draws(_STEERING, draws.seed)
        self.whole = Situation(rig, tables, draws)
        self.all = {each.id: each for each in withheld(findings_of(self.whole), refusals_of(self.whole))}
        if name not in self.all:
            listing = f"retortwright assess {rig.path} --format json"
            raise AskError(f"no finding is called '{name}'; {nearest(name, list(self.all))}list them with: {listing}")
        self.question = self.all[name].question

    def solution(self, written: Written) -> Solution:
        """The nearest value that serves, by its size or among the words."""
        before = self.all[self.name]
        if self._good(before):
            return self._told(written, None, ())
        if written.choice is not None:
            words = tuple(written.words())
            for word in words:
                if self._serves(written, word, self.few) and self._serves(written, word, self.draws):
                    return self._told(written, word, words)
            return self._told(written, None, words)
        _ = written.number  # says so where it is no figure
        found = [each for each in (self._towards(written, way) for way in (1, -1)) if each is not None]
        ends = (written.moved(-written.reach), written.moved(written.reach))
        return self._told(written, min(found)[1] if found else None, ends)

    def _towards(self, written: Written, way: int) -> tuple[float, str] | None:
        """How many steps away the nearest value that serves lies in one direction, and that value."""
        last = 0.0
        for steps in _outward(written.reach):
            if self._serves(written, written.moved(way * steps), self.few):
                near = self._narrowed(written, way, last, steps)
                return self._confirmed(written, way, near)
            last = steps
        return None

    def _narrowed(self, written: Written, way: int, short: float, far: float) -> float:
        for _ in range(_HALVINGS):
            middle = (short + far) / 2
            if written.moved(way * middle) in (written.moved(way * short), written.moved(way * far)):
                break
            if self._serves(written, written.moved(way * middle), self.few):
                far = middle
            else:
                short = middle
        return far

    def _confirmed(self, written: Written, way: int, steps: float) -> tuple[float, str] | None:
        """The first value from there outward that serves on all samples."""
        for more in range(_FURTHER):
            value = written.moved(way * (steps + 0.25 * more))
            if self._serves(written, value, self.draws):
                return steps + 0.25 * more, value
        return None

    def _serves(self, written: Written, value: str, draws: Draws) -> bool:
        try:
            rig = edited(self.rig, [Edit(written.key, value)])
        except UserError:
            return False
        situation = Situation(rig, self.tables, draws)
        refused = refusals_of(situation)
        found = next((each for each in ANSWERED[self.question](situation) if each.id == self.name), None)
        return found is not None and self._good(withheld((found,), refused)[0])

    def _good(self, finding: Finding) -> bool:
        return _BETTER[finding.verdict] >= _BETTER[self.wanted]

    def _told(self, written: Written, value: str | None, tried: tuple[str, ...]) -> Solution:
        edit = None if value is None else Edit(written.key, value)
        after: Finding | None = None
        turned: tuple[Turned, ...] = ()
        refused: tuple[str, ...] = ()
        if edit is not None:
            changed = Situation(edited(self.rig, [edit]), self.tables, self.draws)
            own = {each.id for each in refusals_of(self.whole)}
            again = refusals_of(changed)
            refused = tuple(each.id for each in again if each.id not in own)
            found = {each.id: each for each in withheld(findings_of(changed), again)}
            after, turned = found[self.name], tuple(self._turned(found))
        before = self.all[self.name]
        return Solution(
            self.rig, self.draws, self.wanted, written, before, edit, after, turned, refused, tried
        )

    def _turned(self, found: dict[str, Finding]) -> Iterator[Turned]:
        order = sorted(found.values(), key=lambda each: (VERDICTS.index(each.verdict), each.id))
        for each in order:
            was = self.all.get(each.id)
            if was is not None and was.verdict != each.verdict and each.id != self.name:
                yield Turned(each.id, was.verdict, each.verdict)


def _outward(reach: int) -> Iterator[float]:
    """Steps from one to the farthest, ever longer."""
    steps = 1.0
    while steps < reach:
        yield steps
        steps = min(steps + max(1.0, steps / 2), float(reach))
    yield float(reach)
