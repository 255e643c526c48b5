# SPDX-License-Identifier: MIT
"""Formulas of how clean it will be: question 3."""

from __future__ import annotations

from retortwright.reference.said import Formula

__all__ = ["PURITY"]

PURITY: dict[str, Formula] = {
    "carry-over": Formula(
        "What has left the charge in proportion to the pressures of an open system at one temperature, up to the share "
        "of the metal that the amount wanted asks for. Reductant and salt times (p / p')^n: p the product at "
        "equilibrium, p' what the line needs for its stream, n the assumption charge.lags. Of that gets past the walls "
        "1 - c (1 - s): s what would be left of it where every stretch before the landing took up all that diffuses to "
        "it from a settled laminar stream, exp(-pi Sh D n L / N) with Sh = 3.66, down to saturation at that wall, and "
        "c the assumption line.catches: neither fog nor a clean catch can be ruled out. Mass over that of the product; "
        "a salt counts whole. Against the grade.",
        ("nasa-tp-2002-211556", "chapman-cowling-1970", "incropera", "common-practice"),
    ),
    "other-metals": Formula(
        "Other metals of the charge that its salts hold, as they leave it in an open system at equilibrium, each an "
        "element of an ideal melt of metals; they land with the product. Of a metal that is distilled once more: each "
        "impurity that the file states by Rayleigh's law, (1 - x)^a left in the pot when x of the metal has come, a "
        "the ratio of the saturated pressures times an activity: of one in metals that mix (alkali.activity), between "
        "its share and one in others (impurity.apart), as a phase of its own in salts.",
        ("rayleigh-1902", "nasa-tp-2002-211556", "common-practice"),
    ),
    "cut": Formula(
        "The product that has landed when reductant, salt or other metals, each so far on average, first come to what "
        "the grade allows; all of it where none does. Of a metal that is distilled once more: the largest heart, of a "
        "grid of heads and tails, in which every impurity is within the grade. Against the amount wanted.",
        ("rayleigh-1902", "nasa-tp-2002-211556", "common-practice"),
    ),
    "oxygen-in": Formula(
        "Oxygen of the air that the leak, rubber and plastic let in over the time with hot metal, and of oxygen and "
        "water in the argon that flows over it or fills the rig after it, all of it taken up, over the amount wanted.",
        ("air-composition", "common-practice"),
    ),
    "nitrogen-in": Formula(
        "The same of nitrogen, for metals that form nitrides; of the impurity of argon all that is neither oxygen nor "
        "water counts as nitrogen.",
        ("air-composition", "common-practice"),
    ),
    "hydrogen-in": Formula(
        "All hydrogen of the water in the charge and what comes through the hot wall, over the amount wanted: the most "
        "there can be. Where that is more than the grade allows nobody knows how much of it stays: unknown.",
        ("common-practice",),
    ),
    "form": Formula(
        "Where a liquid is wanted (the metal melts below 800 K, or something is held above its melting point): the "
        "share of what lands that lands on walls below the melting point, of a metal with more than 1 Pa at its triple "
        "point. Others are taken as a crust, which is no fault.",
        ("nasa-tp-2002-211556", "common-practice"),
    ),
    "purity": Formula(
        "Reductant, salt, other metals that the file states, oxygen, and nitrogen where a nitride forms, added up as "
        "masses over that of the product. Against all that the grade allows of them together. A computed figure: what "
        "it does not know is listed.",
        ("common-practice",),
    ),
}
