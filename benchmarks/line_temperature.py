# SPDX-License-Identifier: MIT
"""A bare tube out of a furnace: all samples at once, beside scipy's boundary-value solver one by one.

Prints the time per sample of both in one run, their ratio, and how far the two answers differ; then
what all regimes of a whole rig take at once, and how much longer its samples would take one by one.
Run from the root of the tree: python benchmarks/line_temperature.py
"""

from __future__ import annotations

import time

import numpy as np
from scipy.integrate import solve_bvp

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.physics.convection import free_film_coefficient
from retortwright.reference.datum import curve_of
from retortwright.reference.tables import shipped
from retortwright.rig.reading import read_rig, rig_of
from retortwright.situation.loss import lasting, losses_of
from retortwright.situation.regime import regime_of
from retortwright.situation.situation import Situation

RIG = """
retortwright = 1
[aim]
metal = "K"
[piece.tube]
tube = "12.7 x 0.9 mm"
length = "400 mm"
of = "304L"
finish = "oxidised"
valve = "metal seat"
bottom = { shape = "flat", thick = "2 mm", joined = "TIG" }
[heat]
furnace = { over = { tube = "0 to 150 mm" } }
[state]
run = { open = [], running = ["furnace"] }
[programme]
steps = [{ state = "run", to = "700 degC" }]
"""  # the valve blocks the bore, so that both solve the same equation
SAMPLES, PEER = 256, 12
WHOLE = "examples/rubidium-cells.toml"


def ours() -> tuple[float, Situation]:
    """Seconds per sample and the solved situation."""
    situation = Situation(rig_of(RIG), shipped(), Draws(samples=SAMPLES))
    begin = time.perf_counter()
    situation.heat("run")
    return (time.perf_counter() - begin) / SAMPLES, situation


def peer(situation: Situation, sample: int) -> np.ndarray:
    """The same tube beyond the furnace by a general solver, from the temperature at the furnace's edge."""
    mesh, picture = situation.mesh, situation.heat("run")
    ledger = Ledger(situation.rig, situation.tables, situation.draws)
    room = ledger.default("room.temperature")[sample]
    film = ledger.default("convection.free")[sample]
    thick = 0.9e-3 * ledger.default("tolerance.wall")[sample]
    skin = ledger.emissivity("304L", "oxidised")[sample]
    factor = ledger.curve("304L", "conductivity")[1][sample]
    curve = curve_of(shipped().rows[("materials", "304L", "conductivity")])
    section, perimeter = np.pi * (12.7e-3 - thick) * thick, np.pi * 12.7e-3
    edge = float(np.interp(0.15, mesh.middle, picture.temperature[:, sample]))

    def slopes(_: np.ndarray, state: np.ndarray) -> np.ndarray:
        wall = np.clip(state[0], 250.0, 1300.0)
        coefficient = film * free_film_coefficient(wall, room, 12.7e-3, 0.4, 0.0, 101325.0)
        loss = coefficient * (wall - room) + STEFAN_BOLTZMANN * skin * (wall**4 - room**4)
        return np.array([-state[1] / (factor * curve.held(wall) * section), -perimeter * loss])

    def ends(near: np.ndarray, far: np.ndarray) -> np.ndarray:
        return np.array([near[0] - edge, far[1]])

    places = np.linspace(0.15, 0.4, 60)
    guess = np.array(
        [room + (edge - room) * np.exp(-(places - 0.15) / 0.03), 20 * np.exp(-(places - 0.15) / 0.03)]
    )
    return solve_bvp(slopes, ends, places, guess, tol=1e-5, max_nodes=20000).sol(mesh.middle)[0]


def whole_rig(draws: Draws) -> tuple[float, int]:
    """Seconds that all steady states and lasting losses of a whole rig take, and how many regimes those are."""
    rig = read_rig(WHOLE)
    situation = Situation(rig, shipped(), draws)
    regimes = {regime_of(rig, state.name) for state in rig.states}
    regimes |= {lasting(rig, loss) for state in rig.states for loss in losses_of(rig, state.name)}
    begin = time.perf_counter()
    for regime in sorted(regimes, key=str):
        situation.heat_in(regime)
    return time.perf_counter() - begin, len(regimes)


def main() -> None:
    """Both in one run."""
    own, situation = ours()
    begin = time.perf_counter()
    answers = [peer(situation, sample) for sample in range(PEER)]
    theirs = (time.perf_counter() - begin) / PEER
    beyond = situation.mesh.middle > 0.16
    whole = situation.heat("run").temperature
    gaps = [np.max(np.abs(answer - whole[:, n])[beyond]) for n, answer in enumerate(answers)]
    print(
        f"line temperature: ours {own * 1e3:.2f} ms a sample, scipy solve_bvp {theirs * 1e3:.1f} ms a sample"
    )
    print(f"line temperature: ratio {theirs / own:.0f}; largest difference {max(gaps):.2f} K")
    together, count = whole_rig(Draws(samples=SAMPLES))
    alone, _ = whole_rig(Draws(samples=SAMPLES, pick=(0,)))
    print(
        f"whole rig: {count} regimes of {SAMPLES} samples in {together:.2f} s, {together / count * 1e3:.0f} ms each"
    )
    print(f"whole rig: one by one the samples would take {alone * SAMPLES / together:.0f} times longer")


if __name__ == "__main__":
    main()
