# SPDX-License-Identifier: MIT
"""What each computation does, in words, with its sources: one entry per formula name."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["FORMULAS", "Formula"]


@dataclass(frozen=True, slots=True)
class Formula:
    """One computation in words."""

    says: str
    sources: tuple[str, ...]


FORMULAS: dict[str, Formula] = {
    "tree-of-fins": Formula(
        "Each wall is cut into cells along its axis. In every cell the heat conducted in from its neighbours, "
        "with k(T) and the contact at joints in series, equals the heat given away: radiation eps sigma (T^4 - "
        "Troom^4) and convection to the room, or the exchange with furnace, lagging, tape, coil, wet cloth or "
        "bath, and the radiation between all rings of the same bore and its two ends. The balance is solved by "
        "Newton steps, for every sample of the uncertain inputs; the band's ends are the 5 and 95 % points of the "
        "samples. In a state in which the charge gives metal the heat that its vapour brings is in it (see vapour). "
        "Not in it: heat that flowing gas brings, and radiation from the furnace "
        "mouth to outer walls. A step in bore up to 30 % is left out (the wider bore counts: the hot side); a "
        "larger one spreads what passes.",
        ("incropera", "churchill-chu-1975", "siegel-howell"),
    ),
    "tree-of-fins-in-time": Formula(
        "The same balance of every cell with the heat its wall stores, rho c(T) dT/dt, from the steady state "
        "before the loss: the furnace stays on until the loss is noticed, then its chamber loses its excess over "
        "the room with a time constant. Two-stage Rosenbrock steps; charge, liner, closures and lagging store "
        "nothing, so that peaks come a little early and high.",
        ("incropera", "verwer-1999"),
    ),
    "vapour": Formula(
        "The charge gives the metal that it frees over the reaction time, at its fastest reaction.peak times the "
        "mean: seals feel the fastest minutes, so the band is that of the fastest stream. It flows along the way to "
        "the receivers as the flow coefficient of a long tube lets it at each place; where its pressure is above "
        "saturation at the wall as much lands as molecules of the difference meet the wall, (p - p_s) / sqrt(2 pi M R "
        "T), and it does not come back; the heat of landing warms the wall, and wall and landing are solved together, "
        "with one answer wherever the steps begin. On walls that rise from the charge, and in arms, liquid runs "
        "back: a film holds the wall at the dew point of the vapour before it, up to the gas pushed to the closed "
        "end. Where an arm would take more than the speed of sound or friction lets in, the pressure falls off along "
        "it evenly, so that it takes just that; where metal freezes, or an arm falls away, no more than the stream. "
        "An arm off the cooled way has the vapour that is left where it hangs. After a loss, vapour comes as far as "
        "it would if the loss lasted, and lands where it then would; once the furnace is off, no vapour is hotter "
        "than its chamber. Left out, all on the hot side: that rising vapour can hold the film up, gas that leaks "
        "into an arm or is given off there, and that reflux takes heat from the furnace.",
        ("sharipov-seleznev-1998", "dushman-1962", "iso-9300", "nasa-tp-2002-211556", "common-practice"),
    ),
    "leak": Formula(
        "The leak is what somebody measured, empty and cold. Its limit is the smallest of: the oxygen, and for "
        "metals that form nitrides the nitrogen, that the grade allows in the product, and the share of the "
        "product that the grade allows to be eaten; each as Q = m R T / (t k) with m the mass allowed, t the time "
        "with hot metal from the programme, and k the mass brought or eaten by a mole of air, all of which the "
        "metal takes up. With metal in excess the oxide richest in metal forms. What is uncertain in the limit is "
        "carried by the band: where a sample bears half of the middle limit, its leak counts twice.",
        ("air-composition", "suboxides-review"),
    ),
    "base-pressure": Formula(
        "Everything that comes in flows to the pump through the passages on the way, each a tube at its own pressure "
        "and temperature with an entrance where the bore narrows; p = p_ultimate + Q / S at the pump. What comes in: "
        "the leak, outgassing q1 (1 h / t) of every inner surface with an activation energy, what hot walls and the "
        "charge can have left over the time they are heated, permeation of hoses and seals, hydrogen through hot "
        "metal. All gas flows as air; no credit is given for an earlier bake.",
        ("dushman-1962", "sharipov-seleznev-1998", "elsey-1975"),
    ),
    "pump-down": Formula(
        "The joined volume is emptied in exact steps of constant speed and load; the speed is that of the pump "
        "behind the passages at the pressure reached. Temperatures and outgassing as for the base pressure.",
        ("dushman-1962",),
    ),
    "permeation": Formula(
        "Through hoses 2 pi L P dp / ln(D / d) of oxygen, nitrogen and water; through seals the leak of their kind "
        "times the bore; both grow with temperature by an activation energy. What comes in nearer the pump is shared "
        "between pump and metal as their conductances. Counted by its oxygen, as a leak of air.",
        ("crank-park-1968", "oring-permeation-1995"),
    ),
    "hydrogen-wall": Formula(
        "2 pi L phi sqrt(p) / ln(D / d) with phi = phi0 exp(-E / R T) at the temperature of each stretch of wall, "
        "times what its oxide skin lets pass; inside there is none.",
        ("san-marchi-2007", "grant-1988", "tanabe-1984"),
    ),
    "argon-oxygen": Formula(
        "Oxygen of the bottle by its stated purity, and what the hose lets in over the flow.",
        ("argon-quality-manual", "hose-permeability-table"),
    ),
    "purge": Formula(
        "ln(share that may be left) / ln(p_low / p_high), the emptying going to the base pressure.", ()
    ),
    "gauge-range": Formula(
        "Reading = true pressure over the factor of the gas, within the range in which that factor serves.",
        ("pirani-factors",),
    ),
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
        "to the necks of the receivers.",
        ("common-practice",),
    ),
    "fill-cold": Formula(
        "Sum of mass over solid density, over the share of solid in a poured charge, standing level in the bore of "
        "the retort as it is tilted; flat ends, no liner.",
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
    "ceiling-surface": Formula(
        "Vapour that leaves a wide face into nothing but its own vapour: 0.844 p sqrt(M / 2 pi R T) of a clean one, "
        "less by an evaporation coefficient, with the pressure of the metal over the fresh charge, times the level "
        "face in the retort. A ceiling: the reaction behind the face may be far slower.",
        ("dushman-1962", "safarian-engh-2013"),
    ),
    "ceiling-line": Formula(
        "The largest steady flow along the way from the pressure over the fresh charge: the integral of the flow "
        "coefficient of each cell over pressure, thin gas to dense, nowhere above saturation at the wall, and no "
        "more than the speed of sound passes through the narrowest bore.",
        ("sharipov-seleznev-1998", "iso-9300"),
    ),
    "ceiling-heat": Formula(
        "Power of the furnace times the share that gets inside, less what the dry rig takes at the set-point and what "
        "rising walls and arms take from vapour that runs back, over the heat of reaction (where it takes heat) and "
        "of evaporation of a gram of metal. A reaction that gives heat is not counted as help.",
        ("nasa-tp-2002-211556", "common-practice"),
    ),
    "minutes": Formula(
        "The time that somebody measured (assume.reaction.time), against the hold at the set-point. No published "
        "rate law covers these charges, so without a measurement it is unknown.",
        ("common-practice",),
    ),
    "delivered": Formula(
        "All or nothing. Walls that rise from the charge to the crest of the way, and arms on them, are held at "
        "the dew point by vapour that runs back. The heat they give away there must not be more than the furnace "
        "has left over the dry rig, nor that of the rising way more than vapour at the speed of sound brings "
        "through the retort, nor the film on them more than the metal freed.",
        ("iso-9300", "common-practice"),
    ),
    "reach": Formula(
        "Vapour fills a dead arm up to the gas that it has pushed to the end, at constant temperature there, or "
        "as far as the choked flow through its mouth can feed the wall at the dew point. The distance is to the "
        "nearest joint whose limit is not 40 K above the dew point.",
        ("edwards-marcus-1972", "iso-9300"),
    ),
    "landing-end": Formula(
        "Steady flow of the vapour along the way, nowhere above saturation at the wall, what has landed staying "
        "there: the greatest convex potential below saturation. The place by which all but 1 % has landed where all "
        "of it goes towards the pump, against the place where that way leaves the metal's. What goes on there is the "
        "flow of the same solution over the whole hold; where the walls are cold, what their saturation pressure "
        "drives. Fog is not in it.",
        ("sharipov-seleznev-1998",),
    ),
    "argon-carries": Formula(
        "Argon that leaves saturated at the coldest wall between the charge and the place where it goes out: its flow "
        "times p / (P - p) over the hold, with p the saturation pressure there and P that of the room, or at a pump "
        "what its speed leaves of the flow. The most that vapour can be; fog is not in it.",
        ("nasa-tp-2002-211556", "common-practice"),
    ),
    "drain-warm": Formula(
        "The coldest wall, with vapour and landing heat on it, of each piece from the first place where 1 % has "
        "landed to where the receivers are closed off, against the melting point.",
        ("nasa-tp-2002-211556",),
    ),
    "drain-slope": Formula(
        "The least angle by which the axis falls along the same way.", ("common-practice",)
    ),
    "low-point": Formula(
        "Where the axis rises again after a fall, the bore is filled up to the lower of the two crests beside it; "
        "volume times density of the liquid. Steps between two bores are not counted.",
        ("chemicals-library",),
    ),
    "drain-bore": Formula(
        "A closed tube empties by itself only above rho g R^2 / sigma = 0.842, just above the melting point.",
        ("bretherton-1961",),
    ),
    "crust": Formula(
        "All the metal that comes over, landed as on the bare wall and spread over at least one bore of length, "
        "as an annulus of solid with voids, where it is thickest. It may take a third of the bore on either side. "
        "When that is reached is told at the pace of practice: the metal coming evenly over the reaction time.",
        ("common-practice",),
    ),
    "ullage": Formula(
        "Liquid volume of the metal that arrives over the volume of one receiver beyond where it is closed off, "
        "at the hottest of its wall; one receiver takes all until it is full, since how several share is not "
        "computable.",
        ("chemicals-library",),
    ),
    "closed": Formula(
        "Every way in which the inside falls into volumes is gone through: each state as planned, each valve the other "
        "way round or never opened, each stretch plugged that joins on the retort while there is metal, each thing "
        "lost. Where nothing leads out, gas keeps its moles from the moment before: p = n R / sum(V / T) over the "
        "walls. All hydrogen of the water in the charge is added where the volume holds the charge and was heated; "
        "vapour of the product, at its saturation at the hottest wall, and no more than all the metal gives, where it "
        "holds metal. Where an open way leads from the charge to a receiver, vapour goes on landing: that of each "
        "wall is saturated at that wall, pushes the gas into what is colder, and stands over that by the most that "
        "drives it there in practice. Liquid metal that finds no room counts with its thermal pressure. Against the "
        "least that joints and walls of the volume bear over the room; as planned, against the opening of a relief "
        "on it. A relief counts where no wall on the way from the charge to it is below the melting point at the cold "
        "end of the samples, with vapour and without, or argon comes in beside it all the time, or, against argon in "
        "a state without heat, where it sits on the side of the argon and no metal gets to it; after one thing has "
        "gone wrong it caps the pressure. Vapour of salt and reductant is not in it.",
        ("nasa-tp-2002-211556", "common-practice"),
    ),
    "relief-capacity": Formula(
        "What the bore passes as a sharp-edged hole, a relief at its opening pressure, a bubbler at twice its head; "
        "each gas by itself, the shares added: all hydrogen of the charge over the shortest ramp, the argon, all the "
        "metal as vapour over the reaction time.",
        ("fujimoto-usami-1984", "iso-9300"),
    ),
    "suck-back": Formula(
        "Gas at one atmosphere that each wall draws in as it loses its excess over the room with the time constant of "
        "the furnace: sum of V Troom (T - Troom) / T^2 over that time. Against the argon that flows in.",
        ("common-practice",),
    ),
    "air-in": Formula(
        "The stated leak into the joined volume without a pump: time to a pressure of air, sum(V / T) at the "
        "temperatures of the state. What hot metal takes up is not in it: it hides the rise, not the air.",
        ("common-practice",),
    ),
    "oil-back": Formula(
        "The valves on the way from the retort to an oil-sealed pump are counted.", ("common-practice",)
    ),
    "none": Formula("Not computed by this version.", ()),
}
