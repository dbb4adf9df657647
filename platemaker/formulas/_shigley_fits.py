"""Thick cylinders and press fits. Shigley 9th ed., sections 3-14 and 3-16, with diameters in place of radii."""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, any_number, at_least, between, formula, refuse
from platemaker.formulas._sources import COMMON_PRACTICE, SHIGLEY_9, STRENGTH_TEXT


@formula(
    SHIGLEY_9,
    "eq. 3-49 at the bore, sec. 3-16",
    law="σ_t = p (D² + d²)/(D² − d²)",
    gives="MPa",
    p=at_least(0, "MPa"),
    d=above(0, "mm"),
    D=above(0, "mm"),
)
def bore_hoop_stress(p: float, d: float, D: float) -> float:
    """Largest hoop stress in a cylinder under pressure inside: at its bore.

    Source: Shigley 9th ed., eq. 3-49 at the bore, sec. 3-16.
    p: pressure in the bore.
    d: bore.
    D: outside diameter.
    Raises OutOfRange unless D > d.
    >>> round(bore_hoop_stress(51.2, 50.0, 80.0), 1)
    116.8
    """
    if d >= D:
        raise refuse(bore_hoop_stress, "D", D, f"> d = {d:g} mm")
    return p * (D**2 + d**2) / (D**2 - d**2)


@formula(
    STRENGTH_TEXT,
    "closed ends, at the bore",
    law="σ_v = √3 p D²/(D² − d²)",
    gives="MPa",
    p=at_least(0, "MPa"),
    d=above(0, "mm"),
    D=above(0, "mm"),
)
def closed_cylinder_stress(p: float, d: float, D: float) -> float:
    """Equivalent stress (distortion energy) at the bore of a closed cylinder under pressure inside.

    Source: thick cylinders after Lame, closed ends, at the bore.
    p: pressure in the bore.
    d: bore.
    D: outside diameter.
    Raises OutOfRange unless D > d.
    >>> round(closed_cylinder_stress(0.4, 10.0, 20.0), 4)
    0.9238
    """
    if d >= D:
        raise refuse(closed_cylinder_stress, "D", D, f"> d = {d:g} mm")
    return math.sqrt(3) * p * D**2 / (D**2 - d**2)


@formula(
    SHIGLEY_9,
    "eq. 3-56",
    gives="MPa",
    law="p = δ/(d ((1/E_o)((D² + d²)/(D² − d²) + ν_o) + (1/E_i)((d² + d_i²)/(d² − d_i²) − ν_i)))",
    delta=at_least(0, "mm"),
    d=above(0, "mm"),
    D=above(0, "mm"),
    d_i=at_least(0, "mm"),
    E_o=above(0, "MPa"),
    nu_o=between(0, 0.5, "-"),
    E_i=above(0, "MPa"),
    nu_i=between(0, 0.5, "-"),
)
def press_fit_pressure(
    delta: float, d: float, D: float, d_i: float, E_o: float, nu_o: float, E_i: float, nu_i: float
) -> float:
    """Pressure between a pressed-in part and its hub.

    Source: Shigley 9th ed., eq. 3-56.
    delta: interference on the diameter.
    d: diameter of the joint.
    D: outside diameter of the hub.
    d_i: bore of the inner part, 0 when solid.
    E_o: modulus of the hub.
    nu_o: Poisson's ratio of the hub.
    E_i: modulus of the inner part.
    nu_i: Poisson's ratio of the inner part.
    Raises OutOfRange unless d_i < d < D.
    >>> round(press_fit_pressure(0.04, 50.0, 80.0, 0.0, 210e3, 0.3, 210e3, 0.3), 1)
    51.2
    """
    if d >= D:
        raise refuse(press_fit_pressure, "D", D, f"> d = {d:g} mm")
    if d_i >= d:
        raise refuse(press_fit_pressure, "d_i", d_i, f"< d = {d:g} mm")
    hub = ((D**2 + d**2) / (D**2 - d**2) + nu_o) / E_o
    inner = ((d**2 + d_i**2) / (d**2 - d_i**2) - nu_i) / E_i
    return delta / (d * (hub + inner))


@formula(
    SHIGLEY_9,
    "eq. 3-49 at the bore, sec. 3-16",
    law="σ = −2 p d²/(d² − d_i²)",
    gives="MPa",
    p=at_least(0, "MPa"),
    d=above(0, "mm"),
    d_i=above(0, "mm"),
)
def inner_part_stress(p: float, d: float, d_i: float) -> float:
    """Largest hoop stress in a hollow inner part: at its bore; negative, for it is squeezed.

    Source: Shigley 9th ed., eq. 3-49 at the bore, sec. 3-16.
    p: pressure of the fit.
    d: diameter of the joint.
    d_i: bore of the inner part.
    Raises OutOfRange unless d_i < d.
    >>> inner_part_stress(30.0, 50.0, 30.0)
    -93.75
    """
    if d_i >= d:
        raise refuse(inner_part_stress, "d_i", d_i, f"< d = {d:g} mm")
    return -2 * p * d**2 / (d**2 - d_i**2)


@formula(
    SHIGLEY_9,
    "eq. 5-13",
    law="σ' = √(σ_A² − σ_A σ_B + σ_B²)",
    gives="MPa",
    sigma_A=any_number("MPa"),
    sigma_B=any_number("MPa"),
)
def plane_equivalent_stress(sigma_A: float, sigma_B: float) -> float:
    """Equivalent stress (distortion energy) of two principal stresses, the third being 0.

    Source: Shigley 9th ed., eq. 5-13.
    sigma_A: a principal stress.
    sigma_B: the other one.
    Raises OutOfRange for what is no number.
    >>> plane_equivalent_stress(30.0, -50.0)
    70.0
    """
    return math.sqrt(sigma_A**2 - sigma_A * sigma_B + sigma_B**2)


@formula(
    SHIGLEY_9,
    "sec. 7-8",
    law="F = μ p π d l",
    gives="N",
    mu=between(0, 1, "-"),
    p=at_least(0, "MPa"),
    d=above(0, "mm"),
    l_f=above(0, "mm"),
)
def hold_out_force(mu: float, p: float, d: float, l_f: float) -> float:
    """Axial force that a press fit holds.

    Source: Shigley 9th ed., sec. 7-8.
    mu: friction.
    p: pressure of the fit.
    d: diameter of the joint.
    l_f: length of the joint.
    >>> round(hold_out_force(0.12, 51.19, 50.0, 40.0), -2)
    38600.0
    """
    return mu * p * math.pi * d * l_f


@formula(
    COMMON_PRACTICE,
    "free expansion",
    law="ΔT = (δ + c)/(α d)",
    gives="K",
    delta=at_least(0, "mm"),
    clearance=at_least(0, "mm"),
    alpha=above(0, "1/K"),
    d=above(0, "mm"),
)
def assembly_temperature_rise(delta: float, clearance: float, alpha: float, d: float) -> float:
    """How much hotter than the inner part a hub must be to slip on.

    Source: common practice, no source, free expansion.
    delta: greatest interference on the diameter.
    clearance: clearance wanted while assembling.
    alpha: thermal expansion of the hub.
    d: diameter of the joint.
    >>> round(assembly_temperature_rise(0.042, 0.018, 24e-6, 25.0), 6)
    100.0
    """
    return (delta + clearance) / (alpha * d)


@formula(
    COMMON_PRACTICE,
    "free expansion",
    law="δ_T = δ + (α_i − α_o) ΔT d",
    gives="mm",
    delta=any_number("mm"),
    alpha_i=at_least(0, "1/K"),
    alpha_o=at_least(0, "1/K"),
    rise=any_number("K"),
    d=above(0, "mm"),
)
def interference_when_hot(delta: float, alpha_i: float, alpha_o: float, rise: float, d: float) -> float:
    """Interference left when hub and inner part are both warmer by `rise`; negative when the fit is loose.

    Source: common practice, no source, free expansion.
    delta: interference on the diameter when cold.
    alpha_i: thermal expansion of the inner part.
    alpha_o: thermal expansion of the hub.
    rise: warming of both.
    d: diameter of the joint.
    >>> round(interference_when_hot(0.030, 12e-6, 24e-6, 100.0, 20.0), 6)  # steel in aluminium loses 0.024
    0.006
    """
    return delta + (alpha_i - alpha_o) * rise * d
