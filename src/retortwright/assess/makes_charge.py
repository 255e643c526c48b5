# SPDX-License-Identifier: MIT
"""Question 1, the charge: does enough arrive, is the reductant enough, does the pot hold it?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from retortwright.assess import makes_charge_words as words
from retortwright.assess.check import Check, Limit, limit_from_rule, plain_limit, sense_of_rule
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.situation.charge import ChargePicture, charge_of, reductant_rule
from retortwright.situation.charge_heat import charge_power, furnace_power
from retortwright.situation.charge_room import ChargeRoom, charge_room
from retortwright.situation.figure import Figure
from retortwright.situation.situation import Situation
from retortwright.situation.timing import hottest_state

__all__ = ["charge_checks", "charge_factor", "reductant_to_weigh"]

_LINED = "the retort counts without its liner: what the liner takes of the bore is not taken off"
_PRACTICE = (
    "how much reacts and arrives is common practice, no rate: weigh a small run first; where a double salt holds "
    "the rest of the salt back less reacts, see pressure-late"
)


def charge_checks(situation: Situation) -> Iterator[Check]:
    """The checks of the charge in the hottest state; none where nothing is heated."""
    picture, state = charge_of(situation), hottest_state(situation.rig)
    if not situation.rig.charge or state is None:
        return
    yield _product(picture, state)
    if picture.redistils:
        yield from _batch(picture, state)
    else:
        yield from _weighed(picture, state)
    yield from _filled(picture, state)
    furnace = furnace_power(picture, state)
    if furnace is not None:
        yield _power(picture, state, furnace)


def reductant_to_weigh(situation: Situation) -> float:
    """The smallest mass of reductant as it is weighed whose excess holds [kg]; nan where nobody can say."""
    picture = charge_of(situation)
    figure = picture.excess()
    if figure.missing or isinstance(picture.route, Missing):
        return float("nan")
    limit, reserve = _excess_limit(picture).value, _reserve(picture, "reductant-excess")
    said = figure.said
    needed = (said["need"] * (1 + limit * (1 + reserve)) + said["water"] + said["others"]) / said["assay"]
    return _worse(needed)


def charge_factor(situation: Situation) -> float:
    """By how much all masses have to grow for the product to hold; nan where nobody can say."""
    picture = charge_of(situation)
    figure, amount = picture.product(), situation.rig.aim.amount
    if figure.missing or amount is None:
        return float("nan")
    wanted = amount * (1 + _reserve(picture, "product")) + figure.said["held"]
    with np.errstate(divide="ignore"):
        return _worse(wanted / figure.said["came"])


def _worse(values: Array) -> float:
    """The high end of a band."""
    good = values[np.isfinite(values)]
    return float(np.quantile(good, 1 - TAIL)) if len(good) == len(values) else float("nan")


def _reserve(picture: ChargePicture, check: str) -> float:
    """Share of a limit that is kept back, by the rule or the user."""
    tables, rig = picture.tables, picture.rig
    row, key = tables.find("rules", check, "reserve-share"), tables.find("rules", check, "tighten")
    value = number_of(row).best if isinstance(row, Row) else float("nan")
    return max(value, rig.tighten.get(key.data, 0.0)) if isinstance(key, Row) else value


def _check(
    picture: ChargePicture,
    name: str,
    state: str,
    at: str,
    subject: str,
    quantity: str,
    figure: Figure,
    limit: Limit,
    because: str,
    notes: tuple[str, ...] = (),
) -> Check:
    sense, place = sense_of_rule(picture.tables, name), at.partition(".")[2]
    return Check(name, state, place, subject, at, quantity, figure, limit, because, sense, notes)


def _salt(picture: ChargePicture) -> str:
    """The dotted key of what brings the metal."""
    if picture.pair is not None:
        return f"charge.{picture.pair[0]}"
    brings = [each.formula for each in picture.salts()] or [each.formula for each in picture.rig.charge]
    return f"charge.{picture.metal if picture.redistils else brings[0]}"


def _reductant(picture: ChargePicture) -> str:
    return _salt(picture) if picture.pair is None else f"charge.{picture.pair[1]}"


def _wanted(picture: ChargePicture) -> Limit:
    ledger, amount = picture.ledger(), picture.rig.aim.amount
    if amount is None:
        ledger.missing.append(Missing("aim.amount", "how much metal is wanted is not said: aim.amount"))
        amount = float("nan")
    return plain_limit(ledger, amount, "amount wanted")


def _product(picture: ChargePicture, state: str) -> Check:
    figure = picture.product()
    because = words.product(picture, figure, charge_factor(picture.situation))
    subject = f"{picture.metal} that arrives in the receivers"
    limit, at = _wanted(picture), _salt(picture)
    return _check(picture, "product", state, at, subject, "mass", figure, limit, because, (_PRACTICE,))


def _weighed(picture: ChargePicture, state: str) -> Iterator[Check]:
    """Reductant, ceiling and hold-up of a charge that reacts."""
    figure, at = picture.excess(), _reductant(picture)
    name = "reductant" if picture.pair is None else picture.pair[1]
    because = words.excess(picture, figure, reductant_to_weigh(picture.situation))
    subject, limit = f"{name} over what the salt needs", _excess_limit(picture)
    yield _check(picture, "reductant-excess", state, at, subject, "portion", figure, limit, because)
    if picture.pair is not None:
        figure, limit = picture.leftover(), _reductant_limit(picture, "excess-most")
        subject, because = f"{name} over, to be left in the pot", words.leftover(picture, figure)
        yield _check(picture, "reductant-leftover", state, at, subject, "portion", figure, limit, because)
    if picture.has_slag:
        figure, limit, at = picture.possible(), _wanted(picture), _salt(picture)
        subject, because = f"{picture.metal} that the slag lets come", words.ceiling(picture, figure)
        yield _check(picture, "yield-ceiling", state, at, subject, "mass", figure, limit, because)
    yield from _batch(picture, state)


def _excess_limit(picture: ChargePicture) -> Limit:
    return _reductant_limit(picture, "excess")


def _reductant_limit(picture: ChargePicture, name: str) -> Limit:
    ledger, pair = picture.ledger(), picture.pair
    return plain_limit(ledger, reductant_rule(ledger, "other" if pair is None else pair[1], name), "practice")


def _batch(picture: ChargePicture, state: str) -> Iterator[Check]:
    figure, limit = picture.batch(), limit_from_rule(picture.ledger(), "batch")
    if not figure.missing and not np.any(figure.said["held"]):
        return  # all of its walls are receivers: nothing clings
    subject = f"{picture.metal} that comes over, beside what the walls of the line keep"
    because = words.batch(picture, figure, limit.value)
    yield _check(picture, "batch", state, _salt(picture), subject, "count", figure, limit, because)


def _filled(picture: ChargePicture, state: str) -> Iterator[Check]:
    """Cold, and where there is a melt, melted and foaming."""
    room = charge_room(picture)
    piece = picture.situation.tree.instances[0].row
    at, notes = f"piece.{piece.name}", (_LINED,) if piece.lined else ()
    name = "fill-dry" if room.melts() is False else "fill-cold"
    share = limit_from_rule(picture.ledger(), name)
    most = Limit(share.value * room.vessel.height, share.words, _times(share.figure, room.vessel.height))
    figure = room.cold()
    because = words.cold(room, figure)
    subject = "height of the charge as poured"
    yield _check(picture, name, state, at, subject, "length", figure, most, because, notes)
    if name == "fill-dry":
        return
    figure, ledger = room.melted(), picture.ledger()
    limit = plain_limit(ledger, _under_opening(room, ledger), "spray")
    because = words.melted(room, figure)
    yield _check(
        picture, "fill-melted", state, at, "height of the melt", "length", figure, limit, because, notes
    )
    figure, ledger = room.foaming(), picture.ledger()
    limit = plain_limit(ledger, _lowest(room), "lowest opening")
    subject, because = "height of the foaming melt", words.foaming(room, figure)
    yield _check(picture, "fill-foam", state, at, subject, "length", figure, limit, because, notes)


def _times(figure: Figure, factor: float) -> Figure:
    return Figure(figure.values * factor, figure.said, figure.inputs, figure.cites, figure.missing)


def _lowest(room: ChargeRoom) -> float:
    """Height of the lower lip of the lowest opening, or of the end where there is none [m]."""
    return min([each.lip for each in room.vessel.openings] + [room.vessel.height])


def _under_opening(room: ChargeRoom, ledger: Ledger) -> float:
    """The lowest opening less what is kept against spray, measured along the retort [m]."""
    row = ledger.row("rules", "fill-melted", "below")
    bores = number_of(row).best if isinstance(row, Row) else float("nan")
    return _lowest(room) - bores * room.vessel.bore * room.vessel.upright


def _power(picture: ChargePicture, state: str, furnace: float) -> Check:
    figure, share = charge_power(picture), limit_from_rule(picture.ledger(), "charge-power")
    limit = Limit(share.value * furnace, share.words, _times(share.figure, furnace))
    led = next(each.name for each in picture.rig.heat if each.holds is None and each.power is not None)
    because = words.power(figure, furnace)
    subject = "power that the charge takes"
    return _check(picture, "charge-power", state, f"heat.{led}", subject, "power", figure, limit, because)
