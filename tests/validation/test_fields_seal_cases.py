"""Films and plates against closed forms and published coefficients. Slow: the finite-element library does them.

Hetenyi: Beams on Elastic Foundation, 1946: the infinite beam under a force (eq. 6), and the beam of finite length with
free ends under a force in its middle (sec. 14), both from memory; their end's deflection is proportional to
cosh(l/2) cos(l/2), so that a weightless long beam on a sheet that cannot pull touches it over pi / lambda.
The block that opens beyond its kern: see `test_fields_contact_cases.py`.
Timoshenko and Woinowsky-Krieger: Theory of Plates and Shells, 2nd ed.: tables 8 and 35 and eq. 62, from memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.sparse import diags

from platemaker.fields._seal._contact import factors
from platemaker.fields._seal._joint import MeshedJoint
from platemaker.fields._seal._solids import solids_of
from tests.seal_models import case_of, circle, plate, rectangle, ring

pytestmark = [pytest.mark.slow]
pytest.importorskip("ngsolve")


def test_patch_a_linear_displacement_is_without_forces_inside_and_has_the_exact_energy() -> None:
    """Uniform strain is an exact solution: energy = volume x stress x strain / 2 (Hooke's law)."""
    blank = [rectangle(0, 0, 40, 30)]
    hole = {"region": [rectangle(10, 10, 20, 20)], "low": 0.0, "high": 6.0}
    solids = solids_of([plate(blank, 12.0, voids=[hole])], 6.0)
    strain = 1e-3
    moved = np.zeros(3 * solids.count)
    moved[2 * solids.count : 2 * solids.count + len(solids.points)] = strain * solids.points[:, 2]
    volume = 40 * 30 * 12 - 10 * 10 * 6
    assert solids.volume[0] == pytest.approx(volume)
    E, nu = 200_000.0, 0.3
    confined = E * (1 - nu) / ((1 + nu) * (1 - 2 * nu))
    assert moved @ (solids.stiffness @ moved) == pytest.approx(volume * confined * strain**2, rel=1e-9)
    inside = np.setdiff1d(np.arange(len(solids.points)), solids.triangles.ravel())
    forces = (solids.stiffness @ moved).reshape(3, -1)
    assert abs(forces[2][inside]).max(initial=0.0) < 1e-8 * abs(forces[2]).max()


def test_patch_a_uniform_pull_presses_a_sheet_evenly_and_shortens_the_plate_by_hookes_law() -> None:
    """A plate with a window under an even traction: pressure is force over area, and the sheet has no part in its strain."""
    window = [rectangle(-10.0, -5.0, 10.0, 5.0)]
    bodies = [plate([rectangle(-30, -20, 30, 20)], 10.0, voids=[{"region": window, "low": 0.0, "high": 10.0}])]
    land = [[rectangle(-30, -20, 30, 20), *window]]
    model = MeshedJoint(case_of(bodies, land, 1e3, [ring("bolt", (20.0, 0.0), 10.0, 0.5, 5.0)]), 4.0, 1.0)
    solids, mean = model.solids, 1e4 / (60 * 40 - 20 * 10)
    forces, _, area = solids.spread(solids.flat(0, 10.0))
    assert area.sum() == pytest.approx(60 * 40 - 20 * 10)
    state = model.contact.settled(-1e4 * forces / area.sum(), np.array([0.0]))
    assert state.pressure == pytest.approx(mean, rel=0.01)  # cells sample what the face takes evenly
    assert state.stretch[0] == pytest.approx(-mean * (10.0 / 200_000.0 + 1 / 1e3), rel=0.002)


def beam(length: float, k: float) -> tuple[MeshedJoint, float]:
    """A beam 10 mm high and wide, pressed in its middle; its lambda, a mm. Poisson's ratio 0: no plate, a beam."""
    blank = [rectangle(-length / 2, -5, length / 2, 5)]
    case = case_of([plate(blank, 10.0, nu=0.0)], [blank], k, [ring("middle", (0.0, 0.0), 10.0, 0.5, 3.0)])
    lam = (k * 10 / (4 * 200_000.0 * 10 * 10**3 / 12)) ** 0.25
    return MeshedJoint(case, 5.0, 2.5), lam


def test_a_long_beam_on_a_sheet_that_cannot_pull_touches_over_pi_by_lambda() -> None:
    model, lam = beam(1400.0, 1.0)
    force = 100.0
    state = model.contact.settled(np.zeros(3 * model.solids.count), np.array([force]))
    touching = model.film.points[state.pressure > 0]
    assert np.ptp(touching[:, 0]) == pytest.approx(math.pi / lam, rel=0.02)
    deepest = force * lam / (2 * 1.0 * 10) / math.tanh(math.pi / 2)
    assert state.closure.max() == pytest.approx(deepest, rel=0.02)
    # The ends rise straight, by the slope at the end of what touches.
    assert float(model.film.area @ state.pressure) == pytest.approx(force, rel=1e-3)


def test_a_short_beam_stays_down_and_bends_as_hetenyi_has_it() -> None:
    """lambda l = 2: all of it is pressed, so that a sheet that cannot pull makes no difference."""
    length = 400.0
    k = 4 * (2 / length) ** 4 * 200_000.0 * 10**4 / 12 / 10
    model, lam = beam(length, k)
    assert lam * length == pytest.approx(2.0)
    force = 1000.0
    state = model.contact.settled(np.zeros(3 * model.solids.count), np.array([force]))
    whole = lam * length
    below = math.sinh(whole) + math.sin(whole)
    middle = force * lam / (2 * k * 10) * (2 + math.cosh(whole) + math.cos(whole)) / below
    end = 2 * force * lam / (k * 10) * math.cosh(whole / 2) * math.cos(whole / 2) / below
    x = model.film.points[:, 0]
    assert state.pressure.min() > 0
    assert state.closure[abs(x) < 3].mean() == pytest.approx(middle, rel=0.01)
    assert state.closure[abs(x) > 197].mean() == pytest.approx(end, rel=0.01)


@pytest.mark.parametrize("share", [0.1, 0.3])
def test_a_hard_block_opens_beyond_the_kern(share: float) -> None:
    """Pressed by a bolt in its middle, and turned by a moment on its far face: together a force beside the middle.

    The sheet is hard, 1000 MPa a mm, so that the block turns little: springs hold bodies softly in the joint's plane.
    """
    long, wide, force = 60.0, 20.0, 6000.0
    blank = [rectangle(-long / 2, -wide / 2, long / 2, wide / 2)]
    hard = plate(blank, 30.0, E=2e8, nu=0.0)
    model = MeshedJoint(case_of([hard], [blank], 1e3, [ring("middle", (0.0, 0.0), 30.0, 0.5, 5.0)]), 6.0, 1.0)
    turned = model.pushing @ np.array([0.0, 0.0, share * long * force])
    state = model.contact.settled(turned, np.array([force]))
    away = long / 2 - share * long
    inside = share <= 1 / 6
    touched = long if inside else 3 * away
    edge = force / (long * wide) * (1 + 6 * share) if inside else 2 * force / (3 * wide * away)
    x = model.film.points[:, 0]
    assert np.ptp(x[state.pressure > 0]) + 1.0 == pytest.approx(touched, abs=1.0)  # cells of 1 mm
    assert state.pressure.max() == pytest.approx(edge * (1 - 0.5 / touched), rel=0.02)  # half a cell inside the edge
    assert x[state.pressure.argmax()] < 0  # where it is not lifted


@pytest.mark.parametrize("couple", [False, True])
def test_a_long_beam_is_lifted_at_its_end_by_a_force_or_a_couple(couple: bool) -> None:
    """Its own load is w = 1 N/mm; a force w a/2, or a couple w a^2/2, lifts a length a of it off a rigid foundation.

    There moment is 0 where it lies on, so that the lifted length bends as w (a s^3/6 - s^4/24) / EI under the couple and
    w (a s^3/12 - s^4/24) / EI under the force (statics). On a sheet that cannot pull, a beam long enough lies on 1/lambda
    more: with shear V down and moment M at its end, the end of a half-infinite beam sinks by 2 lambda (V - lambda M) / k b
    (Hetenyi, sec. 11, from memory) and by w / k b of its own load, together nothing; M and V of the lifted length a' put
    in, (lambda a' + 1)^2 = (lambda a)^2 is left of both loads.
    """
    length, a, k, w = 600.0, 200.0, 1e3, 1.0
    model, lam = beam(length, k)
    solids, film, bending = model.solids, model.film, 200_000.0 * 10 * 10**3 / 12
    forces, _, area = solids.spread(solids.flat(0, 10.0))
    y = np.array([-3.75, -1.25, 1.25, 3.75])

    def pull(x: float) -> np.ndarray:
        return np.asarray(solids.rows_at(0, 10.0, np.column_stack([np.full(4, x), y])).mean(axis=0)).ravel()

    end, arm = length / 2 - 0.01, 10.0
    lifting = w * a**2 / 2 / arm * (pull(end) - pull(end - arm)) if couple else w * a / 2 * pull(end)
    state = model.contact.settled(lifting - w * length * forces / area.sum(), np.array([0.0]))
    x, lifted = film.points[:, 0], length / 2 - a
    assert x[state.pressure > 0].max() == pytest.approx(lifted + 1 / lam, abs=2.5)  # a cell of the film
    last = x > length / 2 - 2.5
    s = x[last][0] - lifted
    risen = w / bending * (a * s**3 / (6 if couple else 12) - s**4 / 24)
    assert -state.closure[last].mean() == pytest.approx(
        risen, rel=0.01
    )  # shear, which the beam's theory leaves out: 0.4 %
    assert float(film.area @ state.pressure) == pytest.approx(w * length - (0 if couple else w * a / 2), rel=1e-4)


def bending(blank: list[list[list[float]]], t: float, size: float, *, clamped: bool) -> float:
    """Deflection in the middle of a plate held at its side, under 1 MPa on its upper face; less that of its edge."""
    solids = solids_of([plate(blank, t)], size)
    area = np.linalg.norm(solids.normals, axis=1)
    sides = np.flatnonzero(abs(solids.normals[:, 2]) < 0.5 * area)
    fixed = np.zeros((3, solids.count))
    for way in range(3):
        # An edge that does not move up does not turn along itself: it is held along itself, and free across.
        along = abs(solids.normals[sides, way]) < 0.5 * area[sides]
        own = sides if clamped else sides[along]
        fixed[way, np.unique(np.concatenate([solids.triangles[own].ravel(), solids.rims[own].ravel()]))] = 1e12
    stiff = solids.stiffness + diags(fixed.ravel())
    forces, _, _ = solids.spread(solids.flat(0, t))
    moved = factors(stiff.tocsr())(forces)
    middle = solids.rows_at(0, 0.0, np.array([[0.0, 0.0]]))
    return float((middle @ moved)[0])


def rigidity(t: float) -> float:
    return 200_000.0 * t**3 / 12 / (1 - 0.3**2)


def test_plates_bend_by_the_handbook() -> None:
    """Within 1 %, shear aside: a fortieth as thick as wide. No round one is simply supported: chords would stiffen it."""
    a, t = 240.0, 6.0
    square = [rectangle(-a / 2, -a / 2, a / 2, a / 2)]
    assert bending(square, t, 8.0, clamped=False) == pytest.approx(0.00406 * a**4 / rigidity(t), rel=0.01)
    assert bending(square, t, 6.0, clamped=True) == pytest.approx(0.00126 * a**4 / rigidity(t), rel=0.01)
    r = 120.0
    round_ = [circle(0.0, 0.0, r)]
    assert bending(round_, t, 6.0, clamped=True) == pytest.approx(r**4 / 64 / rigidity(t), rel=0.01)
