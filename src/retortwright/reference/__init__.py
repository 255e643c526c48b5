# SPDX-License-Identifier: MIT
"""Facts with addresses: materials, joints and rules as text tables, each with its range and its source."""

from __future__ import annotations
