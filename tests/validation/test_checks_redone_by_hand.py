"""Findings of the example redone from nothing but the numbers printed with them, in arithmetic written out here.

Who doubts a finding has its inputs and a pocket calculator; this is that calculator, for every finding of each family
on the example. Formulas: Shigley, Mechanical Engineering Design (9th ed.), ch. 3, 7 and 8; FED-STD-H28/2B; Navier's series
(Timoshenko & Woinowsky-Krieger, 2nd ed., art. 30); Hetenyi (1946), art. 4; Lame's cylinders; White, Fluid Mechanics
(7th ed.), ch. 3, 6 and 9.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

import pytest

from platemaker.checks import Finding, check_stack
from platemaker.resolved import assemble
from platemaker.spec import load_project

ROOT = Path(__file__).resolve().parents[2]
Inputs = Mapping[str, float]

# Inputs are printed in full, so that only rounding of floating point is left; series and tables say more below.
EXACT = 1e-9


@cache
def findings() -> tuple[Finding, ...]:
    return tuple(check_stack(assemble(load_project(ROOT / "part_specs" / "pump_engine"))))


def printed(found: Finding) -> dict[str, float]:
    return {one.symbol: float(one.value) for one in found.inputs if isinstance(one.value, int | float)}


def separation(i: Inputs) -> float:
    return i["F_i"] / (i["P"] * (1 - i["k_b"] / (i["k_b"] + i["k_m without gasket"])))


def proof(i: Inputs) -> float:
    stiff = i["k_b"] / (i["k_b"] + i["k_m"])
    return i["S_p"] * i["A_t"] / (stiff * i["P"] + i["F_i"])


def bolt_share(i: Inputs, pull: float) -> float:
    """N/n and the share of both moments, by Cramer's rule for the plane through the bolts' pulls."""
    if "S_xx" not in i:
        return pull / i["bolts"]
    whole = i["S_xx"] * i["S_yy"] - i["S_xy"] ** 2
    along_x = (i["sum of T x"] * i["S_yy"] - i["sum of T y"] * i["S_xy"]) / whole
    along_y = (i["sum of T y"] * i["S_xx"] - i["sum of T x"] * i["S_xy"]) / whole
    return pull / i["bolts"] + along_x * i["x from the middle"] + along_y * i["y from the middle"]


def slip(i: Inputs) -> float:
    members = i["k_m without gasket"] / (i["k_b"] + i["k_m without gasket"])
    if "shear at the screw" in i:  # a screw by itself
        return 0.15 * (i["F_i"] - members * i["pull at the screw"]) / i["shear at the screw"]
    turn = i["turning moment"] / (i["S_xx"] + i["S_yy"])
    across = math.hypot(
        i["F_x"] / i["bolts"] - turn * i["y from the middle"], i["F_y"] / i["bolts"] + turn * i["x from the middle"]
    )
    pull = max(bolt_share(i, i["pull on the joint"]), 0.0)
    return 0.15 * (i["F_i"] - members * pull) / across


def hole_thread(i: Inputs) -> float:
    return math.pi * i["L_e"] / i["P"] * i["D_s"] * (i["P"] / 2 + (i["D_s"] - i["E_n"]) / math.sqrt(3)) * i["tau"]


def screw_thread(i: Inputs) -> float:
    return math.pi * i["L_e"] / i["P"] * i["K_n"] * (i["P"] / 2 + (i["E_s"] - i["K_n"]) / math.sqrt(3)) * i["tau"]


def row_of_bolts(i: Inputs, at: float) -> float:
    """Line load under an endless row of bolts, at a share of their spacing from one of them: Hetenyi's waves, added."""
    foundation = i["E_g"] * i["b"] / i["t_g"]
    inertia = i["b_f"] * i["t"] ** 3 / 12
    wave = (foundation / (4 * i["E"] * inertia)) ** 0.25
    reach = [wave * abs(at - number) * i["s"] for number in range(-200, 201)]
    return i["F"] * wave / 2 * sum(math.exp(-u) * (math.cos(u) + math.sin(u)) for u in reach)


def plate(i: Inputs) -> tuple[float, float]:
    """Deflection and greatest bending stress in the middle of a supported plate: round, or 400 waves each way."""
    q, t, nu = i["p"] * (1 - i["share of it that the other face takes back"]), i["t"], i["nu"]
    rigidity = i["E"] * t**3 / (12 * (1 - nu**2))
    if "r" in i:
        return (5 + nu) * q * i["r"] ** 4 / (64 * (1 + nu) * rigidity), 3 * (3 + nu) * q * i["r"] ** 2 / (8 * t**2)
    a, b = i["a"], i["b"]
    down = m_a = m_b = 0.0
    for m in range(1, 400, 2):
        for n in range(1, 400, 2):
            sign = (-1) ** ((m + n) // 2 - 1)
            wave = 16 * q * sign / (math.pi**6 * m * n * (m**2 / a**2 + n**2 / b**2) ** 2)
            down += wave / rigidity
            m_a += wave * math.pi**2 * (m**2 / a**2 + nu * n**2 / b**2)
            m_b += wave * math.pi**2 * (n**2 / b**2 + nu * m**2 / a**2)
    return down, 6 * max(abs(m_a), abs(m_b)) / t**2


def fit_pressure(i: Inputs) -> float:
    d, D, d_i = i["d"], i["D"], i["d_i"]
    hub = ((D**2 + d**2) / (D**2 - d**2) + i["nu_o"]) / i["E_o"]
    boss = ((d**2 + d_i**2) / (d**2 - d_i**2) - i["nu_i"]) / i["E_i"]
    return i["delta"] / (d * (hub + boss))


def hold(i: Inputs) -> float:
    return 0.12 * fit_pressure(i) * math.pi * i["d"] * i["l_f"]


def made_ratio(i: Inputs) -> float:
    """The blower gives what the engine takes at the pressure and warmth behind the blower."""
    blower = i["blower"] * i["blower speed"] * i["how well the blower fills"]
    engine = i["engine"] * i["engine speed"] / 2 * i["how well the engine fills"]
    return blower / engine * i["T_2"] / i["T_1"]


def mach(i: Inputs) -> float:
    """Isentropic flow through the least printed area: the Mach number by bisection, air's 1.4 and 287.05 J/(kg K)."""
    areas = ("area", "area shared with the station before", "area of the jet")
    area = min(i[name] for name in areas if name in i) * 1e-6
    asked = i["mass flow"] * math.sqrt(287.05 * i["T_0"] / 1.4) / (area * i["p_0 here"])
    low, high = 0.0, 1.0
    for _ in range(100):
        middle = (low + high) / 2
        flow = middle * (1 + 0.2 * middle**2) ** -3
        low, high = (middle, high) if flow < asked else (low, middle)
    return low


def step_loss(i: Inputs) -> float:
    """K times the dynamic pressure that it is on: behind a chamber, that of the ports before it."""
    place = "before" if "speed before" in i else "there"
    return i["K"] * i[f"density {place}"] * i[f"speed {place}"] ** 2 / 2


def thick_cylinder(i: Inputs) -> float:
    """Yield over three times the equivalent stress at the bore of a closed cylinder."""
    ring = i["D"] ** 2 - i["d"] ** 2
    hoop, along, radial = i["p"] * (i["D"] ** 2 + i["d"] ** 2) / ring, i["p"] * i["d"] ** 2 / ring, -i["p"]
    same = math.sqrt(((hoop - along) ** 2 + (along - radial) ** 2 + (radial - hoop) ** 2) / 2)
    return i["yield strength"] / (3 * same)


def seating_width(i: Inputs) -> float:
    """ASME BPVC VIII-1 (2019), App. 2, Table 2-5.2: half the width up to 6 mm, then 2.5 times its root."""
    return i["N"] / 2 if i["N"] <= 12 else 2.5 * math.sqrt(i["N"] / 2)


def taken_off(i: Inputs) -> float:
    """Mean pull of the two bolts over the length of seal line that each has."""
    pulls = [value for name, value in i.items() if name.startswith("pull at bolt")]
    return sum(pulls) / 2 / i["line for each bolt"]


def least(i: Inputs) -> float:
    """Tightened low, less what the gasket and the faces lose, less what the worse of heat and cold takes."""
    back = 1 / (1 / i["k_b"] + 1 / i["k_m springing back"])
    lost = i["relaxation of the gasket"] * i["tightened low"] + i["f_Z"] * back
    return i["tightened low"] - lost + min(0.0, i["change when warm"], i["change when cold"])


def round_a_boss(i: Inputs) -> float:
    """Distortion energy of hoop tension and pressure at the bore, as half the sum of the squared differences."""
    p = fit_pressure(i)
    hoop = p * (i["D"] ** 2 + i["d"] ** 2) / (i["D"] ** 2 - i["d"] ** 2)
    return math.sqrt(((hoop + p) ** 2 + hoop**2 + p**2) / 2)


BY_HAND: dict[str, tuple[Callable[[Inputs], float], float]] = {
    "PM901": (separation, EXACT),
    "PM902": (proof, EXACT),
    # a torque wrench on lubricated threads: 25 % above T/(0.18 d), which is more than T/(0.15 d)
    "PM903": (lambda i: 1.25 * i["T"] / (0.18 * i["d"]) / (i["A_s"] * i["S_p"]), EXACT),
    "PM912": (lambda i: least(i) / i["preload aimed at"], EXACT),
    "PM904": (lambda i: i["F"] / (math.pi / 4 * (i["d_w"] ** 2 - i["d_h"] ** 2)), EXACT),
    "PM905": (lambda i: hole_thread(i) / i["largest tensile load"], EXACT),
    "PM906": (lambda i: screw_thread(i) / i["largest tensile load"], EXACT),
    "PM908": (slip, EXACT),
    "PM923": (lambda i: row_of_bolts(i, 0.5) / seating_width(i), EXACT),
    "PM924": (lambda i: (row_of_bolts(i, 0.5) - taken_off(i)) / (2 * seating_width(i)), EXACT),
    "PM933": (lambda i: (row_of_bolts(i, 0) - row_of_bolts(i, 0.5)) / (i["E_g"] * i["b"] / i["t_g"]), EXACT),
    "PM931": (lambda i: plate(i)[1], 2e-3),  # the book prints its coefficients to three or four figures
    "PM932": (lambda i: plate(i)[0], 2e-3),
    "PM941": (round_a_boss, EXACT),
    "PM942": (lambda i: 2 * fit_pressure(i) * i["d"] ** 2 / (i["d"] ** 2 - i["d_i"] ** 2), EXACT),
    "PM943": (lambda i: hold(i) / (i["pressure"] * math.pi / 4 * i["d"] ** 2), EXACT),
    "PM944": (lambda i: (hold(i) + 10 * math.pi * i["d"] * i["l_f"]) / i["pushes out"], EXACT),
    "PM945": (lambda i: i["delta"] - (i["alpha_o"] - i["alpha_i"]) * i["rise"] * i["d"], EXACT),
    "PM946": (lambda i: 20 + (i["delta"] + i["clearance"]) / (i["alpha"] * i["d"]), EXACT),
    "PM951": (mach, 1e-6),
    "PM952": (lambda i: i["lost in all"] / i["boost"], EXACT),
    "PM953": (lambda i: step_loss(i) / 60_000, EXACT),
    "PM954": (lambda i: abs((made_ratio(i) - 1) * i["ambient"] - i["boost specified"]) / i["boost specified"], EXACT),
    "PM961": (
        lambda i: i["n"] * i["Q"] * 1000 / 60 / (math.pi / 4 * i["narrowest of passage and end fittings"] ** 2) / 1000,
        EXACT,
    ),
    "PM962": (thick_cylinder, EXACT),
    "PM964": (lambda i: hole_thread(i) / i["pull"], EXACT),
    "PM975": (lambda i: math.degrees(math.atan2(math.hypot(i["x"], i["y"]), abs(i["z"]))), EXACT),
    "PM977": (lambda i: i["plate"] + i["gasket and shim under it"] - i["shim of the mount"], EXACT),
}


@pytest.mark.parametrize("check", BY_HAND)
def test_every_finding_follows_from_what_is_printed(check: str) -> None:
    by_hand, tolerance = BY_HAND[check]
    stated = [found for found in findings() if found.check == check and found.measured is not None]
    assert stated
    for found in stated:
        assert found.measured == pytest.approx(by_hand(printed(found)), rel=tolerance), found.id


def test_limits_that_are_reckoned_follow_too() -> None:
    """m p, and the hand-tight length of an NPT thread, which three turns more turn from a caution into a pass."""
    for check, limit in (
        ("PM924", lambda i: i["m"] * i["p"]),
        ("PM972", lambda i: i["L_1"]),
    ):
        stated = [found for found in findings() if found.check == check and found.required is not None]
        assert stated
        for found in stated:
            assert found.required == pytest.approx(limit(printed(found)), rel=EXACT)


def test_the_worst_bolts_pull_is_its_share_of_pressure_loads_and_moments() -> None:
    stated = [found for found in findings() if found.check == "PM901" and "pull on the joint" in printed(found)]
    assert any("S_xx" in printed(found) for found in stated)
    for found in stated:
        seen = printed(found)
        assert seen["P"] == pytest.approx(bolt_share(seen, seen["pull on the joint"]), rel=EXACT)


def test_each_sections_loss_is_k_times_its_dynamic_pressure() -> None:
    for found in findings():
        if found.check == "PM951":
            seen = printed(found)
            assert seen["loss"] == pytest.approx(step_loss(seen), rel=EXACT, abs=1e-9)
