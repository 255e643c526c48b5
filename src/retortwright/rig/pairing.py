# SPDX-License-Identifier: MIT
"""Which joint joins which walls: a weld takes metal to metal, a blown seam one glass to itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from retortwright.ground.errors import allowed_words
from retortwright.reference.datum import Row
from retortwright.reference.tables import shipped
from retortwright.rig.locate import Path
from retortwright.rig.parts import Piece
from retortwright.rig.vocabulary import joints

__all__ = ["check_joints", "fits", "fitting_joints", "is_metal", "wall_class"]

_GLASSES = ("borosilicate", "fused silica")
_CERAMICS = ("alumina",)
_ANY = "any"
_ALIKE = "alike"


def is_metal(material: str) -> bool:
    """Whether a wall is of metal: these have an outside that may be bright or oxidised."""
    return ("materials", material, "emissivity-unstated") in shipped().rows


def wall_class(material: str) -> str:
    """What a wall is to a joint: metal, glass, ceramic or hose.

    >>> [wall_class(material) for material in ("304L", "borosilicate", "alumina", "butyl")]
    ['metal', 'glass', 'ceramic', 'hose']
    """
    if is_metal(material):
        return "metal"
    return "glass" if material in _GLASSES else "ceramic" if material in _CERAMICS else "hose"


def fits(joint: str, walls: Sequence[str]) -> bool:
    """Whether a joint joins these walls: two, or one where only one is in the file (a closure, a seat).

    >>> fits("TIG", ("304L", "316L")), fits("TIG", ("304L", "borosilicate"))
    (True, False)
    """
    never = shipped().find("joints", joint, "never")
    if isinstance(never, Row) and set(never.data.split(" / ")) & set(walls):
        return False
    kinds = sorted(wall_class(wall) for wall in walls)
    for one, *other in _pairs(joint):
        if one == _ANY:
            return True
        if other == [_ALIKE]:
            if set(kinds) == {one} and len(set(walls)) == 1:
                return True
        elif kinds == sorted([one, *other]) or (len(kinds) == 1 and kinds[0] in (one, *other)):
            return True
    return False


def fitting_joints(walls: Sequence[str]) -> list[str]:
    """Every joint that joins these walls; valve seats join nothing and are left out."""
    return [joint for joint in joints() if not joint.endswith("seat") and fits(joint, walls)]


def check_joints(pieces: Sequence[Piece], mistakes: list[tuple[Path, str]]) -> None:
    """Note every joint that cannot join the walls it stands between."""
    for path, joint, walls in _joints_of(pieces):
        if not fits(joint, walls):
            here = f"{walls[0]} meets {walls[1]}" if len(walls) > 1 else f"the wall is {walls[0]}"
            seat = path[-1] == "valve"
            other = [each for each in joints() if each.endswith("seat") and fits(each, walls)]
            allowed = other if seat else fitting_joints(walls)
            mistakes.append((path, f"{_said(joint)}; here {here}; for these: {allowed_words(allowed)}"))


def _joints_of(pieces: Sequence[Piece]) -> Iterator[tuple[Path, str, tuple[str, ...]]]:
    by_name = {piece.name: piece for piece in pieces}
    for piece in pieces:
        path: Path = ("piece", piece.name)
        under = by_name.get((piece.on or "").split(".")[0])
        if piece.joined is not None and under is not None:
            yield (*path, "joined"), piece.joined, (under.of, piece.of)
        if piece.bottom is not None:
            yield (*path, "bottom", "joined"), piece.bottom.joined, (piece.of,)
        if piece.valve is not None:
            yield (*path, "valve"), piece.valve, (piece.of,)
        if piece.closed is not None:
            yield (*path, "closed"), piece.closed.joined, (piece.of,)
        if piece.receives is not None and piece.receives.sealed is not None:
            yield (*path, "receives", "sealed"), piece.receives.sealed, (piece.of,)
        met = by_name.get(piece.meets.piece.split(".")[0]) if piece.meets is not None else None
        if piece.meets is not None and met is not None:
            yield (*path, "meets", "joined"), piece.meets.joined, (met.of, piece.of)


@cache
def _pairs(joint: str) -> tuple[tuple[str, ...], ...]:
    row = shipped().find("joints", joint, "joins")
    data = row.data if isinstance(row, Row) else _ANY
    return tuple(tuple(pair.split(" ")) for pair in data.split(" / "))


def _said(joint: str) -> str:
    never = shipped().find("joints", joint, "never")
    pairs = (
        f"{one} to the same {one}" if other == _ALIKE else f"{one} to {other}" for one, other in _pairs(joint)
    )
    but = f", but not {never.data.replace(' / ', ' or ')}" if isinstance(never, Row) else ""
    return f"{joint} joins {' or '.join(pairs)}{but}"
