"""Errors that readings with one instrument share: jaw flats, zero and scale, stated in a file or found by readings.

A jaw with a flat f in a hole of diameter D touches its wall sqrt(D^2 - f^2) / 2 from the centre (chord and sagitta).
For D = 8.5 and f = 1 that is sqrt(71.25) / 2 = 4.2205 in place of 4.25: 0.0295 short.
"""

from __future__ import annotations

import math

import pytest

from platemaker.errors import SpecErrors
from platemaker.survey import load_network, solve, solve_file

SHORT = (8.5 - math.sqrt(8.5**2 - 1.0)) / 2
HEAD = "datum: {origin: A, x_towards: B, left: [C]}\nreadings:\n"
SPANS = {"AB": 80.0, "BC": 60.0, "AC": 100.0}


def survey(tmp_path, instruments, readings, features="hole: 8.5, sd: 0.001"):
    file = tmp_path / "pad.readings.yaml"
    named = "".join(f"  {name}: {{{features}}}\n" for name in "ABC")
    file.write_text(f"{instruments}features:\n{named}{HEAD}{readings}", encoding="utf-8")
    return file


def rows(kind, change, extra=""):
    """The triangle's sides read as `kind`, each changed by so much."""
    return "".join(
        f"  - {{{kind}: [{pair[0]}, {pair[1]}], reads: {span + change:.5f}{extra}}}\n" for pair, span in SPANS.items()
    )


STATED = """instrument: mine
instruments: {mine: {like: digital caliper, outside_flat: 1, outside_flat_sd: 0.001, inside_flat: 0}}
"""


def test_a_stated_flat_of_the_outside_jaws_is_taken_off_webs(tmp_path):
    # The diameters were read otherwise (their sd is stated): a web reads 2 x 0.0295 mm too long.
    found = solve_file(survey(tmp_path, STATED, rows("inside", -8.5 + 2 * SHORT)))
    assert found.point("B").x == pytest.approx(80.0, abs=2e-4)
    assert found.point("C").place == pytest.approx((80.0, 60.0), abs=5e-4)


@pytest.mark.parametrize(
    ("stated", "short"),
    [
        ("outside_flat: 1", SHORT),  # to 0.1 mm, as nothing else is stated
        ("outside_flat: 0", 0.0),
        ("outside_flat: 0, outside_flat_sd: 0.01", 0.0),
        ("outside_flat_sd: 0.01", 0.0),  # no flat is stated but how far it may be from none
    ],
)
def test_what_is_stated_of_a_flat_is_its_width(tmp_path, stated, short):
    # Two webs cannot be told from a wider triangle: what is stated is all that is known of the flats.
    head = f"instrument: mine\ninstruments: {{mine: {{like: digital caliper, inside_flat: 0, {stated}}}}}\n"
    found = solve_file(survey(tmp_path, head, rows("inside", -8.5)))
    assert found.point("B").x == pytest.approx(80.0 - 2 * short, abs=2e-4)


def test_an_unknown_flat_is_found_where_webs_and_far_sides_are_read(tmp_path):
    # Of jaws 1 mm wide webs read 0.059 too long, far sides too short: their difference states.
    knife = "instrument: mine\ninstruments: {mine: {like: digital caliper, inside_flat: 0}}\n"
    sharp = ", sd: 0.003, instrument: mine"
    found = solve_file(survey(tmp_path, knife, rows("inside", -8.5 + 2 * SHORT, sharp) + rows("outside", 8.5, sharp)))
    # Differences state q / 17 mm to 0.0025 mm, q to 0.042 mm2: beside 0.447 mm2 stated the share 0.99 of 1 comes out.
    assert found.point("B").x == pytest.approx(80.0, abs=SHORT / 50)
    assert any(note.startswith("flats of the outside jaws of mine, from the readings: ") for note in found.notes)


def test_an_unknown_flat_widens_the_ellipses_where_nothing_tells_it(tmp_path):
    none = "instrument: mine\ninstruments: {mine: {like: digital caliper, inside_flat: 0, outside_flat: 0}}\n"
    webs = rows("inside", -8.5)
    sharp, unknown = (solve_file(survey(tmp_path, head, webs)) for head in (none, ""))
    # A-B alone states B.x. The flat adds 2 x 0.447 mm2 / (4 x 8.5 mm) = 0.0263 mm: q / 4 D is the sagitta's first term.
    grown = math.sqrt(unknown.point("B").sigma_x ** 2 - sharp.point("B").sigma_x ** 2)
    assert grown == pytest.approx(2 * math.sqrt(0.2) / (4 * 8.5), rel=0.01)
    assert unknown.point("B").x == pytest.approx(80.0, abs=1e-6)


def test_studs_have_no_flats(tmp_path):
    file = survey(tmp_path, "", rows("outside", 8.0), "stud: 8, sd: 0.001")
    assert solve(load_network(file)).layout.shared == ()


def test_zero_and_scale_are_taken_off(tmp_path):
    stated = "instrument: mine\ninstruments: {mine: {like: height gauge, zero: 0.2, scale: 0.5}}\n"
    # 0.5 mm a metre and 0.2 mm: 80 mm read 80 x 1.0005 + 0.2.
    lines = "".join(
        f"  - {{centres: [{a}, {b}], reads: {span * 1.0005 + 0.2:.5f}}}\n" for (a, b), span in SPANS.items()
    )
    found = solve_file(survey(tmp_path, stated, lines))
    # Stated as certain is certain to 0.001 mm.
    assert found.point("B").x == pytest.approx(80.0, abs=2e-3)
    assert found.point("C").place == pytest.approx((80.0, 60.0), abs=4e-3)


@pytest.mark.parametrize(
    ("body", "message"),
    [
        ("{like: digital calliper}", "instruments.mine.like: unknown instrument 'digital calliper'; allowed: digital"),
        ("{like: digital caliper, inside_flat: 12}", "instruments.mine.inside_flat: instrument mine: inside_flat, met 12; "
         "allowed: 0 to 10 mm"),
        ("{like: digital caliper, zero: 0.1, zero_sd: 0}", "instruments.mine.zero_sd: instrument mine: zero_sd, met 0; "
         "allowed: above 0 mm"),
        ("{like: digital caliper, outside_flat: -0.1}", "instrument mine: outside_flat, met -0.1; allowed: 0 to 10 mm"),
        ("{like: digital caliper, outside_flat: 1, outside_flat_sd: 0}", "mine: outside_flat_sd, met 0; allowed: above 0"),
        ("{like: digital caliper, zero: 1 furlong}", "instruments.mine.zero: instrument mine: "),
        ("{like: plain protractor, zero: 1}", "instruments.mine: a plain protractor has no shared errors"),
        ("{like: digital caliper, flat: 1}", "instruments.mine.flat: unknown key; allowed: like, zero"),
    ],
)  # fmt: skip
def test_bad_instruments(tmp_path, body, message):
    with pytest.raises(SpecErrors) as fault:
        solve_file(survey(tmp_path, f"instruments: {{mine: {body}}}\n", rows("centres", 0.0)))
    assert message in str(fault.value)


def test_a_misreading_of_millimetres_is_no_matter_of_flats(tmp_path):
    # A rectangle of 90 x 70 with its diagonals, A-D read 5 mm short: flats would have to be 8 mm wide to explain it.
    spans = {"AB": 90, "BC": 70, "AC": 114.02, "CD": 90, "AD": 65, "BD": 114.02}
    lines = "".join(f"  - {{inside: [{a}, {b}], reads: {span - 8.5}}}\n" for (a, b), span in spans.items())
    file = tmp_path / "pad.readings.yaml"
    named = "".join(f"  {name}: {{hole: 8.5}}\n" for name in "ABCD")
    file.write_text(f"features:\n{named}{HEAD}{lines}", encoding="utf-8")
    (suspect,) = solve_file(file).suspects
    titles = {suspect.judged.title, *suspect.alternatives}
    assert "reading 5, A-D inside" in titles
    assert not any("flats" in title for title in titles)
