# SPDX-License-Identifier: MIT
"""The closed lists of words that a rig file may use, most of them from the tables."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from retortwright.ground.units import DIMENSIONS
from retortwright.reference.attacks import agents, attacked
from retortwright.reference.datum import Missing, number_of
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.kinds import Quantity

__all__ = [
    "EMISSIVITY",
    "FACTOR",
    "assumable",
    "assumed_later",
    "compass",
    "coolants",
    "cooling_keys",
    "end_shapes",
    "experienced",
    "finishes",
    "forms",
    "gauges",
    "grades",
    "insulations",
    "joints",
    "liners",
    "materials",
    "metals",
    "piece_shapes",
    "pump_kinds",
    "sense_of",
    "tightenable",
]

EMISSIVITY = (0.01, 0.999)  # ends of any emissivity, in a file and drawn
FACTOR = (0.1, 10.0)  # ends of a factor on a curve

_COOLING_KEYS: dict[str, tuple[str, ...]] = {
    "air": ("speed",),
    "water coil": ("flow", "inlet"),
    "wet wrap": ("feed",),
    "ice water": (),
    "dry ice": (),
    "liquid nitrogen": (),
}


@cache
def materials() -> tuple[str, ...]:
    """Wall materials: all that have a density."""
    lags = set(insulations())
    return tuple(name for name in shipped().subjects("materials", "conductivity") if name not in lags)


@cache
def liners() -> tuple[str, ...]:
    """What may lie loose in a piece: every wall material, and some that nobody welds a rig of."""
    return (*materials(), *shipped().subjects("materials", "liner"))


@cache
def insulations() -> tuple[str, ...]:
    """Lagging materials."""
    return ("ceramic wool", "glass wool", "glass tape")


@cache
def joints() -> tuple[str, ...]:
    """Every joint of the table."""
    return shipped().subjects("joints")


@cache
def metals() -> tuple[str, ...]:
    """Metals that may be wanted."""
    return shipped().subjects("metals")


def finishes() -> tuple[str, ...]:
    """Finishes of an outside."""
    return ("oxidised", "bright", "plain")


def forms() -> tuple[str, ...]:
    """In what pieces a reagent comes."""
    return (
        "powder",
        "turnings",
        "granules",
        "filings",
        "pieces",
        "lump",
        "chips",
        "briquettes",
        "wire",
        "foil",
    )


def grades() -> tuple[str, ...]:
    """How clean the product has to be."""
    return ("display", "cell", "ultra-clean")


def piece_shapes() -> tuple[str, ...]:
    """Shapes of a piece."""
    return ("tube", "flask")


def end_shapes() -> tuple[str, ...]:
    """Shapes of an end."""
    return ("flat", "dished", "hemispherical", "conical")


def compass() -> tuple[str, ...]:
    """Eight directions."""
    return ("east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east")


def coolants() -> tuple[str, ...]:
    """What can take heat away."""
    return tuple(_COOLING_KEYS)


def cooling_keys(by: str) -> tuple[str, ...]:
    """The keys that a cooling needs."""
    return _COOLING_KEYS[by]


def gauges() -> tuple[str, ...]:
    """Kinds of vacuum gauge, by their principle."""
    return ("Pirani", "thermocouple", "Bourdon", "capacitance", "cold cathode", "hot cathode", "mercury")


def pump_kinds() -> tuple[str, ...]:
    """Kinds of pump."""
    return (
        "rotary, two-stage",
        "rotary, one-stage",
        "diaphragm",
        "scroll",
        "turbo",
        "diffusion",
        "water jet",
    )


_LAXER = "is laxer than common practice or beyond sense"


@cache
def tightenable() -> Mapping[str, Quantity]:
    """Limits that may be made stricter, by the key of their rule."""
    known: dict[str, Quantity] = {}
    tables = shipped()
    for rule in tables.subjects("rules", "tighten"):
        key, reserve = tables.find("rules", rule, "tighten"), tables.find("rules", rule, "reserve")
        if not isinstance(key, Missing) and not isinstance(reserve, Missing):
            known[key.data] = Quantity(
                "temperature_difference", number_of(reserve).best, 500.0, "50 K", beyond=_LAXER
            )
    for rule in tables.subjects("rules", "reserve-share"):
        key, share = tables.find("rules", rule, "tighten"), tables.find("rules", rule, "reserve-share")
        if not isinstance(key, Missing) and not isinstance(share, Missing):
            known[key.data] = Quantity("plain", number_of(share).best, 0.95, "0.6", beyond=_LAXER)
    for rule in tables.subjects("rules", "tighten-limit"):
        known[tables.rows["rules", rule, "tighten-limit"].data] = _stricter(tables, rule)
    for rule in tables.subjects("rules", "later"):  # what no answer reads may not be written
        for name in ("tighten", "tighten-limit"):
            key = tables.find("rules", rule, name)
            if not isinstance(key, Missing):
                known.pop(key.data, None)
    return known


def _stricter(tables: Tables, rule: str) -> Quantity:
    """A limit of practice that the user may draw closer."""
    row = tables.rows["rules", rule, "limit"]
    low = tables.rows["rules", rule, "sense"].data == "low"
    limit = number_of(row).best
    ends = (limit, 1e9) if low else (0.0, limit)
    dimension = _UNIT_TO_DIMENSION[row.unit]
    return Quantity(dimension, *ends, _SAMPLES.get(dimension, "1"), beyond=_LAXER)


_UNIT_TO_DIMENSION = {
    "K": "temperature",
    "s": "time",
    "dK": "temperature_difference",
    "1": "plain",
    "W/m^2/K": "film_coefficient",
    "Pa m^3/s": "leak",
    "Pa": "pressure",
    "m": "length",
    "kg": "mass",
    "W": "power",
    "J/mol": "molar_energy",
    "J": "energy",
}
_SAMPLES = {
    "temperature": "20 degC",
    "temperature_difference": "5 K",
    "plain": "0.9 to 1.1",
    "pressure": "1 to 5 Pa",
    "length": "2 mm",
    "time": "20 min",
    "molar_energy": "-15 to 5 kJ/mol",
    "energy": "0.5 MJ",
}


@cache
def assumable() -> Mapping[str, Quantity]:
    """Everything uncertain that the user may know better, by its dotted name."""
    tables = shipped()
    known = {
        name: _figure(tables.rows[("beliefs", name, "default")].unit, *sense_of(name, tables))
        for name in tables.subjects("beliefs", "default")
    }
    for joint in joints():
        known[f"contact.{joint}"] = Quantity(
            "film_coefficient", 1e-3, 1e12, "1000 to 5000 W/m2/K", banded=True
        )
    known["leak"] = Quantity("leak", 1e-14, 10.0, "0.8e-5 to 2e-5 mbar L/s", banded=True)
    for material in (*materials(), *insulations()):
        known[f"conductivity.{material}"] = Quantity("plain", *FACTOR, "0.95 to 1.05", banded=True)
        for table, subject, name in tables.rows:
            if table == "materials" and subject == material and name.startswith("emissivity-"):
                finish = name.removeprefix("emissivity-")
                known[f"emissivity.{material}-{finish}"] = Quantity(
                    "plain", *EMISSIVITY, "0.70 to 0.85", banded=True
                )
    return known


def assumed_later() -> frozenset[str]:
    """Those of them that no answer uses yet."""
    return frozenset()


@cache
def experienced() -> Mapping[str, Quantity]:
    """Every pair of a thing and a material of the table of attacks, such as `Rb.304L`."""
    tables = shipped()
    substances = dict.fromkeys(each.partition("(")[0] for each in agents(tables) if " " not in each.split(" with ")[0])
    kind = Quantity("temperature", 250.0, 2000.0, "650 degC")
    return {f"{one}.{other}": kind for one in substances for other in attacked(tables)}


def sense_of(name: str, tables: Tables) -> tuple[float, float]:
    """The least and most that a belief with a default can be: what the file may say and what is drawn."""
    least, most = (number_of(tables.rows[("beliefs", name, end)]).best for end in ("least", "most"))
    return least, most


def _figure(unit: str, least: float, most: float) -> Quantity:
    dimension = _UNIT_TO_DIMENSION[unit]
    return Quantity(
        dimension, least, most, _SAMPLES.get(dimension, DIMENSIONS[dimension].example), banded=True
    )
