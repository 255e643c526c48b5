# SPDX-License-Identifier: MIT
"""How a stream of vapour goes along a path whose walls take it: as a net of conductances.

Each place passes on to the next through a resistance of flow, and gives to its wall what lands
there: the film conductance times how far the potential of the vapour is above that of saturation
at the wall, never less than nothing. What enters is the supply, or what the potential at the
start drives if that is less. Which walls take something is found from a first guess by Newton's
method. It comes down to the answer from above, since each wall that takes more lowers potentials before
and beyond it, so that there is one answer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.ground.arrays import Array

__all__ = ["Net", "Spread", "net_along"]

_STEPS = 80
_ROUNDED, _NOTHING = 1e-12, 1e-14  # relative, to the potential and to the most that it can be
_LEAK = 1e-9  # of the supply, that lands at the far end however hot it is


@dataclass(frozen=True, slots=True)
class Net:
    """A path as conductances: (places, samples) unless said."""

    resistance: Array  # to each place from the one before it, or from the start [Pa s/mol of potential]
    film: Array  # to the wall, none where nothing stays
    supply: Array  # (samples,) mol/s
    first: Array  # (samples,) the most that the potential at the start can be

    def part(self, some: NDArray[np.intp]) -> Net:
        """That of some samples."""
        return Net(self.resistance[:, some], self.film[:, some], self.supply[some], self.first[some])


@dataclass(frozen=True, slots=True)
class Spread:
    """What passes and what lands in a net: (places, samples) unless said."""

    flow: Array  # up to each place
    potential: Array
    wet: NDArray[np.bool_]  # where something lands
    whole: Array  # conductance from each place to all walls at it and beyond it
    handed: Array  # the part of a change of potential before a place that arrives at it
    driven: NDArray[np.bool_]  # (samples,) whether the whole supply enters

    def answer(self, net: Net, change: Array) -> Array:
        """How the potentials change with those of saturation where something lands."""
        film = np.where(self.wet, net.film, 0.0)
        level = np.empty_like(film)
        drawn = np.zeros(film.shape[1])
        for place in range(len(film) - 1, -1, -1):
            level[place] = (film[place] * change[place] + drawn) / self.whole[place]
            drawn = self.whole[place] * self.handed[place] * level[place]
        found = level
        coming = np.where(self.driven, 0.0, -drawn)
        for place in range(len(film)):
            ahead = level[place + 1].copy() if place + 1 < len(film) else None
            found[place] += coming / self.whole[place]
            if ahead is not None:
                coming = self.whole[place + 1] * self.handed[place + 1] * (found[place] - ahead)
        return found

    def own(self, net: Net) -> Array:
        """By how much the potential of each place rises with what is put in there [Pa s/mol]."""
        film = np.where(self.wet, net.film, 0.0)
        both = np.empty_like(film)
        before = np.where(self.driven, 0.0, 1.0 / net.resistance[0])
        for place in range(len(film)):
            if place:
                before = before / (1.0 + net.resistance[place] * before)
            both[place] = before + self.whole[place]
            before = before + film[place]
        return np.asarray(1.0 / both)

    def put(self, some: NDArray[np.intp], other: Spread) -> None:
        """Take over some samples."""
        for name in self.__slots__:
            getattr(self, name)[..., some] = getattr(other, name)


def net_along(net: Net, heights: Array, wet: NDArray[np.bool_]) -> Spread:
    """What passes and lands where the saturated potentials are `heights`; `wet` is a guess of where."""
    found = _given(net, heights, wet)
    some = np.arange(heights.shape[1])
    part, over = net, heights
    for _ in range(_STEPS):
        again = _other(part, found.potential[:, some], over, found.wet[:, some])
        amiss = np.flatnonzero(np.any(again, axis=0))
        if not len(amiss):
            break
        if len(amiss) < len(some):
            some, part, over = some[amiss], part.part(amiss), over[:, amiss]
        found.put(some, _given(part, over, found.wet[:, some] ^ again[:, amiss]))
    return replace(found, flow=_falling(found))


def _falling(found: Spread) -> Array:
    """The flow, which falls only where something lands: but for rounding it is so already."""
    place = np.arange(len(found.wet))[:, None]
    after = np.where(found.wet, place + 1, 0)
    last = np.concatenate([np.zeros((1, after.shape[1]), dtype=np.intp), np.maximum.accumulate(after, axis=0)[:-1]])
    flow = np.take_along_axis(found.flow, last, axis=0)
    return np.asarray(np.minimum.accumulate(np.maximum(flow, 0.0), axis=0))


def _other(net: Net, potential: Array, heights: Array, wet: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which walls do what they should not, by more than rounding."""
    above = potential - heights
    near = _ROUNDED * heights + _NOTHING * net.first
    return np.where(wet, above < -near, (above > near) & (net.film > 0.0))


def _given(net: Net, heights: Array, wet: NDArray[np.bool_]) -> Spread:
    """The same with so many walls that take something, or give it back."""
    places, samples = heights.shape
    film = np.where(wet, net.film, 0.0)
    loads = film * heights
    whole, level, handed = np.empty_like(film), np.empty_like(film), np.empty_like(film)
    film[-1] += _LEAK * net.supply / net.first
    passed, drawn = np.zeros(samples), np.zeros(samples)
    for place in range(places - 1, -1, -1):
        both = film[place] + passed
        whole[place] = both
        level[place] = (loads[place] + drawn) / both
        handed[place] = 1.0 / (1.0 + net.resistance[place] * both)
        passed = both * handed[place]
        drawn = passed * level[place]
    most = passed * (net.first - level[0])
    driven = net.supply < most
    coming = np.minimum(net.supply, most)
    flow, potential = np.empty_like(film), np.empty_like(film)
    for place in range(places):
        flow[place] = coming
        potential[place] = level[place] + coming / whole[place]
        if place + 1 < places:
            coming = whole[place + 1] * handed[place + 1] * (potential[place] - level[place + 1])
    return Spread(flow, potential, wet, whole, handed, driven)
