"""Clamped members under a bolt's head against published stiffness and the published angle of the pressure cone. Slow.

Wileman, Choudhury and Green: Computation of Member Stiffness in Bolted Connections, J. Mech. Design 113 (1991), as
Shigley, 9th ed., eq. 8-23 and table 8-8 print it: k = A E d exp(B d / l), A = 0.78715, B = 0.62873 for steel, 0.79670
and 0.63816 for aluminium, read in worked sums of others that name that table; from memory: two members alike, a washer
face of 1.5 d, a hole of d.
Cornwell's elements of whole joints, bolt and members of one modulus, as Norton, Machine Design, eq. 15.19 and table 15-8
(11-8 in another edition), print them, read in two programs that name that table and agree: C = p0 + p1 r + p2 r^2 + p3 r^3
is what a bolt takes of a load, r the members' modulus over the bolt's, a row for each d / l from 0.1 to 2. How these bolts
end is not said there. Fits of Musto and Konkle (2006), Filiz and others (1996), Lehnhoff and others (1994), and Pedersen
and Pedersen (2008) were looked for: their coefficients stood in no source that could be read, and none is used.
Shigley, sec. 8-5, eq. 8-20, from memory: the frustum of half-apex angle alpha under a head, and 25 to 33 degrees as the
range of most combinations, 30 as the usual value. VDI 2230-1:2015, table 2, from memory: of a through bolt
tan phi = 0.362 + 0.032 ln(l / 2 d_w) + 0.153 ln(D / d_w).

Lengths in diameters, stress in E: half of the joint, which meets the other half in a plane of symmetry.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.sparse import diags

from platemaker.fields._seal._case import FINEST, ROUND
from platemaker.fields._seal._case import HEAD as SHARE
from platemaker.fields._seal._contact import factors
from platemaker.fields._seal._joint import _ring, heads_of
from platemaker.fields._seal._solids import solids_of
from tests.seal_models import circle, plate, ring

pytestmark = [pytest.mark.slow]
ngsolve = pytest.importorskip("ngsolve")
HOLE, HEAD, STEEL, ALUMINIUM = 0.5, 0.75, 0.291, 0.334


def published(grip: float, a: float = 0.78715, b: float = 0.62873) -> float:
    return a * math.exp(b / grip)


@cache
def symmetric(grip: float, nu: float = STEEL, radius: float = 2.5, *, plane: bool = True) -> float:
    """Stiffness over E d by rotationally symmetric elements: a head that stays plane, or one that presses evenly.

    Cubic, a fortieth of a cell at the head's edge: what is printed does not change with finer ones.
    """
    from netgen.occ import Glue, MoveTo, OCCGeometry
    from ngsolve import BND, BilinearForm, Grad, GridFunction, InnerProduct, Integrate, LinearForm, VectorH1, ds, dx, x

    t, near = grip / 2, 1e-5
    shape = Glue([MoveTo(HOLE, 0).Rectangle(HEAD - HOLE, t).Face(), MoveTo(HEAD, 0).Rectangle(radius - HEAD, t).Face()])
    for edge in shape.edges:
        low, high = edge.bounding_box
        if max(abs(low.y), abs(high.y)) < near:
            edge.name = "middle"
        elif max(abs(low.y - t), abs(high.y - t)) < near and high.x < HEAD + near:
            edge.name, edge.maxh = "head", 0.025
    for one in shape.vertices:
        if math.dist((one.p.x, one.p.y), (HEAD, t)) < near:
            one.maxh = 0.00125
    mesh = ngsolve.Mesh(OCCGeometry(shape, dim=2).GenerateMesh(maxh=0.1, grading=0.3))
    space = VectorH1(mesh, order=3, dirichlety="middle|head" if plane else "middle")
    u, v = space.TnT()
    shear, bulk = 1 / 2 / (1 + nu), nu / (1 + nu) / (1 - 2 * nu)

    def strain(one):  # type: ignore[no-untyped-def]
        return (Grad(one) + Grad(one).trans) / 2

    def swelling(one):  # type: ignore[no-untyped-def]
        return Grad(one)[0, 0] + Grad(one)[1, 1] + one[0] / x

    form = BilinearForm(space)
    form += (
        2 * shear * (InnerProduct(strain(u), strain(v)) + u[0] * v[0] / x**2) + bulk * swelling(u) * swelling(v)
    ) * 2 * math.pi * x * dx  # fmt: skip
    form.Assemble()
    moved, area = GridFunction(space), math.pi * (HEAD**2 - HOLE**2)
    inverse = form.mat.Inverse(space.FreeDofs())
    if plane:
        moved.components[1].Set(-1.0, BND, definedon=mesh.Boundaries("head"))
        left = moved.vec.CreateVector()
        left.data = form.mat * moved.vec
        moved.vec.data -= inverse * left
        left.data = form.mat * moved.vec
        return float(InnerProduct(moved.vec, left)) / 2
    pressed = LinearForm(space)
    pressed += -v[1] * 2 * math.pi * x / area * ds("head")
    pressed.Assemble()
    moved.vec.data = inverse * pressed.vec
    return -area / 2 / float(Integrate(moved[1] * 2 * math.pi * x * ds("head"), mesh))


@pytest.mark.parametrize("grip", [1.0, 2.0])
def test_members_are_as_stiff_as_published(grip: float) -> None:
    """Wide members, a head that stays plane: within 5 % at grips of one and two diameters, steel and aluminium."""
    assert symmetric(grip, radius=5.0) == pytest.approx(published(grip), rel=0.05)
    assert symmetric(grip, ALUMINIUM, 5.0) == pytest.approx(published(grip, 0.79670, 0.63816), rel=0.05)


@pytest.mark.parametrize(
    ("grip", "row"),
    [
        (0.5, (0.7175, -1.2133, 1.0604, -0.3596)),
        (1.0, (0.7774, -1.2413, 1.0577, -0.3537)),
        (2.0, (0.7580, -1.2632, 1.0979, -0.3708)),
        (10 / 3, (0.6932, -1.2426, 1.1177, -0.3845)),
        (5.0, (0.6118, -1.1715, 1.0875, -0.3806)),
    ],
)
def test_short_and_long_members_share_a_load_with_their_bolt_as_published(grip: float, row: tuple[float, ...]) -> None:
    """Wide members within 5 % from half a diameter to five, by one length of bolt for all: 2/3 d more than the grip.

    That is half of two heads, each 2/3 d high, as EN 1993-1-8, table 6.11, counts them, from memory; it is the one figure
    that is chosen here, and five grips are held against it. C = k_b / (k_b + k_m), k_b = (pi / 4) d^2 E / (l + 2/3 d).
    """
    share = sum(row)  # r = 1
    bolt = math.pi / 4 / (grip + 2 / 3)
    assert symmetric(grip, radius=5.0) == pytest.approx(bolt * (1 - share) / share, rel=0.05)


def test_the_published_fit_is_farther_off_for_short_and_long_grips() -> None:
    """An exponential through its authors' elements: 6 % above these at half a diameter, 11 % at four.

    Under an even pressure the head sinks deeper in the mean: of a disc on a half-space by 32 / (3 pi^2), Timoshenko and
    Goodier, Theory of Elasticity, sec. 139, from memory; of a ring by somewhat more.
    """
    assert symmetric(0.5, radius=5.0) == pytest.approx(published(0.5), rel=0.06)
    assert symmetric(4.0, radius=5.0) == pytest.approx(published(4.0), rel=0.12)
    for grip in (1.0, 2.0, 4.0):
        assert 0.95 * 3 * math.pi**2 / 32 < symmetric(grip, plane=False) / symmetric(grip) < 3 * math.pi**2 / 32


def cone(grip: float, stiffness: float) -> float:
    """Tangent of the half-apex angle of two frusta as stiff as this."""

    def of(tangent: float) -> float:
        wide = grip * tangent + 2 * HEAD
        above = (wide - 2 * HOLE) * (2 * HEAD + 2 * HOLE) / ((wide + 2 * HOLE) * (2 * HEAD - 2 * HOLE))
        return math.pi * tangent / 2 / math.log(above) - stiffness

    return float(brentq(of, 0.1, 1.5))


@pytest.mark.parametrize("grip", [0.5, 1.0, 2.0, 4.0])
def test_the_pressure_cone_has_the_published_angle(grip: float) -> None:
    """Between 25 and 33 degrees at every grip; from one diameter on within 2.5 degrees of VDI 2230, 3.2 at a half."""
    angle = math.degrees(math.atan(cone(grip, symmetric(grip))))
    assert 25 < angle < 33
    guide = 0.362 + 0.032 * math.log(grip / (4 * HEAD)) + 0.153 * math.log(2.5 / HEAD)
    assert angle == pytest.approx(math.degrees(math.atan(guide)), abs=2.5 if grip >= 1 else 3.2)


def members(grip: float, size: float, d: float = 8.0) -> float:
    """Stiffness over E d by the film's own elements, and its own way of pressing with a head, as films have them."""
    E, t = 207_000.0, grip * d / 2
    hole = {"region": [circle(0.0, 0.0, HOLE * d)], "low": 0.0, "high": t}
    plates = [plate([circle(0.0, 0.0, 2.5 * d)], t, E=E, nu=STEEL, voids=[hole])]
    solids = solids_of(plates, size, ROUND[1], heads_of([ring("bolt", (0.0, 0.0), t, HOLE * d, HEAD * d)], SHARE))
    held, flat = np.zeros((3, solids.count)), solids.flat(0, 0.0)
    held[2, np.unique(np.concatenate([solids.triangles[flat].ravel(), solids.rims[flat].ravel()]))] = 1e10
    mean = np.asarray(solids.rows_at(0, t, _ring((0.0, 0.0), HOLE * d, HEAD * d)).mean(axis=0)).ravel()
    given_way = mean @ factors((solids.stiffness + diags(held.ravel())).tocsr())(mean)
    return float(1 / (2 * given_way * E * d))


@pytest.mark.parametrize("size", [FINEST, 7.2])
@pytest.mark.parametrize("grip", [1.0, 2.0, 4.0])
def test_a_film_as_it_runs_presses_as_a_plane_head_does(grip: float, size: float) -> None:
    """Within 5 %, by the finest cells that a film has on a face and by those of a face of 400 cm2; a bolt of 8 mm."""
    assert members(grip, size) == pytest.approx(symmetric(grip), rel=0.05)
