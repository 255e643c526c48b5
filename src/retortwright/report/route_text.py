# SPDX-License-Identifier: MIT
"""Routes as plain text: a card for each that may serve, a line or two for the others, what is refused last."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from retortwright.assess.cautions import Caution
from retortwright.assess.route_cards import Asked, RouteCard
from retortwright.assess.route_serves import Served
from retortwright.assess.route_walls import Bearing, service_limit
from retortwright.assess.route_words import NAMES, reasons_of
from retortwright.belief.beliefs import Draws
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Row, number_of
from retortwright.reference.tables import Tables
from retortwright.report.digits import Face, face_of, shown_band, shown_number
from retortwright.report.route_data import banded

__all__ = ["routes_text"]

_WIDTH = 100
_NONE = 1e-8  # share of the mass of the product that is none
_TEMPERATURE, _PRESSURE, _MOLAR = face_of("temperature"), face_of("pressure"), Face("kJ", 1e-3)
_ENDS = {
    "reductant": "{} that comes along",
    "salt": "{} that comes along",
    "wall": "what the pot may get",
    "data": "the end of our data",
}
_WORDS = {"holds": "bears it", "thin": "wears slowly"}


def routes_text(
    tables: Tables, asked: Asked, cards: Sequence[RouteCard], cautions: Sequence[Caution], draws: Draws
) -> str:
    """Cautions, what was asked, every route."""
    lines = [wrapped for each in cautions for wrapped in textwrap.wrap(each.text, _WIDTH)]
    lines += ["", *_head(tables, asked, cards, draws), ""]
    for place, card in enumerate(cards, 1):
        if card.verdict != "refused":
            write = _card if _in_full(card) else _short
            lines += write(tables, asked, card, place)
    refused = [card for card in cards if card.verdict == "refused"]
    if refused:
        lines += ["", "REFUSED, never to be lit", ""]
        lines += _refused(refused)
    lines += ["", *textwrap.wrap(
        "An equilibrium says what can be, not how fast. Before any of these is lit: a rig file, and "
        "retortwright assess.",
        _WIDTH,
    )]  # fmt: skip
    return "\n".join(lines) + "\n"


def _in_full(card: RouteCard) -> bool:
    """Whether a route gets a whole card: where it may serve, or is the usual one."""
    return card.served is not None and (card.verdict != "fails" or card.usual is not None)


def _head(tables: Tables, asked: Asked, cards: Sequence[RouteCard], draws: Draws) -> Iterator[str]:
    name = NAMES.get(asked.metal, asked.metal)
    drawn = f"{draws.samples} samples, seed {draws.seed}, bands 5 to 95 %"
    yield f"Routes to {name} ({asked.metal}), best first     {len(cards)} looked at     {drawn}"
    said = [f"grade {asked.grade}"]
    if asked.vessel is not None:
        limit = service_limit(tables, asked.vessel)
        upto = (
            f", serves to {shown_number(limit, _TEMPERATURE)} degC in air" if isinstance(limit, float) else ""
        )
        said.append(f"vessel {asked.vessel}{upto}")
    if asked.hottest is not None:
        said.append(f"no hotter than {shown_number(asked.hottest, _TEMPERATURE)} degC")
    if asked.stock is not None:
        said.append(f"only from {', '.join(asked.stock)}")
    yield "; ".join(said)
    lit = {card.candidate.salt for card in cards if card.verdict != "refused"}
    refused = dict.fromkeys(card.candidate.salt for card in cards if card.candidate.salt not in lit)
    if refused:
        yield ""
        yield from textwrap.wrap(
            f"Never to be lit, whatever they are mixed with here: {', '.join(refused)}; see the end.", _WIDTH
        )


def _wrapped(text: str, label: str = "") -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=f"     {label:<9}", subsequent_indent=" " * 14, break_on_hyphens=False
    )


def _title(card: RouteCard, place: int) -> str:
    mark = card.verdict.upper() if card.verdict == "fails" else card.verdict
    usual = ""
    if card.usual is not None:
        band = number_of(card.usual)
        ends = (shown_number(end, _TEMPERATURE) for end in (band.low, band.high))
        usual = f"   usual: {' to '.join(ends)} degC"
    kind = "distilled once more" if card.candidate.redistils else card.heat_class
    return f"{place:>3}  {mark:<8} {card.candidate!s:<16} {kind}{usual}"


def _card(tables: Tables, asked: Asked, card: RouteCard, place: int) -> list[str]:
    served = card.served
    assert served is not None
    lines = [_title(card, place)]
    if card.reaction is not None:
        lines += _wrapped(_heat(card), "reaction")
    lines += _wrapped(_serves(card, served), "serves")
    lines += _wrapped(_over(card, served), "over it")
    lines += _wrapped(_borne(asked, card), "walls")
    if card.left:
        lines += _wrapped("; ".join(row.data for row in card.left), "stays")
    if len(card.masses) > 1:
        weighed = ", ".join(f"{mass * 1e3:.3g} g {name}" for name, mass in card.masses.items())
        comes = tables.find("usual", card.candidate.reductant, "comes-as")
        also = f"; {comes.data}" if isinstance(comes, Row) else ""
        lines += _wrapped(f"{weighed}: 10 g of {card.candidate.metal} are in the salt{also}", "weigh")
    lines += [line for each in card.advice for line in _wrapped(each.text, "mind")]
    reasons = reasons_of(tables, asked, card)
    return [*lines, *(_wrapped("; ".join(reasons), "but") if reasons else []), ""]


def _short(tables: Tables, asked: Asked, card: RouteCard, place: int) -> list[str]:
    reasons = reasons_of(tables, asked, card)
    heat = [f"{_number(card)} kJ"] if card.per_mole is not None and banded(card.per_mole.values) else []
    return [_title(card, place), *_wrapped("; ".join([*heat, *reasons]))]


def _number(card: RouteCard) -> str:
    ends = banded(None if card.per_mole is None else card.per_mole.values)
    return "" if ends is None else f"{ends[1] / 1e3:+.0f}"


def _heat(card: RouteCard) -> str:
    """The reaction with its heat by the mole and by the gram, its gas, how far it heats itself."""
    said = str(card.reaction)
    ends = banded(None if card.per_mole is None else card.per_mole.values)
    if ends is not None:
        taken = ends[1] > 0
        band = ends if taken else (-ends[2], -ends[1], -ends[0])
        verb = "takes in" if taken else "sets free"
        said += f" {verb} {shown_band(*band, _MOLAR)} per mole of {card.candidate.metal}"
    free, rise, gas = (_best(card, check) for check in ("reaction-heat", "self-heating", "reaction-gas"))
    if free is not None:
        said += f", {abs(free) / 1e3:.0f} J a gram of charge"
    said += f"; {gas:.2g} mmol of gas a gram" if gas else "; no gas"
    if rise is not None:
        said += f"; all at once it would get {rise:.0f} K hotter" if rise > 0 else "; it cools itself"
    return said


def _best(card: RouteCard, check: str) -> float | None:
    finding = card.findings.get(check)
    return None if finding is None else finding.judgement.best


def _serves(card: RouteCard, served: Served) -> str:
    window, candidate = served.window, card.candidate
    low, high = _shown(window.low, _TEMPERATURE), _shown(served.upper, _TEMPERATURE)
    ends = _ENDS[served.rules].format(candidate.reductant if served.rules == "reductant" else candidate.salt)
    said = f"from {low} (300 Pa"
    if not candidate.redistils:
        share = f"with {window.taken:.0%} of the metal taken"
        fresh, late = _shown(window.fresh, _TEMPERATURE), banded(window.late)
        said += f" {share}; fresh {fresh}"
        if late is not None and late[1] < window.top * (1 - 1e-9):
            said += f", with {window.nearly:.0%} {shown_number(late[1], _TEMPERATURE)} degC"
    said += f") up to {high} by {ends}"
    if window.ceiling < 0.99:
        said += f"; the slag lets {window.ceiling:.0%} come at most"
    if banded(window.low) and min(window.low) <= window.bottom * (1 + 1e-9):
        said += "; colder our data do not reach"
    return said


def _shown(values: Array, face: Face) -> str:
    ends = banded(values)
    return "no number" if ends is None else shown_band(*ends, face)


def _over(card: RouteCard, served: Served) -> str:
    candidate, seen = card.candidate, served.seen
    hot = shown_number(seen.temperature, _TEMPERATURE)
    said = f"at {hot} degC {candidate.metal} {_shown(seen.product, _PRESSURE)}"
    for what, values in ((candidate.reductant, seen.reductant), (candidate.salt, seen.salt)):
        ends = banded(values)
        if ends is not None:
            much = shown_band(*ends, face_of("share")) if ends[2] > _NONE else "less than 0.01 ppm"
            said += f"; {what} {much} of its mass"
    return said


def _borne(asked: Asked, card: RouteCard) -> str:
    """Walls and liners in words, the good ones first, then what must not be used."""
    served = card.served
    assert served is not None
    hot = shown_number(served.looked_at, _TEMPERATURE)
    good = [
        f"{each.material} {_WORDS[each.verdict]}{_known(each)}"
        for each in card.walls
        if each.verdict in _WORDS
    ]
    bad = [f"{each.material} ({each.because})" for each in card.walls if each.verdict == "fails"]
    unknown = [each for each in card.walls if each.verdict == "unknown"]
    liners = [each.material for each in card.liners if each.verdict == "holds"]
    said = [f"at {hot} degC {', '.join(good)}" if good else f"none is known to bear it at {hot} degC in air"]
    if bad:
        said.append(f"never {', '.join(bad)}")
    if unknown and asked.vessel is not None:
        said = [f"{unknown[0].material}: {unknown[0].because}"]
    elif unknown:
        said.append(f"not known of {', '.join(each.material for each in unknown)}")
    said.append(f"liner: {', '.join(liners)}" if liners else "no liner is known to bear it")
    return "; ".join(said)


def _known(bearing: Bearing) -> str:
    return "" if bearing.seen else " (from memory)"


def _refused(cards: Sequence[RouteCard]) -> Iterator[str]:
    """What is refused, the same reason said once."""
    groups: dict[str, list[RouteCard]] = {}
    for card in cards:
        if card.refusal is not None:
            groups.setdefault(card.refusal.says, []).append(card)
    for says, group in groups.items():
        names = ", ".join(str(card.candidate) for card in group)
        yield from textwrap.wrap(
            f"refused  {names}", _WIDTH, initial_indent="   ", subsequent_indent=" " * 12
        )
        yield from _wrapped(f"{says}.", "")
        for card in group:
            if card.refusal is not None and card.refusal.because:
                yield from _wrapped(f"{card.refusal.because}.", "")
        if group[0].refusal is not None:
            yield from _wrapped(f"{group[0].refusal.do}.", "instead")
