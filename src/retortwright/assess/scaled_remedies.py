# SPDX-License-Identifier: MIT
"""Remedies that are one figure more or less: what stands ready, how long and how hot a step is, what was left in.

The figure in the file is moved by even steps, in the one direction that helps, until the finding holds on all
samples; the smallest such step is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from retortwright.assess.check import finding_of
from retortwright.assess.finding import Finding, Mend
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.assess.hurts_you import hurts_finding
from retortwright.assess.makes_metal import MAKES_METAL
from retortwright.assess.stands import checks_of
from retortwright.ground.errors import EditError, UserError
from retortwright.rig.edit import Edit, edited
from retortwright.rig.written import written_at
from retortwright.situation.situation import Situation

__all__ = ["with_scaled_mends"]

_MOST = 2  # remedies for one finding
_ELSEWHERE = "joints, walls and charge change with it: assess again with this edit"
_UP, _DOWN = 1, -1
_PLATES = ("6 mm", "8 mm", "10 mm", "12 mm", "15 mm", "20 mm")  # that one can buy

_FIND: Mapping[int, Callable[[Situation, str], Finding | None]] = {
    1: MAKES_METAL.finding,
    2: GETS_ACROSS.finding,
    8: hurts_finding,
}


@dataclass(frozen=True, slots=True)
class _Way:
    """A key, with {at} and {state} of the finding in it, and which way it helps; or the words that may help."""

    key: str
    way: int = _UP
    words: tuple[str, ...] = ()
    alone: bool = False  # whether nothing else hangs on it


_WAYS: Mapping[str, tuple[_Way, ...]] = {
    "agent": (_Way("safety.agent", alone=True),),
    "tray": (_Way("safety.tray", alone=True),),
    "clear": (_Way("safety.clear", alone=True),),
    "people": (_Way("safety.people", words=("2", "3"), alone=True),),
    "water-near": (_Way("safety.water", alone=True),),
    "quench-hydrogen": (_Way("safety.hood", alone=True),),
    "hydrogen-room": (_Way("safety.ventilation", alone=True), _Way("safety.room", alone=True)),
    "argon-room": (_Way("safety.ventilation", alone=True), _Way("safety.room", alone=True)),
    "carbonate": (_Way("{at}", _DOWN, alone=True),),
    "flat-end": (_Way("{at}.thick", words=_PLATES, alone=True),),  # or dish it, as the finding says
    "run-ends": (_Way("programme.steps.{state}.hold"), _Way("programme.steps.{state}.to")),
    "furnace-power": (_Way("{at}.power"), _Way("programme.steps.{state}.ramp", _DOWN)),
}


def with_scaled_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each that one figure mends (or one of them) with the smallest change of it that holds."""
    return tuple(_mended(situation, each) if one in (None, each.id) else each for each in findings)


def _mended(situation: Situation, finding: Finding) -> Finding:
    ways = _WAYS.get(finding.check, ())
    if finding.mend or not ways or finding.verdict not in ("fails", "thin"):
        return finding
    found = (_smallest(situation, finding, each) for each in ways)
    return replace(finding, mend=tuple(each for each in found if each is not None)[:_MOST])


def _smallest(situation: Situation, finding: Finding, way: _Way) -> Mend | None:
    """The least of the values that hold; values only get stronger."""
    values = tuple(_values(situation, finding, way))
    if not values or not _holds(situation, finding, values[-1]):
        return None
    low, high = -1, len(values) - 1
    while high - low > 1:
        middle = (low + high) // 2
        if _holds(situation, finding, values[middle]):
            high = middle
        else:
            low = middle
    then = _then(situation, finding, values[high])
    if then is None:
        return None
    low_then, high_then = then.judgement.low or 0.0, then.judgement.high or 0.0
    also = () if way.alone else (_ELSEWHERE,)
    return Mend({values[high].key: values[high].value}, low_then, high_then, then.verdict, also)


def _values(situation: Situation, finding: Finding, way: _Way) -> Iterator[Edit]:
    """The values to try, each of which the file may hold."""
    key = way.key.format(at=finding.at, state=finding.state)
    try:
        written = written_at(situation.rig, key)
        texts = way.words or tuple(written.moved(way.way * step) for step in range(1, written.reach + 1))
    except EditError:
        return
    for text in dict.fromkeys(texts):
        try:
            edited(situation.rig, [Edit(key, text)])
        except UserError:
            return
        yield Edit(key, text)


def _holds(situation: Situation, finding: Finding, edit: Edit) -> bool:
    then = _then(situation, finding, edit)
    return then is not None and then.verdict == "holds"


def _then(situation: Situation, finding: Finding, edit: Edit) -> Finding | None:
    """The finding in the changed rig."""
    rig = edited(situation.rig, [edit])
    changed = Situation(rig, situation.tables, situation.draws, situation.split, near=situation)
    if finding.check == "flat-end":
        row = finding.place.partition(".")[0]
        return next(
            (finding_of(changed, each, finding.question) for each in checks_of(changed, row, "flat-end")), None
        )
    return _FIND[finding.question](changed, finding.id)
