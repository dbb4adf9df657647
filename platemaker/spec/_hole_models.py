"""Models of single holes: their size or thread, and the fitting that they take."""

from typing import Annotated, Any, Self

from pydantic import AfterValidator, BeforeValidator, Field, Strict, StringConstraints, model_validator

from platemaker.catalog import pipe_thread, straight_port
from platemaker.spec._base import FitWord, Name, SideWord, SpecModel
from platemaker.spec._joint_models import ScrewModel, ThreadWord, check_class
from platemaker.spec._quantities import Point, PositiveLength, from_catalog
from platemaker.spec._stack_models import FittingModel

_look_up_pipe = from_catalog(pipe_thread)
_look_up_port = from_catalog(straight_port)


def _known_pipe(word: str) -> str:
    return _look_up_pipe(word).designation


def _port_word(value: Any) -> Any:
    """A dash size such as -6 is a number to YAML."""
    return f"{value}" if isinstance(value, int) and not isinstance(value, bool) else value


def _known_port(word: str) -> str:
    return _look_up_port(word).dash


PipeThreadWord = Annotated[str, AfterValidator(_known_pipe), Field(description="1/8 NPT, 1/4 NPT, 1/2 NPT")]
PortWord = Annotated[
    str,
    BeforeValidator(_port_word, json_schema_input_type=str | int),
    AfterValidator(_known_port),
    Field(description="-4, -6, -8, -10"),
]
Into = Annotated[tuple[Name, ...], Strict(False)]
"""Names of the cuts that a cut is meant to open into."""


class HoleFields(SpecModel):
    """A single hole: plain, clear of a bolt, tapped, counterbored for a head, or sunk for a countersunk one.

    Or tapped for a wire thread `insert`, `insert_length` screw diameters long (1.5); `depth` is that of its thread.
    `screw` is what goes through a hole that a bolt passes.
    """

    at: Point
    diameter: PositiveLength | None = None
    clear: ThreadWord | None = None
    tapped: ThreadWord | None = None
    counterbored: ThreadWord | None = None
    countersunk: ThreadWord | None = None
    insert: ThreadWord | None = None
    insert_length: Annotated[float, Field(ge=1, le=3, multiple_of=0.5)] | None = None
    fit: FitWord = "medium"
    depth: PositiveLength | None = None
    screw: ScrewModel | None = None

    @model_validator(mode="after")
    def _one_size(self) -> Self:
        words = [word for word in HOLE_SIZES if word in type(self).model_fields]
        if sum(getattr(self, word) is not None for word in words) != 1:
            message = f"a hole has exactly one of {', '.join(words)}"
            raise ValueError(message)
        if self.insert is None and self.insert_length is not None:
            message = "`insert_length` goes with an `insert`"
            raise ValueError(message)
        passing = self.clear or self.counterbored or self.countersunk
        if self.screw is not None and passing is None:
            message = "a `screw` goes through a hole that is `clear`, `counterbored` or `countersunk`"
            raise ValueError(message)
        if passing is None and "fit" in self.model_fields_set:
            message = "a `fit` is the clearance of a hole that is `clear`, `counterbored` or `countersunk`"
            raise ValueError(message)
        if self.screw is not None and passing is not None:
            check_class(passing, self.screw)
        return self


HOLE_SIZES = ("diameter", "clear", "tapped", "counterbored", "countersunk", "insert", "pipe_thread", "port")
"""Keys that say what a single hole is."""


class PlateHole(HoleFields):
    """A single hole in a plate or rail; through unless a depth is given.

    `pipe_thread` (1/4 NPT) and `port` (-6) take a sensor, plug or valve, whose room outside and bore `fitting` gives.
    """

    pipe_thread: PipeThreadWord | None = None
    port: PortWord | None = None
    fitting: FittingModel | None = None
    side: SideWord = "above"
    into: Into = ()

    @model_validator(mode="after")
    def _fitting_in_its_thread(self) -> Self:
        if self.fitting is not None and self.pipe_thread is None and self.port is None:
            message = "a `fitting` goes into a `pipe_thread` or a `port`"
            raise ValueError(message)
        if self.port is not None and self.depth is not None:
            message = "a `port` has the depth of its standard, and no `depth` of its own"
            raise ValueError(message)
        return self


PartHole = Annotated[
    str,
    StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9_]{0,39}\.[A-Za-z][A-Za-z0-9_]{0,61}$"),
    Field(description="part.hole"),
]


class LegHole(HoleFields):
    """A hole in leg number `leg` of a bracket; `at` is [along the leg from its beginning, across from the middle].

    `over` names the hole of another part, as part.hole, that one bolt joins it to.
    """

    leg: Annotated[int, Field(ge=1, le=20)]
    over: PartHole | None = None
