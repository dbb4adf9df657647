"""The field of the air on the page: its numbers by the estimate, its picture there and beside findings on the loss."""

from __future__ import annotations

import base64

from platemaker.fields import FAST, MODEL, FlowAnswer
from platemaker.report._flow_picture import picture, picture_size
from platemaker.report._flow_text import loss_words, mesh_error, recirculation
from platemaker.report._markup import TableCell, facts, figure, table, text_cell, words
from platemaker.views import element

SHOWS = ("PM952", "PM953")
"""Checks of the loss, whose pictures the field's takes the place of."""
PICTURE = "field-picture"
NOTE = (
    "Speed and streamlines of the steady flow of constant density through the stack, calculated by `platemaker flow` "
    "for exactly this spec; lines follow the part of the speed that lies in the plane. What is left out stands in "
    "docs/limits.md."
)


def field_section(answer: FlowAnswer | None) -> str:
    """Numbers and picture of a kept field; empty without one."""
    if answer is None:
        return ""
    head = element("h3", "The field of the air", id="field")
    if answer.loss is None:
        return head + element("p", words(f"The field {loss_words(answer)}."))
    low, value, high = (one / 1000 for one in (answer.reduced[1], answer.reduced[0], answer.reduced[2]))
    stated = [
        ("field", words(f"{loss_words(answer)}, with the friction of straight ducts")),
        ("estimate of check", words(f"{value:.2f} kPa ({low:.2f} to {high:.2f})")),
        ("error", words(f"in known cases {MODEL:.0%}; {mesh_error(answer)}")),
        ("largest speed", words(_fastest(answer))),
        ("behind", words(recirculation(answer))),
    ]
    return head + facts(stated) + figure(_drawn(answer), words(NOTE)) + _lost(answer) + _ports(answer)


def field_use(answer: FlowAnswer | None, check: str) -> str:
    """The same picture once more beside a finding on the loss; empty beside others, and without a field."""
    if answer is None or answer.loss is None or check not in SHOWS:
        return ""
    wide, high = picture_size(answer)
    again = element("use", href=f"#{PICTURE}")
    drawn = element(
        "svg", again, class_="view field", viewBox=f"0 0 {wide} {high}", role="img", aria_label=_spoken(answer)
    )
    return drawn + element("p", element("a", "The field of the air, larger and in numbers", href="#field"))


def _drawn(answer: FlowAnswer) -> str:
    wide, high = picture_size(answer)
    source = f"data:image/png;base64,{base64.b64encode(picture(answer)).decode()}"
    image = element("image", id=PICTURE, width=float(wide), height=float(high), href=source)
    return element("svg", image, class_="film", viewBox=f"0 0 {wide} {high}", role="img", aria_label=_spoken(answer))


def _spoken(answer: FlowAnswer) -> str:
    lost = "; ".join(f"{name} {loss / 1000:.2f} kPa" for name, loss in answer.losses)
    return f"Speed of the air in plan and in section, {_fastest(answer)}. Lost: {lost}."


def _fastest(answer: FlowAnswer) -> str:
    beyond = ", where the true loss is larger" if answer.mach > FAST else ""
    return f"{answer.field.fastest * answer.speed:.0f} m/s, Mach {answer.mach:.2f}{beyond}"


def _lost(answer: FlowAnswer) -> str:
    rows = [[text_cell(name), TableCell(f"{loss / 1000:.2f} kPa", loss, numeric=True)] for name, loss in answer.losses]
    return table("Where the field loses, in the order of the flow", ("stretch", "lost"), rows, class_="stations")


def _ports(answer: FlowAnswer) -> str:
    names, field = answer.volume.outlets, answer.field
    rows = [
        [text_cell(name), TableCell(f"{share:.1%}", share, numeric=True), TableCell(f"{even:.2f}", even, numeric=True)]
        for name, share, even in zip(names, field.shares, field.uniformity[1:], strict=True)
    ]
    heads = ("port behind", "share of the air", "uniformity of the speed, 1 is even")
    return table("How the field's air leaves", heads, rows, class_="shares")
