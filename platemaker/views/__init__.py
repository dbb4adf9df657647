"""Pictures of parts as exact vectors: what they are made of, plan, section, labels and call-outs, and what paints them.

Drawings and the report share them.
"""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.views._numbers import Shown, finding_numbers, limit_mark, round_step, shown

if TYPE_CHECKING:
    from platemaker.views._belt import belt_box, belt_boxes, belt_ink, belt_labels, belt_svg
    from platemaker.views._edge import close_section_svg, section_svg, section_words
    from platemaker.views._frame import Sheet, stylesheet
    from platemaker.views._holes import call_out, hole_tags, kind_of, side_words
    from platemaker.views._ink._colours import MAP, OPEN, dots
    from platemaker.views._ink._engraving import engraved
    from platemaker.views._ink._lettering import (
        CAPITAL,
        COUNTERBORE,
        COUNTERSINK,
        DEPTH,
        DIAMETER,
        FLAT,
        LEAST,
        PERPENDICULAR,
        POSITION,
        UNKNOWN,
        fitted,
        known,
        width_of,
        wrapped,
    )
    from platemaker.views._ink._model import (
        TRUE,
        Align,
        Clip,
        EllipseCurve,
        Fill,
        Ink,
        Page,
        Pen,
        Raster,
        Stroke,
        Text,
        View,
        arrow,
        finely,
        frame,
        on_paper,
        on_white,
        path,
        texts_in,
    )
    from platemaker.views._ink._paper_svg import svg_of
    from platemaker.views._ink._pdf import POINT, pdf_bytes, write_pdf
    from platemaker.views._ink._svg import edge_data, element, path_data, raster, region_data
    from platemaker.views._labels import Label, Lettered, PlacedLabel, grown, joined, label_ink, leader, overlap, place
    from platemaker.views._limiters import LimitMark, limited_figures, limits_of
    from platemaker.views._lines import Lines
    from platemaker.views._oblique import Shaded, oblique_ink, seen_box
    from platemaker.views._part_plan import BEND_PAST, cuts_named, mark_size, plan_ink
    from platemaker.views._plan import above, overview_svg, plan_svg, zoom_svg
    from platemaker.views._section import busiest, cutting_of, most_telling, through_least_metal, upright
    from platemaker.views._section_ink import section_ink
    from platemaker.views._survey import survey_svg
    from platemaker.views._walls import SIGNS, WallMark, seen, tightest, verdict_class
else:  # a terminal has no need of pictures
    __getattr__ = on_first_use(
        __name__,
        {
            "_belt": ("belt_box", "belt_boxes", "belt_ink", "belt_labels", "belt_svg"),
            "_edge": ("close_section_svg", "section_svg", "section_words"),
            "_frame": ("Sheet", "stylesheet"),
            "_holes": ("call_out", "hole_tags", "kind_of", "side_words"),
            "_ink._colours": ("MAP", "OPEN", "dots"),
            "_ink._engraving": ("engraved",),
            "_ink._lettering": (
                "CAPITAL", "COUNTERBORE", "COUNTERSINK", "DEPTH", "DIAMETER", "FLAT", "LEAST", "PERPENDICULAR",
                "POSITION", "UNKNOWN", "fitted", "known", "width_of", "wrapped",
            ),
            "_ink._model": (
                "Align", "Clip", "EllipseCurve", "Fill", "Ink", "Page", "Pen", "Raster", "Stroke", "TRUE", "Text",
                "View", "arrow", "finely", "frame", "on_paper", "on_white", "path", "texts_in",
            ),
            "_ink._paper_svg": ("svg_of",),
            "_ink._pdf": ("POINT", "pdf_bytes", "write_pdf"),
            "_ink._svg": ("edge_data", "element", "path_data", "raster", "region_data"),
            "_labels": (
                "Label", "Lettered", "PlacedLabel", "grown", "joined", "label_ink", "leader", "overlap", "place",
            ),
            "_limiters": ("LimitMark", "limited_figures", "limits_of"),
            "_lines": ("Lines",),
            "_oblique": ("Shaded", "oblique_ink", "seen_box"),
            "_part_plan": ("BEND_PAST", "cuts_named", "mark_size", "plan_ink"),
            "_plan": ("above", "overview_svg", "plan_svg", "zoom_svg"),
            "_section": ("busiest", "cutting_of", "most_telling", "through_least_metal", "upright"),
            "_section_ink": ("section_ink",),
            "_survey": ("survey_svg",),
            "_walls": ("SIGNS", "WallMark", "seen", "tightest", "verdict_class"),
        },
    )  # fmt: skip

__all__ = [
    "BEND_PAST",
    "CAPITAL",
    "COUNTERBORE",
    "COUNTERSINK",
    "DEPTH",
    "DIAMETER",
    "FLAT",
    "LEAST",
    "MAP",
    "OPEN",
    "PERPENDICULAR",
    "POINT",
    "POSITION",
    "SIGNS",
    "TRUE",
    "UNKNOWN",
    "Align",
    "Clip",
    "EllipseCurve",
    "Fill",
    "Ink",
    "Label",
    "Lettered",
    "LimitMark",
    "Lines",
    "Page",
    "Pen",
    "PlacedLabel",
    "Raster",
    "Shaded",
    "Sheet",
    "Shown",
    "Stroke",
    "Text",
    "View",
    "WallMark",
    "above",
    "arrow",
    "belt_box",
    "belt_boxes",
    "belt_ink",
    "belt_labels",
    "belt_svg",
    "busiest",
    "call_out",
    "close_section_svg",
    "cuts_named",
    "cutting_of",
    "dots",
    "edge_data",
    "element",
    "engraved",
    "finding_numbers",
    "finely",
    "fitted",
    "frame",
    "grown",
    "hole_tags",
    "joined",
    "kind_of",
    "known",
    "label_ink",
    "leader",
    "limit_mark",
    "limited_figures",
    "limits_of",
    "mark_size",
    "most_telling",
    "oblique_ink",
    "on_paper",
    "on_white",
    "overlap",
    "overview_svg",
    "path",
    "path_data",
    "pdf_bytes",
    "place",
    "plan_ink",
    "plan_svg",
    "raster",
    "region_data",
    "round_step",
    "section_ink",
    "section_svg",
    "section_words",
    "seen",
    "seen_box",
    "shown",
    "side_words",
    "stylesheet",
    "survey_svg",
    "svg_of",
    "texts_in",
    "through_least_metal",
    "tightest",
    "upright",
    "verdict_class",
    "width_of",
    "wrapped",
    "write_pdf",
    "zoom_svg",
]
