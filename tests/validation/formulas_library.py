"""Numbers that general-purpose libraries give, by another way than the formulas take: for rows of formulas_cases.py.

Differential equations are solved numerically (scipy), figures are drawn and measured (shapely, trimesh), and what the
library fluids has of its own (standard atmosphere, relief valves after API 520, isentropic compression) is asked for.
None of the formulas checked with fluids calls it. Each number is rounded to what the method resolves.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial

import numpy as np
import scipy.constants
import trimesh
from fluids import ATMOSPHERE_1976, isentropic_T_rise_compression, isentropic_work_compression
from fluids.core import dP_from_K
from fluids.flow_meter import flow_meter_discharge
from fluids.safety_valve import API520_A_g
from scipy.integrate import solve_bvp
from scipy.linalg import eigh_tridiagonal
from scipy.optimize import brentq, minimize
from shapely import LineString, Polygon

POUND_FOOT = scipy.constants.lbf * scipy.constants.foot
"""One pound-force foot in N.m, from the library's lbf and ft."""


def digits(value: float, count: int) -> float:
    """Rounded to so many significant digits."""
    return float(f"{value:.{count}g}")


def beam(EI: float, k: float, shear: float, length: float) -> tuple[float, float]:
    """Deflection at both ends of a beam on springs, EI y'''' + k y = 0: no slope at either end, shear at the first."""

    def law(_: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack((y[1], y[2], y[3], -k / EI * y[0]))

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[1], a[3] - shear / EI, b[1], b[3]])

    x = np.linspace(0, length, 200)
    found = solve_bvp(law, ends, x, np.zeros((4, x.size)), tol=1e-9, max_nodes=20_000)
    if not found.success:
        raise RuntimeError(found.message)
    return float(found.y[0, 0]), float(found.y[0, -1])


def characteristic_of_long_beam(EI: float, k: float, F: float) -> float:
    """λ of y = F λ/(2 k) under a force on a beam without end: the beam ends where it is at rest again."""
    deflection, far = beam(EI, k, F / 2, 16 * (EI / k) ** 0.25)
    if abs(far) > 1e-4 * deflection:
        raise RuntimeError
    return digits(2 * k * deflection / F, 5)


def loads_of_bolt_row(EI: float, k: float, F: float, s: float) -> tuple[float, float]:
    """k y under a bolt and between bolts, N/mm: half a span, symmetrical at both ends, carries half of a bolt's force."""
    at, between = beam(EI, k, F / 2, s / 2)
    return digits(k * at, 5), digits(k * between, 5)


def ring(
    inner: float, outer: float, inside: float, outside: float
) -> tuple[Callable[[float], float], Callable[[float], float]]:
    """Radial and hoop stress by radius in a ring under pressures: u'' + u'/r − u/r² = 0, E = 1, ν = 0.3."""
    nu = 0.3

    def radial(r: float, u: float, du: float) -> float:
        return (du + nu * u / r) / (1 - nu**2)

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([radial(inner, *a) + inside, radial(outer, *b) + outside])

    x = np.linspace(inner, outer, 100)
    found = solve_bvp(lambda r, y: np.vstack((y[1], y[0] / r**2 - y[1] / r)), ends, x, np.zeros((2, x.size)), tol=1e-9)
    return (
        lambda r: float(radial(r, *found.sol(r))),
        lambda r: float((found.sol(r)[0] / r + nu * found.sol(r)[1]) / (1 - nu**2)),
    )


def hoop_of_pressed_part(p: float, d: float, d_i: float) -> float:
    """Hoop stress at the bore of a ring that is pressed from outside."""
    return digits(ring(d_i / 2, d / 2, 0, p)[1](d_i / 2), 5)


def hoop_at_bore(p: float, d: float, D: float) -> float:
    """Hoop stress at the bore of a ring under pressure inside."""
    return digits(ring(d / 2, D / 2, p, 0)[1](d / 2), 5)


def equivalent_at_bore(p: float, d: float, D: float) -> float:
    """Distortion-energy stress at the bore of a cylinder whose closed ends pull on its ring."""
    radial, hoop = (stress(d / 2) for stress in ring(d / 2, D / 2, p, 0))
    end = p * Polygon(circle(d)).area / (Polygon(circle(D)).area - Polygon(circle(d)).area)
    return digits(equivalent(np.diag([radial, hoop, end])), 4)


def ring_area(outside: float, inside: float) -> float:
    """Area between two circles, mm2."""
    return digits(Polygon(circle(outside)).difference(Polygon(circle(inside))).area, 6)


def equivalent(tensor: np.ndarray) -> float:
    """Distortion-energy stress of a stress tensor, from the length of its deviator."""
    deviator = tensor - np.trace(tensor) / 3 * np.eye(3)
    return math.sqrt(1.5) * float(np.linalg.norm(deviator))


def equivalent_in_plane(one: float, other: float) -> float:
    """Distortion-energy stress of two principal stresses and none across them."""
    return digits(equivalent(np.diag([one, other, 0.0])), 5)


def shear_at_yield(S_y: float) -> float:
    """Pure shear whose equivalent stress is the yield strength."""
    shear = np.array([[0, 1, 0], [1, 0, 0], [0, 0, 0]])
    return digits(brentq(lambda tau: equivalent(tau * shear) - S_y, 0, S_y), 6)


def circle(d: float, n: int = 4000) -> list[tuple[float, float]]:
    """A circle as a polygon."""
    return [(d / 2 * math.cos(2 * math.pi * i / n), d / 2 * math.sin(2 * math.pi * i / n)) for i in range(n)]


def turned(section: Sequence[tuple[float, float]]) -> float:
    """Volume of a section (radius, height) turned round the axis."""
    solid = trimesh.creation.revolve(np.array([*section, section[0]]), sections=1000)
    return digits(abs(float(solid.volume)), 4)


def rounded_mouth(R: float, r: float) -> float:
    """What a rounding of radius r takes out of the edge of a hole of radius R."""
    arc = [(R + r - r * math.cos(t), -r + r * math.sin(t)) for t in np.linspace(0, math.pi / 2, 200)]
    return turned([*arc, (R, 0.0)])


def chamfered_mouth(R: float, c: float, h: float) -> float:
    """What a chamfer, c wide and h deep, takes out of the edge of a hole of radius R."""
    return turned([(R, -h), (R + c, 0.0), (R, 0.0)])


def torus_section(W: float, d: float, stretch: float) -> float:
    """Section of a ring of middle diameter d that keeps its volume when it is stretched."""

    def volume(diameter: float, section: float) -> float:
        return float(trimesh.creation.torus(diameter / 2, section / 2, major_sections=48, minor_sections=48).volume)

    return digits(brentq(lambda w: volume(d * (1 + stretch), w) - volume(d, W), 0.5 * W, W), 5)


def angle_between(one: Sequence[float], other: Sequence[float]) -> float:
    """Angle between two directions, degrees."""
    return digits(math.degrees(float(trimesh.transformations.angle_between_vectors(one, other))), 5)


def sheared_thread(L_e: float, P: float, pitch_diameter: float, at: float, outwards: int) -> float:
    """Area that is sheared: a tooth of 60°, half a pitch wide at the pitch line, is drawn and cut at a diameter.

    `outwards` is 1 for the tooth of a screw, which narrows outwards, and -1 for that of a nut.
    """
    slope, reach = math.tan(math.radians(30)), 0.4 * P
    pitch = pitch_diameter / 2
    flanks = [(pitch - outwards * reach, P / 4 + reach * slope), (pitch + outwards * reach, P / 4 - reach * slope)]
    tooth = Polygon([*flanks, *((r, -half) for r, half in reversed(flanks))])
    width = tooth.intersection(LineString([(at / 2, -P), (at / 2, P)])).length
    return digits(math.pi * at * width * L_e / P, 5)


def rigid_plate(points: Sequence[tuple[float, float]], N: float, M_y: float) -> tuple[float, ...]:
    """Bolt forces of a rigid plate on equal bolts: of all that balance N and M_y, those with the least energy."""
    xy = np.array(points)
    balance = [
        {"type": "eq", "fun": lambda F: F.sum() - N},
        {"type": "eq", "fun": lambda F: (F @ xy[:, 0]) - M_y},
        {"type": "eq", "fun": lambda F: F @ xy[:, 1]},
    ]
    found = minimize(lambda F: float(F @ F), np.full(len(xy), N / len(xy)), method="SLSQP", constraints=balance)
    return tuple(digits(float(force), 6) for force in found.x)


def choking_flow(A: float, p_0: float, T_0: float) -> float:
    """Flow of air, kg/s, that a relief valve of area A without losses passes after API 520."""
    area = API520_A_g(m=1.0, T=T_0, Z=1.0, MW=28.965, k=1.4, P1=p_0, P2=0.3 * p_0, Kd=1.0)
    return digits(A / area, 4)


def density_at_sea_level() -> float:
    """Air at sea level in the standard atmosphere of 1976, kg/m3."""
    return digits(ATMOSPHERE_1976(0).rho, 4)


def viscosity_of_air(T: float) -> float:
    """Dynamic viscosity of air in the standard atmosphere of 1976, Pa.s."""
    return digits(ATMOSPHERE_1976.viscosity(T), 5)


def temperature_behind(T_1: float, ratio: float, eta: float) -> float:
    """Temperature behind a compressor, K."""
    return digits(isentropic_T_rise_compression(T_1, 1e5, ratio * 1e5, 1.4, eta), 6)


def loss_of_pressure(K: float, rho: float, V: float) -> float:
    """Pressure loss of a coefficient, Pa."""
    return digits(dP_from_K(K, rho=rho, V=V), 6)


def supported_round_plate(r: float, t: float, q: float, E: float) -> tuple[float, float]:
    """Stress and deflection at the middle of a round plate on its edge, ν = 0.3: slope s'' + s'/x − s/x² = −q x/(2 D)."""
    nu, near = 0.3, 1e-4 * r
    D = E * t**3 / (12 * (1 - nu**2))

    def law(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack((y[1], y[0] / x**2 - y[1] / x - q * x / (2 * D), -y[0]))

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[0] - near * a[1], b[1] + nu * b[0] / r, b[2]])  # no slope, no moment, no deflection

    x = np.linspace(near, r, 400)
    found = solve_bvp(law, ends, x, np.zeros((3, x.size)), tol=1e-8, max_nodes=20_000)
    slope, curvature, deflection = found.y[:, 0]
    moment = D * (curvature + nu * slope / near)
    return digits(abs(6 * moment / t**2), 4), digits(abs(deflection), 4)


def tilting_plate(c: Sequence[float], M: float) -> tuple[float, ...]:
    """Bolt forces of a rigid plate that tilts about an edge: of all that balance M, those with the least energy."""
    at = np.array(c, dtype=float)
    balance = [{"type": "eq", "fun": lambda F: (F @ at - M) / M}]
    found = minimize(lambda F: float(F @ F) / 1e6, np.full(at.size, M / at.sum()), method="SLSQP", constraints=balance)
    return tuple(digits(float(force), 4) for force in found.x)


def cantilever_deflection(EI: float, F: float, length: float) -> float:
    """Deflection of a straight cantilever under a force at its tip."""

    def law(_: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack((y[1], y[2], y[3], np.zeros_like(y[0])))

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[0], a[1], b[2], b[3] + F / EI])

    x = np.linspace(0, length, 50)
    return digits(float(solve_bvp(law, ends, x, np.zeros((4, x.size))).y[0, -1]), 5)


def strip_stress(M: float, b: float, t: float) -> float:
    """Stress at the surface of a bent strip, its second moment from the inertia of a slice of it."""
    inertia = trimesh.creation.box((b, t, 1.0)).moment_inertia
    second = (inertia[0, 0] + inertia[2, 2] - inertia[1, 1]) / 2
    return digits(M * t / 2 / float(second), 6)


def boost_of(B: float, eta: float) -> float:
    """Pressure ratio at which engine and blower move the same air, B apart in displacement and heated as fluids says."""
    balance = partial(_surplus, B=B, eta=eta)
    return digits(brentq(balance, 1.0001, 10), 6)


def _surplus(ratio: float, B: float, eta: float) -> float:
    return ratio - B * isentropic_T_rise_compression(300, 1e5, ratio * 1e5, 1.4, eta) / 300


def pressure_of_jet(m: float, d: float, rho: float, C: float) -> float:
    """Pressure, Pa, that drives m, kg/s, through a hole in a line 500 times as wide, as fluids meters it."""

    def flow(dP: float) -> float:
        return float(flow_meter_discharge(D=500 * d, Do=d, P1=dP, P2=0.0, rho=rho, C=C, expansibility=1.0)) - m

    return digits(brentq(flow, 1.0, 1e9), 5)


def laminar_pipe_loss(Q: float, D: float, L: float, nu: float, rho: float) -> float:
    """Pressure lost in a round bore, MPa: the flow of 1 Pa/m is integrated from (r u')' = −r/μ, and scales."""
    R, mu = D / 2000, nu * 1e-6 * rho

    def law(r: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack((-y[1] / (mu * r), r, 2 * math.pi * r * y[0]))  # u, −μ r u', flow inside r

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([b[0], a[1], a[2]])

    r = np.linspace(1e-5 * R, R, 200)
    found = solve_bvp(law, ends, r, np.zeros((3, r.size)), tol=1e-9, max_nodes=20_000)
    return digits(Q / 60000 / float(found.y[2, -1]) * L / 1000 / 1e6, 4)


def string_frequency(T: float, m: float, L: float) -> float:
    """First natural frequency, Hz, of a chain of 2000 masses on a taut string of T, N, and m, kg/m, L metres long."""
    count = 2000
    step = L / count
    stiff = T / (m * step**2)
    found = eigh_tridiagonal(np.full(count - 1, 2 * stiff), np.full(count - 2, -stiff), select="i", select_range=(0, 0))
    return digits(math.sqrt(found[0][0]) / math.tau, 5)


def heated(T_1: float, ratio: float, eta: float) -> float:
    """Temperature behind a compressor, K."""
    return float(isentropic_T_rise_compression(T_1, 1.0, ratio, 1.4, eta=eta))


def compression_work(m: float, T_1: float, ratio: float, eta: float) -> float:
    """Power, kW, of compressing m kg/s of air: the library's work of a mole over the molar mass, 28.9652 g."""
    return digits(float(isentropic_work_compression(T_1, 1.4, 1.0, 1.0, ratio, eta=eta)) / 0.0289652 * m / 1000, 5)


def torsion(T: float, b: float, t: float) -> tuple[float, float]:
    """Greatest shear stress, and twist times shear modulus a length, of a rectangle b by t: Saint-Venant's series."""
    odd = np.arange(1, 400, 2.0)
    lean = odd * math.pi * b / (2 * t)
    k = b * t**3 / 3 * (1 - 192 * t / (math.pi**5 * b) * np.sum(np.tanh(lean) / odd**5.0))
    stress = T * t / k * (1 - 8 / math.pi**2 * np.sum(1 / (odd**2 * np.cosh(np.minimum(lean, 300.0)))))
    return digits(float(stress), 6), digits(float(T / k), 6)
