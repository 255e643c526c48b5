# SPDX-License-Identifier: MIT
"""Formulas of walls and of what attacks them: questions 5 and 7."""

from __future__ import annotations

from retortwright.reference.said import Formula

__all__ = ["WALLS"]

WALLS: dict[str, Formula] = {
    "collapse": Formula(
        "One atmosphere over the pressure that folds the wall: of a tube that at which an ellipse first yields, from "
        "buckling (the least of two to sixty lobes, held round only where it is closed at both ends), the yield "
        "stress at the hottest of the wall, and how far it is out of round; of a flask the less of a fifth of the "
        "buckling pressure of a perfect sphere and yield. The thinnest wall, less what scale takes in the runs it "
        "has to last. Glass counts as breaking at the tension that it may bear for years. Openings, welds, bends "
        "and dents are not in it. An estimate: pressure-equipment law and codes come first.",
        ("windenburg-trilling-1934", "timoshenko-gere", "en-1993-1-2", "asme-ii-d"),
    ),
    "ends": Formula(
        "Bending stress of a flat end that its rim carries, 3 (3 + nu) / 8 p (a / t)^2 over half the outside diameter, "
        "or of the knuckle of a dished one, over the yield stress at the end's temperature; for a dished end no less "
        "than an atmosphere over a fifth of the buckling pressure of its crown. The end is of the metal of its tube.",
        ("timoshenko-plates", "asme-viii-1", "timoshenko-gere"),
    ),
    "flat-end": Formula(
        "The wall of the tube over the thickness of its flat end, where the wall gets hot enough to creep under "
        "vacuum: practice, beside the stress in `ends`.",
        ("common-practice",),
    ),
    "creep-runs": Formula(
        "One over the sum, over all spells of a run with a vacuum inside, of time over life. Life from the rupture "
        "stress against the Larson-Miller parameter T (20 + log10 h) at three times the larger of the stress of the "
        "tube out of round and of its ends. A stress below the tests counts as their least, a life above 100000 h as "
        "that; hotter than the tests it is unknown. The hottest place counts for the whole, and ramps and cooling "
        "count in twelve parts; without times in the programme the assumed time with hot metal does. More than 1000 "
        "runs count as 1000.",
        ("larson-miller-1952", "stainless-hot-table", "sheet-310-creep", "creep-buckling-304-2019"),
    ),
    "scale-runs": Formula(
        "A fifth of the thinnest wall over the metal that a run takes outside, in air: of plain steel the square "
        "root of the sum of rate times time, begun anew in each run since scale falls as it cools; of stainless a "
        "rate of cyclic tests times time, straight in its logarithm between temperatures. Inside and under lagging "
        "nothing is counted. More than 1000 runs count as 1000.",
        ("chen-yuen-2003", "stainless-hot-table"),
    ),
    "over-pressure": Formula(
        "Pressure over the room of the worst closed volume, as planned or with argon left on, no more than a relief "
        "lets stand (see closed): the stress around the bore, p (R^2 + r^2) / (R^2 - r^2), over the yield stress at "
        "the hottest of the wall. Creep under pressure inside is not in it.",
        ("timoshenko-gere",),
    ),
    "openings": Formula(
        "For each side arm where the high end of the band of the wall is above the temperature from which it creeps: "
        "metal to spare round it, over what it takes (its bore times the wall that an atmosphere with the reserve of "
        "collapse asks for). To spare is the wall beyond that, on both sides as far as half the opening, sqrt(D t) or "
        "half the way to the next; and the arm's own beyond its need, as far as 2.5 times the thinner wall. The least "
        "of all arms counts. The weld, its creep, a pad and bending by the arm are not in it, and an end that narrows "
        "to another tube is not covered.",
        ("asme-viii-1", "timoshenko-plates", "saunders-windenburg-1931"),
    ),
    "hose": Formula(
        "The wall over the bore that a hose without a wire wants under vacuum, over what it has.",
        ("common-practice",),
    ),
    "glue-shear": Formula(
        "Shear at both ends of a glued lap, from the mean expansions of the two walls between the room and the joint "
        "at its farthest from it, the moduli of walls and glue, lap and thickness; free of strain at the room.",
        ("chen-nelson-1979",),
    ),
    "joint-swell": Formula(
        "Difference of the mean expansions of two metals that are welded or brazed, times how far the joint is from "
        "the room at its farthest.",
        (),
    ),
    "attacked": Formula(
        "Every surface is looked up with everything that touches it in the table of attacks, in the state in which it "
        "is hottest as planned. Vapour touches the retort, the ways as far as a thousandth of it still passes, and the "
        "arms as far as it reaches; liquid all from the first landing to the far ends of the receivers, no colder "
        "than it melts; what is in the pot its liner, else its wall. Hotter never helps: what is eaten at one "
        "temperature is eaten at every hotter one, what was read to bear it bears it colder too. The limit is the "
        "hottest that a text that was read speaks of, or where attack begins. Rows from memory may fail or widen a "
        "finding, never make it hold; what you have seen yourself (experience) counts as read. Not in it: what "
        "touches after a loss, wear by flow, strength of what is left, scaling outside.",
        ("common-practice",),
    ),
}
