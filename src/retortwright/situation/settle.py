# SPDX-License-Identifier: MIT
"""Newton steps to the temperatures at which every cell of wall is in balance, all samples at once.

A sample that swings to and fro takes shorter steps. Near the answer a step is mended by what the
last two steps did to the balance (Anderson's secants, one sample at a time), which makes up for
slopes that only steer. What a sample does never depends on the others.
"""

from __future__ import annotations

import numpy as np

from retortwright.ground.arrays import Array
from retortwright.situation.balance import Factored, heat_balance
from retortwright.situation.wall import Wall

__all__ = ["settled"]

_STEPS, _SLOW_STEPS = 40, 150
_ROUGH = 30  # steps from a rough guess for which nothing is kept
_KEPT = 6  # steps for which the inverse of a dense block serves
_FEW = 0.5  # share of samples that still move, below which the others are laid aside
_NEAR = 3.0  # K, steps from which on they are mended
_CREEP, _TREND = 0.6, 20.0  # trend of steps and size [K] from which on a trend is drawn out
_WITHIN = (60.0, 2600.0)  # K, for iterates only
_SLOWEST, _FASTEST = 0.5, 0.05  # by how much a step is taken to shrink to the next, at worst and at best


def settled(wall: Wall, guess: Array, close: float, rough: bool = False) -> Array:
    """The temperatures in balance from a first guess, `rough` or not; nan in samples for which none are found.

    A sample is left alone once what its next steps would still add up to is less than `close` [K],
    judged by how much its steps shrink.
    """
    found = _quickly(wall, guess, close, _ROUGH if rough else 0)
    lost = np.logical_not(np.all(np.isfinite(found), axis=0)) & np.all(np.isfinite(guess), axis=0)
    if np.any(lost):
        found[:, lost] = _patiently(wall.picked(lost).sloped(None), guess[:, lost], close)
    return found


def _quickly(wall: Wall, guess: Array, close: float, fresh: int) -> Array:
    """Steps that keep the inverses of dense blocks, but for some at the beginning."""
    found = guess.copy()
    active = np.arange(guess.shape[1])
    moving, before = np.ones(guess.shape[1], dtype=bool), np.full(guess.shape[1], np.inf)
    secants, stride = _Secants(), _Stride(guess)
    bores: dict[int, Array] | None = None
    inverses: dict[int, Array] = {}
    for number in range(_STEPS):
        temperature = found[:, active]
        if number <= fresh or (number - fresh) % _KEPT == 0:
            bores, inverses = None, {}
        balance = heat_balance(wall, temperature, bores)
        bores = balance.slopes.bores
        step = Factored(balance, inverses=inverses).solved(balance.residual)
        moved = np.max(np.abs(step), axis=0)
        mended = secants.mended(temperature, step, moved) * (stride.after(step) * moving)
        found[:, active] = np.clip(temperature + mended, *_WITHIN)
        shrinks = np.clip(moved / before, _FASTEST, _SLOWEST)
        moving &= np.logical_not(moved * shrinks < close)
        if not np.any(moving):
            return found
        before = moved
        if np.mean(moving) < _FEW:
            wall, active, before = wall.picked(moving), active[moving], before[moving]
            secants.pick(moving)
            stride.pick(moving)
            bores = {n: full[moving] for n, full in bores.items()}
            inverses = {n: full[moving] for n, full in inverses.items()}
            moving = np.ones(len(active), dtype=bool)
    found[:, active[moving]] = np.nan
    return found


class _Stride:
    """The share of a step that is taken, sample by sample: less where steps go on swinging to and fro."""

    def __init__(self, guess: Array) -> None:
        self._before = np.zeros_like(guess)
        self._share = np.ones(guess.shape[1])
        self._swung = np.zeros(guess.shape[1], dtype=bool)

    def after(self, step: Array) -> Array:
        """The share of the next step, (samples,)."""
        size = _dot(self._before, self._before)
        self.trend = _dot(step, self._before) / np.where(size > 0, size, 1.0)
        swings = self.trend < -0.5
        less = swings & self._swung
        self._share = np.where(less, self._share / 2, np.minimum(1.0, 1.5 * self._share))
        self._before, self._swung = step, swings
        return self._share

    def forget(self, some: Array) -> None:
        """The last step of some samples says nothing about their next."""
        self._before = np.where(some, 0.0, self._before)

    def pick(self, keep: Array) -> None:
        """Go on with some of the samples."""
        self._before, self._share = self._before[:, keep], self._share[keep]
        self._swung = self._swung[keep]


class _Secants:
    """The last two changes of temperature and what they did to the step."""

    def __init__(self) -> None:
        self._last: tuple[Array, Array, Array] | None = None  # temperature, step, and how far it moved
        self._changes: list[tuple[Array, Array]] = []  # of temperature plus step, and of the step

    def mended(self, temperature: Array, step: Array, moved: Array) -> Array:
        """The step less what the changes before can undo of it, in samples that are near."""
        if self._last is not None:
            place, earlier, size = self._last
            near = (np.maximum(size, moved) < _NEAR).astype(np.float64)
            change = (step - earlier) * near
            both = (temperature - place) * near
            both += change
            self._changes = [(both, change), *self._changes[:1]]
        self._last = (temperature, step, moved)
        if not self._changes or not np.any(moved < _NEAR):
            return step
        return step - self._undone(step)

    def _undone(self, step: Array) -> Array:
        """The least squares over one or two changes, by hand."""
        both, change = self._changes[0]
        first = _dot(change, change)
        seen = _dot(change, step)
        if len(self._changes) == 1:
            return np.asarray(_over(seen, first) * both)
        older_both, older = self._changes[1]
        cross, second, older_seen = _dot(change, older), _dot(older, older), _dot(older, step)
        whole = first * second - cross * cross
        plain = whole < 1e-6 * first * second  # both much alike, or only one near
        share = np.where(plain, _over(seen, first), _over(seen * second - older_seen * cross, whole))
        rest = np.where(plain, 0.0, _over(older_seen * first - seen * cross, whole))
        return np.asarray(share * both + rest * older_both)

    def pick(self, keep: Array) -> None:
        """Go on with some of the samples."""
        self._changes = [(both[:, keep], change[:, keep]) for both, change in self._changes]
        if self._last is not None:
            place, step, moved = self._last
            self._last = (place[:, keep], step[:, keep], moved[keep])


def _dot(one: Array, other: Array) -> Array:
    return np.asarray(np.einsum("cs,cs->s", one, other))


def _over(part: Array, whole: Array) -> Array:
    return np.asarray(np.where(whole > 0, part / np.where(whole > 0, whole, 1.0), 0.0))


def _patiently(wall: Wall, guess: Array, close: float) -> Array:
    """Slopes of its own for every step; a sample that creeps takes its trend to the end, then looks again."""
    found, active = guess.copy(), np.arange(guess.shape[1])
    stride = _Stride(guess)
    for _ in range(_SLOW_STEPS):
        temperature = found[:, active]
        balance = heat_balance(wall, temperature)
        step = Factored(balance).solved(balance.residual)
        share, trend = stride.after(step), stride.trend
        moved = np.max(np.abs(step), axis=0)
        creeps = (trend > _CREEP) & (moved < _TREND)
        drawn = np.where(creeps, 1.0 / (1.0 - np.clip(trend, 0.0, 0.98)), share)
        found[:, active] = np.clip(temperature + drawn * step, *_WITHIN)
        moving = np.logical_not(moved < close)
        if not np.any(moving):
            return found
        stride.forget(creeps)
        if not np.all(moving):
            wall, active = wall.picked(moving), active[moving]
            stride.pick(moving)
    found[:, active] = np.nan
    return found
