"""What the watcher shows the pages that look on: the page to show, whether a build is at work, what is wrong."""

from __future__ import annotations

import threading
from pathlib import Path

from platemaker.records import Record, replace

REPORT = "/files/report.html"
PREVIEW = "/preview.html"


class BoardState(Record):
    """One state: `page` is the path of the page to show, `version` grows with every change of anything."""

    name: str
    page: str = ""
    busy: bool = False
    faults: tuple[str, ...] = ()
    version: int = 0


class Board:
    """The state, changed by one thread and awaited by others.

    `folder` is that of the last good build, and `previewed` the page last shown before a build was done.
    """

    def __init__(self, name: str) -> None:
        self._changed = threading.Condition()
        self._shown = BoardState(name)
        self._closed = False
        self.previewed = b""
        self.folder: Path | None = None

    def building(self) -> None:
        """A build is at work; what stands on the page stays."""
        self._put(busy=True)

    def preview(self, page: str) -> None:
        """Show this page until the build is done."""
        self.previewed = page.encode()
        self._put(page=f"{PREVIEW}?{self._shown.version}", faults=())

    def built(self, folder: Path) -> None:
        """Show the page in the folder."""
        self.folder = folder
        self._put(page=f"{REPORT}?{self._shown.version}", busy=False, faults=())

    def wrong(self, faults: tuple[str, ...]) -> None:
        """Show what is wrong; the page stays as it is."""
        self._put(busy=False, faults=faults)

    def close(self) -> None:
        """Let all who wait go."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def after(self, version: int, seconds: float) -> BoardState | None:
        """The state once it is newer than `version`, or as it is after `seconds`; None when the board is closed."""
        with self._changed:
            self._changed.wait_for(lambda: self._closed or self._shown.version > version, seconds)
            return None if self._closed else self._shown

    def _put(self, **changes: object) -> None:
        with self._changed:
            self._shown = replace(self._shown, **changes, version=self._shown.version + 1)
            self._changed.notify_all()
