# SPDX-License-Identifier: MIT
"""What the findings about gas say in plain words."""

from __future__ import annotations

import numpy as np

from retortwright.assess.check import Limit
from retortwright.assess.finding import Finding
from retortwright.assess.leak_limits import metal_eaten_by
from retortwright.assess.makes_charge_words import plain
from retortwright.ground.arrays import Array
from retortwright.ground.middles import known_middle
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.reference.datum import Row, number_of
from retortwright.situation.figure import Figure
from retortwright.situation.gas import LONGEST, GasWork
from retortwright.situation.gasloads import STATED
from retortwright.situation.timing import is_hot

__all__ = [
    "GETTER",
    "argon",
    "base_pressure",
    "hot_notes",
    "hydrogen",
    "leak",
    "leak_notes",
    "permeation",
    "pump_down",
    "purge",
    "share_of",
    "worst_of",
]

GETTER = (
    "hot metal takes up the air that leaks in: a good vacuum while it is hot is no evidence of tightness; "
    "measure the rise empty, cold and hot"
)
_KINDS = {
    "leak": "the leak",
    "walls": "outgassing of the walls",
    "rings": "outgassing of the seals",
    "seals": "permeation of the seals",
    "hoses": "permeation of the hose",
    "charge": "water in the charge",
    "hydrogen": "hydrogen through the hot wall",
}



def _leak(value: float) -> str:
    return f"{value * 10:.2g} mbar L/s"


def _mass(rate: float) -> str:
    """A mass in an hour."""
    milligrams = rate * 3600e6
    return f"{milligrams:.2g} mg" if milligrams < 1000 else f"{milligrams / 1000:.2g} g"


def _times(value: float, limit: float) -> str:
    ratio = value / limit
    return f"{ratio:.2g}" if ratio < 10 else f"{ratio:.0f}"


def leak(work: GasWork, finding: Finding, limit: Limit) -> str:
    """How much too much, what it eats, and which limit rules."""
    metal, grade = work.rig.aim.metal, work.rig.aim.grade
    if not np.isfinite(limit.value):
        return "what leak is small enough cannot be said."
    hours = known_middle(limit.figure.said["time"]) / 3600
    allowed = (
        f"grade {grade} allows {_leak(limit.value)} over {hours:.2g} h of hot metal, by the {limit.words}"
    )
    best = finding.judgement.best
    if best is None or finding.judgement.high is None:
        usual, _ = metal_eaten_by(work, limit.value)
        return f"nobody has measured it; {allowed}, which eats {_mass(usual)} {metal} an hour."
    usual, most = metal_eaten_by(work, best)
    eats = f"it eats {_mass(usual)} {metal} an hour"
    if most > 1.01 * usual:
        eats += f" ({_mass(most)} where richer compounds form)"
    if best > limit.value:
        return f"{_times(best, limit.value)} times too much for grade {grade}, by the {limit.words}; {eats}."
    if finding.judgement.high > limit.value:
        worst = _times(finding.judgement.high, limit.value)
        return f"at the high end {worst} times too much for grade {grade}, by the {limit.words}; {eats}."
    return f"{allowed}; {eats}."


def leak_notes(work: GasWork, told: bool) -> tuple[str, ...]:
    """The standing note, and what joints of these kinds usually leak where nobody measured."""
    if told:
        return (GETTER,)
    low = high = 0.0
    for joint in work.tree.joints:
        row = work.situation.tables.find("joints", joint.kind, "leak")
        if isinstance(row, Row) and not joint.key.endswith(".valve"):
            low, high = low + number_of(row).low, high + number_of(row).high
    return (GETTER, f"joints of these kinds usually leak {low:.0e} to {high:.0e} mbar L/s in all")


def hot_notes(work: GasWork, state: str) -> tuple[str, ...]:
    """The standing note where metal may be hot."""
    return (GETTER,) if work.rig.charge and is_hot(work.rig, state) else ()


def base_pressure(work: GasWork, finding: Finding, figure: Figure) -> str:
    """What the pressure is made of."""
    if finding.judgement.best is None:
        return "the gas that comes in is not known."
    whole, pump = known_middle(figure.values), known_middle(figure.said["pump"])
    loads = {name: known_middle(figure.said[name]) for name in _KINDS}
    total = sum(loads.values())
    main = max(loads, key=lambda name: loads[name])
    load = f"{_leak(total)} comes in, most of it {_KINDS[main]} ({loads[main] / total:.0%})"
    if pump > 0.5 * whole:
        return f"{pump:.2g} Pa of it are at the pump ({_kind(work)}) already; {load}."
    speed = known_middle(figure.said["speed"]) * 1e3
    return f"of the pump ({_kind(work)}) the way to it leaves {speed:.2g} L/s at the retort; {load}."


def _kind(work: GasWork) -> str:
    return str((work.rig.plant.pump or {}).get("kind", "unknown"))


def pump_down(finding: Finding, figure: Figure) -> str:
    """Volume, and what is reached at the end of the hold."""
    if finding.judgement.high is None:
        return "the gas that comes in is not known."
    volume = f"{float(figure.said['volume'][0]) * 1e3:.2g} L are joined"
    after = (
        f"at the end of the hold it has {known_middle(figure.said['after']):.2g} Pa"
        if "after" in figure.said
        else ""
    )
    if finding.judgement.high >= LONGEST:
        return f"{volume}; at the unfavourable end this pressure is never reached; {after}."
    return f"{volume}; {after}."


def worst_of(work: GasWork, figure: Figure) -> str:
    """The key of the piece through which most comes."""
    sizes = {name: known_middle(values) for name, values in figure.said.items()}
    if not sizes:
        return f"piece.{work.tree.instances[0].row.name}"
    worst = max(sizes, key=lambda name: sizes[name])
    return f"piece.{worst.removeprefix('joints of ')}"


def permeation(finding: Finding, figure: Figure, limit: Limit) -> str:
    """Through what it comes, against the leak that is allowed."""
    if not finding.judgement.best:
        return "what comes through rubber and plastic, or what may, is not known."
    sizes = {name: known_middle(values) for name, values in figure.said.items()}
    worst = max(sizes, key=lambda name: sizes[name])
    share = sizes[worst] / sum(sizes.values())
    of = f"{share:.0%} through the {worst}"
    if finding.judgement.best > limit.value:
        return f"{_times(finding.judgement.best, limit.value)} times the leak that is allowed; {of}."
    return f"{plain(finding.judgement.best / limit.value * 100)} % of the leak that is allowed; {of}."


def hydrogen(figure: Figure) -> str:
    """Where it comes through."""
    if not figure.said:
        return "how fast hydrogen goes through this wall is not known."
    worst = max(figure.said, key=lambda name: known_middle(figure.said[name]))
    return (
        f"most through the hot {worst}; it is gone when cold, so a leak that comes with the heat and goes with it "
        "may be this."
    )


def share_of(leak: float, flow: Array) -> Array:
    """The share of oxygen in a molar flow that brings as much of it as a leak of air."""
    oxygen = 0.2095 * leak / (GAS_CONSTANT * STATED)
    return np.asarray(oxygen / flow)


def argon(work: GasWork, finding: Finding, figure: Figure) -> str:
    """From the bottle and through the hose."""
    if finding.judgement.best is None:
        return "what comes with the argon is not known."
    bottle, water = (known_middle(figure.said[name]) * 1e6 for name in ("bottle", "water"))
    words = f"{plain(bottle)} ppm oxygen from the bottle"
    hose = work.rig.plant.argon_hose
    if hose is not None and "hose" in figure.said:
        words += f", {plain(known_middle(figure.said['hose']) * 1e6)} through {hose.length:g} m of {hose.of}"
    return f"{words}; besides {plain(water)} ppm water."


def purge(finding: Finding, state: str, full: float) -> str:
    """How often, from what pressure to what."""
    best = finding.judgement.best
    if best is None:
        return "how far each emptying goes is not known."
    times = int(np.ceil(best - 1e-9))
    often = "once" if times <= 1 else f"{times} times"
    return (
        f"empty as in {state} and fill to {full / 1e3:.3g} kPa {often}; a flow alone never cleans a dead arm."
    )
