# SPDX-License-Identifier: MIT
"""Remedies of question 3: a colder charge, an earlier cut, a purer salt, a tighter rig, a warmer landing.

The charge is followed and the line solved again for each trial, on samples that lie evenly over the band
of what is counted besides the product; there a finding has to hold farther out than its band goes. One
trial serves every finding. Purer and tighter mean that it has to be bought or found and measured so, not
that a number may be typed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from retortwright.assess.check import seen_values
from retortwright.assess.finding import Finding, Mend
from retortwright.assess.how_clean import HOW_CLEAN
from retortwright.ground.errors import UserError
from retortwright.ground.formula import elements_of
from retortwright.ground.units import TAIL
from retortwright.ground.words import VERDICTS
from retortwright.rig.edit import Edit, edited
from retortwright.situation.purity import purity_of
from retortwright.situation.purity_figures import clean_until
from retortwright.situation.situation import Situation

__all__ = ["with_clean_mends"]

_Edits = tuple[Edit, ...]

_MOST = 2  # remedies for one finding
_SAMPLES = 20  # spread over each of two bands, to try with
_LESS = (0.9, 0.75, 0.5, 0.33, 0.25)
_PURER = (0.9, 0.5)  # of what the limit asks for
_EACH = 40.0  # K by which salt and reductant fall to a third, or further
_ABOUT = (0.8, 1.2)
_TIGHTER = (0.5, 0.2, 0.1, 0.05, 0.02)
_WARMER = (20.0, 40.0, 80.0, 120.0, 160.0)  # K
_ELSEWHERE = "joints, walls, yield and time change with it: assess again with this edit"


def with_clean_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 3 (or one of them) that fails or is thin with what would mend it."""
    wrong = [
        each for each in findings if each.question == HOW_CLEAN.number and each.verdict in ("fails", "thin")
    ]
    if not any(one in (None, each.id) for each in wrong):
        return findings
    trials = _Trials(situation, {each.id: each for each in findings if each.question == HOW_CLEAN.number})
    return tuple(
        replace(each, mend=tuple(trials.mends(each))) if each in wrong and one in (None, each.id) else each
        for each in findings
    )


class _Trials:
    """Changed rigs on some samples, each made once."""

    def __init__(self, situation: Situation, before: dict[str, Finding]) -> None:
        self.situation, self.before = situation, before
        self.draws = situation.draws.picked(self._columns())
        self.changed: dict[_Edits, Situation | None] = {}

    def _columns(self) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
        """Samples that lie evenly over two bands: what is counted besides the product, how much is to be taken."""
        draws, last = self.situation.draws, list(self.before.values())[-1]
        work = purity_of(self.situation, last.state)
        chosen: set[int] = set()
        for values in (HOW_CLEAN.values(self.situation, last), work.stop(work.ledger())):
            order = np.argsort(values, kind="stable")
            count = min(_SAMPLES, len(order))
            chosen |= set(order[((np.arange(count) + 0.5) * len(order) / count).astype(np.intp)].tolist())
        columns = np.array(sorted(chosen), dtype=np.intp)
        return columns if draws.pick is None else np.array(draws.pick, dtype=np.intp)[columns]

    def mends(self, finding: Finding) -> Iterator[Mend]:
        """The smallest change of each kind that holds."""
        made = 0
        for choices in _proposals(self.situation, finding, self.before):
            edits = self._smallest(choices, finding)
            if edits is not None and made < _MOST:
                made += 1
                yield self._told(edits, finding)

    def _smallest(self, choices: Sequence[_Edits], finding: Finding) -> _Edits | None:
        """The first of some changes, from small to large, that holds; none where neither of the largest two does."""
        last = next(
            (n for n in range(len(choices) - 1, -1, -1)[:2] if self._holds(choices[n], finding)), None
        )
        if last is None:
            return None
        low, high = -1, last
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if self._holds(choices[middle], finding) else (middle, high)
        return choices[high]

    def _rig(self, edits: _Edits) -> Situation | None:
        """The changed rig; None where such a rig cannot be."""
        if edits not in self.changed:
            own = self.situation
            try:
                rig = edited(own.rig, edits)
                self.changed[edits] = Situation(rig, own.tables, self.draws, own.split, near=own, rough=True)
            except UserError:
                self.changed[edits] = None
        return self.changed[edits]

    def _holds(self, edits: _Edits, finding: Finding) -> bool:
        """Whether a finding holds, farther out than its band goes."""
        changed = self._rig(edits)
        then = None if changed is None else HOW_CLEAN.finding(changed, finding.id)
        if changed is None or then is None or then.verdict != "holds" or then.limit is None:
            return False
        check = HOW_CLEAN.check(changed, finding.id)
        if check is None or then.reserve is None:
            return False
        sign = 1.0 if then.worse == "high" else -1.0
        end = float(np.quantile(sign * seen_values(check), 1.0 - TAIL / 2))
        return end <= sign * then.limit - then.reserve

    def _told(self, edits: _Edits, finding: Finding) -> Mend:
        """The remedy in words, with what else of the question changes."""
        changed, also = self._rig(edits), []
        assert changed is not None
        after = {each.id: each for each in HOW_CLEAN.findings(changed)}
        for name, before in self.before.items():
            other = after.get(name)
            if name == finding.id or other is None or "unknown" in (before.verdict, other.verdict):
                continue
            if other.verdict != before.verdict:
                graver = VERDICTS.index(other.verdict) < VERDICTS.index(before.verdict)
                turned = "worse" if graver else "better"
                also.append(f"{turned}: {name} {before.verdict} -> {other.verdict}")
        also.sort(key=lambda words: not words.startswith("worse"))
        then = after[finding.id].judgement
        made = {edit.key: edit.value for edit in edits}
        return Mend(made, then.low or 0.0, then.high or 0.0, then.verdict, (*also, _ELSEWHERE))


def _proposals(
    situation: Situation, finding: Finding, before: Mapping[str, Finding]
) -> Iterator[Sequence[_Edits]]:
    """Changes of one kind, the smallest first."""
    hot, dirty = (_times_over(before, check) for check in ("carry-over", "other-metals"))
    whole = finding.check in ("cut", "purity")
    if finding.check == "carry-over" or whole:
        yield from _earlier(situation, finding)
    if finding.check == "carry-over" or (whole and dirty <= 1.0):
        yield from _colder(situation, finding, hot)
    if finding.check == "other-metals" or (whole and hot <= 1.0):
        yield from _purer(situation, dirty)
    if whole and hot > 1.0 and dirty > 1.0:
        for purer in _purer(situation, dirty):
            for colder in _colder(situation, finding, hot):
                yield [(*purer[-1], *each) for each in colder]
    if finding.check in ("oxygen-in", "nitrogen-in"):
        yield from _tighter(situation)
    if finding.check == "form":
        yield from _warmer(situation, finding)


def _times_over(before: Mapping[str, Finding], check: str) -> float:
    """How many times what it may be the worse end of the worst finding of a check is; one where it holds."""
    found = [
        each.judgement.high / (each.limit - each.reserve)
        for each in before.values()
        if each.check == check and each.judgement.high is not None and each.limit and each.reserve is not None
    ]
    return max([1.0, *found])


def _earlier(situation: Situation, finding: Finding) -> Iterator[Sequence[_Edits]]:
    """Less of it, no more than what the worse end of the cut leaves."""
    amount, cut = situation.rig.aim.amount, clean_until(purity_of(situation, finding.state))
    if amount is None or cut.missing or situation.rig.charge[0].formula == situation.rig.aim.metal:
        return
    clean = float(np.nan_to_num(np.nanquantile(cut.values, TAIL)))
    choices = [
        (Edit("aim.amount", f"{amount * 1e3 * share:.3g} g"),) for share in _LESS if amount * share <= clean
    ]
    if choices:
        yield choices


def _colder(situation: Situation, finding: Finding, over: float) -> Iterator[Sequence[_Edits]]:
    """Colder by what salt and reductant take to fall to their limits, a little less and a little more."""
    target = situation.rig.set_point(finding.state)
    if target is not None and over > 1.0:
        key = f"programme.steps.{finding.state}.to"
        steps = [10.0 * math.ceil(share * _EACH * math.log(over) / 10.0) for share in _ABOUT]
        yield [(Edit(key, f"{target - 273.15 - less:.0f} degC"),) for less in steps]


def _purer(situation: Situation, over: float) -> Iterator[Sequence[_Edits]]:
    """All other metals that the file states in salts and metals, at a share of their worse end."""
    others = [
        (f"charge.{each.formula}.contains.{name}", band.high)
        for each in situation.rig.charge
        for name, band in each.contains.items()
        if situation.rig.aim.metal in elements_of(each.formula) and not {"H", "O"} & set(elements_of(name))
    ]
    if others and over > 1.0:
        shares = [share / over for share in _PURER]
        yield [tuple(Edit(key, f"{high * share * 100:.1g} %") for key, high in others) for share in shares]


def _tighter(situation: Situation) -> Iterator[Sequence[_Edits]]:
    leak = situation.rig.assume.get("leak")
    if leak is not None:
        yield [(Edit("assume.leak", f"{leak.high * 10 * share:.2g} mbar L/s"),) for share in _TIGHTER]


def _warmer(situation: Situation, finding: Finding) -> Iterator[Sequence[_Edits]]:
    running = next(each.running for each in situation.rig.states if each.name == finding.state)
    for tape in situation.rig.heat:
        if tape.holds is not None and tape.name in running:
            celsius = tape.holds - 273.15
            yield [(Edit(f"heat.{tape.name}.holds", f"{celsius + more:.0f} degC"),) for more in _WARMER]
