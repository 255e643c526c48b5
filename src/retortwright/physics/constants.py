# SPDX-License-Identifier: MIT
"""Constants of nature and conventional values, in SI.

Values: CODATA 2018, unchanged in CODATA 2022 for all that are listed here; the gas constant,
Avogadro's and Boltzmann's constants are exact by the definition of the units, and so is what is
made of them. Standard gravity (3rd General Conference on Weights and Measures, 1901) and the
standard atmosphere (10th, 1954) are exact by convention.

UNITS states the unit of each constant with the same tags as the docstrings.
"""

from __future__ import annotations

__all__ = [
    "ATMOSPHERE",
    "AVOGADRO",
    "BOLTZMANN",
    "GAS_CONSTANT",
    "STANDARD_GRAVITY",
    "STEFAN_BOLTZMANN",
    "UNITS",
]

BOLTZMANN = 1.380649e-23
AVOGADRO = 6.02214076e23
GAS_CONSTANT = 8.31446261815324
STEFAN_BOLTZMANN = 5.670374419e-8
STANDARD_GRAVITY = 9.80665
ATMOSPHERE = 101325.0

UNITS = {
    "ATMOSPHERE": "Pa",
    "AVOGADRO": "1/mol",
    "BOLTZMANN": "J/K",
    "GAS_CONSTANT": "J/mol/K",
    "STANDARD_GRAVITY": "m/s^2",
    "STEFAN_BOLTZMANN": "W/m^2/K^4",
}
