"""The belt on the page: its plane as a picture, then pulleys, spans and the tensions of every case as tables."""

from __future__ import annotations

import math

from platemaker.report._markup import TableCell, facts, figure, number, number_cell, section, table, text_cell, words
from platemaker.resolved import BeltCase, ResolvedBelt
from platemaker.views import Sheet, belt_svg, shown


def belt_section(belt: ResolvedBelt | None, unit: str) -> str:
    """The belt drive; empty without one."""
    if belt is None:
        return ""
    note = (
        "Seen along the driving pulley's axis. Each span with its length, each pulley with its wrap; tight spans are "
        "drawn thicker, the idler's travel is dashed. A rotating belt maims: guard it."
    )
    content = facts(_facts(belt, unit)) + figure(belt_svg(belt, unit, sheet=Sheet("belt")), words(note))
    return section("belt", "The belt", content + _pulleys(belt, unit) + _spans(belt, unit) + _loads(belt))


def _facts(belt: ResolvedBelt, unit: str) -> list[tuple[str, str]]:
    fitted, drive = belt.fitted, belt.belt
    strands = f"{drive.strands:g} {'mm wide' if belt.is_toothed else 'ribs or strands'}"
    stated = [
        ("belt", words(f"{drive.section.section}, {strands}, ") + number(shown(fitted.length, digits=1), unit)),
        ("length of its pitch line", number(shown(fitted.path_length, digits=1), unit)),
        ("tension as fitted", words(f"{belt.tension:.0f} N in every span; needed: {belt.needed_tension:.0f} N")),
        ("speed", words(f"{belt.belt_speed(drive.speed):.1f} m/s at {drive.speed:g} rpm")),
    ]
    place = drive.mover
    if place is not None:
        setting = belt.pulleys[place].setting
        name, by = setting.unit if setting else "mm", belt.fitted
        stops = [("slack for fitting", by.loose), ("tight", by.at), ("taken up", by.taken_up)]
        said = "; ".join(
            f"{word} " + (number(shown(stop, name, digits=1, sign=True), unit) if stop is not None else "out of reach")
            for word, stop in stops
        )
        stated.append((f"travel of {belt.pulleys[place].title} from its place as drawn", said))
    return stated


def _plain(value: float, digits: int = 0) -> TableCell:
    return TableCell(f"{value:z.{digits}f}", value, numeric=True)


def _pulleys(belt: ResolvedBelt, unit: str) -> str:
    rows = []
    for place, one in enumerate(belt.pulleys):
        role = "drives" if one.drives else "idler" if one.is_idler else "driven"
        teeth = belt.teeth_in_mesh(place)
        rows.append([
            text_cell(one.title), text_cell(role), number_cell(shown(one.rim), one.rim, unit),
            _plain(belt.ratio(place), 3), _plain(belt.speed_of(place)), _plain(belt.powers[place], 2),
            _plain(math.degrees(belt.path.wraps[place]), 1), text_cell("" if teeth is None else str(teeth)),
        ])  # fmt: skip
    heads = ("pulley", "role", "diameter", "ratio", "rpm", "kW", "wrap, degrees", "teeth in mesh")
    return table("Pulleys, in the order of the belt's run", heads, rows, class_="belt")


def _spans(belt: ResolvedBelt, unit: str) -> str:
    rows = []
    for place, span in enumerate(belt.path.spans):
        pitch = belt.frequency(place)
        rows.append([
            text_cell(span.tag), number_cell(shown(span.length, digits=1), span.length, unit),
            *(_plain(case.tensions[place]) for case in belt.cases), _plain(pitch or 0.0, 1),
        ])  # fmt: skip
    heads = ("span", "length", *(f"N, {case.running.value}" for case in belt.cases), "Hz, plucked at rest")
    return table("Tension of the whole belt in every span", heads, rows, class_="belt")


def _loads(belt: ResolvedBelt) -> str:
    rows = [
        [text_cell(one.title), *(text_cell(_force(case, place)) for case in belt.cases)]
        for place, one in enumerate(belt.pulleys)
    ]
    heads = ("pulley", *(f"{case.running.value}: N, then X, Y, Z" for case in belt.cases))
    return table("What the belt does to each shaft, in the stack's frame", heads, rows, class_="belt")


def _force(case: BeltCase, place: int) -> str:
    force = case.forces[place]
    return f"{math.hypot(*force):.0f} ({', '.join(f'{one:z.0f}' for one in force)})"
