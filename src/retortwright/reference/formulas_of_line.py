# SPDX-License-Identifier: MIT
"""Formulas of heat, vapour and gas along the rig: questions 2, 4 and 6."""

from __future__ import annotations

from retortwright.reference.said import Formula

__all__ = ["LINE"]

LINE: dict[str, Formula] = {
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
        "the receivers as the flow coefficient of a long tube lets it at each place, nowhere above saturation at the "
        "wall, and what has landed does not come back (the greatest convex minorant); the heat of landing warms the "
        "wall, and wall and landing are solved together. On walls that rise from the charge, and in arms, liquid runs "
        "back: a film holds the wall at the dew point of the vapour before it, up to the gas pushed to the closed "
        "end. Where an arm would take more than the speed of sound or friction lets in, the pressure falls off along "
        "it evenly, so that it takes just that; where metal freezes, or an arm falls away, no more than the stream. "
        "An arm off the cooled way has the vapour that is left where it hangs. After a loss, vapour comes as far as "
        "it would if the loss lasted, and lands where it then would; once the furnace is off, no vapour is hotter "
        "than its chamber. Left out, all on the hot side: that rising vapour can hold the film up, gas that leaks "
        "into an arm or is given off there, and that reflux takes heat from the furnace.",
        ("sharipov-seleznev-1998", "iso-9300", "nasa-tp-2002-211556", "common-practice"),
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
    "run-ends": Formula(
        "The programme followed in time (see the page on the run in time): from the start of the step in which the "
        "charge gives its metal until the amount wanted, and what the walls keep, have come; three times the step "
        "where it ends before. The pace at the hottest set-point is reaction.time with reaction.peak, and moves with "
        "the pressure over the charge; the face of the charge, the line and the power of the furnace bound it.",
        ("common-practice", "safarian-engh-2013", "sharipov-seleznev-1998", "rosenbrock-rodas3"),
    ),
    "furnace-power": Formula(
        "The same run: by how much charge and retort are colder than the furnace should have them, at the end of each "
        "ramp and hold. The furnace gives its power times the share that gets inside at most; it warms charge and "
        "wall, gives what the room draws, and the heat of reaction and evaporation.",
        ("nasa-tp-2002-211556", "common-practice"),
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
}
