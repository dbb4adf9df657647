"""The skins of a build as meshes of the stack: what stands in place, and where each goes when pulled apart."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from platemaker.checks import AirReport
from platemaker.fields import FlowAnswer
from platemaker.parts import Stack
from platemaker.records import replace
from platemaker.report._belt_meshes import belt_meshes
from platemaker.report._flow_meshes import flow_meshes
from platemaker.report._hardware_meshes import hardware_meshes
from platemaker.report._mesh import Mesh, colour_word
from platemaker.space import Frame

if TYPE_CHECKING:
    from platemaker.export import BuildResult, Skin


def stack_meshes(
    stack: Stack, result: BuildResult, flow: FlowAnswer | None = None, air: AirReport | None = None
) -> list[Mesh]:
    """A mesh for every copy of a part, for every body that stands in the stack, and sheets of a calculated field.

    Pulled apart, they go up and down in the order of their heights, the middle one staying where it is.
    """
    found = [(owner, *_mesh(name, skin, place, colour)) for owner, name, skin, place, colour in _placed(stack, result)]
    heights = sorted({round(middle, 1) for _, _, middle in found})
    pulled, goes = [], dict[str, tuple[float, float, float]]()
    for owner, mesh, middle in found:
        rank = heights.index(round(middle, 1)) - (len(heights) - 1) / 2
        offset = (0.0, 0.0, rank / max(1, len(heights) - 1))
        goes.setdefault(owner, offset)
        pulled.append(replace(mesh, offset_direction=offset))
    sheets = flow_meshes(flow, air, stack, goes) if flow and air else []
    return [*pulled, *belt_meshes(stack), *hardware_meshes(stack, goes), *sheets]


def _placed(stack: Stack, result: BuildResult) -> Iterator[tuple[str, str, Skin, Frame, tuple[float, float, float]]]:
    """Owner, name, skin, place and colour of what stands in the stack."""
    # Loaded here because the room of export would cost every command that only checks.
    from platemaker.export import EXISTING, colour_of  # noqa: PLC0415

    for part in stack.parts:
        if part.name in result.skins:
            for number, place in enumerate(part.places, start=1):
                copy = f" {number} of {len(part.places)}" if len(part.places) > 1 else ""
                yield part.name, part.name + copy, result.skins[part.name], place, colour_of(part)
    for body in stack.bodies:
        if body.name in result.bodies and body.place is not None:
            yield body.name, f"{body.name}, existing", result.bodies[body.name], body.place, EXISTING


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
