# SPDX-License-Identifier: MIT
"""Properties of air against tables, against a reference equation and at the edges of their range."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from chemicals.air import lemmon2000_air_d2A0_dtau2
from chemicals.thermal_conductivity import k_air_lemmon
from chemicals.viscosity import mu_air_lemmon
from fluids.atmosphere import ATMOSPHERE_1976

from retortwright.physics import air

ROOM = 101325.0

# published: Cengel, Heat Transfer, table A-15: degC, kg/m^3, J/kg/K, W/m/K, Pa s
TABLE = [
    (-50.0, 1.582, 999.0, 0.01979, 1.474e-5),
    (0.0, 1.292, 1006.0, 0.02364, 1.729e-5),
    (25.0, 1.184, 1007.0, 0.02551, 1.849e-5),
    (60.0, 1.059, 1007.0, 0.02808, 2.008e-5),
    (100.0, 0.9458, 1009.0, 0.03095, 2.181e-5),
    (160.0, 0.8148, 1016.0, 0.03511, 2.420e-5),
]


@pytest.mark.parametrize(("celsius", "density", "heat", "conductivity", "viscosity"), TABLE)
def test_the_printed_table(
    celsius: float, density: float, heat: float, conductivity: float, viscosity: float
) -> None:
    # The table follows other fits: it lies up to 2.6 % below the Standard Atmosphere in conductivity.
    temperature = celsius + 273.15
    assert air.density(temperature, ROOM) == pytest.approx(density, rel=5e-4)
    assert air.specific_heat(temperature) == pytest.approx(heat, rel=0.01)
    assert air.thermal_conductivity(temperature) == pytest.approx(conductivity, rel=0.026)
    assert air.viscosity(temperature) == pytest.approx(viscosity, rel=0.012)


def test_sea_level_of_the_standard_atmosphere() -> None:
    # published: US Standard Atmosphere 1976, sea level: 1.7894e-5 Pa s, 2.5326e-2 W/m/K, 1.2250 kg/m^3,
    # 1.4607e-5 m^2/s (recalled, and given by the formulas as coded in fluids)
    assert air.viscosity(288.15) == pytest.approx(1.7894e-5, abs=0.00005e-5)
    assert air.thermal_conductivity(288.15) == pytest.approx(2.5326e-2, abs=0.00005e-2)
    assert air.density(288.15, ROOM) == pytest.approx(1.2250, abs=0.00005)
    assert air.kinematic_viscosity(288.15, ROOM) == pytest.approx(1.4607e-5, abs=0.00005e-5)


@pytest.mark.parametrize("temperature", [180.0, 250.0, 400.0, 800.0, 1400.0])
def test_the_formulas_are_those_of_the_standard_atmosphere(temperature: float) -> None:
    # published: the formulas of the US Standard Atmosphere 1976 as coded in fluids
    assert air.viscosity(temperature) == pytest.approx(ATMOSPHERE_1976.viscosity(temperature), rel=1e-12)
    conductivity = ATMOSPHERE_1976.thermal_conductivity(temperature)
    assert air.thermal_conductivity(temperature) == pytest.approx(conductivity, rel=1e-12)


# published: Lemmon & Jacobsen 2004 and Lemmon et al. 2000, evaluated with chemicals; the bounds are those
# that the docstrings state, (from, to, least, most) of the difference
VISCOSITY = [(170, 400, -0.01, 0), (400, 700, -0.03, 0), (700, 1100, -0.05, 0), (1100, 1500, -0.07, 0)]
CONDUCTIVITY = [(170, 250, -0.03, 0), (250, 1100, -0.014, 0.014), (1100, 1500, -0.04, 0)]
HEAT = [(170, 200, 0, 0.02), (200, 1200, -0.01, 0.01), (1200, 1500, 0, 0.02)]


def reference_viscosity(temperature: float) -> float:
    return float(mu_air_lemmon(temperature, ROOM / (8.31446 * temperature)))


def reference_conductivity(temperature: float) -> float:
    return float(k_air_lemmon(temperature, ROOM / (8.31446 * temperature)))


def reference_heat(temperature: float) -> float:
    tau = 132.6312 / temperature
    return float((1 - tau**2 * lemmon2000_air_d2A0_dtau2(tau, 1e-3)) * 8.31446 / 0.0289586)


@pytest.mark.parametrize(
    ("ours", "reference", "bands"),
    [
        (air.viscosity, reference_viscosity, VISCOSITY),
        (air.thermal_conductivity, reference_conductivity, CONDUCTIVITY),
        (air.specific_heat, reference_heat, HEAT),
    ],
)
def test_the_stated_differences_from_the_reference_equations(
    ours: Callable[[float], float],
    reference: Callable[[float], float],
    bands: list[tuple[float, float, float, float]],
) -> None:
    for low, high, least, most in bands:
        for temperature in np.linspace(low, high, 21):
            assert least <= float(ours(temperature)) / reference(float(temperature)) - 1 <= most, temperature


def test_the_properties_at_once_are_the_properties_alone() -> None:
    temperature = np.array([200.0, 300.0, 900.0])
    together = air.air_properties(temperature, 5e4)
    # exact: the same formulas
    for name in ("viscosity", "thermal_conductivity", "specific_heat"):
        alone = getattr(air, name)(temperature)
        np.testing.assert_allclose(getattr(together, name), alone, rtol=1e-14)
    np.testing.assert_allclose(together.density, air.density(temperature, 5e4), rtol=1e-14)
    ratio = air.kinematic_viscosity(temperature, 5e4) / air.thermal_diffusivity(temperature, 5e4)
    np.testing.assert_allclose(ratio, air.prandtl_number(temperature), rtol=1e-13)


def test_outside_the_range_there_is_no_number() -> None:
    outside = np.array([169.9, 1500.1, np.nan])
    for formula in (air.viscosity, air.thermal_conductivity, air.specific_heat, air.prandtl_number):
        assert np.isnan(formula(outside)).all()
        assert np.isfinite(formula(np.array([170.0, 1500.0]))).all()
    assert np.isnan(air.density(outside, ROOM)).all()
    assert np.isnan(air.density(300.0, np.array([0.0, -1.0]))).all()
    assert np.isnan(air.thermal_diffusivity(300.0, 0.0))
