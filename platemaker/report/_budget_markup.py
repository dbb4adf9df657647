"""Preload on the page: one bar for each joint, from what is left in the worst corner to the proof load, and a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from platemaker.checks import BudgetAccount
from platemaker.report._markup import TableCell, figure, folded, table, text_cell, words
from platemaker.views import element

LETTER, ADVANCE = 13.0, 0.6
"""Size of the letters, and the width of one over its height, as in the drawings."""
ROW, BAR, GAP = 46.0, 18.0, 12.0
LONG = 640.0
"""Length of the longest proof load's bar."""
PIECES = (
    ("left", "clamp left"),
    ("load", "taken by load"),
    ("cold", "lost in heat or cold"),
    ("bed", "lost by embedding"),
    ("sheet", "lost by the gasket"),
    ("scatter", "scatter of tightening"),
    ("warm", "gained in heat or cold"),
    ("carried", "load on the bolt"),
)
"""Pieces of a bar from the left: their kind, and what they are."""


def budget_section(accounts: Sequence[BudgetAccount]) -> str:
    """The preload of every joint's bolts; empty without any."""
    if not accounts:
        return ""
    keys = "".join(element("li", f"{_key(kind)}{words(name)}") for kind, name in PIECES)
    lead = element(
        "p",
        "Every bar is one bolt of a joint: what is left of its preload in the worst corner, what takes the rest, and "
        "how far tightening, heat and load may bring it towards its proof load, the frame's right end. The upright "
        "line is the preload aimed at.",
    )
    plot = figure(_plot(accounts), "Force in one bolt of each joint, against its proof load.")
    return folded("preload", "Preload", lead + element("ul", keys, class_="keys") + plot + _table(accounts))


def pieces(account: BudgetAccount) -> tuple[tuple[str, float], ...]:
    """The pieces of a bar from the left, N: they add up to the most that the bolt carries."""
    budget = account.budget
    low, high = budget.tightened
    change = (budget.hot or 0.0, budget.cold)
    # Where more is lost than there is, the losses are drawn as far as there is room for them.
    room, lost = low, []
    for size in (budget.relaxed, budget.embedded, -min(0.0, *change), account.off):
        lost.append(min(size, room))
        room -= lost[-1]
    sheet, bed, cold, load = lost
    sizes = (room, load, cold, bed, sheet, high - low, max(0.0, *change), account.on)
    return tuple((kind, size) for (kind, _), size in zip(PIECES, sizes, strict=True))


def _plot(accounts: Sequence[BudgetAccount]) -> str:
    most = max(max(one.budget.proof, one.greatest) for one in accounts)
    wide, high = LONG + 2 * GAP, len(accounts) * ROW + GAP
    drawn = [element("rect", x=0.0, y=0.0, width=wide, height=high, class_="back")]
    for place, one in enumerate(accounts):
        drawn += _bar(one, place * ROW + GAP, LONG / most)
    spoken = "; ".join(f"{one.budget.joint}: {_words(one)}" for one in accounts)
    return element(
        "svg", "".join(drawn), class_="view budget", viewBox=f"0 0 {wide:.0f} {high:.0f}", role="img",
        aria_label=f"Preload of each joint's bolts. {spoken}.",
    )  # fmt: skip


def _bar(one: BudgetAccount, y: float, scale: float) -> Iterator[str]:
    budget, top = one.budget, y + LETTER + 6
    said = f"{budget.joint}: {_words(one)}"
    yield element(
        "text", escape(said), x=GAP, y=y + LETTER, font_size=LETTER, textLength=len(said) * ADVANCE * LETTER,
        lengthAdjust="spacingAndGlyphs", class_="said",
    )  # fmt: skip
    x = GAP
    for kind, size in pieces(one):
        if size > 0:
            yield element("rect", x=x, y=top, width=size * scale, height=BAR, class_=f"piece {kind}")
        x += size * scale
    yield element("rect", x=GAP, y=top, width=budget.proof * scale, height=BAR, class_="proof")
    aimed = GAP + budget.nominal * scale
    yield element("line", x1=aimed, y1=top, x2=aimed, y2=top + BAR + 6, class_="aimed")


def _words(one: BudgetAccount) -> str:
    return f"{one.left / 1000:.1f} kN left, at most {one.greatest / 1000:.1f} of {one.budget.proof / 1000:.1f} kN"


def _key(kind: str) -> str:
    square = element("rect", x=0, y=0, width=12, height=10, class_=f"piece {kind}")
    return element("svg", square, class_="view budget key", viewBox="0 0 12 10", aria_hidden="true")


def _table(accounts: Sequence[BudgetAccount]) -> str:
    heads = (
        "joint", "bolts", "proof", "aimed at", "tightened low", "tightened high", "gasket", "embedding", "warm", "cold",
        "least", "most", "load off the clamp", "load on the bolt",
    )  # fmt: skip
    rows = []
    for one in accounts:
        budget = one.budget
        forces = (
            budget.proof, budget.nominal, *budget.tightened, -budget.relaxed, -budget.embedded, budget.hot, budget.cold,
            budget.low, budget.high, -one.off, one.on,
        )  # fmt: skip
        rows.append([text_cell(budget.joint), text_cell(one.bolts), *(_cell(force) for force in forces)])
    return table("Preload of one bolt of each joint, kN", heads, rows, class_="budget")


def _cell(force: float | None) -> TableCell:
    if force is None:
        return TableCell("?", 1e300, numeric=True)
    return TableCell(f"{force / 1000:z.2f}", force, numeric=True)
