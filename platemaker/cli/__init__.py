"""The command line: one module a command. Help and options load nothing of the other rooms."""

import sys
from typing import TYPE_CHECKING

from platemaker import on_first_use

if TYPE_CHECKING:
    from platemaker.cli._app import app
else:
    __getattr__ = on_first_use(__name__, {"_app": ("app",)})

__all__ = ["app", "main"]


def main() -> None:
    """Run the command line; ends the process with the exit code. Ctrl-C while it still loads is an end like another."""
    try:
        from platemaker.cli._app import main as run  # noqa: PLC0415 - inside what catches Ctrl-C

        run()
    except KeyboardInterrupt:
        sys.exit(130)  # 128 and the number of the signal, as shells have it
