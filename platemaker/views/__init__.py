"""Pictures of parts as exact vectors: plan, section, labels, tags and call-outs. Drawings and the report share them."""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.views._numbers import Shown, finding_numbers, limit_mark, plain_zero, shown

if TYPE_CHECKING:
    from platemaker.views._belt import arrow_on, belt_box, belt_svg, pulley_words
    from platemaker.views._edge import close_section_svg, section_svg, section_words
    from platemaker.views._figures import cuts_named, mark_size
    from platemaker.views._frame import Sheet, stylesheet
    from platemaker.views._holes import call_out, hole_tags, kind_of, side_words
    from platemaker.views._labels import Label, Placed, grown, joined, overlap, place
    from platemaker.views._limiters import Limit, limited_figures, limits_of
    from platemaker.views._plan import above, overview_svg, plan_svg, zoom_svg
    from platemaker.views._section import busiest, cutting_of, most_telling, through_least_metal, upright
    from platemaker.views._survey import survey_svg
    from platemaker.views._svg import edge_data, element, path_data, region_data
    from platemaker.views._walls import SIGNS, Wall, seen, tightest, verdict_class
else:  # a terminal has no need of pictures
    __getattr__ = on_first_use(
        __name__,
        {
            "_belt": ("arrow_on", "belt_box", "belt_svg", "pulley_words"),
            "_edge": ("close_section_svg", "section_svg", "section_words"),
            "_figures": ("cuts_named", "mark_size"),
            "_frame": ("Sheet", "stylesheet"),
            "_holes": ("call_out", "hole_tags", "kind_of", "side_words"),
            "_labels": ("Label", "Placed", "grown", "joined", "overlap", "place"),
            "_limiters": ("Limit", "limited_figures", "limits_of"),
            "_plan": ("above", "overview_svg", "plan_svg", "zoom_svg"),
            "_section": ("busiest", "cutting_of", "most_telling", "through_least_metal", "upright"),
            "_survey": ("survey_svg",),
            "_svg": ("edge_data", "element", "path_data", "region_data"),
            "_walls": ("SIGNS", "Wall", "seen", "tightest", "verdict_class"),
        },
    )

__all__ = [
    "SIGNS",
    "Label",
    "Limit",
    "Placed",
    "Sheet",
    "Shown",
    "Wall",
    "above",
    "arrow_on",
    "belt_box",
    "belt_svg",
    "busiest",
    "call_out",
    "close_section_svg",
    "cuts_named",
    "cutting_of",
    "edge_data",
    "element",
    "finding_numbers",
    "grown",
    "hole_tags",
    "joined",
    "kind_of",
    "limit_mark",
    "limited_figures",
    "limits_of",
    "mark_size",
    "most_telling",
    "overlap",
    "overview_svg",
    "path_data",
    "place",
    "plain_zero",
    "plan_svg",
    "pulley_words",
    "region_data",
    "section_svg",
    "section_words",
    "seen",
    "shown",
    "side_words",
    "stylesheet",
    "survey_svg",
    "through_least_metal",
    "tightest",
    "upright",
    "verdict_class",
    "zoom_svg",
]
