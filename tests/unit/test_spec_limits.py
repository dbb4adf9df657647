"""Limits that a spec sets: lengths in the project's unit, the rest as multiples."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker import checks
from platemaker.catalog import Family, LimitName, limits
from platemaker.errors import SpecErrors
from platemaker.spec import PlateFields, load_project
from tests.plates import found, stack_of

SPEC = """
project: trial
units: {units}
limits: {{minimum_wall: {wall}}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 20 mm
    outline: {{rectangle: [100 mm, 60 mm]}}
    holes: {{a: {{at: [-10 mm, 0], diameter: 10 mm}}, b: {{at: [7 mm, 0], diameter: 10 mm}}}}
"""


@pytest.mark.parametrize(
    ("units", "wall", "required"),
    [("mm", "4", 4.0), ("in", "1/4", 6.35), ("in", "0.25", 6.35), ("in", "5 mm", 5.0), ("mm", "3/16 in", 4.7625)],
)
def test_a_limit_that_is_a_length_is_in_the_projects_unit(
    tmp_path: Path, units: str, wall: str, required: float
) -> None:
    finding = found(stack_of(tmp_path, SPEC.format(units=units, wall=wall)), "PM110", "a", "b")
    # Holes of 10 mm, their middles 17 mm apart.
    assert finding.measured == pytest.approx(17 - 10, abs=1e-9)
    assert finding.required == pytest.approx(required, abs=1e-9)


def test_a_part_goes_before_the_project(tmp_path: Path) -> None:
    own = "thickness: 20 mm\n    limits: {minimum_wall: 9}"
    text = SPEC.format(units="mm", wall="4").replace("thickness: 20 mm", own)
    assert found(stack_of(tmp_path, text), "PM110", "a", "b").required == 9.0


def test_every_limit_of_the_catalog_can_be_set_in_its_unit() -> None:
    model = PlateFields.model_fields["limits"].annotation
    assert sorted(model.model_fields) == sorted(["because", "usual", *(name.value for name in LimitName)])
    for name, row in limits(Family.ALUMINIUM).items():
        read = model.model_validate({name.value: 2}, context={"units": "in"}).given()
        assert read == {name.value: pytest.approx(50.8 if row.unit == "mm" else 2.0)}


def test_every_limit_is_used_by_a_check() -> None:
    source = "".join(path.read_text(encoding="utf-8") for path in Path(checks.__file__).parent.rglob("*.py"))
    assert [name for name in LimitName if f"LimitName.{name.name}" not in source] == []


def test_an_unknown_limit_is_told_with_the_nearest(tmp_path: Path) -> None:
    (tmp_path / "project.yaml").write_text(SPEC.format(units="mm", wall="4").replace("minimum_wall", "minimun_wall"))
    with pytest.raises(SpecErrors) as caught:
        load_project(tmp_path)
    assert str(caught.value).startswith("project.yaml:4: limits.minimun_wall: unknown key; allowed: minimum_wall, ")
    assert str(caught.value).endswith("did you mean 'minimum_wall'?")


def test_a_limit_of_nothing_is_refused(tmp_path: Path) -> None:
    (tmp_path / "project.yaml").write_text(SPEC.format(units="mm", wall="0"))
    with pytest.raises(SpecErrors) as caught:
        load_project(tmp_path)
    assert str(caught.value) == (
        "project.yaml:4: limits.minimum_wall: 0 is out of range for a length; allowed: above 0 mm, at most 10 m"
    )
