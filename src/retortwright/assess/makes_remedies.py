# SPDX-License-Identifier: MIT
"""Remedies of question 1: another top temperature, other masses, a drier salt.

Each is found by the same evaluation as the finding: the smallest change that holds. Drier means
that it has to be dried and measured so, not that a number may be typed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from retortwright.assess.finding import Finding, Mend
from retortwright.assess.makes_metal import MAKES_METAL
from retortwright.ground.errors import UserError
from retortwright.ground.words import VERDICTS
from retortwright.rig.edit import Edit, edited
from retortwright.rig.parts import Reagent
from retortwright.situation.route import Route, route_of
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = ["with_charge_mends"]

_MOST = 3
_HOTTER = (10.0, 20.0, 40.0, 60.0, 80.0, 120.0)  # K
_MORE = (1.1, 1.25, 1.5, 2.0, 3.0)
_LESS = (0.9, 0.75, 0.5, 0.33, 0.25)
_DRIER = (0.5, 0.25, 0.1, 0.05, 0.02)
_SLOWER = (0.75, 0.5, 0.33, 0.2)
_HOTTER_ALSO = "joints, walls and leak get hotter too: assess again with this edit"
_Edits = tuple[Edit, ...]


def with_charge_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 1 (or one of them) that fails or is thin with what would mend it."""
    before = {each.id: each.verdict for each in findings if each.question == MAKES_METAL.number}
    return tuple(_mended(situation, each, before) if one in (None, each.id) else each for each in findings)


def _mended(situation: Situation, finding: Finding, before: dict[str, str]) -> Finding:
    if finding.question != MAKES_METAL.number or finding.verdict not in ("fails", "thin"):
        return finding
    mends: list[Mend] = []
    for choices in _proposals(situation, finding):
        mend = next(
            (made for made in (_tried(situation, finding, each, before) for each in choices) if made), None
        )
        if mend is not None:
            mends.append(mend)
        if len(mends) == _MOST:
            break
    return replace(finding, mend=tuple(mends))


def _tried(situation: Situation, finding: Finding, edits: _Edits, before: dict[str, str]) -> Mend | None:
    """The remedy, if the finding holds after the edits."""
    try:
        rig = edited(situation.rig, edits)
    except UserError:
        return None
    changed = Situation(rig, situation.tables, situation.draws, situation.split, near=situation)
    then = MAKES_METAL.finding(changed, finding.id)
    if then is None or then.verdict != "holds":
        return None
    also = [_HOTTER_ALSO] if any(edit.key.endswith(".to") for edit in edits) else []
    for each in MAKES_METAL.findings(changed):
        was = before.get(each.id)
        if each.id != finding.id and was is not None and each.verdict != was:
            turned = "worse" if VERDICTS.index(each.verdict) < VERDICTS.index(was) else "better"
            also.append(f"{turned}: {each.id} {was} -> {each.verdict}")
    low, high = then.judgement.low or 0.0, then.judgement.high or 0.0
    also.sort(key=lambda words: not words.startswith("worse"))
    return Mend({edit.key: edit.value for edit in edits}, low, high, then.verdict, tuple(also))


def _proposals(situation: Situation, finding: Finding) -> Iterator[Sequence[_Edits]]:
    """Changes of one kind, the smallest first."""
    route = route_of(situation.rig, situation.tables)
    whole = tuple(situation.rig.charge)
    reductants = tuple(each for each in whole if isinstance(route, Route) and each.formula == route.reductant)
    check = finding.check
    if check in ("pressure-fresh", "pressure-late"):
        yield from _heat(situation, _HOTTER)
    if check in ("reductant-over", "salt-over"):
        yield from _heat(situation, tuple(-step for step in _HOTTER))
    if check in ("pressure-late", "product", "batch", "reductant-over", "salt-over"):
        yield [_scaled(whole, factor) for factor in _MORE]
    if check == "reductant-excess":
        yield [_scaled(reductants, factor) for factor in (1.05, *_MORE)]
    if check == "reductant-leftover":
        yield [_scaled(reductants, factor) for factor in (0.95, *_LESS)]
    if check in ("fill-cold", "fill-dry", "fill-melted", "fill-foam", "charge-power"):
        yield [_scaled(whole, factor) for factor in _LESS]
    if check == "charge-power":
        yield from _slower(situation)
    if check in ("water", "hydrogen"):
        yield [_dried(whole, factor) for factor in _DRIER]


def _heat(situation: Situation, steps: Sequence[float]) -> Iterator[Sequence[_Edits]]:
    state = hottest_state(situation.rig)
    target = situation.rig.set_point(state) if state is not None else None
    if target is not None:
        key = f"programme.steps.{state}.to"
        yield [(Edit(key, f"{target - 273.15 + step:.0f} degC"),) for step in steps]


def _slower(situation: Situation) -> Iterator[Sequence[_Edits]]:
    state = hottest_state(situation.rig)
    ramp = next((step.ramp for step in situation.rig.steps if step.state == state and step.ramp), None)
    if ramp is not None:
        key = f"programme.steps.{state}.ramp"
        yield [(Edit(key, f"{ramp * 60 * share:.2g} K/min"),) for share in _SLOWER]


def _scaled(reagents: tuple[Reagent, ...], factor: float) -> _Edits:
    """Masses of some reagents, all by the same factor, as one can weigh them."""
    return tuple(
        Edit(f"charge.{each.formula}.mass", f"{each.mass.best * 1e3 * factor:.3g} g") for each in reagents
    )


def _dried(reagents: tuple[Reagent, ...], factor: float) -> _Edits:
    """The water of every reagent at a share of its worse end."""
    wet = [each for each in reagents if "H2O" in each.contains]
    return tuple(
        Edit(f"charge.{each.formula}.contains.H2O", f"{each.contains['H2O'].high * factor * 100:.2g} %")
        for each in wet
    )
