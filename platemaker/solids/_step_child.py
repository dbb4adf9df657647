"""A program of its own: reads one STEP file and writes its solids as kernel bytes, or the reason why there are none.

A file from outside can crash the kernel, keep it busy for ever or fill the memory. Here that ends this process alone.
"""

from __future__ import annotations

import io
import math
import os
import re
import sys
from pathlib import Path
from typing import Any

SOLID, REASON = b"+", b"-"
"""The first byte of the answer: kernel bytes follow, or text."""
MEMORY, LARGEST = 4 << 30, 256 << 20
"""Most address space of this process and largest file, bytes."""
FARTHEST = 1e5
"""No part of a body lies farther than this from its own origin, mm: 100 m."""

NUMBERS = re.compile(
    rb"'(?:[^']|'')*'|/\*.*?\*/"  # strings and comments may say what they like
    rb"|(?<![\w.#])([-+]?(?:\d+\.?\d*E[-+]?\d{3,}|\d\.#\w+|nan|inf(?:inity)?))(?![\w.(])",
    re.IGNORECASE | re.DOTALL,
)
BODIES = re.compile(rb"=\s*(?:MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS|FACETED_BREP)\s*\(", re.IGNORECASE)


def main(path: Path) -> None:
    """Answer for one file on standard output, which is kept from the kernel: it prints there."""
    answer = os.dup(1)
    os.dup2(2, 1)
    _limit()
    text = path.read_bytes() if path.stat().st_size <= LARGEST else b""
    reason = unfit_number(text) if text else f"is empty or larger than {LARGEST >> 20} MB"
    shape = None
    if not reason:
        shape, reason = _read(path, len(BODIES.findall(text)))
    if shape is None:
        data = REASON + reason.encode()
    else:
        from OCP.BinTools import BinTools  # noqa: PLC0415 - the kernel loads for a file that may be one

        held = io.BytesIO()
        BinTools.Write_s(shape, held)
        data = SOLID + held.getvalue()
    with os.fdopen(answer, "wb") as out:
        out.write(data)


def _limit() -> None:
    try:
        import resource  # noqa: PLC0415 - not on every system
    except ImportError:
        return
    for kind, most in ((resource.RLIMIT_AS, MEMORY), (resource.RLIMIT_CORE, 0)):
        _, hard = resource.getrlimit(kind)
        least = most if hard == resource.RLIM_INFINITY else min(most, hard)
        resource.setrlimit(kind, (least, hard))


def unfit_number(text: bytes) -> str:
    r"""What stands in a STEP file's text where a finite number must; empty when all is well.

    >>> unfit_number(b"#1 = CARTESIAN_POINT('NaN',(1.E-100,0.,0.));\n#2 = CARTESIAN_POINT('',(1.E400,NaN,0.));")
    'has 1.E400 in its line 2, which is no finite number'
    """
    for found in NUMBERS.finditer(text):
        word = found.group(1)
        if word is not None and (b"#" in word or not math.isfinite(float(word))):
            line = text.count(b"\n", 0, found.start()) + 1
            return f"has {word.decode()} in its line {line}, which is no finite number"
    return ""


def _read(path: Path, least: int) -> tuple[Any, str]:
    """The solids of a file as one shape; without any, or with fewer than the file declares, the reason."""
    from OCP.IFSelect import IFSelect_ReturnStatus  # noqa: PLC0415 - the kernel
    from OCP.STEPControl import STEPControl_Reader  # noqa: PLC0415

    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        return None, "cannot be read as a STEP file"
    reader.TransferRoots()
    solids = [solid for number in range(1, reader.NbShapes() + 1) for solid in _solids(reader.Shape(number))]
    if not solids:
        return None, "holds no solid"
    if len(solids) < least:
        return None, f"declares {least} solids, of which the kernel can read {len(solids)}"
    shape = solids[0] if len(solids) == 1 else _together(solids)
    return _sound(shape)


def _solids(shape: Any) -> list[Any]:
    from OCP.TopAbs import TopAbs_ShapeEnum  # noqa: PLC0415 - the kernel
    from OCP.TopExp import TopExp_Explorer  # noqa: PLC0415

    found, search = [], TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
    while search.More():
        found.append(search.Current())
        search.Next()
    return found


def _together(solids: list[Any]) -> Any:
    from OCP.BRep import BRep_Builder  # noqa: PLC0415 - the kernel
    from OCP.TopoDS import TopoDS_Compound  # noqa: PLC0415

    whole, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(whole)
    for solid in solids:
        builder.Add(whole, solid)
    return whole


def _sound(shape: Any) -> tuple[Any, str]:
    """The shape when each of its solids is closed, finite and holds matter; small faults are repaired first."""
    from OCP.BRepCheck import BRepCheck_Analyzer  # noqa: PLC0415 - the kernel
    from OCP.ShapeFix import ShapeFix_Shape  # noqa: PLC0415

    if not BRepCheck_Analyzer(shape).IsValid():
        repair = ShapeFix_Shape(shape)
        repair.Perform()
        shape = repair.Shape()
    # Only now: a fault may hide how far the faces reach.
    if not BRepCheck_Analyzer(shape).IsValid():
        return None, "holds a solid that is not closed or crosses itself"
    volumes = [_volume(solid) for solid in _solids(shape)]
    if not volumes or not all(0.0 < volume < math.inf for volume in volumes):
        return None, f"holds a solid without matter, or inside out: {min(volumes, default=0.0):g} mm3"
    reach = _reach(shape)
    if not reach <= FARTHEST:
        return None, f"reaches {reach:g} mm from its origin, more than the {FARTHEST:g} mm that a body may"
    return shape, ""


def _volume(solid: Any) -> float:
    from OCP.BRepGProp import BRepGProp  # noqa: PLC0415 - the kernel
    from OCP.GProp import GProp_GProps  # noqa: PLC0415

    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, found)
    return float(found.Mass())


def _reach(shape: Any) -> float:
    from OCP.Bnd import Bnd_Box  # noqa: PLC0415 - the kernel
    from OCP.BRepBndLib import BRepBndLib  # noqa: PLC0415

    around = Bnd_Box()
    BRepBndLib.Add_s(shape, around, False)
    return math.inf if around.IsVoid() else max(abs(float(value)) for value in around.Get())


if __name__ == "__main__":
    main(Path(sys.argv[1]))
