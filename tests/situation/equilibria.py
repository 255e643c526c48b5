# SPDX-License-Identifier: MIT
"""Equilibria over charges of one salt and one reductant for the tests, without a rig around them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from retortwright.belief.beliefs import Draws
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.ground.units import Band
from retortwright.physics.salt_pair import SaltPair
from retortwright.reference.species import Species, find_species
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.parts import Aim, Reagent, Rig
from retortwright.rig.reading import rig_of
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.equilibrium import ChargeEquilibrium, charge_equilibrium
from retortwright.situation.route import Route, route_of
from situation.rigs import BENCH, MIDDLE


def charged(metal: str, salt: str, reductant: str) -> Rig:
    """A rig that holds nothing of interest but a charge."""
    gram = Band(1e-3, 1e-3, 1e-3)
    charge = (Reagent(salt, gram), Reagent(reductant, gram))
    return replace(rig_of(BENCH), aim=Aim(metal), charge=charge, assume={})


def chemistry(draws: Draws = MIDDLE, tables: Tables | None = None) -> Chemistry:
    """Gibbs energies of species with nothing assumed by a user."""
    return Chemistry(Ledger(charged("Rb", "RbCl", "Ca"), tables or shipped(), draws))


def routed(metal: str, salt: str, reductant: str) -> Route:
    """The route of a charge."""
    found = route_of(charged(metal, salt, reductant), shipped())
    assert isinstance(found, Route)
    return found


def species(name: str) -> Species:
    """A species of the shipped table."""
    found = find_species(shipped(), name)
    assert isinstance(found, Species)
    return found


def over_charge(route: Route, kelvin: Array, draws: Draws = MIDDLE) -> ChargeEquilibrium:
    """The equilibrium of a route at temperatures, which become the first axis."""
    chemicals = chemistry(draws)
    temperature = np.reshape(kelvin, (-1, 1)) + np.zeros(draws.size)
    found = charge_equilibrium(chemicals, route, temperature)
    assert found is not None, chemicals.ledger.missing
    return found


def ideal(equilibrium: ChargeEquilibrium) -> ChargeEquilibrium:
    """The same charge with a melt that mixes ideally."""
    pair = equilibrium.pair
    nothing = np.zeros_like(pair.temperature)
    return replace(
        equilibrium, pair=SaltPair(pair.temperature, pair.liquids, (nothing, nothing), pair.solids)
    )
