"""The one tree of errors.

PlatemakerError
├── SpecError (ValueError)      the spec says something that cannot be: file, line, key path, value, what is allowed
├── UnitError (ValueError)      a text is not a quantity of the wanted kind
├── OutOfRange (ValueError)     a formula's argument lies outside the range that its source states
├── CatalogError (LookupError)  a size or name that no table holds
├── GeometryError (ValueError)  a plane or space figure cannot be made: what, with its dimensions
├── SurveyError (ValueError)    readings that do not determine a place
├── ProofError                  a solid or a written file is not what the part says
│   └── UnmadeError             the kernel makes no solid where cuts break out of a part or into each other
└── OutputError (OSError)       the output folder cannot be written
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from pathlib import Path

from platemaker.records import Record


class PlatemakerError(Exception):
    """Root of all errors that platemaker raises on purpose.

    >>> issubclass(SpecError, PlatemakerError) and issubclass(OutputError, PlatemakerError)
    True
    """


class UnitError(PlatemakerError, ValueError):
    """A text is not a quantity of the wanted kind."""


class OutOfRange(PlatemakerError, ValueError):  # noqa: N818 - reads as a sentence where it is raised
    """A formula's argument lies outside the range that its source states."""


class CatalogError(PlatemakerError, LookupError):
    """No table of the catalog holds this size or name."""

    def __init__(self, message: str, allowed: Iterable[str] = (), met: str = "") -> None:
        super().__init__(message)
        self.allowed = tuple(allowed)
        self.met = met


class GeometryError(PlatemakerError, ValueError):
    """A plane or space figure cannot be made."""


class SurveyError(PlatemakerError, ValueError):
    """Readings do not determine what was to be calculated from them."""


class ProofError(PlatemakerError):
    """A solid or a written file does not agree with the part it was made from."""


class UnmadeError(ProofError):
    """The kernel makes no sound solid of a part whose cuts break out of it or into each other: a fail of `check`."""


class OutputError(PlatemakerError, OSError):
    """The output folder cannot be written."""


class Location(Record):
    """Where in the spec a value stands. `line` counts from 1; `key` is a dotted path such as `parts.lid.thickness`."""

    file: Path
    line: int | None = None
    key: str = ""

    def __str__(self) -> str:
        place = self.file.name if self.line is None else f"{self.file.name}:{self.line}"
        return f"{place}: {self.key}" if self.key else place


class SpecError(PlatemakerError, ValueError):
    """A spec that cannot be built: where it is, what was met, what is allowed and the nearest valid word.

    >>> print(SpecError("no part has this name", met="lidd", allowed="lid, base", nearest="lid"))
    no part has this name, met 'lidd'; allowed: lid, base; did you mean 'lid'?
    """

    def __init__(
        self,
        problem: str,
        *,
        where: Location | None = None,
        met: object = None,
        allowed: str = "",
        nearest: str | None = None,
    ) -> None:
        self.problem, self.where, self.met, self.allowed, self.nearest = problem, where, met, allowed, nearest
        super().__init__(self.message())

    def message(self) -> str:
        """The whole error in one line of text."""
        text = f"{self.where}: {self.problem}" if self.where else self.problem
        if self.met is not None:
            text += f", met {self.met!r}"
        if self.allowed:
            text += f"; allowed: {self.allowed}"
        if self.nearest:
            text += f"; did you mean '{self.nearest}'?"
        return text


class SpecErrors(SpecError):  # noqa: N818 - the plural of SpecError
    """Several faults of one spec, reported together.

    >>> [fault.met for fault in SpecErrors([SpecError("too thin", met=0), SpecError("too thick", met=900)]).faults]
    [0, 900]
    """

    def __init__(self, faults: Iterable[SpecError]) -> None:
        self.faults = tuple(faults)
        PlatemakerError.__init__(self, "\n".join(fault.message() for fault in self.faults))


SHORTEST_BEGINNING = 3
"""Letters from which on the beginning of a word stands for it."""


def nearest_word(word: str, allowed: Iterable[str]) -> str | None:
    """The allowed word that looks most like `word`, or None when none is close.

    A beginning stands for the one word that has it, from three letters on.

    >>> nearest_word("thicknes", ["material", "thickness"]), nearest_word("dia", ["depth", "diameter"])
    ('thickness', 'diameter')
    >>> nearest_word("paper", ["copper", "paper gasket"])
    'paper gasket'
    """
    words = list(allowed)
    by_case = {name.lower(): name for name in words}
    begun = [name for name in by_case if name.startswith(word.lower())] if len(word) >= SHORTEST_BEGINNING else []
    close = begun if len(begun) == 1 else difflib.get_close_matches(word.lower(), by_case, n=1, cutoff=0.6)
    return by_case[close[0]] if close else None


def unknown_name(name: str, known: Iterable[str], what: str, where: Location | None = None) -> SpecError:
    """The error for a name that nothing has: the names there are, and the nearest.

    >>> print(unknown_name("rin", ["rim", "pad"], "joint"))
    no joint is called 'rin'; allowed: rim, pad; did you mean 'rim'?
    """
    names = list(known)
    allowed = ", ".join(names) or "none is declared"
    met = None if where is None else name  # without a place in a file the problem says it
    problem = f"no {what} is called '{name}'"
    return SpecError(problem, where=where, met=met, allowed=allowed, nearest=nearest_word(name, names))
