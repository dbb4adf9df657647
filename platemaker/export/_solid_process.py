"""Solids and STEP files made by a process of its own, beside the one that checks and makes the paper.

It fills a store of its own, where a build looks before it makes a solid itself. What is not there, for whatever reason,
the build makes, and meets the same fault; but not where the kernel crashed, as it would again.
"""

from __future__ import annotations

import gc
import os
import pickle
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Collection, Mapping
from contextlib import ExitStack, suppress
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from types import TracebackType
from typing import TYPE_CHECKING, Self

import platemaker
from platemaker.errors import ProofError
from platemaker.records import Record

if TYPE_CHECKING:
    from platemaker.export._folder._folder import FolderFiles
    from platemaker.export._folder._store import Store
    from platemaker.parts import Part, Stack

CHILD = "import sys; from platemaker.export._solid_process import main; main(sys.argv[1])"
"""What the process runs."""
ORDER, MADE = "order", "made"
"""In the folder that both processes share: what to make, and the store of what was made."""
NO_CRASH = (1, -9, -15)
"""Exit codes of a process that a Python exception ends, or that others end: SIGKILL, where memory is short, SIGTERM."""


def usable_cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def how_ended(code: int) -> str:
    """How a process ended that gave this code: by which signal, or with which exit code.

    >>> how_ended(-11), how_ended(3)
    ('SIGSEGV', 'code 3')
    """
    return signal.Signals(-code).name if code < 0 else f"code {code}"


class SolidOrder(Record):
    """Parts in their order, each by its key, and the keys of the bodies and the stack where these are wanted.

    `store` may have some of them.
    """

    parts: Mapping[str, Part]
    whole: tuple[str, str] | None
    stack: Stack
    spec_folder: Path
    store: Store | None


class SolidProcess:
    """The process, started where it pays; it ends with the block."""

    def __init__(self) -> None:
        self._held = ExitStack()
        self._child: subprocess.Popen[str] | None = None
        self._folder = Path()
        self._asked: list[str] = []  # in the order in which it is made there and taken here
        self._said: set[str] = set()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._held.close()

    def start(self) -> None:
        """Load the kernel there, unless it is loaded here or there is no core for it."""
        if self._child is not None or "cadquery" in sys.modules or usable_cores() == 1:
            return
        with suppress(OSError):  # then all is made here
            held = TemporaryDirectory(prefix="platemaker-", ignore_cleanup_errors=True)
            self._folder = Path(self._held.enter_context(held))
            self._child = self._held.enter_context(_started(self._folder))
            self._held.callback(self._child.kill)  # does nothing to a process that has ended

    def ask(self, stack: Stack, spec_folder: Path, store: Store | None, only: Collection[str] = ()) -> None:
        """Have made there what `build` will want of these and what the store lacks; nothing where it lacks nothing."""
        from platemaker.export._solid_files import (  # noqa: PLC0415 - start first
            anything_placed,
            bodies_key,
            solid_key,
            stack_key,
        )

        parts = {solid_key(part): part for part in stack.parts if not only or part.name in only}
        # The file of a body is not read before the checks have: it may be missing, endless, or no file.
        foreign = any(body.envelope is not None and body.envelope.file for body in stack.bodies)
        apart = only or foreign or not anything_placed(stack)
        whole = None if apart else (bodies_key(stack, spec_folder), stack_key(stack, tuple(parts), spec_folder))
        asked = [*parts, *(whole or ())]
        if not any(store is None or not store.has(key) for key in asked):
            return
        self.start()
        if self._child is None or self._child.stdin is None:
            return
        order = SolidOrder(parts, whole, stack, spec_folder, store)
        with suppress(OSError):
            (self._folder / ORDER).write_bytes(pickle.dumps(order))
            os.write(self._child.stdin.fileno(), b"\n")
            self._asked = asked

    def files(
        self,
        key: str,
        what: str,
        folder: FolderFiles,
        make: Callable[[], Mapping[str, bytes]],
        meanwhile: Callable[[], None] | None = None,
    ) -> Mapping[str, bytes]:
        """What was made there for `key`, its files in `folder`; by `make` where nothing was.

        What there is to do `meanwhile` is done before it is waited for. Raises ProofError, naming `what`, where the
        kernel ended the process.
        """
        from platemaker.export._folder._kept import taken  # noqa: PLC0415 - start first
        from platemaker.export._folder._store import Store  # noqa: PLC0415

        if meanwhile is not None and key in self._asked:
            meanwhile()
        found = taken(Store(self._folder / MADE), key, folder) if self._is_made(key, what) else None
        if key in self._asked[-1:]:
            self._dismiss()
        return make() if found is None else found

    def _dismiss(self) -> None:
        """Nothing more is wanted: it clears up and ends by itself, while there is something left to do here."""
        if self._child is not None and self._child.stdin is not None:
            with suppress(OSError):
                self._child.stdin.close()

    def _is_made(self, key: str, what: str) -> bool:
        """Whether it was made there, once it was."""
        child = self._child
        while child is not None and child.stdout is not None and key in self._asked and key not in self._said:
            if line := child.stdout.readline():
                self._said.add(line.strip())
                continue
            self._asked = [*self._said]
            if child.wait() not in NO_CRASH:
                message = f"{what}: the solid kernel stopped while it made this ({how_ended(child.returncode)})"
                raise ProofError(message)
        return key in self._said


def _started(folder: Path) -> subprocess.Popen[str]:
    pipe, none = subprocess.PIPE, subprocess.DEVNULL
    # This interpreter and a module of this very package, wherever that was found.
    found = filter(None, [str(Path(platemaker.__file__).parent.parent), os.environ.get("PYTHONPATH")])
    command = [sys.executable, "-P", "-c", CHILD, str(folder)]
    known = {**os.environ, "PYTHONPATH": os.pathsep.join(found)}
    return subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=none, encoding="utf-8", env=known)  # noqa: S603


def main(shared: str) -> None:
    """Load the kernel, make what is asked for, say the key of each, and stay until nothing more is wanted of it."""
    folder = Path(shared)
    gc.set_threshold(1_000_000, 20, 100)  # nearly all that is made lives to the end
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches every process of a terminal; the first one answers it
    answers = os.dup(1)
    os.dup2(2, 1)  # whatever the kernel prints
    with suppress(BrokenPipeError):
        _work(folder, lambda key: os.write(answers, f"{key}\n".encode()))
        sys.stdin.read()
    shutil.rmtree(folder, ignore_errors=True)  # also where the build was killed
    os._exit(0)  # at once: what the kernel made need not be taken apart


def _work(folder: Path, say: Callable[[str], object]) -> None:
    from platemaker.export._folder._folder import FolderFiles  # noqa: PLC0415 - only in the process itself
    from platemaker.export._folder._kept import kept, taken  # noqa: PLC0415
    from platemaker.export._folder._store import Store  # noqa: PLC0415
    from platemaker.export._solid_files import body_skins, solid_files, stack_files  # noqa: PLC0415
    from platemaker.solids import load_kernel  # noqa: PLC0415

    load_kernel()
    gc.freeze()  # the kernel's own names are a third of a million, and no garbage
    if not sys.stdin.readline():
        return
    order: SolidOrder = pickle.loads((folder / ORDER).read_bytes())  # noqa: S301 - the build's own, in a folder of its own
    store, files, solids = Store(folder / MADE), FolderFiles(folder), []
    for key, part in order.parts.items():
        had = taken(order.store, key, files)
        solids.append(had or kept(store, key, files, partial(solid_files, part, files)))
        say(key)
    if order.whole is not None:
        bodies, whole = order.whole
        kept(store, bodies, files, lambda: body_skins(order.stack, order.spec_folder))
        say(bodies)
        kept(store, whole, files, lambda: stack_files(order.stack, solids, files, order.spec_folder))
        say(whole)
