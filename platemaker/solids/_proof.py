"""Proof of a solid: valid, one piece, of the volume that plane geometry foretells, watertight as a mesh."""

from __future__ import annotations

from collections.abc import Callable

from platemaker.errors import ProofError, UnmadeError
from platemaker.parts import Part
from platemaker.records import replace
from platemaker.resolved import Predicted, predicted_volume, resolved
from platemaker.solids._build import chips_of, solid_of
from platemaker.solids._faces import SAME_PLACE
from platemaker.solids._kernel import Solid, mesh_library
from platemaker.solids._measure import bounds_of
from platemaker.solids._mesh import CHORD, facets_of
from platemaker.solids._records import SolidProof
from platemaker.solids._volume import volume_of
from platemaker.space import Box3

Predict = Callable[[Part], Predicted | None]

AGREES = 1e-9
"""Largest share of its volume by which a solid may differ from plane geometry.

The kernel integrates planes, cylinders, cones and tori to some 1e-14; a share of 1e-9 still sees a hole of
1 mm by 1 mm in a plate of 300 x 300 x 8.
"""


def prove(part: Part, solid: Solid, predict: Predict = predicted_volume) -> SolidProof:
    """What was measured on `solid`; raises ProofError naming the part, and the cut, that does not come out right.

    `predict` gives the volume of a part by plane geometry, or None where it gives none. It is an UnmadeError where cuts
    break out of the part or into each other: the kernel loses some that graze.
    """
    try:
        return _prove(part, solid, predict)
    except ProofError as fault:
        broken = ", ".join(sorted(resolved(part).broken))
        if not broken:
            raise
        message = (
            f"{fault}; no solid can be made with cuts that break out or into each other ({broken}): fix that first"
        )
        raise UnmadeError(message) from fault


def _prove(part: Part, solid: Solid, predict: Predict) -> SolidProof:
    expected = predict(part)
    volume, fault = _measured(solid, expected)
    if fault and expected and (chips := chips_of(part)):
        expected = replace(expected, volume=expected.volume - chips)
        volume, fault = _measured(solid, expected)
    if fault:
        raise ProofError(_blame(part, predict, fault))
    box = bounds_of(solid)
    if not _fills(box, part):
        message = f"part '{part.name}': the solid's box is {box} mm, its blank's {part.stock.box} mm"
        raise ProofError(message)
    mesh_volume, bound = _mesh(part, solid)
    if abs(mesh_volume - volume) > bound:
        message = (
            f"part '{part.name}': its mesh holds {mesh_volume:.4f} mm3, its solid {volume:.4f} mm3; they may differ "
            f"by {bound:.4f} mm3"
        )
        raise ProofError(message)
    due, error = (expected.volume, expected.error) if expected else (None, 0.0)
    return SolidProof(part.name, volume, due, error, len(solid.Faces()), mesh_volume, bound, box)


def _measured(solid: Solid, expected: Predicted | None) -> tuple[float, str]:
    """The volume of a solid, mm3, and what is wrong with it: empty where nothing is."""
    pieces = len(solid.Solids())
    if pieces != 1:
        return 0.0, f"the solid is {'nothing' if pieces == 0 else f'{pieces} pieces'} instead of one"
    if not solid.isValid():
        return 0.0, "the kernel calls its solid invalid"
    volume = volume_of(solid)
    if expected is not None and abs(volume - expected.volume) > AGREES * expected.volume + expected.error:
        return volume, f"the solid holds {volume:.6f} mm3, plane geometry says {expected.volume:.6f} mm3"
    return volume, ""


def _fills(box: Box3, part: Part) -> bool:
    """Whether a box reaches all six sides of the blank; where cuts break out of it, whether it reaches none farther."""
    short = [inner - outer for inner, outer in zip(box[:3], part.stock.box[:3], strict=True)]
    short += [outer - inner for inner, outer in zip(box[3:], part.stock.box[3:], strict=True)]
    # Under a slope the thick end may lie lower than the blank's top.
    reaches = max(short) <= SAME_PLACE or part.planed is not None or bool(resolved(part).broken)
    return min(short) >= -SAME_PLACE and reaches


def _blame(part: Part, predict: Predict, fault: str) -> str:
    """The message that names the first cut with which the solid goes wrong."""
    if not _wrong(part, predict):
        return f"part '{part.name}': {fault}"
    good, bad = -1, len(part.cuts)
    while bad - good > 1:
        middle = (good + bad) // 2
        if not _wrong(_first_cuts(part, middle), predict):
            good = middle
        else:
            bad = middle
    if bad == 0:
        return f"part '{part.name}': {fault}, and so does its blank without a cut"
    first = _wrong(_first_cuts(part, bad), predict) or fault
    return f"part '{part.name}', {_names(part, bad)}: {first}"


def _names(part: Part, count: int) -> str:
    cut = part.cuts[count - 1]
    return f"cut '{cut.name}'" + (f" ({cut.key})" if cut.key else "")


def _wrong(part: Part, predict: Predict) -> str:
    return _measured(solid_of(part), predict(part))[1]


def _first_cuts(part: Part, count: int) -> Part:
    return replace(part, cuts=part.cuts[:count])


def _mesh(part: Part, solid: Solid) -> tuple[float, float]:
    """The mesh's volume and how far it may lie from the solid's, mm3; raises ProofError when it is not watertight."""
    facets = facets_of(solid)
    mesh = mesh_library().Trimesh(facets.corners, facets.triangles, process=True)
    # The mesher ends a cone in a triangle with two corners on the tip: no area, no hole.
    mesh.update_faces([len(set(corners)) == 3 for corners in mesh.faces.tolist()])
    if not mesh.is_watertight:
        message = f"part '{part.name}': its mesh is not watertight"
        raise ProofError(message)
    volume = float(mesh.volume)
    curved = sum(face.Area() for face in solid.Faces() if face.geomType() != "PLANE")
    # The second term is the rounding of a sum over triangles.
    return volume, CHORD * float(curved) + 1e-9 * abs(volume)
