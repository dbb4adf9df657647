"""The skins of a build as meshes of the stack: what stands in place, and where each goes when pulled apart."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from platemaker.parts import Stack
from platemaker.report._belt_meshes import belt_meshes
from platemaker.report._hardware_meshes import hardware_meshes
from platemaker.report._mesh import Mesh, colour_word
from platemaker.space import Frame

if TYPE_CHECKING:
    from platemaker.export import BuildResult, Skin


def stack_meshes(stack: Stack, result: BuildResult) -> list[Mesh]:
    """A mesh for every copy of a part and for every body that stands in the stack.

    Pulled apart, they go up and down in the order of their heights, the middle one staying where it is.
    """
    found = [_mesh(name, skin, place, colour) for name, skin, place, colour in _placed(stack, result)]
    heights = sorted({round(middle, 1) for _, middle in found})
    pulled = []
    for mesh, middle in found:
        rank = heights.index(round(middle, 1)) - (len(heights) - 1) / 2
        share = rank / max(1, len(heights) - 1)
        pulled.append(Mesh(mesh.name, mesh.vertices, mesh.triangles, mesh.colour, (0.0, 0.0, share)))
    goes = {mesh.name.split(" ", 1)[0]: mesh.offset_direction for mesh in reversed(pulled)}
    return [*pulled, *belt_meshes(stack), *hardware_meshes(stack, goes)]


def _placed(stack: Stack, result: BuildResult) -> Iterator[tuple[str, Skin, Frame, tuple[float, float, float]]]:
    # Loaded here because the room of export would cost every command that only checks.
    from platemaker.export import EXISTING, colour_of  # noqa: PLC0415

    for part in stack.parts:
        if part.name in result.skins:
            for number, place in enumerate(part.places, start=1):
                copy = f" {number} of {len(part.places)}" if len(part.places) > 1 else ""
                yield part.name + copy, result.skins[part.name], place, colour_of(part)
    for body in stack.bodies:
        if body.name in result.bodies and body.place is not None:
            yield f"{body.name}, existing", result.bodies[body.name], body.place, EXISTING


def _mesh(name: str, skin: Skin, place: Frame, colour: tuple[float, float, float]) -> tuple[Mesh, float]:
    """The mesh in the stack's frame, and the height of its middle, mm."""
    # Loaded here because numpy would cost every command that prints no page.
    import numpy as np  # noqa: PLC0415

    corners = np.frombuffer(skin.corners, dtype=np.float32).reshape(-1, 3).astype(float)
    axes = np.array([place.x_axis, place.y_axis, place.z_axis])
    vertices = corners @ axes + np.array(place.origin)
    heights = vertices[:, 2]
    triangles = np.frombuffer(skin.triangles, dtype=np.uint32).reshape(-1, 3)
    return Mesh(name, vertices.tolist(), triangles.tolist(), colour_word(colour)), float(
        heights.min() + heights.max()
    ) / 2
