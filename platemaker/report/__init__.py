"""Findings and pictures to a page, to JSON, to Markdown, to the terminal. It reports verdicts, it computes none."""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.report._items import Cure, Item, items_of, sentence
from platemaker.report._records import Meta
from platemaker.report._said import worded
from platemaker.report._terminal import render_items, render_table

if TYPE_CHECKING:
    from platemaker.report._best_fit_text import best_fit_records, render_best_fit
    from platemaker.report._film_cures import FilmCure, FilmCures, cures_json, cures_text, seal_records
    from platemaker.report._flow_picture import write_flow
    from platemaker.report._flow_text import flow_json, flow_text
    from platemaker.report._html import draft_html, render_html
    from platemaker.report._json import draft_json, render_json
    from platemaker.report._markdown import draft_markdown, render_markdown
    from platemaker.report._mesh import Mesh
    from platemaker.report._plan_text import plan_json, render_plan, render_progress
    from platemaker.report._read_back import Draft
    from platemaker.report._seal_picture import film_picture, write_seal
    from platemaker.report._seal_text import about_film, seal_json, seal_text, stands
    from platemaker.report._stack_meshes import stack_meshes
    from platemaker.report._survey_text import render_survey, survey_json
else:  # `check` has no need of them
    __getattr__ = on_first_use(
        __name__,
        {
            "_best_fit_text": ("best_fit_records", "render_best_fit"),
            "_film_cures": ("FilmCure", "FilmCures", "cures_json", "cures_text", "seal_records"),
            "_flow_picture": ("write_flow",),
            "_flow_text": ("flow_json", "flow_text"),
            "_read_back": ("Draft",),
            "_seal_picture": ("film_picture", "write_seal"),
            "_seal_text": ("about_film", "seal_json", "seal_text", "stands"),
            "_html": ("draft_html", "render_html"),
            "_json": ("draft_json", "render_json"),
            "_markdown": ("draft_markdown", "render_markdown"),
            "_mesh": ("Mesh",),
            "_plan_text": ("plan_json", "render_plan", "render_progress"),
            "_stack_meshes": ("stack_meshes",),
            "_survey_text": ("render_survey", "survey_json"),
        },
    )

__all__ = [
    "Cure",
    "Draft",
    "FilmCure",
    "FilmCures",
    "Item",
    "Mesh",
    "Meta",
    "about_film",
    "best_fit_records",
    "cures_json",
    "cures_text",
    "draft_html",
    "draft_json",
    "draft_markdown",
    "film_picture",
    "flow_json",
    "flow_text",
    "items_of",
    "plan_json",
    "render_best_fit",
    "render_html",
    "render_items",
    "render_json",
    "render_markdown",
    "render_plan",
    "render_progress",
    "render_survey",
    "render_table",
    "seal_json",
    "seal_records",
    "seal_text",
    "sentence",
    "stack_meshes",
    "stands",
    "survey_json",
    "worded",
    "write_flow",
    "write_seal",
]
