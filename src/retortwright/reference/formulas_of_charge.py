# SPDX-License-Identifier: MIT
"""Formulas of the charge and of what it gives: questions 1, 3 and 10."""

from __future__ import annotations

from retortwright.reference.said import Formula

__all__ = ["CHARGE"]

CHARGE: dict[str, Formula] = {
    "reaction-heat": Formula(
        "Formation based enthalpies at 25 degC of what the balanced reaction leaves less those of what goes in, "
        "times how often it can run in the charge (the reagent that runs out first ends it), over everything "
        "weighed. A double oxide of the slag forms where our tables have it. What the reagents contain besides is "
        "added where it gives heat with the reductant, never where it takes heat; of compounds whose enthalpy is "
        "not in our tables the heat of their class counts. Negative: the furnace has to bring it.",
        ("nasa-tp-2002-211556",),
    ),
    "reaction-gas": Formula(
        "Moles of H2, CO, CO2, N2, O2 that the reaction itself and the impurities can free, over everything "
        "weighed: half the hydrogen atoms of a hydroxide, one CO for each carbonate at worst, all the oxygen and "
        "nitrogen of an oxidiser. Water is not in it; it has a budget of its own.",
        (),
    ),
    "self-heating": Formula(
        "The temperature at which what is left in the charge, unspent reagents included, has the enthalpy that "
        "the reagents had when the reaction began, plus the heat of the impurities; each formula in its stable "
        "phase. It begins where the first metal is made, or at the set-point if that is colder. The metal made is "
        "taken to stay in the charge, condensed: boiling off it would carry heat away. No heat goes to the pot. "
        "Below 25 degC it is not followed: the figure is then the most that it can be.",
        ("nasa-tp-2002-211556",),
    ),
    "product": Formula(
        "Metal in the salt by mass and assay, times the share that the slag lets come, times the share for which "
        "the live reductant is enough, times the share that reacts and the share of that which arrives (both common "
        "practice), less a film of metal on the wetted inside of every piece from the retort to the necks of the "
        "receivers. Not in it: any rate, and metal that air eats.",
        ("chemicals-library", "common-practice"),
    ),
    "yield-ceiling": Formula(
        "Where each oxide of the reductant frees f oxides of the metal and then holds k of them, of n moles of "
        "oxide beside b of another oxide that is held instead (n + b) f / (f + k) can come: 75 % for 4 MO + 2 Al -> "
        "3 M + MO.Al2O3.",
        ("common-practice",),
    ),
    "reductant-excess": Formula(
        "Counted in electrons: live reductant (mass less all that it contains) times its valence, less what water, "
        "hydroxides and the compounds of neighbouring metals take (oxygen to oxide, chlorine to chloride, hydrogen "
        "to gas), over what the salt that can give its metal takes; less one.",
        ("chemicals-library",),
    ),
    "reductant-leftover": Formula(
        "The same excess, against the most that is usual: it stays in the pot and has to be quenched.",
        ("chemicals-library",),
    ),
    "batch": Formula(
        "Metal that comes down the line over the film of metal on the wetted inside of every piece from the retort "
        "to the necks of the receivers. Of a metal that lands solid the film is what scraping leaves, and all of a "
        "receiver that is closed off nowhere counts.",
        ("common-practice",),
    ),
    "smallest-batch": Formula(
        "Five times (or what is asked under tighten) what the walls keep, as in batch, against the metal that comes "
        "down the line, or the amount wanted where that is more.",
        ("common-practice",),
    ),
    "hours": Formula(
        "Ramps and holds of the programme; a way down without a ramp as the furnace cools by itself, decay time "
        "ln((T1 - T0) / (T2 - T0)); and the hours around it.",
        ("common-practice",),
    ),
    "cost": Formula(
        "((1 + lost / runs) (sum of mass times price + waste + consumables + hours times their price) + rig / runs) "
        "over the metal that arrives. Prices are those of the file alone; what it does not say counts nothing.",
        ("common-practice",),
    ),
    "break-even": Formula(
        "(F + c h) / (b - c): F what a good run costs whatever its size, c what is weighed in for each gram that comes "
        "down the line, h what the walls keep, b the price of buying; never where c is above b. Lost runs and the rig "
        "are spread over the good runs.",
        ("common-practice",),
    ),
    "carbonate": Formula(
        "Mass of carbonate over the mass of the oxide that contains it, as weighed; each mole gives one of carbon "
        "dioxide, or two of monoxide where metal takes its oxygen.",
        ("common-practice",),
    ),
    "fill-cold": Formula(
        "Sum of mass over solid density, over the share of solid in a poured charge, standing level in the bore of "
        "the retort as it is tilted; flat ends, no liner.",
        ("chemicals-library", "common-practice"),
    ),
    "fill-dry": Formula(
        "Sum of mass over solid density, over the share of solid in a poured charge, standing level in the bore of "
        "the retort as it is tilted; flat ends, no liner. Of a charge that stays solid at the highest set-point.",
        ("chemicals-library", "common-practice"),
    ),
    "fill-melted": Formula(
        "Sum of mass over density, of the melt for what melts (a halide in a mixture up to 300 K below its own "
        "melting point) and of the solid for the rest. A melt below the range of its density counts as at its cold "
        "end, where it stands a little too high.",
        ("chemicals-library", "common-practice"),
    ),
    "fill-foam": Formula(
        "The volume of the melt times what foaming swells it to; it has to stay below the lower lip of every piece "
        "that leads off the retort.",
        ("chemicals-library", "common-practice"),
    ),
    "charge-power": Formula(
        "The larger of: enthalpy of the whole charge between two set-points over the time of the ramp, melting "
        "included; and the heat of reaction of what reacts with the heat of evaporation of the metal, over the time "
        "with hot metal. Enthalpies of the stable phases; walls, liner and furnace are not in it.",
        ("nasa-tp-2002-211556",),
    ),
    "water": Formula(
        "Electrons that water and hydroxides take, two a molecule of water, over those of the live reductant. All "
        "water that the file states counts as still there when the charge is heated.",
        ("chemicals-library",),
    ),
    "hydrogen": Formula(
        "p = n R / sum(V / T): all hydrogen of the water at once in the spaces that are joined to the retort, each "
        "cell of wall at its own temperature, less the solid volume of the charge where it is known. What hydride "
        "holds and what goes through hot walls is not taken off.",
        ("chemicals-library",),
    ),
    "pressure-fresh": Formula(
        "Salt and what the reductant becomes are one pair of salts: melt (ideal mixing of the cations with a two- "
        "term excess Gibbs energy), both solids and their double salts, of which the assemblage with the lowest "
        "Gibbs energy holds. With the reductant as a phase of its own this fixes the potentials of all three "
        "elements and the pressure of every gas, p = p0 exp((mu - g) / RT). Above the product's own saturation "
        "free metal forms and the reaction goes on until its pressure is the saturated one. Fresh: a thousandth "
        "of the metal has left. Metals do not dissolve in each other or in the melt; no rate is in it.",
        ("nasa-tp-2002-211556", "sangster-pelton-1987"),
    ),
    "pressure-late": Formula(
        "The same equilibrium when so much of the metal has left that what is wanted arrives: past the point where a "
        "double salt has taken all the salt that is left the pressure falls by orders of magnitude.",
        ("nasa-tp-2002-211556", "sangster-pelton-1987"),
    ),
    "reductant-over": Formula(
        "All gases of the equilibrium that hold the reductant, by mass over the product's, averaged over the run "
        "in six equal parts of what leaves. The vapour leaves as it stands over the charge; what lands on the way "
        "is not taken off, spray is not added. A suboxide of the reductant (SiO, Al2O) counts with its oxygen.",
        ("nasa-tp-2002-211556",),
    ),
    "salt-over": Formula(
        "All gases of the equilibrium that hold the anion, counted as salt, by mass over the product's, averaged "
        "over the run in six equal parts of what leaves. Nothing lands on the way; no spray. Of an oxide, gases that "
        "hold the reductant do not count: they are its suboxide.",
        ("nasa-tp-2002-211556",),
    ),
    "window": Formula(
        "Charge temperatures from 650 to 1650 K in sixteen steps of 1/T, straight between: from where the late "
        "pressure comes to a useful one up to where reductant or salt over the run reach what the grade allows, "
        "or the wall of the retort its service limit.",
        ("nasa-tp-2002-211556",),
    ),
}
