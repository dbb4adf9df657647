"""The drain bore of an oil-return plate."""

from __future__ import annotations

from platemaker.catalog import pipe_thread, straight_port
from platemaker.errors import SpecError
from platemaker.parts._hole_making import HoleSlab, fitting_of, into, port_steps
from platemaker.parts._records._cuts import Hole, Operation, Side, Step, Tapping
from platemaker.records import replace
from platemaker.spec import Drain


def drain_hole(drain: Drain, slab: HoleSlab, key: str) -> Hole:
    """A through bore tapped from the fitting's side, with a plain bore beyond the thread when the spec gives one."""
    side, length = Side(drain.side), slab.thickness
    if drain.pipe_thread is not None:
        pipe = pipe_thread(drain.pipe_thread)
        drill, tapping = pipe.tap_drill, Tapping(pipe.designation, pipe.pipe_diameter, pipe.pitch, length)
        steps: tuple[Step, ...] = (Step(Operation.DRILL, drill, 0.0, length),)
    else:
        port = straight_port(drain.port or "")
        (cone, tapped), tapping, through = port_steps(port, length)
        drill, behind = port.tap_drill, drain.bore or port.tap_drill
        if behind > drill:
            problem = "the plain bore is wider than the tap drill, which leaves no thread beyond it"
            raise SpecError(problem, met=f"{behind:g} mm", allowed=f"up to {drill:g} mm")
        if drain.bore is not None and through:
            problem = f"the tap drill of port {port.dash} goes right through, and no plain bore is left behind it"
            raise SpecError(problem, allowed=f"material thicker than {port.tap_drill_depth:g} mm, or no `bore`")
        steps = (cone, replace(tapped, end=length))
        if drain.bore is not None:
            steps = (cone, tapped, Step(Operation.DRILL, behind, tapped.end, length))
    room, bore = fitting_of(drain.fitting, drill)
    return Hole(
        "drain", slab.entry(drain.at, side), into(side), steps, True, tapping=tapping, key=key, fitting=room,
        fitting_bore=bore, port=drain.port,
    )  # fmt: skip
