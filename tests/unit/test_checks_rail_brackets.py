"""A rail's bracket as a cantilever: levers, greatest stress and deflection, by statics beside each number."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from platemaker.catalog import material
from platemaker.checks import Verdict
from platemaker.checks._fuel import _rail_brackets
from platemaker.checks._fuel._rail_brackets import _arm, _deflection, _nearest, _Station, _stations, _stress
from platemaker.checks._fuel._rail_loads import BracketLoad
from platemaker.parts import Kind, Part, StripStock
from tests.sample_parts import drilled

STRIP = StripStock(20.0, 5.0, (100.0,), ())
PART = Part("arm", "arm", Kind.BRACKET, material("S235"), STRIP, ())
STATIONS = (
    _Station((0.0, 0.0, 0.0), 20.0, "bolt in a"), _Station((40.0, 0.0, 0.0), 8.0, "slot"),
    _Station((100.0, 0.0, 0.0), 20.0, "bolt in b"),
)  # fmt: skip


def load(thrust: float, mass: float = 0.0) -> BracketLoad:
    return BracketLoad(thrust, (0.0, 0.0, 1.0), mass, 3.0, (100.0, 0.0, 0.0), (), ())


def test_the_lever_of_a_force_in_the_strips_plane() -> None:
    """From (10, 5) to (40, 25): 30 along X and 20 up. Up: lever 30; along X: -20; (0.6, 0.8): 30 x 0.8 - 20 x 0.6."""
    to, at = (40.0, 9.0, 25.0), (10.0, 0.0, 5.0)
    assert _arm(to, at, (0.0, 0.0, 1.0)) == pytest.approx(30.0)
    assert _arm(to, at, (1.0, 0.0, 0.0)) == pytest.approx(-20.0)
    assert _arm(to, at, (0.6, 0.0, 0.8)) == pytest.approx(12.0)


def test_stress_is_greatest_where_least_metal_is_left() -> None:
    """100 N: 10 N.m on 20 x 5 at the clamp, 6 M / (b t2) = 120 MPa; 6 N.m on 8 x 5 at the slot: 180 MPa."""
    rail = PART
    found = _stress(PART, rail, STATIONS, load(100.0))
    assert found.measured == pytest.approx(6 * 6000 / (8 * 25))
    assert found.points == ((40.0, 0.0, 0.0),)
    pulled = _stress(PART, rail, STATIONS, load(-100.0))
    assert pulled.measured == pytest.approx(180.0)
    # 1 kg x 9.80665 x 3 = 29.42 N more, on the same lever of 60.
    shaken = _stress(PART, rail, STATIONS, load(100.0, 1.0))
    assert shaken.measured == pytest.approx(6 * (6000 + 29.41995 * 60) / (8 * 25))


@pytest.mark.parametrize(("width", "verdict"), [(0.0, Verdict.NOT_CHECKED), (-1.0, Verdict.NOT_CHECKED)])
def test_a_strip_cut_through_is_no_bracket(width: float, verdict: Verdict) -> None:
    cut = _Station((40.0, 0.0, 0.0), width, "slot")
    assert _stress(PART, PART, (STATIONS[0], cut, STATIONS[2]), load(100.0)).verdict is verdict


def test_deflection_is_that_of_a_cantilever() -> None:
    """F L3 / (3 E I), I = 20 x 125 / 12; all of a mass of 1 kg three times with it: 129.42 N in place of 100 N."""
    E, inertia = PART.material.elastic_modulus, 20 * 5**3 / 12
    assert E
    thrust = _deflection(PART, STATIONS, load(100.0, 1.0), whole=False)
    assert thrust.result == pytest.approx(100 * 100**3 / (3 * E * inertia))
    whole = _deflection(PART, STATIONS, load(100.0, 1.0), whole=True)
    assert whole.result == pytest.approx(129.41995 * 100**3 / (3 * E * inertia))


def test_sections_lie_between_the_two_bolts_and_miss_what_is_drilled_there() -> None:
    """Bolts at 10 and 60 along a flat strip 20 wide; 20 less 6 mm are left beside a hole at 35.

    Holes 0.8 mm before the one bolt and behind the other are no section of the cantilever.
    """
    places = {
        "clamp": (10.0, 8.0),
        "before": (9.2, 1.0),
        "hole": (35.0, 6.0),
        "behind": (60.8, 1.0),
        "rail": (60.0, 8.0),
    }
    holes = tuple(drilled(name, (x, 0.0), wide, 5.0) for name, (x, wide) in places.items())
    part = Part("arm", "arm", Kind.BRACKET, material("S235"), StripStock(20.0, 5.0, (100.0,), ()), holes)
    found = _stations(part, holes[4], holes[0])
    assert [(one.at[0], one.width, one.what) for one in found] == [
        (10.0, 20.0, "bolt in clamp"), (35.0, 14.0, "hole"), (60.0, 20.0, "bolt in rail"),
    ]  # fmt: skip
    assert [one.what for one in _stations(part, holes[0], holes[4])] == ["bolt in rail", "hole", "bolt in clamp"]


def test_the_bolt_nearest_along_the_strip_clamps_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """40 along the strip is nearer to 90 than 10 is, though it lies 9 mm aside."""
    rail, far, near = (
        SimpleNamespace(name=name, at=at)
        for name, at in (("rail", (90.0, 0.0, 0.0)), ("far", (10.0, 0.0, 0.0)), ("near", (40.0, 9.0, 0.0)))
    )
    flat = SimpleNamespace(flat=SimpleNamespace(holes=[rail, far, near]))
    monkeypatch.setattr(_rail_brackets, "resolved", lambda _part: flat)
    assert _nearest(PART, rail, [far, near]) is near
