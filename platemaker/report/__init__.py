"""Findings and pictures to a page, to JSON, to Markdown, to the terminal. It reports verdicts, it computes none."""

from platemaker.report._edge import section_svg
from platemaker.report._frame import Sheet
from platemaker.report._holes import call_out, hole_tags
from platemaker.report._html import render_html
from platemaker.report._json import render_json
from platemaker.report._markdown import render_markdown
from platemaker.report._mesh import Mesh
from platemaker.report._plan import plan_svg
from platemaker.report._records import Meta
from platemaker.report._section import Cutting
from platemaker.report._terminal import render_table

__all__ = [
    "Cutting",
    "Mesh",
    "Meta",
    "Sheet",
    "call_out",
    "hole_tags",
    "plan_svg",
    "render_html",
    "render_json",
    "render_markdown",
    "render_table",
    "section_svg",
]
