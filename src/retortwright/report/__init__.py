# SPDX-License-Identifier: MIT
"""Findings as text and as JSON."""

from __future__ import annotations
