# SPDX-License-Identifier: MIT
"""The apparatus as frozen objects, SI inside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from retortwright.ground.units import Band
from retortwright.rig.compound import HoseLength, Stretch, Tube
from retortwright.rig.locate import Path

__all__ = [
    "Agent",
    "Aim",
    "Bend",
    "Bottom",
    "Closure",
    "Cool",
    "Gauge",
    "Heat",
    "Lag",
    "Meeting",
    "Money",
    "Piece",
    "Plant",
    "Reagent",
    "Receiver",
    "Rig",
    "Safety",
    "State",
    "Step",
]


@dataclass(frozen=True, slots=True)
class Agent:
    """What stands ready against a fire."""

    mass: float  # kg
    kind: str


@dataclass(frozen=True, slots=True)
class Aim:
    """What is wanted."""

    metal: str
    amount: float | None = None  # kg
    grade: str | None = None


@dataclass(frozen=True, slots=True)
class Reagent:
    """One thing weighed into the pot."""

    formula: str
    mass: Band  # kg
    form: str | None = None
    contains: Mapping[str, Band] = field(default_factory=dict)  # mass fractions


@dataclass(frozen=True, slots=True)
class Bottom:
    """What closes the near end of a piece."""

    shape: str
    thick: float
    joined: str


@dataclass(frozen=True, slots=True)
class Closure:
    """What shuts the far end of a piece."""

    joined: str
    shape: str | None = None
    thick: float | None = None


@dataclass(frozen=True, slots=True)
class Bend:
    """An elbow [rad, m]."""

    turns: float
    radius: float


@dataclass(frozen=True, slots=True)
class Receiver:
    """How a receiver is filled and closed off."""

    up_to: float | None = None
    sealed: str | None = None
    at: float | None = None


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where the far end of a by-pass joins another piece."""

    piece: str
    joined: str
    at: float | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """One row of `[piece]`: a tube, cone, elbow, flask or valve, or several alike."""

    name: str
    tube: Tube
    of: str
    length: Band  # m
    on: str | None = None
    at: float | None = None
    every: float = 0.0
    count: int = 1
    joined: str | None = None
    tapers_to: Tube | None = None
    shape: str = "tube"
    slope: float = 0.0  # rad, upward from the near end
    towards: str | None = None
    bend: Bend | None = None
    finish: str | None = None
    lined: str | None = None
    bottom: Bottom | None = None
    closed: Closure | None = None
    valve: str | None = None
    receives: Receiver | None = None
    meets: Meeting | None = None


@dataclass(frozen=True, slots=True)
class Heat:
    """A heating over stretches of pieces; with `holds` it has its own thermostat."""

    name: str
    over: Mapping[str, Stretch]
    holds: float | None = None
    power: float | None = None


@dataclass(frozen=True, slots=True)
class Lag:
    """A lagging over stretches of pieces."""

    name: str
    over: Mapping[str, Stretch]
    of: str
    thick: float


@dataclass(frozen=True, slots=True)
class Cool:
    """A cooling over stretches of pieces."""

    name: str
    over: Mapping[str, Stretch]
    by: str
    speed: Band | None = None
    flow: Band | None = None
    inlet: Band | None = None
    feed: Band | None = None


@dataclass(frozen=True, slots=True)
class Gauge:
    """A vacuum gauge."""

    name: str
    on: str
    gauge: str
    at: float | None = None


@dataclass(frozen=True, slots=True)
class Plant:
    """Pump, argon, relief, bubbler as read; gauges by name."""

    pump: Mapping[str, Any] | None = None
    argon: Mapping[str, Any] | None = None
    relief: Mapping[str, Any] | None = None
    bubbler: Mapping[str, Any] | None = None
    gauges: tuple[Gauge, ...] = ()
    argon_hose: HoseLength | None = None


@dataclass(frozen=True, slots=True)
class Safety:
    """What stands ready around the rig; None where the file does not say."""

    agent: Agent | None = None
    tray: float | None = None  # m^3
    clear: float | None = None  # m
    people: int | None = None
    screen: str | None = None
    hood: Band | None = None  # m^3/s
    room: float | None = None  # m^3
    ventilation: Band | None = None  # m^3/s
    water: float | None = None  # m


@dataclass(frozen=True, slots=True)
class State:
    """One setting of valves and switches."""

    name: str
    open: tuple[str, ...]
    running: tuple[str, ...]
    until: float | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the programme."""

    state: str
    to: float | None = None
    ramp: float | None = None
    hold: float | None = None


@dataclass(frozen=True, slots=True)
class Money:
    """What things cost, in the currency of the user."""

    price: Mapping[str, Band]  # of each reagent, per kg
    buying: Band  # of the metal, per kg
    rig: Band | None = None
    runs: int = 1
    hour: Band | None = None  # per s
    waste: Band | None = None
    consumables: Band | None = None
    currency: str = ""


@dataclass(frozen=True, slots=True)
class Rig:
    """The whole apparatus, with the text it was read from."""

    path: str
    text: str
    aim: Aim
    pieces: tuple[Piece, ...]
    states: tuple[State, ...]
    steps: tuple[Step, ...]
    charge: tuple[Reagent, ...] = ()
    heat: tuple[Heat, ...] = ()
    lag: tuple[Lag, ...] = ()
    cool: tuple[Cool, ...] = ()
    plant: Plant = field(default_factory=Plant)
    assume: Mapping[str, Band] = field(default_factory=dict)
    tighten: Mapping[str, float] = field(default_factory=dict)
    lines: Mapping[Path, int] = field(default_factory=dict)
    experience: Mapping[str, float] = field(default_factory=dict)  # K, up to which one was seen to bear another
    safety: Safety = field(default_factory=Safety)
    money: Money | None = None

    def piece(self, name: str) -> Piece:
        """The row of that name."""
        return next(piece for piece in self.pieces if piece.name == name)

    def line_of(self, key: str) -> int:
        """The line of a dotted key, 0 if the file does not have it."""
        return self.lines.get(tuple(key.split(".")), 0)

    def set_point(self, state: str) -> float | None:
        """The hottest furnace set-point of a state [K]; None where no step gives one."""
        targets = [step.to for step in self.steps if step.state == state and step.to is not None]
        return max(targets) if targets else None
