# SPDX-License-Identifier: MIT
"""What cannot be at the same place: two covers on one stretch of wall, a side arm wider than its stem."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from retortwright.rig.locate import Path
from retortwright.rig.parts import Cool, Heat, Lag, Piece, Rig

__all__ = ["check_room"]

_TOUCH = 1e-6  # m: covers may meet end to end


@dataclass(frozen=True, slots=True)
class _Cover:
    """What lies over some stretches: under lagging or in air tapes and coils may lie, in a furnace coils only."""

    table: str
    item: Heat | Lag | Cool
    kind: str  # furnace, tape, lag, coil, or a cooling that takes the place alone

    @property
    def name(self) -> str:
        """The name in the file."""
        return self.item.name


def check_room(rig: Rig, mistakes: list[tuple[Path, str]]) -> None:
    """Note every pair of covers that overlap where they must not, and every side arm that is too wide."""
    lengths = {piece.name: piece.length.best for piece in rig.pieces}
    for one, other in combinations(_covers(rig), 2):
        if not _clash(rig, one, other):
            continue
        for name, stretch in one.item.over.items():
            second = other.item.over.get(name)
            if second is None or name not in lengths:
                continue
            ends = [lengths[name] if each.end is None else each.end for each in (stretch, second)]
            start, end = max(stretch.start, second.start), min(ends)
            if end - start > _TOUCH:
                says = (
                    f"{other.name} and {one.name} both lie over {name} from {start * 1e3:.4g} to {end * 1e3:.4g} mm; "
                    "only one of them can"
                )
                mistakes.append(((other.table, other.name, "over", name), says))
    _check_arms(rig, mistakes)


def _covers(rig: Rig) -> Iterator[_Cover]:
    for heat in rig.heat:
        yield _Cover("heat", heat, "furnace" if heat.holds is None else "tape")
    for lag in rig.lag:
        yield _Cover("lag", lag, "lag")
    for cool in rig.cool:
        yield _Cover("cool", cool, "coil" if cool.by == "water coil" else "cooling")


def _clash(rig: Rig, one: _Cover, other: _Cover) -> bool:
    """Whether two covers exclude each other; coolings that never run together may take turns."""
    kinds = {one.kind, other.kind}
    if "coil" in kinds:
        return False
    if "tape" in kinds:
        return "furnace" in kinds
    if kinds == {"cooling"}:
        return any({one.name, other.name} <= set(state.running) for state in rig.states)
    return True


def _check_arms(rig: Rig, mistakes: list[tuple[Path, str]]) -> None:
    by_name = {piece.name: piece for piece in rig.pieces}
    for piece in rig.pieces:
        stem = by_name.get((piece.on or "").split(".")[0])
        if stem is None or piece.at is None or stem.shape == "flask" or piece.at > stem.length.best - _TOUCH:
            continue
        wide = _outside(stem, piece.at)
        if piece.tube.outside > wide + _TOUCH:
            says = (
                f"{piece.name} is {piece.tube.outside * 1e3:.4g} mm wide and sits on the side of {stem.name}, which is "
                f"{wide * 1e3:.4g} mm wide there; a side arm is no wider than its stem"
            )
            mistakes.append((("piece", piece.name, "tube"), says))


def _outside(piece: Piece, place: float) -> float:
    """Outside diameter at a place [m]."""
    end = piece.tube if piece.tapers_to is None else piece.tapers_to
    return piece.tube.outside + place / piece.length.best * (end.outside - piece.tube.outside)
