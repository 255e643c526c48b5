# SPDX-License-Identifier: MIT
"""Answers about a home-built hot retort and its cooled line, each with a band, a driver and a source."""

from __future__ import annotations

__all__ = ["__version__"]

__version__ = "0.1.0"
