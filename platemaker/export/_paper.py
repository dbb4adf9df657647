"""The paper of a part: drawing as PDF and SVG, true-size template, first-article sheet; each PDF read back."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence

from platemaker.checks import DISTORTION, Finding, Verdict
from platemaker.export._folder._folder import OutputFolder
from platemaker.export._reading._read_back import pdf_record
from platemaker.export._reading._read_pdf import bars_of, prove_drawing, prove_pages, prove_template
from platemaker.export._sheet._drawing_faces import faces_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._drawing_words import GROOVE_FINISH, Numbers
from platemaker.export._sheet._first_article import first_article, fits_of, write_first_article
from platemaker.export._sheet._first_article_sheet import first_article_pages
from platemaker.export._sheet._sheet_paper import projection_of
from platemaker.export._sheet._template import template_pages, tiling_of
from platemaker.export._solid._step import NO_TIME, timestamp
from platemaker.parts import (
    LEAD_IN_ANGLE,
    AsRead,
    Part,
    PartFile,
    ProfileKind,
    Seal,
    Stack,
    flat_point,
    lead_ins_of,
    position_zones,
)
from platemaker.records import Record, replace
from platemaker.resolved import resolved
from platemaker.views import COUNTERSINK, DIAMETER, hole_tags, kind_of, svg_of, through_least_metal, write_pdf

MOST_TILES = 100
"""Pages of the largest template: a plate of some 2.6 x 1.5 m on A4."""


class PaperReading(Record):
    """What was read back of a part's paper: sheets of each PDF, and lengths measured of the check bars, mm.

    A part too large for a template has none: 0 sheets, no bars.
    """

    part: str
    drawing: int
    template: int
    first_article: int
    bars: tuple[float, ...]


def code_of(part: Part) -> str:
    """Eight hex digits that change when anything of the part's resolved spec does, but not with its place in the stack.

    >>> from platemaker.catalog import material
    >>> from platemaker.parts import Kind, PlateStock
    >>> from platemaker.plane import Loop, Region
    >>> stock = PlateStock(Region.of(Loop.rectangle(10.0, 10.0)), 2.0)
    >>> part = Part("lid", "lid", Kind.PLATE, material("6061-T6"), stock, ())
    >>> code_of(part) == code_of(replace(part, title="cover")), len(code_of(part))
    (False, 8)
    """
    seen = replace(part, places=(), limits=dict(sorted(part.limits.items())))
    return hashlib.sha256(repr(seen).encode()).hexdigest()[:8]


def standing_of(part: Part, findings: Sequence[Finding]) -> str:
    """What the checks say of a part that the shop must see, in a line for its drawing; empty where nothing fails.

    A joint's fail stands on every part that carries the joint. Cautions are for the report.
    """
    own = {part.name, *(mounting.joint for mounting in part.mountings)}
    about = [found for found in findings if own & {text.split(" ", 1)[0] for text in (found.part, *found.features)}]
    fails = sorted({found.check for found in about if found.verdict is Verdict.FAIL})
    if fails:
        return f"NOT RELEASED: {len(fails)} {'check fails' if len(fails) == 1 else 'checks fail'} ({', '.join(fails)})"
    return "" if about else "NOT RELEASED: no check was made of this part"


def making_notes(part: Part, findings: Sequence[Finding]) -> Iterator[str]:
    """What the shop does against distortion where a check finds a deep pocket. Common practice, no source."""
    deep = [found for found in findings if found.part == part.name and found.check == DISTORTION]
    names = [name for found in deep if found.verdict is not Verdict.PASS for name in found.features]
    if names:
        yield (
            f"Deep pocket ({', '.join(names)}): rough both faces, let the part rest unclamped, then finish, so that it "
            "stays flat."
        )


def lead_in_notes(stack: Stack, part: Part) -> Iterator[str]:
    """The mouths and the finish of bores that injectors' O-rings go into."""
    numbers, tags = Numbers(stack.unit), hole_tags(part)
    for one in (found for row in stack.rows for found in lead_ins_of(stack.parts, row) if found.part == part.name):
        where = " at the counterbore's floor" if one.seat else ""
        size = f"lead-in{where} to {DIAMETER}{numbers.general(one.wide)}, {LEAD_IN_ANGLE:g}° to the axis "
        cone = f"{COUNTERSINK} is the lead-in" if one.is_cut else f"{size}({numbers.general(one.length)} long)"
        yield (
            f"Bores {kind_of(tags[one.hole.name])} take O-rings: {cone}, no edge left at its ends; cylinder "
            f"{numbers.smooth(GROOVE_FINISH)}, no tool marks along it."
        )


def about_of(stack: Stack, part: Part, volume: float | None, findings: Sequence[Finding] | None = None) -> About:
    """What the paper of a part says beside its shape; `findings` None where the checks were not run."""
    time = timestamp()
    return About(
        stack.title or stack.name,
        stack.unit,
        code_of(part),
        projection_of(stack.unit, stack.drafting.projection),
        volume,
        stack.drafting.revision.date if stack.drafting.revision else "" if time == NO_TIME else time[:10],
        "NOT RELEASED: checks not run with this drawing" if findings is None else standing_of(part, findings),
        tolerances=stack.drafting.tolerances,
        fits=fits_of(stack.parts, part, stack.joints, stack.rows),
        positions=position_zones(stack.joints, part, stack.rows),
        grooves=_grooves(stack, part),
        faces=tuple(faces_of(stack, part)),
        paper=stack.drafting.paper,
        drafting=stack.drafting,
        making=(*making_notes(part, findings or ()), *lead_in_notes(stack, part)),
        thin=through_least_metal(resolved(part).flat, [_in_plan(part, found) for found in findings or ()]),
    )


def blank_sheet(stack: Stack, part: Part) -> tuple[AsRead, ...]:
    """What a build would ask for on a part's first-article sheet, nothing of it read."""
    rows = (one for one in first_article(part, about_of(stack, part, None)) if not one.computed)
    return tuple(AsRead(one.id, one.what, one.nominal, one.tolerance, None) for one in rows)


def _grooves(stack: Stack, part: Part) -> dict[str, Seal]:
    """The O-rings that lie in a part's grooves, by groove."""
    seals = {joint.name: joint.seal for joint in stack.joints}
    grooves = (cut for cut in part.profiles if cut.kind is ProfileKind.GROOVE)
    return {cut.name: seal for cut in grooves if (seal := seals.get(cut.joint or "")) is not None}


def _in_plan(part: Part, found: Finding) -> Finding:
    """A finding of a part with its points where they lie in the part's plan."""
    if part.strip is None or found.part != part.name:
        return found
    return replace(found, points=tuple(flat_point(part, point) for point in found.points))


def write_paper(part: Part, about: About, folder: OutputFolder) -> PaperReading:
    """Write a part's paper and read it back.

    Raises ProofError naming a file that differs, GeometryError for a part that fits no sheet.
    """
    pages = drawing_pages(part, about)
    title = f"{part.name}, {about.state}"
    path = folder.path(PartFile.DRAWING.of(part), "pdf", "dimensioned drawing", part=part.name, key=part.key)
    write_pdf(pages, path, title)
    drawing = prove_drawing(part, path, len(pages), about.code, hole_tags(part))
    folder.read_back(path, pdf_record(drawing))
    path = folder.path(PartFile.DRAWING.of(part), "svg", "dimensioned drawing", part=part.name, key=part.key)
    path.write_text(svg_of(pages, title), encoding="utf-8", newline="\n")

    template, bars = _write_template(part, about, folder, title)
    measures = first_article(part, about)
    pages = first_article_pages(part, about, measures)
    path = folder.path(PartFile.FIRST_ARTICLE.of(part), "pdf", "what to measure", part=part.name, key=part.key)
    write_pdf(pages, path, title)
    sheet = prove_pages(path, len(pages), (part.name, "ARTICLE"))
    folder.read_back(path, pdf_record(sheet))
    path = folder.path(PartFile.FIRST_ARTICLE.of(part), "yaml", "what to measure, mm", part=part.name, key=part.key)
    write_first_article(part, about, measures, path)
    return PaperReading(part.name, len(drawing.pages), template, len(sheet.pages), bars)


def _write_template(part: Part, about: About, folder: OutputFolder, title: str) -> tuple[int, tuple[float, ...]]:
    """Pages of a part's template, and lengths measured of its check bars, mm; no file where it takes too many pages."""
    flat = resolved(part).flat
    tiling = tiling_of(flat, about.unit, about.paper)
    if len(tiling.tiles) > MOST_TILES:
        return 0, ()
    path = folder.path(PartFile.TEMPLATE.of(part), "pdf", "template in true size", part=part.name, key=part.key)
    write_pdf(template_pages(part, about), path, title)
    template = prove_template(flat, path, tiling)
    bars = bars_of(template)
    folder.read_back(path, pdf_record(template, bars))
    return len(template.pages), bars
