"""The command line: one module a command. Help and options load nothing of the other rooms."""

from platemaker.cli._app import app, main

__all__ = ["app", "main"]
