"""How the shop wants its paper."""

from datetime import date
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, Strict, StringConstraints

from platemaker.spec._base import SpecModel

Words = Annotated[str, StringConstraints(min_length=1, max_length=60)]


def _on_calendar(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        message = "a date that the calendar has, such as 2026-03-31"
        raise ValueError(message) from None
    return text


Day = Annotated[
    str,
    StringConstraints(pattern=r"^\d{4}-\d{2}-\d{2}$"),
    AfterValidator(_on_calendar),
    Field(description="A date as ISO 8601 writes it, such as 2026-03-31."),
]


class RevisionModel(SpecModel):
    """A line of the list of revisions."""

    revision: Annotated[
        str,
        StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_-]{0,7}$"),
        Field(description="Letters, digits, - or _; at most 8: it becomes a folder's name."),
    ]
    date: Day | None = None
    change: Annotated[str, StringConstraints(min_length=1, max_length=200)]


class DrawingModel(SpecModel):
    """Projection, class of general tolerances and paper of every sheet; what is left out follows `units`.

    What the title block has from the spec: where a value is left out, it has a blank to fill by hand.
    """

    projection: Annotated[
        Literal["first", "third"] | None,
        Field(description="Angle of projection: first where units are mm, else third."),
    ] = None
    tolerance: Annotated[Literal["f", "m", "c", "v"], Field(description="Class of general tolerances, ISO 2768-1.")] = (
        "m"
    )
    paper: Annotated[
        Literal["A4", "A3", "Letter", "Tabloid"] | None,
        Field(description="Size of every drawing and template; left out, A4 or A3, Letter or Tabloid as it takes."),
    ] = None
    number: Annotated[
        str | None,
        StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,19}$"),
        Field(description="Letters, digits, blank, '.', '-' or '_'; at most 20."),
    ] = None
    owner: Words | None = None
    drawn: Words | None = None
    checked: Words | None = None
    revisions: Annotated[tuple[RevisionModel, ...], Strict(False), Field(max_length=30)] = ()
