# SPDX-License-Identifier: MIT
"""What the findings about the charge say in plain words, and what to weigh."""

from __future__ import annotations

import math

from retortwright.ground.arrays import Array
from retortwright.ground.middles import known_middle
from retortwright.reference.datum import Missing
from retortwright.situation.charge import ChargePicture
from retortwright.situation.charge_room import ChargeRoom
from retortwright.situation.figure import Figure

__all__ = [
    "batch",
    "ceiling",
    "cold",
    "excess",
    "foaming",
    "grams",
    "leftover",
    "listed",
    "melted",
    "middle",
    "plain",
    "power",
    "product",
    "weighable",
]


def middle(values: Array) -> float:
    """The middle of some samples."""
    return known_middle(values)


def grams(mass: float) -> str:
    """A mass as a balance shows it."""
    if mass < 0.1e-3:
        return f"{mass * 1e6:.2g} mg"
    return f"{mass * 1e3:.3g} g" if mass < 1.0 else f"{mass:.3g} kg"


def plain(number: float) -> str:
    """Two digits, written out.

    >>> plain(2684.0), plain(0.0312)
    ('2700', '0.031')
    """
    return f"{float(f'{number:.2g}'):g}"


def weighable(mass: float) -> float:
    """The next larger mass of two digits [kg].

    >>> round(weighable(1.93e-3), 6)
    0.002
    """
    step = 10.0 ** (math.floor(math.log10(mass)) - 1)
    return math.ceil(round(mass / step, 6)) * step


def listed(words: list[str]) -> str:
    """Words one after another."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def product(picture: ChargePicture, figure: Figure, factor: float) -> str:
    """From what is weighed to what arrives; what to weigh where that may be too little."""
    if figure.missing:
        return "how much arrives cannot be said."
    said = {name: middle(values) for name, values in figure.said.items()}
    reagents = [picture.reagent(picture.metal)] if picture.redistils else list(picture.salts())
    weighed = listed([f"{grams(each.mass.best)} {each.formula}" for each in reagents])
    holds = "hold" if len(reagents) > 1 or not picture.redistils else "are"
    words = f"{weighed} {holds} {grams(said['metal'])} {picture.metal}"
    if said.get("served", 1.0) < 0.9995 and not isinstance(picture.route, Missing):
        words += f"; the {picture.route.reductant} is enough for {said['served']:.0%} of it"
    if said.get("ceiling", 1.0) < 0.9995:
        words += f"; the slag lets {said['ceiling']:.0%} of it come"
    if "reacts" in said:
        words += f"; {said['reacts']:.0%} reacts and {said['arrives']:.0%} of that arrives"
    else:
        words += f"; {said['arrives']:.0%} of it arrives"
    if said["held"] > 0:
        words += f", less {grams(said['held'])} that cling to {_places(figure)}"
    if math.isfinite(factor) and factor > 1.0:
        words += f"; to be sure of it weigh {_weigh(picture, factor)}"
    return f"{words}."


def _places(figure: Figure) -> str:
    places = [name.removeprefix("on ") for name in figure.said if name.startswith("on ")]
    return listed(places) if places else "no wall"


def _weigh(picture: ChargePicture, factor: float) -> str:
    return listed(
        [f"{grams(weighable(each.mass.best * factor))} {each.formula}" for each in picture.rig.charge]
    )


def ceiling(picture: ChargePicture, figure: Figure) -> str:
    """What the slag keeps."""
    if figure.missing or isinstance(picture.route, Missing):
        return "how much the slag lets come is not known."
    share, metal = middle(figure.said["ceiling"]), middle(figure.said["metal"])
    route = picture.route
    return (
        f"the slag holds some of the {route.salt} fast: of {grams(metal)} {picture.metal} in it "
        f"{share:.0%} can come, whatever the time; a yield is to be held against that."
    )


def excess(picture: ChargePicture, figure: Figure, weigh: float) -> str:
    """What the reductant weighed is worth, what the salt needs, what else eats; what to weigh."""
    if figure.missing or isinstance(picture.route, Missing):
        return "how much reductant is over cannot be said."
    said = {name: middle(values) for name, values in figure.said.items()}
    name = picture.route.reductant
    form = picture.reagent(name).form
    words = (
        f"{grams(said['weighed'])} weighed are {grams(said['live'])} live {name}; the {picture.route.salt} "
        f"needs {grams(said['need'])}"
    )
    eaters = {"water": said["water"]} | {
        key.rpartition(".")[2]: value for key, value in said.items() if key.startswith("charge.")
    }
    eaten = [f"{who} {grams(mass)}" for who, mass in eaters.items() if mass > 0]
    words += f"; taken besides: {listed(eaten)}" if eaten else ""
    if math.isfinite(weigh) and weigh > said["weighed"] * (1 + 1e-9):
        of = f"{name} {form}" if form else name
        salts = listed([f"{grams(each.mass.best)} {each.formula}" for each in picture.salts()])
        words += f"; weigh {grams(weighable(weigh))} of {of} for {salts}"
    return f"{words}."


def leftover(picture: ChargePicture, figure: Figure) -> str:
    """What has to be quenched."""
    if figure.missing or isinstance(picture.route, Missing):
        return "how much reductant is left over cannot be said."
    left = middle(figure.said["left"])
    return f"some {grams(left)} {picture.route.reductant} stay in the pot and have to be quenched."


def batch(picture: ChargePicture, figure: Figure, least: float) -> str:
    """What comes and what clings."""
    if figure.missing:
        return "what the walls of the line keep is not known."
    came, held = middle(figure.said["came"]), middle(figure.said["held"])
    advice = f"; buy it, or share a run of at least {grams(least * held)}" if came < least * held else ""
    return (
        f"{grams(came)} {picture.metal} come down the line and {grams(held)} cling to {_places(figure)}: "
        f"a batch is worth its run from {grams(least * held)} on{advice}."
    )


def cold(room: ChargeRoom, figure: Figure) -> str:
    """Volume poured, and what stays free."""
    if figure.missing:
        return "what room the charge takes is not known."
    volume, solid = middle(figure.said["volume"]), middle(figure.said["solid"])
    free = max(1.0 - volume / room.vessel.volume, 0.0)
    return (
        f"{plain(volume * 1e6)} cm3 as poured, {plain(solid * 1e6)} of it solid, in a bore of "
        f"{room.vessel.bore * 1e3:.3g} mm; {free:.0%} of the retort stay free."
    )


def melted(room: ChargeRoom, figure: Figure) -> str:
    """Volume melted, and where the lowest opening is."""
    if figure.missing:
        return "what room the melt takes is not known."
    volume = middle(figure.said["volume"])
    spray = "a bore's width below it is kept against spray"
    return f"{plain(volume * 1e6)} cm3 with what stays solid in it; {_opening(room)}; {spray}."


def _opening(room: ChargeRoom) -> str:
    if not room.vessel.openings:
        return f"the retort ends at {room.vessel.height * 1e3:.0f} mm"
    first = room.vessel.openings[0]
    return f"the {first.piece} leads off at {first.lip * 1e3:.0f} mm"


def foaming(room: ChargeRoom, figure: Figure) -> str:
    """How far below the opening the foam stays."""
    if figure.missing:
        return "how high the melt foams is not known."
    quiet, volume = middle(figure.said["quiet"]), middle(figure.said["volume"])
    return f"the melt at {volume / quiet:.2g} times its volume; {_opening(room)}."


def power(figure: Figure, furnace: float) -> str:
    """What the heat goes into."""
    if figure.missing:
        return "what heat the charge takes is not known."
    warming, reaction, vapour = (
        middle(figure.said[name]) / 1e3 for name in ("warming", "reaction", "vapour")
    )
    takes = f"{plain(reaction)} kJ to react" if reaction >= 0 else f"reacting gives {plain(-reaction)} kJ"
    return (
        f"{plain(warming)} kJ to warm and melt it, {takes}, {plain(vapour)} kJ to evaporate the metal, of a furnace of "
        f"{furnace:.0f} W; walls and lagging take theirs besides."
    )
