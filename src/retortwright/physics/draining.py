# SPDX-License-Identifier: MIT
"""Whether and how fast a liquid metal runs out of a tube, and what stays on its wall.

A liquid that wets neither runs as a film nor leaves one: the films below are the upper end of what
stays, and the slug that its edges hold is what a metal that does not wet leaves.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from retortwright.ground.arrays import Real
from retortwright.ground.ranges import kept, not_negative, positive, quietly
from retortwright.physics.constants import STANDARD_GRAVITY

__all__ = [
    "Rivulet",
    "capillary_rise",
    "draining_film",
    "draining_time",
    "film_flow",
    "film_left",
    "held_slug_length",
    "least_draining_radius",
    "rivulet_flow",
]

_BUBBLE_RISES = 0.842  # density times gravity times radius squared over surface tension
_LAMINAR = 2000.0


@dataclass(frozen=True, slots=True)
class Rivulet:
    """Liquid that runs along the bottom of a sloped tube."""

    volume_flow: Real
    reynolds: Real


@quietly
def least_draining_radius(density: Real, surface_tension: Real) -> Real:
    """Smallest radius of a vertical tube, closed at its top, out of which a liquid runs by itself.

    Parameters
    ----------
    density : of the liquid [kg/m^3]
    surface_tension : [N/m]

    Returns
    -------
    radius : [m]

    Range
    -----
    All above zero; nan otherwise. Clean liquid that wets the wall; slower and slower toward the limit.

    Source
    ------
    A long bubble rises only where density g R^2 / tension is above 0.842 [bretherton-1961], abstract.

    Example
    -------
    >>> round(float(least_draining_radius(1843.0, 0.0695)) * 2e3, 1)
    3.6
    """
    radius = np.sqrt(np.divide(_BUBBLE_RISES * surface_tension, density * STANDARD_GRAVITY))
    return kept(positive(density, surface_tension), radius)


@quietly
def capillary_rise(radius: Real, density: Real, surface_tension: Real, wetting: Real) -> Real:
    """Height to which a narrow tube draws a liquid up, or holds it hanging.

    Parameters
    ----------
    radius : of the tube [m]
    density : of the liquid [kg/m^3]
    surface_tension : [N/m]
    wetting : cosine of the angle of contact; 1 of full wetting, below zero where it does not wet [1]

    Returns
    -------
    height : negative where the liquid is pressed down [m]

    Range
    -----
    Wetting -1 to 1, the rest above zero; nan otherwise. Tubes narrow beside the height.

    Source
    ------
    Jurin's height, 2 tension cos / (density g R) [bird-stewart-lightfoot], as a balance of forces.

    Example
    -------
    >>> round(float(capillary_rise(0.002, 1460.0, 0.085, 1.0)) * 1e3, 1)
    5.9
    """
    height = np.divide(2 * surface_tension * wetting, density * STANDARD_GRAVITY * radius)
    inside = positive(radius, density, surface_tension) & np.less_equal(np.abs(wetting), 1.0)
    return kept(inside, height)


@quietly
def held_slug_length(
    radius: Real, slope: Real, density: Real, surface_tension: Real, wetting_difference: Real
) -> Real:
    """Longest slug that the two ends of a liquid hold in a sloped tube against its weight.

    Parameters
    ----------
    radius : of the tube [m]
    slope : of the tube from the horizontal [rad]
    density : of the liquid [kg/m^3]
    surface_tension : [N/m]
    wetting_difference : cosine of the angle of contact where it draws back, less that where it advances [1]

    Returns
    -------
    length : along the tube [m]

    Range
    -----
    Slope above zero to a right angle, difference 0 to 2, the rest above zero; nan otherwise. A slug that
    fills the bore: above the least draining radius it need not form.

    Source
    ------
    Exact balance of forces: 2 tension difference / (density g R sin slope).

    Example
    -------
    >>> round(float(held_slug_length(0.003, 0.0873, 1460.0, 0.085, 0.5)) * 1e3, 1)
    22.7
    """
    force = 2 * surface_tension * wetting_difference
    weight = density * STANDARD_GRAVITY * radius * np.sin(slope)
    inside = positive(radius, slope, density, surface_tension) & np.less_equal(slope, np.pi / 2)
    inside = inside & not_negative(wetting_difference) & np.less_equal(wetting_difference, 2.0)
    return kept(inside, np.divide(force, weight))


@quietly
def draining_film(distance: Real, time: Real, viscosity: Real, density: Real, slope: Real) -> Real:
    """Thickness of the film left on a wall that drains.

    Parameters
    ----------
    distance : down the wall from its upper end [m]
    time : since the liquid went down [s]
    viscosity : of the liquid [Pa s]
    density : of the liquid [kg/m^3]
    slope : of the wall from the horizontal [rad]

    Returns
    -------
    thickness : [m]

    Range
    -----
    Slope above zero to a right angle, the rest above zero; nan otherwise. Long after the start, film
    thin beside the bore, no surface tension; oxide skins hold more.

    Source
    ------
    Jeffreys, sqrt(viscosity z / (density g t sin slope)) [jeffreys-1930].

    Example
    -------
    >>> round(float(draining_film(0.1, 60.0, 5e-4, 1400.0, 0.0873)) * 1e6, 1)
    26.4
    """
    falls = density * STANDARD_GRAVITY * time * np.sin(slope)
    inside = positive(distance, time, viscosity, density, slope) & np.less_equal(slope, np.pi / 2)
    return kept(inside, np.sqrt(np.divide(viscosity * distance, falls)))


@quietly
def film_left(radius: Real, length: Real, time: Real, viscosity: Real, density: Real, slope: Real) -> Real:
    """Mass of liquid left as a film on the whole wall of a tube that drains.

    Parameters
    ----------
    radius : of the bore [m]
    length : of the tube [m]
    time : since the liquid went down [s]
    viscosity : of the liquid [Pa s]
    density : of the liquid [kg/m^3]
    slope : of the tube from the horizontal [rad]

    Returns
    -------
    mass : [kg]

    Range
    -----
    Radius above zero and the range of the draining film; nan otherwise.

    Source
    ------
    The film of [jeffreys-1930] integrated: two thirds of its thickness at the lower end.

    Example
    -------
    >>> round(float(film_left(0.005, 0.3, 60.0, 5e-4, 1400.0, 0.0873)) * 1e3, 2)
    0.4
    """
    mean = 2 / 3 * draining_film(length, time, viscosity, density, slope)
    return kept(positive(radius), 2 * np.pi * radius * length * mean * density)


@quietly
def draining_time(thickness: Real, distance: Real, viscosity: Real, density: Real, slope: Real) -> Real:
    """Time until the film on a draining wall is down to a thickness.

    Parameters
    ----------
    thickness : at that distance [m]
    distance : down the wall from its upper end [m]
    viscosity : of the liquid [Pa s]
    density : of the liquid [kg/m^3]
    slope : of the wall from the horizontal [rad]

    Returns
    -------
    time : [s]

    Range
    -----
    As for the draining film; nan otherwise.

    Source
    ------
    The film of [jeffreys-1930], solved for the time.

    Example
    -------
    >>> round(float(draining_time(30e-6, 0.1, 5e-4, 1400.0, 0.0873)), 1)
    46.4
    """
    falls = density * STANDARD_GRAVITY * thickness**2 * np.sin(slope)
    inside = positive(thickness, distance, viscosity, density, slope) & np.less_equal(slope, np.pi / 2)
    return kept(inside, np.divide(viscosity * distance, falls))


@quietly
def film_flow(thickness: Real, width: Real, viscosity: Real, density: Real, slope: Real) -> Real:
    """Volume that runs down a wall as a laminar film.

    Parameters
    ----------
    thickness : of the film [m]
    width : of the wall across the flow [m]
    viscosity : of the liquid [Pa s]
    density : of the liquid [kg/m^3]
    slope : of the wall from the horizontal [rad]

    Returns
    -------
    flow : [m^3/s]

    Range
    -----
    Slope above zero to a right angle, the rest above zero, Reynolds number 4 q / nu up to 2000; nan
    otherwise. Waves, from a Reynolds number of some 20 on, make the film thinner than this by up to a
    tenth.

    Source
    ------
    Nusselt's film, density g sin(slope) h^3 / (3 viscosity) times the width [bird-stewart-lightfoot],
    section on the falling film.

    Example
    -------
    >>> round(float(film_flow(50e-6, 0.03, 5e-4, 1400.0, 1.5)) * 1e6, 3)
    0.034
    """
    by_width = np.divide(density * STANDARD_GRAVITY * np.sin(slope) * thickness**3, 3 * viscosity)
    inside = positive(thickness, width, viscosity, density, slope) & np.less_equal(slope, np.pi / 2)
    inside = inside & np.less_equal(np.divide(4 * by_width * density, viscosity), _LAMINAR)
    return kept(inside, by_width * width)


@quietly
def rivulet_flow(radius: Real, half_angle: Real, viscosity: Real, density: Real, slope: Real) -> Rivulet:
    """Liquid that runs along the bottom of a sloped round tube with a level surface, laminar.

    Parameters
    ----------
    radius : of the tube [m]
    half_angle : between straight down and the edge of the liquid, seen from the axis [rad]
    viscosity : of the liquid [Pa s]
    density : of the liquid [kg/m^3]
    slope : of the tube from the horizontal [rad]

    Returns
    -------
    volume_flow : [m^3/s]
    reynolds : of the flow, by its hydraulic diameter [1]

    Range
    -----
    Half angle above zero to half full, slope above zero to a right angle, the rest above zero, Reynolds
    number up to 2000; nan otherwise. Level surface: a bore wide beside the capillary length. Exact half
    full, 3 % low in the limit of a thin rivulet.

    Source
    ------
    Hagen and Poiseuille's law with the hydraulic diameter, density g sin(slope) D^2 / (32 viscosity)
    [bird-stewart-lightfoot]; half full it is the half of a full tube.

    Example
    -------
    >>> flow = rivulet_flow(0.005, 0.5, 5e-4, 1400.0, 0.0873)
    >>> round(float(flow.volume_flow) * 1e6, 3), round(float(flow.reynolds))
    (0.373, 835)
    """
    section = radius**2 * (half_angle - np.sin(half_angle) * np.cos(half_angle))
    hydraulic = np.divide(4 * section, 2 * half_angle * radius)
    speed = np.divide(density * STANDARD_GRAVITY * np.sin(slope) * hydraulic**2, 32 * viscosity)
    reynolds = np.divide(density * speed * hydraulic, viscosity)
    inside = positive(radius, half_angle, viscosity, density, slope) & np.less_equal(slope, np.pi / 2)
    inside = inside & np.less_equal(half_angle, np.pi / 2) & np.less_equal(reynolds, _LAMINAR)
    return Rivulet(kept(inside, section * speed), kept(inside, reynolds))
