"""A solid's mesh: what it holds and whether it closes, by hand and beside the mesh library trimesh."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from platemaker.records import replace
from platemaker.solids import Facets, facets_of, kernel, solid_of
from tests.sample_parts import SAMPLES

pytestmark = pytest.mark.kernel


def test_a_box_is_twelve_triangles_that_close_and_hold_its_volume() -> None:
    mesh = facets_of(kernel().Solid.makeBox(10, 20, 30))
    assert (len(mesh.corners), len(mesh.triangles)) == (6 * 4, 6 * 2)
    assert mesh.closes
    assert mesh.volume == pytest.approx(10 * 20 * 30, rel=1e-12)


def test_a_mesh_with_a_triangle_too_few_or_too_many_does_not_close() -> None:
    mesh = facets_of(kernel().Solid.makeBox(10, 20, 30))
    assert not replace(mesh, triangles=mesh.triangles[1:]).closes
    assert not replace(mesh, triangles=np.concatenate([mesh.triangles, mesh.triangles[:1]])).closes
    assert not replace(mesh, triangles=mesh.triangles[:0]).closes


def test_corners_that_lie_apart_leave_a_gap() -> None:
    mesh = facets_of(kernel().Solid.makeBox(10, 20, 30))
    moved = mesh.corners.copy()
    moved[0, 2] += 1e-6
    assert not replace(mesh, corners=moved).closes


def test_a_cone_s_tip_is_no_gap() -> None:
    mesh = facets_of(kernel().Solid.makeCone(5, 0, 12))
    points = mesh.corners[mesh.triangles]
    assert np.any(np.all(points[:, 0] == points[:, 1], axis=1) | np.all(points[:, 1] == points[:, 2], axis=1))
    assert mesh.closes
    # A polygon of n corners holds sin(turn) / turn of the circle's area; its turn is at most that of the mesh, 0.3.
    assert np.sin(0.3) / 0.3 < mesh.volume / (np.pi * 25 * 12 / 3) < 1


@pytest.mark.parametrize("make", SAMPLES)
def test_the_mesh_library_finds_the_same(make) -> None:
    mesh: Facets = facets_of(solid_of(make()))
    other = trimesh.Trimesh(mesh.corners, mesh.triangles, process=True)
    other.update_faces([len(set(corners)) == 3 for corners in other.faces.tolist()])
    assert mesh.closes == other.is_watertight
    assert mesh.volume == pytest.approx(other.volume, rel=1e-12)
