"""The air's way through the stack as a plot, a row for each station in the order of the flow, and as a table."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from html import escape

from platemaker.checks import AirReport, AirShares, AirStep
from platemaker.fields import FlowAnswer
from platemaker.report._areas import area
from platemaker.report._flow_markup import field_section
from platemaker.report._markup import (
    TableCell,
    facts,
    figure,
    folded,
    number_cell,
    sentence_cell,
    table,
    text_cell,
    words,
)
from platemaker.views import Shown, element, shown

LETTER, ADVANCE = 13.0, 0.6
"""Size of the plot's letters, and the width of one over its height, as in the drawings."""
ROW, BAR, GAP = 30.0, 14.0, 18.0
COLUMN = 150.0
"""Greatest length of a bar; the number stands behind it."""
NUMBER = 12
"""Letters kept free for a number."""


def air_section(
    report: AirReport | None, shares: Sequence[AirShares], unit: str, flow: FlowAnswer | None = None
) -> str:
    """What the air meets on its way, how it divides over the openings of a joint, its field; empty without any."""
    if report is None:
        return folded("air", "Air along the stack", field_section(flow)) if flow else ""
    stated = [
        ("flow", words(f"{report.air.mass_flow:.4f} kg/s, {report.words}")),
        ("at the entry", words(f"{report.air.pressure / 1000:.1f} kPa absolute, {report.air.temperature:.1f} K")),
        ("lost in all", words(_total(report))),
    ]
    note = (
        "Steady flow, one loss at each change of section; the speed is where the air is fastest on the way into a "
        "station. The pulses of an engine are not in it. Above Mach 0.3 the losses are a lower bound. The loss of "
        "crossing a chamber, a pocket between two ports, stands at the station behind it: a reduced model with bounds."
    )
    plot = figure(_plot(report, unit), words(note))
    content = facts(stated) + plot + _table(report, unit) + _shares(shares, unit) + field_section(flow)
    return folded("air", "Air along the stack", content)


def _shares(shares: Sequence[AirShares], unit: str) -> str:
    """A table for each joint with several openings."""
    heads = ("opening", "area", "pressure for an even share", "share of the air")
    found = []
    for one in shares:
        rows = [
            [
                text_cell(way.name),
                number_cell(area(way.station.area), way.station.area, unit),
                TableCell(f"{way.pressure / 1000:.3f} kPa", way.pressure, numeric=True),
                TableCell(f"{way.share:.1%}", way.share, numeric=True),
            ]
            for way in one.ways
        ]
        title = f"Share of the air, openings of {one.joint.name}"
        found.append(table(title, heads, rows, class_="shares") if rows else facts([(title, words(one.fault))]))
    return "".join(found)


def _total(report: AirReport) -> str:
    choked = report.choked
    if choked is not None:
        return f"not known: {choked.station.name} chokes"
    sure = f" ({report.low / 1000:.3f} to {report.high / 1000:.3f} kPa)" if report.crossings else ""
    return f"{report.loss / 1000:.3f} kPa{sure}, most of it at {report.steps[report.largest_loss].station.name}"


def _plot(report: AirReport, unit: str) -> str:
    """Three columns of bars beside the names of the stations."""
    steps = report.steps
    names = max(len(step.station.name) for step in steps) * ADVANCE * LETTER + GAP
    step_width = COLUMN + NUMBER * ADVANCE * LETTER + GAP
    columns: tuple[tuple[str, str, Callable[[AirStep], float], Callable[[AirStep], Shown]], ...] = (
        ("area", "area", lambda one: one.station.area, lambda one: area(one.station.area)),
        ("speed", "speed", _speed, lambda one: Shown(*[_speed_words(one)] * 2)),
        ("loss", "pressure lost", lambda one: one.loss, lambda one: Shown(*[f"{one.loss / 1000:.3f} kPa"] * 2)),
    )
    drawn = [element("rect", x=0.0, y=0.0, width=names + 3 * step_width, height=_height(steps), class_="back")]
    drawn += [_text(Shown(*[one.station.name] * 2), 0.0, _middle(place), unit) for place, one in enumerate(steps)]
    for place, (kind, title, value, text) in enumerate(columns):
        x = names + place * step_width
        drawn.append(_text(Shown(title, title), x, 0.6 * ROW, unit, "heading"))
        drawn += _bars(steps, kind, value, text, x, unit)
    spoken = "; ".join(f"{one.station.name}: {_spoken(one)}" for one in steps)
    return element(
        "svg",
        "".join(drawn),
        class_="view air",
        viewBox=f"0 0 {names + 3 * step_width:.0f} {_height(steps):.0f}",
        role="img",
        aria_label=f"Air along the stack, in the order of the flow. {spoken}.",
    )


def _bars(
    steps: Sequence[AirStep],
    kind: str,
    value: Callable[[AirStep], float],
    text: Callable[[AirStep], Shown],
    x: float,
    unit: str,
) -> Iterator[str]:
    most = max((value(one) for one in steps if not one.choked), default=0.0)
    for place, one in enumerate(steps):
        length = COLUMN * value(one) / most if most > 0 and not one.choked else 0.0
        if length > 0:
            yield element("rect", x=x, y=_middle(place) - BAR / 2, width=length, height=BAR, class_=f"bar {kind}")
        shown_text = Shown("chokes", "chokes") if one.choked and kind != "area" else text(one)
        yield _text(shown_text, x + length + 6, _middle(place), unit)


def _text(text: Shown, x: float, y: float, unit: str, kind: str = "said") -> str:
    stated, both = text.of(unit), text.metric != text.inch
    return element(
        "text",
        escape(stated),
        x=x,
        y=y + 0.35 * LETTER,
        font_size=LETTER,
        textLength=len(stated) * ADVANCE * LETTER,
        lengthAdjust="spacingAndGlyphs",
        class_=kind,
        data_mm=text.metric if both else None,
        data_in=text.inch if both else None,
    )


def _middle(place: int) -> float:
    return (place + 1.6) * ROW


def _height(steps: Sequence[AirStep]) -> float:
    return (len(steps) + 1.3) * ROW


def _speed(step: AirStep) -> float:
    return max(step.state.speed, step.tight.speed)


def _speed_words(step: AirStep) -> str:
    return f"{_speed(step):.1f} m/s"


def _spoken(step: AirStep) -> str:
    if step.choked:
        return "chokes"
    return f"{area(step.station.area).metric}, {_speed_words(step)}, {step.loss / 1000:.3f} kPa lost"


def _table(report: AirReport, unit: str) -> str:
    rows = [
        [
            TableCell(str(place), place, numeric=True),
            text_cell(one.station.name),
            number_cell(shown(one.station.length), one.station.length, unit),
            number_cell(area(one.station.area), one.station.area, unit),
            number_cell(area(one.shared), one.shared, unit),
            TableCell(f"{one.tight.mach:.3f}", one.tight.mach, numeric=True),
            TableCell(f"{one.coefficient:.3f}", one.coefficient, numeric=True),
            sentence_cell(one.method, unit),
        ]
        for place, one in enumerate(report.steps, start=1)
        if not one.choked
    ]
    heads = ("place", "station", "length", "area", "shared with the one before, or jet", "Mach", "K", "how K was found")
    return table("Stations of the air, in the order of the flow", heads, rows, class_="stations")
