"""report.html: one page that works from disk, without network, with nothing from the spec acting as markup."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Sequence
from importlib.resources import files as package_files
from typing import TYPE_CHECKING

from platemaker.checks import AirReport, BudgetAccount, Finding, PocketAccount
from platemaker.parts import Stack
from platemaker.report._air_markup import air_section
from platemaker.report._belt_markup import belt_section
from platemaker.report._budget_markup import budget_section
from platemaker.report._finding_markup import findings_section, worst_section
from platemaker.report._markup import section, words
from platemaker.report._mesh import Mesh, packed
from platemaker.report._part_markup import joints_section, part_section, stack_words
from platemaker.report._pocket_markup import accounted, pockets_section
from platemaker.report._read_back import read_back_section
from platemaker.report._records import SAFETY, Meta, overall, summary_line
from platemaker.resolved import resolved_stack
from platemaker.units import LengthUnit
from platemaker.views import SIGNS, element, stylesheet, verdict_class

if TYPE_CHECKING:
    from platemaker.export import Made


def render_html(
    stack: Stack,
    findings: Sequence[Finding],
    meta: Meta,
    meshes: Iterable[Mesh] = (),
    *,
    pockets: Sequence[PocketAccount] = (),
    air: AirReport | None = None,
    preloads: Sequence[BudgetAccount] = (),
    files: Sequence[Made] = (),
) -> str:
    """The whole page: verdict, safety, worst findings with pictures, the stack, pockets, air, preload, parts, joints.

    `meshes` are in the stack's frame; without them the page has no viewer, as it has no section on opened-out pockets,
    on the air, on preload or on what was read back of the build's files without theirs. Style and script stand inside
    and are named by their hash in the page's own content policy, so that nothing else can run or load.
    """
    data, left_out = packed(meshes)
    viewer = _viewer(data, left_out) if data != "[]" or left_out else ""
    style = stylesheet("plan.css") + _page_file("page.css")
    scripts = [_page_file("page.js")] + ([_page_file("viewer.js")] if viewer else [])
    main = [
        _safety(),
        worst_section(stack, findings),
        viewer,
        pockets_section(stack, pockets),
        air_section(air, stack.unit),
        belt_section(resolved_stack(stack).belt, stack.unit),
        budget_section(preloads),
        *(
            part_section(part, findings, meta, stack.unit, place, accounted(pockets, part))
            for place, part in enumerate(stack.parts)
        ),
        joints_section(stack.joints, stack.unit),
        read_back_section(files, stack.unit),
        findings_section(findings, stack.unit),
    ]
    body = [
        element("a", "Skip to the worst findings", href="#worst", class_="skip"),
        _header(stack, findings),
        _contents(stack, main),
        element("main", "\n".join(main)),
        _footer(stack, meta),
        *(f"<script>{script}</script>" for script in scripts),
    ]
    head = _head(stack.title, style, scripts)
    return f'<!DOCTYPE html>\n<html lang="en" data-unit="{_unit(stack)}">{head}<body>{"".join(body)}</body></html>\n'


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


def _header(stack: Stack, findings: Sequence[Finding]) -> str:
    verdict = overall(findings)
    sign = element("span", SIGNS[verdict], aria_hidden="true", class_="sign")
    stamp = element("p", f"{sign} {words(verdict.value)}", class_=f"stamp {verdict_class(verdict)}")
    title = element("h1", words(stack.title)) + element("p", words(stack_words(stack)), class_="lead")
    counts = element("p", words(summary_line(findings)), class_="counts")
    return element("header", stamp + element("div", title + counts, class_="what") + _tools(_unit(stack)), class_="top")


def _tools(unit: str) -> str:
    units = "".join(
        element("button", text, type="button", data_unit=code, aria_pressed=str(code == unit).lower())
        for code, text in (("mm", "mm"), ("in", "inch"))
    )
    others = element("button", "Dark", type="button", id="theme", aria_pressed="false") + element(
        "button", "Print", type="button", id="print"
    )
    return element(
        "div",
        element("span", units, role="group", aria_label="Unit of lengths", class_="pair") + others,
        class_="tools",
    )


def _contents(stack: Stack, main: Sequence[str]) -> str:
    """Links to the sections that the page has."""
    parts = [(f"part-{place}", part.title) for place, part in enumerate(stack.parts)]
    named = [("worst", "Worst first"), ("stack", "Stack"), ("pockets", "Pockets"), ("air", "Air")]
    named += [("belt", "Belt")]
    named += [("preload", "Preload"), *parts]
    named += [("joints", "Joints"), ("read-back", "Read back"), ("findings", "All findings")]
    links = [(identity, text) for identity, text in named if any(f' id="{identity}"' in one[:200] for one in main)]
    items = "".join(element("li", element("a", words(text), href=f"#{identity}")) for identity, text in links)
    return element("nav", element("ul", items), aria_label="Contents")


def _safety() -> str:
    items = "".join(element("li", words(line)) for line in SAFETY)
    return element(
        "aside",
        element("h2", "Before anything is cut or run", id="safety-title") + element("ul", items),
        class_="safety",
        aria_labelledby="safety-title",
    )


def _viewer(data: str, left_out: Sequence[str]) -> str:
    help_text = "Drag to turn, wheel to come nearer. Keys: arrows turn, plus and minus come nearer, Home resets."
    canvas = element(
        "canvas",
        "",
        id="stack-view",
        tabindex="0",
        role="img",
        aria_label=f"The stack in three dimensions. {help_text}",
    )
    views = "".join(
        element("button", text, type="button", data_turn=turn)
        for text, turn in (
            ("Corner", "-35 30"),
            ("Top", "0 90"),
            ("Front", "0 0"),
            ("End", "90 0"),
            ("Below", "-35 -30"),
        )
    )
    pull = element(
        "label",
        'Pull apart <input type="range" id="pull" min="0" max="100" value="0">',
    )
    missing = (
        element("p", words(f"Too large to show here: {', '.join(left_out)}."), class_="source") if left_out else ""
    )
    controls = element(
        "div",
        element("div", views, class_="pair", role="group", aria_label="Views")
        + pull
        + element("p", help_text, class_="source")
        + missing,
        class_="controls",
    )
    bodies = element("div", "", id="bodies", role="group", aria_label="Bodies shown")
    store = f'<script type="application/json" id="mesh-data">{data}</script>'
    no_script = element("noscript", element("p", "The view in three dimensions needs scripts."))
    return section(
        "stack", "The stack", element("div", canvas + controls, class_="viewer") + bodies + no_script + store, "stack"
    )


def _footer(stack: Stack, meta: Meta) -> str:
    name = meta.spec_name or stack.name
    made = f"Made by platemaker {meta.version} from the spec {name}, sha256 {meta.spec_hash}."
    return element("footer", element("p", words(made)))
