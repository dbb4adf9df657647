"""Laws that must hold for all arguments: equilibrium, symmetry, limits, one formula against another."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platemaker import formulas as f

sizes = st.floats(1.0, 100.0)
forces = st.floats(-1e5, 1e5)
points = st.lists(st.tuples(st.floats(-300, 300), st.floats(-300, 300)), min_size=3, max_size=20, unique=True)


@given(points, forces, forces, st.floats(-1e7, 1e7))
def test_shear_shares_balance_force_and_moment(pattern, F_x, F_y, M):
    centre = f.pattern_properties(pattern)
    if centre.polar < 1:
        return
    shares = f.pattern_shear(pattern, F_x, F_y, M)
    turned = sum((x - centre.x) * v - (y - centre.y) * u for (x, y), (u, v) in zip(pattern, shares, strict=True))
    scale = 1e-9 * (abs(F_x) + abs(F_y) + abs(M) + 1)
    assert sum(u for u, _ in shares) == pytest.approx(F_x, abs=scale)
    assert sum(v for _, v in shares) == pytest.approx(F_y, abs=scale)
    assert turned == pytest.approx(M, abs=1e3 * scale)  # sums of force times hundreds of mm


@given(points, forces, st.floats(-1e7, 1e7), st.floats(-1e7, 1e7))
def test_tension_shares_balance_pull_and_moments(pattern, N, M_x, M_y):
    centre = f.pattern_properties(pattern)
    if centre.S_xx * centre.S_yy - centre.S_xy**2 < 1e-3 * centre.polar**2:
        return  # bolts nearly in one line: ill-conditioned, and refused when they are exactly so
    shares = f.pattern_tension(pattern, N, M_x, M_y)
    scale = 1e-7 * (abs(N) * 300 + abs(M_x) + abs(M_y) + 1)
    assert sum(shares) == pytest.approx(N, abs=scale)
    assert sum(T * (x - centre.x) for T, (x, _) in zip(shares, pattern, strict=True)) == pytest.approx(M_y, abs=scale)
    assert sum(T * (y - centre.y) for T, (_, y) in zip(shares, pattern, strict=True)) == pytest.approx(M_x, abs=scale)


@given(st.floats(0, 1), st.floats(0, 1e5), st.floats(0, 1e5))
def test_bolt_and_clamp_differ_by_the_load(C, P, F_i):
    assert f.bolt_load(C, P, F_i) - f.clamp_left(C, P, F_i) == pytest.approx(P, abs=1e-6)


@given(sizes, st.floats(1.01, 4), sizes, sizes)
def test_a_frustum_cut_in_two_is_as_stiff_as_the_whole(d, ratio, upper, lower):
    D = ratio * d
    whole = f.frustum_stiffness(200e3, d, D, upper + lower)
    below = f.frustum_stiffness(200e3, d, D + 1.155 * upper, lower)  # 1.155 = 2 tan 30° as the book prints it
    assert f.stiffness_in_series([f.frustum_stiffness(200e3, d, D, upper), below]) == pytest.approx(whole, rel=1e-9)


@given(st.floats(0.01, 60), st.floats(0.001, 1))
def test_gasket_load_lies_about_its_mean(w, lam):
    """The mean line load is F/s; under the bolt it is more, between bolts less (lifting, from w = 3π/2, included)."""
    s = w / lam
    mean = 1000 / s
    assert f.gasket_load_at_bolt(1000, s, lam) >= mean * (1 - 1e-9)
    assert f.gasket_load_between_bolts(1000, s, lam) <= mean * (1 + 1e-9)


def test_gasket_lifts_between_far_bolts():
    assert f.gasket_load_between_bolts(1000, 5 / 0.02, 0.02) < 0  # λs = 5 > 3π/2


@given(sizes, st.floats(1.0, 3.0), st.floats(0.0, 0.5))
def test_the_sides_of_a_plate_may_be_swapped(b, ratio, nu):
    a, t, q, E = b * ratio, b / 20, 1e-3, 70e3
    free = f.rectangular_plate_supported(a, b, t, q, E, nu)
    swapped = f.rectangular_plate_supported(b, a, t, q, E, nu)
    assert swapped.deflection == pytest.approx(free.deflection, rel=1e-12)


@given(st.floats(0.02, 0.98))
def test_mach_number_comes_back_from_its_mass_flow(mach):
    flow = f.choked_mass_flow(0.01, 2e5, 350) / f.area_ratio(mach)
    state = f.duct_state(flow, 0.01, 2e5, 350)
    assert state.mach == pytest.approx(mach, rel=1e-6)
    assert state.speed * state.density * 0.01 == pytest.approx(flow, rel=1e-9)  # the mass is all there


@given(st.floats(1e-3, 0.1), sizes, st.floats(1.1, 5), st.floats(0, 0.9))
def test_press_fit_takes_up_the_whole_interference(delta, d, wall, hollow):
    """Hub widens and inner part shrinks by strains of Lamé's stresses; together that is the interference."""
    D, d_i, E_o, E_i, nu = wall * d, hollow * d, 70e3, 210e3, 0.3
    p = f.press_fit_pressure(delta, d, D, d_i, E_o, nu, E_i, nu)
    widened = d / E_o * (f.bore_hoop_stress(p, d, D) + nu * p)
    shrunk = d / E_i * p * ((d**2 + d_i**2) / (d**2 - d_i**2) - nu)
    assert widened + shrunk == pytest.approx(delta, rel=1e-9)


@given(st.lists(st.floats(0, 359.9), max_size=24))
def test_tightening_order_takes_every_bolt_once(angles):
    assert sorted(f.tightening_order(angles)) == list(range(len(angles)))


@given(st.lists(st.tuples(st.floats(-300, 300), st.floats(-300, 300)), max_size=24))
def test_outward_order_takes_every_bolt_once(pattern):
    assert sorted(f.tightening_order_outwards(pattern)) == list(range(len(pattern)))


@given(st.floats(3, 24), st.floats(0.08, 0.2), sizes)
def test_shear_areas_grow_with_engagement_and_fit_inside_the_cylinder(d, slope, L_e):
    P = slope * d
    limits = f.metric_thread_limits(d, P)
    screw = f.external_shear_area(L_e, P, limits.minor_internal_max, limits.pitch_external_min)
    hole = f.internal_shear_area(L_e, P, limits.major_external_min, limits.pitch_internal_max)
    assert 0 < screw < math.pi * d * L_e
    assert 0 < hole < math.pi * d * L_e
    assert hole > screw  # the hole's threads shear at the larger diameter
