# SPDX-License-Identifier: MIT
"""Heat is neither made nor lost: across every cut of trees put together by chance, and inside every bore."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from retortwright.ground.arrays import Array
from retortwright.physics.bore_radiation import tube_exchange_matrix
from retortwright.physics.constants import STEFAN_BOLTZMANN
from retortwright.reference.datum import Row, number_of
from retortwright.reference.tables import shipped
from retortwright.rig.starter import starter_text
from retortwright.situation.bore import bore_heat
from situation.rigs import BENCH, STATE, Solved, chance_rig, solved, whole_rig

BY_CHANCE = settings(max_examples=25, phases=[Phase.explicit, Phase.generate])


def number(table: str, subject: str, name: str) -> float:
    row = shipped().find(table, subject, name)
    assert isinstance(row, Row)
    return number_of(row).best


def half_cells(found: Solved) -> Array:
    """Resistance from the centre of each cell to its edge, from sizes, rows of the table and temperatures."""
    mesh, tree = found.situation.mesh, found.situation.tree
    resistance = np.empty(len(mesh.start))
    for cell, temperature in enumerate(found.picture.temperature[:, 0]):
        single = tree.instances[mesh.instance[cell]]
        tube = single.tube_at((mesh.start[cell] + mesh.end[cell]) / 2)
        section = np.pi / 4 * (tube.outside**2 - (tube.outside - 2 * tube.wall) ** 2)
        row = shipped().find("materials", single.row.of, "conductivity")
        assert isinstance(row, Row)
        conductivity = float(row.data) if row.form == "constant" else np.interp(temperature, *row.points)
        resistance[cell] = (mesh.end[cell] - mesh.start[cell]) / 2 / (conductivity * section)
    return resistance


def contact(found: Solved, cell: int, kind: str) -> float:
    """Resistance of a joint at a cell."""
    tube = found.situation.tree.instances[found.situation.mesh.instance[cell]].tube_at(
        found.situation.mesh.middle[cell]
    )
    section = np.pi / 4 * (tube.outside**2 - tube.bore**2)
    return 1.0 / (number("joints", kind, "contact") * section)


def beyond(parent: Array, cell: int) -> Array:
    """Which cells lie beyond the cut above a cell."""
    inside = np.zeros(len(parent), dtype=bool)
    inside[cell] = True
    for other in range(cell + 1, len(parent)):
        inside[other] = inside[parent[other]]
    return inside


def given_away(found: Solved) -> tuple[Array, Array]:
    """Heat that each cell gives to its surroundings and into bores [W], and the sum of their sizes."""
    temperature = found.picture.temperature
    leaving, size = np.zeros(len(temperature)), np.zeros(len(temperature))
    for exchange in found.wall.exchanges:
        heat = exchange.heat(temperature[exchange.cells])[0][:, 0]
        leaving[exchange.cells] += heat
        size[exchange.cells] += np.abs(heat)
    for bore in found.wall.bores:
        heat = bore_heat(bore, temperature)[:, 0]
        np.add.at(leaving, bore.cells, heat)
        np.add.at(size, bore.cells, np.abs(heat))
    return leaving, size


def cuts(found: Solved) -> Iterator[tuple[float, float, float]]:
    """For each cut of the tree: heat that crosses it in the wall, heat given away beyond it, and its size."""
    mesh, tree = found.situation.mesh, found.situation.tree
    temperature, half = found.picture.temperature[:, 0], half_cells(found)
    leaving, size = given_away(found)
    joined = {
        mesh.first[joint.instance]: joint.kind
        for joint in tree.joints
        if joint.key == f"piece.{tree.instances[joint.instance].row.name}.joined"
    }
    loops = []
    for joint in tree.joints:
        if joint.key.endswith("meets.joined"):
            own, other = mesh.last[joint.instance], mesh.cell_at(joint.onto, joint.onto_place)
            through = half[own] + contact(found, own, joint.kind)
            loops.append((own, other, (temperature[own] - temperature[other]) / through))
    for cell in range(1, len(temperature)):
        above = int(mesh.parent[cell])
        between = contact(found, cell, joined[cell]) if cell in joined else 0.0
        resistance = half[cell] + (0.0 if mesh.side[cell] else half[above]) + between
        crossing = (temperature[above] - temperature[cell]) / resistance
        inside = beyond(mesh.parent, cell)
        away = leaving[inside].sum()
        for own, other, flow in loops:
            away += flow * (float(inside[own]) - float(inside[other]))
        yield crossing, away, size[inside].sum() + abs(crossing)


def assert_closed(found: Solved) -> None:
    for crossing, away, size in cuts(found):
        # exact: in a steady state what crosses a cut is given away beyond it
        assert abs(crossing - away) <= 1e-3 * size + 1e-6


def assert_balanced(found: Solved) -> None:
    sizes = sum(np.abs(flow) for flow in found.picture.flows.values())
    total = np.abs(sum(found.picture.flows.values()))
    assert np.all(total <= 1e-3 * sizes + 1e-6)


@BY_CHANCE
@given(st.integers(0, 10**9))
def test_heat_crosses_every_cut_of_a_tree_by_chance(seed: int) -> None:
    found = solved(chance_rig(Random(seed)))
    if np.all(np.isfinite(found.picture.temperature)):
        assert_balanced(found)
        assert_closed(found)


@BY_CHANCE
@given(st.integers(0, 10**9))
def test_heat_crosses_every_cut_of_a_tree_of_shut_bores(seed: int) -> None:
    found = solved(chance_rig(Random(seed), valves=True))
    assert found.wall.bores == []
    if np.all(np.isfinite(found.picture.temperature)):
        assert_balanced(found)
        assert_closed(found)


@pytest.mark.parametrize(("text", "state"), [(starter_text(), "distil"), (BENCH, STATE)])
def test_heat_crosses_every_cut_of_a_whole_rig(text: str, state: str) -> None:
    found = solved(text, state=state)
    assert found.picture.missing == ()
    assert_balanced(found)
    assert_closed(found)
    worst = max(abs(crossing - away) / size for crossing, away, size in cuts(found) if size > 1e-3)
    assert worst < 1e-5


def test_the_cut_sees_heat_that_is_lost() -> None:
    found = solved(starter_text(), state="distil")
    found.picture.temperature[40] += 0.5
    with pytest.raises(AssertionError):
        assert_closed(found)


POT = """[piece.pot]
tube = "30 x 2 mm"
length = "120 mm"
of = "304L"
finish = "oxidised"
bottom = { shape = "flat", thick = "3 mm", joined = "TIG" }
[piece.line]
on = "pot"
at = "90 mm"
joined = "TIG"
tube = "30 x 2 mm"
length = "200 mm"
of = "304L"
finish = "oxidised"
"""


@pytest.mark.parametrize(("emissivity", "within"), [("0.2", 0.01), ("0.4", 0.01), ("0.8", 0.01)])
def test_what_an_opening_lets_pass(emissivity: str, within: float) -> None:
    furnace = 'furnace = { over = { pot = "0 to 100 mm" } }'
    found = solved(whole_rig(POT, furnace, assume=f'bore.emissivity = "{emissivity}"'))
    mesh, temperature = found.situation.mesh, found.picture.temperature[:, 0]
    first, last = mesh.first[1], mesh.last[1]
    cells = slice(first, last + 1)
    fine = np.linspace(0.0, 0.2, 401)
    rings = np.interp((fine[1:] + fine[:-1]) / 2, mesh.middle[cells], temperature[cells])
    seen = np.concatenate([[temperature[mesh.parent[first]]], rings, [temperature[last]]])
    areas = tube_exchange_matrix(fine, 0.013, float(emissivity))
    # exact: the black disc at the opening sends sigma T^4 and gets what the rings and the far end send
    expected = STEFAN_BOLTZMANN * np.sum(areas[0] * (seen[0] ** 4 - seen**4))
    bore = found.wall.bores[1]
    ours = bore_heat(bore, found.picture.temperature)[:, 0]
    ours = np.concatenate([ours[bore.near :], ours[: bore.near]])  # the opening first
    assert ours[0] == pytest.approx(expected, rel=within)
    # exact: radiation in an enclosure adds up to nothing
    assert abs(ours.sum()) < 1e-9 * np.abs(ours).sum()
    assert ours[0] > 0.1
