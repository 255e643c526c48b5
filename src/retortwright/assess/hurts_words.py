# SPDX-License-Identifier: MIT
"""What the findings about closed volumes say in plain words, and what to do."""

from __future__ import annotations

import math

from retortwright.assess.closed_rows import ClosedRow, is_untested, is_warm, middle_of
from retortwright.assess.closed_rules import freeing, restart_temperature
from retortwright.physics.constants import ATMOSPHERE
from retortwright.situation.isolated import Case
from retortwright.situation.situation import Situation

__all__ = [
    "bar",
    "because_of",
    "do_of",
    "happens",
    "kilopascal",
    "notes_of",
    "what_wrong",
]

_CELSIUS = 273.15


def happens(situation: Situation, case: Case) -> str | None:
    """What is wrong in a case, after the word when; None where nothing is."""
    return None if case.kind == "planned" else _wrong(situation, case, "the ", "is ", "was ")


def what_wrong(situation: Situation, case: Case) -> str:
    """The same in a column of a table."""
    return "as planned" if case.kind == "planned" else _wrong(situation, case)


def _wrong(situation: Situation, case: Case, the: str = "", is_: str = "", was: str = "") -> str:
    """What is wrong, with the small words of a sentence or without them."""
    if case.loss is not None:
        return case.loss.words
    says = {
        "shut": f"{case.what} {is_}wrongly shut",
        "never": f"{case.what} {was}never opened",
        "open": f"{case.what} {is_}wrongly open",
        "plug": f"{the}{_stretch(situation, case)} {is_}plugged",
        "lost": f"{the}{case.what} stops",
        "over": "argon runs on",
    }
    return says[case.kind]


def _stretch(situation: Situation, case: Case) -> str:
    """The plugged stretch: the piece, and the next mouth after it where it has several."""
    if case.plug is None:
        return case.what
    number, place = case.plug
    after = [
        (single.at, single.name) for single in situation.tree.instances
        if single.parent == number and place < single.at < situation.tree.instances[number].length
    ]  # fmt: skip
    before = any(single.parent == number and single.at < place for single in situation.tree.instances)
    if after:
        return f"{case.what} before {min(after)[1]}"
    return f"end of the {case.what}" if before else case.what


def bar(pascal: float) -> str:
    """An absolute pressure in bar."""
    return f"{pascal / 1e5:.2f} bar" if pascal < 9.95e5 else f"{pascal / 1e5:.0f} bar"


def kilopascal(pascal: float) -> str:
    """A pressure over the room."""
    return f"{pascal / 1e3:.2g} kPa" if abs(pascal) < 1e5 else f"{pascal / 1e5:.2g} bar"


def because_of(situation: Situation, row: ClosedRow) -> str:
    """Volume, pressure and its parts, the weakest, what it does, and what to do."""
    closed, said = row.closed, row.closed.figure.said
    size = f"{closed.volume * 1e6:.3g} mL"
    where = situation.tree.instances[closed.piece].name
    if closed.figure.missing:
        return f"nothing leads out of the {size} of the {where}; what it comes to is not known."
    parts = [(name, middle_of(said[name])) for name in ("gas", "hydrogen", "vapour", "liquid")]
    told = (
        ", ".join(f"{name} {bar(value)}" for name, value in parts if value >= 500.0)
        or "next to nothing in it"
    )
    whole = middle_of(closed.figure.values)
    high = row.judgement.high
    most = f" (up to {bar(high + ATMOSPHERE)})" if high is not None and _wide(row) else ""
    text = f"nothing leads out of the {size} of the {where}: {bar(whole)} inside{most}; {told}"
    if whole <= ATMOSPHERE and row.verdict == "holds":
        return f"{text}: less than the room."
    most = kilopascal(float(row.limit.values[0]))
    if is_untested(row):
        bears = f"the weakest, {row.weakest}, is trusted with {most} over the room until it is proof-tested"
    else:
        gives = " and gives way" if row.verdict == "fails" else ""
        bears = f"the weakest, {row.weakest}, bears {most} over the room{gives}"
    if row.weakest == "relief":
        bears = f"the relief opens at {kilopascal(row.relief.opens)} over the room"
    else:
        bears += _by_relief(row)
    return f"{text}; {bears}." + ("" if row.verdict == "holds" else f" {do_of(situation, row)}")


def _wide(row: ClosedRow) -> bool:
    high, best = row.judgement.high, row.judgement.best
    return high is not None and best is not None and high - best > max(0.1 * (best + ATMOSPHERE), 1e3)


def _by_relief(row: ClosedRow) -> str:
    """What the relief does for it."""
    relief = row.relief
    if relief.serves == "opens":
        return f"; the relief opens at {kilopascal(relief.opens)}"
    if relief.serves == "small":
        return "; the relief on it may not pass all that comes (see relief-capacity): it does not count"
    if relief.serves == "frozen" and relief.coldest is not None and relief.melts is not None:
        if not math.isfinite(relief.coldest):
            return "; how cold the way to the relief is, is not known: it does not count"
        cold, melts = relief.coldest - _CELSIUS, relief.melts - _CELSIUS
        return (
            f"; the relief sits behind a wall of {cold:.0f} degC on which metal freezes (below {melts:.0f}): "
            "it does not count"
        )
    return "; no relief is on it"


def do_of(situation: Situation, row: ClosedRow) -> str:
    """What to do about it, in one sentence."""
    case = row.case
    if row.closed.fed and case.kind in ("shut", "never", "plug") and not is_warm(situation, row):
        return "Open it before the argon, or put a relief on it; found shut: shut the bottle, let the hose down."
    if case.kind in ("shut", "never"):
        return (
            f"See that {case.what} is open before the furnace is lit, or put a relief on it that stays warm. Found "
            f"shut while it is hot: furnace off, leave it shut, {_wait(situation)}."
        )
    if case.kind == "open":
        return f"Lock {case.what} shut, or put a relief on it that stays warm."
    if case.kind == "plug":
        return f"Furnace off; {_wait(situation)}; then warm from the open end toward the plug."
    if case.kind == "over":
        return "Put a relief or a bubbler on it first, and stay at the bottle while it fills."
    if case.kind == "lost":
        return f"Furnace off at once; {_wait(situation)}; put a relief on it that stays warm before the next run."
    return "Leave a way out open while it is hot, or put a relief on it that stays warm."


def _wait(situation: Situation) -> str:
    """Until when to stay behind the screen."""
    found = restart_temperature(situation)
    if found is None:
        return "stay behind the screen until all is cold"
    return f"stay behind the screen until the hottest wall is below {found - _CELSIUS:.0f} degC"


def notes_of(situation: Situation, row: ClosedRow) -> tuple[str, ...]:
    """What else has to be known."""
    found = []
    said = row.closed.figure.said
    if row.closed.open_way and not row.closed.figure.missing:
        bound = middle_of(said["bound"])
        found.append(
            f"the vapour is taken to go on landing in the receivers; with that way plugged it comes to {bar(bound)}"
        )
    if row.case.kind == "plug":
        found.append(freeing(situation))
    if row.closed.charge:
        found.append(
            "all hydrogen that the water of the charge can give is counted, whatever was pumped off before"
        )
    return tuple(found)
