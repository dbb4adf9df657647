"""Proof of a solid: valid, one piece, of the volume that plane geometry foretells, watertight as a mesh."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from platemaker.errors import GeometryError, ProofError
from platemaker.parts import Cut, Hole, Part, PlateStock, Profile
from platemaker.resolved import expected_volume
from platemaker.solids._build import solid_of
from platemaker.solids._faces import cylinders_of
from platemaker.solids._kernel import Solid, mesh_library
from platemaker.solids._mesh import CHORD, triangles_of
from platemaker.solids._mouth import runs_into_mouth
from platemaker.solids._records import SolidProof
from platemaker.solids._through import lone_cuts, touching
from platemaker.solids._volume import volume_of

Predict = Callable[[Part], float | None]

AGREES = 1e-9
"""Largest share of its volume by which a solid may differ from plane geometry.

The kernel integrates planes, cylinders, cones and tori to some 1e-14; a share of 1e-9 still sees a hole of
1 mm by 1 mm in a plate of 300 x 300 x 8.
"""


def prove(part: Part, solid: Solid, predict: Predict = expected_volume) -> SolidProof:
    """What was measured on `solid`; raises ProofError naming the part, and the cut, that does not come out right.

    Raises GeometryError for cuts that touch: the solid then touches itself, which no tool can cut and no file can tell.

    `predict` gives the volume of a part by plane geometry, mm3, or None where there is no closed formula, as there is
    none where a cut runs into a mouth. Every cut must take something away, but a thread in a bore that is there
    already.
    """
    _refuse_seams(part)
    foretell = _where_exact(predict)
    expected = foretell(part)
    if fault := _fault(solid, expected):
        _refuse_touching(part)
        raise ProofError(_blame(part, foretell, fault))
    if idle := _idle_cut(part, solid, foretell):
        message = f"part '{part.name}', cut '{idle.name}' takes nothing away: it lies off the part or inside other cuts"
        raise ProofError(message)
    volume = volume_of(solid)
    mesh_volume, bound = _mesh(part, solid)
    if abs(mesh_volume - volume) > bound:
        message = (
            f"part '{part.name}': its mesh holds {mesh_volume:.4f} mm3, its solid {volume:.4f} mm3; they may differ "
            f"by {bound:.4f} mm3"
        )
        raise ProofError(message)
    return SolidProof(part.name, volume, expected, len(solid.Faces()), mesh_volume, bound)


def _where_exact(predict: Predict) -> Predict:
    return lambda part: None if runs_into_mouth(part) else predict(part)


def _fault(solid: Solid, expected: float | None) -> str | None:
    """What is wrong with a solid, or None."""
    pieces = len(solid.Solids())
    if pieces != 1:
        return f"the solid is {'nothing' if pieces == 0 else f'{pieces} pieces'} instead of one"
    if not solid.isValid():
        return "the kernel calls its solid invalid"
    volume = volume_of(solid)
    if expected is not None and abs(volume - expected) > AGREES * expected:
        return f"the solid holds {volume:.6f} mm3, plane geometry says {expected:.6f} mm3"
    return None


def _blame(part: Part, predict: Predict, fault: str) -> str:
    """The message that names the first cut with which the solid goes wrong."""
    if _wrong(part, predict) is None:
        return f"part '{part.name}': {fault}"
    good, bad = -1, len(part.cuts)
    while bad - good > 1:
        middle = (good + bad) // 2
        if _wrong(_first_cuts(part, middle), predict) is None:
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


def _wrong(part: Part, predict: Predict) -> str | None:
    try:
        solid = solid_of(part)
    except GeometryError as fault:
        return str(fault)
    return _fault(solid, predict(part))


def _first_cuts(part: Part, count: int) -> Part:
    return replace(part, cuts=part.cuts[:count])


def _idle_cut(part: Part, solid: Solid, predict: Predict) -> Cut | None:
    """The first cut that takes nothing away from the rest of the part, or None."""
    stock = part.stock
    sure = lone_cuts(part, stock.region) if isinstance(stock, PlateStock) else set()
    doubtful = [cut for cut in part.cuts if cut.name not in sure and not _threads_only(cut)]
    if not doubtful:
        return None
    expected, volume, walls = predict(part), volume_of(solid), cylinders_of(solid)
    for cut in doubtful:
        # Without a formula a hole's own wall is proof enough, and quicker than the solid without that hole.
        if expected is None and isinstance(cut, Hole) and any(wall.is_wall(cut, cut.steps[-1]) for wall in walls):
            continue
        without = replace(part, cuts=tuple(other for other in part.cuts if other is not cut))
        before = predict(without)
        if before is None or expected is None:
            before, expected = volume_of(solid_of(without)), volume
        if before - expected <= AGREES * volume:
            return cut
    return None


def _refuse_touching(part: Part) -> None:
    """Raise GeometryError where the plan says why a solid does not come out: a wall of no thickness."""
    if isinstance(part.stock, PlateStock):
        for cut, other in touching(part.cuts, part.stock.region):
            raise GeometryError(_touch_words(part, cut, other))


def _refuse_seams(part: Part) -> None:
    """Raise GeometryError where two figures of one depth share an edge: a line that would be cut twice."""
    figures = [cut for cut in part.cuts if isinstance(cut, Profile)]
    if len(figures) < 2 or not isinstance(part.stock, PlateStock):
        return
    for cut, other in touching(figures, part.stock.region):
        if isinstance(cut, Profile) and isinstance(other, Profile) and _reach(cut) == _reach(other):
            raise GeometryError(_touch_words(part, cut, other))


def _reach(figure: Profile) -> tuple[object, ...]:
    return ("through",) if figure.through else (figure.side, figure.depth)


def _touch_words(part: Part, cut: Cut, other: Cut | None) -> str:
    return (
        f"part '{part.name}': '{cut.name}' and '{other.name if other else 'outline'}' touch and leave a wall of no "
        "thickness: set them apart, or let them overlap"
    )


def _threads_only(cut: Cut) -> bool:
    """Whether a cut may leave no mark on the solid: a thread in a bore that is there already."""
    return isinstance(cut, Hole) and cut.tapping is not None and bool(cut.into)


def _mesh(part: Part, solid: Solid) -> tuple[float, float]:
    """The mesh's volume and how far it may lie from the solid's, mm3; raises ProofError when it is not watertight."""
    corners, triangles = triangles_of(solid)
    mesh = mesh_library().Trimesh(corners, triangles, process=True)
    # The mesher ends a cone in a triangle with two corners on the tip: no area, no hole.
    mesh.update_faces([len(set(corners)) == 3 for corners in mesh.faces.tolist()])
    if not mesh.is_watertight:
        _refuse_touching(part)
        message = f"part '{part.name}': its mesh is not watertight"
        raise ProofError(message)
    curved = sum(face.Area() for face in solid.Faces() if face.geomType() != "PLANE")
    # The second term is the rounding of a sum over triangles.
    return float(mesh.volume), CHORD * float(curved) + 1e-9 * abs(float(mesh.volume))
