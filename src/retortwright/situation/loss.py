# SPDX-License-Identifier: MIT
"""What can go wrong with the heat of a running state, one thing at a time.

A cooling stops, the power goes, a tape sticks on, the furnace overshoots. Only states whose
furnace runs are asked. A state after these, in which the furnace is off but its heat is still
there, is itself such a thing: the furnace is lost on purpose, with whatever cools then.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from retortwright.rig.parts import Rig
from retortwright.situation.regime import Regime, regime_of

__all__ = ["Loss", "cooling_down", "lasting", "losses_of", "without_power"]

_ELECTRIC = ("air",)  # coolings that stop with the power; water, baths and wet cloths go on


@dataclass(frozen=True, slots=True)
class Loss:
    """One thing lost in a state."""

    state: str
    name: str  # the lost thing, or power or overshoot; the hot state before one that cools down
    kind: str  # cooling, stuck, power, overshoot, after

    @property
    def words(self) -> str:
        """What happens, in plain words."""
        return {
            "cooling": f"{self.name} stops",
            "stuck": f"{self.name} sticks on",
            "power": "the power goes",
            "overshoot": "the furnace overshoots",
            "after": f"the furnace is off after {self.name}",
        }[self.kind]

    @property
    def start(self) -> str:
        """The state in whose steady temperatures it begins."""
        return self.name if self.kind == "after" else self.state


def losses_of(rig: Rig, state: str) -> list[Loss]:
    """Everything that can be lost in a state."""
    regime = regime_of(rig, state)
    led = {heat.name for heat in rig.heat if heat.holds is None}
    if not any(name in led for name, _ in regime.hot):
        return []
    found = [Loss(state, name, "cooling") for name in regime.cold]
    found += [Loss(state, name, "stuck") for name, _ in regime.hot if name not in led]
    return [*found, Loss(state, "power", "power"), Loss(state, "overshoot", "overshoot")]


def cooling_down(rig: Rig, state: str) -> Loss | None:
    """The way down into a state without furnace from the hottest state that goes before it; None if none does."""
    found = [chain[0] for chain in _chains(rig, state)]
    if not found:
        return None
    return Loss(state, max(found, key=lambda before: rig.set_point(before) or 0.0), "after")


def _chains(rig: Rig, state: str) -> list[tuple[str, ...]]:
    """For each time the programme comes to a state without furnace: the last hot state, and those between."""
    led = {heat.name for heat in rig.heat if heat.holds is None}
    fired = {each.name for each in rig.states if led & set(each.running)}
    if state in fired:
        return []
    found: list[tuple[str, ...]] = []
    chain: tuple[str, ...] = ()
    for step in rig.steps:
        if step.state in fired:
            chain = (step.state,)
        elif chain:
            if step.state == state:
                found.append(chain)
            chain = (*chain, step.state)
    return found


def _as_if_hot(rig: Rig, loss: Loss) -> Regime:
    """What bounds a cooling down: the furnace stays on, every tape of the way runs, only what always cools does.

    Nothing on the way starts hotter, is heated by anything hotter, or is cooled less.
    """
    chains = [chain for chain in _chains(rig, loss.state) if chain[0] == loss.name]
    regimes = [regime_of(rig, state) for chain in chains for state in (*chain, loss.state)]
    names = dict.fromkeys(name for regime in regimes for name, _ in regime.hot)
    hot = tuple((name, max(regime.set_point(name) or 0.0 for regime in regimes)) for name in names)
    return Regime(hot, tuple(name for name in regimes[0].cold if all(name in each.cold for each in regimes)))


def lasting(rig: Rig, loss: Loss) -> Regime:
    """The regime if nobody ever noticed: the furnace stays on for good."""
    if loss.kind == "after":
        return _as_if_hot(rig, loss)
    regime = regime_of(rig, loss.state)
    if loss.kind == "cooling":
        return replace(regime, cold=tuple(name for name in regime.cold if name != loss.name))
    if loss.kind == "stuck":
        return replace(regime, stuck=loss.name)
    if loss.kind == "overshoot":
        return replace(regime, over=True)
    return replace(regime, cold=_goes_on(rig, regime))


def without_power(rig: Rig, regime: Regime, all_electric: bool) -> Regime:
    """The regime after the furnace is switched off, or after all that is electric has stopped."""
    led = {heat.name for heat in rig.heat if heat.holds is None}
    if all_electric:
        return Regime((), _goes_on(rig, regime))
    hot = tuple((name, target) for name, target in regime.hot if name not in led)
    return replace(regime, hot=hot, over=False)


def _goes_on(rig: Rig, regime: Regime) -> tuple[str, ...]:
    by = {cool.name: cool.by for cool in rig.cool}
    return tuple(name for name in regime.cold if by[name] not in _ELECTRIC)
