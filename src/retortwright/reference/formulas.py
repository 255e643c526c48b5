# SPDX-License-Identifier: MIT
"""What each computation does, in words, with its sources: one entry per formula name."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["FORMULAS", "Formula"]


@dataclass(frozen=True, slots=True)
class Formula:
    """One computation in words."""

    says: str
    sources: tuple[str, ...]


FORMULAS: dict[str, Formula] = {
    "tree-of-fins": Formula(
        "Each wall is cut into cells along its axis. In every cell the heat conducted in from its neighbours, with "
        "k(T) and the contact at joints in series, equals the heat given away: radiation eps sigma (T^4 - Troom^4) "
        "and convection to the room, or the exchange with furnace, lagging, tape, coil, wet cloth or bath, and the "
        "radiation between all rings of the same bore and its two ends. The balance is solved by Newton steps, for "
        "every sample of the uncertain inputs; the band's ends are the 5 and 95 % points of the samples. Not in it: "
        "heat that condensing vapour or flowing gas brings, and radiation from the furnace mouth to outer walls.",
        ("incropera", "churchill-chu-1975", "siegel-howell"),
    ),
    "tree-of-fins-in-time": Formula(
        "The same balance of every cell with the heat its wall stores, rho c(T) dT/dt, from the steady state before "
        "the loss: the furnace stays on until the loss is noticed, then its chamber loses its excess over the room "
        "with a time constant. Two-stage Rosenbrock steps; charge, liner, closures and lagging store nothing, so that "
        "peaks come a little early and high.",
        ("incropera", "verwer-1999"),
    ),
    "none": Formula("Not computed by this version.", ()),
}
