# SPDX-License-Identifier: MIT
"""Bores that continue each other are one bore."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.physics.bore_radiation import tube_exchange_matrix
from retortwright.situation.joined import joined_areas
from situation.rigs import solved, whole_rig

WHOLE = """[piece.a]
tube = "33.7 x 2.6 mm"
length = "400 mm"
of = "304L"
finish = "oxidised"
closed = "FKM O-ring cap"
"""
CUT = """[piece.a]
tube = "33.7 x 2.6 mm"
length = "{at} mm"
of = "304L"
finish = "oxidised"
[piece.b]
on = "a"
joined = "TIG"
tube = "33.7 x 2.6 mm"
length = "{rest} mm"
of = "304L"
finish = "oxidised"
closed = "FKM O-ring cap"
"""
FURNACE = 'furnace = { over = { a = "0 to 200 mm" } }'


def section(length: float, radius: float, emissivity: float) -> np.ndarray:
    """Heat leaving per emissive power of a bore cut into rings."""
    exchange = np.asarray(tube_exchange_matrix(np.linspace(0.0, length, 21), radius, emissivity))
    return np.diag(exchange.sum(axis=1)) - exchange


@pytest.mark.parametrize("at", [200, 250, 320])
def test_a_level_tube_may_be_written_in_two_pieces(at: int) -> None:
    middle = Draws(width=0.0, pick=(0,))
    one = solved(whole_rig(WHOLE, FURNACE, to="700 degC"), middle).picture.joints["piece.a.closed"]
    two = solved(whole_rig(CUT.format(at=at, rest=400 - at), FURNACE, to="700 degC"), middle)
    # exact: a weld in a straight tube of one size changes nothing; what is left is the mesh
    assert two.picture.joints["piece.b.closed"][0] == pytest.approx(one[0], abs=0.5)


@pytest.mark.parametrize("emissivity", [0.1, 0.5, 1.0])
@pytest.mark.parametrize("radii", [(0.01, 0.006), (0.006, 0.01), (0.01, 0.004, 0.01)])
def test_no_heat_is_made_or_lost_in_a_plane(emissivity: float, radii: tuple[float, ...]) -> None:
    joined = joined_areas([(radius, section(0.08, radius, emissivity)) for radius in radii])
    size = np.abs(joined).max()
    # exact: equal temperatures exchange nothing, and what leaves one surface arrives at the others
    assert np.max(np.abs(joined.sum(axis=1))) < 1e-12 * size
    assert np.max(np.abs(joined.sum(axis=0))) < 1e-12 * size
    # exact: reciprocity
    assert np.max(np.abs(joined - joined.T)) < 1e-12 * size
    off = joined - np.diag(np.diag(joined))
    assert np.all(off <= 1e-15)
