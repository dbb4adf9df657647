"""The page as text: nothing from the spec acts as markup, nothing is loaded, everything has a name."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import struct
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from platemaker.checks import Finding, Limit, Verdict, measured
from platemaker.errors import GeometryError
from platemaker.plane import Loop
from platemaker.records import replace
from platemaker.report import Mesh, render_html
from platemaker.report._mesh import packed
from tests.sample_findings import plate_findings, thin_web_findings
from tests.sample_pages import HOSTILE, META, sample_meshes, sample_page_stack
from tests.sample_parts import drilled, plate, sample_stack

FINDINGS = plate_findings() + thin_web_findings()
VOID = {"meta", "link", "input", "img", "br", "hr", "wbr"}
ADDRESS = re.compile(r"(?:https?:)?//[a-z]", re.IGNORECASE)


class Page(HTMLParser):
    """Every element with its attributes, and the text outside of style and script."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.raw: dict[str, list[str]] = {"style": [], "script": []}
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        here = self.open[-1] if self.open else ""
        self.raw.get(here, self.words).append(data)


def page(findings: list[Finding] | None = None, *, meshes: bool = True) -> Page:
    given = FINDINGS if findings is None else findings
    return Page(render_html(sample_page_stack(), given, META, sample_meshes() if meshes else ()))


def test_elements_nest_and_end() -> None:
    assert page().open == []


def test_hostile_words_stay_words() -> None:
    whole = page()
    assert [tag for tag, _ in whole.elements if tag == "img"] == []
    # Two scripts of ours, the store of meshes and that of the numbered places.
    assert len([tag for tag, _ in whole.elements if tag == "script"]) == 4
    assert [name for _, attributes in whole.elements for name in attributes if name.startswith("on")] == []
    assert HOSTILE in "".join(whole.words)
    assert "no bolt <b>length</b> given" in "".join(whole.words)


def test_hostile_names_in_every_field() -> None:
    stack = sample_stack()
    part = plate("p", Loop.rectangle(50, 30), 10, drilled(HOSTILE, (0, 0), 6, 10, HOSTILE), note=HOSTILE)
    joint = replace(stack.joints[0], name=HOSTILE, source=HOSTILE)
    found = measured(
        HOSTILE, HOSTILE, "p", [HOSTILE], 1.0, Limit(2.0, HOSTILE, HOSTILE), points=[(0, 0, 10)], note=HOSTILE,
        inputs=[(HOSTILE, HOSTILE, HOSTILE)],
    )  # fmt: skip
    hostile = replace(stack, name=HOSTILE, title=HOSTILE, parts=(part,), joints=(joint,))
    whole = Page(render_html(hostile, [found], replace(META, spec_name=HOSTILE, version=HOSTILE)))
    assert [tag for tag, _ in whole.elements if tag in {"img", "b"}] == []
    assert len([tag for tag, _ in whole.elements if tag == "script"]) == 1
    assert whole.open == []


def test_content_policy_names_the_style_and_the_scripts_by_their_hash() -> None:
    whole = page()
    policy = next(
        attributes["content"]
        for tag, attributes in whole.elements
        if tag == "meta" and attributes.get("http-equiv") == "Content-Security-Policy"
    )
    assert policy.startswith("default-src 'none'; ")
    assert "unsafe" not in policy
    ours = [text for text in whole.raw["script"] if text.startswith('"use strict"')]
    assert len(ours) == 2
    for text in [*ours, *whole.raw["style"]]:
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy


def test_nothing_is_loaded_and_no_style_attribute_is_used() -> None:
    whole = page()
    for tag, attributes in whole.elements:
        assert "src" not in attributes, tag
        assert "style" not in attributes, tag
        assert attributes.get("href", "#").startswith(("#", "data:,")), tag
    # The store of meshes is base64, where anything may stand between slashes; it is data and is never run.
    ours = [text for text in whole.raw["script"] if text.startswith('"use strict"')]
    for text in [*whole.raw["style"], *ours]:
        assert "url(" not in text
        assert not ADDRESS.search(text)


def test_ids_are_unique_and_links_lead_somewhere() -> None:
    elements = page().elements
    identities = [attributes["id"] for _, attributes in elements if "id" in attributes]
    assert len(set(identities)) == len(identities)
    for _, attributes in elements:
        for name in ("href", "aria-labelledby", "fill", "clip-path"):
            value = attributes.get(name, "")
            wanted = re.fullmatch(r"#(.+)|url\(#(.+)\)", value)
            if name == "aria-labelledby" and value:
                assert value in identities
            elif wanted:
                assert (wanted[1] or wanted[2]) in identities, value


def test_every_control_and_picture_has_words() -> None:
    whole = page()
    for tag, attributes in whole.elements:
        if tag in {"svg", "canvas"}:
            assert attributes.get("role") == "img"
            assert len(attributes.get("aria-label", "")) > 10
        if tag == "button":
            assert attributes.get("type") == "button"
    assert ("html", {"lang": "en", "data-unit": "mm"}) in whole.elements


def test_verdict_safety_and_origin_are_said() -> None:
    words = " ".join("".join(page().words).split())
    assert "2 fails, 2 cautions, 1 not checked, 3 passes" in words
    for danger in ("Boost", "fuel", "hot oil", "rotating belts", "does not replace a qualified engineer"):
        assert danger in words
    assert META.spec_hash in words


def test_the_plan_names_throats_only_where_some_are_drawn() -> None:
    words = "throats of the air"
    assert words not in render_html(sample_page_stack(), FINDINGS, META)
    drawn = replace(FINDINGS[0], lines=(((0.0, 0.0, 0.0), (5.0, 0.0, 0.0)),))
    assert render_html(sample_page_stack(), [drawn, *FINDINGS[1:]], META).count(words) == 1


def test_worst_cards_come_worst_first_with_a_picture_each() -> None:
    text = render_html(sample_page_stack(), FINDINGS, META)
    cards = re.findall(r'<details id="item-\d" class="item ([\w-]+)"(.*?)class="source"', text, re.DOTALL)
    assert [kind for kind, _ in cards] == ["v-fail", "v-fail", "v-caution", "v-caution"]
    assert all("<svg" in content for _, content in cards)
    assert "1.000 mm" in cards[0][1]


def test_with_nothing_grave_the_tightest_passes_stand_first() -> None:
    passes = [one for one in FINDINGS if one.verdict is Verdict.PASS]
    text = render_html(sample_page_stack(), passes, META)
    assert "No fail and no caution. These passed by the least:" in text
    assert re.findall(r'<details id="item-\d" class="item ([\w-]+)"', text) == ["v-pass", "v-pass"]


def test_passes_are_folded_away() -> None:
    rows = re.findall(r'<tr data-kind="([\w-]+)"([^>]*)>', render_html(sample_page_stack(), FINDINGS, META))
    assert {kind for kind, attributes in rows if "hidden" in attributes} == {"v-pass"}
    assert sum(kind == "v-pass" for kind, _ in rows) == 3
    assert all("hidden" in attributes for kind, attributes in rows if kind == "v-pass")


def test_volume_and_mass_follow_the_unit_switch() -> None:
    """1 in3 is 16.387064 cm3, 1 lb 0.45359237 kg: the shown metric number and the inch one are of one amount."""
    stack = sample_page_stack()
    volumes = {part.name: 1000 * 16.387064 for part in stack.parts}
    text = render_html(stack, [], replace(META, volumes=volumes))
    assert 'data-mm="16.387 cm³" data-in="1.000 in³"' in text
    masses = re.findall(r'data-mm="([\d.]+) kg" data-in="([\d.]+) lb"', text)
    assert masses
    for metric, pounds in masses:
        assert float(pounds) == pytest.approx(float(metric) / 0.45359237, abs=0.0017)  # both rounded to 3 decimals


def test_a_page_with_no_findings_says_so() -> None:
    text = render_html(sample_page_stack(), [], META)
    assert "Nothing was measured." in text
    assert "no findings" in text


def test_findings_of_unknown_parts_are_still_told() -> None:
    found = measured("PM301", "bodies", "blower to log", ["blower"], 1.0, Limit(2.0, "mm", "x"), points=[(0, 0, 0)])
    assert "No place to draw." in render_html(sample_page_stack(), [found], META)


def test_same_input_same_page() -> None:
    assert render_html(sample_page_stack(), FINDINGS, META, sample_meshes()) == render_html(
        sample_page_stack(), FINDINGS, META, sample_meshes()
    )


def test_inch_project_opens_in_inches() -> None:
    text = render_html(replace(sample_page_stack(), unit="in"), FINDINGS, META)
    assert '<html lang="en" data-unit="in">' in text
    assert '<span class="q" data-mm="1.000 mm" data-in="0.0394 in">0.0394 in</span>' in text


def test_page_without_meshes_has_no_viewer() -> None:
    text = render_html(sample_page_stack(), FINDINGS, META)
    assert "<canvas" not in text
    assert "mesh-data" not in text


def test_meshes_unpack_to_where_they_were() -> None:
    corners = [(10.0, -5.0, 0.0), (110.0, -5.0, 0.0), (110.0, 45.0, 25.4)]
    data, left_out = packed([Mesh("p", corners, [(0, 1, 2)], "#112233", (0, 0, 1))])
    (one,) = json.loads(data)
    assert left_out == []
    steps = struct.unpack("<9H", base64.b64decode(one["vertices"]))
    back = [one["low"][i % 3] + one["size"][i % 3] * step / 65535 for i, step in enumerate(steps)]
    # Half a step of the longest side: 100 / 65535 / 2.
    assert back == pytest.approx([value for corner in corners for value in corner], abs=100 / 65535 / 2)
    assert struct.unpack("<3H", base64.b64decode(one["triangles"])) == (0, 1, 2)


def test_meshes_beyond_the_budget_are_named() -> None:
    small = Mesh("small", [(0, 0, 0), (1, 0, 0), (0, 1, 0)], [(0, 1, 2)])
    large = Mesh("large", [(i, 0, 0) for i in range(500)], [(i, i + 1, i + 2) for i in range(498)])
    data, left_out = packed([large, small], budget=1000)
    assert [one["name"] for one in json.loads(data)] == ["small"]
    assert left_out == ["large"]


@pytest.mark.parametrize(
    ("mesh", "message"),
    [
        (Mesh("m", [(0, 0, 0)], [(0, 0, 1)]), "mesh m: a triangle names a vertex that is not among the 1"),
        (Mesh("m", [], []), "mesh m: a triangle names a vertex that is not among the 0"),
        (Mesh("m", [(0, 0, 0)], [], "red"), "mesh m: colour must be #rrggbb, met 'red'"),
    ],
)
def test_meshes_that_cannot_be_shown(mesh: Mesh, message: str) -> None:
    with pytest.raises(GeometryError, match=re.escape(message)):
        packed([mesh])


def test_a_plate_of_1000_holes_stays_under_6_mb() -> None:
    holes = [drilled(f"h{i}", (12.0 * (i % 40) - 234, 12.0 * (i // 40) - 144), 6, 10) for i in range(1000)]
    part = plate("many", Loop.rectangle(500, 320), 10, *holes)
    limit = Limit(8.0, "mm", "common practice")
    found = [
        measured("PM101", "wall", "many", [a.name, b.name], 6.0, limit, points=[(*a.centre, 10.0), (*b.centre, 10.0)])
        for a, b in pairwise(holes[:41])
    ]
    text = render_html(replace(sample_stack(), parts=(part,)), found, META)
    assert len(text.encode()) < 6_000_000


def test_the_least_metal_of_each_part_leads_to_its_picture() -> None:
    limit = Limit(3.0, "mm", "common practice")
    features, ends = ["left", "right"], [(-0.5, 0.0, 10.0), (0.5, 0.0, 10.0)]
    least = measured("PM110", "side wall", "thin_web", features, 1.0, limit, points=ends)
    stack = sample_page_stack()
    text = render_html(stack, [*FINDINGS, least], META)
    whole = Page(text)
    identity = f"part-{[part.name for part in stack.parts].index('thin_web')}-least"
    links = [attributes["href"] for tag, attributes in whole.elements if tag == "a"]
    assert [link for link in links if link.endswith("-least")] == [f"#{identity}"], "the other parts have no finding"
    figure = text.partition(f'<figure id="{identity}">')[2].partition("</figure>")[0]
    assert "× 1.000" in figure
    assert "1.000 mm, side wall, left + right, at X 0.00 Y 0.00 Z 10.00" in figure
    assert figure.count('class="hole hot"') == 2
