# SPDX-License-Identifier: MIT
"""What holds for every test: one BLAS thread, and the same draws every time."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

# Read when numpy is first imported, which is later than this: small solves on two threads are slower.
os.environ |= {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}

settings.register_profile(
    "house", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow], database=None
)
settings.register_profile("hunt", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "house"))
