# SPDX-License-Identifier: MIT
"""What really happens between a salt or oxide and a reductant, balanced; also where it should never be tried."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from retortwright.ground.formula import elements_of
from retortwright.ground.stoichiometry import balanced
from retortwright.reference.compounds import class_of
from retortwright.reference.datum import Missing
from retortwright.reference.tables import Tables
from retortwright.situation.route import anion_of, usual_compound

__all__ = ["Reaction", "reaction_of"]

_HALIDES = ("chloride", "bromide", "iodide", "fluoride")
_OXO = ("hydroxide", "carbonate", "peroxide", "superoxide", "water", "oxide")
_FREED = (
    "Na",
    "K",
    "Rb",
    "Cs",
)  # a reductant frees these from any compound with oxygen; others stay as oxide


@dataclass(frozen=True, slots=True)
class Reaction:
    """Numbers and formulas on both sides; the salt first, then what takes its anion."""

    reactants: tuple[tuple[int, str], ...]
    products: tuple[tuple[int, str], ...]

    def __str__(self) -> str:
        sides = (self.reactants, self.products)
        return " -> ".join(
            " + ".join(f"{number} {name}" if number > 1 else name for number, name in side) for side in sides
        )

    @property
    def formulas(self) -> tuple[str, ...]:
        """Every formula of both sides, once."""
        return tuple(dict.fromkeys(name for _, name in (*self.reactants, *self.products)))

    def number_of(self, formula: str) -> int:
        """How many of a formula come out, less how many go in."""
        out, into = (
            sum(number for number, name in side if name == formula)
            for side in (self.products, self.reactants)
        )
        return out - into


def reaction_of(
    tables: Tables, salt: str, reductant: str, metal: str | None = None, beside: Iterable[str] = ()
) -> Reaction | Missing:
    """The reaction of a salt with a reductant that is a single element.

    `metal` is the one that has to be freed; without it alkali metals are freed and others stay as
    their oxide. `beside` names oxides in the same charge that may end in the slag. Where a double
    oxide of the slag is in our tables, it forms.
    """
    kind, atoms = class_of(tables, salt), elements_of(salt)
    if (
        len(elements_of(reductant)) != 1
        or kind not in (*_HALIDES, *_OXO)
        or (reductant in atoms and len(atoms) == 2)
    ):
        return Missing(f"charge.{salt}", f"what {reductant} makes of {salt} is not computed by this version")
    for reactants, products in _sides(tables, kind, salt, reductant, metal, tuple(beside)):
        if isinstance(products, Missing):
            return products
        found = _balanced(reactants, products)
        if found is not None:
            return found
    return Missing(f"charge.{salt}", f"no reaction of {salt} with {reductant} balances that we know of")


def _sides(
    tables: Tables, kind: str, salt: str, reductant: str, metal: str | None, beside: tuple[str, ...]
) -> Iterator[tuple[list[str], list[str] | Missing]]:
    """Formulas of both sides, the likeliest first."""
    others = [
        element for element in elements_of(salt) if element not in ("O", "H", "C", "F", "Cl", "Br", "I")
    ]
    if kind in _HALIDES:
        anion = [element for element in anion_of(salt, others[0] if others else "") if element != "H"]
        left = usual_compound(tables, reductant, anion[0]) if len(anion) == 1 else None
        if left is None or len(others) != 1:
            left = Missing(
                f"charge.{salt}", f"what {reductant} makes of {salt} is not computed by this version"
            )
        yield [salt, reductant], left if isinstance(left, Missing) else [others[0], left]
        return
    left = "CO" if reductant == "C" else usual_compound(tables, reductant, "O")
    if isinstance(left, Missing):
        yield [salt, reductant], left
        return
    if kind == "oxide" and metal in others:
        yield from _slags(tables, salt, reductant, metal, beside)
    yield (
        [salt, reductant],
        list(dict.fromkeys([*_rest_of(tables, kind, others, metal), left, *_freed(kind, salt, reductant)])),
    )


def _rest_of(tables: Tables, kind: str, others: list[str], metal: str | None) -> list[str]:
    """The metals of a salt, freed or as their oxide."""
    if metal in others and (metal in _FREED or kind == "oxide"):
        return list(others)
    found = []
    for element in others:
        oxide = usual_compound(tables, element, "O")
        found.append(element if element in _FREED or isinstance(oxide, Missing) else oxide)
    return found


def _freed(kind: str, salt: str, reductant: str) -> list[str]:
    """What else comes out: hydrogen, and the carbon of a carbonate."""
    atoms = elements_of(salt)
    carbon = ["C"] if kind == "carbonate" and reductant != "C" else []
    return [*carbon, *(["H2"] if "H" in atoms else [])]


def _slags(
    tables: Tables, salt: str, reductant: str, metal: str | None, beside: tuple[str, ...]
) -> Iterator[tuple[list[str], list[str] | Missing]]:
    """Both sides with a double oxide as slag, of the oxide itself or of one beside it."""
    patterns = {"Al": ("{}Al2O4", "{}AlO2"), "Si": ("{}2SiO4",)}.get(reductant, ())
    for base in (*beside, salt):
        (element, *more) = anion_of(base, "O")
        for slag in (pattern.format(element) for pattern in patterns):
            if not more and ("species", f"{slag}(s)", "formation-enthalpy") in tables.rows:
                yield list(dict.fromkeys([salt, reductant, base])), [str(metal), slag]


def _balanced(reactants: list[str], products: list[str]) -> Reaction | None:
    try:
        numbers = balanced(
            [elements_of(each) for each in reactants], [elements_of(each) for each in products]
        )
    except ValueError:
        return None
    sides = list(zip(numbers, [*reactants, *products], strict=True))
    return Reaction(tuple(sides[: len(reactants)]), tuple(sides[len(reactants) :]))
