# SPDX-License-Identifier: MIT
"""The tool that follows molecules one by one, made importable for tests."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np

_FILE = Path(__file__).resolve().parents[2] / "tools" / "follow_molecules.py"
_SPEC = importlib.util.spec_from_file_location("follow_molecules", _FILE)
assert _SPEC is not None
assert _SPEC.loader is not None
_TOOL = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(_TOOL)

through_elbow, through_train = _TOOL.through_elbow, _TOOL.through_train


def standard_error(share: float, count: int) -> float:
    """Of a share of so many molecules."""
    return float(np.sqrt(share * (1 - share) / count))
