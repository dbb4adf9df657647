"""report.html: one page that works from disk, without network, with nothing from the spec acting as markup."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Mapping, Sequence
from importlib.resources import files as package_files
from typing import TYPE_CHECKING

from platemaker.checks import AirReport, BudgetAccount, Finding, PocketAccount, air_shares
from platemaker.fields import FlowAnswer, SealAnswer
from platemaker.parts import Stack
from platemaker.report._air_markup import air_section
from platemaker.report._belt_markup import belt_section
from platemaker.report._budget_markup import budget_section
from platemaker.report._film_markup import films_section
from platemaker.report._finding_markup import findings_section
from platemaker.report._first_markup import first_screen, spots_json
from platemaker.report._item_markup import accepted_section, items_section, unchecked_section
from platemaker.report._items import Item, items_of
from platemaker.report._markup import words
from platemaker.report._mesh import Mesh, packed
from platemaker.report._part_markup import joints_section, part_section
from platemaker.report._pocket_markup import accounted, pockets_section
from platemaker.report._read_back import Draft, read_back_section, without_files
from platemaker.report._records import SAFETY, Meta
from platemaker.report._viewer_markup import stack_viewer
from platemaker.resolved import resolved_stack
from platemaker.units import LengthUnit
from platemaker.views import element, stylesheet

if TYPE_CHECKING:
    from platemaker.export import Made


def draft_html(
    stack: Stack,
    findings: Sequence[Finding],
    meta: Meta,
    meshes: Iterable[Mesh] = (),
    *,
    pockets: Sequence[PocketAccount] = (),
    air: AirReport | None = None,
    preloads: Sequence[BudgetAccount] = (),
    films: Mapping[str, SealAnswer] | None = None,
    flow: FlowAnswer | None = None,
    items: Sequence[Item] | None = None,
) -> Draft:
    """The whole page: a first screen that decides, what to settle with pictures, the rest folded.

    `meshes` are in the stack's frame; without them the page has no viewer, as it has no section on maximized pockets,
    on the air, on films, on preload or on what was read back of the build's files without theirs. Style and script
    stand inside and are named by their hash in the page's own content policy, so that nothing else can run or load.
    """
    data, left_out = packed(meshes)
    items = items or items_of(stack, findings)
    viewer = stack_viewer(data, left_out, spots_json(stack, items)) if data != "[]" or left_out else ""
    style = stylesheet("plan.css") + stylesheet("belt.css") + _page_file("page.css")
    scripts = [_page_file("page.js")] + ([_page_file("viewer.js")] if viewer else [])
    main = [
        items_section(stack, items, flow),
        unchecked_section(items, stack.unit),
        accepted_section(stack, items, flow),
        _safety(),
        pockets_section(stack, pockets),
        air_section(air, air_shares(stack) if air else (), stack.unit, flow),
        films_section(films or {}),
        belt_section(resolved_stack(stack).belt, stack.unit),
        budget_section(preloads),
        *(
            part_section(part, findings, meta, stack.unit, place, accounted(pockets, part))
            for place, part in enumerate(stack.parts)
        ),
        joints_section(stack.joints, stack.unit),
    ]
    last = findings_section(findings, stack.unit)
    first = first_screen(stack, findings, items, viewer)
    head = _head(stack.title, style, scripts)

    def whole(files: Sequence[Made]) -> str:
        sections = [*main, read_back_section(files, stack.unit), last]
        body = [
            element("a", "Skip to what to settle", href="#items", class_="skip"),
            first(files),
            _contents(stack, sections),
            element("main", "\n".join(sections)),
            _footer(stack, meta),
            *(f"<script>{script}</script>" for script in scripts),
        ]
        page = f'<html lang="en" data-unit="{_unit(stack)}">{head}<body>{"".join(body)}</body></html>'
        return f"<!DOCTYPE html>\n{page}\n"

    return whole


render_html = without_files(draft_html)


def content_policy(style: str, scripts: Sequence[str]) -> str:
    """A policy under which this style and these scripts run and nothing is loaded from anywhere."""
    hashes = " ".join(_digest(script) for script in scripts)
    return (
        f"default-src 'none'; style-src {_digest(style)}; script-src {hashes}; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def _page_file(name: str) -> str:
    return package_files("platemaker.report").joinpath("data", name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _head(title: str, style: str, scripts: Sequence[str]) -> str:
    return (
        '<head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{content_policy(style, scripts)}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<link rel="icon" href="data:,">'
        f"<title>{words(title)}: check report</title><style>{style}</style></head>"
    )


def _unit(stack: Stack) -> str:
    return "in" if stack.unit == LengthUnit.INCH else "mm"


def _contents(stack: Stack, main: Sequence[str]) -> str:
    """Links to the sections that the page has."""
    named = [("items", "To settle"), ("unchecked", "Not checked"), ("accepted", "Accepted"), ("pockets", "Pockets")]
    named += [
        ("air", "Air"),
        ("films", "Films"),
        ("belt", "Belt"),
        ("preload", "Preload"),
        ("part-0", "Parts"),
        ("joints", "Joints"),
    ]
    named += [("read-back", "Read back"), ("findings", "All findings")]
    links = [(identity, text) for identity, text in named if any(f' id="{identity}"' in one[:200] for one in main)]
    items = "".join(element("li", element("a", words(text), href=f"#{identity}")) for identity, text in links)
    return element("nav", element("ul", items) + _search(stack), aria_label="Contents")


def _search(stack: Stack) -> str:
    """A box for words and a choice of part, which items and findings must have."""
    box = '<input type="search" id="search" placeholder="Search" aria-label="Search items and findings">'
    options = element("option", "All parts", value="") + "".join(
        element("option", words(part.title), value=part.name) for part in stack.parts
    )
    choice = element("select", options, id="part-filter", aria_label="Show one part")
    return element("div", box + choice + element("output", "", id="matches"), class_="find", role="search")


def _safety() -> str:
    items = "".join(element("li", words(line)) for line in SAFETY)
    return element(
        "aside",
        element("h2", "Before anything is cut or run", id="safety-title") + element("ul", items),
        class_="safety",
        aria_labelledby="safety-title",
    )


def _footer(stack: Stack, meta: Meta) -> str:
    name = meta.spec_name or stack.name
    made = f"Made by platemaker {meta.version} from the spec {name}, sha256 {meta.spec_hash}."
    return element("footer", element("p", words(made)))
