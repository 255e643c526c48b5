# SPDX-License-Identifier: MIT
"""What nature does: pure functions of SI floats and arrays, without tables, files, clocks or screens."""

from __future__ import annotations
