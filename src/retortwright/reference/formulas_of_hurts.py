# SPDX-License-Identifier: MIT
"""Formulas of what can hurt: question 8."""

from __future__ import annotations

from retortwright.reference.said import Formula

__all__ = ["HURTS"]

HURTS: dict[str, Formula] = {
    "closed": Formula(
        "Every way in which the inside falls into volumes is gone through: each state as planned, each valve the other "
        "way round or never opened, each stretch plugged that joins on the retort while there is metal, each thing "
        "lost. Where nothing leads out, gas keeps its moles from the moment before: p = n R / sum(V / T) over the "
        "walls. All hydrogen of the water in the charge is added where the volume holds the charge and was heated; "
        "vapour of the product, at its saturation at the hottest wall, and no more than all the metal gives, where it "
        "holds metal. Where an open way leads from the charge to a receiver, vapour goes on landing: that of each "
        "wall is saturated at that wall, pushes the gas into what is colder, and stands over that by the most that "
        "drives it there in practice. Liquid metal that finds no room counts with its thermal pressure. Against the "
        "least that joints and walls of the volume bear over the room, a wall of metal no more than it yields at; as "
        "planned, against the opening of a relief on it. A relief counts where no wall on the way from the charge to "
        "it is below the melting point at the cold end of the samples, with vapour and without, or argon comes in "
        "beside it all the time, or, against argon in a state without heat, where it sits on the side of the argon "
        "and no metal gets to it; after one thing has "
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
    "burns": Formula(
        "What lies at each place by the balance of the charge: what is left in the pot, the film and what landed solid "
        "on the way, the receivers, what went toward the pump, alkali metal of impurities at the cold end; the pot as "
        "it is worst, before the reaction or with all that is freed still in it. Each metal times its heat of burning "
        "to the oxide that really forms in plenty of air, from enthalpies of formation at 298 K. Hydride counts as its "
        "metal.",
        ("nasa-tp-2002-211556", "common-practice"),
    ),
    "agent": Formula(
        "All the metal that there ever is, as a puddle on a flat tray, no less than a patch of 22 cm; the mass of a "
        "blanket of dry powder over it. Against what the file says stands ready; a powder that does not serve for "
        "every metal that is there counts as none.",
        ("firetech-dry-powder", "rodgers-everson-1965", "doe-hdbk-1081", "common-practice"),
    ),
    "tray": Formula("The volume of all the metal and that of its powder, poured.", ("common-practice",)),
    "clear": Formula("The distance that the file states.", ("common-practice",)),
    "people": Formula("The number that the file states.", ("common-practice",)),
    "quench": Formula(
        "Heat of all that reacts but what is closed off in receivers, with liquid water to hydroxide: alcohol gives no "
        "more. Over the heat that the bath may get, an hour at least. What has no heat in our tables counts as its "
        "metal.",
        ("nbs-1982", "nasa-tp-2002-211556", "mcmaster-destroying", "common-practice"),
    ),
    "quench-hydrogen": Formula(
        "All gas of the quench over its least time, times what the fastest minute is over the mean, over the flow of "
        "the hood. Hydrogen, ammonia, acetylene and methane count alike.",
        ("asu-hydrogen", "common-practice"),
    ),
    "opening": Formula(
        "The hottest wall of the hottest state loses its excess over the room with the time constant of the furnace, "
        "until it is cold enough to open.",
        ("common-practice",),
    ),
    "hydrogen-room": Formula(
        "All gas that everything in the rig gives with water, and the hydrogen of the charge, evenly in the room.",
        ("asu-hydrogen", "common-practice"),
    ),
    "argon-room": Formula(
        "The stated flow of argon for as long as a bottle is left on, in a room that is mixed at once: c = q / (q + v) "
        "(1 - exp(-(q + v) t / V)); oxygen is what is left of that of the air.",
        ("bnl-oxygen", "common-practice"),
    ),
    "water-near": Formula("The distance that the file states.", ("common-practice",)),
    "water-cooling": Formula(
        "The shortest way along the walls from a stretch that water cools to glass that metal gets to; half a mole of "
        "hydrogen from a mole of water.",
        ("common-practice",),
    ),
    "glass-vacuum": Formula(
        "A screen that splinters do not pass counts as one, anything else as none. The work of the air is its pressure "
        "times the volume of the glass.",
        ("common-practice",),
    ),
}
