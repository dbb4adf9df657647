"""All commands in one application. A new command is a module with one function, and its name in COMMANDS."""

from __future__ import annotations

import atexit
import gc
import os
import signal
import sys
from collections.abc import Callable, Iterable
from typing import Annotated

import typer

from platemaker import __version__
from platemaker.cli._advise import advise
from platemaker.cli._build import build
from platemaker.cli._check import check
from platemaker.cli._compare import compare
from platemaker.cli._console import open_streams, written_or_ended
from platemaker.cli._flow import flow
from platemaker.cli._keys import keys
from platemaker.cli._new import new
from platemaker.cli._schema import schema
from platemaker.cli._seal import seal
from platemaker.cli._study import study
from platemaker.cli._survey import survey
from platemaker.cli._watch import watch

COMMANDS = (new, survey, check, advise, build, watch, study, flow, seal, compare, keys, schema)
"""In the order in which a job goes; each function's name is the command's."""


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"platemaker {__version__}")
        raise typer.Exit


def platemaker(
    _version: Annotated[
        bool, typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version and exit.")
    ] = False,
) -> None:
    """Match plates, bosses, rails and brackets from a folder of specs: files a shop can cut, and a check report.

    Exit codes: 0 every check passes (cautions allowed); 1 a check fails; 2 the spec or the command is wrong;
    3 the run could not be finished.
    """


def command_line(commands: Iterable[Callable[..., None]] = COMMANDS) -> typer.Typer:
    """The command line with some of the commands; to make all takes as long as to read a small spec."""
    made = typer.Typer(
        name="platemaker",
        no_args_is_help=True,
        add_completion=False,
        rich_markup_mode=None,  # plain help: half the start-up time, and it reads the same everywhere
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    )
    for command in commands:
        made.command()(command)
    made.callback()(platemaker)
    return made


app = command_line()
"""The whole command line."""


def main() -> None:
    """Run the command line; ends the process with the exit code."""
    # The matrices here are small: threads for them cost more than they give, most of all on a busy machine.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # No plugin of the reader's models is wanted: looking for one opens every package installed beside this one.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    # Nearly all that a run makes lives to its end: looking for garbage as often as Python does, and once more before
    # the process ends, costs a tenth of a check and frees next to nothing.
    gc.set_threshold(1_000_000, 20, 100)
    atexit.register(gc.freeze)
    # What a run has started, a solver say, ends with it however it is ended.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    open_streams()
    try:
        with written_or_ended():
            command_line([command for command in COMMANDS if command.__name__ in sys.argv[1:2]] or COMMANDS)()
    except typer.Exit as end:  # of an answer that the library gives itself, such as help
        sys.exit(end.exit_code)
