"""How soon a change is on the page of `watch`: `.venv/bin/python benchmarks/bench_watch.py`.

The example is watched; a number of a plate's pocket is saved again, a few times. Seconds by the clock, the median, from
the save until the page has been fetched whole: first with findings and plans, then with everything that was built. The
processor's time for the same steps in this process stands beside them, since a busy machine makes a clock run.
"""

from __future__ import annotations

import http.client
import json
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

from platemaker.project import load
from platemaker.report import render_html

ROOT = Path(__file__).parent.parent
TIMES = 7
OLD, NEW = "depth: 12,", "depth: 11.{},"


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "pump_engine"
        shutil.copytree(ROOT / "part_specs" / "pump_engine", folder)
        command = [
            sys.executable,
            "-u",
            "-m",
            "platemaker.cli",
            "watch",
            str(folder),
            "--port",
            "0",
            "--out",
            f"{name}/exports",
        ]
        with subprocess.Popen(
            command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        ) as watcher:
            try:
                assert watcher.stdout is not None
                measure(urlsplit(watcher.stdout.readline().split()[0]).netloc, folder)
            finally:
                watcher.terminate()
        work = min(processor(folder) for _ in range(TIMES))
        print(f"check and first page, on the processor       {work:.2f} s")


def measure(host: str, folder: Path) -> None:
    """Print the medians of the times from a save to each of the two pages."""
    states = events(host)
    next(state for state in states if state["page"] and not state["busy"])
    file = folder / "plates.yaml"
    text = file.read_text(encoding="utf-8")
    first, whole = [], []
    for turn in range(TIMES):
        started = time.perf_counter()
        file.write_text(text.replace(OLD, NEW.format(turn + 1), 1), encoding="utf-8")
        first.append(shown(host, states, started, busy=True))
        whole.append(shown(host, states, started, busy=False))
    print(f"findings and plans on the page, median       {statistics.median(first):.2f} s   (about 1)")
    print(f"everything built and on the page, median     {statistics.median(whole):.2f} s")


def shown(host: str, states: Iterator[dict[str, object]], started: float, *, busy: bool) -> float:
    """Seconds until a new page of that state has been fetched."""
    before = "/preview" if busy else "/files"
    state = next(one for one in states if one["busy"] is busy and str(one["page"]).startswith(before))
    fetched(host, str(state["page"]))
    return time.perf_counter() - started


def events(host: str) -> Iterator[dict[str, object]]:
    """The states that the watcher states of."""
    connection = http.client.HTTPConnection(host)
    connection.request("GET", "/events")
    for line in connection.getresponse():
        if line.startswith(b"data: "):
            yield json.loads(line.removeprefix(b"data: "))


def fetched(host: str, page: str) -> bytes:
    """The page."""
    connection = http.client.HTTPConnection(host)
    connection.request("GET", page)
    return connection.getresponse().read()


def processor(folder: Path) -> float:
    """Seconds of processor for what stands between a save and the first page."""
    started = time.process_time()
    done = load(folder).check()
    render_html(done.stack, done.findings, done.meta({}))
    return time.process_time() - started


if __name__ == "__main__":
    main()
