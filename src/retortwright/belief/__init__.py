# SPDX-License-Identifier: MIT
"""What is uncertain: one distribution and one column of samples for each belief, drawn by its name."""

from __future__ import annotations
