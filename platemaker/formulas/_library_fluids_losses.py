"""Loss coefficients of fittings, from the library fluids 1.3, each by a method named after its author.

K refers to the speed in the smaller section unless said otherwise. The library is imported inside the functions: it
costs a tenth of a second that only an airflow check needs.
"""

# ruff: noqa: PLC0415 - see the docstring

from __future__ import annotations

import enum
import math
from collections.abc import Callable

from platemaker.formulas._registry import above, at_least, between, formula, refuse
from platemaker.formulas._sources import LIBRARY_FLUIDS


class LossMethod(enum.Enum):
    """Whose correlation is used. They differ: a sharp contraction by Rennels is a third above Crane's."""

    CRANE = "Crane"
    IDELCHIK = "Idelchik"
    MILLER = "Miller"
    RENNELS = "Rennels"
    SWAMEE = "Swamee"


def _method(function: Callable[..., object], method: LossMethod, allowed: tuple[LossMethod, ...]) -> str:
    """The library's word for a method that it has for this fitting."""
    if method not in allowed:
        names = ", ".join(each.value for each in allowed)
        raise refuse(function, "method", method.value, names)
    return method.value


@formula(
    LIBRARY_FLUIDS,
    "contraction_sharp (Rennels), contraction_conical at 180° (Crane)",
    gives="-",
    law="Crane: K = 0.5 (1 − (D_2/D_1)²); Rennels: K = 0.0696 (1 − β⁵) λ² + (λ − 1)²",
    D_1=above(0, "mm"),
    D_2=above(0, "mm"),
)
def contraction_loss(D_1: float, D_2: float, method: LossMethod = LossMethod.CRANE) -> float:
    """Sudden step down in section. K is on the speed behind it.

    Source: library fluids 1.3, contraction_sharp (Rennels), contraction_conical at 180° (Crane).
    D_1: hydraulic diameter before.
    D_2: hydraulic diameter behind.
    method: Crane or Rennels.
    Raises OutOfRange unless D_2 <= D_1.
    >>> round(contraction_loss(100.0, 50.0), 3)  # 0.5 (1 - 0.25)
    0.375
    """
    if D_2 > D_1:
        raise refuse(contraction_loss, "D_2", D_2, f"<= D_1 = {D_1:g} mm")
    name = _method(contraction_loss, method, (LossMethod.CRANE, LossMethod.RENNELS))
    from fluids import fittings

    if method is LossMethod.CRANE:
        return float(fittings.contraction_conical(D_1, D_2, angle=180.0, method=name))
    return float(fittings.contraction_sharp(D_1, D_2, method=name))


@formula(
    LIBRARY_FLUIDS,
    "diffuser_sharp (Rennels)",
    law="K = (1 − (D_1/D_2)²)², after Borda and Carnot",
    gives="-",
    D_1=above(0, "mm"),
    D_2=above(0, "mm"),
)
def expansion_loss(D_1: float, D_2: float) -> float:
    """Sudden step up in section. K is on the speed before it.

    Source: library fluids 1.3, diffuser_sharp (Rennels).
    D_1: hydraulic diameter before.
    D_2: hydraulic diameter behind.
    Raises OutOfRange unless D_1 <= D_2.
    >>> round(expansion_loss(50.0, 100.0), 4)  # (1 - 0.25)²
    0.5625
    """
    if D_1 > D_2:
        raise refuse(expansion_loss, "D_1", D_1, f"<= D_2 = {D_2:g} mm")
    from fluids import fittings

    return float(fittings.diffuser_sharp(D_1, D_2))


@formula(
    LIBRARY_FLUIDS,
    "entrance_sharp",
    law="K = 0.5 (Crane, Idelchik, Swamee), 0.5093 (Miller), 0.57 (Rennels)",
    gives="-",
)
def sharp_entrance_loss(method: LossMethod = LossMethod.CRANE) -> float:
    """Sharp-edged entrance, flush with the wall of a large space.

    Source: library fluids 1.3, entrance_sharp.
    method: any.
    >>> sharp_entrance_loss()
    0.5
    """
    from fluids import fittings

    return float(fittings.entrance_sharp(method=method.value))


@formula(
    LIBRARY_FLUIDS,
    "entrance_rounded",
    law="K of r/D by the method's table or fit",
    gives="-",
    D=above(0, "mm"),
    r=at_least(0, "mm"),
)
def rounded_entrance_loss(D: float, r: float, method: LossMethod = LossMethod.CRANE) -> float:
    """Rounded entrance out of a large space.

    Source: library fluids 1.3, entrance_rounded.
    D: hydraulic diameter behind the entrance.
    r: entry radius.
    method: any.
    >>> round(rounded_entrance_loss(100.0, 10.0), 2)  # Crane TP-410, A-29: 0.09
    0.09
    """
    from fluids import fittings

    return float(fittings.entrance_rounded(D, r, method=method.value))


@formula(
    LIBRARY_FLUIDS,
    "entrance_beveled",
    law="K of l/D and angle by the method's table or fit",
    gives="-",
    D=above(0, "mm"),
    l_c=at_least(0, "mm"),
    angle=between(0, 90, "deg"),
)
def chamfered_entrance_loss(
    D: float, l_c: float, angle: float = 45.0, method: LossMethod = LossMethod.IDELCHIK
) -> float:
    """Chamfered entrance out of a large space. Take a chamfer below Idelchik's range as a sharp edge.

    Source: library fluids 1.3, entrance_beveled.
    D: hydraulic diameter behind the entrance.
    l_c: length of the chamfer along the flow.
    angle: angle between chamfer and flow.
    method: Idelchik (0.025 <= l_c/D <= 0.6) or Rennels.
    >>> round(chamfered_entrance_loss(100.0, 10.0), 4)
    0.2475
    """
    name = _method(chamfered_entrance_loss, method, (LossMethod.IDELCHIK, LossMethod.RENNELS))
    if method is LossMethod.IDELCHIK and not 0.025 <= l_c / D <= 0.6:
        allowed = f"{0.025 * D:g} to {0.6 * D:g} mm, Idelchik's table at D = {D:g} mm"
        raise refuse(chamfered_entrance_loss, "l_c", l_c, allowed)
    from fluids import fittings

    return float(fittings.entrance_beveled(D, l_c, angle, method=name))


@formula(
    LIBRARY_FLUIDS,
    "bend_miter (Rennels)",
    law="K = 0.42 sin(α/2) + 2.56 sin³(α/2)",
    gives="-",
    angle=between(0, 120, "deg"),
)
def mitre_bend_loss(angle: float) -> float:
    """Sharp-cornered bend; Rennels' fit depends on the angle alone, whatever the size.

    Source: library fluids 1.3, bend_miter (Rennels).
    angle: angle turned.
    >>> round(mitre_bend_loss(90.0), 4)
    1.2021
    """
    from fluids import fittings

    return float(fittings.bend_miter(angle, method=LossMethod.RENNELS.value))


@formula(
    LIBRARY_FLUIDS,
    "bend_rounded (Rennels)",
    law="K = f α r/D + (0.10 + 2.4 f) sin(α/2) + 6.6 f (sqrt(sin(α/2)) + sin(α/2))/(r/D)^(4α/π)",
    gives="-",
    D=above(0, "mm"),
    r=above(0, "mm"),
    angle=between(0, 180, "deg"),
    f=between(0.005, 0.1, "-"),
)
def rounded_bend_loss(D: float, r: float, angle: float, f: float = 0.02) -> float:
    """Bend of a round section, the friction along its walls included.

    Source: library fluids 1.3, bend_rounded (Rennels).
    D: hydraulic diameter.
    r: radius of the bend's middle line.
    angle: angle turned.
    f: Darcy friction factor, here of a nearly smooth duct of some 5 to 10 cm.
    Raises OutOfRange unless r >= D/2, where the inner wall turns sharp.
    >>> round(rounded_bend_loss(50.0, 75.0, 90.0), 3)
    0.243
    """
    if r < D / 2:
        raise refuse(rounded_bend_loss, "r", r, f">= D/2 = {D / 2:g} mm")
    from fluids import fittings

    return float(fittings.bend_rounded(D, angle, fd=f, rc=r, method=LossMethod.RENNELS.value))


@formula(
    LIBRARY_FLUIDS,
    "friction_factor, Darcy and Weisbach",
    law="Δp = f (L/D) ρ V²/2, f = 64/Re where laminar",
    gives="MPa",
    Q=at_least(0, "L/min"),
    D=above(0, "mm"),
    L=at_least(0, "mm"),
    nu=above(0, "mm2/s"),
    rho=above(0, "kg/m3"),
)
def line_pressure_loss(Q: float, D: float, L: float, nu: float, rho: float) -> float:
    """Pressure lost along a smooth round line; laminar it is Hagen and Poiseuille's 128 μ L Q/(π D⁴).

    Source: library fluids 1.3, friction_factor, Darcy and Weisbach.
    Q: flow.
    D: bore.
    L: length.
    nu: kinematic viscosity.
    rho: density.
    >>> round(line_pressure_loss(1.0, 4.0, 1000.0, 10.0, 850.0), 5)
    0.02255
    """
    if Q == 0:
        return 0.0
    from fluids.friction import friction_factor

    speed = Q / 60000 / (math.pi / 4 * (D / 1000) ** 2)
    f = float(friction_factor(Re=speed * (D / 1000) / (nu * 1e-6), eD=0.0))
    return f * L / D * rho * speed**2 / 2 / 1e6
