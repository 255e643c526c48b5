# SPDX-License-Identifier: MIT
"""A run in time: all samples at once, beside scipy's stiff solvers one sample at a time on the same rates.

Prints CPU time per sample of both, each at the loosest tolerance that is as close to a tight reference
in the metal that has come and in the heat, their ratio, and how well ours keeps metal and heat.
Run from the root: python benchmarks/run_in_time.py
"""

from __future__ import annotations

import time

import numpy as np
from scipy.integrate import solve_ivp

from retortwright.belief.beliefs import Draws
from retortwright.reference.tables import shipped
from retortwright.rig.reading import read_rig
from retortwright.situation.run_in_time import RunInTime, followed, run_in_time, start_of
from retortwright.situation.run_rates import StretchRates
from retortwright.situation.situation import Situation

RIG = "examples/rubidium-cells.toml"
SAMPLES, PEERS = 256, (0, 90, 180)
FINEST = 1e9  # s: nothing is kept but the ends of the stretches
METHODS = ("BDF", "Radau", "LSODA")
TOLERANCES = (1e-2, 1e-3, 1e-4, 1e-5)


def peer(run: RunInTime, sample: int, method: str, tolerance: float) -> np.ndarray:
    """The states of one sample at the ends of all stretches, by a general stiff solver."""
    which = np.array([sample])
    state = start_of(run.parts, False)[:, sample]
    whole = run.parts.heat.content(run.parts.heat.top)[sample]
    comes = run.parts.comes[sample]
    sizes = np.array([0.3 * whole, 0.1 * comes, 0.1 * comes, comes, whole, whole, whole, 1e5])
    found = []
    for stretch in run.programme.stretches:
        rates = StretchRates(run.parts, stretch, run.passing.get(stretch.state))

        def slope(at: float, now: np.ndarray, rates: StretchRates = rates) -> np.ndarray:
            return rates(np.array([at]), now[:, None], which)[:, 0]

        solved = solve_ivp(
            slope, (stretch.start, stretch.end), state, method=method, rtol=tolerance, atol=tolerance * sizes
        )
        state = solved.y[:, -1]
        found.append(state)
    return np.array(found)


def off(run: RunInTime, course: np.ndarray, sharp: np.ndarray, sample: int) -> float:
    """The larger of the errors in metal that has come and in heat, as shares of all of it."""
    metal = np.max(np.abs(course[:, 3] - sharp[:, 3])) / run.parts.comes[sample]
    heat = np.max(np.abs(course[:, 0] - sharp[:, 0])) / np.max(sharp[:, 0])
    return float(max(metal, heat))


def main() -> None:
    """Both in one run."""
    situation = Situation(read_rig(RIG), shipped(), Draws(samples=SAMPLES))
    run = run_in_time(situation)
    assert isinstance(run, RunInTime)
    start = start_of(run.parts, False)
    sharp = {sample: peer(run, sample, "Radau", 1e-9) for sample in PEERS}
    begin = time.process_time()
    times, course, steps = followed(run.parts, run.programme, run.passing, start, FINEST)
    own = (time.process_time() - begin) / SAMPLES
    ends = np.isin(times, [each.end for each in run.programme.stretches])
    error = max(off(run, course[ends][:, :, sample], sharp[sample], sample) for sample in PEERS)
    kept = np.max(np.abs(np.sum(course[:, 1:4], axis=1) / run.parts.comes - 1.0))
    heat = course[:, 0] - course[0, 0] - course[:, 4] + course[:, 5] + course[:, 6]
    lost = np.max(np.abs(heat)) / np.max(course[:, 0])
    print(f"run in time: ours {own * 1e3:.2f} ms a sample, {steps} steps at most, off by {error:.1e}")
    print(f"run in time: ours keeps metal to {kept:.0e}, heat to {lost:.0e}")
    best = np.inf
    for method in METHODS:
        for tolerance in TOLERANCES:
            begin = time.process_time()
            courses = {sample: peer(run, sample, method, tolerance) for sample in PEERS}
            theirs = (time.process_time() - begin) / len(PEERS)
            worst = max(off(run, courses[sample], sharp[sample], sample) for sample in PEERS)
            if worst <= error:
                best = min(best, theirs)
                print(f"run in time: scipy {method} {theirs * 1e3:.0f} ms a sample, off by {worst:.1e}")
                break
    print(f"run in time: ratio {best / own:.0f} to the quickest of them (asked: 10)")


if __name__ == "__main__":
    main()
