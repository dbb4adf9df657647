"""Any words in plain ASCII, for files whose readers differ in the letters that they show."""

from __future__ import annotations

import re
import unicodedata

_CYRILLIC = (
    "аa бb вv гg дd еe ёe жzh зz иi йy кk лl мm нn оo пp рr сs тt уu "
    "фf хkh цts чch шsh щshch ъ ыy ь эe юyu яya іi їyi єye ґg ђdj јj љlj њnj ћc џdz"
)
_GREEK = "αa βv γg δd εe ζz ηi θth ιi κk λl μm νn ξx οo πp ρr σs ςs τt υy φf χch ψps ωo"
_LETTERS = {pair[0]: pair[1:] for pair in f"{_CYRILLIC} {_GREEK}".split()}
"""Cyrillic and Greek letters as they are romanised in common practice; no source."""
_LETTERS |= {
    "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "ł": "l", "ħ": "h", "ŋ": "ng", "ı": "i",
}  # fmt: skip
_SIGNS = {
    "–": "-", "—": "-", "−": "-", "×": "x", "·": ".", "°": " deg ", "µ": "u", "±": "+/-", "≤": "<=", "≥": ">=",
    "≈": "~", "€": "EUR", "£": "GBP", "‘": "'", "’": "'", "‚": "'", "“": '"', "”": '"', "„": '"', "«": '"', "»": '"',
    "⁄": "/",
}  # fmt: skip
_MEANT = (
    # Read as numbers and units, these would come out as others: 3½ as 31/2, 10² as 102, μm as mm, Ø8 as 08.
    (re.compile(r"(?<=\d)(?=[¼½¾⅐-⅞])"), " "),
    (re.compile(r"(?<=\d)(?=[²³¹⁰⁴-⁹])"), "^"),
    (re.compile(r"[μµ](?=[mgsAVFlLN])"), "u"),
    (re.compile(r"[⌀Øø](?=\s*\d)"), "dia "),
)


def plain(text: str) -> str:
    """One line of printable ASCII: marks are left off, other alphabets romanised; what is left is shown by its number.

    >>> plain("Größe № 5, Platte Ø8½ µm"), plain("Плита щита"), plain("Πλάκα"), plain("図")
    ('Grosse No 5, Platte dia 8 1/2 um', 'Plita shchita', 'Plaka', 'U+56F3')
    """
    for meant, said in _MEANT:
        text = meant.sub(said, text)
    return " ".join("".join(_letter(c) for c in unicodedata.normalize("NFC", text)).split())


def _letter(letter: str) -> str:
    if letter in _SIGNS:
        return _SIGNS[letter]
    if letter.lower() in _LETTERS:
        said = _LETTERS[letter.lower()]
        return said if letter.islower() else said.capitalize()
    if letter.isspace():
        return " "
    # Soft hyphens, joiners and the like have no shape of their own.
    if unicodedata.category(letter) in {"Cc", "Cf", "Mn"}:
        return ""
    apart = unicodedata.normalize("NFKD", letter)
    if apart != letter:
        return "".join(_letter(c) for c in apart)
    return letter if " " <= letter <= "~" else f" U+{ord(letter):04X} "
