# SPDX-License-Identifier: MIT
"""Water as a coolant against steam tables, psychrometry and hand-worked balances."""

from __future__ import annotations

import numpy as np
import pytest
from chemicals.iapws import iapws92_dPsat_dT, iapws92_rhog_sat, iapws92_rhol_sat, iapws95_Psat
from scipy.optimize import brentq

from retortwright.physics import wet

ROOM = 101325.0


@pytest.mark.parametrize("temperature", [274.0, 293.15, 333.15, 373.124, 500.0, 640.0])
def test_saturation_pressure(temperature: float) -> None:
    # published: IAPWS-95 as coded in chemicals; the two agree to 0.006 % where they differ most
    assert wet.saturation_pressure_of_water(temperature) == pytest.approx(iapws95_Psat(temperature), rel=1e-4)


def test_fixed_points_of_water() -> None:
    # published: triple point 611.657 Pa; boiling at 373.124 K (IAPWS)
    assert wet.saturation_pressure_of_water(273.16) == pytest.approx(611.657, abs=0.005)
    assert wet.saturation_pressure_of_water(373.124) == pytest.approx(ROOM, rel=5e-5)
    # published: critical point 647.096 K, 22.064 MPa
    assert wet.saturation_pressure_of_water(647.096) == pytest.approx(22.064e6, rel=1e-12)
    assert wet.latent_heat_of_water(647.096) == pytest.approx(0.0, abs=1e-6)


def test_latent_heat() -> None:
    # published: IAPWS steam tables, 2256.4 kJ/kg at the boiling point, 2500.9 kJ/kg at the triple point
    assert wet.latent_heat_of_water(373.124) == pytest.approx(2256.4e3, rel=2e-4)
    assert wet.latent_heat_of_water(273.16) == pytest.approx(2500.9e3, rel=2e-4)


@pytest.mark.parametrize("temperature", [280.0, 350.0, 450.0, 600.0])
def test_latent_heat_is_the_equation_of_clapeyron(temperature: float) -> None:
    # published: pressure slope and densities of IAPWS SR1-86(1992) as coded in chemicals
    volume = 1 / iapws92_rhog_sat(temperature) - 1 / iapws92_rhol_sat(temperature)
    slope = min(np.ravel(iapws92_dPsat_dT(temperature)))  # comes with the pressure, which is larger
    assert wet.latent_heat_of_water(temperature) == pytest.approx(temperature * slope * volume, rel=1e-9)


def test_diffusivity_of_vapour() -> None:
    # published: Massman 1998, 0.2178 cm^2/s at 0 degC and one atmosphere; Incropera, table A.8 (recalled),
    # another determination: 0.26 at 298 K
    assert wet.vapour_diffusivity_in_air(273.15, ROOM) == pytest.approx(0.2178e-4, rel=1e-12)
    assert wet.vapour_diffusivity_in_air(298.0, ROOM) == pytest.approx(0.26e-4, rel=0.025)
    # exact: inverse to the pressure
    assert wet.vapour_diffusivity_in_air(298.0, ROOM / 2) == pytest.approx(
        2 * wet.vapour_diffusivity_in_air(298.0, ROOM), rel=1e-12
    )


def test_wet_bulb_of_a_room() -> None:
    # published: ASHRAE psychrometric chart, 20 degC and 50 %: 13.8 degC (recalled)
    assert wet.wet_bulb_temperature(293.15, 0.5, ROOM) - 273.15 == pytest.approx(13.8, abs=0.05)


def test_wet_bulb_of_saturated_air_is_the_air() -> None:
    air = np.array([275.0, 300.0, 350.0])
    # exact: nothing evaporates
    np.testing.assert_allclose(wet.wet_bulb_temperature(air, 1.0, ROOM), air, rtol=1e-12)


def test_a_wet_wall_settles_near_the_wet_bulb() -> None:
    # exact: where convection brings what evaporation takes; by the analogy with Le = 0.85 this is a few
    # tenths of a kelvin below the thermodynamic wet bulb
    def balance(wall: float) -> float:
        return float(wet.evaporative_flux(wall, 293.15, 0.5, 8.0, ROOM)) - 8.0 * (293.15 - wall)

    settled = brentq(balance, 275.0, 293.0)
    assert 0.1 < float(wet.wet_bulb_temperature(293.15, 0.5, ROOM)) - settled < 0.4


def test_evaporation_by_hand() -> None:
    # exact: film 313.15 K: cp 1007.4 J/kg/K, Le = 2.405e-5/2.789e-5 = 0.862, Le^(2/3) = 0.906;
    # p_wall 19.946 kPa, p_air 1.1697 kPa; 8/(1007.4 x 0.906) x 0.62198 x ln(100.155/81.379) gives
    # 1.1323e-3 kg/m^2/s; times 2357.7 kJ/kg
    by_hand = 1.1323e-3 * 2357.7e3
    assert wet.evaporative_flux(333.15, 293.15, 0.5, 8.0, ROOM) == pytest.approx(by_hand, rel=3e-3)


def test_evaporation_follows_its_film() -> None:
    # exact: proportional to the coefficient; below the dew point water condenses
    one, two = wet.evaporative_flux(320.0, 293.15, 0.5, np.array([5.0, 10.0]), ROOM)
    assert two == pytest.approx(2 * one, rel=1e-13)
    assert wet.evaporative_flux(278.15, 293.15, 0.9, 8.0, ROOM) < 0
    assert wet.evaporative_flux(293.15, 293.15, 1.0, 8.0, ROOM) == pytest.approx(0.0, abs=1e-9)


def test_evaporation_ends_where_boiling_begins() -> None:
    wall = np.array([372.0, 373.0, 373.12, 373.13, 380.0])
    flux = wet.evaporative_flux(wall, 293.15, 0.5, 8.0, ROOM)
    assert np.all(np.isfinite(flux[:3]) & (np.diff(flux[:3], prepend=0.0) > 0))
    assert np.isnan(flux[3:]).all()


def test_boil_off_and_coolant() -> None:
    # published: latent heat 2256.4 kJ/kg (IAPWS): 100 W boil off 159.5 mL/h, counted as cold water of 1 kg/L
    assert wet.water_boil_off(100.0) * 3.6e6 == pytest.approx(159.5, abs=0.05)
    # exact: 998.2 kg/m^3 x 4184 J/kg/K x 1 L/min x 10 K
    assert wet.coolant_heat(1e-3 / 60, 10.0) == pytest.approx(696.0, abs=0.5)
    assert wet.coolant_heat(1e-3 / 60, -10.0) == pytest.approx(-696.0, abs=0.5)


def test_outside_the_range_there_is_no_number() -> None:
    for value in (
        wet.saturation_pressure_of_water(np.array([273.1, 647.2])),
        wet.latent_heat_of_water(np.array([273.1, 647.2])),
        wet.vapour_diffusivity_in_air(np.array([273.0, 373.3]), ROOM),
        wet.vapour_diffusivity_in_air(300.0, 0.0),
        wet.wet_bulb_temperature(np.array([270.0, 380.0]), 0.5, ROOM),
        wet.wet_bulb_temperature(274.0, 0.05, ROOM),  # its wet bulb is frozen
        wet.wet_bulb_temperature(293.15, np.array([-0.1, 1.1]), ROOM),
        wet.evaporative_flux(np.array([270.0, 300.0]), np.array([293.0, 270.0]), 0.5, 8.0, ROOM),
        wet.evaporative_flux(300.0, 293.0, np.array([-0.1, 1.1]), 8.0, ROOM),
        wet.evaporative_flux(300.0, 293.0, 0.5, -1.0, ROOM),
        wet.water_boil_off(-1.0),
        wet.coolant_heat(-1.0, 10.0),
    ):
        assert np.isnan(value).all()
