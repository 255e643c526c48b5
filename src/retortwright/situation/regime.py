# SPDX-License-Identifier: MIT
"""What of a state matters to the temperatures: set-points and what cools, nothing else."""

from __future__ import annotations

from dataclasses import dataclass

from retortwright.rig.parts import Rig

__all__ = ["Regime", "regime_of"]


@dataclass(frozen=True, slots=True)
class Regime:
    """The thermal setting of a state. States with equal regimes share one solution."""

    hot: tuple[tuple[str, float], ...]  # heatings that run, with their set temperature [K]
    cold: tuple[str, ...]  # coolings that run
    stuck: str | None = None  # a heating whose thermostat is stuck on
    over: bool = False  # the furnace overshoots its set-point

    @property
    def hottest(self) -> float:
        """The hottest set temperature [K], 0 where nothing heats."""
        return max((target for _, target in self.hot), default=0.0)

    def set_point(self, heat: str) -> float | None:
        """Set temperature of a heating, None if it is off."""
        return dict(self.hot).get(heat)


def regime_of(rig: Rig, state: str) -> Regime:
    """The regime of a state."""
    found = next(each for each in rig.states if each.name == state)
    led = rig.set_point(state)
    hot = []
    for heat in rig.heat:
        target = heat.holds if heat.holds is not None else led
        if heat.name in found.running and target is not None:
            hot.append((heat.name, target))
    return Regime(tuple(hot), tuple(cool.name for cool in rig.cool if cool.name in found.running))
