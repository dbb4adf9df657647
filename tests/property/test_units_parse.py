"""The reader and the JSON Schema pattern agree; what is written is read back."""

import math
import re
from fractions import Fraction

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from platemaker.errors import UnitError
from platemaker.units import Dimension, LengthUnit, Unit, format_length, parse, parse_length, pattern

# Refusals that are arithmetic and that no regular expression can state.
ARITHMETIC = ("division by zero", "must be less than 1", "below absolute zero")
CASES = [(dimension, None) for dimension in Dimension]
CASES += [
    (Dimension.LENGTH, Unit.MILLIMETRE),
    (Dimension.LENGTH, Unit.INCH),
    (Dimension.ANGLE, Unit.DEGREE),
]
WORDS = sorted({spelling for unit in Unit for spelling in unit.spellings})

pieces = st.sampled_from(
    ["1", "0", "16", "-", "+", "/", ".", " ", "  ", "\n", "e", "E-3", "1/4", "3/0", "²", "٣", "nan", *WORDS]
)
near_texts = st.lists(pieces, max_size=6).map("".join)
shaped = st.builds(
    "{}{}{}".format,
    st.sampled_from(["1", "1.5", ".5", "5.", "1-1/4", "1 1/4", "-3/16", "+2e3", "1-5/4", "0/0", "--1", "-9e2"]),
    st.sampled_from(["", " ", "   "]),
    st.sampled_from(["", "mn", "MPA", *WORDS]),
)


@pytest.mark.parametrize(("dimension", "bare"), CASES)
@given(text=st.one_of(near_texts, shaped, st.text(max_size=8)))
def test_reader_and_pattern_agree(dimension, bare, text):
    fits = re.search(pattern(dimension, bare), text) is not None
    try:
        parse(text, dimension, bare)
    except UnitError as fault:
        assert not fits or any(reason in str(fault) for reason in ARITHMETIC)
    else:
        assert fits


@pytest.mark.parametrize(("dimension", "bare"), CASES)
def test_patterns_suit_json_schema(dimension, bare):
    schema = {"type": "string", "pattern": pattern(dimension, bare)}
    jsonschema.Draft202012Validator.check_schema(schema)
    for unit in Unit:
        fits = jsonschema.Draft202012Validator(schema).is_valid(f"1-1/2 {unit.symbol}")
        assert fits == (unit.dimension is dimension)
    # Named groups and needless escapes are Python's or are refused by the stricter dialect.
    assert "(?P" not in schema["pattern"]
    assert set(re.findall(r"\\(.)", schema["pattern"])) <= {"s", "."}


@given(whole=st.integers(0, 99), numerator=st.integers(0, 63), sign=st.sampled_from(["", "-"]))
def test_fractions_are_exact(whole, numerator, sign):
    exact = (whole + Fraction(numerator, 64)) * Fraction("25.4") * (-1 if sign else 1)
    read = parse_length(f"{sign}{whole}-{numerator}/64 in", LengthUnit.MM)
    assert read == float(round(exact, 6))


@given(st.floats(-1e4, 1e4), st.sampled_from(LengthUnit))
def test_what_is_written_is_read_back(length, unit):
    text = format_length(length, unit, digits=9)
    # Half a unit of the reader's sixth decimal, half of the written ninth (of an inch: 25.4 times that), and slack
    # for the float itself.
    assert math.isclose(parse_length(text, LengthUnit.MM), length, rel_tol=0, abs_tol=0.5e-6 + 25.4 * 0.5e-9 + 1e-11)
