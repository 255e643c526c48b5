# SPDX-License-Identifier: MIT
"""The constants hang together as the definitions of the units say."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import constants as codata

from retortwright.physics import constants


def test_the_gas_constant_is_a_product() -> None:
    # exact: R = N_A k, both fixed by the definitions of mole and kelvin
    product = constants.AVOGADRO * constants.BOLTZMANN
    assert product == pytest.approx(constants.GAS_CONSTANT, rel=1e-15)


def test_stefan_boltzmann_follows_from_planck() -> None:
    # exact: sigma = 2 pi^5 k^4 / (15 h^3 c^2), with the exact h and c
    sigma = 2 * np.pi**5 * constants.BOLTZMANN**4 / (15 * 6.62607015e-34**3 * 299792458.0**2)
    assert sigma == pytest.approx(constants.STEFAN_BOLTZMANN, rel=1e-9)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("GAS_CONSTANT", codata.R),
        ("AVOGADRO", codata.N_A),
        ("BOLTZMANN", codata.k),
        ("STEFAN_BOLTZMANN", codata.sigma),
        ("STANDARD_GRAVITY", codata.g),
        ("ATMOSPHERE", codata.atm),
    ],
)
def test_values_are_those_of_codata(name: str, value: float) -> None:
    # published: CODATA as tabulated in scipy.constants
    assert getattr(constants, name) == pytest.approx(value, rel=1e-10)
