# SPDX-License-Identifier: MIT
"""What every face of a forecast shares: the rows that are shown, names of the figures, what is not known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from retortwright.assess.cautions import Caution, cautions_of
from retortwright.assess.refusal import Refusal
from retortwright.assess.refusals import refusals_of
from retortwright.reference.datum import Missing, Row, number_of
from retortwright.situation.forecast import Forecast, forecast_of
from retortwright.situation.situation import Situation

__all__ = ["Told", "not_known", "rows_shown", "told_of"]

_FINEST = 300.0  # s


@dataclass(frozen=True, slots=True)
class Told:
    """A forecast as it is asked for: with its cautions, or refused, or stopped by what is not known."""

    situation: Situation
    every: float  # s
    edits: Sequence[tuple[str, str]]
    cautions: tuple[Caution, ...]
    refused: tuple[Refusal, ...]
    forecast: Forecast | Missing | None  # None where it is refused

    @property
    def known(self) -> Forecast | None:
        """The forecast, where there is one."""
        return self.forecast if isinstance(self.forecast, Forecast) else None


def told_of(situation: Situation, every: float, edits: Sequence[tuple[str, str]] = ()) -> Told:
    """The forecast of a rig with rows `every` so many seconds; none for what is refused."""
    refused = refusals_of(situation)
    forecast = None if refused else forecast_of(situation, min(every, _FINEST))
    return Told(situation, every, edits, cautions_of(situation), refused, forecast)


def rows_shown(told: Told, forecast: Forecast) -> list[int]:
    """The places of the moments that are shown: the ends of all steps, and about `every` so often between."""
    marks, kept, last = forecast.run.programme.marks, [], -np.inf
    for place, time in enumerate(forecast.times.tolist()):
        is_mark = bool(np.any(np.abs(marks - time) < 1e-6))
        ahead = marks[marks > time + 1e-6]
        near = len(ahead) > 0 and ahead[0] - time < 0.5 * told.every
        if is_mark or (time - last >= 0.999 * told.every and not near):
            kept.append(place)
            last = time
    return kept


def not_known(told: Told, forecast: Forecast) -> Iterator[Missing]:
    """What the numbers leave open."""
    if forecast.practice:
        row = told.situation.tables.find("beliefs", "reaction.time", "default")
        band = number_of(row) if isinstance(row, Row) else None
        how = f" ({band.low / 60:.0f} to {band.high / 60:.0f} min at the hottest set-point)" if band else ""
        says = (
            f"how fast this charge gives its {forecast.metal}: the pace here is that of common practice{how}; every "
            "time and amount marked ~ stands on it until runs of this rig replace it"
        )
        yield Missing("assume.reaction.time", says)
    yield Missing(
        "forecast",
        "spray that is torn off the melt, and fog: nothing here says how much of either comes over",
    )
    yield from forecast.unsaid
