"""Distances between solids, envelopes and imported STEP files, against hand geometry."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.errors import GeometryError
from platemaker.parts import Envelope, EnvelopeKind
from platemaker.plane import Circle, Loop, Region
from platemaker.solids import ImportedBody, Solid, envelope_solid, load_step, placed
from platemaker.space import Frame

pytestmark = pytest.mark.kernel


def box(x: float, y: float, z: float, at: tuple[float, float, float] = (0, 0, 0)) -> Solid:
    """A box centred on X and Y of `at`, standing on its Z."""
    return placed(envelope_solid(Envelope(EnvelopeKind.BOX, (x, y, z)), Path()), Frame(at))


def test_cylinders_side_by_side() -> None:
    post = Envelope(EnvelopeKind.CYLINDER, (0, 0, 30), circle=Circle((1.0, 2.0), 6.0))
    solid = envelope_solid(post, Path())
    assert solid.Volume() == pytest.approx(math.pi * 36 * 30, rel=1e-12)
    # Axes 20 apart, radii 6 and 6.
    beside = ImportedBody.of(placed(solid, Frame((12, 16, 0))))
    assert ImportedBody.of(solid).separation(beside).distance == pytest.approx(8.0, abs=1e-9)


def test_a_prism_turned_into_its_place() -> None:
    prism = Envelope(EnvelopeKind.PRISM, (0, 0, 5), region=Region.of(Loop.rectangle(20, 10, 2)))
    turned = placed(envelope_solid(prism, Path()), Frame((100, 0, 0), (0, 1, 0), (-1, 0, 0)))
    box_of = turned.BoundingBox()
    assert (box_of.xmin, box_of.xmax) == pytest.approx((95, 105), abs=1e-6)
    assert (box_of.ymin, box_of.ymax) == pytest.approx((-10, 10), abs=1e-6)
    assert turned.Volume() == pytest.approx((200 - (4 - math.pi) * 4) * 5, rel=1e-12)


def test_an_envelope_without_its_figure_is_refused() -> None:
    with pytest.raises(GeometryError, match="a prism envelope without its figure"):
        envelope_solid(Envelope(EnvelopeKind.PRISM, (0, 0, 5)), Path())


def test_a_step_file_is_read_with_its_figures(tmp_path: Path) -> None:
    import cadquery as cq

    both = cq.Compound.makeCompound([box(10, 10, 10), box(4, 5, 6, (30, 0, 0))])
    both.exportStep(str(tmp_path / "two.step"))
    found = load_step(tmp_path / "two.step")
    assert (found.solids, found.volume) == (2, pytest.approx(1000 + 120, rel=1e-12))
    assert found.bounds == pytest.approx((-5, -5, 0, 32, 5, 10), abs=1e-6)
    body = envelope_solid(Envelope(EnvelopeKind.STEP, (0, 0, 0), file="two.step"), tmp_path)
    assert len(body.Solids()) == 2


def test_a_file_that_is_no_step_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "text.step").write_text("not a model")
    with pytest.raises(GeometryError, match=r"text\.step (cannot be read as a STEP file|holds no solid)"):
        load_step(tmp_path / "text.step")
    with pytest.raises(GeometryError, match=r"gone\.step cannot be read as a STEP file"):
        load_step(tmp_path / "gone.step")


def test_a_step_file_without_solids_is_named(tmp_path: Path) -> None:
    import cadquery as cq

    cq.Face.makePlane(10, 10).exportStep(str(tmp_path / "sheet.step"))
    with pytest.raises(GeometryError, match=r"sheet\.step holds no solid"):
        load_step(tmp_path / "sheet.step")
