# SPDX-License-Identifier: MIT
"""The apparatus: read from one text file into frozen objects, written back, and changed only by an edit."""

from __future__ import annotations
