# SPDX-License-Identifier: MIT
"""What a stream of argon carries off."""

from __future__ import annotations

import numpy as np
import pytest

from retortwright.belief.believed import Ledger
from retortwright.reference.datum import Missing
from retortwright.rig.parts import Rig
from retortwright.situation.chemistry import Chemistry
from retortwright.situation.saturation_table import saturation_of
from retortwright.situation.sweeping import Sweep, sweep_of
from situation.crossings import MIDDLE, RUBIDIUM, changed, situation

ARGON = ("plant.argon", '{ on = "line", purity = "99.99 %", hose = "1.5 m nylon", flow = "0.2 L/min" }')
RUNS = ("state.distil.running", '["furnace", "tape", "argon"]')
BUBBLER = ("plant.bubbler", '{ on = "glass", depth = "10 mm", bore = "4 mm" }')


def swept(rig: Rig) -> Sweep:
    found = sweep_of(situation(rig, MIDDLE), "distil")
    assert isinstance(found, Sweep)
    return found


def test_argon_leaves_saturated_at_the_coldest_wall() -> None:
    sweep = swept(changed(RUBIDIUM, ARGON, RUNS, BUBBLER, ("heat.tape.holds", "200 degC")))
    said = {key: float(values[0]) for key, values in sweep.carried.said.items()}
    # exact: 0.2 L/min at 20 degC and one atmosphere
    assert said["argon"] == pytest.approx(0.2e-3 / 60 * 101325 / (8.314463 * 293.15), rel=1e-6)
    # published: Alcock, Itkin, Horrigan 1984, log10(p/atm) = 4.312 - 4040/T for liquid Rb, as recalled
    pressure = 10 ** (9.318 - 4040 / said["wall"])
    mass = said["argon"] * pressure / 101325 * 0.0854678 * 3600
    assert float(sweep.carried.values[0]) == pytest.approx(mass, rel=0.1)


def test_a_pump_that_runs_comes_before_a_bubbler_and_thins_the_gas() -> None:
    bubbler = swept(changed(RUBIDIUM, ARGON, RUNS, BUBBLER))
    both = swept(changed(RUBIDIUM, ARGON, (RUNS[0], '["furnace", "tape", "argon", "pump"]'), BUBBLER))
    assert (bubbler.by, both.by) == ("bubbler", "pump")
    assert np.all(both.carried.values >= 0.0)


def test_without_a_way_out_or_a_flow_nothing_is_said() -> None:
    shut = sweep_of(situation(changed(RUBIDIUM, ARGON, RUNS), MIDDLE), "distil")
    assert isinstance(shut, Missing)
    unstated = (ARGON[0], '{ on = "line", purity = "99.99 %", hose = "1.5 m nylon" }')
    sweep = swept(changed(RUBIDIUM, unstated, RUNS, BUBBLER))
    assert [each.datum for each in sweep.carried.missing] == ["plant.argon.flow"]


def test_what_goes_with_the_argon_is_its_share_of_what_is_left() -> None:
    near = (BUBBLER[0], '{ on = "line", at = "100 mm", depth = "10 mm", bore = "4 mm" }')
    rig = changed(RUBIDIUM, ARGON, RUNS, near, ("heat.tape.holds", "300 degC"))
    case = situation(rig, MIDDLE)
    sweep = sweep_of(case, "distil")
    assert isinstance(sweep, Sweep)
    saturation = saturation_of(Chemistry(Ledger(rig, case.tables, case.draws)), "Rb")
    assert saturation is not None
    own = float(saturation.pressure(sweep.carried.said["wall"])[0])
    # exact: moles of vapour to moles of argon as their pressures, an hour long
    moles = float(sweep.carried.said["argon"][0]) * own / (101325.0 - own) * 3600
    assert own > 5.0
    assert float(sweep.carried.values[0]) == pytest.approx(moles * 0.0854678, rel=1e-5)
