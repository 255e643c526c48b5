# SPDX-License-Identifier: MIT
"""Is it good enough: one module for each question gives findings, with refusals and remedies."""

from __future__ import annotations
