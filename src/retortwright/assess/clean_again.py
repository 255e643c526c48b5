# SPDX-License-Identifier: MIT
"""Question 3 where the charge is the metal itself: each impurity in what comes over, heads, heart and tails.

And what distilling once or twice more would make of any other product, told beside the cut.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from retortwright.assess import clean_words as words
from retortwright.assess.check import Check
from retortwright.assess.clean_check import grade_of, made, wanted_of
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.situation.crossing import crossing_of
from retortwright.situation.purity import PurityWork
from retortwright.situation.purity_again import best_cuts, distilled, volatility_of
from retortwright.situation.purity_figures import came_over, grade_limit, heart_of, sort_of, stated

__all__ = ["again_checks", "once_more"]

_MIXED = "pot and vapour well mixed: stir, or let it boil; from a solid the heart is dirtier"
_GENTLY = 100.0  # Pa of the product, at which one distils once more
_TRACE = 1e-9


def again_checks(work: PurityWork) -> Iterator[Check]:
    """Each impurity that the file states, then the heart."""
    for name in stated(work):
        yield _impurity(work, name)
    yield _heart(work)


def _impurity(work: PurityWork, name: str) -> Check:
    figure, at = came_over(work, name), f"charge.{work.metal}.contains.{name}"
    subject, because = f"{name} in the {work.metal} that comes over", words.impurity(work, name, figure)
    limit = grade_of(work, sort_of(name))
    return made(work, "other-metals", at, subject, "share", figure, limit, because, (_MIXED,))


def _heart(work: PurityWork) -> Check:
    """The metal in the largest heart that is clean enough, by all impurities that are known."""
    figure = heart_of(work)
    subject, because = f"{work.metal} in a heart that is clean enough", words.heart(work, figure)
    at, limit = f"charge.{work.metal}", wanted_of(work)
    return made(work, "cut", at, subject, "mass", figure, limit, because, (_MIXED,))


def once_more(work: PurityWork) -> tuple[str, ...]:
    """What distilling the product once and twice more would leave in it, in a sentence each; nothing if unknown."""
    ledger = work.ledger()
    landed, crossing = work.landed(ledger), crossing_of(work.situation, work.state)
    if landed is None or isinstance(crossing, Missing) or ledger.missing or not landed.shares:
        return ()
    hot = crossing.vapour.stream.saturation.dew(np.full(ledger.draws.size, _GENTLY))
    shares, volatility, limits = {}, {}, {}
    for kind, values in landed.shares.items():
        share = np.maximum(landed.at_stop(values), _TRACE)
        own = volatility_of(ledger, work.metal, kind.formula, share, hot)
        shares[kind.formula], volatility[kind.formula] = share, own
        limits[kind.formula] = grade_limit(work, ledger, kind.sort)
    if ledger.missing:
        return ()
    cut = _usual(shares, volatility, limits)
    stages = distilled(shares, volatility, (cut, cut))
    return words.once_more(float(np.median(hot)), shares, stages)


def _usual(
    shares: Mapping[str, Array], volatility: Mapping[str, Array], limits: Mapping[str, Array]
) -> tuple[float, float]:
    """The cuts of the middle sample; those of practice where no heart is clean enough or all of it is."""
    kept, begins, ends = best_cuts(shares, volatility, limits)
    middle = int(np.argsort(kept)[len(kept) // 2])
    some = 0.0 < kept[middle] < 0.95
    return (float(begins[middle]), float(ends[middle])) if some else (0.05, 0.9)
