"""Makes the text of a STEP file constant: same part, same bytes, whatever the kernel's counters and addresses are."""

from __future__ import annotations

import re
from itertools import count

_FILE_NAME = re.compile(r"FILE_NAME\(.*?\);", re.DOTALL)
_DESCRIPTION = re.compile(r"FILE_DESCRIPTION\(.*?\);", re.DOTALL)
_USAGE = re.compile(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\s*\(\s*'\d+'([^;]*);")
_STYLES = re.compile(r"^#\d+ = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION", re.MULTILINE)
_STATEMENT = re.compile(r"^#(\d+) = (.*?);$", re.DOTALL | re.MULTILINE)
_REFERENCE = re.compile(r"#(\d+)")


def settled(text: str, name: str, time: str, maker: str) -> str:
    """The file with a given header, its placements numbered from 1 and its styles in the order of the solids."""
    head = f"FILE_NAME('{name}','{time}',(''),(''),'{maker}','platemaker','');"
    text = _FILE_NAME.sub(head, text, count=1)
    text = _DESCRIPTION.sub("FILE_DESCRIPTION(('solid model, millimetres'),'2;1');", text, count=1)
    numbers = count(1)
    # Put on one line: where the kernel breaks it depends on the length of the number.
    text = _USAGE.sub(
        lambda match: f"NEXT_ASSEMBLY_USAGE_OCCURRENCE('{next(numbers)}'{''.join(match[1].split())};", text
    )
    return _with_ordered_styles(text)


def _with_ordered_styles(text: str) -> str:
    """The kernel writes styles last and in the order of memory addresses; give them that of the solids they colour."""
    first = _STYLES.search(text)
    if first is None:
        return text
    end = text.rindex("ENDSEC;")
    tail = text[first.start() : end]
    statements = {
        int(match[1]): "".join(line.strip() for line in match[2].splitlines()) for match in _STATEMENT.finditer(tail)
    }
    within = {number: [int(it) for it in _REFERENCE.findall(body)] for number, body in statements.items()}
    named = {it for references in within.values() for it in references}
    roots = sorted((number for number in statements if number not in named), key=lambda it: _coloured(it, within))
    order = list(dict.fromkeys(number for root in roots for number in _walk(root, within)))
    renamed = dict(zip(order, range(min(statements), min(statements) + len(order)), strict=True))

    def rename(match: re.Match[str]) -> str:
        return f"#{renamed.get(int(match[1]), int(match[1]))}"

    lines = [f"#{renamed[number]} = {_REFERENCE.sub(rename, statements[number])};\n" for number in order]
    return text[: first.start()] + "".join(lines) + text[end:]


def _walk(root: int, within: dict[int, list[int]]) -> list[int]:
    """A statement and all that it refers to among the styles, itself first."""
    return [root, *(number for it in within[root] if it in within for number in _walk(it, within))]


def _coloured(root: int, within: dict[int, list[int]]) -> tuple[int, ...]:
    """What a style refers to outside the styles: the solid that it colours."""
    return tuple(it for number in _walk(root, within) for it in within[number] if it not in within)
