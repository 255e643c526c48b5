# SPDX-License-Identifier: MIT
"""All benchmarks in one run, as ratios beside a peer. Run from the root: python benchmarks/run.py"""

from __future__ import annotations

import runpy
from pathlib import Path

NAMES = (
    "charge_equilibrium",
    "equilibrium_any_charge",
    "line_temperature",
    "loss_in_time",
    "one_sample",
    "run_in_time",
    "train_transmission",
)

if __name__ == "__main__":
    for name in NAMES:
        print(f"-- {name}")
        runpy.run_path(str(Path(__file__).parent / f"{name}.py"), run_name="__main__")
