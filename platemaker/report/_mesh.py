"""Triangle meshes for the page's viewer, packed small. They are for looking at; nothing is measured on them."""

from __future__ import annotations

import base64
import json
import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from platemaker.errors import GeometryError
from platemaker.records import Record

BUDGET = 4_500_000
"""Most characters of packed meshes in a page: keeps it, with its pictures, under 6 MB."""

_STEPS = 65535


class Shades(NamedTuple):
    """Colours of a mesh's triangles: `colours` as `#rrggbb`, at most 256, and the number of each triangle's."""

    colours: tuple[str, ...]
    numbers: tuple[int, ...]


class Mesh(Record, eq=False):
    """A body to show: `vertices` (x, y, z) in the stack's frame, mm; `triangles` as rows of three vertex numbers.

    `colour` is `#rrggbb`. `offset_direction` is where the body goes when the stack is pulled apart: at full pull it
    moves by this vector times the size of the stack. Both lists may be arrays of shape (n, 3). With `shades` triangles
    have colours of their own, which no light changes.
    """

    name: str
    vertices: Sequence[Sequence[float]]
    triangles: Sequence[Sequence[int]]
    colour: str = "#9aabb2"
    offset_direction: tuple[float, float, float] = (0.0, 0.0, 0.0)
    hidden: bool = False
    shades: Shades | None = None


def prism_between(
    low: Sequence[Sequence[float]], high: Sequence[Sequence[float]]
) -> tuple[list[Sequence[float]], list[tuple[int, int, int]]]:
    """Vertices and triangles of a convex prism from the corners of its foot, in order round it, to those over them."""
    number, triangles = len(low), []
    for k in range(number):
        a, b = k, (k + 1) % number
        triangles += [(a, b, a + number), (b, b + number, a + number)]
    for k in range(1, number - 1):
        triangles += [(k, 0, k + 1), (number, number + k, number + k + 1)]
    return [*low, *high], triangles


def colour_word(shares: tuple[float, float, float]) -> str:
    """A colour of three shares of 1 as `#rrggbb`.

    >>> colour_word((1.0, 0.5, 0.0))
    '#ff8000'
    """
    return "#" + "".join(f"{round(255 * share):02x}" for share in shares)


def packed(meshes: Iterable[Mesh], budget: int = BUDGET) -> tuple[str, list[str]]:
    """Meshes as JSON for the viewer, safe inside a script element, and the names of those that did not fit.

    Vertices are rounded to 1/65535 of the mesh's own box. Raises GeometryError for a mesh that names a missing vertex
    or has a colour that is not `#rrggbb`.
    """
    taken: list[dict[str, object]] = []
    left_out: list[str] = []
    for mesh in meshes:
        one = _packed_one(mesh)
        room = len(str(one["vertices"])) + len(str(one["triangles"]))
        if room > budget:
            left_out.append(mesh.name)
            continue
        budget -= room
        taken.append(one)
    return json.dumps(taken, sort_keys=True).replace("<", "\\u003c"), left_out


def _packed_one(mesh: Mesh) -> dict[str, object]:
    # Loaded here because numpy would cost every command that prints no page.
    import numpy as np  # noqa: PLC0415

    if not re.fullmatch(r"#[0-9a-fA-F]{6}", mesh.colour):
        message = f"mesh {mesh.name}: colour must be #rrggbb, met {mesh.colour!r}"
        raise GeometryError(message)
    vertices = np.asarray(mesh.vertices, dtype=float).reshape(-1, 3)
    triangles = np.asarray(mesh.triangles, dtype=np.int64).reshape(-1, 3)
    if not len(vertices) or (len(triangles) and not 0 <= triangles.min() <= triangles.max() < len(vertices)):
        message = f"mesh {mesh.name}: a triangle names a vertex that is not among the {len(vertices)}"
        raise GeometryError(message)
    low = vertices.min(axis=0)
    size = np.maximum(vertices.max(axis=0) - low, 1e-9)
    steps = np.rint((vertices - low) / size * _STEPS).astype("<u2")
    wide = len(vertices) > _STEPS + 1
    colours, numbers = mesh.shades or Shades((), ())
    return {
        "name": mesh.name,
        "colour": mesh.colour,
        "offset": list(mesh.offset_direction),
        "hidden": mesh.hidden,
        "low": [round(float(value), 6) for value in low],
        "size": [round(float(value), 6) for value in size],
        "wide": wide,
        "vertices": base64.b64encode(steps.tobytes()).decode(),
        "triangles": base64.b64encode(triangles.astype("<u4" if wide else "<u2").tobytes()).decode(),
        "colours": list(colours),
        "shades": base64.b64encode(bytes(numbers)).decode(),
    }
