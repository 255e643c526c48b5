# SPDX-License-Identifier: MIT
"""The rig as a section to scale, and plots of it, as SVG."""

from __future__ import annotations
