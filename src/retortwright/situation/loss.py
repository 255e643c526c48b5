# SPDX-License-Identifier: MIT
"""What can go wrong with the heat of a running state, one thing at a time.

A cooling stops, the power goes, a tape sticks on, the furnace overshoots. Only states whose
furnace runs are asked: in the others nothing is hot that is not already cooling.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from retortwright.rig.parts import Rig
from retortwright.situation.regime import Regime, regime_of

__all__ = ["Loss", "lasting", "losses_of", "without_power"]

_ELECTRIC = ("air",)  # coolings that stop with the power; water, baths and wet cloths go on


@dataclass(frozen=True, slots=True)
class Loss:
    """One thing lost in a state."""

    state: str
    name: str  # the lost thing, or power or overshoot
    kind: str  # cooling, stuck, power, overshoot

    @property
    def words(self) -> str:
        """What happens, in plain words."""
        return {
            "cooling": f"{self.name} stops",
            "stuck": f"{self.name} sticks on",
            "power": "the power goes",
            "overshoot": "the furnace overshoots",
        }[self.kind]


def losses_of(rig: Rig, state: str) -> list[Loss]:
    """Everything that can be lost in a state."""
    regime = regime_of(rig, state)
    led = {heat.name for heat in rig.heat if heat.holds is None}
    if not any(name in led for name, _ in regime.hot):
        return []
    found = [Loss(state, name, "cooling") for name in regime.cold]
    found += [Loss(state, name, "stuck") for name, _ in regime.hot if name not in led]
    return [*found, Loss(state, "power", "power"), Loss(state, "overshoot", "overshoot")]


def lasting(rig: Rig, loss: Loss) -> Regime:
    """The regime if nobody ever noticed: the furnace stays on for good."""
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
