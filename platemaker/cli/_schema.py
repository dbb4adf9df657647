"""`platemaker schema`: the JSON Schema of specs, for editors."""

from __future__ import annotations

from platemaker.cli._console import Console, answering
from platemaker.cli._options import DebugOption


def schema(debug: DebugOption = False) -> None:
    """Print the JSON Schema of specs, with which editors complete and check them."""
    console = Console.of(as_json=True, colour=False, debug=debug)
    with answering(console):
        from platemaker.spec import schema_text  # noqa: PLC0415 - help must not load the rooms

        console.answer(schema_text())
