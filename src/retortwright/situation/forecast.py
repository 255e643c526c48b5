# SPDX-License-Identifier: MIT
"""The forecast of a run: every figure over time with its band, what bounds the stream when, and what happens when."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.beliefs import Belief
from retortwright.ground.arrays import Array
from retortwright.ground.middles import known_middle
from retortwright.ground.units import TAIL
from retortwright.reference.datum import Missing
from retortwright.reference.species import name_parts
from retortwright.situation.charge_course import REACH, ChargeCourse
from retortwright.situation.forecast_limits import LIMITS, limits_of
from retortwright.situation.holdup import held_back
from retortwright.situation.run_gas import gas_course, run_gas, water_of
from retortwright.situation.run_gauges import Shown, shown_by_gauges
from retortwright.situation.run_in_time import RunInTime, run_in_time
from retortwright.situation.run_parts import argon_states
from retortwright.situation.run_places import RunPlaces, places_of_run
from retortwright.situation.run_rates import Look
from retortwright.situation.situation import Situation
from retortwright.situation.standing_over import course_besides
from retortwright.situation.takers import molar

__all__ = ["EVENTS", "Figured", "Forecast", "Moment", "forecast_of", "moments_of"]

_BEGUN, _SPENT = 0.01, 0.99  # shares of what comes
_TENTH = 0.1
_GASES = 1e-3  # of the moles of the metal: a permanent gas from the charge of which there is more is told
EVENTS = {
    "melts": "the charge is as hot as the first thing in it melts by itself",
    "begins": "a hundredth of the {metal} has come",
    "half": "half of the {metal} that comes has come",
    "cut-85": "85 % has come: practice stops for purity from here",
    "cut-90": "90 % has come: to here",
    "wanted": "the amount wanted is in the receivers",
    "ended": "99 % has come",
    "plug": "a crust shuts the bore",
    "faded": "after the furnace is off: the stream has fallen to a tenth",
}


@dataclass(frozen=True, slots=True)
class Figured:
    """A quantity over time: (times, samples), with the word by which digits know its unit."""

    quantity: str
    values: Array

    def band(self) -> tuple[Array, Array, Array]:
        """Low, best and high over time; nan where some sample has no number."""
        known = np.all(np.isfinite(self.values), axis=1)
        low, best, high = np.quantile(
            np.where(known[:, None], self.values, 0.0), [TAIL, 0.5, 1 - TAIL], axis=1
        )
        return tuple(np.where(known, each, np.nan) for each in (low, best, high))  # type: ignore[return-value]


@dataclass(frozen=True, slots=True)
class Moment:
    """When something happens: (samples,) [s], nan where it does not."""

    name: str
    times: Array

    @property
    def often(self) -> float:
        """The share of the samples in which it happens."""
        return float(np.mean(np.isfinite(self.times)))

    def band(self) -> tuple[float, float, float] | None:
        """Low, best and high over the samples in which it happens; None where it hardly ever does."""
        happens = self.times[np.isfinite(self.times)]
        if len(happens) < max(TAIL * len(self.times), 1.0):
            return None
        low, best, high = np.quantile(happens, [TAIL, 0.5, 1 - TAIL])
        return float(low), float(best), float(high)


@dataclass(frozen=True, slots=True)
class Forecast:
    """A run in time as it is told."""

    metal: str
    state: str  # in which the charge gives its metal
    times: Array  # s
    states: tuple[str, ...]  # by time
    set_point: Array  # K; nan where the furnace is off
    figures: Mapping[str, Figured]
    gauges: tuple[Shown, ...]
    limits: Mapping[str, Array]  # share of the samples that each bounds, over time
    moments: tuple[Moment, ...]
    practice: bool  # whether the pace is that of common practice, and not of runs of this rig
    unsaid: tuple[Missing, ...]  # what leaves some figures without numbers
    notes: tuple[str, ...]
    inputs: tuple[Belief, ...]
    cites: frozenset[str]
    run: RunInTime

    @property
    def bounded(self) -> tuple[str, ...]:
        """What bounds most samples, over time."""
        table = np.stack([self.limits[name] for name in LIMITS])
        return tuple(LIMITS[place] for place in np.argmax(table, axis=0))


def forecast_of(situation: Situation, finest: float = 300.0) -> Forecast | Missing:
    """The forecast of a rig, moments no farther than `finest` [s] apart; or what stops it."""
    run = run_in_time(situation, finest)
    return run if isinstance(run, Missing) else _told(situation, run)


def _told(situation: Situation, run: RunInTime) -> Forecast:
    ledger = run.ledger
    swept = bool(argon_states(situation))
    places = RunPlaces({}, np.zeros(situation.draws.size), {}, ()) if swept else places_of_run(run)
    water, pace, dry = water_of(situation, ledger)
    gas = run_gas(situation, ledger)
    course = gas_course(run, gas, water, pace)
    looks = [run.rates_at(at).look(state, _all(run)) for at, state in zip(run.times, run.course, strict=True)]
    figures = _figures(run, looks, places, _besides(run)) | {"hydrogen": Figured("amount", course.given)}
    gauges = tuple(shown_by_gauges(run, course, figures["vapour"].values, ledger))
    leaving = np.stack([look.leaving for look in looks])
    moments = moments_of(run, figures["product"].values, leaving, figures["charge"].values)
    return Forecast(
        run.crossing.metal,
        run.state,
        run.times,
        tuple(run.programme.at(at).state for at in run.times.tolist()),
        _set_point(run),
        figures,
        gauges,
        limits_of(run, looks),
        tuple(moments),
        "reaction.time" not in situation.rig.assume and not run.crossing.charge.redistils,
        (*(() if dry is None else (dry,)), *gas.missing),
        tuple(_notes(run, swept)),
        tuple(ledger.used.values()),
        frozenset(ledger.cites),
        run,
    )


def _besides(run: RunInTime) -> Mapping[str, Array]:
    """What comes along; of a metal that is distilled once more the others by the course of the charge."""
    if not run.crossing.charge.redistils:
        return run.parts.besides
    metal = run.crossing.charge.metal_in(run.ledger)
    share = run.parts.comes * molar(run.ledger, run.crossing.metal) / metal
    return course_besides(run.crossing, run.ledger, share, run.parts.over.top)


def _figures(
    run: RunInTime, looks: Sequence[Look], places: RunPlaces, besides: Mapping[str, Array]
) -> dict[str, Figured]:
    """Every figure but the gas."""
    mass, gone = molar(run.ledger, run.crossing.metal), run.of("gone")
    share = gone / run.parts.comes
    over, leaving = (np.stack([getattr(look, name) for look in looks]) for name in ("over", "leaving"))
    held, _ = held_back(run.crossing.tree, run.ledger, run.crossing.metal)
    found = {
        "charge": Figured("temperature", np.stack([look.charge for look in looks])),
        "product": Figured("mass", np.maximum(gone * mass * (1.0 - places.lost) - held, 0.0)),
        "left": Figured("mass", gone * mass),
        "rate": Figured("rate", leaving * mass),
        "vapour": Figured("pressure", np.minimum(run.parts.passing.pressure(leaving), np.exp(over))),
        "over-charge": Figured("pressure", np.exp(over)),
        "furnace-power": Figured("power", _power(run, looks)),
    }
    found |= {f"to-{name}": Figured("mass", gone * mass * part) for name, part in places.shares.items()}
    found |= {f"along-{what}": Figured("mass", _along(table, share)) for what, table in besides.items()}
    found |= {
        f"past-walls-{what}": Figured("mass", found[f"along-{what}"].values * part)
        for what, part in places.past.items()
    }
    for crust in places.crusts:
        found[f"crust-{crust.piece}"] = Figured("length", crust.thickness(share))
        found[f"open-{crust.piece}"] = Figured("length", crust.free(share))
    return found


def _all(run: RunInTime) -> NDArray[np.intp]:
    return np.arange(len(run.parts.comes))


def _power(run: RunInTime, looks: Sequence[Look]) -> Array:
    found = []
    for at, look in zip(run.times, looks, strict=True):
        power, _, _ = run.rates_at(at).power(np.full(len(look.mass), at), look, _all(run))
        found.append(power if run.programme.at(at).hot else 0.0 * power)
    return np.stack(found)


def _along(table: Array, share: Array) -> Array:
    """What has come along when a share of what comes has gone, (times, samples) [kg]."""
    places = np.linspace(0.0, 1.0, len(table))
    return np.stack([np.interp(share[:, n], places, table[:, n]) for n in range(table.shape[1])], axis=1)


def _set_point(run: RunInTime) -> Array:
    """The set-point over time [K]."""
    found = []
    for at in run.times.tolist():
        part = run.programme.at(at)
        run_share = (at - part.start) / (part.end - part.start)
        found.append(part.before + (part.after - part.before) * run_share if part.hot else np.nan)
    return np.array(found)


def moments_of(run: RunInTime, product: Array, leaving: Array, charge: Array) -> Iterator[Moment]:
    """What happens, in the order of `EVENTS`, as far as it happens at all."""
    share = run.of("gone") / run.parts.comes
    wanted = run.crossing.rig.aim.amount
    levels = {"begins": _BEGUN, "half": 0.5, "cut-85": 0.85, "cut-90": 0.9, "ended": _SPENT}
    found = {name: _reached(run.times, share, level) for name, level in levels.items()}
    if wanted is not None:
        found["wanted"] = _reached(run.times, product / wanted, 1.0)
    if np.any(run.parts.crust > 0.0):
        found["plug"] = _reached(run.times, run.parts.crust * share, 0.98)
    found["melts"] = _reached(run.times, charge, run.parts.heat.melts)
    found["faded"] = _faded(run, leaving)
    for name in EVENTS:
        if name in found and np.any(np.isfinite(found[name])):
            yield Moment(name, found[name])


def _reached(times: Array, rising: Array, level: float | Array) -> Array:
    """When a figure first comes to a level, straight between moments, (samples,); nan where it never does."""
    above = rising >= level
    upper = np.maximum(np.argmax(above, axis=0), 1)
    columns = np.arange(rising.shape[1])
    low, high = rising[upper - 1, columns], rising[upper, columns]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.clip((level - low) / (high - low), 0.0, 1.0)
    found = times[upper - 1] + np.nan_to_num(part) * (times[upper] - times[upper - 1])
    return np.where(np.any(above, axis=0), found, np.nan)


def _faded(run: RunInTime, leaving: Array) -> Array:
    """How long after the furnace goes off the stream is a tenth; nan where it had all but ended [s]."""
    hot = [each.end for each in run.programme.stretches if each.hot and each.state == run.state]
    off = hot[-1]
    after = np.flatnonzero(run.times >= off - 1e-6)
    if len(after) < 2:
        return np.full(leaving.shape[1], np.nan)
    own = leaving[after]
    usual = 0.05 * run.parts.comes / run.parts.time
    with np.errstate(divide="ignore", invalid="ignore"):
        fallen = np.log(np.maximum(own[0], 1e-300) / np.maximum(own, 1e-300)) / -np.log(_TENTH)
    return np.where(own[0] > usual, _reached(run.times[after] - off, fallen, 1.0), np.nan)


def _notes(run: RunInTime, swept: bool) -> Iterator[str]:
    """What the reader has to know besides."""
    crossing = run.crossing
    if swept:
        yield (
            f"argon is in the rig while the charge gives {crossing.metal}: how much comes is computed, where it "
            "lands is not; fog goes with the argon"
        )
    if run.programme.unsaid:
        states = " and ".join(run.programme.unsaid)
        yield f"how long {states} lasts is not said: ten minutes are shown"
    if run.parts.course is not None:
        yield from _course_notes(run.parts.course)
    if any(not np.all(np.isfinite(each)) for each in (run.parts.heat.power,)):
        yield "the power of the furnace is not said: it follows its set-point here, whatever that takes"


def _course_notes(course: ChargeCourse) -> Iterator[str]:
    """What the course of the charge leaves open."""
    yield (
        f"more than {REACH:.0f} K colder than at its hottest the pressure over this charge runs on straight, ln p "
        "over 1/T: next to nothing comes there"
    )
    whole = course.gone_as[f"{course.metal}(g)"]
    for name, moles in course.gone_as.items():
        formula = name_parts(name)[0]
        amount = known_middle(_last_of(moles))
        if formula in ("CO", "CO2", "N2") and amount > _GASES * known_middle(_last_of(whole)):
            yield f"some {amount * 1e3:.2g} mmol of {formula} come off the charge besides: no gauge here counts them"


def _last_of(values: Array) -> Array:
    """The last step that is known, (samples,)."""
    known = np.isfinite(values)
    last = len(values) - 1 - np.argmax(known[::-1], axis=0)
    return np.asarray(values[last, np.arange(values.shape[1])])
