# SPDX-License-Identifier: MIT
"""A sample of a whole assessment, beside a pipeline glued from general libraries that does a part of it.

Ours: every question that is asked of the rubidium rig, all states and losses, 256 samples, without
remedies. The pipeline takes one sample of one state: the equilibrium over the charge at three
conversions (cantera), the wall of retort and line as one straight fin with the films of `ht`
(scipy solve_bvp), the landing of the vapour on it (brentq, the flow of a tube), both in turns until
they agree, and one loss of cooling followed for ten minutes (scipy's BDF on sixty cells). It leaves
out every arm, seal, band, driver and leak. Run from the root of the tree:

    OPENBLAS_NUM_THREADS=1 PYTHONPATH=src python benchmarks/one_sample.py
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np
from ht.conv_free_immersed import Nu_horizontal_cylinder
from scipy.integrate import solve_bvp, solve_ivp
from scipy.optimize import brentq

sys.path.append(str(Path(__file__).resolve().parents[1] / "tests"))

from retortwright.assess.assessment import assess
from retortwright.belief.beliefs import Draws
from retortwright.physics.constants import GAS_CONSTANT, STEFAN_BOLTZMANN
from retortwright.rig.reading import read_rig
from situation.equilibria import routed, species
from situation.general_library import library_of

RIG = "examples/rubidium-cells.toml"
SAMPLES, PEER = 256, 3
ROOM, HOT, WIDE, WALL, LONG = 293.15, 893.0, 17.3e-3, 1.2e-3, 0.45  # K, K, m, m, m
CARRIES, SKIN, HEAVY = 17.0, 0.6, 7900.0 * 520.0  # W/m/K, -, J/m3/K: a steel that does not change
STREAM, LATENT = 3.6e-3 / 3000.0, 0.9e6  # kg/s, J/kg
PLACES = np.linspace(0.0, LONG, 60)


def film(wall: float) -> float:
    """Free convection in air about a level tube [W/m2/K], by the general library."""
    mean = (wall + ROOM) / 2
    viscosity = 1.46e-6 * mean**1.5 / (mean + 110.4)
    density = 101325.0 * 0.028965 / (GAS_CONSTANT * mean)
    conductivity = 0.0263 * (mean / 300.0) ** 0.8
    grashof = 9.81 * (abs(wall - ROOM) + 1e-3) / mean * WIDE**3 * (density / viscosity) ** 2
    return float(Nu_horizontal_cylinder(0.7, grashof) * conductivity / WIDE)


def outward(wall: np.ndarray) -> np.ndarray:
    """Heat that a tube gives to the room [W/m]."""
    films = np.array([film(each) for each in wall])
    return np.pi * WIDE * (films * (wall - ROOM) + STEFAN_BOLTZMANN * SKIN * (wall**4 - ROOM**4))


def fin(vapour: np.ndarray) -> np.ndarray:
    """The wall from the furnace on [K], with the heat that vapour brings to it [W/m]."""
    section = np.pi * WIDE * WALL

    def slopes(at: np.ndarray, state: np.ndarray) -> np.ndarray:
        wall = np.clip(state[0], 250.0, 1300.0)
        brought = np.interp(at, PLACES, vapour)
        return np.array([-state[1] / (CARRIES * section), brought - outward(wall)])

    def ends(near: np.ndarray, far: np.ndarray) -> np.ndarray:
        return np.array([near[0] - HOT, far[1]])

    falls = np.exp(-PLACES / 0.05)
    guess = np.array([ROOM + (HOT - ROOM) * falls, 20.0 * falls])
    return solve_bvp(slopes, ends, PLACES, guess, tol=1e-3, max_nodes=20000).sol(PLACES)[0]


def saturation(wall: float) -> float:
    """Pressure of rubidium over its liquid [Pa]."""
    gas, liquid = species("Rb(g)"), species("Rb(l)")
    return float(1e5 * np.exp(-(gas.gibbs(wall) - liquid.gibbs(wall)) / (GAS_CONSTANT * wall)))


def landing(wall: np.ndarray) -> np.ndarray:
    """Heat of the metal that lands along the wall [W/m]: the stream falls to what the wall lets pass."""
    saturated = np.array([saturation(max(each, 320.0)) for each in wall])
    step = PLACES[1] - PLACES[0]
    molar = 0.0855  # kg/mol
    resists = 3 * step / WIDE**3 * np.sqrt(2 * np.pi * molar * GAS_CONSTANT * wall) / (2 * np.pi * molar)  # Pa s/kg

    def left(first: float) -> np.ndarray:
        pressure, stream, streams = first, STREAM, []
        for wet, resistance in zip(saturated, resists, strict=True):
            pressure = max(pressure - stream * resistance, 0.0)
            if pressure > wet:
                stream *= wet / pressure
            streams.append(stream)
        return np.array(streams)

    first = brentq(lambda each: left(np.exp(each))[-1] - 1e-3 * STREAM, np.log(1e-3), np.log(1e5))
    streams = np.concatenate([[STREAM], left(float(np.exp(first)))])
    return -np.diff(streams) / step * LATENT


def loss(wall: np.ndarray, vapour: np.ndarray) -> np.ndarray:
    """The wall ten minutes after a fan has stopped, by a general stiff solver."""
    section, step = np.pi * WIDE * WALL, PLACES[1] - PLACES[0]

    def rates(_: float, state: np.ndarray) -> np.ndarray:
        flows = CARRIES * section * np.diff(state) / step
        net = np.zeros_like(state)
        net[1:-1] = np.diff(flows) / step
        net[-1] = -flows[-1] / step
        net[1:] += (vapour - 0.5 * outward(state))[1:]
        return net / (HEAVY * section)

    return solve_ivp(rates, (0.0, 600.0), wall, method="BDF", rtol=1e-4, atol=1e-2).y[:, -1]


def glued() -> float:
    """One sample through the pipeline; its hottest end [K]."""
    peer = library_of(routed("Rb", "RbCl", "Ca"), "ideal-condensed")
    for left in (0.1, 0.5, 0.9):
        peer.found(HOT, left, 1e5)
    vapour = np.zeros_like(PLACES)
    for _ in range(5):
        wall = fin(vapour)
        vapour = 0.5 * vapour + 0.5 * landing(wall)
    return float(loss(wall, vapour)[-1])


def main() -> None:
    """Both in one run."""
    rig = read_rig(RIG)
    assess(rig, Draws(samples=2), remedies=False)
    begin = time.process_time()
    assess(rig, Draws(samples=SAMPLES), remedies=False)
    own = (time.process_time() - begin) / SAMPLES
    glued()
    begin = time.process_time()
    for _ in range(PEER):
        glued()
    theirs = (time.process_time() - begin) / PEER
    print(f"one sample: ours {own * 1e3:.0f} ms, the whole rig; glued {theirs * 1e3:.0f} ms, a part of one state")
    print(f"one sample: ratio {theirs / own:.0f}")


if __name__ == "__main__":
    main()
