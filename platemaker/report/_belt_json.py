"""The belt drive in report.json: lengths mm, tensions and forces N, in the stack's frame."""

from __future__ import annotations

import math

from platemaker.resolved import ResolvedBelt


def belt_record(belt: ResolvedBelt | None) -> dict[str, object] | None:
    """The belt as it runs; None without one."""
    if belt is None:
        return None
    fitted = belt.fitted
    return {
        "section": belt.belt.section.section,
        "strands": belt.belt.strands,
        "length": fitted.length,
        "path_length": fitted.path_length,
        "setting": {"tight": fitted.at, "fitting": fitted.loose, "taken_up": fitted.taken_up},
        "tension": belt.tension,
        "needed_tension": belt.needed_tension,
        "speed": belt.belt_speed(belt.belt.speed),
        "pulleys": [
            {
                "name": one.name,
                "centre": belt.centre(place),
                "wrap": math.degrees(belt.path.wraps[place]),
                "teeth_in_mesh": belt.teeth_in_mesh(place),
                "ratio": belt.ratio(place),
                "power": belt.powers[place],
                "loads": {case.running.value: case.forces[place] for case in belt.cases},
            }
            for place, one in enumerate(belt.pulleys)
        ],
        "spans": [
            {
                "name": span.tag,
                "length": span.length,
                "frequency": belt.frequency(place),
                "tensions": {case.running.value: case.tensions[place] for case in belt.cases},
            }
            for place, span in enumerate(belt.path.spans)
        ],
    }
