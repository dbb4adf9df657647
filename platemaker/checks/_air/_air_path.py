"""The air's way through the stack: its sections along Z from the exact regions, in the order in which it meets them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.checks._loads._seal_lines import ports_there
from platemaker.checks._stack._squared import squared
from platemaker.parts import Joint, Kind, Part, Profile, ProfileKind, Side, Stack
from platemaker.plane import Region, contains, measures, moved, offset, overlap, rotated, unite
from platemaker.records import Record, replace
from platemaker.resolved import Layer, resolved, resolved_stack
from platemaker.space import Frame


class Station(Record):
    """A stretch of the way with one section: its place, length along the flow in mm, figures in the stack's plan.

    `mouth_radius` rounds its entry, where the air comes in; `chamfer` breaks it instead: length along the flow, mm,
    and angle to it, degrees. `part` is "" in a body's own port. `pocket` says that a pocket is part of the section. One
    without `regions` is solid metal across the way.
    """

    name: str
    part: str
    feature: str
    height: float
    length: float
    regions: tuple[Region, ...]
    mouth_radius: float = 0.0
    chamfer: tuple[float, float] | None = None
    pocket: bool = False

    @property
    def area(self) -> float:
        """Area of the section, mm2."""
        return sum(region.area for region in self.regions)

    @property
    def perimeter(self) -> float:
        """Wetted perimeter, mm."""
        return sum(region.perimeter for region in self.regions)

    def rounder(self, by: float) -> Station:
        """The same with a mouth radius larger by `by`, mm; a chamfer counts as a radius of its length."""
        radius = self.chamfer[0] if self.chamfer else self.mouth_radius
        return replace(self, mouth_radius=radius + by, chamfer=None)

    def wider(self, by: float) -> Station:
        """The same, opened out by `by` all round, mm."""
        grown = [region for each in self.regions for region in offset(each, by)]
        return replace(self, regions=unite(*grown) if len(grown) > 1 else tuple(grown))


def air_path(stack: Stack, towards: Side) -> tuple[Station, ...]:
    """The stations of the stack's air passage in the order of the flow; none where no placed plates share a port.

    The way leads through every plate and gasket whose opening is one space with the port of a joint, from body to
    body. Joints with a pressure of their own carry no air. Of several ways apart, the one through most plates is taken.
    """
    chosen = _together(stack, _air_plates(stack))
    joints = {name for part in chosen for name in _air_joints(stack, part)}
    gaskets = [
        part for part in stack.parts if part.kind in (Kind.GASKET, Kind.SHIM) and joints & _air_joints(stack, part)
    ]
    found: list[Station] = []
    for part in (*chosen, *(squared(sheet, stack) for sheet in gaskets)):
        if part.places and part.plate is not None:
            found += _part_stations(stack, part, towards)
    if not found:
        return ()
    found += _ends(stack, joints)
    found.sort(key=lambda station: station.height, reverse=towards is Side.BELOW)
    return tuple(found)


def apart(stack: Stack) -> tuple[str, ...]:
    """The plates with a passage that is on no way that is calculated, by name."""
    plates = _air_plates(stack)
    chosen = _together(stack, plates)
    return tuple(one.name for one in plates if one not in chosen and any(_part_stations(stack, one, Side.BELOW)))


def _air_plates(stack: Stack) -> list[Part]:
    return [part for part in stack.parts if part.kind is Kind.PLATE and part.places and _air_joints(stack, part)]


def _air_joints(stack: Stack, part: Part) -> set[str]:
    return {mounting.joint for mounting in part.mountings if carries_air(stack.joint(mounting.joint))}


def leads_on(stack: Stack, part: Part) -> bool:
    """Whether a part stands between two joints that carry air, so that the air must pass through it."""
    sides = {one.side for one in part.mountings if carries_air(stack.joint(one.joint))}
    return part.kind is Kind.PLATE and len(sides) > 1


def _together(stack: Stack, plates: Sequence[Part]) -> list[Part]:
    """The largest set of plates that hang together by joints that carry air."""
    best: list[Part] = []
    left = list(plates)
    while left:
        group, joints = [left.pop(0)], set[str]()
        while True:
            joints |= {name for part in group for name in _air_joints(stack, part)}
            more = [part for part in left if joints & _air_joints(stack, part)]
            if not more:
                break
            group += more
            left = [part for part in left if part not in more]
        best = group if len(group) > len(best) else best
    return best


def carries_air(joint: Joint) -> bool:
    """Whether a joint's ports are for air: it has an opening and no pressure of its own."""
    return bool(joint.ports) and joint.pressure is None


def _port(stack: Stack, part: Part) -> tuple[Region, ...]:
    """The ports of a part's joints that carry air, in the part's plan."""
    found = []
    for mounting in part.mountings:
        joint = stack.joint(mounting.joint)
        if carries_air(joint):
            each = ((port.region, *ports_there(stack, joint, port).values()) for port in joint.ports)
            ports = [region for regions in each for region in regions]
            found += [moved(rotated(port, mounting.turn), *mounting.at) for port in dict.fromkeys(ports)]
    return tuple(found)


def _part_stations(stack: Stack, part: Part, towards: Side) -> Iterator[Station]:
    """The sections of a part's passage, layer by layer, alike ones taken as one; what closes it has no figure."""
    place, ports = part.places[0], _port(stack, part)
    between = leads_on(stack, part)
    stations: list[Station] = []
    for layer in resolved(part).layers:
        name, regions, pocket = _passage(layer, ports)
        if not regions and not between:
            continue
        name = name or "closed"
        last = stations[-1] if stations else None
        if last is not None and last.feature == name and abs(last.area - sum(r.area for r in regions)) < 1e-6:
            length = last.length + layer.top - layer.bottom
            middle = place.to_world((0.0, 0.0, layer.top - length / 2))[2]
            stations[-1] = replace(last, length=length, height=middle)
            continue
        height = place.to_world((0.0, 0.0, (layer.bottom + layer.top) / 2))[2]
        several = len(regions) > 1 and any(len(stack.joint(one.joint).ports) > 1 for one in part.mountings)
        title = f"{part.name} {f'{len(regions)} openings' if several else name}"
        seen = in_plan(regions, place)
        stations.append(Station(title, part.name, name, height, layer.top - layer.bottom, seen, pocket=pocket))
    entry = Side.ABOVE if towards is Side.BELOW else Side.BELOW
    for number, station in enumerate(stations):
        first = number == (len(stations) - 1 if entry is Side.ABOVE else 0)
        yield _mouthed(part, entry, station) if first else station


def _mouthed(part: Part, entry: Side, station: Station) -> Station:
    """A part's first station with the mouth of its opening, where that is on the face where the air comes in."""
    cut = next((cut for cut in part.profiles if cut.name == station.feature and cut.mouth is entry), None)
    if cut is not None and cut.mouth_chamfer > 0:
        return replace(station, chamfer=(cut.mouth_depth, cut.mouth_angle))
    return replace(station, mouth_radius=cut.mouth_radius) if cut is not None else station


def alone(
    stack: Stack, station: Station, figures: Sequence[Region], name: str, towards: Side, *, entry: bool
) -> Station:
    """What of a station belongs to one opening of a joint, with its own cut's mouth where the air enters a part."""
    part = stack.find_part(station.part)
    one = replace(station, name=f"{name}, {station.name}", regions=tuple(figures), mouth_radius=0.0, chamfer=None)
    if part is None or not part.places:
        return one
    openings = [cut for cut in part.profiles if cut.kind is ProfileKind.OPENING]
    placed = [(cut, region) for cut in openings for region in in_plan(cut.regions, part.places[0])]
    cut = next((cut for cut, region in placed if any(overlap(region, figure) for figure in figures)), None)
    if cut is None:
        return one
    one = replace(one, feature=cut.name, name=f"{part.name} {cut.name}")
    return _mouthed(part, towards.other, one) if entry else one


def _passage(layer: Layer, ports: Sequence[Region]) -> tuple[str, tuple[Region, ...], bool]:
    """What of a layer is one space with a port, the name of its widest figure, and whether a pocket is part of it."""
    wide = [
        (void.cut, void.plan)
        for void in layer.voids
        if isinstance(void.cut, Profile) and void.cut.kind in (ProfileKind.OPENING, ProfileKind.POCKET)
    ]
    chosen = [(cut, region) for cut, region in wide if any(_meets(region, port) for port in ports)]
    if not chosen:
        return "", (), False
    widest, largest = max(chosen, key=lambda found: found[1].area)
    others = [region for _, region in chosen if region is not largest]
    pocket = any(cut.kind is ProfileKind.POCKET for cut, _ in chosen)
    return widest.name, unite(largest, *others) if others else (largest,), pocket


def _meets(region: Region, port: Region) -> bool:
    return contains(region, measures(port).centroid) or overlap(region, port)


def in_plan(regions: Sequence[Region], place: Frame) -> tuple[Region, ...]:
    """Figures of a part's plan in the stack's, for a part that stands upright."""
    turn = math.degrees(math.atan2(place.x_axis[1], place.x_axis[0]))
    return tuple(moved(rotated(region, turn), place.origin[0], place.origin[1]) for region in regions)


def _ends(stack: Stack, joints: set[str]) -> Iterator[Station]:
    """The ports of the bodies at either end, just beyond their gaskets."""
    names = {body.name for body in stack.bodies}
    for joint in stack.joints:
        owners = {face.owner for face in joint.faces}
        body, frame = next(iter(owners & names), None), resolved_stack(stack).joint(joint.name).frame
        if joint.name not in joints or body is None or frame is None:
            continue
        ports = [port.region for port in joint.ports_of(body)]
        below = joint.lower is not None and joint.lower.owner == body
        beyond = joint.gap + 1e-3
        height = frame.origin[2] + (-beyond if below else beyond)
        words = "port" if len(ports) == 1 else f"{len(ports)} ports"
        yield Station(f"{words} of {body}", "", joint.name, height, 0.0, in_plan(ports, frame))
