# SPDX-License-Identifier: MIT
"""Trains of pieces against single tubes, against themselves reversed, and against molecules followed."""

from __future__ import annotations

import numpy as np
import pytest

from physics.molecules import standard_error, through_train
from retortwright.physics.clausing import tube_transmission
from retortwright.physics.elbow import elbow_transmission
from retortwright.physics.tubetrain import TrainTransmission, cone_transmission, train_transmission

Pieces = list[tuple[float, float, float]]

FLASKS: Pieces = [(1.0, 1.0, 2.0), (0.5, 0.5, 0.5), (1.0, 1.0, 2.0)]
LINE: Pieces = [(1.0, 1.0, 3.0), (1.0, 0.4, 1.0), (0.4, 0.4, 6.0), (0.4, 1.2, 0.8), (1.2, 1.2, 5.0)]
NEEDLES: Pieces = [(1.0, 1.0, 1e-3), (0.5, 0.5, 1e-3)]
SHALLOW: Pieces = [(1.0, 1.0, 0.1), (0.7, 0.7, 0.5)]
PLATES: Pieces = [(0.6, 0.6, 0.0), (1.0, 1.0, 1.5), (0.4, 0.4, 0.0), (1.0, 0.7, 2.0)]


def train(pieces: Pieces, bends: dict[int, float] | None = None) -> TrainTransmission:
    columns = (np.array(column) for column in zip(*pieces, strict=True))
    angles = np.array([(bends or {}).get(number, 0.0) for number in range(len(pieces))])
    return train_transmission(*columns, angles)


def passed(pieces: Pieces, bends: dict[int, float] | None = None) -> float:
    return float(train(pieces, bends).transmission)


@pytest.mark.parametrize("length", [0.05, 0.5, 1.0, 5.0, 20.0, 60.0])
def test_a_single_tube_is_clausing(length: float) -> None:
    # exact: the same integral equation, solved by another method
    assert passed([(1.0, 1.0, length)]) == pytest.approx(float(tube_transmission(length)), rel=5e-5)


def test_a_tube_cut_into_five_stays_a_tube() -> None:
    cut = [(1.0, 1.0, length) for length in (0.4, 1.3, 0.2, 2.1, 1.0)]
    # published: Cole 1977, L/R = 5 (recalled); 0.1 % was asked
    assert passed(cut) == pytest.approx(0.310525, rel=2e-5)


@pytest.mark.parametrize("pieces", [FLASKS, LINE, PLATES, [(1.0, 0.5, 2.0)]], ids=["flasks", "line", "plates", "cone"])
def test_reciprocity(pieces: Pieces) -> None:
    back = [(outlet, inlet, length) for inlet, outlet, length in reversed(pieces)]
    there = pieces[0][0] ** 2 * passed(pieces)
    assert there == pytest.approx(pieces[-1][1] ** 2 * passed(back), rel=1e-9)  # exact: no net flow at rest


@pytest.mark.parametrize(
    ("pieces", "count"), [(FLASKS, 400_000), ([(0.5, 1.0, 2.0)], 200_000), ([(1.0, 0.3, 1.0)], 400_000),
     (SHALLOW, 400_000)],
    ids=["flasks", "widening", "narrowing", "shallow"],
)
def test_against_molecules(pieces: Pieces, count: int) -> None:
    # exact: the share of molecules followed one by one, within three standard errors (0.2 to 1 %)
    share = through_train(pieces, 0.0, count, np.random.default_rng(7))
    assert passed(pieces) == pytest.approx(share, abs=3 * standard_error(share, count))


def test_a_fine_cut_changes_little_and_says_so() -> None:
    for pieces, reference in ((FLASKS, 0.136115), (LINE, 0.021088)):
        # regression: 8 places a panel, panels down to 0.01 radii
        found = train(pieces)
        assert found.transmission == pytest.approx(reference, rel=1e-3)
        assert 0 < float(found.numerical_error) < 0.004 * reference


def test_values_of_single_pieces_do_not_combine() -> None:
    single = 1 / sum(1 / float(tube_transmission(length)) for length in (2.0, 3.0))
    assert passed([(1.0, 1.0, 2.0), (1.0, 1.0, 3.0)]) > 1.3 * single  # exact: 0.310525 against 0.231


def test_thin_plates() -> None:
    assert passed([(0.3, 0.3, 0.0)]) == 1.0  # exact
    assert passed([(0.5, 0.5, 0.0), (0.3, 0.3, 0.0)]) == pytest.approx(0.36)  # exact: the smaller hole
    thick = [(1.0, 1.0, 2.0), (0.5, 0.5, 0.006), (1.0, 1.0, 2.0)]
    thin = [(1.0, 1.0, 2.0), (0.5, 0.5, 0.0), (1.0, 1.0, 2.0)]
    assert passed(thick) == pytest.approx(passed(thin), rel=5e-3)  # exact in the limit


def test_very_long_tubes_are_shortened_well() -> None:
    assert passed([(1.0, 1.0, 200.0)]) == pytest.approx(float(tube_transmission(200.0)), rel=5e-5)  # exact
    whole = passed([(1.0, 1.0, 200.0), (2.0, 2.0, 3.0)])
    in_parts = passed([(1.0, 1.0, 60.0), (1.0, 1.0, 60.0), (1.0, 1.0, 60.0), (1.0, 1.0, 20.0), (2.0, 2.0, 3.0)])
    assert whole == pytest.approx(in_parts, rel=1e-3)  # exact: the same train


def test_scale_does_not_matter() -> None:
    small = [(0.01 * inlet, 0.01 * outlet, 0.01 * length) for inlet, outlet, length in LINE]
    assert passed(small) == pytest.approx(passed(LINE), rel=1e-9)  # exact


def test_more_or_narrower_line_passes_less() -> None:
    assert passed([*LINE, (1.2, 1.2, 1.0)]) < passed(LINE)
    narrower = [(1.0, 1.0, 3.0), (1.0, 0.35, 1.0), (0.35, 0.35, 6.0), (0.35, 1.2, 0.8), (1.2, 1.2, 5.0)]
    assert passed(narrower) < passed(LINE)


def test_bends() -> None:
    legs: Pieces = [(1.0, 1.0, 5.0), (1.0, 1.0, 5.0)]
    bent = passed(legs, {0: np.pi / 2})
    assert bent == pytest.approx(float(elbow_transmission(5.0, 5.0, np.pi / 2)), rel=1e-4)  # exact: same sum
    assert passed(legs, {0: 1e-9}) == pytest.approx(float(tube_transmission(10.0)), rel=1e-4)  # exact
    assert np.isnan(passed(LINE, {0: np.pi / 2}))  # behind it comes a cone
    assert np.isnan(passed(legs, {1: np.pi / 2}))  # behind the last piece is nothing


def test_cone_agrees_with_train_and_vectorises() -> None:
    outlets = np.array([0.5, 1.0, 2.0])
    cones = cone_transmission(1.0, outlets, 2.0)
    assert cones == pytest.approx([passed([(1.0, outlet, 2.0)]) for outlet in outlets], rel=1e-9)  # exact
    assert cones[1] == pytest.approx(0.514231, rel=5e-6)  # published: Cole 1977 (recalled)


def test_outside_the_range_is_nan() -> None:
    alone = [(1.0, 1.0, -1.0), (0.0, 1.0, 1.0), (1.0, 1.0, np.nan), (1.0, 0.5, 0.0), (1.0, 0.5, 40.0)]
    for bad in (NEEDLES, *([piece] for piece in alone)):
        assert np.isnan(passed(bad))
        assert np.isnan(float(train(bad).numerical_error))
    assert np.isnan(cone_transmission(1.0, np.array([0.0, 0.5, 0.5]), np.array([1.0, 0.0, 31.0]))).all()
