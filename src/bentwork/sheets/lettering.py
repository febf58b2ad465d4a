"""How much room words take on paper, and which letters the papers' typeface has."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

__all__ = ["LETTERS", "SMALLEST", "cap_height", "fitted", "legible", "missing", "paragraph", "printed", "text_width"]

SMALLEST = 8.0
"""Points: smaller type is not read by someone in safety glasses."""

LETTERS = frozenset(
    " !\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~"
    "¡¢£¤¥¦§¨©ª«¬®¯°±²³´¶·¸¹º»¼½¾¿ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖ×ØÙÚÛÜÝÞßàáâãäåæçèéêëìíîïðñòóôõö÷øùúûüýþÿ"  # noqa: RUF001  each is itself
    "ĀāĂăĄąĆćĊċČčĎďĐđĒēĖėĘęĚěĞğĠġĢģĦħĪīĮįİıĶķĹĺĻļĽľŁłŃńŅņŇňŐőŒœŔŕŘřŚśŞşŠšŢţŤťŪūŮůŰűŲųŴŵŶŷŸŹźŻżŽžȘșȚț"
    "ΔΩμπ–—‘’‚“”„†‡•…‰‹›€™∂∏∑−√∞∫≈≠≤≥"  # noqa: RUF001  each is itself
)
"""Letters of Atkinson Hyperlegible Next that papers use; what is not among them is never printed."""

_POINT = 25.4 / 72.0
_CAP = 0.668  # height of a capital over the size of the type, from the font's own table

# Widths in thousandths of the size of the type, from the font's own tables (weights 400 and 800).
_REGULAR: Mapping[int, str] = {
    160: "'", 210: ",.:;", 237: "|", 243: "`", 245: "j", 252: "i", 262: "l", 280: " ", 286: "!", 299: "()", 301: '"',
    314: "f", 317: "[", 326: "t", 344: "]{}", 349: "r", 362: "-", 372: "_", 387: "/\\", 392: "I", 407: "1", 449: "y",
    460: "z", 461: "v", 471: "s", 480: "?", 481: "x", 485: "*c", 492: "k", 510: "7", 512: "J", 525: "a", 538: "e",
    540: "u", 541: "L", 548: "2o", 550: "hn", 552: "F^", 553: "<>", 555: "~", 558: "Tg", 564: "d", 566: "bp", 569: "E",
    574: "q", 575: "Y", 576: "3", 588: "5", 592: "$PS", 593: "V", 595: "9", 598: "6", 606: "+−", 607: "Z", 613: "B",
    614: "4R", 615: "8", 623: "X", 626: "A", 628: "=", 631: "K", 645: "C", 648: "0", 651: "#", 669: "D", 684: "w",
    690: "U", 693: "N", 694: "GH", 714: "O", 724: "Q", 731: "&", 778: "@", 824: "M—", 845: "m", 856: "W", 919: "%",
    240: "·", 352: "°", 504: "–", 532: "×", 670: "…",
}  # fmt: skip
_BOLD: Mapping[int, str] = {
    234: "'", 266: "j|", 299: ",", 300: ".:;", 310: "`", 315: "!", 326: "i", 330: " ", 347: "l", 351: "()", 352: "[]",
    377: "-", 389: "f", 398: "t", 400: "{}", 406: "r", 412: "_", 430: '"', 434: "I", 456: "1", 464: "/\\", 486: "*",
    523: "c", 526: "s", 527: "z", 529: "~", 549: "7", 555: "y", 558: "L", 560: "9", 561: "a", 562: "v", 566: "x",
    574: "F", 576: "e", 577: "<>?", 580: "u", 585: "Jhn", 587: "k", 590: "o", 593: "2", 595: "+−", 596: "^", 610: "g",
    611: "3=", 612: "dq", 613: "Ebp", 617: "5", 618: "$S", 624: "Z", 627: "8", 628: "4T", 638: "6", 647: "P",
    659: "B", 664: "0", 665: "C", 668: "R", 669: "V", 681: "K", 684: "Y", 688: "U", 700: "D", 702: "A", 709: "H",
    713: "X", 726: "&", 731: "G", 733: "N", 756: "O", 766: "Qw", 784: "@", 820: "#", 878: "M", 899: "m", 901: "W",
    993: "%", 318: "·", 414: "°", 497: "–", 543: "×", 830: "…", 834: "—",
}  # fmt: skip
_OTHER = 1000  # wider than all but a few signs that no paper uses
_WIDTHS = {
    False: {letter: width for width, letters in _REGULAR.items() for letter in letters},
    True: {letter: width for width, letters in _BOLD.items() for letter in letters},
}


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return the width of a line of type of this size in points, mm: never less than it takes on paper."""
    widths = _WIDTHS[bold]
    total = 0
    for letter in text:
        plain = letter if letter in widths else unicodedata.normalize("NFD", letter)[0]
        total += widths.get(plain, _OTHER)
    return total * size * _POINT / 1000.0


def cap_height(size: float) -> float:
    """Return the height of a capital or a figure in type of this size in points, mm."""
    return _CAP * size * _POINT


def fitted(text: str, size: float, room: float, bold: bool = False, least: float = SMALLEST) -> tuple[str, float]:
    """Return the text and the size of type, points, at which it fits into this room, mm.

    It goes down to ``least`` in half points; what is still too long is cut short, with three dots.
    """
    while size > least and text_width(text, size, bold) > room:
        size = max(least, size - 0.5)
    if text_width(text, size, bold) <= room:
        return text, size
    while text and text_width(text + "…", size, bold) > room:
        text = text[:-1]
    return text.rstrip() + "…", size


def paragraph(text: str, size: float, room: float, bold: bool = False) -> tuple[str, ...]:
    """Return the text broken into lines that fit into this room, mm; a word that is too long stands alone."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def legible(text: str) -> str:
    """Return a maker's own words as the typeface can set them: one line, and ``?`` for a letter it does not have."""
    return printed(" ".join(text.split()))


def printed(text: str) -> str:
    """Return a text with ``?`` for every letter that the papers' typeface does not have: a box would say nothing."""
    return "".join(letter if letter in LETTERS or letter.isspace() else "?" for letter in _composed(text))


def missing(text: str) -> tuple[str, ...]:
    """Return the letters of a text that the papers' typeface does not have, each once."""
    return tuple(dict.fromkeys(letter for letter in _composed(text) if letter not in LETTERS and not letter.isspace()))


def _composed(text: str) -> str:
    return unicodedata.normalize("NFC", text)
