"""What of a boss, and of the injector in it, stands outside the bore that is drilled for it in its casting.

A casting and its body are drawn without their bores. A boss fills its own bore from the casting's face to the drill's
end, with the spotface over it; nothing else of casting or body may be where the boss or the injector is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._finding import EQUAL
from platemaker.parts import Hole, Part, Stack, Vec3
from platemaker.records import Record
from platemaker.space import Cylinder, Frame


class OwnBore(Record):
    """A bore about the axis of the boss in it, in the boss's frame, whose Z runs up that axis.

    `entry` is where the axis meets the casting's face, whose normal out of the casting is `face`. `steps` are radius
    and depth below the entry of the spotface and of the bore. `off` is how far the bore's axis stands off the boss's.
    `boss` is the boss without its bore, `owners` are casting and body.
    """

    entry: float
    face: Vec3
    steps: tuple[tuple[float, float], ...]
    off: float
    boss: Cylinder
    owners: tuple[str, ...]

    @classmethod
    def of(cls, boss: Part, place: Frame, casting: Part, hole: Hole) -> OwnBore:
        """The bore of one boss, which is a round plate of its length."""
        stands, (wide, deep, high) = casting.places[0], boss.stock.size
        x, y, z = place.to_local(stands.to_world(hole.at))
        body = _upright(0.0, high, max(wide, deep) / 2)
        steps = tuple((step.wide / 2, step.end) for step in hole.bored)
        owners = tuple(owner for owner in (casting.name, casting.body) if owner)
        return cls(z, place.unturn(stands.z_axis), steps, math.hypot(x, y), body, owners)

    def boss_outside(self) -> tuple[Cylinder, ...]:
        """What of the boss stands outside; whether it is too wide for its bore is checked by their radii."""
        return tuple(self._outside(self.boss, max(depth for _, depth in self.steps)))

    def outside(self, figure: Cylinder) -> tuple[Cylinder, ...]:
        """What of a figure about the same axis stands outside boss and bore."""
        beyond = self._beyond_boss(figure)
        wide = [depth for radius, depth in self.steps if radius + EQUAL >= figure.radius + self.off]
        return tuple(self._outside(beyond, max(wide))) if beyond and wide else (beyond,) if beyond else ()

    def takes(self, figure: Cylinder) -> bool:
        """Whether a figure that reaches beyond the boss stands in the bore with some of that."""
        beyond = self._beyond_boss(figure)
        return beyond is not None and self.outside(figure) != (beyond,)

    def _beyond_boss(self, figure: Cylinder) -> Cylinder | None:
        if figure.radius > self.boss.radius + EQUAL:
            return figure
        low, high = max(figure.start[2], self.boss.end[2]), figure.end[2]
        return _upright(low, high, figure.radius) if high - low > EQUAL else None

    def _outside(self, figure: Cylinder, depth: float) -> Iterator[Cylinder]:
        """What is left of an upright cylinder below the drill's end and beyond the casting's face.

        A face that cuts through the cylinder's upper end leaves a piece that no cylinder is: it is taken longer.
        """
        low, high, radius = figure.start[2], figure.end[2], figure.radius
        bottom = self.entry - depth
        if bottom - low > EQUAL:
            yield _upright(low, min(high, bottom), radius)
        lean = radius * math.hypot(self.face[0], self.face[1]) / self.face[2]
        if high <= self.entry - lean + EQUAL:
            return
        if low >= self.entry + lean - EQUAL:
            yield figure
            return
        top = max(high, self.entry + lean + EQUAL)
        yield Cylinder((0.0, 0.0, self.entry), (0.0, 0.0, top), radius, self.face)


def _upright(low: float, high: float, radius: float) -> Cylinder:
    return Cylinder((0.0, 0.0, low), (0.0, 0.0, high), radius)


def own_bores(stack: Stack) -> dict[str, tuple[OwnBore, ...]]:
    """The bores of each row's bosses that stand in the stack, by the bosses' part and in their order."""
    return {
        boss.name: tuple(
            OwnBore.of(boss, place, casting, hole) for place, hole in zip(boss.places, casting.holes, strict=True)
        )
        for boss, casting in bosses_in_castings(stack)
        if boss.places
    }


def bosses_in_castings(stack: Stack) -> Iterator[tuple[Part, Part]]:
    """Each boss with the casting that its row is bored in."""
    castings = {part.name: part for part in stack.parts if not part.made}
    for part in stack.parts:
        casting = castings.get(f"{part.name}_drilling")
        if casting is not None:
            yield part, casting
