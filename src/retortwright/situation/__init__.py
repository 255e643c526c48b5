# SPDX-License-Identifier: MIT
"""What happens in this rig, solved once over all samples: no opinion in it, only what was found and cited."""

from __future__ import annotations
