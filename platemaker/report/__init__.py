"""Findings and pictures to a page, to JSON, to Markdown, to the terminal. It reports verdicts, it computes none."""

from platemaker.report._best_fit_text import best_fit_records, render_best_fit
from platemaker.report._html import render_html
from platemaker.report._json import render_json
from platemaker.report._markdown import render_markdown
from platemaker.report._mesh import Mesh
from platemaker.report._plan_text import plan_json, render_plan, render_progress
from platemaker.report._records import Meta
from platemaker.report._stack_meshes import stack_meshes
from platemaker.report._survey_text import render_survey, survey_json
from platemaker.report._terminal import render_table

__all__ = [
    "Mesh",
    "Meta",
    "best_fit_records",
    "plan_json",
    "render_best_fit",
    "render_html",
    "render_json",
    "render_markdown",
    "render_plan",
    "render_progress",
    "render_survey",
    "render_table",
    "stack_meshes",
    "survey_json",
]
