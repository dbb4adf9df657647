"""Passages through chambers of many shapes: what `check` and the field of the air are compared on.

Air comes from above by the inlets, 113 mm long, and leaves by the outlets, 300 mm long; between them the chamber's layers
from the top down. Speed at the entry 37.56 m/s, kinematic viscosity 1.5e-5 m2/s, constant density.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from platemaker.checks._air._air_losses import Air, ChamberFlow, losses
from platemaker.checks._air._air_path import Station
from platemaker.fields import AirVolume, Edge, Slab, Stretch, case_of, volume_of
from platemaker.fields._case import cell_size
from platemaker.plane import Loop, Region, rotated, subtract, unite

BEFORE, BEHIND = 113.0, 300.0
SPEED, VISCOSITY = 37.56, 1.5e-5
Regions = tuple[Region, ...]


@dataclass(frozen=True)
class Passage:
    """Inlets, layers of the chamber with their depths, outlets, the radius of the outlets' edges; lengths in mm."""

    inlets: Regions
    layers: tuple[tuple[Regions, float], ...]
    outlets: Regions
    mouth: float = 0.0

    @property
    def volume(self) -> AirVolume:
        """The air with its ducts."""
        at, slabs = BEFORE, [Slab("upper", 0.0, BEFORE, self.inlets)]
        for regions, depth in self.layers:
            slabs.append(Slab("chamber", at, at + depth, regions))
            at += depth
        edge = Edge(self.mouth, self.mouth, rounded=True) if self.mouth else None
        rest = Stretch("lower", BEHIND, self.outlets, edge).slabs(at)
        return volume_of([*slabs, *rest], sum(slab.volume for slab in slabs[1:]) + sum(s.volume for s in rest[:-1]))

    def coarse(self) -> dict[str, Any]:
        """The case on one mesh of 15,000 cells of a half, 24,000 of a whole, and 500 steps at most."""
        case = case_of(self.volume, SPEED, VISCOSITY)
        return {**case, "sizes": [cell_size(case, 15_000 if case["mirror"] else 24_000)], "steps": 500}

    @property
    def reduced(self) -> float:
        """Loss by `check` over the entry's dynamic pressure, with the friction of the ducts."""
        return self.crossing.coefficient + self.friction

    @property
    def crossing(self) -> ChamberFlow:
        """The flow across the chamber as `check` has it."""
        height = 1000.0
        path = [Station("upper", "", "upper", height, 0.0, self.inlets)]
        for regions, depth in self.layers:
            height -= depth
            path.append(Station("chamber", "plate", "chamber", height + depth / 2, depth, regions, pocket=True))
        path.append(Station("lower", "", "lower", height, 0.0, self.outlets, mouth_radius=self.mouth))
        [crossing] = [step.crossing for step in losses(path, Air(0.01, 2e5, 375.0)) if step.crossing]
        return crossing

    @property
    def friction(self) -> float:
        """Loss of the straight ducts, by Blasius (White 7th ed., eq. 6.38, from memory)."""
        into, out = (sum(region.area for region in regions) for regions in (self.inlets, self.outlets))
        behind = SPEED * into / out
        return duct_loss(self.inlets, BEFORE, SPEED) + duct_loss(self.outlets, BEHIND, behind) * (behind / SPEED) ** 2


def duct_loss(regions: Regions, length: float, speed: float) -> float:
    """Loss of a straight duct over its own dynamic pressure, by Blasius."""
    width = 4 * sum(region.area for region in regions) / sum(region.perimeter for region in regions)
    return float(0.316 / (speed * width / 1000 / VISCOSITY) ** 0.25 * length / width)


def box(width: float, height: float, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Region:
    """A rectangle by its middle; `turned` in degrees."""
    whole = Region(Loop.rectangle(width, height, centre=(x, y)))
    return rotated(whole, turned, (x, y)) if turned else whole


def round_(diameter: float, x: float = 0.0, y: float = 0.0) -> Region:
    """A circle."""
    return Region(Loop.circle((x, y), diameter / 2))


def without(room: Region, *islands: Region) -> Regions:
    """A pocket with its islands."""
    return subtract(room, *islands)


def plain(
    inlet: Region, room: Regions | Region, depth: float, outlet: Region | None = None, mouth: float = 0.0
) -> Passage:
    """One inlet, one pocket of one depth, and the outlet 60 x 70 at the middle unless another is given."""
    regions = (room,) if isinstance(room, Region) else room
    return Passage((inlet,), ((regions, depth),), (outlet or LOWER,), mouth)


LOWER = box(60, 70)
ROOM = box(200, 140, 25)


def upper(x: float, y: float = 0.0, turned: float = 0.0) -> Region:
    """The inlet 40 x 58."""
    return box(40, 58, x, y, turned)


KNOWN = {
    f"{dx} aside, {depth} deep": (plain(upper(dx), ROOM, depth), K)
    for dx, depth, K in ((50, 6, 20.5), (50, 12, 4.6), (50, 24, 1.69), (25, 12, 0.89), (0, 12, 0.25))
}
"""Computed in 2026 by others with a general-purpose finite-volume solver of the same kind."""

SHAPES = {
    "round pocket": (plain(upper(50), round_(170, 25), 12), 5.35),
    "round pocket and ports, 8 deep": (plain(round_(54, 70), round_(190, 35), 8, round_(70)), 8.79),
    "one island between, round pocket": (plain(upper(85), without(round_(210, 42), round_(26, 47)), 12), 5.44),
    "four islands round the ports": (
        plain(upper(60), without(ROOM, *(round_(22, x, y) for x in (35, -35) for y in (46, -46))), 10), 11.7,
    ),
    "islands beside both ports": (
        plain(upper(70), without(box(220, 100, 30), round_(20, 100, 20), round_(20, 40, -30), round_(20, 40, 34)), 14), 9.63,
    ),
    "deep below the inlet, shallow to the outlet": (
        Passage((upper(70),), (((box(60, 110, 70),), 14), ((box(170, 110, 30),), 8)), (LOWER,)), 17.7,
    ),
    "shallow from the inlet, deep over the outlet": (
        Passage((upper(70),), (((box(170, 110, 30),), 8), ((box(90, 110, 0),), 14)), (LOWER,)), 13.0,
    ),
    "offset on the diagonal": (plain(upper(45, 50), box(190, 190, 22, 25), 12), 4.35),
    "diagonal, ports overlap": (plain(upper(30, 35), box(180, 180, 15, 18), 10), 2.93),
    "diagonal, inlet turned, island": (
        plain(upper(60, 45, 35), without(round_(220, 30, 22), round_(24, 40, -28)), 10), 5.51,
    ),
    "narrower behind": (plain(box(60, 70, 60), ROOM, 14, box(40, 58)), 13.7),
    "ports alike, 16 deep": (plain(box(50, 50, 62), round_(170, 31), 16, box(50, 50)), 3.39),
    "angled pocket": (
        plain(upper(60, 60), unite(box(100, 160, 60, 30), box(160, 90, 20, 0)), 12), 8.95,
    ),
    "two outlets": (
        Passage((upper(0),), (((box(240, 110),), 12),), (box(44, 60, 68), box(44, 60, -68))), 3.99,
    ),
    "rounded outlet": (plain(upper(50), ROOM, 12, mouth=8), 3.67),
}  # fmt: skip
"""Shapes of our own with their K by the field of the air on the case of `coarse`."""
UNSTEADY = ("four islands round the ports",)
"""Those whose loss goes up and down too far, so that `platemaker flow` gives none: K is the mean."""
