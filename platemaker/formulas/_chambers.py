"""Air that crosses a chamber sideways: a reduced model, a jet whose area is fitted, mixed out after Borda and Carnot.

The air leaves the first port, turns, is squeezed through the sideways throat and turns into the second port. Each of
the three narrows the jet; their resistances add up as squares of areas do for sections in series. What lies under both
ports passes straight. Behind the jet everything is lost that mixing loses.

Two constants are fitted, both to three computed passages alone: ports 40 x 58 and 60 x 70 mm, 50 mm apart, in a chamber
200 x 140 mm, 6, 12 and 24 mm deep (K 20.5, 4.6 and 1.69 with 0.067 of friction in the ducts; steady turbulent flow by a
general finite-volume solver, closures within 8 %). Others, with the ports 0 to 100 mm apart, 6 to 40 mm deep, with
islands, round ports and a narrow chamber, were predicted by it; its form was settled with them in sight. Round pockets,
islands, two depths, ports on a diagonal and ports that narrow were computed later, and settled nothing but its bounds.
The tests of the chambers hold them all.
"""

from __future__ import annotations

import math

from platemaker.formulas._gas_flow import K_AIR, R_AIR, duct_state, static_pressure_ratio
from platemaker.formulas._registry import above, at_least, formula
from platemaker.formulas._sources import CHAMBER_MODEL, WHITE_7

CHAMBER_CONTRACTION = 0.577
"""Area of the jet behind a sideways throat over the throat's: fitted."""
CHAMBER_TURN = 1.56
"""Loss of turning into a sharp port beside the share of its own area: fitted."""
CHAMBER_BOUNDS = (1 / 1.5, 1.5)
"""The true loss of a plain chamber lies between these times the calculated one: of the predicted passages through a
rectangle from one port to another aside of it, no narrower, the worst was 38 % off."""
CHAMBER_BOUNDS_OTHER = (0.45, 2.0)
"""The same of any other: islands that air flows round smoothly lose less, swirl in a round pocket, or between ports
that lie on a diagonal, loses more, and the model knows neither. The worst were 0.49 and 1.73 times the calculated."""


@formula(
    CHAMBER_MODEL,
    "jet",
    law="1/A_s² = 1/(0.577 T)² + 1/A_1² + (1 + z)/A_2²; A_e² = O² + (A² − O²) min(1, A_s/A)², A = min(A_1, A_2)",
    gives="mm2",
    T=above(0, "mm2"),
    O=at_least(0, "mm2"),
    A_1=above(0, "mm2"),
    A_2=above(0, "mm2"),
    z=at_least(0, "-"),
)
def chamber_jet_area(T: float, O: float, A_1: float, A_2: float, z: float = CHAMBER_TURN) -> float:  # noqa: E741
    """Effective area of the jet that leaves a chamber.

    Source: reduced model of chambers, jet.
    T: area of the sideways throat, what passes straight left out.
    O: area that the two ports share.
    A_1: area of the ports that the air comes from.
    A_2: area of the ports that it goes to.
    z: loss of turning into the second port, sharp 1.56.
    >>> round(chamber_jet_area(1680.0, 0.0, 2320.0, 4200.0))
    847
    """
    smaller = min(A_1, A_2)
    sideways = (1 / (CHAMBER_CONTRACTION * T) ** 2 + 1 / A_1**2 + (1 + z) / A_2**2) ** -0.5
    straight = min(O, smaller) ** 2
    return math.sqrt(straight + (smaller**2 - straight) * min(1.0, sideways / smaller) ** 2)


@formula(
    CHAMBER_MODEL,
    "mixing",
    law="K = (A_1/A_e − A_1/A_2)², 0 where A_e >= A_2",
    gives="-",
    A_e=above(0, "mm2"),
    A_1=above(0, "mm2"),
    A_2=above(0, "mm2"),
)
def chamber_loss(A_e: float, A_1: float, A_2: float) -> float:
    """Loss of a chamber at constant density, after Borda and Carnot. K is on the speed in the first ports.

    Source: reduced model of chambers, mixing.
    A_e: effective area of the jet.
    A_1: area of the ports that the air comes from.
    A_2: area of the ports that it goes to.
    >>> round(chamber_loss(850.0, 2320.0, 4200.0), 2)
    4.74
    """
    return max(0.0, A_1 / A_e - A_1 / A_2) ** 2


@formula(
    WHITE_7,
    "eqs. 3.40 and 9.46",
    law="p_e A_2 + m V_e = p_2 A_2 + m V_2, T_0 constant; Δp_0 = p_0 − p_2 (1 + (k − 1) M_2²/2)^(k/(k − 1))",
    gives="Pa",
    mdot=above(0, "kg/s"),
    A_e=above(0, "m2"),
    A_2=above(0, "m2"),
    p_0=above(0, "Pa"),
    T_0=above(0, "K"),
    k=above(1, "-"),
    R=above(0, "J/(kg.K)"),
)
def jet_mixing_loss(
    mdot: float, A_e: float, A_2: float, p_0: float, T_0: float, k: float = K_AIR, R: float = R_AIR
) -> float:
    """Stagnation pressure that a subsonic jet loses as it mixes out in a duct, with the air's change of density.

    The jet's static pressure stands over the whole duct; momentum and stagnation temperature are kept, no friction.

    Source: White 7th ed., eqs. 3.40 and 9.46.
    mdot: mass flow.
    A_e: area of the jet.
    A_2: area of the duct.
    p_0: absolute stagnation pressure before the jet.
    T_0: absolute stagnation temperature.
    k: ratio of specific heats.
    R: gas constant.
    A jet that chokes gives the loss of the most that it passes.
    >>> round(jet_mixing_loss(0.129, 850e-6, 4200e-6, 160e3, 375.0))  # 4,950 Pa at constant density
    5270
    """
    if A_e >= A_2:
        return 0.0
    jet = duct_state(mdot, A_e, p_0, T_0, k, R)
    flow = mdot if not jet.choked else mdot / jet.share_of_choking
    push = p_0 * static_pressure_ratio(jet.mach, k) * A_2 / flow + jet.speed
    squares = (k + 1) / (2 * k)
    V_2 = (push - math.sqrt(push**2 - 4 * squares * R * T_0)) / (2 * squares)
    T_2 = T_0 - V_2**2 * (k - 1) / (2 * k * R)
    p_2 = flow * R * T_2 / (V_2 * A_2)
    return float(p_0 - p_2 / static_pressure_ratio(V_2 / math.sqrt(k * R * T_2), k))
