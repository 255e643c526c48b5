# SPDX-License-Identifier: MIT
"""What the findings about purity say in plain words."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from retortwright.assess.makes_charge_words import grams, listed, middle, plain
from retortwright.ground.arrays import Array
from retortwright.ground.units import TAIL
from retortwright.situation.figure import Figure
from retortwright.situation.melting import mix_as_metals
from retortwright.situation.purity import PurityWork
from retortwright.situation.purity_again import Stage
from retortwright.situation.purity_vapour import Kind

__all__ = [
    "NOT_KNOWN",
    "band_of",
    "carry_over",
    "cut",
    "gas_in",
    "heart",
    "hydrogen",
    "impurity",
    "label",
    "once_more",
    "other_metals",
    "ppm",
]

NOT_KNOWN = (
    "not known: spray, and fog that argon carries (5 to 20 % of the metal in a fast stream by practice)",
    "not known: hydrogen, carbon, silicon and oxygen that the glass gives, what hot walls and a liner give",
)
_FREE = 1.5  # from which on a lag is told
_LATE = 1.2  # times the mean, from which on the end is dirtier
_ALLOY = 0.1  # moles to a mole from which on it is an alloy


def ppm(share: float) -> str:
    """A small share as ppm, a larger one as per cent, more than all as times.

    >>> ppm(0.000123), ppm(0.034), ppm(3.0), ppm(1e-14)
    ('120 ppm', '3.4 %', '3 times the product', 'less than 0.001 ppm')
    """
    if 0.0 < share < 1e-9:
        return "less than 0.001 ppm"
    if share < 1e-2:
        return f"{plain(share * 1e6)} ppm"
    return f"{plain(share * 100)} %" if share < 1.0 else f"{plain(share)} times the product"


def _all_of(parts: list[str]) -> str:
    return listed(parts) if parts else "nothing"


def band_of(values: Array) -> str:
    """Low, middle and high end of samples as masses."""
    low, best, high = (float(end) for end in np.nanquantile(values, [TAIL, 0.5, 1 - TAIL]))
    return f"{grams(low)} < {grams(best)} < {grams(high)}"


def carry_over(work: PurityWork, kind: Kind, figure: Figure) -> str:
    """One kind: where it comes from, what holds it back, whether the product is something else."""
    if figure.missing:
        return f"how much {kind.formula} lands with the {work.metal} cannot be said."
    said = {key: middle(values) for key, values in figure.said.items()}
    whole = middle(figure.values)
    if kind.sort == "reductant":
        other = _other_product(work, kind, whole)
        if other is not None:
            return other
    if not np.isfinite(said[kind.formula]):
        return f"{ppm(whole)} at the least, whatever the end of the run brings."
    then, even = said[f"{kind.formula} then"], said[f"{kind.formula} at equilibrium"]
    hot = said["temperature"] - 273.15
    words = [f"{ppm(even)} leaves a charge at {hot:.0f} degC in equilibrium"]
    if said["lag"] > _FREE:
        words.append(f"{plain(said['lag'])} times that where the {work.metal} lags behind its equilibrium")
    words.append(f"{said[f'{kind.formula} past']:.0%} gets past the walls of the line")
    late = ": cut earlier" if then > _LATE * whole else ""
    words.append(f"{ppm(then)} in what lands when {said['stop']:.0%} of the metal has left{late}")
    return "; ".join(words) + "."


def _other_product(work: PurityWork, kind: Kind, share: float) -> str | None:
    """The sentence for a reductant that is as much of the product as the metal itself; None else."""
    names = {
        "Mg": "magnesium",
        "Na": "sodium",
        "Ca": "calcium",
        "Li": "lithium",
        "K": "potassium",
        "Al": "aluminium",
    }
    moles = share * work.molar(work.metal) / work.molar(kind.formula)
    if moles > _ALLOY and mix_as_metals(work.tables, work.metal, kind.formula):
        return (
            f"{plain(moles)} moles of {kind.formula} come to one of {work.metal}, and the two mix: the product would "
            "be their alloy."
        )
    if moles > 1.0:
        name = names.get(kind.formula, kind.formula)
        return f"the product would be {name}: {plain(moles)} moles of it come to one of {work.metal}."
    return None


def other_metals(work: PurityWork, figure: Figure) -> str:
    """Other metals, each with its share."""
    if figure.missing:
        return f"how much of other metals lands with the {work.metal} cannot be said."
    metals = [name for name in figure.said if f"{name} past" in figure.said]
    parts = [f"{ppm(middle(figure.said[name]))} {name}" for name in metals]
    return (
        f"{listed(parts)}: their salts are freed and distil with the {work.metal}; a purer salt, or redistil."
    )


def cut(work: PurityWork, figure: Figure, others: dict[str, Figure]) -> str:
    """Until how many grams each grade lasts, and what ends it."""
    if figure.missing:
        return "where to cut cannot be said."
    first = _first(figure)
    ends = f"{band_of(figure.values)} of {work.metal}"
    words = [
        f"{ends}, then {first} is past the limit" if first else f"{ends}: no limit is reached before the end"
    ]
    for grade, other in others.items():
        words.append(f"{grade}: {_until(other)}")
    return "; ".join(words) + "."


def _first(figure: Figure) -> str | None:
    """The class that first ends a grade; None where none does."""
    sorts = {name: middle(values) for name, values in figure.said.items() if name != "whole"}
    first = min(sorts, key=lambda name: sorts[name], default=None)
    if first is None or sorts[first] >= middle(figure.said["whole"]) * (1 - 1e-9):
        return None
    return {"neighbours": "other metal"}.get(first, first)


def _until(figure: Figure) -> str:
    """How long a grade lasts in a word."""
    best, whole = middle(figure.values), middle(figure.said["whole"])
    if best >= whole * (1 - 1e-9):
        return "all of it"
    return "none of it" if best <= 0.0 else f"the first {grams(best)}"


def impurity(work: PurityWork, name: str, figure: Figure) -> str:
    """One impurity of a metal that is distilled once more."""
    if figure.missing:
        return f"how much of the {name} comes over with the {work.metal} cannot be said."
    said = {key: middle(values) for key, values in figure.said.items()}
    hot, volatility = said["temperature"] - 273.15, said["volatility"]
    where = "it comes first: throw the heads away" if volatility > 1.0 else "it stays behind: leave the tails"
    times = "next to nothing" if volatility < 1e-6 else f"{plain(volatility)} times as much in the vapour"
    return (
        f"{ppm(said['start'])} in the charge, {times} as in the pot at {hot:.0f} degC; {where}; told for all that "
        f"comes until {said['stop']:.0%} of the metal has left."
    )


def heart(work: PurityWork, figure: Figure) -> str:
    """Heads, heart and tails in shares."""
    if figure.missing:
        return "which heart is clean enough cannot be said: something in the charge has no data."
    heads, tails, kept = (middle(figure.said[name]) for name in ("heads", "tails", "kept"))
    if kept <= 0.0:
        return f"no heart of one distillation is clean enough: distil it twice, or begin with purer {work.metal}."
    first = f"throw away the first {heads:.0%}, " if heads > 0.0 else "no heads; "
    return f"{first}keep {kept:.0%}, leave {tails:.0%} in the pot as tails."


def once_more(hot: float, shares: Mapping[str, Array], stages: tuple[Stage, ...]) -> tuple[str, ...]:
    """What one and two more distillations leave, a sentence each."""
    first = stages[0]
    told = []
    for number, stage in enumerate(stages):
        parts = [
            f"{name} {ppm(middle(shares[name]))} -> {ppm(middle(each))}"
            for name, each in stage.shares.items()
        ]
        times = ("once", "twice")[number]
        cuts = f"heads {first.heads:.0%} and tails {1 - first.last:.0%} thrown away"
        kept = first.kept ** (number + 1)
        told.append(
            f"distilled {times} more at {hot - 273.15:.0f} degC, {cuts}, {kept:.0%} kept: {listed(parts)}"
        )
    return tuple(told)


def gas_in(work: PurityWork, element: str, figure: Figure) -> str:
    """Oxygen or nitrogen by its way in."""
    if figure.missing:
        return f"how much {element} the {work.metal} takes up cannot be said."
    said = {key: middle(values) for key, values in figure.said.items()}
    parts = [
        f"{grams(said[name])} by {name}" for name in ("leak", "rubber and plastic", "argon") if said[name] > 0
    ]
    hours = said["time"] / 3600
    return f"{_all_of(parts)} in {plain(hours)} h of hot metal, all of it taken up: the most it can be."


def hydrogen(work: PurityWork, figure: Figure) -> str:
    """All hydrogen that there is, and that nobody knows how much of it stays."""
    said = {key: middle(values) for key, values in figure.said.items()}
    if figure.missing:
        return f"how much hydrogen the {work.metal} takes up cannot be said."
    whole = said["water"] + said["wall"]
    return (
        f"{grams(said['water'])} of hydrogen are in the water of the charge and {grams(said['wall'])} come through the "
        f"wall: {grams(whole)} in all; most of it goes to the pump, a hydride in the pot gives its part back late."
    )


def label(work: PurityWork, figure: Figure) -> str:
    """What may stand on the label."""
    if figure.missing:
        return "no purity can be stated."
    high = float(np.nanquantile(figure.values, 1 - TAIL))
    parts = sorted(figure.said.items(), key=lambda pair: -middle(pair[1]))
    named = [f"{name} {ppm(middle(values))}" for name, values in parts if middle(values) > 0]
    return (
        f"{work.metal}, {_nines(1 / (1 + high))} by mass or better, metal less {_all_of(named)}, computed "
        "and not measured."
    )


def _nines(purity: float) -> str:
    """Per cent, as many nines as are sure.

    >>> _nines(0.99934), _nines(0.968)
    ('99.93 %', '96 %')
    """
    lacks = max(1.0 - purity, 1e-9)
    digits = max(int(np.floor(-np.log10(lacks))) - 1, 0)
    return f"{np.floor(purity * 100 * 10**digits) / 10**digits:.{digits}f} %"
