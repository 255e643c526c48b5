# SPDX-License-Identifier: MIT
"""The closed vocabulary of units, and the reading of a value with its band.

A value is written `"160 mm"`, with a band `"0.70 to 0.85"` or `"18 +- 2 degC"`. Each field
has one dimension and accepts the unit words of that dimension and no others. Inside the
program everything is SI; the words exist at the door only. The two ends of a band are its
5 and 95 % points, here and in everything that is printed.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from retortwright.ground.errors import nearest

__all__ = ["DIMENSIONS", "TAIL", "Band", "Dimension", "read_band", "read_single", "shown"]

TAIL = 0.05  # a band runs from its 5 % to its 95 % point
_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_VALUE = re.compile(
    rf"\s*(?P<first>{_NUMBER})"
    rf"(?:\s*(?P<how>to|\+-|±)\s*(?P<second>{_NUMBER}))?"
    r"(?:\s*(?P<unit>[^\d\s].*?))?\s*$"
)


@dataclass(frozen=True, slots=True)
class Dimension:
    """One kind of quantity: its unit words, each as (factor, offset) to SI."""

    name: str
    si: str
    words: dict[str, tuple[float, float]]
    example: str

    def allowed(self) -> str:
        """What may be written, as part of a sentence."""
        units = ", ".join(word for word in self.words if word) or "a plain number"
        article = "an" if self.name[0] in "aeiou" else "a"
        return f"{article} {self.name.replace('_', ' ')} such as '{self.example}' (units: {units})"


@dataclass(frozen=True, slots=True)
class Band:
    """What is believed of one number: 5 % point, middle, 95 % point (SI)."""

    low: float
    best: float
    high: float

    @property
    def geometric(self) -> bool:
        """Whether the band is read on a logarithmic scale: positive and wider than a factor 3."""
        return self.low > 0 and self.high > 3 * self.low

    @property
    def wide(self) -> bool:
        """Whether there is any spread at all."""
        return self.high > self.low

    def scaled_to(self, best: float) -> Band:
        """The same relative band about another middle."""
        if self.best == 0:
            return Band(best + self.low, best, best + self.high)
        return Band(best * self.low / self.best, best, best * self.high / self.best)


def _plain(*names: str, **scaled: float) -> dict[str, tuple[float, float]]:
    return dict.fromkeys(names, (1.0, 0.0)) | {name: (factor, 0.0) for name, factor in scaled.items()}


_ATM = 101325.0
_TORR = _ATM / 760
_PRESSURE = {
    "Pa": 1.0,
    "hPa": 100.0,
    "kPa": 1e3,
    "MPa": 1e6,
    "mbar": 100.0,
    "bar": 1e5,
    "Torr": _TORR,
    "micron": _TORR / 1000,
    "atm": _ATM,
    "psi": 6894.757293168,
}

DIMENSIONS: dict[str, Dimension] = {
    dimension.name: dimension
    for dimension in (
        Dimension("length", "m", _plain("m", mm=1e-3, cm=1e-2, um=1e-6, **{"in": 0.0254}), "160 mm"),
        Dimension("temperature", "K", {"degC": (1.0, 273.15), "K": (1.0, 0.0)}, "90 degC"),
        Dimension("temperature_difference", "K", _plain("K"), "40 K"),
        Dimension("ramp", "K/s", {"K/min": (1 / 60, 0.0), "K/h": (1 / 3600, 0.0)}, "4 K/min"),
        Dimension("mass", "kg", _plain("kg", g=1e-3, mg=1e-6), "9.0 g"),
        Dimension("time", "s", _plain("s", min=60.0, h=3600.0), "60 min"),
        Dimension("power", "W", _plain("W", kW=1e3), "600 W"),
        Dimension("angle", "rad", {"deg": (math.pi / 180, 0.0)}, "10 deg"),
        Dimension("speed", "m/s", _plain("m/s"), "1 to 2 m/s"),
        Dimension("mass_fraction", "1", {"%": (1e-2, 0.0), "ppm": (1e-6, 0.0)}, "0.02 to 0.05 %"),
        Dimension("volume", "m^3", {"L": (1e-3, 0.0), "mL": (1e-6, 0.0), "m3": (1.0, 0.0)}, "0.5 L"),
        Dimension(
            "volume_flow",
            "m^3/s",
            {
                "L/min": (1e-3 / 60, 0.0),
                "mL/min": (1e-6 / 60, 0.0),
                "L/h": (1e-3 / 3600, 0.0),
                "L/s": (1e-3, 0.0),
                "m3/h": (1 / 3600, 0.0),
            },
            "0.3 L/min",
        ),
        Dimension(
            "pressure",
            "Pa",
            {word: (factor, 0.0) for word, factor in _PRESSURE.items()}
            | {f"{word} gauge": (factor, _ATM) for word, factor in _PRESSURE.items() if factor >= 100},
            "15 kPa gauge",
        ),
        Dimension(
            "leak",
            "Pa m^3/s",
            {
                "mbar L/s": (0.1, 0.0),
                "Pa m3/s": (1.0, 0.0),
                "Torr L/s": (_TORR * 1e-3, 0.0),
                "atm cc/s": (0.101325, 0.0),
            },
            "1e-5 mbar L/s",
        ),
        Dimension("energy", "J", _plain("J", kJ=1e3, MJ=1e6), "0.5 MJ"),
        Dimension("molar_energy", "J/mol", _plain("J/mol", **{"kJ/mol": 1e3}), "-5 to 5 kJ/mol"),
        Dimension("price", "1/kg", {"per g": (1e3, 0.0), "per kg": (1.0, 0.0)}, "2.1 per g"),
        Dimension("wage", "1/s", {"per h": (1 / 3600, 0.0)}, "20 per h"),
        Dimension("film_coefficient", "W/m^2/K", {"W/m2/K": (1.0, 0.0)}, "10 W/m2/K"),
        Dimension("plain", "1", {"": (1.0, 0.0)}, "0.70 to 0.85"),
    )
}

_SPAN = r"(?<=\d)\s*(?:-|–|\.\.+)\s*(?=\d)"  # what people write for to

_HINTS = {
    "C": "degC",
    "°C": "degC",
    "deg C": "degC",
    "º": "deg",
    "°": "deg",
    '"': "in",
    "mb": "mbar",
    "l/min": "L/min",
    "µm": "um",
    "μm": "um",
    "inch": "in",
    "sec": "s",
    "hr": "h",
    "hours": "h",
    "minutes": "min",
    "torr": "Torr",
    "W/m2K": "W/m2/K",
    "W/m^2/K": "W/m2/K",
}


def read_band(text: str | float, dimension: Dimension) -> Band:
    """The band a written value stands for, in SI. Raises ValueError with a full sentence.

    >>> read_band("0.8e-5 to 2e-5 mbar L/s", DIMENSIONS["leak"]).high
    2.0000000000000003e-06
    """
    match = _VALUE.match(str(text))
    if match is None:
        raise ValueError(f"expected {dimension.allowed()}, got '{text}'{_writing_hint(str(text))}")
    unit = " ".join((match["unit"] or "").split())
    if unit not in dimension.words:
        raise ValueError(_unit_complaint(str(text), unit, dimension))
    factor, offset = dimension.words[unit]
    first = float(match["first"])
    second = float(match["second"]) if match["second"] else first
    if match["how"] in ("+-", "±"):
        first, second = first - second, first + second
        if second < first:
            raise ValueError(f"the figure after +- must not be negative, got '{text}'")
    low, high = first * factor + offset, second * factor + offset
    if not (math.isfinite(low) and math.isfinite(high)):
        raise ValueError(f"expected a finite number, got '{text}'")
    if high < low:
        raise ValueError(f"the second figure of a band must be the larger one, got '{text}'")
    return _with_middle(low, high, affine=offset != 0)


def read_single(text: str | float, dimension: Dimension) -> float:
    """One number in SI; a band is refused. Raises ValueError with a full sentence."""
    band = read_band(text, dimension)
    if band.wide:
        raise ValueError(f"takes one number without a band, got '{text}'")
    return band.best


def shown(value: float, dimension: Dimension, unit: str, digits: int = 4) -> str:
    """A value written in one unit word, as a file would have it.

    >>> shown(0.16, DIMENSIONS["length"], "mm")
    '160 mm'
    """
    factor, offset = dimension.words[unit]
    return f"{(value - offset) / factor:.{digits}g} {unit}".strip()


def _with_middle(low: float, high: float, affine: bool) -> Band:
    band = Band(low, (low + high) / 2, high)
    if band.geometric and not affine:
        return Band(low, math.sqrt(low * high), high)
    return band


def _writing_hint(text: str) -> str:
    if re.search(r"\d,\d", text):
        return "; write a decimal point, not a comma"
    if re.search(_SPAN, text):
        return f"; write a band with the word to: '{re.sub(_SPAN, ' to ', text, count=1)}'"
    return ""


def _unit_complaint(text: str, unit: str, dimension: Dimension) -> str:
    if not unit:
        return f"the unit is missing: expected {dimension.allowed()}, got '{text}'"
    hint = _HINTS.get(unit)
    writing = _writing_hint(text)
    close = f"did you mean {hint}? " if hint in dimension.words else nearest(unit, dimension.words)
    return f"{'' if writing else close}expected {dimension.allowed()}, got '{text}'{writing}"
