"""Forces and readings on a cube of six tetrahedra, where the answers are arithmetic; without the library."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from platemaker.fields._facets import cells_and_facets
from platemaker.fields._flow import Flow, Setting
from platemaker.fields._readings import readings
from platemaker.fields._steady import March

SIDE = 2.0


def cube(friction: float = 0.0) -> Flow:
    """A cube of 2 mm, along whose Z the air flows: one tetrahedron for each order of the three axes (Kuhn)."""
    points = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float) * SIDE
    cells = np.array([np.cumsum([0, *(1 << (2 - axis) for axis in order)]) for order in permutations(range(3))])
    faces, names = [], []
    for axis in range(3):
        for at in (0.0, SIDE):
            on = np.flatnonzero(points[:, axis] == at)
            for cell in cells:
                if len(face := [corner for corner in cell if corner in on]) == 3:
                    faces.append(face)
                    names.append("wall" if axis < 2 else "outlet" if at else "inlet")
    return Flow(*cells_and_facets(points, cells, np.array(faces), np.array(names)), Setting(SIDE, friction))


def even(flow: Flow) -> np.ndarray:
    return np.tile([0.0, 0.0, 1.0], (4 * len(flow.cells.volume), 1))


def test_even_flow_has_no_force_and_no_loss() -> None:
    flow = cube()
    assert (flow.cells.volume.sum(), flow.inflow) == (pytest.approx(8.0), pytest.approx(4.0))
    eddy = flow.eddy(even(flow))
    assert flow.force(even(flow), eddy) == pytest.approx(0.0, abs=1e-12)
    assert flow.loss(even(flow), np.zeros(6)) == pytest.approx(0.0)
    # A pressure that falls by 3 from cells at the entry to those at the exit: 2 x 3 over the dynamic pressure's unit.
    low = flow.boundary.sides[0].cell[flow.names == "inlet"]
    pressure = np.zeros(6)
    pressure[low] = 3.0
    out = flow.boundary.sides[0].cell[flow.names == "outlet"]
    assert flow.loss(even(flow), pressure) == pytest.approx(2 * (3.0 - pressure[out].mean()))


def test_walls_take_half_the_friction_factor_times_speed_squared() -> None:
    flow = cube(friction=0.02)
    force = flow.force(even(flow), flow.eddy(even(flow))).sum(axis=0)
    assert force == pytest.approx([0.0, 0.0, 0.02 / 2 * 4 * SIDE**2])


def test_shear_makes_a_stress() -> None:
    """Speed along Z of 1 + x - 1 within the cube: strain 1, so eddy viscosity is the least and the length squared."""
    flow = cube()
    speed = even(flow)
    speed[:, 2] = flow.cells.points.reshape(-1, 3)[:, 0]
    assert flow.eddy(speed) == pytest.approx(flow.least + flow.mixing**2)
    # Weighted with x, the force of an even viscosity is viscosity x slope x volume.
    without = flow.force(speed, np.zeros(6))
    viscous = flow.force(speed, np.full(6, 0.5)) - without
    assert (viscous[:, 2] * flow.cells.points.reshape(-1, 3)[:, 0]).sum() == pytest.approx(0.5 * 1.0 * 8.0)
    # A cell gives to its neighbours what it takes in by the cube's own faces: stress x area towards X.
    taken = np.zeros(6)
    np.add.at(taken, flow.boundary.sides[0].cell, 0.5 * flow.boundary.area * flow.boundary.normal[:, 0])
    assert viscous[:, 2].reshape(6, 4).sum(axis=1) == pytest.approx(taken)


def test_mass_is_that_of_the_cells_and_has_an_inverse() -> None:
    flow, steps = cube(), np.full(6, 0.25)
    speed = np.random.default_rng(1).normal(size=(24, 3))
    assert flow.mass(even(flow), steps).sum(axis=0) == pytest.approx([0.0, 0.0, 8.0 / 0.25])
    assert flow.unmass(flow.mass(speed, steps), steps) == pytest.approx(speed)


def test_readings_of_even_flow() -> None:
    flow = cube()
    march = March(flow, None, even(flow), np.zeros(6), flow.eddy(even(flow)), even(flow), np.ones(6))  # type: ignore[arg-type]
    plane = {"axis": 1, "at": 1.0, "box": [0.0, 0.0, 2.0, 2.0]}
    case = {
        "slabs": [{"start": 0.0, "end": 2.0}], "outlets": [[0.0, 0.0, 2.0, 2.0], [5.0, 5.0, 6.0, 6.0]],
        "plan": {**plane, "axis": 2}, "section": {**plane, "box": [-1.0, 0.0, 2.0, 2.0]},
    }  # fmt: skip
    with np.errstate(all="ignore"):  # no facets lie in the planes of the ports here
        read = readings(march, case)
    assert read["shares"] == [pytest.approx(1.0), 0.0]
    assert read["fastest"] == pytest.approx(1.0)
    assert set(read["plan"]["z"]) == {1.0}
    # A third of the section lies beside the cube.
    assert read["section"]["z"].count(None) == pytest.approx(len(read["section"]["z"]) / 3, rel=0.02)


def test_a_jump_between_cells_loses_energy_by_upwinding_and_by_viscosity() -> None:
    """One cell moves sideways: air that is carried in from its neighbours, and their drag, slow it down."""
    flow = cube()
    jump = np.zeros((24, 3))
    jump[:4, 0] = 0.01
    carried = (jump * flow.force(even(flow) + jump, np.zeros(6))).sum()
    assert carried > 0
    assert (jump * flow.force(even(flow) + jump, np.ones(6))).sum() > carried
