"""Cautions that a spec accepts, each with its reason."""

from typing import Annotated

from pydantic import StringConstraints

from platemaker.spec._base import SpecModel

Reason = Annotated[str, StringConstraints(min_length=10, max_length=300, strip_whitespace=True)]
"""Why something is as it is: at least a few words."""


class AcceptModel(SpecModel):
    """A caution that is accepted as it stands. A fail cannot be accepted."""

    check: Annotated[str, StringConstraints(pattern=r"^PM\d{3}$")]
    feature: Annotated[str, StringConstraints(min_length=1, max_length=120)]
    limit: float | None = None
    because: Reason
