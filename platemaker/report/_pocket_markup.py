"""Opened-out figures on the page: what stops each from growing, what that costs, and what other cutters would give."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.checks import PocketAccount, PocketLimit
from platemaker.parts import Part, Stack
from platemaker.report._areas import area, cutter_words
from platemaker.report._markup import (
    TableCell,
    facts,
    figure,
    folded,
    number,
    number_cell,
    sentence,
    sentence_cell,
    table,
    text_cell,
    words,
)
from platemaker.resolved import resolved
from platemaker.units import LengthUnit, Words
from platemaker.views import LimitMark, Sheet, element, limits_of, plan_svg, shown


def pockets_section(stack: Stack, pockets: Sequence[PocketAccount]) -> str:
    """Every opened-out figure: its plan by limits, its limits largest first, the cutters, and what was left out."""
    if not pockets:
        return ""
    lead = element(
        "p",
        "Each is as large as its cutter, its walls and its lands allow. A limit's cost is the area that the figure "
        "would gain without it; the costs of several limits do not add up.",
    )
    blocks = [_block(stack, one, f"pocket-{place}") for place, one in enumerate(pockets)]
    return folded("pockets", "Maximized pockets", lead + "".join(blocks))


def _block(stack: Stack, account: PocketAccount, identity: str) -> str:
    part, unit = resolved(stack.part(account.part)).flat, stack.unit
    drawn = {limit.tag: limit for limit in limits_of(part, account.cut)}
    content = element("h3", words(f"{part.title}: {account.cut}"))
    content += facts(
        [
            ("cutter", number(shown(account.cutter), unit)),
            ("area with its opening", number(area(account.area), unit)),
            ("largest limit", sentence(account.limits[0].words if account.limits else "none", unit)),
        ]
    )
    picture = plan_svg(part, (), unit=unit, limiters_of=account.cut, sheet=Sheet(identity))
    content += figure(picture, f"What keeps {words(account.cut)} from being larger, by length of boundary.")
    content += _limits(part, account, drawn, unit) + _cutters(account, unit) + "".join(_left(account, unit))
    return element("div", content, class_="pocket")


def _limits(part: Part, account: PocketAccount, drawn: dict[str, LimitMark], unit: str) -> str:
    rows = [
        [
            TableCell(_swatch(drawn.get(limit.name)) + words(limit.name), limit.name),
            text_cell(limit.kind.value),
            number_cell(shown(limit.length, digits=1), limit.length, unit),
            number_cell(area(limit.cost), limit.cost, unit),
            number_cell(area(limit.gain), limit.gain, unit),
            sentence_cell(_in_words(limit), unit),
        ]
        for limit in account.limits
    ]
    heads = ("limit", "kind", "boundary", "costs", "moved outward gives", "in words")
    return table(f"Limits of {account.cut} of {part.title}, largest first", heads, rows, class_="limits")


def _in_words(limit: PocketLimit) -> Words:
    return limit.words if limit.cost > 0 else "costs nothing"


def _swatch(limit: LimitMark | None) -> str:
    """The line that stands for a limit in the picture."""
    if limit is None:
        return ""
    line = element("path", d="M0 5H34", class_=limit.kind)
    said = f"How the picture draws {limit.tag}"
    return element("svg", line, class_="view key", viewBox="0 0 34 10", role="img", aria_label=said)


def _cutters(account: PocketAccount, unit: str) -> str:
    rows = [
        [
            number_cell(shown(one.diameter), one.diameter, unit),
            number_cell(area(one.area), one.area, unit),
            TableCell(number(cutter_words(one.area - account.area), unit), one.area - account.area),
            text_cell("as it is" if abs(one.diameter - account.cutter) < 1e-6 else ""),
        ]
        for one in account.cutters
    ]
    heads = ("end mill", "area", "against the cutter as it is", "note")
    return table(f"What other end mills would make of {account.cut}", heads, rows, class_="cutters")


def _left(account: PocketAccount, unit: str) -> Iterator[str]:
    """Places where the cutter would fit but that it cannot come to."""
    if not account.left:
        yield element("p", "No place was left out: the cutter comes to all that it fits into.")
        return
    items = "".join(element("li", f"{number(area(size), unit)} at {_at(point, unit)}") for size, point in account.left)
    yield element("p", "Left out, since the cutter fits there but cannot come there:") + element("ul", items)


def _at(point: tuple[float, float], unit: str) -> str:
    named = "in" if unit == LengthUnit.INCH else "mm"
    x, y = (number(shown(value, named=False), unit) for value in point)
    return f"X {x} Y {y} ({named})"


def accounted(pockets: Sequence[PocketAccount], part: Part) -> set[str]:
    """The figures of a part that have an account."""
    return {account.cut for account in pockets if account.part == part.name}
