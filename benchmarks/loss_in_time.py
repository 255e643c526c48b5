# SPDX-License-Identifier: MIT
"""A cooling that stops: all samples at once, beside scipy's best stiff solver on the same equations.

Prints the time per sample of both in one run, their ratio, and the error of each in the peak of
the hottest soft joint against a tight run of the peer. Run: python benchmarks/loss_in_time.py
"""

from __future__ import annotations

import time

import numpy as np
from scipy.integrate import solve_ivp

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.reference.tables import shipped
from retortwright.rig.reading import read_rig
from retortwright.situation.balance import heat_balance
from retortwright.situation.loss import lasting, losses_of
from retortwright.situation.situation import Situation
from retortwright.situation.store import store_of
from retortwright.situation.wall import wall_of

RIG = "examples/thermal-blank.toml"  # without vapour, so that both solve the same equations
STATE, LOST, JOINT = "distil", "fan", "piece.retort.closed"
SAMPLES, PEER = 64, 1


def peer(situation: Situation, tolerance: float) -> float:
    """The joint after ten minutes without its cooling, by a general stiff solver, first sample."""
    rig, tree, mesh = situation.rig, situation.tree, situation.mesh
    one = Draws(samples=SAMPLES, pick=(0,))
    ledger = Ledger(rig, shipped(), one)
    loss = next(loss for loss in losses_of(rig, STATE) if loss.name == LOST)
    wall = wall_of(rig, tree, mesh, lasting(rig, loss), ledger).sloped(None)
    store = store_of(tree, mesh, ledger)
    start = situation.heat(STATE).temperature[:, :1]

    def rates(_: float, state: np.ndarray) -> np.ndarray:
        at = state[:, None]
        return (heat_balance(wall, at).residual / store.capacity(at))[:, 0]

    found = solve_ivp(rates, (0.0, 600.0), start[:, 0], method="BDF", rtol=tolerance, atol=tolerance * 100)
    joint = next(joint for joint in tree.joints if joint.key == JOINT)
    return float(found.y[mesh.cell_at(joint.instance, joint.place), -1])


def main() -> None:
    """Both in one run."""
    rig = read_rig(RIG)
    situation = Situation(rig, shipped(), Draws(samples=SAMPLES))
    situation.heat(STATE)
    loss = next(loss for loss in losses_of(rig, STATE) if loss.name == LOST)
    begin = time.perf_counter()
    course = situation.through(loss)
    own = (time.perf_counter() - begin) / SAMPLES * 600.0 / course.followed
    begin = time.perf_counter()
    loose = peer(situation, 1e-4)
    theirs = time.perf_counter() - begin
    tight = peer(situation, 1e-7)
    print(
        f"loss in time: ours {own * 1e3:.1f} ms a sample for ten minutes, scipy BDF {theirs * 1e3:.0f} ms a sample"
    )
    print(
        f"loss in time: ratio {theirs / own:.0f}; the peer is off by {abs(loose - tight):.3f} K at its tolerance"
    )
    audited = Situation(rig, shipped(), Draws(samples=SAMPLES))
    audited.audit = True
    closes = np.max(audited.through(loss).imbalance)
    print(f"loss in time: ours closes its heat to {closes:.1e} in {course.steps} steps")


if __name__ == "__main__":
    main()
