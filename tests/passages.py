"""Specs of air that crosses a pocket from a port above to one below that lies aside of it."""

from __future__ import annotations

HEAD = """
project: passage
design:
  boost: 0.6 bar
  air: {towards: below, mass_flow: FLOW kg/s, outlet_temperature: 375 K, inlet_pressure: 1 bar}
bodies:
  log: {envelope: {box: [300, 250, 50]}, joints: {lower: {thread_depth: 20}}}
  blower: {envelope: {box: [300, 250, 50]}, joints: {upper: {face: below, thread_depth: 20}}}
joints:
  lower: {bolts: {pattern: {rectangle: [250, 170]}, thread: M8}, opening: {rectangle: [60, 70]}}
"""
STACK = (
    HEAD
    + """\
  upper: {bolts: {pattern: {rectangle: [180, 200]}, thread: M8, length: 30}, opening: {rectangle: [40, 58], at: [DX, 0]}}
parts:
  plate:
    kind: plate
    material: 6061-T6
    thickness: 60
    outline: {rectangle: [290, 240]}
    below: {lower: {holes: tapped}}
    above: {upper: {holes: clear}}
    opening: {shape: {rectangle: [40, 58], at: [DX, 0]}}
    POCKET
"""
)
POCKET = "pockets: {chamber: {shape: {rectangle: [200, 140], at: [25, 0]}, depth: DEPTH, side: below}}"


def passage(dx: float = 50, depth: float = 12, flow: float = 0.129, pocket: str = POCKET) -> str:
    """The spec; at 60 kPa of boost over 100 kPa and 375 K air has 1.48 kg/m3 in the upper duct."""
    text = STACK.replace("POCKET", pocket).replace("DX", str(dx)).replace("DEPTH", str(depth))
    return text.replace("FLOW", f"{flow:.4g}")
