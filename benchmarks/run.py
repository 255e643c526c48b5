# SPDX-License-Identifier: MIT
"""All benchmarks in one run, as ratios beside a peer. Run from the root: python benchmarks/run.py"""

from __future__ import annotations

import runpy
from pathlib import Path

if __name__ == "__main__":
    for name in ("charge_equilibrium", "line_temperature", "loss_in_time", "one_sample", "train_transmission"):
        print(f"-- {name}")
        runpy.run_path(str(Path(__file__).parent / f"{name}.py"), run_name="__main__")
