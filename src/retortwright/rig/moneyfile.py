# SPDX-License-Identifier: MIT
"""The keys of `[money]`: what things cost, in a currency of the user's."""

from __future__ import annotations

from retortwright.rig.kinds import Count, Formula, Quantity, Text
from retortwright.rig.schema import Field, Named, Record

__all__ = ["MONEY"]

_Q10 = "question 10"
_SUM = Quantity("plain", 0.0, 1e9, "400", banded=True)
_PRICE = Quantity("price", 0.0, 1e9, "2.1 per g", banded=True)
MONEY = Record(
    (
        Field("currency", Text(), "a word for the currency", _Q10, default="none is written"),
        Field(
            "price",
            Named(_PRICE, "reagent", Formula()),
            "of each reagent of the charge, by its formula",
            _Q10,
            required=True,
        ),
        Field(
            "buying",
            _PRICE,
            "what the metal costs ready made, in a pack as large as yours",
            _Q10,
            required=True,
        ),
        Field("rig", _SUM, "what the apparatus costs, all of it", _Q10, default="not counted"),
        Field("runs", Count(1, 10000, "8"), "good runs that it is to serve", _Q10, default="1"),
        Field(
            "hour",
            Quantity("wage", 0.0, 1e9, "20 per h", banded=True),
            "what an hour of yours is worth",
            _Q10,
            default="not counted",
        ),
        Field("waste", _SUM, "to get rid of what a run leaves", _Q10, default="not counted"),
        Field("consumables", _SUM, "glass, gaskets, argon, powder of a run", _Q10, default="not counted"),
    )
)
