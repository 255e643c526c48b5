# SPDX-License-Identifier: MIT
"""What every floor stands on: errors, the closed unit words, the alias for a number or an array."""

from __future__ import annotations
