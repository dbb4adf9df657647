"""The drain bore of an oil-return plate."""

from __future__ import annotations

from platemaker.catalog import pipe_thread, straight_port, thread
from platemaker.errors import SpecError
from platemaker.parts._cuts import Hole, Operation, Side, Step, Tapping
from platemaker.parts._hole_making import Slab, into
from platemaker.spec import Drain


def drain_hole(drain: Drain, slab: Slab, key: str) -> Hole:
    """A through bore tapped from the fitting's side, with a plain bore beyond the thread when the spec gives one."""
    side, length = Side(drain.side), slab.thickness
    if drain.pipe_thread is not None:
        pipe = pipe_thread(drain.pipe_thread)
        drill, tapping = pipe.tap_drill, Tapping(pipe.designation, pipe.pipe_diameter, pipe.pitch, length)
    else:
        port = straight_port(drain.port or "")
        bolt = thread(port.thread)
        depth = min(length, port.full_thread_depth)
        drill, tapping = port.tap_drill, Tapping(bolt.designation, bolt.major_diameter, bolt.pitch, depth)
    if drain.bore is not None and drain.bore > drill:
        problem = "the plain bore is wider than the tap drill, which leaves no thread beyond it"
        raise SpecError(problem, met=f"{drain.bore:g} mm", allowed=f"up to {drill:g} mm")
    if drain.bore is None or tapping.depth >= length:
        steps: tuple[Step, ...] = (Step(Operation.DRILL, drill, 0.0, length),)
    else:
        steps = (
            Step(Operation.DRILL, drill, 0.0, tapping.depth),
            Step(Operation.DRILL, drain.bore, tapping.depth, length),
        )
    room = (drain.fitting.diameter, drain.fitting.length) if drain.fitting else None
    return Hole(
        "drain", slab.entry(drain.at, side), into(side), steps, True, tapping=tapping, key=key, fitting=room,
        fitting_bore=drain.fitting.bore if drain.fitting else None,
    )  # fmt: skip
