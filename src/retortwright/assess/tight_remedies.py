# SPDX-License-Identifier: MIT
"""Remedies of question 6: a wider or shorter way to the pump, a hose of another material.

Each is found by the same evaluation as the finding: the smallest change that holds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from retortwright.assess.finding import Finding, Mend
from retortwright.assess.tight import QUESTION, tight_finding
from retortwright.ground.errors import UserError
from retortwright.rig.edit import Edit, edited
from retortwright.situation.gas import GasWork
from retortwright.situation.situation import Situation

__all__ = ["with_gas_mends"]

_MOST = 2
_WIDER = (1.25, 1.5, 2.0, 3.0)
_SHORTER = (0.75, 0.5, 0.3)


def with_gas_mends(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings; each of question 6 (or one of them) that fails or is thin with what would mend it."""
    return tuple(_mended(situation, each) if one in (None, each.id) else each for each in findings)


def _mended(situation: Situation, finding: Finding) -> Finding:
    if finding.question != QUESTION or finding.verdict not in ("fails", "thin"):
        return finding
    mends: list[Mend] = []
    for values in _proposals(situation, finding):
        mend = next((made for made in (_tried(situation, finding, edit) for edit in values) if made), None)
        if mend is not None:
            mends.append(mend)
        if len(mends) == _MOST:
            break
    return replace(finding, mend=tuple(mends))


def _tried(situation: Situation, finding: Finding, edit: Edit) -> Mend | None:
    """The remedy, if the finding holds after the edit."""
    try:
        rig = edited(situation.rig, [edit])
    except UserError:
        return None
    changed = Situation(rig, situation.tables, situation.draws, situation.split, near=situation)
    then = tight_finding(changed, finding.id)
    if then is None or then.verdict != "holds":
        return None
    low, high = then.judgement.low or 0.0, then.judgement.high or 0.0
    return Mend({edit.key: edit.value}, low, high, then.verdict, ())


def _proposals(situation: Situation, finding: Finding) -> Iterator[tuple[Edit, ...]]:
    """Keys with their values, the smallest change first."""
    if finding.check in ("base-pressure", "pump-down"):
        for row in situation.rig.pieces:
            if (
                row.of not in ("butyl", "PTFE")
                and ("permeability", row.of, "oxygen") in situation.tables.rows
            ):
                yield (Edit(f"piece.{row.name}.of", "butyl"),)
        if _way_resists(situation, finding):
            yield from _better_way(situation, finding.state)
    if finding.check == "permeation":
        name = finding.at.removeprefix("piece.")
        hose = next((piece for piece in situation.rig.pieces if piece.name == name), None)
        if (
            hose is not None
            and hose.of != "butyl"
            and ("permeability", hose.of, "oxygen") in situation.tables.rows
        ):
            yield (Edit(f"piece.{name}.of", "butyl"),)
        if hose is not None:
            yield tuple(
                Edit(f"piece.{name}.length", f"{hose.length.best * share * 1e3:.4g} mm") for share in _SHORTER
            )
    if finding.check == "argon-oxygen" and situation.rig.plant.argon_hose is not None:
        yield (Edit("plant.argon.hose.of", "nylon"), Edit("plant.argon.hose.of", "butyl"))
        length = situation.rig.plant.argon_hose.length
        yield tuple(Edit("plant.argon.hose.length", f"{length * share:.3g} m") for share in _SHORTER)


def _way_resists(situation: Situation, finding: Finding) -> bool:
    """Whether a better way to the pump could help at all."""
    if finding.check == "pump-down" or finding.limit is None or finding.reserve is None:
        return True
    pump = GasWork(situation).base_pressure(finding.state).said["pump"]
    return bool(float(pump.max()) <= finding.limit - finding.reserve)


def _better_way(situation: Situation, state: str) -> Iterator[tuple[Edit, ...]]:
    """A wider or a shorter piece on the way, the one that resists most first."""
    work = GasWork(situation)
    rows = [(each, situation.tree.instances[each.instance].row) for each in work.way_to_pump(state)[1:]]
    for passage, row in sorted(rows, key=lambda pair: -pair[0].length / pair[1].tube.bore ** 3)[:2]:
        outside = row.tube.outside * 1e3
        yield tuple(Edit(f"piece.{row.name}.tube.outside", f"{outside * wider:.4g} mm") for wider in _WIDER)
        if (
            row.bend is None
            and row.shape == "tube"
            and not row.length.wide
            and passage.length > 0.5 * row.length.best
        ):
            shorter = (f"{row.length.best * share * 1e3:.4g} mm" for share in _SHORTER)
            yield tuple(Edit(f"piece.{row.name}.length", each) for each in shorter)
