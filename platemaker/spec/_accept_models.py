"""Cautions that a spec accepts, each with its reason."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StringConstraints

from platemaker.spec._base import SpecModel

Reason = Annotated[str, StringConstraints(min_length=10, max_length=300, strip_whitespace=True)]
"""Why something is as it is: at least a few words."""


class AcceptModel(SpecModel):
    """A caution that is accepted as it stands. A fail cannot be accepted."""

    check: Annotated[
        str, StringConstraints(pattern=r"^PM\d{3}$"), Field(description="The check's id, PM and three digits.")
    ]
    feature: Annotated[
        str,
        StringConstraints(min_length=1, max_length=120),
        Field(description="The part, or one of the features that the caution names, word for word."),
    ]
    limit: Annotated[
        float | None,
        Field(description="The worst value that is accepted, in the caution's own unit; a worse one counts again."),
    ] = None
    because: Annotated[Reason, Field(description="Why the caution is accepted, for whoever reads the report.")]
