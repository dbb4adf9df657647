"""`platemaker schema`: the JSON Schema of specs, for editors."""

from __future__ import annotations

import json

from platemaker.cli._console import Console, answering
from platemaker.cli._options import DebugOption


def schema(debug: DebugOption = False) -> None:
    """Print the JSON Schema of specs, with which editors complete and check them."""
    console = Console.of(as_json=True, colour=False, debug=debug)
    with answering(console):
        console.answer(schema_text())


def schema_text() -> str:
    """The JSON Schema of a project's files, as it is written to disk."""
    from platemaker.spec import json_schema  # noqa: PLC0415 - help must not load the rooms

    return json.dumps(json_schema(), indent=1, ensure_ascii=False) + "\n"
