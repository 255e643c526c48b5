# SPDX-License-Identifier: MIT
"""What the findings of question 2 say in plain words."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from retortwright.assess.makes_charge_words import grams, listed, middle
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.physics.constants import ATMOSPHERE, GAS_CONSTANT
from retortwright.reference.datum import Row, number_of
from retortwright.situation.crossing import Crossing
from retortwright.situation.crusting import Crust
from retortwright.situation.figure import Figure
from retortwright.situation.gasloads import STATED
from retortwright.situation.landing import Landing
from retortwright.situation.outlet import Outlet
from retortwright.situation.receivers import receiver_rows
from retortwright.situation.situation import Situation
from retortwright.situation.supply import wanted_rate
from retortwright.situation.sweeping import Sweep
from retortwright.situation.vapour_ways import Arm

__all__ = [
    "argon",
    "beyond_practice",
    "bore",
    "ceiling",
    "crust",
    "delivered",
    "lands",
    "lands_at",
    "low_point",
    "minutes",
    "reach",
    "slope",
    "ullage",
    "warm",
]

_NO_HEAT = 0.05  # W
_SHORT = 0.5e-3  # m
_FIRST, _LAST = 0.05, 0.95  # shares between which nine tenths land
_NEXT_TO_NOTHING = 1e-9  # kg


def _degrees(kelvin: float) -> str:
    return f"{kelvin - 273.15:.0f} degC"


def _pascal(pressure: float) -> str:
    return f"{_plain(pressure)} Pa" if pressure < 1000 else f"{_plain(pressure / 1000)} kPa"


def _watts(power: float) -> str:
    if abs(power) < _NO_HEAT:
        return "next to nothing"
    return f"{power:.2g} W" if power < 99.5 else f"{power:.0f} W" if power < 1e4 else f"{power / 1e3:.0f} kW"


def _plain(number: float) -> str:
    """Two digits, written out."""
    return f"{number:.2g}" if abs(number) < 99.5 else f"{number:.0f}"


def _rate(flow: float) -> str:
    """A stream in grams a minute."""
    shown = flow * 6e4
    return f"{shown:.0f} g/min" if shown >= 100 else f"{shown:.2g} g/min"


def _time(seconds: float) -> str:
    if seconds < 60:
        return f"{seconds:.1g} s" if seconds < 10 else f"{seconds:.0f} s"
    return f"{seconds / 60:.2g} min" if seconds < 6000 else f"{seconds / 3600:.2g} h"


def ceiling(crossing: Crossing, name: str, figure: Figure) -> str:
    """What the ceiling comes from, and what of it is wanted."""
    if figure.missing:
        return "what bounds the stream here cannot be said."
    said = {key: middle(values) for key, values in figure.said.items()}
    if name == "ceiling-surface":
        words = (
            f"{_plain(said['area'] * 1e4)} cm2 of face under {_pascal(said['pressure'])} of {crossing.metal}"
        )
    elif name == "ceiling-line":
        words = f"with {_pascal(said['pressure'])} over the fresh charge and the far end as cold as it is"
    else:
        back = f", what runs back {_watts(said['back'])}" if said["back"] > _NO_HEAT else ""
        words = (
            f"of {_watts(said['power'])} some {_watts(said['useful'])} get inside; the dry rig takes "
            f"{_watts(said['walls'])} of it{back}; a gram of {crossing.metal} takes {said['each'] / 1e6:.2g} kJ"
        )
    wanted = middle(wanted_rate(crossing, crossing.plain_ledger()))
    ends = f"; {_rate(wanted)} are wanted" if np.isfinite(wanted) else ""
    return f"{words}{ends}; a ceiling, not the rate of the reaction."


def _practice(situation: Situation) -> str | None:
    """In what time practice has the metal leave the charge."""
    row = situation.tables.find("beliefs", "reaction.time", "default")
    if not isinstance(row, Row):
        return None
    band = number_of(row)
    return f"practice is {band.low / 60:.0f} to {band.high / 60:.0f} min for 5 to 20 g"


def beyond_practice(situation: Situation) -> str | None:
    """The stated time, where none of its band is in that of practice; else None."""
    row, own = situation.tables.find("beliefs", "reaction.time", "default"), situation.rig.assume.get("reaction.time")
    if own is None or not isinstance(row, Row):
        return None
    band = number_of(row)
    if own.high >= band.low and own.low <= band.high:
        return None
    ends = tuple(f"{end / 60:.3g}" for end in (own.low, own.high))
    return f"{ends[0]} min" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]} min"


def minutes(situation: Situation, ceilings: Mapping[str, Figure], crossing: Crossing | None) -> str:
    """What practice says, and how fast the ceilings alone would be."""
    beyond, practice = beyond_practice(situation), _practice(situation)
    words = "how fast the charge gives its metal is measured, not computed"
    if beyond is not None:
        words = (
            f"you say {beyond}, and {practice}: nothing here bears that out, so it is thin at best; weigh what has "
            "come over at that time before you rely on it"
        )
    elif practice is not None and "reaction.time" not in situation.rig.assume:
        words = practice
    if crossing is not None and crossing.rig.aim.amount is not None:
        amount = crossing.rig.aim.amount
        alone = {
            name.removeprefix("ceiling-"): amount / middle(figure.values)
            for name, figure in ceilings.items()
            if not figure.missing and middle(figure.values) > 0
        }
        named = {"surface": "the face of the charge", "line": "the line", "heat": "the heat"}
        said = [f"{named[name]} {_time(time)}" for name, time in alone.items()]
        words += f"; for {grams(amount)} the ceilings alone ask: {listed(said)}" if said else ""
    return f"{words}."


def delivered(crossing: Crossing, figure: Figure) -> str:
    """What the rising walls take, and what can be brought."""
    if figure.missing:
        return "whether vapour gets over the crest of its way cannot be said."
    said = {key: middle(values) for key, values in figure.said.items()}
    dew = _degrees(middle(crossing.vapour.dew))
    if said["heat"] < _NO_HEAT:
        return f"no wall that rises from the charge is colder than the vapour, {dew}: nothing runs back."
    words = (
        f"walls that rise from the charge, and arms on them, take {_watts(said['heat'])} from vapour at {dew} "
        f"and hold {grams(said['film'])} as a film; what condenses there runs back"
    )
    if "spare" in said:
        words += f"; the furnace has {_watts(said['spare'])} for it"
    short = _short_of(figure)
    if not short:
        return f"{words}."
    often = float(np.mean(figure.values < 0.5))
    how = "all of it runs back" if often > 0.995 else f"in {often:.0%} of the samples all of it runs back"
    return f"{words}; {how}, for want of {listed(short)}."


def _short_of(figure: Figure) -> list[str]:
    """What is not enough in a twentieth of the samples or more to hold the rising walls at the dew point."""
    said = figure.said
    wants = {
        "vapour: the retort is too narrow": said["rising"] > said["brought"],
        "metal: the film takes it all": said["film"] > said["freed"],
        "heat": said["heat"] > said.get("spare", np.inf),
    }
    return [what for what, often in wants.items() if np.mean(often) >= TAIL]


def reach(crossing: Crossing, arm: Arm, joint: str, distance: Array) -> str:
    """How far vapour comes, and why no farther."""
    vapour = crossing.vapour
    if vapour.missing:
        return f"how far vapour comes into the {arm.name} cannot be said."
    far, heat = middle(distance), middle(vapour.arm_heat[arm.name])
    most = middle(vapour.arm_most[arm.name])
    dew = _degrees(middle(vapour.mouths[arm.name]))
    comes = f"comes to {joint} and past it"
    if far > 0:
        near = f"{far * 1e3:.0f} mm" if far >= _SHORT else "less than a millimetre"
        comes = f"comes to {near} before {joint}"
    if most < _NO_HEAT:
        return f"next to no vapour gets into the {arm.name}."
    if heat < _NO_HEAT:
        return f"vapour at {dew} {comes}; next to nothing condenses on the wall of the {arm.name}."
    words = f"vapour at {dew} {comes}; the wall of the {arm.name} takes {_watts(heat)} from it"
    if heat > 0.8 * most:
        return f"{words}, all that its mouth lets in."
    return f"{words}, its mouth would let in {_watts(most)}: only the gas at its end holds it off."


def lands_at(crossing: Crossing, landing: Landing) -> str:
    """Where most of it lands."""
    left = np.median(landing.passing / landing.entering, axis=1)
    first, last = (_spot(crossing, landing, int(np.argmax(left <= 1.0 - share))) for share in (_FIRST, _LAST))
    return f"all of it lands at {first}" if first == last else f"nine tenths land between {first} and {last}"


def lands(crossing: Crossing, outlet: Outlet, figure: Figure) -> str:
    """Where most of it lands, where the way to the pump leaves, and what goes on there."""
    if figure.missing:
        return f"where the {crossing.metal} lands cannot be said."
    words = lands_at(crossing, outlet.landing)
    row = crossing.tree.instances[outlet.single].row.name
    words += f"; the way to the pump leaves at the {row}, {outlet.place * 1e3:.0f} mm from the charge"
    passed = figure.said["passed"]
    if not np.all(np.isfinite(passed)):
        return f"{words}."
    lost, most = (float(np.quantile(passed, end)) for end in (0.5, 1.0 - TAIL))
    if most < _NEXT_TO_NOTHING:
        return f"{words}, where next to nothing goes on."
    worst = f", {grams(most)} at the worse end" if most > 1.2 * lost else ""
    shown = "next to nothing" if lost < _NEXT_TO_NOTHING else grams(lost)
    return f"{words}, and {shown} go on there in the hold{worst}."


def _spot(crossing: Crossing, landing: Landing, number: int) -> str:
    """A place on a way, and its wall."""
    cell = landing.cells[number]
    single = crossing.tree.instances[crossing.mesh.instance[cell]]
    wall = _degrees(float(np.median(crossing.heat.temperature[cell])))
    return f"{single.row.name} {crossing.mesh.middle[cell] * 1e3:.0f} mm (wall {wall})"


def argon(situation: Situation, sweep: Sweep | None) -> str:
    """How much argon leaves past what wall."""
    if sweep is None or sweep.carried.missing:
        return "what the argon carries off cannot be said."
    flow = middle(sweep.carried.said["argon"]) * GAS_CONSTANT * STATED / ATMOSPHERE
    single = situation.tree.instances[situation.mesh.instance[sweep.cell]]
    wall = _degrees(middle(sweep.carried.said["wall"]))
    return (
        f"{flow * 6e4:.2g} L/min of argon leave by the {sweep.by}; the coldest wall on their way is that of the "
        f"{single.row.name}, {wall}: no more {situation.rig.aim.metal} goes with them than saturates them there."
    )


def warm(crossing: Crossing, row: str, cell: int) -> str:
    """Where the coldest wall is, and whether metal freezes there."""
    if crossing.vapour.missing:
        return f"how cold the {row} is with vapour in the line cannot be said."
    single = crossing.tree.instances[crossing.mesh.instance[cell]]
    place = crossing.mesh.middle[cell] * 1e3
    name = single.name if single.name != row else f"the {row}"
    freezes = middle(crossing.heat.temperature[cell]) < crossing.melting(crossing.plain_ledger())
    ends = f"; {crossing.metal} freezes there and plugs the way" if freezes else ""
    return f"coldest at {place:.0f} mm along {name}{ends}."


def slope(figure: Figure, metal: str) -> str:
    """Whether it falls at all."""
    fall = float(np.degrees(middle(figure.values)))
    if fall < -0.05:
        return f"it rises by {-fall:.2g} deg towards the receiver: {metal} runs back or stays."
    if fall < 0.05:
        return f"it is level: {metal} stays in it as drops."
    return f"it falls by {fall:.2g} deg where it is flattest."


def low_point(crossing: Crossing, where: str | None) -> str:
    """Where the dip is."""
    if where is None:
        return "the way falls all along: no dip keeps liquid."
    return f"the way dips in the {where} and rises again: {crossing.metal} stays there and shuts the bore."


def bore(crossing: Crossing, smallest: float, draining: Figure) -> str:
    """The bore and what surface tension holds."""
    if draining.missing:
        return "what bore the liquid needs to run out of is not known."
    least = f"{middle(draining.values) * 1e3:.2g} mm"
    return f"{smallest * 1e3:.2g} mm; out of less than {least} a plug of {crossing.metal} does not run by itself."


def ullage(crossing: Crossing, row: str, figure: Figure) -> str:
    """The worst case, and the even share."""
    if figure.missing:
        return "how full the receivers get cannot be said."
    said = {key: middle(values) for key, values in figure.said.items()}
    count = sum(len(numbers) for numbers in receiver_rows(crossing.tree).values())
    which = "one" if count > 1 else "the"
    words = (
        f"{grams(said['mass'])} are {_plain(said['volume'] * 1e6)} cm3 of liquid, and {which} {row} holds "
        f"{_plain(said['one'] * 1e6)} cm3 beyond where it is closed off"
    )
    if count > 1:
        words += (
            f"; how {count} receivers share is not computable: the first may take all until it is full; "
            f"were they to share alike each would be {said['even']:.0%} full"
        )
    return f"{words}."


def crust(crust: Crust) -> str:
    """How much lands where, beside the bore, and when it closes that."""
    if crust.thickness.missing:
        return "how thick the crust gets cannot be said."
    words = (
        f"{grams(middle(crust.thickness.said['mass']))} come over; the crust is thickest at "
        f"{crust.place * 1e3:.0f} mm, where the bore is {crust.bore * 1e3:.3g} mm"
    )
    full, worst = (float(np.quantile(crust.thickness.said["fullest"], end)) for end in (0.5, 1 - TAIL))
    if worst < 1:
        return f"{words}; all that comes is {full:.0%} of what would leave a third of it open."
    if full < 1:
        return (
            f"{words}; {full:.0%} of what would leave a third of it open comes, {worst:.0%} at the worse end."
        )
    soon, mid = (_time(float(np.quantile(crust.closes.values, end))) for end in (TAIL, 0.5))
    return (
        f"{words}; at the pace of practice only a third of it is left open after {mid}, {soon} at the worse end: "
        "then a shut line with a hot charge behind it."
    )
