"""The stack in three dimensions: a canvas, its controls, and what the viewer draws."""

from __future__ import annotations

from collections.abc import Sequence

from platemaker.report._markup import words
from platemaker.views import element


def stack_viewer(data: str, left_out: Sequence[str], spots: str) -> str:
    """The canvas with its controls, the packed meshes, and the numbered places on them."""
    help_text = "Drag to turn, wheel to come nearer. Keys: arrows turn, plus and minus come nearer, Home resets."
    canvas = element(
        "canvas",
        "",
        id="stack-view",
        tabindex="0",
        role="img",
        aria_label=f"The stack in three dimensions. {help_text}",
    )
    buttons = "".join(
        element("button", text, type="button", data_turn=turn)
        for text, turn in (
            ("Corner", "-35 30"),
            ("Top", "0 90"),
            ("Front", "0 0"),
            ("End", "90 0"),
            ("Below", "-35 -30"),
        )
    )
    views = element("div", buttons, class_="pair", role="group", aria_label="Views")
    pull = element(
        "label",
        'Pull apart <input type="range" id="pull" min="0" max="100" value="30">',
    )
    missing = (
        element("p", words(f"Too large to show here: {', '.join(left_out)}."), class_="source") if left_out else ""
    )
    bodies = element("div", "", id="bodies", role="group", aria_label="Bodies shown")
    more = element("summary", "Bodies shown") + bodies + element("p", help_text, class_="source") + missing
    controls = element("div", views + pull, class_="controls") + element("details", more, class_="shown-bodies")
    stores = f'<script type="application/json" id="mesh-data">{data}</script>'
    stores += f'<script type="application/json" id="spots">{spots}</script>'
    no_script = element("noscript", element("p", "The view in three dimensions needs scripts."))
    return element("div", canvas + controls + no_script + stores, class_="viewer", id="stack")
