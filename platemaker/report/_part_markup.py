"""Parts and joints on the page: size, views, holes."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from platemaker.checks import Finding, least_metal
from platemaker.parts import Face, Joint, Part, Stack
from platemaker.report._areas import mass, metal_words, volume
from platemaker.report._markup import (
    TableCell,
    facts,
    figure,
    folded,
    mark,
    number,
    number_cell,
    sentence_cell,
    table,
    text_cell,
    words,
)
from platemaker.report._pictures import picture_of
from platemaker.report._records import Meta, counts_of, facts_of, source_of
from platemaker.resolved import resolved
from platemaker.views import (
    Sheet,
    Shown,
    call_out,
    element,
    hole_tags,
    limited_figures,
    most_telling,
    plan_svg,
    section_svg,
    section_words,
    shown,
    side_words,
)


def part_section(
    part: Part, findings: Sequence[Finding], meta: Meta, unit: str, place: int, elsewhere: Collection[str] = ()
) -> str:
    """One part: what it is, its plan with the tightest walls, a section, its least metal close by, its holes.

    `elsewhere` names the milled figures whose limits another section of the page shows.
    """
    own = [finding for finding in findings if finding.part == part.name]
    content = _about(part, own, meta, unit, f"part-{place}")
    content += "".join(_views(part, own, unit, f"part-{place}", elsewhere))
    if part.holes:
        content += _holes(part, unit)
    return folded(f"part-{place}", part.title, content, "part")


def joints_section(joints: Sequence[Joint], unit: str) -> str:
    """Every joint with its bolts, faces and where its coordinates come from."""
    if not joints:
        return ""
    heads = ("joint", "bolts", "spots", "lower face", "upper face", "gasket", "coordinates from")
    rows = [_joint_row(joint, unit) for joint in sorted(joints, key=lambda joint: joint.name)]
    return folded("joints", "Joints", table("Joints", heads, rows, class_="joints"))


def stack_words(stack: Stack) -> str:
    """A stack's parts and bodies in a sentence."""
    bodies = f" between {', '.join(body.title for body in stack.bodies)}" if stack.bodies else ""
    count = len(stack.parts)
    return f"{count} part{'' if count == 1 else 's'}{bodies}"


def _about(part: Part, own: Sequence[Finding], meta: Meta, unit: str, identity: str) -> str:
    measured, least = facts_of(part, meta), least_metal(part.name, own)
    verdicts = " ".join(f"{mark(verdict)} {count}" for verdict, count in counts_of(own).items() if count)
    pairs = [
        ("part", words(part.name)),
        ("kind", words(part.kind.value.replace("_", " ") + ("" if part.made else ", existing"))),
        ("material", words(part.material.name)),
        ("quantity", str(part.quantity)),
        ("size", " × ".join(number(shown(length), unit) for length in measured.size)),
    ]
    if measured.mass is not None and measured.volume is not None:
        pairs.append(("volume", number(volume(measured.volume), unit)))
        pairs.append(("mass", number(mass(measured.mass), unit)))
    if part.edge_break:
        pairs.append(("edge break", number(shown(part.edge_break), unit)))
    if part.note:
        pairs.append(("note", words(part.note)))
    pairs.append(("findings", verdicts or "none"))
    if least is not None:
        link = element("a", number(metal_words(least), unit), href=f"#{identity}-least")
        pairs.append(("least metal", f"{mark(least.verdict)} {link}"))
    return facts(pairs)


def _views(part: Part, own: Sequence[Finding], unit: str, identity: str, elsewhere: Collection[str]) -> Iterator[str]:
    plan = plan_svg(part, own, unit=unit, sheet=Sheet(f"{identity}-plan"))
    yield figure(plan, _plan_caption(unit, throats=any(one.lines for one in own)))
    cutting, level = most_telling(part, own)
    cut = section_svg(part, own, at=(cutting, level), unit=unit, sheet=Sheet(f"{identity}-section"))
    yield figure(cut, f"Cut square to the plan: {number(section_words(cutting, level), unit)}.")
    least = least_metal(part.name, own)
    if least is not None:
        place = picture_of(part, least, unit, f"{identity}-close")
        yield figure(place, f"Least metal: {number(metal_words(least), unit)}.", f"{identity}-least")
    one = resolved(part)
    if one.bent is not None:
        flat = plan_svg(one.flat, (), unit=unit, bends=one.bent.bends, sheet=Sheet(f"{identity}-flat"))
        yield figure(flat, "Flat, before bending, seen from above.")
    for name in limited_figures(one.flat):
        if name in elsewhere:
            continue
        limits = plan_svg(one.flat, (), unit=unit, limiters_of=name, sheet=Sheet(f"{identity}-{words(name)}"))
        yield figure(limits, f"What keeps {words(name)} from being larger, by length of boundary.")


def _plan_caption(unit: str, *, throats: bool) -> str:
    named = number(Shown("mm", "in"), unit)
    return (
        f"Plan, seen from above, in {named}. Solid: open or milled from above. Dashed: from below. "
        "Framed numbers: the tightest walls; × fail, ! caution, = pass."
        f"{' Dashed and coloured: throats of the air.' if throats else ''}"
    )


def _holes(part: Part, unit: str) -> str:
    tags = hole_tags(part)
    rows = [
        [
            TableCell(words(tags[hole.name]), place),
            text_cell(hole.name),
            number_cell(shown(hole.at[0], named=False), hole.at[0], unit),
            number_cell(shown(hole.at[1], named=False), hole.at[1], unit),
            text_cell(side_words(hole)),
            TableCell(number(call_out(hole), unit), call_out(hole).metric),
            text_cell(hole.joint or ""),
        ]
        for place, hole in enumerate(part.holes)
    ]
    heads = ("tag", "hole", "X", "Y", "entered", "what to do", "joint")
    return table(f"Holes of {part.title}", heads, rows, class_="holes")


def _own_ports(face: Face) -> str:
    return "" if not face.ports else ", own port" if len(face.ports) == 1 else f", {len(face.ports)} own ports"


def _joint_row(joint: Joint, unit: str) -> list[TableCell]:
    bolts, gasket = joint.bolts, joint.gasket
    faces = [
        f"{face.owner}, {face.side.value}, {face.role.value}{_own_ports(face)}" if face else ""
        for face in (joint.lower, joint.upper)
    ]
    sheet = f"{number(shown(gasket.thickness), unit)} {words(gasket.material)}" if gasket else ""
    return [
        text_cell(joint.name),
        text_cell(f"{bolts.thread.designation}, {bolts.property_class}" if bolts else ""),
        TableCell(str(len(joint.spots)), len(joint.spots), numeric=True),
        *(text_cell(face) for face in faces),
        TableCell(sheet, gasket.thickness if gasket else 0.0),
        sentence_cell(source_of(joint), unit),
    ]
