# SPDX-License-Identifier: MIT
"""Numbers as the trade reads them, with no more digits than they deserve."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "Face",
    "difference_face",
    "face_of",
    "in_face",
    "shown_band",
    "shown_difference",
    "shown_number",
    "unit_face",
]


@dataclass(frozen=True, slots=True)
class Face:
    """The fixed unit of a quantity on paper and in JSON: value = (SI - offset) * factor."""

    unit: str
    factor: float = 1.0
    offset: float = 0.0


_FACES = {
    "temperature": Face("degC", 1.0, 273.15),
    "temperature_difference": Face("K"),
    "length": Face("mm", 1e3),
    "leak": Face("mbar L/s", 10.0),
    "pressure": Face("Pa"),
    "overpressure": Face("kPa gauge", 1e-3),
    "gas_flow": Face("mL/min", 6e7),
    "valves": Face("valves"),
    "time": Face("min", 1 / 60),
    "share": Face("ppm", 1e6),
    "count": Face("times"),
    "mass": Face("g", 1e3),
    "portion": Face("%", 100.0),
    "power": Face("W"),
    "rate": Face("g/min", 6e4),
    "angle": Face("deg", 57.29577951308232),
    "heat_of_charge": Face("J/g", 1e-3),
    "gas_of_charge": Face("mmol/g"),
}
_UNIT_FACES = {
    "K": Face("degC", 1.0, 273.15),
    "m": Face("mm", 1e3),
    "m^3/s": Face("L/min", 6e4),
    "W/m^2/K": Face("W/m2/K"),
    "Pa m^3/s": Face("mbar L/s", 10.0),
    "J/mol": Face("kJ/mol", 1e-3),
    "J/kg": Face("J/g", 1e-3),
}


def face_of(quantity: str) -> Face:
    """How a quantity is shown."""
    return _FACES.get(quantity, Face("1"))


def difference_face(quantity: str) -> Face:
    """How a reserve or a margin of a quantity is shown."""
    return Face("K") if quantity == "temperature" else face_of(quantity)


def unit_face(unit: str, name: str) -> Face:
    """How an input in an SI unit is shown; offsets of temperature stay differences."""
    if unit == "K" and name.endswith((".offset", ".overshoot")):
        return Face("K")
    return _UNIT_FACES.get(unit, Face(unit))


def in_face(value: float | None, face: Face) -> float | None:
    """A number in its face, rounded to what a reader can use; None stays None."""
    if value is None:
        return None
    shown = (value - face.offset) * face.factor
    return float(f"{shown:.6g}")


def shown_number(value: float, face: Face) -> str:
    """A number alone, without its unit."""
    shown = (value - face.offset) * face.factor
    if face.unit in ("degC", "K"):
        return f"{shown:.0f}"
    return _two_digits(shown)


def _two_digits(shown: float) -> str:
    """Two digits, written out where that is shorter than a power of ten."""
    if shown == 0 or not 1e-3 <= abs(shown) < 1e6:
        return f"{shown:.2g}"
    rounded = float(f"{shown:.2g}")
    return f"{rounded:.0f}" if abs(rounded) >= 10 else f"{rounded:.2g}"


def shown_difference(value: float, face: Face) -> str:
    """A reserve or margin alone, without its unit."""
    return f"{value * face.factor:.0f}" if face.unit in ("degC", "K") else _two_digits(value * face.factor)


def shown_band(low: float, best: float, high: float, face: Face) -> str:
    """A band as low < best < high, or one number where the ends look alike."""
    texts = [shown_number(end, face) for end in (low, best, high)]
    if texts[0] == texts[2]:
        unit = "valve" if (texts[1], face.unit) == ("1", "valves") else face.unit
        return f"{texts[1]} {unit}"
    return " < ".join(texts) + f" {face.unit}"
