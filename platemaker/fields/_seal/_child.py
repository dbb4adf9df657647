"""The pressure under a gasket in a process of its own: a case as JSON on standard input, lines of JSON as answer."""

from __future__ import annotations

import json
import sys
import time
from typing import Any

from platemaker.fields._seal._joint import MeshedJoint
from platemaker.fields._seal._loading import loaded
from platemaker.fields._seal._solids import NotSettledError


def _say(**what: Any) -> None:
    sys.stdout.write(json.dumps(what) + "\n")
    sys.stdout.flush()


def calculate(case: dict[str, Any]) -> dict[str, Any]:
    """Every case of a joint on each mesh, coarse first."""
    begun, found, done = time.monotonic(), [], 0.0
    whole = sum(one["size"] ** -3 for one in case["meshes"])
    for mesh in case["meshes"]:
        share = mesh["size"] ** -3 / whole

        def progress(part: float, base: float = done, share: float = share) -> None:
            _say(progress=base + share * part)

        progress(0.02)
        try:
            model = MeshedJoint(case, mesh["size"], mesh["pitch"], mesh["round"], mesh["head"])
            progress(0.35)
            found.append(loaded(model, progress, films=mesh is case["meshes"][-1]))
        except NotSettledError as fault:
            return {"fault": str(fault)}
        done += share
    return {"meshes": found, "seconds": time.monotonic() - begun, "processor": time.process_time()}


def main() -> None:
    """Read the case, answer, end."""
    _say(result=calculate(json.load(sys.stdin)))


if __name__ == "__main__":
    main()
