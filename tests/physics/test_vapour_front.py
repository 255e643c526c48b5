# SPDX-License-Identifier: MIT
"""The gas plug against amounts, entering vapour and reflux against their limits."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad  # type: ignore[import-untyped]

from retortwright.physics.choked import choked_mass_flux, sonic_mass_flow
from retortwright.physics.constants import GAS_CONSTANT
from retortwright.physics.gas import effusion_flux
from retortwright.physics.vaporisation import stefan_flux
from retortwright.physics.vapour_front import (
    diffusing_vapour_conductivity,
    front_thickness,
    gas_plug_length,
    most_entering_flow,
    reflux_limit_of_bore,
    reflux_limit_of_film,
)

CAESIUM = (0.005, 900.0, 2e-5, 0.1329055, 5 / 3)


def entering(pressure: float) -> float:
    """Caesium into a bore of 10 mm at 900 K [kg/s]."""
    radius, temperature, viscosity, molar_mass, ratio = CAESIUM
    return float(most_entering_flow(radius, pressure, temperature, viscosity, molar_mass, ratio))


def test_plug_holds_its_gas() -> None:
    length = gas_plug_length(2e-6, 400.0, 50.0, 700.0, 320.0, 0.006)

    def crowd(place: float) -> float:
        return 350.0 * np.pi * 0.006**2 / (GAS_CONSTANT * (320.0 + 380.0 * place / length))

    # exact: the gas counted along the plug
    assert quad(crowd, 0.0, length)[0] == pytest.approx(2e-6, rel=1e-9)


def test_plug_of_one_temperature() -> None:
    # exact: n R T / A p, and continuous where the two temperatures meet
    length = gas_plug_length(1e-6, 200.0, 0.0, 400.0, 400.0, 0.005)
    assert length == pytest.approx(1e-6 * GAS_CONSTANT * 400.0 / (200.0 * np.pi * 0.005**2), rel=1e-9)
    near = gas_plug_length(1e-6, 200.0, 0.0, 400.0 * (1 + 1.1e-6), 400.0, 0.005)
    assert near == pytest.approx(length * (1 + 0.55e-6), rel=1e-9)


def test_a_wall_as_hot_as_the_vapour_has_no_plug() -> None:
    assert np.isnan(gas_plug_length(1e-6, 200.0, 200.0, 500.0, 500.0, 0.005))


def test_vapour_conductivity_is_diffusion_along_a_saturated_wall() -> None:
    heat, temperature, pressure = 8e4, 550.0, 40.0
    slope = pressure * heat / (GAS_CONSTANT * temperature**2)
    warmer = 1e-3
    flux = stefan_flux(100.0, pressure + slope * warmer, pressure, 0.1, temperature, 1.0)
    # exact: heat carried by a small difference of temperature over one metre
    conductivity = diffusing_vapour_conductivity(0.1, 100.0, pressure, temperature, heat)
    assert conductivity == pytest.approx(flux * heat / warmer, rel=1e-4)


def test_front_without_vapour_is_a_fin() -> None:
    # exact: sqrt(k A / h P) of a tube 10 x 1 mm, k 20, h 15
    section, rim = np.pi * (0.005**2 - 0.004**2), np.pi * 0.010
    found = front_thickness(20.0 * section, 0.0, 0.004, 15.0 * rim)
    assert found == pytest.approx(np.sqrt(20.0 * section / (15.0 * rim)))
    assert front_thickness(20.0 * section, 10.0, 0.004, 15.0 * rim) > found


@pytest.mark.parametrize(
    ("temperature", "molar_mass", "flux"), [(900.0, 0.1329055, 3.060e-3), (1200.0, 0.024305, 1.133e-3)]
)
def test_choked_metal_vapour(temperature: float, molar_mass: float, flux: float) -> None:
    # exact: worked out apart, four digits, by pascal of pressure at rest
    assert choked_mass_flux(1.0, temperature, molar_mass, 5 / 3) == pytest.approx(flux, abs=5e-7)


def test_entering_vapour_is_molecular_or_sonic() -> None:
    radius, temperature, _, molar_mass, ratio = CAESIUM
    molecular = np.pi * radius**2 * float(effusion_flux(1e-4, temperature, molar_mass))
    # exact: both limits
    assert entering(1e-4) == pytest.approx(molecular, rel=1e-3)
    assert entering(1e5) == pytest.approx(float(sonic_mass_flow(radius, 1e5, temperature, molar_mass, ratio)))


def test_entering_vapour_grows_with_pressure() -> None:
    flows = np.array([entering(pressure) / pressure for pressure in np.geomspace(1e-3, 1e5, 60)])
    assert np.all(np.diff(flows) > -1e-12 * flows[:-1])


def test_reflux_limit_in_the_units_of_flooding() -> None:
    flow = float(reflux_limit_of_bore(0.01, 0.01, 900.0, 0.725))
    area, room = np.pi * 0.01**2, 9.80665 * 0.02 * (900.0 - 0.01)
    up = flow / area / 0.01 * np.sqrt(0.01 / room)
    down = flow / area / 900.0 * np.sqrt(900.0 / room)
    # published: Wallis 1969: the roots of the two numbers add to C
    assert np.sqrt(up) + np.sqrt(down) == pytest.approx(0.725, rel=1e-9)


def test_film_limit_of_a_wide_bore() -> None:
    flow = float(reflux_limit_of_film(10.0, 0.6, 958.0, 0.0589))
    speed = flow / (np.pi * 100.0) / 0.6
    number = speed * 0.6**0.5 / (9.80665 * 0.0589 * (958.0 - 0.6)) ** 0.25
    # published: Tien and Chung 1979 after Kutateladze: 3.2 in a wide bore (recalled)
    assert number * (1 + (0.6 / 958.0) ** 0.25) ** 2 == pytest.approx(3.2, rel=0.01)


def test_the_two_limits_agree_in_kind() -> None:
    # practice: in bores of 6 to 20 mm the two rules lie within a factor of 2 of one another
    bores = np.array([0.003, 0.005, 0.010])
    ratio = reflux_limit_of_film(bores, 1.3e-3, 1400.0, 0.08) / reflux_limit_of_bore(
        bores, 1.3e-3, 1400.0, 0.725
    )
    assert np.all((ratio > 0.5) & (ratio < 2.0))


def test_outside_the_range_is_unknown() -> None:
    assert np.isnan(reflux_limit_of_bore(0.01, 0.01, 900.0, 0.5))
    assert np.isnan(reflux_limit_of_film(0.01, 900.0, 900.0, 0.06))
    assert np.isnan(front_thickness(-1.0, 0.0, 0.01, 1.0))
    assert np.isnan(most_entering_flow(0.0, 100.0, 900.0, 2e-5, 0.13, 5 / 3))
