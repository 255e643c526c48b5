# SPDX-License-Identifier: MIT
"""The command line: parse, one Python call, render."""

from __future__ import annotations
