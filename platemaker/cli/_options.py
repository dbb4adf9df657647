"""Arguments and options that commands share."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

FolderArgument = Annotated[Path, typer.Argument(help="The project's folder, which holds its project.yaml.")]
AllOption = Annotated[bool, typer.Option("--all", help="List every finding by itself, what passes too.")]
JsonOption = Annotated[bool, typer.Option("--json", help="Answer in JSON on standard output.")]
ColourOption = Annotated[
    bool | None,
    typer.Option("--colour/--no-colour", help="Colour the answer; by default on a terminal only.", show_default=False),
]
DebugOption = Annotated[bool, typer.Option("--debug", help="Show the whole trace of a fault.")]
OnlyOption = Annotated[
    list[str] | None, typer.Option("--only", metavar="PART", help="This part alone; may be given several times.")
]


class ShopWord(StrEnum):
    """Whom a ZIP is for, as the export room names them; that room is loaded once the spec is right."""

    MILL = "mill"
    WATERJET = "waterjet"
    SHEET = "sheet"


def _named(name: str | Path) -> Path:
    """A folder by its name, which must not be empty: that would be the folder in which the command is given."""
    if not str(name):
        message = "an empty name; allowed: a folder, such as exports"
        raise typer.BadParameter(message)
    return Path(name)


OutOption = Annotated[
    Path,
    typer.Option("--out", metavar="DIR", help="Where the project's folder of exports is written.", parser=_named),
]
SheetOption = Annotated[
    str | None,
    typer.Option(
        "--sheet",
        metavar="WxH",
        help="Also nest the parts on sheets of this size, a DXF for each material and thickness.",
    ),
]
ShopOption = Annotated[
    list[ShopWord] | None,
    typer.Option(
        "--for", metavar="SHOP", help="Also write a ZIP for the mill, waterjet or sheet shop; may be repeated."
    ),
]
ReleaseOption = Annotated[
    str | None,
    typer.Option(
        "--release",
        metavar="REV",
        help="File the package under this revision, the last of the spec's list, in DIR/PROJECT.releases.",
    ),
]
CuresOption = Annotated[
    bool, typer.Option("--cures", help="Put what cures each fail and caution beside it: many checks, so some minutes.")
]
FreshOption = Annotated[bool, typer.Option("--fresh", help="Make everything again, whatever the store holds.")]
SamplesOption = Annotated[
    int | None,
    typer.Option(
        "--samples",
        min=1000,
        max=1_000_000,
        metavar="N",
        help="Samples for the chance that bolts start; 100000 is sharp.",
    ),
]
