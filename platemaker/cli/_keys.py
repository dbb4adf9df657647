"""`platemaker keys`: what a key of the spec means and takes."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Annotated

import typer

from platemaker.cli._console import Console, answering
from platemaker.cli._options import DebugOption

if TYPE_CHECKING:
    from platemaker.spec import KeyEntry, KeySection

WIDTH, INDENT, MOST_PLACES = 100, 4, 4
UNITS = "Bare lengths are in the project's unit, bare angles in degrees; any value may carry its own: 1/4 in, 30 deg."

WordArgument = Annotated[
    str | None,
    typer.Argument(metavar="[WORD]", help="A key, a section or a kind, such as land, gasket, gasket.land or bracket."),
]


def keys(word: WordArgument = None, debug: DebugOption = False) -> None:
    """Explain a key of the spec: meaning, unit, range, default; without a word, list every key."""
    console = Console.of(as_json=False, colour=False, debug=debug)
    with answering(console):
        from platemaker.spec import look_up, reference  # noqa: PLC0415 - help must not load the rooms

        if word is None:
            lines = [f"{one.title}: {', '.join(key.name for key in one.keys)}" for one in reference()]
            console.answer("\n".join(_wrapped(line, INDENT) for line in lines))
        else:
            entries = [_entry(section, found) for section, found in look_up(word)]
            console.answer("\n\n".join([*entries, UNITS]))


def _entry(section: KeySection, keys: tuple[KeyEntry, ...]) -> str:
    others = section.places[1:MOST_PLACES]
    more = len(section.places) - 1 - len(others)
    also = f"; also {', '.join(others)}{f' and {more} more places' if more else ''}" if others else ""
    lines = [_wrapped(f"{section.title}{also}", INDENT)]
    if keys == section.keys:
        lines.append(_wrapped(section.about, 0))
    for key in keys:
        lines += [_wrapped(f"  {key.name}: {key.text}", INDENT), " " * INDENT + _wrapped(key.rule, INDENT)]
    return "\n".join(lines)


def _wrapped(text: str, indent: int) -> str:
    return textwrap.fill(text, WIDTH, subsequent_indent=" " * indent, break_on_hyphens=False)
