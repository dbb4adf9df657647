"""The mesh of prisms against closed forms: volumes, areas, cells that are closed, faces in the solver's order."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.fields import AirVolume, Edge, Slab, volume_of
from platemaker.fields._case import cells_of
from platemaker.fields._plan import PlanMesh, plan_of
from platemaker.fields._planes import plane_of
from platemaker.fields._prisms import PrismMesh, prisms
from platemaker.plane import Loop, Region, rotated


def rectangle(width: float, height: float, x: float = 0.0, y: float = 0.0, corner: float = 0.0) -> Region:
    return Region(Loop.rectangle(width, height, corner, centre=(x, y)))


def round_(radius: float, x: float = 0.0, y: float = 0.0) -> Region:
    return Region(Loop.circle((x, y), radius))


def meshed(volume: AirVolume, size: float) -> tuple[PlanMesh, PrismMesh]:
    case = volume.as_case()
    plan = plan_of(case["slabs"], size)
    return plan, prisms(case["slabs"], plan, size, case["mirror"])


def passage(*middle: Region, upper: Region, lower: Region, depth: float = 12.0) -> AirVolume:
    return volume_of(
        [
            Slab("upper", 0.0, 60.0, (upper,)),
            Slab("chamber", 60.0, 60.0 + depth, middle),
            Slab("lower", 60.0 + depth, 150.0, (lower,)),
        ],
        1.0,
    )


def held_to_be_sound(mesh: PrismMesh) -> None:
    """Cells are closed and have volume; faces stand in the order that the solver asks for; patches follow on."""
    inner = len(mesh.neighbour)
    assert (mesh.owner[:inner] < mesh.neighbour).all()
    order = mesh.owner[:inner] * mesh.count + mesh.neighbour
    assert (np.diff(order) > 0).all()
    around = np.zeros((mesh.count, 3))
    np.add.at(around, mesh.owner, mesh.areas)
    np.add.at(around, mesh.neighbour, -mesh.areas[:inner])
    assert np.abs(around).max() < 1e-9 * np.abs(mesh.areas).max() * 100
    assert mesh.volumes.min() > 0
    assert [patch.first for patch in mesh.patches] == list(
        np.cumsum([inner, *(patch.count for patch in mesh.patches)])[:-1]
    )
    assert mesh.patches[-1].first + mesh.patches[-1].count == len(mesh.faces)


def patch_area(mesh: PrismMesh, name: str) -> float:
    patch = next(one for one in mesh.patches if one.name == name)
    return float(np.linalg.norm(mesh.areas[patch.first : patch.first + patch.count], axis=1).sum())


def test_rectangles_are_meshed_exactly_by_bricks() -> None:
    volume = passage(rectangle(200, 140, 25), upper=rectangle(40, 58, 50), lower=rectangle(60, 70))
    plan, mesh = meshed(volume, 5.0)
    held_to_be_sound(mesh)
    assert (plan.cells[:, 3] >= 0).all()
    assert volume.mirror == ("x", 0.0)
    assert mesh.volumes.sum() == pytest.approx((40 * 58 * 60 + 200 * 140 * 12 + 60 * 70 * 78) / 2)
    assert patch_area(mesh, "inlet") == pytest.approx(40 * 58 / 2)
    assert patch_area(mesh, "outlet") == pytest.approx(60 * 70 / 2)
    assert patch_area(mesh, "mirror") == pytest.approx(40 * 60 + 200 * 12 + 60 * 78)
    # Walls of the whole: round the ducts and the chamber, and its two plates less the openings.
    walls = 2 * 98 * 60 + 2 * 130 * 78 + 2 * 340 * 12 + 2 * 200 * 140 - 40 * 58 - 60 * 70
    assert patch_area(mesh, "wall") == pytest.approx(walls / 2)


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0])
def test_round_ports_an_island_and_outlines_that_cross(turn: float) -> None:
    """A chamber with an island; the upper port crosses the lower one's outline in plan and the chamber's is turned."""
    plate = rotated(
        Region(Loop.rectangle(160, 100, 12.0, centre=(10, 3)), (Loop.circle((45.0, 5.0), 9.0).reversed(),)), turn
    )
    volume = passage(plate, upper=round_(24, -18, 2), lower=round_(27, 5, -4))
    for size, tolerance in ((5.0, 0.02), (2.5, 0.006)):
        mesh = meshed(volume, size)[1]
        held_to_be_sound(mesh)
        assert mesh.volumes.sum() == pytest.approx(volume.volume, rel=tolerance)
        assert patch_area(mesh, "inlet") == pytest.approx(math.pi * 24**2, rel=tolerance)


def test_outlines_that_lie_a_hair_apart_make_no_slivers() -> None:
    volume = passage(rectangle(120, 80), upper=rectangle(40, 58, 10), lower=rectangle(40.3, 58.2, 10.1, 0.1))
    mesh = meshed(volume, 4.0)[1]
    held_to_be_sound(mesh)
    assert mesh.volumes.min() > 0.02 * np.median(mesh.volumes)
    assert mesh.volumes.sum() == pytest.approx(volume.volume, rel=0.02)


@pytest.mark.parametrize("rounded", [True, False])
@pytest.mark.parametrize("half", [True, False])
def test_the_edge_of_an_entry_takes_its_volume(rounded: bool, half: bool) -> None:
    """Rounded by 6 mm: the area of an outline at t is A + P t + pi t2; t summed over the depth r is r2 (1 - pi/4)."""
    lower, shift = rectangle(60, 70, corner=12.0), 0.0 if half else 4.0
    slabs = [
        Slab("upper", 0.0, 60.0, (rectangle(40, 58, 30, shift),)),
        Slab("chamber", 60.0, 80.0, (rectangle(180, 140, 20),)),
        Slab("edge", 80.0, 86.0, (lower,), Edge(6.0, 6.0, rounded=rounded)),
        Slab("lower", 86.0, 160.0, (lower,)),
    ]
    volume = volume_of(slabs, 1.0)
    assert (volume.mirror is not None) == half
    area, perimeter = 60 * 70 - (4 - math.pi) * 144, 2 * (36 + 46) + 2 * math.pi * 12
    mean, square = (1 - math.pi / 4, 5 / 3 - math.pi / 2) if rounded else (1 / 2, 1 / 3)
    extra = 6.0 * (perimeter * 6.0 * mean + math.pi * 36 * square)
    assert volume.slabs[2].volume == pytest.approx(area * 6 + extra)
    mesh = meshed(volume, 3.0)[1]
    held_to_be_sound(mesh)
    there = mesh.slab == 2
    whole = float(mesh.volumes[there].sum()) * (2 if half else 1)
    even = float(mesh.volumes[mesh.slab == 3].sum()) * (2 if half else 1) * 6 / 74
    # Four chords lie (pi/2 - 4 sin(22.5 deg))/2 = 0.020 of r2 before the rounding's 0.215: a tenth more. Corners are chords.
    assert whole - even == pytest.approx(extra, rel=0.15)
    assert mesh.volumes[mesh.slab == 1].sum() * (2 if half else 1) == pytest.approx(180 * 140 * 20, rel=0.01)


def test_outlets_are_halved_only_by_a_line_through_each() -> None:
    row, below = tuple(round_(11, x) for x in (-60, -20, 20, 60)), rectangle(160, 40)
    for turn, mirror in ((0.0, ("x", 0.0)), (90.0, ("y", 0.0))):
        ports = tuple(rotated(one, turn) for one in row)
        slabs = [
            Slab("upper", 0.0, 80.0, (rectangle(40, 30),)),
            Slab("plenum", 80.0, 100.0, (rotated(below, turn),)),
            Slab("ports", 100.0, 260.0, ports),
        ]
        volume = volume_of(slabs, 1.0)
        assert volume.mirror == mirror
        mesh = meshed(volume, 3.0)[1]
        held_to_be_sound(mesh)
        assert patch_area(mesh, "outlet") == pytest.approx(4 * math.pi * 121 / 2, rel=0.02)


def test_several_outlets_and_layers_that_grow() -> None:
    ports = tuple(round_(11, x) for x in (-60, -20, 20, 60))
    volume = volume_of(
        [
            Slab("upper", 0.0, 80.0, (rectangle(40, 30, 3, 1),)),
            Slab("plenum", 80.0, 100.0, (rectangle(160, 40),)),
            Slab("ports", 100.0, 260.0, ports),
        ],
        1.0,
    )
    mesh = meshed(volume, 3.0)[1]
    held_to_be_sound(mesh)
    assert patch_area(mesh, "outlet") == pytest.approx(4 * math.pi * 121, rel=0.02)
    steps = np.diff(mesh.heights)
    assert steps.max() > 2 * 3.0 and steps[mesh.starts[1] : mesh.starts[2]].max() <= 5.0
    assert (mesh.heights[0], mesh.heights[-1]) == (0.0, pytest.approx(260.0))


def cells_in_plan(plan: PlanMesh) -> np.ndarray:
    four = np.where(plan.cells < 0, plan.cells[:, 2:3], plan.cells)
    a, b, c, d = np.moveaxis(plan.points[four], 1, 0)
    p, q = c - a, d - b
    return np.abs(p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]) / 2


def test_a_round_chamber_is_filled_with_cells_of_the_size() -> None:
    """A circle is two arcs whose ends lie on one line: its extent is that of the arcs, not of their ends."""
    volume = passage(round_(85, 25), upper=round_(27, 60), lower=round_(35))
    plan, mesh = meshed(volume, 3.0)
    held_to_be_sound(mesh)
    assert cells_in_plan(plan).max() < 2 * 3.0**2
    assert len(plan.cells) > 0.8 * math.pi * 85**2 / 2 / 3.0**2


def test_cells_are_fine_at_the_edges_of_ports_and_over_a_shallow_chamber() -> None:
    """6 mm deep: 8 layers of 0.75 mm, from which the ducts' grow by a fifth each, and cells of 1.5 mm beside the ports."""
    volume = passage(rectangle(200, 140, 25), upper=rectangle(40, 58, 50), lower=rectangle(60, 70), depth=6.0)
    plan, mesh = meshed(volume, 3.0)
    heights = np.diff(mesh.heights)
    first, last = mesh.starts[1:3]
    assert heights[first:last] == pytest.approx(6 / 8)
    assert heights[first - 1] == pytest.approx(0.75, rel=0.2)
    assert (heights[last + 1 :] / heights[last:-1]).max() < 1.25
    xs = np.unique(np.round(plan.points[:, 0], 6))
    for edge in (30.0, 70.0, -30.0):
        beside = np.abs(xs - edge)
        assert np.sort(beside)[:2] == pytest.approx([0.0, 1.5], rel=0.2, abs=1e-9)
    assert np.diff(xs).max() == pytest.approx(3.0, rel=0.1)


@pytest.mark.parametrize("size", [2.0, 4.0])
def test_the_number_of_cells_is_known_before_the_mesh(size: float) -> None:
    round_one = passage(round_(85, 25, 3), upper=round_(27, 60), lower=rectangle(60, 70))
    square = passage(rectangle(200, 140, 25), upper=rectangle(40, 58, 50), lower=rectangle(60, 70))
    for volume, tolerance in ((round_one, 0.15), (square, 1e-9)):
        assert cells_of(volume.as_case(), size) == pytest.approx(meshed(volume, size)[1].count, rel=tolerance)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_a_plane_shows_a_speed_that_changes_evenly_as_it_is_and_nothing_outside_the_air(axis: int) -> None:
    volume = passage(rectangle(200, 140, 25), upper=rectangle(40, 58, 50, 3), lower=rectangle(60, 70))
    plan, mesh = meshed(volume, 4.0)
    assert volume.mirror is None
    speed = np.stack([mesh.middles @ row for row in ((1, 0, 0), (0, 1, 0), (0.2, 0.3, 0.5))], axis=1)
    box = {0: [-70.0, 0.0, 70.0, 150.0], 1: [-75.0, 0.0, 125.0, 150.0], 2: [-75.0, -70.0, 125.0, 70.0]}[axis]
    at = {0: 31.0, 1: 5.0, 2: 66.0}[axis]
    plane = plane_of(mesh, plan, speed, volume.as_case(), {"axis": axis, "at": at, "box": box})
    us, vs = (
        low + (np.arange(count) + 0.5) * (high - low) / count
        for low, high, count in zip(box[:2], box[2:], (plane["columns"], plane["rows"]), strict=True)
    )
    grid = np.insert(np.stack(np.meshgrid(us, vs), axis=-1).reshape(-1, 2), axis, at, axis=1)
    x, y, z = grid.T
    air = (np.abs(x - 25) < 100) & (np.abs(y) < 70) & (z > 60) & (z < 72)
    air |= (np.abs(x - 50) < 20) & (np.abs(y - 3) < 29) & (z < 60)
    air |= (np.abs(x) < 30) & (np.abs(y) < 35) & (z > 72)
    shown = np.array(plane["z"], dtype=float)
    near = np.minimum.reduce([np.abs(x - e) for e in (30, 70, -30)] + [np.abs(y - e) for e in (-26, 32, 35, -35)])
    clear = (near > 1e-6) & (np.abs(z - 60) > 1e-6) & (np.abs(z - 72) > 1e-6)
    assert (np.isnan(shown) == ~air)[clear].all()
    deep = air & (np.abs(x - 25) < 97) & (np.abs(y) < 67) & (z > 62) & (z < 70)
    assert shown[deep] == pytest.approx((grid @ (0.2, 0.3, 0.5))[deep], abs=6e-4)
