# SPDX-License-Identifier: MIT
"""The whole solution along a long tube against exact integrals and worked examples of textbooks."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from retortwright.belief.beliefs import Draws
from retortwright.ground.arrays import Array
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.physics.convection import free_film_coefficient
from retortwright.physics.rod import (
    fin_decay,
    infinite_rod_heat,
    insulated_tip_temperature,
    long_fin_distance,
    long_fin_heat,
)
from retortwright.reference.datum import Curve, Row, number_of
from retortwright.reference.tables import shipped
from retortwright.situation import heat as steady
from retortwright.situation.exchange import Bath, OpenAir
from retortwright.situation.wall import Wall
from situation.rigs import MIDDLE, Solved, solved, whole_rig

ROOM = 293.15


def bare_tube(of: str, finish: str, length: float, to: str) -> str:
    """A level tube whose first 150 mm lie in a furnace; a valve shuts its bore to radiation."""
    tube = (
        f'[piece.tube]\ntube = "12.7 x 0.9 mm"\nlength = "{length} m"\nof = "{of}"\nfinish = "{finish}"\n'
        'valve = "metal seat"\n'
    )
    return whole_rig(tube, heat='furnace = { over = { tube = "0 to 150 mm" } }', to=to)


@dataclass(frozen=True, slots=True)
class Outside:
    """What a solution says of the bare part of a tube, from the edge of its heated part on."""

    place: Array
    temperature: Array  # first that of the edge
    heat: float  # through the wall at the edge, by Fourier's law
    section: float
    perimeter: float


def outside(found: Solved, edge: float, conductivity: tuple[Array, Array]) -> Outside:
    mesh, temperature = found.situation.mesh, found.picture.temperature[:, 0]
    first = int(np.searchsorted(mesh.start, edge - 1e-9))
    assert mesh.start[first] == pytest.approx(edge)
    across, wall = mesh.outside[0], mesh.wall[0]
    section = np.pi * (across - wall) * wall
    inner, outer = (
        mesh.width[cell] / 2 / (np.interp(temperature[cell], *conductivity) * found.wall.section[cell, 0])
        for cell in (first - 1, first)
    )
    heat = (temperature[first - 1] - temperature[first]) / (inner + outer)
    place = np.concatenate([[0.0], mesh.middle[first:] - edge])
    along = np.concatenate([[temperature[first] + heat * outer], temperature[first:]])
    return Outside(place, along, heat, section, np.pi * across)


def compare(seen: Outside, nodes: Array, conductivity: Array, loss: Array) -> tuple[float, Array]:
    """Heat by heat of the exact integral, place by place of the exact profile."""
    heat = long_fin_heat(nodes, conductivity, loss, seen.perimeter, seen.section)
    distance = long_fin_distance(nodes, conductivity, heat, seen.section)
    levels = ROOM + np.array([0.8, 0.6, 0.4, 0.2, 0.1, 0.05]) * (seen.temperature[0] - ROOM)
    expected = np.interp(levels, nodes, distance)
    ours = np.interp(-np.log(levels - ROOM), -np.log(seen.temperature - ROOM), seen.place)
    return seen.heat / heat[-1], ours / expected


CASES = [
    ("304L", "bright", 1.5, "800 degC"),
    ("304L", "oxidised", 1.5, "800 degC"),
    ("mild steel", "oxidised", 2.5, "700 degC"),
    ("copper", "oxidised", 6.0, "600 degC"),
]
REFINED = [(*case, split, within) for case in CASES for split, within in ((1, 0.01), (2, 0.005), (4, 0.0015))]


@pytest.mark.parametrize(("of", "finish", "length", "to", "split", "within"), REFINED)
def test_heat_that_leaves_a_furnace(
    of: str, finish: str, length: float, to: str, split: int, within: float
) -> None:
    row = shipped().find("materials", of, "conductivity")
    skin = shipped().find("materials", of, f"emissivity-{finish}")
    assert isinstance(row, Row)
    assert isinstance(skin, Row)
    seen = outside(solved(bare_tube(of, finish, length, to), split=split), 0.150, row.points)
    nodes = ROOM + (seen.temperature[0] - ROOM) * np.linspace(0.0, 1.0, 4001) ** 2
    film = free_film_coefficient(nodes, ROOM, 0.0127, length, 0.0, 101325.0)
    loss = film * (nodes - ROOM) + number_of(skin).best * STEFAN_BOLTZMANN * (nodes**4 - ROOM**4)
    ratio, places = compare(seen, nodes, np.interp(nodes, *row.points), loss)
    # exact: q^2 = 2 P A times the integral of k (h (T - Ta) + e sigma (T^4 - Ta^4)) dT; x from dx = k A dT / q
    assert ratio == pytest.approx(1.0, abs=within)
    np.testing.assert_allclose(places, 1.0, rtol=0, atol=0.02)


def in_the_test(
    monkeypatch: pytest.MonkeyPatch,
    text: str,
    hot: tuple[float, float],
    conductivity: float,
    film: float,
    emissivity: float = 0.0,
    split: int = 1,
) -> Solved:
    """A tube of constant properties, `hot` = (length of its base [m], temperature of the base [K])."""

    def constant(rig: object, tree: object, mesh: object, regime: object, ledger: object) -> Wall:
        wall = original(rig, tree, mesh, regime, ledger)  # type: ignore[arg-type]
        cells = np.arange(len(wall.mesh.start))
        base = wall.mesh.end <= hot[0] + 1e-9
        row = replace(wall.curves[0][1].row, form="constant", data=str(conductivity))
        curve = Curve(row, np.array([4.0, 3000.0]), np.full(2, conductivity))
        area = np.pi * wall.mesh.outside[:, None] * wall.mesh.width[:, None]
        return replace(
            wall,
            section=np.where(base[:, None], 1e6, 1.0) * wall.section,  # a base of one temperature
            curves=[(cells, curve, np.ones(1))],
            exchanges=[
                Bath("base", cells[base], 1e12 * area[base], np.ones(1), hot[1]),
                OpenAir(
                    "air", cells[~base], area[~base], np.full((1, 1), emissivity), np.array([air]),
                    lambda wall_at, room: film + 0 * wall_at,
                ),
            ],
        )  # fmt: skip

    original, air = steady.wall_of, 298.15 if hot[1] == 373.15 else ROOM
    monkeypatch.setattr(steady, "wall_of", constant)
    return solved(text, MIDDLE, split)


def rod(size: str, length: float, of: str) -> str:
    piece = f'[piece.rod]\ntube = "{size}"\nlength = "{length} m"\nof = "{of}"\nvalve = "metal seat"\n'
    return whole_rig(piece, heat='furnace = { over = { rod = "0 to 20 mm" } }')


@pytest.mark.parametrize(
    ("of", "conductivity", "length", "printed"),
    [("copper", 398.0, 1.6, 8.3), ("brass", 180.0, 1.2, 5.6), ("316L", 14.0, 0.5, 1.6)],
)
def test_very_long_rods(
    monkeypatch: pytest.MonkeyPatch, of: str, conductivity: float, length: float, printed: float
) -> None:
    found = in_the_test(
        monkeypatch, rod("5 x 2.499 mm", length, of), (0.02, 373.15), conductivity, 100.0, split=2
    )
    taken = found.picture.flows["air"][0]
    # published: Incropera & DeWitt, example 3.9: 5 mm rods, 100 degC in air of 25 degC, h = 100
    assert taken == pytest.approx(printed, abs=0.05)
    # exact: sqrt(h P k A) theta
    section = np.pi * (0.005 - 0.002499) * 0.002499
    exact = infinite_rod_heat(75.0, np.pi * 0.005, section, conductivity, 100.0)
    assert taken == pytest.approx(float(exact), rel=0.005)


def test_pin_with_insulated_tip(monkeypatch: pytest.MonkeyPatch) -> None:
    found = in_the_test(monkeypatch, rod("3 x 1.4999 mm", 0.050, "304L"), (0.02, 393.15), 15.0, 10.0, split=2)
    tip = found.picture.temperature[-1, 0] - 273.15
    # published: Sukhatme, A Textbook on Heat Transfer, example 2.13(b), p. 73: 3 mm pin 30 mm long, k = 15,
    # h = 10, base 120 degC, air 20 degC: tip 90.06 degC
    assert tip == pytest.approx(90.06, abs=0.1)
    # exact: the centre of the last cell lies half a cell before the tip
    mesh = found.situation.mesh
    decay = float(fin_decay(np.pi * 0.003, np.pi * (0.003 - 0.0014999) * 0.0014999, 15.0, 10.0))
    exact = float(insulated_tip_temperature(393.15, ROOM, 0.030, decay))
    lower = ROOM + (exact - ROOM) * np.cosh(decay * mesh.width[-1] / 2)
    assert found.picture.temperature[-1, 0] == pytest.approx(lower, abs=0.05)


@pytest.mark.parametrize(("split", "within"), [(1, 0.02), (2, 0.005), (4, 0.0015)])
def test_hot_oxidised_tube(monkeypatch: pytest.MonkeyPatch, split: int, within: float) -> None:
    text = rod("12.7 x 0.9 mm", 0.6, "304L")
    found = in_the_test(monkeypatch, text, (0.02, 1073.15), 20.0, 10.0, 0.8, split)
    seen = outside(found, 0.02, (np.array([4.0, 3000.0]), np.full(2, 20.0)))
    assert seen.temperature[0] == pytest.approx(1073.15, abs=0.01)
    # exact: 12.7 x 0.9 mm, k = 20, h = 10, emissivity 0.8, 800 degC in a room of 20 degC: 28.89 W;
    # 500, 200, 100, 50 degC at 10.1, 37.0, 62.5, 94.7 mm, worked out from the energy integral
    assert seen.heat == pytest.approx(28.89, rel=within)
    levels = np.array([500.0, 200.0, 100.0, 50.0]) + 273.15
    place = np.interp(-np.log(levels - ROOM), -np.log(seen.temperature - ROOM), seen.place)
    np.testing.assert_allclose(place * 1e3, [10.1, 37.0, 62.5, 94.7], rtol=0.02)
    nodes = ROOM + 780.0 * np.linspace(0.0, 1.0, 4001) ** 2
    loss = 10.0 * (nodes - ROOM) + 0.8 * STEFAN_BOLTZMANN * (nodes**4 - ROOM**4)
    ratio, places = compare(seen, nodes, np.full(4001, 20.0), loss)
    assert ratio == pytest.approx(1.0, abs=within)
    np.testing.assert_allclose(places, 1.0, rtol=0, atol=0.02)


def test_all_samples_leave_by_their_own_integral() -> None:
    draws = Draws(samples=6)
    found = solved(bare_tube("304L", "oxidised", 1.5, "800 degC"), draws, split=2)
    flows = found.picture.flows
    # exact: what the furnace gives is what the room gets, in each sample
    np.testing.assert_allclose(-flows["heat.furnace"], flows["room"], rtol=1e-6)
    assert np.ptp(flows["room"]) > 1.0
