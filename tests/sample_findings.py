"""Hand-made findings on the sample parts, every verdict once, for the tests of the report."""

from __future__ import annotations

from platemaker.checks import Finding, Limit, Sense, measured, not_checked

WALL = Limit(3.0, "mm", "common practice", caution=4.0)


def thin_web_findings() -> list[Finding]:
    """The 1 mm web of `thin_web` and its 8.5 mm wall to the ends: 50 / 2 - 6.5 - 6 = 12.5."""
    web = measured("PM101", "wall", "thin_web", ["left", "right"], 1.0, WALL, points=[(-0.5, 0, 10), (0.5, 0, 10)])
    end = measured("PM101", "wall", "thin_web", ["left", "outline"], 12.5, WALL, points=[(-12.5, 0, 10), (-25, 0, 10)])
    return [web, end]


def plate_findings() -> list[Finding]:
    """Findings of every verdict on `counterbore_and_pocket`, with markup in their words."""
    part, t = "counterbore_and_pocket", 25.4
    relief = (0.0, -36.0)
    return [
        measured("PM101", "wall", part, ["stud_relief", "outline"], 4.0, Limit(5.0, "mm", "common practice"),
                 points=[(*relief, 6.0), (0.0, -40.0, 6.0)], inputs=[("w_min", 5.0, "mm")]),
        measured("PM102", "floor", part, ["pocket"], 13.4, Limit(6.0, "mm", "common practice"),
                 points=[(30.0, 0.0, 0.0), (30.0, 0.0, t - 12.0)]),
        measured("PM103", "edge distance", part, ["b1"], 1.333333, Limit(1.2, "d", "AISC J3.4", caution=1.5),
                 points=[(-48.0, -30.0, t)]),
        measured("PM104", "cutter reach", part, ["port"], 2.0, Limit(3.0, "", "common practice", sense=Sense.AT_MOST)),
        not_checked("PM105", "thread engagement", part, ["b2"], "no bolt <b>length</b> given"),
        measured("PM101", "wall", part, ["b1", "pocket"], 3.5, WALL,
                 points=[(-41.0, -26.0, 20.0), (-38.0, -24.0, 20.0)]),
    ]  # fmt: skip
