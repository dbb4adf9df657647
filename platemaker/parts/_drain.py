"""The drain bore of an oil-return plate."""

from __future__ import annotations

from platemaker.catalog import pipe_thread, straight_port
from platemaker.errors import SpecError
from platemaker.parts._hole_making import HoleSlab, fitting_of, into, port_steps
from platemaker.parts._records._cuts import Hole, Operation, Side, Step, Tapping
from platemaker.spec import Drain


def drain_hole(drain: Drain, slab: HoleSlab, key: str) -> Hole:
    """A through bore tapped from the fitting's side, with a plain bore beyond the thread when the spec gives one."""
    side, length = Side(drain.side), slab.thickness
    first: tuple[Step, ...] = ()
    if drain.pipe_thread is not None:
        pipe = pipe_thread(drain.pipe_thread)
        drill, tapping = pipe.tap_drill, Tapping(pipe.designation, pipe.pipe_diameter, pipe.pitch, length)
    else:
        port = straight_port(drain.port or "")
        (cone, _), tapping, _ = port_steps(port, length)
        drill, first = port.tap_drill, (cone,)
    if drain.bore is not None and drain.bore > drill:
        problem = "the plain bore is wider than the tap drill, which leaves no thread beyond it"
        raise SpecError(problem, met=f"{drain.bore:g} mm", allowed=f"up to {drill:g} mm")
    begin = first[0].end if first else 0.0
    if drain.bore is None or tapping.depth >= length:
        steps: tuple[Step, ...] = (*first, Step(Operation.DRILL, drill, begin, length))
    else:
        steps = (
            *first,
            Step(Operation.DRILL, drill, begin, tapping.depth),
            Step(Operation.DRILL, drain.bore, tapping.depth, length),
        )
    room, bore = fitting_of(drain.fitting, drill)
    return Hole(
        "drain", slab.entry(drain.at, side), into(side), steps, True, tapping=tapping, key=key, fitting=room,
        fitting_bore=bore, port=drain.port,
    )  # fmt: skip
