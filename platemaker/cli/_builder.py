"""Builds for the watcher in a process of its own, which keeps the solid kernel loaded. Its crash ends one build only.

The process reads folders, a line each, and answers with lines of JSON: [what, texts], the last of them BUILT or WRONG.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from platemaker.cli._console import report_errors
from platemaker.export import Store, how_ended
from platemaker.project import build_files, load
from platemaker.records import replace
from platemaker.report import render_html

PREVIEW, BUILT, WRONG = "preview", "built", "wrong"
"""What an answer is: a page before the build is done, the folder that was built, or what is wrong, a line a fault."""

Answer = tuple[str, list[str]]


class Builder:
    """The process, started at the first build and again after a crash; it ends with the block."""

    def __init__(self, out: Path, store: Store, *, cures: bool = False) -> None:
        kept = [str(store.folder), str(int(store.fresh))]
        self._command = [sys.executable, "-m", __name__, str(out.resolve()), *kept, str(int(cures))]
        self._child: subprocess.Popen[str] | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._end()

    def answers(self, folder: Path) -> Iterator[Answer]:
        """Check and build the project in `folder`; the answers as they come."""
        if self._child is not None and self._child.poll() is not None:
            self._end()  # between two builds: nothing is lost
        child = self._child = self._child or self._started()
        stdin, stdout = child.stdin, child.stdout
        if stdin is None or stdout is None:
            return
        try:
            stdin.write(f"{json.dumps(str(folder.resolve()))}\n")
            stdin.flush()
            while line := stdout.readline():
                what, texts = json.loads(line)
                yield what, texts
                if what in (BUILT, WRONG):
                    return
        except BrokenPipeError:
            pass
        how = how_ended(self._end())
        yield WRONG, [f"the process that builds ended ({how}); the solid kernel may have crashed on this geometry"]

    def _started(self) -> subprocess.Popen[str]:
        # This interpreter and a module of this package; Ctrl-C is for the watcher, which then ends it.
        pipe = subprocess.PIPE
        return subprocess.Popen(  # noqa: S603
            self._command, stdin=pipe, stdout=pipe, text=True, encoding="utf-8", start_new_session=True
        )

    def _end(self) -> int:
        """Exit code of the process, which ends here if it runs."""
        if self._child is None:
            return 0
        child, self._child = self._child, None
        with suppress(BrokenPipeError), child:  # what it was asked and did not read
            child.kill()  # does nothing to a process that has ended
        return child.returncode


def answers_of(folder: Path, out: Path, store: Store, *, cures: bool = False) -> Iterator[Answer]:
    """The project in `folder` checked, shown and built; shown again before with its cures, where they are wanted."""
    faults: list[str] = []
    with report_errors(faults.extend):
        done = load(folder).check(store=replace(store, fresh=False))
        about, fields = (done.stack, done.findings, done.meta({})), done.fields
        yield PREVIEW, [render_html(*about, films=fields.films, flow=fields.flow)]
        if cures:
            done = done.with_cures()
            yield PREVIEW, [render_html(*about, films=fields.films, flow=fields.flow, items=done.items)]
        result = build_files(done, out, store=store)
        yield BUILT, [str(result.folder)]
    if faults:
        yield WRONG, faults


def serve(arguments: Sequence[str]) -> None:
    """Answer until nothing more is asked for. Answers go out alone: whatever the kernel prints goes with the faults."""
    out, kept, fresh, cures = arguments
    store = Store(Path(kept), fresh == "1")
    with os.fdopen(os.dup(1), "w", encoding="utf-8") as answers:
        os.dup2(2, 1)
        for line in sys.stdin:
            for answer in answers_of(Path(json.loads(line)), Path(out), store, cures=cures == "1"):
                answers.write(json.dumps(answer) + "\n")
                answers.flush()


if __name__ == "__main__":
    serve(sys.argv[1:])
