"""Every formula says what it is: arguments with unit and range, source and clause, law, unit of the result."""

import inspect
import math
import re
import runpy
from pathlib import Path

import pytest

import platemaker.formulas as door
from platemaker.errors import OutOfRange
from platemaker.formulas import FORMULAS, LossMethod, about, worked

ROOT = Path(__file__).parents[2]
CASES = runpy.run_path(str(ROOT / "tests/validation/formulas_cases.py"))["CASES"]
FIRST = {case.formula.__name__: case for case in reversed(CASES)}
EACH = pytest.mark.parametrize("name", sorted(FORMULAS))


def test_the_door_and_the_registry_agree():
    assert set(FORMULAS) <= set(door.__all__)
    assert all(hasattr(door, name) for name in door.__all__)
    public = {name for name in door.__all__ if inspect.isfunction(getattr(door, name))}
    assert public - set(FORMULAS) == {"about", "worked"}


@EACH
def test_docstring_says_what_arguments_mean_and_the_decorator_unit_and_range(name):
    record, text = FORMULAS[name], inspect.getdoc(getattr(door, name))
    assert f"Source: {record.citation}." in text
    assert ">>>" in text
    written, _, ranges = text.rpartition("\nHolds for ")
    for symbol, parameter in inspect.signature(getattr(door, name)).parameters.items():
        meaning = re.search(rf"^{symbol}: ((?:.+\n)+?)(?=\w+: |Raises|>>>|A |The )", written, re.M)
        assert meaning, f"{name}: {symbol} is not explained"
        if symbol not in record.holds:
            assert parameter.annotation not in ("float", "int", "Sequence[float]"), f"{name}: {symbol} has no range"
            continue
        allowed = record.holds[symbol]
        assert f"{symbol} {allowed} {allowed.unit}".removesuffix(" -") in ranges, f"{name}: {symbol}"
        assert f", {allowed}" not in meaning[1], f"{name}: the range of {symbol} is said twice"
    assert set(record.holds) <= set(inspect.signature(getattr(door, name)).parameters)
    assert ranges.endswith("Raises OutOfRange outside.")


@EACH
def test_law_and_units_are_given(name):
    record = FORMULAS[name]
    assert (
        "=" in record.law or "first" in record.law or "by" in record.law or "from" in record.law or "of" in record.law
    )
    assert record.gives
    assert record.source.title


@EACH
def test_arguments_outside_their_range_are_refused_by_name(name):
    case = FIRST[name]
    for symbol, allowed in FORMULAS[name].holds.items():
        wrong = [math.nan, math.inf, -math.inf]
        if math.isfinite(allowed.low):
            wrong += [allowed.low - 1] + ([allowed.low] if allowed.open_low else [])
        if math.isfinite(allowed.high):
            wrong.append(allowed.high * 1.01 + 1)
        for value in wrong:
            met = [value] if isinstance(case.inputs.get(symbol), tuple) else value
            with pytest.raises(
                OutOfRange, match=rf"^{name}: {symbol} = .*; allowed: .*\({re.escape(FORMULAS[name].citation)}\)$"
            ):
                getattr(door, name)(**{**case.inputs, symbol: met})


@EACH
def test_worked_shows_every_input(name):
    shown = worked(getattr(door, name), **FIRST[name].inputs)
    text = str(shown)
    for symbol in inspect.signature(getattr(door, name)).parameters:
        assert f"{symbol} = " in text
    assert text.endswith(f"[{FORMULAS[name].citation}]")
    assert shown.result == getattr(door, name)(**FIRST[name].inputs)


def test_worked_takes_positional_arguments_and_defaults():
    shown = worked(door.round_plate_supported, 100.0, 10.0, 0.5, 200e3)
    assert [str(each) for each in shown.inputs] == [
        "r = 100 mm",
        "t = 10 mm",
        "q = 0.5 MPa",
        "E = 200000 MPa",
        "nu = 0.3",
    ]
    assert [each.unit for each in shown.outputs] == ["MPa", "MPa", "mm"]


def test_relations_between_arguments_name_the_limit():
    with pytest.raises(
        OutOfRange, match=r"^frustum_stiffness: D = 8 mm; allowed: > d = 8 mm \(Shigley 9th ed\., eq\. 8-20\)$"
    ):
        door.frustum_stiffness(E=200e3, d=8, D=8, t=10)
    with pytest.raises(OutOfRange, match=r"^press_fit_pressure: d_i = 25 mm; allowed: < d = 20 mm"):
        door.press_fit_pressure(0.02, 20, 40, 25, 70e3, 0.33, 70e3, 0.33)
    with pytest.raises(
        OutOfRange, match=r"^round_plate_supported: q = 10 MPa; allowed: a deflection up to t/2 = 1 mm, here "
    ):
        door.round_plate_supported(100, 2, 10, 70e3)
    with pytest.raises(
        OutOfRange, match=r"^pattern_tension: M_x = 5 N.mm; allowed: no moment on bolts that stand in one line"
    ):
        door.pattern_tension([(0, 0), (10, 10), (30, 30)], 0, 5, 0)
    with pytest.raises(
        OutOfRange, match=r"^chamfered_entrance_loss: l_c = 1 mm; allowed: 2.5 to 60 mm, Idelchik's table at D = 100 mm"
    ):
        door.chamfered_entrance_loss(100, 1)
    with pytest.raises(OutOfRange, match=r"^contraction_loss: method = Miller; allowed: Crane, Rennels"):
        door.contraction_loss(100, 50, LossMethod.MILLER)


def test_no_bolt_at_all_is_refused():
    with pytest.raises(OutOfRange, match="pattern_properties: points = 0 mm; allowed: one bolt or more"):
        door.pattern_properties([])
    with pytest.raises(OutOfRange, match="stiffness_in_series: k = 0 N/mm; allowed: one member or more"):
        door.stiffness_in_series([])


def test_about_gives_the_clause():
    assert about(door.frustum_stiffness).citation == "Shigley 9th ed., eq. 8-20"


def test_a_choked_section_is_an_answer():
    state = door.duct_state(1.0, 1e-4, 300e3, 320.0)
    assert state.choked
    assert state.mach == 1.0
    assert state.share_of_choking == pytest.approx(1 / 0.06778, rel=1e-4)  # 0.06778 kg/s is the section's most
