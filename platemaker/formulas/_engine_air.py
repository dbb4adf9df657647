"""Air that an engine and a blower ask for. Heywood 1988."""

from __future__ import annotations

from platemaker.formulas._registry import above, at_least, formula
from platemaker.formulas._sources import HEYWOOD


@formula(
    HEYWOOD,
    "eq. 2.27",
    law="m = η_v ρ V_d N/2",
    gives="kg/s",
    V_d=above(0, "L"),
    N=at_least(0, "rev/min"),
    eta_v=above(0, "-", 3),
    rho=above(0, "kg/m3"),
)
def four_stroke_mass_flow(V_d: float, N: float, eta_v: float, rho: float) -> float:
    """Air that a four-stroke engine breathes, filling itself every second turn.

    Source: Heywood 1988, eq. 2.27.
    V_d: displacement of all cylinders.
    N: engine speed.
    eta_v: volumetric efficiency.
    rho: density of the air that eta_v refers to.
    >>> round(four_stroke_mass_flow(4.0, 6000.0, 0.9, 1.2), 6)
    0.216
    """
    return eta_v * rho * V_d / 1000 * N / 60 / 2


@formula(
    HEYWOOD,
    "sec. 6.8, from memory",
    law="m = η_v ρ V_t N",
    gives="kg/s",
    V_t=above(0, "L/rev"),
    N=at_least(0, "rev/min"),
    eta_v=above(0, "-", 1),
    rho=above(0, "kg/m3"),
)
def blower_mass_flow(V_t: float, N: float, eta_v: float, rho: float) -> float:
    """Air that a positive-displacement blower moves.

    Source: Heywood 1988, sec. 6.8, from memory.
    V_t: displacement a turn.
    N: blower speed.
    eta_v: volumetric efficiency.
    rho: density at the blower's inlet.
    >>> blower_mass_flow(2.0, 9000.0, 1.0, 1.2)
    0.36
    """
    return eta_v * rho * V_t / 1000 * N / 60


@formula(
    HEYWOOD,
    "eq. 6.42",
    law="T_2 = T_1 (1 + ((p_2/p_1)^((k − 1)/k) − 1)/η_s)",
    gives="K",
    T_1=above(0, "K"),
    ratio=at_least(1, "-"),
    eta_s=above(0, "-", 1),
    k=above(1, "-"),
)
def compressor_outlet_temperature(T_1: float, ratio: float, eta_s: float, k: float = 1.4) -> float:
    """Temperature of the air behind a compressor.

    Source: Heywood 1988, eq. 6.42.
    T_1: absolute inlet temperature.
    ratio: outlet pressure over inlet pressure, both absolute.
    eta_s: isentropic efficiency.
    k: ratio of specific heats.
    >>> round(compressor_outlet_temperature(300.0, 2.0, 1.0), 1)
    365.7
    """
    return float(T_1 * (1 + (ratio ** ((k - 1) / k) - 1) / eta_s))


@formula(
    HEYWOOD,
    "eq. 6.43, from memory",
    law="P = m c_p (T_2 − T_1)",
    gives="kW",
    m=at_least(0, "kg/s"),
    T_1=above(0, "K"),
    T_2=above(0, "K"),
    c_p=above(0, "J/(kg K)"),
)
def compression_power(m: float, T_1: float, T_2: float, c_p: float = 1005.0) -> float:
    """Power that goes into air as a compressor heats it; losses in its bearings and gears come on top.

    Source: Heywood 1988, eq. 6.43, from memory.
    m: mass flow.
    T_1: absolute temperature before it.
    T_2: absolute temperature behind it.
    c_p: specific heat of the air at constant pressure.
    >>> compression_power(0.1, 300.0, 400.0)
    10.05
    """
    return m * c_p * (T_2 - T_1) / 1000


@formula(
    HEYWOOD,
    "eq. 2.27, ideal",
    law="p_2/p_1 = (V_t i η_b/(V_d η_e/2)) (T_2/T_1)",
    gives="-",
    V_t=above(0, "L/rev"),
    i=above(0, "-"),
    eta_b=above(0, "-", 1),
    V_d=above(0, "L"),
    eta_e=above(0, "-", 3),
    T_1=above(0, "K"),
    T_2=above(0, "K"),
)
def blower_pressure_ratio(
    V_t: float, i: float, eta_b: float, V_d: float, eta_e: float, T_1: float, T_2: float
) -> float:
    """Absolute pressure ratio at which a four-stroke engine swallows what its blower delivers.

    Source: Heywood 1988, eq. 2.27, ideal.
    V_t: displacement of the blower a turn.
    i: turns of the blower for one of the engine.
    eta_b: volumetric efficiency of the blower.
    V_d: displacement of the engine.
    eta_e: volumetric efficiency of the engine for the air before it.
    T_1: absolute temperature before the blower.
    T_2: absolute temperature in the manifold.
    >>> blower_pressure_ratio(2.0, 2.0, 0.9, 4.0, 0.9, 300.0, 300.0)
    2.0
    """
    return V_t * i * eta_b / (V_d / 2 * eta_e) * T_2 / T_1


@formula(
    HEYWOOD,
    "eqs. 2.27 and 6.42, solved together",
    law="r = B (1 + (r^((k − 1)/k) − 1)/η_s); B = V_t i η_b/(V_d η_e/2); r = B up to 1",
    gives="-",
    V_t=above(0, "L/rev"),
    i=above(0, "-"),
    eta_b=above(0, "-", 1),
    V_d=above(0, "L"),
    eta_e=above(0, "-", 3),
    eta_s=above(0, "-", 1),
    k=above(1, "-"),
)
def blower_boost_ratio(
    V_t: float, i: float, eta_b: float, V_d: float, eta_e: float, eta_s: float, k: float = 1.4
) -> float:
    """Absolute pressure ratio at which a four-stroke engine swallows what its blower delivers, heated by the blower.

    Where the blower gives less than the engine takes there is nothing to compress, and B itself is the answer.

    Source: Heywood 1988, eqs. 2.27 and 6.42, solved together.
    V_t: displacement of the blower a turn.
    i: turns of the blower for one of the engine.
    eta_b: volumetric efficiency of the blower.
    V_d: displacement of the engine.
    eta_e: volumetric efficiency of the engine for the air before it.
    eta_s: isentropic efficiency of the blower.
    k: ratio of specific heats.
    >>> B = 2 / (1 + (2 ** (0.4 / 1.4) - 1) / 0.6)  # chosen so that the ratio is 2
    >>> round(blower_boost_ratio(1.0, B, 1.0, 2.0, 1.0, 0.6), 9)
    2.0
    """
    B, a = V_t * i * eta_b / (V_d / 2 * eta_e), (k - 1) / k
    if B <= 1:
        return B
    # r - B (1 + (r^a - 1)/eta_s) is convex and has one root above 1; Newton's steps fall towards it from far above.
    r = max((2 * B / eta_s) ** (1 / (1 - a)), 2 * B)
    for _ in range(100):
        over = r - B * (1 + (r**a - 1) / eta_s)
        if over <= 1e-12 * r:
            break
        r -= over / (1 - B * a * r ** (a - 1) / eta_s)
    return float(r)
