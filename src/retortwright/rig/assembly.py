# SPDX-License-Identifier: MIT
"""From values read key by key to one rig: what only the whole file can say wrong."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from retortwright.ground.units import Band
from retortwright.rig.locate import Path
from retortwright.rig.pairing import check_joints
from retortwright.rig.parts import (
    Aim,
    Bend,
    Bottom,
    Closure,
    Cool,
    Gauge,
    Heat,
    Lag,
    Meeting,
    Money,
    Piece,
    Plant,
    Reagent,
    Receiver,
    Rig,
    Safety,
    State,
    Step,
)
from retortwright.rig.room import check_room

__all__ = ["assembled"]

_Mistakes = list[tuple[Path, str]]


def assembled(
    read: Mapping[str, Any], path: str, text: str, lines: Mapping[Path, int], mistakes: _Mistakes
) -> Rig | None:
    """The rig, or None with mistakes noted. Parts that could not be read are left out of the checks."""
    whole = _Complete(read)
    pieces = tuple(_piece(name, item, mistakes) for name, item in whole.entries("piece"))
    if read.get("piece") is not None:
        before = len(mistakes)
        _check_tree(pieces, set(read["piece"]), mistakes)
        if len(mistakes) == before:
            check_joints(pieces, mistakes)
    every_step = whole.record("programme").get("steps")
    steps = [step for step in every_step or () if _full(step)]
    rig = Rig(
        path,
        text,
        Aim(**aim) if (aim := whole.record("aim")).get("metal") else Aim("Na"),
        pieces,
        tuple(State(name, **item) for name, item in whole.entries("state")),
        tuple(Step(**step) for step in steps),
        tuple(Reagent(formula, **item) for formula, item in whole.entries("charge")),
        tuple(Heat(name, **item) for name, item in whole.entries("heat")),
        tuple(Lag(name, **item) for name, item in whole.entries("lag")),
        tuple(Cool(name, **item) for name, item in whole.entries("cool")),
        _plant(dict(whole.entries("plant"))),
        read.get("assume") or {},
        read.get("tighten") or {},
        lines,
        read.get("experience") or {},
        Safety(**whole.record("safety")),
        Money(**money) if {"price", "buying"} <= (money := whole.record("money")).keys() else None,
    )
    _check_places(rig, dict(whole.entries("plant")), mistakes)
    if every_step is not None and len(steps) == len(every_step):
        _check_programme(rig, mistakes)
    _check_namesakes(rig, mistakes)
    if not mistakes:
        check_room(rig, mistakes)
    return None if mistakes else rig


class _Complete:
    """The entries of each table that were read without a mistake."""

    def __init__(self, read: Mapping[str, Any]) -> None:
        self.read = read

    def entries(self, table: str) -> list[tuple[str, dict[str, Any]]]:
        """Name and values of each complete entry."""
        items = self.read.get(table) or {}
        return [(name, item) for name, item in items.items() if _full(item)]

    def record(self, table: str) -> dict[str, Any]:
        """A table of fixed keys, without what could not be read."""
        return {key: value for key, value in (self.read.get(table) or {}).items() if value is not None}


def _full(item: Any) -> bool:
    """Whether everything in an entry could be read."""
    if isinstance(item, Mapping):
        return all(_full(value) for value in item.values())
    return item is not None


def _piece(name: str, item: dict[str, Any], mistakes: _Mistakes) -> Piece:
    values = dict(item)
    path: Path = ("piece", name)
    if "rises" in values and "falls" in values:
        mistakes.append(((*path, "falls"), "a piece either rises or falls; take one of the two out"))
    slope = values.pop("rises", 0.0) - values.pop("falls", 0.0)
    bend = values.pop("bend", None)
    closed = values.pop("closed", None)
    bend = Bend(**bend) if bend else None
    length = values.pop("length", None)
    own = _own_length(values, bend)
    if length is None and own is None:
        mistakes.append((path, "the key length is missing (near end to far end): a length such as '160 mm'"))
    if length is not None and own is not None:
        mistakes.append(((*path, "length"), "a bend or a flask has its own length; take this one out"))
    made = length or own or Band(1.0, 1.0, 1.0)
    if values.get("count", 1) > 1:
        for key, meaning in (("at", "where the first one sits"), ("every", "distance from one to the next")):
            if key not in values:
                mistakes.append((path, f"the key {key} is missing ({meaning}) beside count"))
    return Piece(
        name,
        values.pop("tube"),
        values.pop("of"),
        made,
        slope=slope,
        bend=bend,
        closed=Closure(**closed) if isinstance(closed, dict) else Closure(closed) if closed else None,
        bottom=_made(Bottom, values.pop("bottom", None)),
        receives=_made(Receiver, values.pop("receives", None)),
        meets=_made(Meeting, values.pop("meets", None)),
        **values,
    )


def _made(cls: type[Any], item: dict[str, Any] | None) -> Any:
    return cls(**item) if item is not None else None


def _own_length(values: Mapping[str, Any], bend: Bend | None) -> Band | None:
    if bend is not None:
        arc = bend.turns * bend.radius
        return Band(arc, arc, arc)
    if values.get("shape") == "flask":
        across = values["tube"].outside
        return Band(across, across, across)
    return None


def _plant(item: Mapping[str, Any]) -> Plant:
    fixed = {key: item[key] for key in ("pump", "argon", "relief", "bubbler") if key in item}
    gauges = tuple(Gauge(name, **value) for name, value in item.items() if name not in fixed)
    return Plant(**fixed, gauges=gauges, argon_hose=fixed.get("argon", {}).get("hose"))


def _check_tree(pieces: tuple[Piece, ...], named: set[str], mistakes: _Mistakes) -> None:
    roots = [piece.name for piece in pieces if piece.on is None]
    if len(roots) > 1 or (not roots and named == {piece.name for piece in pieces}):
        which = ", ".join(roots) or "none"
        says = f"just one piece, the retort, sits on nothing; here: {which}; give every other one its `on`"
        mistakes.append((("piece",), says))
    by_name = {piece.name: piece for piece in pieces}
    for piece in pieces:
        path: Path = ("piece", piece.name)
        if piece.on is not None and piece.joined is None:
            mistakes.append((path, "the key joined is missing (the joint at its near end)"))
        alone = roots == [piece.name]
        if alone and (piece.at is not None or piece.joined is not None or piece.count > 1):
            mistakes.append((path, "the piece that sits on nothing takes no at, joined or count"))
        if piece.on is not None and piece.bottom is not None:
            mistakes.append(((*path, "bottom"), "only the piece that sits on nothing has a bottom"))
        seen = {piece.name}
        up = piece
        while up.on is not None:
            above = by_name.get(_row(up.on))
            if above is None:
                break
            up = above
            if up.name == piece.name and roots:
                says = f"the pieces run in a circle: {piece.name} sits on itself in the end"
                mistakes.append(((*path, "on"), says))
            if up.name in seen:
                break
            seen.add(up.name)


def _row(instance: str) -> str:
    """The row of a piece name: `ampoule.3` is of row `ampoule`."""
    return instance.split(".")[0]


def _check_places(rig: Rig, plant: Mapping[str, Any], mistakes: _Mistakes) -> None:
    for piece in rig.pieces:
        if piece.on is not None and piece.at is not None:
            last = piece.at + piece.every * (piece.count - 1)
            _inside(rig, piece.on, last, ("piece", piece.name, "at"), mistakes)
        if piece.meets is not None:
            if _row(piece.meets.piece) == piece.name:
                mistakes.append((("piece", piece.name, "meets", "piece"), "a by-pass cannot meet itself"))
            elif piece.meets.at is not None:
                _inside(
                    rig, piece.meets.piece, piece.meets.at, ("piece", piece.name, "meets", "at"), mistakes
                )
            if piece.closed is not None:
                mistakes.append(
                    (("piece", piece.name, "closed"), "an end that meets another piece is not closed")
                )
    for table, items in (("heat", rig.heat), ("lag", rig.lag), ("cool", rig.cool)):
        for item in items:
            for name, stretch in item.over.items():
                if stretch.end is not None:
                    _inside(rig, name, stretch.end, (table, item.name, "over", name), mistakes)
    for name, item in plant.items():
        if item.get("at") is not None:
            _inside(rig, item["on"], item["at"], ("plant", name, "at"), mistakes)
    for piece in rig.pieces:
        where = piece.receives.at if piece.receives else None
        if where is not None:
            _inside(rig, piece.name, where, ("piece", piece.name, "receives", "at"), mistakes)


def _inside(rig: Rig, name: str, place: float, path: Path, mistakes: _Mistakes) -> None:
    length = next((piece.length.best for piece in rig.pieces if piece.name == _row(name)), place)
    if place > length * (1 + 1e-9):
        says = f"{place * 1e3:.4g} mm is beyond the end of {name}, which is {length * 1e3:.4g} mm long"
        mistakes.append((path, says))


def _check_programme(rig: Rig, mistakes: _Mistakes) -> None:
    steps: Path = ("programme", "steps")
    if not rig.steps:
        mistakes.append((steps, 'the programme has no step; write at least one, such as { state = "dry" }'))
        return
    led = {heat.name for heat in rig.heat if heat.holds is None}
    for state in rig.states:
        running = led & set(state.running)
        if not running or rig.set_point(state.name) is not None:
            continue
        which = ", ".join(sorted(running))
        if any(step.state == state.name for step in rig.steps):
            says = (
                f"{which} runs in state {state.name}, but no step of that state says how hot: give it a `to`"
            )
            mistakes.append((steps, says))
        else:
            says = (
                f"{which} runs in state {state.name}, but no step of the programme runs that state, so that nothing "
                f"says how hot: give it a step with a `to`, or take {which} out of the list"
            )
            mistakes.append((("state", state.name, "running"), says))


def _check_namesakes(rig: Rig, mistakes: _Mistakes) -> None:
    both = {heat.name for heat in rig.heat} & {cool.name for cool in rig.cool}
    for name in both:
        mistakes.append((("cool", name), f"there is a heating called {name} too; each needs its own name"))
