"""One solid as one product of a STEP file, without an assembly about it; faces with names and colours of their own."""

from __future__ import annotations

from pathlib import Path
from typing import Any, TypeAlias

from platemaker.records import Record
from platemaker.solids import Solid, kernel

Colour: TypeAlias = tuple[float, float, float]


class ProductFace(Record):
    """A face of the solid with its name, ASCII, and its colour in shares of 1; None where the file has none."""

    face: Solid
    name: str
    colour: Colour | None


class Product(Record):
    """A named solid, its colour in shares of 1 (None where the file has none), and its faces that have names."""

    name: str
    solid: Solid
    colour: Colour | None
    faces: tuple[ProductFace, ...] = ()


def write_product(product: Product, path: Path) -> None:
    """Write the product in millimetres. What cannot be written is left out or cut short: the caller looks at it."""
    from OCP.Interface import Interface_Static  # noqa: PLC0415 - part of the kernel
    from OCP.STEPCAFControl import STEPCAFControl_Writer  # noqa: PLC0415
    from OCP.STEPControl import STEPControl_StepModelType  # noqa: PLC0415

    document, shapes, colours = _empty()
    label = shapes.AddShape(product.solid.wrapped, False)
    _mark(label, product.name, product.colour, colours)
    for one in product.faces:
        _mark(shapes.AddSubShape(label, one.face.wrapped), one.name, one.colour, colours)
    writer = STEPCAFControl_Writer()
    writer.SetColorMode(True)
    writer.SetNameMode(True)
    for key, value in (("write.surfacecurve.mode", 0), ("write.stepcaf.subshapes.name", 1)):
        Interface_Static.SetIVal_s(key, value)
    for key in ("xstep.cascade.unit", "write.step.unit"):
        Interface_Static.SetCVal_s(key, "MM")
    writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs)
    writer.Write(str(path))


def read_product(path: Path) -> Product | None:
    """The one product of a STEP file; None where it holds several, or an assembly. Raises ValueError if unreadable."""
    from OCP.IFSelect import IFSelect_ReturnStatus  # noqa: PLC0415 - part of the kernel
    from OCP.Interface import Interface_Static  # noqa: PLC0415
    from OCP.STEPCAFControl import STEPCAFControl_Reader  # noqa: PLC0415
    from OCP.TDF import TDF_LabelSequence  # noqa: PLC0415

    reader = STEPCAFControl_Reader()
    reader.SetColorMode(True)
    reader.SetNameMode(True)
    Interface_Static.SetIVal_s("read.stepcaf.subshapes.name", 1)
    Interface_Static.SetCVal_s("xstep.cascade.unit", "MM")
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        message = "the kernel cannot read it"
        raise ValueError(message)
    document, shapes, colours = _empty()
    reader.Transfer(document)
    free = TDF_LabelSequence()
    shapes.GetFreeShapes(free)
    if free.Length() != 1 or shapes.IsAssembly_s(free.Value(1)):
        return None
    label, parts = free.Value(1), TDF_LabelSequence()
    shapes.GetSubShapes_s(label, parts)
    cast = kernel().Shape.cast
    faces = [
        ProductFace(cast(shapes.GetShape_s(one)), _name_of(one), _colour_of(one, colours))
        for one in (parts.Value(k) for k in range(1, parts.Length() + 1))
    ]
    solid = cast(shapes.GetShape_s(label))
    return Product(_name_of(label), solid, _colour_of(label, colours), tuple(faces))


def _empty() -> tuple[Any, Any, Any]:
    """A document of the kernel with its tools for shapes and colours."""
    from OCP.TCollection import TCollection_ExtendedString  # noqa: PLC0415 - part of the kernel
    from OCP.TDocStd import TDocStd_Document  # noqa: PLC0415
    from OCP.XCAFDoc import XCAFDoc_DocumentTool  # noqa: PLC0415

    document = TDocStd_Document(TCollection_ExtendedString("XmlXCAF"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    shapes.SetAutoNaming_s(False)
    return document, shapes, XCAFDoc_DocumentTool.ColorTool_s(document.Main())


def _mark(label: Any, name: str, colour: Colour | None, colours: Any) -> None:
    from OCP.TCollection import TCollection_ExtendedString  # noqa: PLC0415 - part of the kernel
    from OCP.TDataStd import TDataStd_Name  # noqa: PLC0415
    from OCP.XCAFDoc import XCAFDoc_ColorType  # noqa: PLC0415

    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name))
    if colour is not None:
        colours.SetColor(label, kernel().Color(*colour).wrapped, XCAFDoc_ColorType.XCAFDoc_ColorGen)


def _name_of(label: Any) -> str:
    from OCP.TDataStd import TDataStd_Name  # noqa: PLC0415 - part of the kernel

    found = TDataStd_Name()
    return str(found.Get().ToExtString()) if label.FindAttribute(TDataStd_Name.GetID_s(), found) else ""


def _colour_of(label: Any, colours: Any) -> Colour | None:
    from OCP.Quantity import Quantity_ColorRGBA  # noqa: PLC0415 - part of the kernel
    from OCP.XCAFDoc import XCAFDoc_ColorType  # noqa: PLC0415

    for kind in (XCAFDoc_ColorType.XCAFDoc_ColorSurf, XCAFDoc_ColorType.XCAFDoc_ColorGen):
        found = Quantity_ColorRGBA()
        if colours.GetColor_s(label, kind, found):
            light = found.GetRGB()
            red, green, blue = kernel().Color(light.Red(), light.Green(), light.Blue(), 1.0, False).toTuple()[:3]
            return float(red), float(green), float(blue)
    return None
