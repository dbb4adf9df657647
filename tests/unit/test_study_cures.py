"""Cures: which keys are touched, what a value may become, and changes that settle what was broken out of sight."""

from __future__ import annotations

import math
import shutil
from fractions import Fraction
from pathlib import Path

import pytest

from platemaker.checks import Limit, measured, worst_first
from platemaker.records import replace
from platemaker.report import items_of, worded
from platemaker.resolved import resolved_stack
from platemaker.spec import dotted, load_project, read_folder, validate
from platemaker.study import Advice, advise, apply_cure, touched_keys, value_at, with_value
from platemaker.study._cures._advise import _cures
from platemaker.study._cures._effects import cure_of, drawbacks
from platemaker.study._cures._loops import closing_changes
from platemaker.study._cures._pairs import changes_of_a_pair
from platemaker.study._cures._steps import SteppedNumber, SteppedWord, rounded, steps_of
from platemaker.study._cures._trial import BAD, Bench, Checks, Target
from platemaker.units import Phrase
from tests.cure_mutations import PROJECTS, Mutation, fails
from tests.frozen_demo import FROZEN
from tests.package_tree import ROOT
from tests.study_projects import project

BROKEN = (
    Mutation("thin", "tank", "parts.ring.thickness", 27.4),
    Mutation("short", "tank", "joints.seam.bolts.length", 45),
    Mutation("crowded", "tank", "joints.seam.bolts.pattern.circle", 142.4),
    Mutation("misaligned", "arm", "parts.angle.holes.foot.at[0]", 17.0),
)
LEAKING = Mutation("leaking", "tank", "joints.seam.opening.circle", 111.0)


PAIR = """
project: pair
parts:
  low: {kind: plate, material: 6061-T6, thickness: 24, outline: {circle: 60}, place: {at: [0, 0, 0]},
    holes: {eye: {at: [2.9, 0], tapped: M6, depth: 15}}}
  high: {kind: plate, material: 6061-T6, thickness: 10, outline: {circle: 60}, place: {at: [0, 0, 24]},
    holes: {eye: {at: [0, 0], clear: M6, screw: {length: 22}}}}
"""
"""Two discs on each other, and a screw whose holes are 2.9 mm off."""


def number_of(text: str) -> float:
    return float(text.split(maxsplit=1)[0])


def for_one(folder: Path, check: str) -> Advice:
    """The cures of a check's items alone: those of all others take most of the time."""
    bench = Bench(load_project(folder))
    items = [item for item in bench.base.items if item.worst.check == check and item.verdict in BAD]
    return Advice(bench.spec, bench.base, {item.identity: _cures(bench, item) for item in items})


def cured(found: Advice, check: str) -> dict[str, tuple[str, str]]:
    """The cures of the failing items of a check: from what to what, by key."""
    items = items_of(found.checks.stack, found.checks.findings, found.cures)
    return {one.key: (one.was, one.to) for item in items if item.worst.check == check for one in item.cures}


@pytest.mark.parametrize("broken", BROKEN, ids=lambda one: one.kind)
def test_every_fail_has_a_cure_and_the_file_with_it_says_so(broken: Mutation, tmp_path: Path) -> None:
    """Each cure is written to a copy of the project, which is then read and checked from nothing."""
    folder = broken.written(tmp_path)
    spec = load_project(folder)
    before = fails(spec)
    found = advise(spec)
    failing = [item for item in items_of(found.checks.stack, found.checks.findings) if item.verdict == "fail"]
    assert before and {one.id for item in failing for _, one in item.named} == before
    assert max(found.spent.values()) <= 30
    for place, item in enumerate(failing):
        assert found.proved[item.identity], item.worst
        for number, proved in enumerate(found.proved[item.identity][:2]):
            copy = tmp_path / f"copy_{place}_{number}"
            shutil.copytree(folder, copy)
            apply_cure(load_project(copy), proved)
            after = fails(load_project(copy))
            assert after < before, "it settles some and breaks nothing"
            assert not after & {one.id for _, one in item.named}
            assert proved.passes == (not after)


def test_the_first_cure_is_the_smallest_that_the_limit_allows(tmp_path: Path) -> None:
    """Land asked for 8 mm, holes of 10 in the gasket on a circle of 130: the port may be 130 - 10 - 16 = 104 at most.

    Its edge at 111/2 wants the bolts on 111 + 10 + 16 = 137 or more. Both on a grid of 0.5 mm; 7 mm of change each.
    """
    found = advise(load_project(LEAKING.written(tmp_path)))
    seen = cured(found, "PM921")
    assert 103 <= number_of(seen["joints.seam.opening.circle"][1]) <= 104
    assert 137 <= number_of(seen["joints.seam.bolts.pattern.circle"][1]) <= 138


def test_holes_moved_apart_are_no_cure(tmp_path: Path) -> None:
    """A little farther off, or one size smaller, they no longer count as holes of one screw, and nothing is checked."""
    (tmp_path / "project.yaml").write_text(PAIR, encoding="utf-8")
    seen = cured(advise(load_project(tmp_path)), "PM307")
    assert seen, "there is a cure"
    for key, (_, to) in seen.items():
        assert key.endswith("eye.at[0]")
        other = 0.0 if "low" in key else 2.9
        assert abs(number_of(to) - other) <= 0.3, "half the play of M6 in a hole of 6.6"


def test_a_change_that_loses_a_screw_is_no_cure(tmp_path: Path) -> None:
    """A thread 0.5 mm from the rim: at 10 mm from the middle it has metal all round, and no hole over it any more."""
    other = "other: {at: [-15, 0]"
    edits = {"[2.9, 0]": "[26.5, 0]", "eye: {at: [0, 0]": "eye: {at: [26.5, 0]", "60}, place: {at: [0, 0, 24]}": "90}, "
             "place: {at: [0, 0, 24]}", "depth: 15}": f"depth: 15}}, {other}, tapped: M6, depth: 15}}",
             "{length: 22}}": f"{{length: 22}}}}, {other}, clear: M6, screw: {{length: 22}}}}"}  # fmt: skip
    project(tmp_path, PAIR, **edits)
    bench = Bench(load_project(tmp_path))
    items = items_of(bench.base.stack, bench.base.findings)
    item = next(one for one in items if one.worst.check == "PM110" and one.worst.part == "low")
    paths = (("parts", "low", "holes", "eye", "at", 0),)
    after = bench.whole((paths, 10))
    assert after is not None
    assert len(resolved_stack(bench.base.stack).bolts) - len(resolved_stack(after.stack).bolts) == 1
    assert not [found for found in after.findings if found.verdict == "fail"]
    assert cure_of(Target(bench, item), bench.spec, bench.base, after, [(paths, 10)]) is None


def test_a_hole_drilled_through_is_no_cure_of_its_floor(tmp_path: Path) -> None:
    """Drilled 15.4 deep of 16 the point breaks through; 0.6 mm deeper there is no floor to measure any more."""
    folder = Mutation("thin", "arm", "parts.bed.holes.dowel.depth", 15.4).written(tmp_path)
    seen = cured(advise(load_project(folder)), "PM110")
    was, to = seen["parts.bed.holes.dowel.depth"]
    assert number_of(to) + 3 / math.tan(math.radians(59)) <= 16 - 3 < number_of(was), "3 mm under the point of 118 deg"


def together(found: Advice, check: str) -> list[dict[str, tuple[str, str]]]:
    """The cures of the failing item of a check, each as all that it changes: from what to what, by key."""
    [item] = [one for one in items_of(found.checks.stack, found.checks.findings, found.cures)
              if one.worst.check == check and one.verdict == "fail"]  # fmt: skip
    return [{key: (was, to) for key, was, to in cure.changes} for cure in item.cures]


def test_a_bracket_that_misses_in_two_directions_gets_leg_and_hole(tmp_path: Path) -> None:
    """The wall's face stands 46 mm before the bed's thread, so leg 1 is 21 + 46 = 67 long.

    The thread in the wall is 38 mm over the foot, 42 with the bracket's 4 mm.
    """
    legs = (("parts.angle.holes.eye.at[0]", 38),)
    folder = Mutation("misaligned", "arm", "parts.angle.legs[0]", 72, legs).written(tmp_path)
    found = advise(load_project(folder))
    first = together(found, "PM711")[0]
    assert first == {"parts.angle.legs[0]": ("72", "67"), "parts.angle.holes.eye.at[0]": ("38", "42")}
    assert found.numbered[0].passes
    places = apply_cure(load_project(folder), found.numbered[0])
    assert {place.key for place in places} == set(first)
    assert not fails(load_project(folder))


def test_an_angle_and_a_leg_are_found_together(tmp_path: Path) -> None:
    also = (("parts.angle.legs[0]", 65),)
    folder = Mutation("misaligned", "arm", "parts.angle.bends[0].angle", 94, also).written(tmp_path)
    first = together(for_one(folder, "PM712"), "PM712")[0]
    assert first == {"parts.angle.legs[0]": ("65", "67"), "parts.angle.bends[0].angle": ("94", "90")}


def test_holes_that_miss_along_both_axes_move_along_both(tmp_path: Path) -> None:
    """Those of the upper plate stand at 40, 53."""
    also = (("parts.lower.holes.sensor.at[1]", 51),)
    folder = Mutation("misaligned", "cover", "parts.lower.holes.sensor.at[0]", 42, also).written(tmp_path)
    cures = together(advise(load_project(folder)), "PM307")
    upper = {"parts.upper.holes.sensor.at[0]": ("40", "42"), "parts.upper.holes.sensor.at[1]": ("53", "51")}
    assert upper in cures


def test_the_shim_of_a_bracket_on_shared_bolts_is_what_lies_under_its_other_side() -> None:
    """The plate of 16 mm on a gasket of 0.8 mm puts it 16.8 mm out."""
    folder = ROOT / "part_specs" / "pump_engine"
    sources, data = read_folder(folder)
    key = ("joints", "engine_mount", "shared", "shim")
    bench = Bench(validate(folder, sources, with_value(data, key, 10)))
    [item] = [one for one in bench.base.items if one.worst.check == "PM977" and one.verdict == "caution"]
    assert (((key,), 16.8),) in list(closing_changes(bench, Target(bench, item), 30.0))


def test_a_longer_bolt_and_a_deeper_thread_are_found_together(tmp_path: Path) -> None:
    """Lid 16, gasket 0.8, washer 1.6 and 12 of thread for 1.5 diameters of M8: 30.4 wants a bolt of 35, in 16.6 and more.

    No length alone does it in a thread of 11.3 mm, and no depth with a bolt of 20 mm.
    """
    also = (("parts.ring.above.seam.thread_depth", 11.3),)
    folder = Mutation("short", "tank", "joints.seam.bolts.length", 20.0, also).written(tmp_path)
    found = advise(load_project(folder))
    first = together(found, "PM302")[0]
    assert set(first) == {"joints.seam.bolts.length", "parts.ring.above.seam.thread_depth"}
    assert first["joints.seam.bolts.length"][1] == "35"
    assert 16.6 < number_of(first["parts.ring.above.seam.thread_depth"][1]) < 22
    assert max(found.spent.values()) <= 30
    apply_cure(load_project(folder), found.numbered[0])
    assert not fails(load_project(folder))


def test_a_thread_as_deep_as_the_next_stock_bolt_wants(tmp_path: Path) -> None:
    """M8 through 12 of plate and 1.6 of washer: 20 long engages 6.4 of the 12 that aluminium asks for, 25 long 11.4.

    The next, 30 long, wants 16.4 and a pitch of 1.25 of thread: half a millimetre more at a time changes nothing.
    """
    text = (PROJECTS / "cover" / "project.yaml").read_text(encoding="utf-8")
    edits = {"thread: M8, length: 30": "thread: M8", "thread_depth: 19": "thread_depth: 8"}
    seen = cured(for_one(project(tmp_path, text, **edits), "PM302"), "PM302")
    assert seen["parts.lower.above.rim.thread_depth"] == ("8", "18")


def test_a_screw_that_is_overtightened_gets_less_torque(tmp_path: Path) -> None:
    """M6 of 8.8, lubricated, K = 0.18 less a wrench's 25 %: 0.144 times 6 mm times the proof load, 20.1 by 580 N, 10.07 N.m."""
    text = (PROJECTS / "cover" / "project.yaml").read_text(encoding="utf-8")
    folder = project(tmp_path, text, **{"torque: 7 N.m": "torque: 16 N.m"})
    found = advise(load_project(folder))
    assert cured(found, "PM903") == {"parts.upper.holes.sensor.screw.torque": ("16 N.m", "10 N.m")}
    [wider] = [one for one in found.numbered if one.cure.to == "7 N.m"]
    apply_cure(load_project(folder), wider)
    assert not fails(load_project(folder))


def test_a_fail_that_became_a_caution_is_no_farther_off() -> None:
    """20 % short of the limit that fails is worse than 40 % short of the one that cautions."""
    limit = Limit(10.0, "mm", "by hand", caution=20.0)
    before, after = (measured("PM302", "engagement", "lid", ["eye"], depth, limit) for depth in (8.0, 12.0))
    assert (before.verdict, after.verdict) == ("fail", "caution")
    bench = Bench(load_project(PROJECTS / "cover"))
    old, new = (replace(bench.base, findings=(found,)) for found in (before, after))
    assert drawbacks(old, new) == ()
    assert [one.name for one in drawbacks(new, replace(new, findings=(replace(after, measured=11.0, margin=-9.0),)))
            if isinstance(one, Phrase)] == ["farther_off"]  # fmt: skip


def test_like_holes_that_get_worse_are_stated_as_one() -> None:
    """Four holes of one pattern are one cause, the hole beside them and its length another."""
    bench = Bench(load_project(PROJECTS / "cover"))

    def checks(depth: float) -> Checks:
        limit = Limit(10.0, "mm", "by hand", caution=20.0)
        found = [measured("PM304", "depth", "lower", [f"rim_{n}"], depth - n, limit) for n in (1, 2, 3, 4)]
        found += [measured("PM304", "depth", "lower", ["sensor"], depth, limit)]
        return replace(bench.base, findings=tuple(worst_first(found)))

    rim, sensor = "PM304 depth of lower, rim_4 and 3 more", "PM304 depth of lower, sensor"
    for old, new, way in (
        (25.0, 16.0, "brings a caution: "),
        (16.0, 15.0, "farther off its limit: "),
        (25.0, 9.0, "fails: "),
    ):
        said = [worded(one).metric for one in drawbacks(checks(old), checks(new))]
        assert said == [f"{way}{rim}", f"{way}{sensor}"]


def test_more_bolts_that_fail_as_the_others_do_are_a_cure(tmp_path: Path) -> None:
    """Of three M6 on 130 each is 6.5 mm from the edge, 1.08 diameters of 1.5, and would be of eight.

    TEMA RCB-11.22 allows 2 d + 6 t/(m + 0.5) between them: 12 + 96/2.25 = 54.7 mm; of seven they are 130 sin(180/7) = 56.4
    apart, of eight 49.7.
    """
    text = (PROJECTS / "tank" / "project.yaml").read_text(encoding="utf-8")
    folder = project(
        tmp_path, text, **{"count: 12": "count: 3", "thread: M8": "thread: M6", "{circle: 164}": "{circle: 143}"}
    )
    found = advise(load_project(folder))
    items = items_of(found.checks.stack, found.checks.findings, found.cures)
    tight, wide = (next(one for one in items if one.worst.check == check) for check in ("PM924", "PM922"))
    count = "joints.seam.bolts.pattern.count"
    assert [(one.key, one.was, one.also) for one in tight.cures] == [(count, "3", ())]
    assert tight.cures[0].effects == "", "neither are the new holes worse, nor is the spacing as it should be"
    assert [(one.key, one.was, one.to, one.also) for one in wide.cures] == [(count, "3", "8", ())]
    assert any("PM924" in str(one) for one in wide.cures[0].clears)


def test_entries_of_a_catalog_are_leapt_over(tmp_path: Path) -> None:
    """M6 in aluminium wants 1.5 diameters, 9 mm, of thread behind 4 mm of bracket: lengths are 12, 16, 20."""
    folder = Mutation("short", "arm", "parts.angle.holes.eye.screw.length", 6.0).written(tmp_path)
    seen = cured(advise(load_project(folder)), "PM302")
    assert number_of(seen["parts.angle.holes.eye.screw.length"][1]) == 16


TWINS = """
project: twins
parts:
  left: {kind: plate, material: 6061-T6, thickness: 12, outline: {circle: 60}, holes: {eye: {at: [24, 0], diameter: 8}}}
  right: {kind: plate, material: 6061-T6, thickness: 12, outline: {circle: 60}, holes: {eye: {at: [24, 0], diameter: 8}}}
"""


def test_twin_parts_change_together(tmp_path: Path) -> None:
    """30 - 24 - 4 = 2 mm of wall in both, 3 asked for: one item, whose cures change both parts alike, in one go."""
    file = tmp_path / "project.yaml"
    file.write_text(TWINS, encoding="utf-8")
    found = advise(load_project(tmp_path))
    first = found.numbered[0]
    assert first.cure.key == "parts.left.holes.eye.at[0] and parts.right.holes.eye.at[0]"
    apply_cure(load_project(tmp_path), first)
    assert file.read_text(encoding="utf-8") == TWINS.replace("[24, 0]", "[23, 0]")
    assert first.passes
    assert not fails(load_project(tmp_path))


def test_what_no_key_cures_has_an_empty_entry(tmp_path: Path) -> None:
    """A disc with one hole in its middle whose `limits` ask for a wall that nothing between 0 and 100 mm more gives."""
    (tmp_path / "project.yaml").write_text(
        "project: disc\nlimits: {minimum_wall: 900}\nparts:\n  disc: {kind: plate, material: 6061-T6, thickness: 12, "
        "outline: {circle: 60}, holes: {eye: {at: [0, 0], diameter: 20}}}\n",
        encoding="utf-8",
    )
    found = advise(load_project(tmp_path))
    assert found.proved
    assert set(found.cures.values()) == {()}


def test_an_interrupt_keeps_what_there_is(tmp_path: Path) -> None:
    folder = Mutation("thin", "adapter", "parts.adapter.thickness", 10.8).written(tmp_path)

    def progress(done: int, _asked: int) -> None:
        if done == 1:
            raise KeyboardInterrupt

    found = advise(load_project(folder), progress=progress)
    assert found.interrupted
    assert len(found.proved) == 1
    assert found.numbered


@pytest.mark.parametrize("folder", [FROZEN, ROOT / "part_specs" / "pump_engine", *sorted(PROJECTS.iterdir())])
def test_no_cure_touches_what_is_stated_or_exists(folder: Path) -> None:
    spec = load_project(folder)
    keys = {dotted(path) for path in touched_keys(spec)}
    assert keys
    assert {key.split(".")[0] for key in keys} <= {"parts", "joints"}, "not design, bodies, belt, limits, accept, stack"
    held = {name for body in spec.data.get("bodies", {}).values() for name in body.get("joints", {})}
    for key in keys:
        words = key.replace("[", ".").split(".")[2:]
        stated = {"limits", "pressure", "position", "injector", "fitting", "place", "survey", "level", "stud",
                  "factor", "seating_stress", "keep_clear", "flat", "measured", "spigot", "title", "note", "marks",
                  "quantity", "alignment", "o_ring_size", "play", "towards"}  # fmt: skip
        assert not stated & set(words), key
        if key.startswith("joints"):
            assert key.split(".", 2)[2] != "gasket.land", "the least land is a limit"
            name = key.split(".")[1]
            assert name not in held or not {"pattern", "thread", "spots", "opening"} & set(words), key


def test_the_keys_of_one_joint_between_made_parts_and_of_one_on_a_body() -> None:
    keys = {dotted(path) for path in touched_keys(load_project(PROJECTS / "cover"))}
    assert {key for key in keys if key.startswith("joints.")} == {
        "joints.port.bolts.length", "joints.port.bolts.washers", "joints.port.gasket.thickness",
        "joints.rim.bolts.length", "joints.rim.bolts.washers", "joints.rim.bolts.thread", "joints.rim.opening.circle",
        "joints.rim.seal.o_ring", *(f"joints.rim.bolts.pattern.{word}[{n}]" for word in ("rectangle", "rows")
                                    for n in (0, 1)),
    }  # fmt: skip


def test_steps_are_those_of_a_shop() -> None:
    """Sizes by 0.5 mm or 1/16 in; lengths, threads and classes by the catalog; what has no row stays."""
    spec = load_project(ROOT / "part_specs" / "pump_engine")
    inch = steps_of(spec, ("parts", "blower_plate", "thickness"))
    assert isinstance(inch, SteppedNumber)
    assert inch.value(Fraction(17, 16)) == "1-1/16 in"
    assert rounded(1.01, inch.grids[0], 1) == Fraction(17, 16)
    size = steps_of(spec, ("parts", "blower_plate", "pocket", "depth"))
    assert isinstance(size, SteppedNumber)
    assert (size.grids[0], size.value(Fraction(25, 2)), size.value(Fraction(12))) == (Fraction(1, 2), 12.5, 12)
    row = steps_of(spec, ("joints", "plate_to_plate", "bolts", "length"))
    assert isinstance(row, SteppedWord)
    assert row.entries[row.place - 1 : row.place + 2] == (35, 40, 45)
    row = steps_of(spec, ("joints", "plate_to_plate", "bolts", "thread"))
    assert isinstance(row, SteppedWord)
    assert row.entries[row.place - 1 : row.place + 2] == ("M6", "M8", "M10")
    assert value_at(spec.data, ("parts", "fuel_rail", "ends", "port")) == -6
    assert steps_of(spec, ("parts", "fuel_rail", "kind")) is None


DEEP = """
project: deep
accept: [{check: PM304, feature: deep, limit: 3.25, because: the tap reaches}]
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 30, outline: {circle: 60}, holes: {deep: {at: [0, 0], tapped: M8}}}
"""


def test_a_cure_aims_at_the_limit_that_is_accepted(tmp_path: Path) -> None:
    """A thread of M8 more than 3 diameters deep, 24 mm, warns; 3.25, which are 26 mm, are accepted."""
    found = advise(load_project(project(tmp_path, DEEP)))
    [item] = [one for one in items_of(found.checks.stack, found.checks.findings) if one.worst.check == "PM304"]
    [best] = [one for one in found.proved[item.identity] if one.cure.key == "parts.lid.thickness"]
    assert (best.cure.was, best.cure.to, best.clean) == ("30", "26", True)
    [line] = [one for one in items_of(found.checks.stack, found.checks.findings) if one.worst.check == "PM001"]
    assert "PM001" in str(best.cure.clears), "the acceptance applies again"
    assert "parts.lid.thickness" in [one.cure.key for one in found.proved[line.identity]]


def test_an_acceptance_of_what_no_longer_warns_is_not_cured_by_making_it_warn(tmp_path: Path) -> None:
    """19 mm are 2.4 diameters of M8, which pass; the pocket's floor of 1 mm wants 21, which are 2.6 and warn."""
    edits = {"limit: 3.25, ": "", "thickness: 30": "thickness: 19",
             "holes:": "pocket: {shape: {circle: 20, at: [16, 0]}, depth: 18, cutter: 8}, holes:"}  # fmt: skip
    found = advise(load_project(project(tmp_path, DEEP, **edits)))
    items = items_of(found.checks.stack, found.checks.findings)
    floor, line = (next(one for one in items if one.worst.check == check) for check in ("PM110", "PM001"))
    assert ("parts.lid.thickness", "21") in [(one.cure.key, one.cure.to) for one in found.proved[floor.identity]]
    assert found.proved[line.identity] == ()


ALIASED = """
project: aliased
parts:
  left: {kind: plate, material: 6061-T6, thickness: 12, outline: &rim {circle: 60}, holes: {eye: {at: [24, 0], diameter: 8}}}
  right: {kind: plate, material: 6061-T6, thickness: &thick 12, outline: *rim, quantity: 2}
limits: {minimum_wall: &least 3, minimum_floor: *least}
"""


def test_what_an_alias_brings_in_changes_with_its_anchor(tmp_path: Path) -> None:
    """30 - 24 - 4 = 2 mm of wall, 3 asked for: a rim of 62, which both discs have."""
    file = project(tmp_path, ALIASED) / "project.yaml"
    found = advise(load_project(tmp_path))
    [rim] = [one for one in found.numbered if "circle" in one.cure.key]
    assert rim.cure.key == "parts.left.outline.circle and parts.right.outline.circle"
    apply_cure(load_project(tmp_path), rim)
    assert file.read_text(encoding="utf-8") == ALIASED.replace("circle: 60", "circle: 62")
    assert rim.passes
    assert not fails(load_project(tmp_path))


def test_a_key_whose_value_an_alias_brings_into_what_may_not_change_is_no_cure(tmp_path: Path) -> None:
    """The rim's own size is a limit, too."""
    edits = {"&rim {circle: 60}": "{circle: &rim 60}", "*rim": "{circle: 60}", "&least 3": "3",
             "minimum_floor: *least": "cutter_depth: *rim"}  # fmt: skip
    found = advise(load_project(project(tmp_path, ALIASED, **edits)))
    assert found.numbered
    assert not [one for one in found.numbered if "outline" in one.cure.key]


CORNER = """
project: corner
bodies:
  casting: {material: A356-T6, envelope: {box: [140, 120, 60]}, joints: {rim: {face: above, holes: tapped, thread_depth: 20}}}
joints:
  rim: {bolts: {pattern: {rectangle: [100, 80]}, thread: M8, length: 25}}
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 10, outline: {rectangle: [112, 92]}, below: {rim: {holes: clear}}}
"""


@pytest.mark.parametrize(("sizes", "cure"), [("112, 92", ("115", "95")), ("112, 91", ("115", "95"))])
def test_a_corner_comes_away_from_both_sides(tmp_path: Path, sizes: str, cure: tuple[str, str]) -> None:
    """Holes of 9 mm on 100 x 80 of an existing casting want 3 mm round them: 100 + 9 + 6 by 80 + 9 + 6.

    Where they are as near to both sides, neither size does anything alone.
    """
    found = advise(load_project(project(tmp_path, CORNER, **{"112, 92": sizes})))
    first = together(found, "PM110")[0]
    assert tuple(first[f"parts.lid.outline.rectangle[{place}]"][1] for place in (0, 1)) == cure
    assert max(found.spent.values()) <= 30


def test_a_corner_comes_away_rather_than_a_thread_of_half_the_size(tmp_path: Path) -> None:
    """Holes of 6.6 mm on 80 x 60 want 80 + 6.6 + 6 by 60 + 6.6 + 6. M3 does too, but its thread is too deep then."""
    text = """
project: made
joints:
  rim: {bolts: {pattern: {rectangle: [80, 60]}, thread: M6, length: 20}}
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [90, 70]}, below: {rim: {holes: clear}}}
  base: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [110, 90]}, above: {rim: {holes: tapped}}}
"""
    first, *others = together(advise(load_project(project(tmp_path, text))), "PM110")
    sizes = {f"parts.lid.outline.rectangle[{place}]": sides for place, sides in enumerate((("90", "93"), ("70", "73")))}
    assert first == sizes
    assert {"joints.rim.bolts.thread": ("M6", "M3")} in others


def test_a_hole_in_a_corner_moves_along_the_diagonal(tmp_path: Path) -> None:
    """The hole is 2 mm from both sides, upper left: 3 mm asked for."""
    text = """
project: pad
parts:
  pad: {kind: plate, material: 6061-T6, thickness: 10, outline: {rectangle: [100, 80]},
    holes: {eye: {at: [-44, 34], diameter: 8}}}
"""
    bench = Bench(load_project(project(tmp_path, text)))
    [item] = [one for one in items_of(bench.base.stack, bench.base.findings) if one.worst.check == "PM110"]
    paths = [(("parts", "pad", "holes", "eye", "at", place),) for place in (0, 1)]
    assert ((paths[0], -43), (paths[1], 33)) in list(changes_of_a_pair(bench, Target(bench, item), 28.0))
