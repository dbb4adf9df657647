"""Survey files: what they may say, units mixed freely, and every fault with file, line and key."""

import math

import pytest

from platemaker.errors import SpecError, SurveyError
from platemaker.survey import FeatureKind, ReadingKind, load_network, solve_file, surveyed_pattern

HEAD = """\
units: mm
features:
  A: {hole: 8.45}
  B: {hole: 8.5, sd: 0.05}
  C: {stud: 7.9}
  front: edge
datum: {origin: A, x_towards: B, left: [C]}
readings:
"""
GOOD = """\
  - {inside: [A, B], reads: 71.525}
  - {outside: [B, C], reads: 68.2, sd: 0.05}
  - {centres: [A, C], reads: 100.0}
  - {hole_to_edge: [A, front], reads: 5.775}
  - {hole_to_edge: [B, front], reads: 5.75}
"""


def written(tmp_path, readings, head=HEAD):
    path = tmp_path / "log.readings.yaml"
    path.write_text(head + readings, encoding="utf-8")
    return path


def test_good_file(tmp_path):
    found = solve_file(written(tmp_path, GOOD))
    # 71.525 + (8.45 + 8.5) / 2 = 80; 68.2 - (8.5 + 7.9) / 2 = 60; 100: a 3-4-5 triangle.
    assert found.point("B").place == pytest.approx((80, 0))
    assert found.point("C").place == pytest.approx((80, 60))
    # 5.775 + 8.45 / 2 = 10 = 5.75 + 8.5 / 2: an edge along X, 10 mm off; its near side follows the features.
    assert found.edges[0].offset == pytest.approx(-10)


@pytest.mark.parametrize(
    ("how", "sigma"),
    [
        # Rounding to the scale does not average out, setting does: sqrt(0.5^2/12 + 0.15^2/9).
        ("instrument: steel rule", math.sqrt(0.25 / 12 + 0.0225 / 9)),
        ("resolution: 0.1", math.sqrt(0.01 / 12 + 0.0009 / 9)),
        ("sd: 0.06", 0.02),
    ],
)
def test_a_diameter_read_several_times_is_as_good_as_a_reading_of_it(tmp_path, how, sigma):
    nine = f"[{', '.join(['8.45'] * 9)}]"
    head = HEAD.replace("A: {hole: 8.45}", f"A: {{hole: {nine}, {how}}}")
    network = load_network(written(tmp_path, GOOD + f"  - {{diameter: A, reads: {nine}, {how}}}\n", head))
    assert network.by_name["A"].diameter_sigma == pytest.approx(sigma)
    assert network.readings[-1].sigma == pytest.approx(sigma)


@pytest.mark.parametrize("more", ["", ", sd: 0.05"])
def test_a_diameter_is_no_angle(tmp_path, more):
    head = HEAD.replace("A: {hole: 8.45}", f"A: {{hole: 8.45, instrument: vernier protractor{more}}}")
    with pytest.raises(SpecError, match="feature A: a vernier protractor reads deg, not mm"):
        load_network(written(tmp_path, GOOD, head))


@pytest.mark.parametrize(
    ("mm", "other"),
    [
        ("reads: 71.525}", "reads: 2.815944881889764 in}"),
        ("reads: 100.0", "reads: 10 cm"),
        ("hole: 8.45", 'hole: "0.332677165354331 in"'),
        ("sd: 0.05}\n  - {centres", "sd: 50 um}\n  - {centres"),
    ],
)
def test_units_mix_freely(tmp_path, mm, other):
    plain = solve_file(written(tmp_path, GOOD))
    assert mm in HEAD + GOOD
    path = tmp_path / "mixed.readings.yaml"
    path.write_text((HEAD + GOOD).replace(mm, other), encoding="utf-8")
    for a, b in zip(plain.points, solve_file(path).points, strict=True):
        # Lengths are rounded to 1e-6 mm on entry.
        assert a.place == pytest.approx(b.place, abs=5e-6)


def test_inch_file_with_bare_fractions(tmp_path):
    head = (
        HEAD.replace("units: mm", "units: in").replace("8.45", "11/32").replace("8.5", "11/32").replace("7.9", "5/16")
    )
    network = load_network(written(tmp_path, "  - {centres: [A, B], reads: 3-1/8}\n", head))
    assert network.by_name["A"].diameter == pytest.approx(11 / 32 * 25.4)
    assert network.readings[0].value == pytest.approx(3.125 * 25.4)


def test_deviations_come_from_the_instrument(tmp_path):
    readings = """\
  - {centres: [A, B], reads: 80}
  - {centres: [A, C], reads: [100, 100.05], instrument: vernier caliper}
  - {centres: [B, C], reads: [60, 60.1, 60.2, 60.3], sd: 0.2}
  - {angle: [A, B, C], reads: 90}
  - {straight: [A, B, C], within: 0.3}
"""
    found = load_network(written(tmp_path, readings)).readings
    # Rounding: step / sqrt(12) (JCGM 100:2008 F.2.2.1); setting as stated in the table of instruments.
    assert found[0].sigma == pytest.approx(math.sqrt(0.01**2 / 12 + 0.03**2))
    assert found[1].sigma == pytest.approx(math.sqrt(0.05**2 / 12 + 0.03**2 / 2))
    assert (found[1].value, found[1].repeats) == (pytest.approx(100.025), 2)
    assert (found[2].sigma, found[2].value) == (pytest.approx(0.1), pytest.approx(60.15))
    assert found[3].sigma == pytest.approx(math.sqrt((1 / 12) ** 2 / 12 + 0.05**2))
    assert (found[4].sigma, found[4].kind) == (0.3, ReadingKind.STRAIGHT)


def test_a_reading_may_state_its_own_resolution(tmp_path):
    readings = """\
  - {centres: [A, B], reads: 80, resolution: 0.5}
  - {centres: [A, C], reads: [100, 100.1], resolution: 1/64 in, instrument: steel rule}
  - {angle: [A, B, C], reads: 90, resolution: 1}
"""
    network = load_network(written(tmp_path, readings, HEAD.replace("hole: 8.45", "hole: 8.45, resolution: 0.1")))
    # As above, with the step that the reading states in place of the instrument's; laying on stays the instrument's.
    assert network.by_name["A"].diameter_sigma == pytest.approx(math.sqrt(0.1**2 / 12 + 0.03**2))
    found = [one.sigma for one in network.readings]
    assert found[0] == pytest.approx(math.sqrt(0.5**2 / 12 + 0.03**2))
    assert found[1] == pytest.approx(math.sqrt((25.4 / 64) ** 2 / 12 + 0.15**2 / 2))
    assert found[2] == pytest.approx(math.sqrt(1 / 12 + 0.05**2))


def test_a_wrong_word_for_the_whole_file_is_told_once(tmp_path):
    head = HEAD.replace("units: mm", "units: mm\ninstrument: digital calliper")
    with pytest.raises(SpecError) as fault:
        load_network(written(tmp_path, GOOD, head))
    stated = "unknown instrument 'digital calliper'; allowed: " + INSTRUMENTS + "; did you mean 'digital caliper'?"
    assert str(fault.value) == f"log.readings.yaml:2: instrument: {stated}"


@pytest.mark.parametrize(
    ("old", "new", "stated"),
    [
        ("units: mm", "units: inch", "1: units: not an allowed value, met 'inch'; allowed: mm, in; did you mean 'in'?"),
        (
            "left: [C]}",
            "left: [C], kind: fre}",
            "7: datum.kind: not an allowed value, met 'fre'; allowed: fixed, free; did you mean 'free'?",
        ),
        (
            "hole: 8.45}",
            "hole: 8.45, sd: 0.1, resolution: 0.1}",
            "3: features.A: feature A: resolution, met 0.1; allowed: above 0 mm, in place of `sd`",
        ),
        (
            "hole: 8.45}",
            "hole: 8.45, resolution: 0}",
            "3: features.A: feature A: resolution, met 0; allowed: above 0 mm, in place of `sd`",
        ),
        (
            "hole: 8.45}",
            "hole: 11000}",
            "3: features.A: feature A: 11000 is out of range for a length; allowed: from -10 m to 10 m",
        ),
    ],
)
def test_a_wrong_word_in_the_head_is_told_with_the_nearest(tmp_path, old, new, stated):
    with pytest.raises(SpecError) as fault:
        load_network(written(tmp_path, GOOD, HEAD.replace(old, new)))
    assert str(fault.value) == f"log.readings.yaml:{stated}"


def test_bare_words_name_features(tmp_path):
    network = load_network(written(tmp_path, GOOD, HEAD.replace("front: edge", "front: port edge\n  E: boss")))
    assert (network.by_name["front"].kind, network.by_name["E"].kind) == (FeatureKind.PORT_EDGE, FeatureKind.BOSS)
    assert network.by_name["E"].diameter is None


INSTRUMENTS = (
    "digital caliper, dial caliper, vernier caliper, height gauge, steel rule, tape measure, vernier protractor, "
    "plain protractor"
)
LIST = "; allowed: several values of one reading as a list in one entry"
BAD = [
    (
        "{inside: [A, Bb], reads: 71}",
        "reading 2, A-Bb inside: no feature Bb; allowed: A, B, C, front; did you mean 'B'?",
    ),
    ("{inside: [A, A], reads: 71}", "reading 2, A-A inside: A is measured with itself"),
    ("{inside: [A, B], reads: 71.525}", f"reading 2, A-B inside: repeats reading 1 word for word{LIST}"),
    ("{inside: [B, A], reads: 71.53}", f"reading 2, B-A inside: was read before as reading 1{LIST}"),
    (
        "{inside: [A, B], reads: 72.1}",
        "reading 2, A-B inside: contradicts reading 1 (71.525 mm there, 72.1 mm here); keep the right one" + LIST,
    ),
    (
        "{outside: [A, B], reads: 70}",
        "reading 2, A-B outside: 70 mm contradicts reading 1, A-B inside: 71.525 mm there, which must be shorter",
    ),
    (
        "{depth: [A, front], reads: 3}",
        "reading 2, A-front depth: met hole A, edge front (a depth rod meets nothing at a hole: use hole_to_edge); "
        "allowed: an edge and a stud, boss or parallel edge",
    ),
    (
        "{hole_to_edge: [A, B], reads: 3}",
        "reading 2, A-B hole to edge: met hole A, hole B; allowed: an edge and a round feature",
    ),
    (
        "{straight: [A, front, C]}",
        "reading 2, A-front-C straight: met hole A, edge front, stud C; allowed: three or more round features",
    ),
]
NOT_A_LENGTH = "is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"
BAR = "'3 bar' is not a length: 'bar' is a unit of pressure, not of length; allowed: mm, um, cm, m, in, ft, thou"
FINITE = "; allowed: a finite number, or text in quotes"
UNKNOWN = "none of the allowed forms"
NUMBER = "; allowed: a number, with its unit where that is another"
BAD_VALUES = [
    ("reads: 0", ".reads: {title}: the value is zero, met 0; allowed: above 0 mm"),
    ("reads: -3 mm", ".reads: {title}: the value is negative, met '-3 mm'; allowed: above 0 mm"),
    ("reads: [71, 0]", ".reads[1]: {title}: value 2 of 2 is zero, met 0; allowed: above 0 mm"),
    ("reads: [0 in, 71, 71]", ".reads[0]: {title}: value 1 of 3 is zero, met '0 in'; allowed: above 0 mm"),
    ("reads: [71, -71]", ".reads[1]: {title}: value 2 of 2 is negative, met -71; allowed: above 0 mm"),
    ("reads: [0]", ".reads[0]: {title}: value 1 of 1 is zero, met 0; allowed: above 0 mm"),
    ("reads: [71, seventy]", ".reads[1]: {title}: 'seventy' " + NOT_A_LENGTH),
    ("reads: [71, 3 bar]", ".reads[1]: {title}: " + BAR),
    ("reads: [71, {}]", f".reads[1]: {UNKNOWN}{NUMBER}"),
    ("reads: [71, [72]]", f".reads[1]: {UNKNOWN}{NUMBER}"),
    ("reads: []", ".reads: 0 entries; allowed: at least 1"),
    ("reads: .nan", ".reads: not a finite number, met '.nan'" + FINITE),
    ("reads: [71, .inf]", ".reads[1]: not a finite number, met '.inf'" + FINITE),
    ("reads: [1e400, 71]", ".reads[0]: a number too large, met '1e400'" + FINITE),
    ("reads: 71, sd: -.inf", ".sd: not a finite number, met '-.inf'" + FINITE),
    ("reads: 71, sd: 0", ".sd: {title}: standard deviation, met 0; allowed: above 0 mm"),
    ("reads: [71, 71.01], sd: -1", ".sd: {title}: standard deviation, met -1; allowed: above 0 mm"),
    ("reads: 71, sd: 3 bar", ".sd: {title}: " + BAR),
]
BAD_KEYS = [
    *((f"{{inside: [A, C], {value}}}", message.format(title="reading 2, A-C inside")) for value, message in BAD_VALUES),
    (
        "{angle: [A, B, C], reads: [90, 190]}",
        ".reads[1]: reading 2, A-B-C angle: value 2 of 2 is too large, met 190; allowed: above 0 and below 180 deg",
    ),
    (
        "{straight: [A, B, C], within: 0}",
        ".within: reading 2, A-B-C straight: standard deviation, met 0; allowed: above 0 mm",
    ),
    (
        "{inside: [A, C], reads: 71, resolution: -0.1}",
        ".resolution: reading 2, A-C inside: resolution, met -0.1; allowed: above 0 mm",
    ),
    (
        "{inside: [A, C], reads: 71, sd: 0.1, resolution: 0.1}",
        ".resolution: reading 2, A-C inside: both `sd` and `resolution`; allowed: one of them",
    ),
    (
        "{inside: [A, C], reads: 71, instrument: stele rule}",
        ".instrument: unknown instrument 'stele rule'; allowed: " + INSTRUMENTS + "; did you mean 'steel rule'?",
    ),
    (
        "{inside: [A, C], reads: 71, instrument: plain protractor}",
        ".instrument: reading 2, A-C inside: a plain protractor reads deg, not mm",
    ),
    (
        "{inside: [A, C], reads: [71, 72]}",
        # 6 standard deviations of a difference: 6 sqrt(2) sqrt(0.01^2 / 12 + 0.03^2) = 0.256.
        ".reads: reading 2, A-C inside: its 2 readings contradict each other, 1 mm apart (if that is a decimal comma, "
        "write a point); allowed: at most 0.256 mm",
    ),
    (
        '{inside: [A, C], reads: "91,89"}',
        ".reads: reading 2, A-C inside: '91,89' is not a length: a decimal comma; write '91.89' with a point",
    ),
    ("{inside: [A, C]}", ": reading 2, A-C inside: nothing read; allowed: reads: a value in mm"),
    (
        "{straight: [A, B, C], reads: 3}",
        ".reads: reading 2, A-B-C straight: a statement has no `reads`; allowed: within",
    ),
    (
        "{inside: [A, C], reads: 3, within: 1}",
        ".within: reading 2, A-C inside: `within` is for statements; allowed: sd",
    ),
    ("{inside: [A, C], reads: 3 bar}", f".reads: reading 2, A-C inside: {BAR}"),
    (
        "{inside: [A, C], outside: [A, C], reads: 3}",
        ": reading 2, met 'inside, outside'; allowed: exactly one of centres, inside, outside, same_side, hole_to_edge, "
        "far_to_edge, centre_to_edge, edge_to_edge, depth, angle, straight, square, parallel, diameter",
    ),
]


@pytest.mark.parametrize(("bad", "message"), [*((b, f": {m}") for b, m in BAD), *BAD_KEYS])
def test_bad_reading(tmp_path, bad, message):
    # The bad reading stands in line 10: eight lines of head and one good reading before it.
    path = written(tmp_path, f"  - {{inside: [A, B], reads: 71.525}}\n  - {bad}\n")
    with pytest.raises(SpecError) as fault:
        solve_file(path)
    assert str(fault.value) == f"log.readings.yaml:10: readings[1]{message}"


@pytest.mark.parametrize(
    ("good", "bad", "message"),
    [
        ("front: edge", "front: edgee", "6: features.front: feature front, met 'edgee'; allowed: hole, stud, boss, edge, "
         "port edge; did you mean 'edge'?"),
        ("{hole: 8.45}", "{hole: 8.45, stud: 8}", "3: features.A: feature A; allowed: one of hole, stud, boss with its "
         "diameter, or a bare word"),
        ("{hole: 8.45}", "{hole: 8.45, sd: -0.1}", "3: features.A: diameter's deviation of A, met -0.1; allowed: above "
         "0 mm"),
        ("x_towards: B", "x_towards: BB", "7: datum: x_towards BB is not a round feature; allowed: A, B, C; did you mean "
         "'B'?"),
        ("left: [C]", "left: [B]", "7: datum: B cannot also lie left of the X line"),
    ],
)  # fmt: skip
def test_bad_head(tmp_path, good, bad, message):
    with pytest.raises(SpecError) as fault:
        solve_file(written(tmp_path, GOOD, HEAD.replace(good, bad)))
    assert str(fault.value) == f"log.readings.yaml:{message}"


def test_every_wrong_value_of_a_list_is_told_at_its_own_line(tmp_path):
    readings = "  - inside: [A, C]\n    reads:\n      - 71.2\n      - 0\n      - 71.21\n      - -71.2\n"
    with pytest.raises(SpecError) as fault:
        solve_file(written(tmp_path, readings))
    assert str(fault.value).splitlines() == [
        "log.readings.yaml:12: readings[0].reads[1]: reading 1, A-C inside: value 2 of 4 is zero, met 0; "
        "allowed: above 0 mm",
        "log.readings.yaml:14: readings[0].reads[3]: reading 1, A-C inside: value 4 of 4 is negative, met -71.2; "
        "allowed: above 0 mm",
    ]


def test_list_of_one_value_is_one_reading(tmp_path):
    one = load_network(written(tmp_path, "  - {inside: [A, C], reads: [71.2]}\n")).readings[0]
    plain = load_network(written(tmp_path, "  - {inside: [A, C], reads: 71.2}\n")).readings[0]
    assert (one.value, one.sigma, one.repeats) == (plain.value, plain.sigma, 1)


def test_misspelt_key_is_told_with_its_line(tmp_path):
    with pytest.raises(SpecError, match=r"^log\.readings\.yaml:9: readings\[0\]\.raeds: .*did you mean 'reads'\?"):
        solve_file(written(tmp_path, "  - {inside: [A, B], raeds: 71.525}\n"))


def test_several_faults_are_told_together(tmp_path):
    bad = "  - {inside: [A, A], reads: 71}\n  - {inside: [A, B], reads: 0}\n"
    with pytest.raises(SpecError) as fault:
        solve_file(written(tmp_path, bad))
    assert [line.split(": ")[0] for line in str(fault.value).splitlines()] == [
        "log.readings.yaml:9",
        "log.readings.yaml:10",
    ]


def test_survey_error_names_the_file(tmp_path):
    with pytest.raises(SurveyError, match=r"^log\.readings\.yaml: the readings leave 3 islands"):
        solve_file(written(tmp_path, "  - {inside: [A, B], reads: 71.525}\n"))


def test_surveyed_pattern_feeds_a_joint(tmp_path):
    pattern = surveyed_pattern(written(tmp_path, GOOD), ("B", "C"))
    assert pattern.names == ("B", "C")
    assert pattern.places == ((80.0, 0.0), (80.0, 60.0))
    assert pattern.covariance is not None
    assert pattern.covariance.shape == (4, 4)


MISSHAPEN = """\
unit: mm
features:
  A: {hole: {}}
  B: {hole: 8.5, sdd: 0.05}
  "C d": {hole: 3}
datum: {origin: A, left: C}
readings:
  - {inside: [A], reads: 71.55}
  - {inside: [A, B], reads: true}
  - 3
"""


def test_misshapen_file(tmp_path):
    with pytest.raises(SpecError) as fault:
        solve_file(written(tmp_path, "", MISSHAPEN))
    number = "a number, with its unit where that is another"
    assert str(fault.value).splitlines() == [
        "log.readings.yaml:1: unit: unknown key; allowed: survey, units, instrument, instruments, features, datum, pictures, readings; "
        "did you mean 'units'?",
        f"log.readings.yaml:3: features.A.hole: none of the allowed forms; allowed: {number}, or a list of one or more",
        "log.readings.yaml:4: features.B.sdd: unknown key; allowed: hole, stud, boss, at, within, "
        "nominal, sd, resolution, instrument; did you mean 'sd'?",
        "log.readings.yaml:5: features.C d: a key of a form that is not allowed, met 'C d'; allowed: a letter or digit, then letters, "
        "digits or _; at most 20",
        "log.readings.yaml:6: datum.x_towards: this key is missing",
        "log.readings.yaml:6: datum.left: wanted is a list, met 'C'",
        "log.readings.yaml:8: readings[0].inside: 1 entry; allowed: exactly 2",
        f"log.readings.yaml:9: readings[1].reads: none of the allowed forms, met True; allowed: {number}, "
        "or a list of one or more",
        "log.readings.yaml:10: readings[2]: wanted is a mapping, met 3",
    ]


@pytest.mark.parametrize(
    ("statement", "value", "sigma"),
    [
        ("{straight: [A, B, C]}", 0.0, 0.05),  # common practice, no source
        ("{square: [front, side]}", 90.0, 0.1),
        ("{parallel: [front, side]}", 0.0, 0.1),
        ("{parallel: [front, side], within: 0.4}", 0.0, 0.4),
    ],
)
def test_a_statement_on_shape_is_as_sure_as_it_is_taken_to_be(tmp_path, statement, value, sigma):
    head = HEAD.replace("  front: edge\n", "  front: edge\n  side: edge\n")
    network = load_network(written(tmp_path, f"  - {statement}\n{GOOD}", head))
    assert (network.readings[0].value, network.readings[0].sigma) == (value, sigma)
