from __future__ import annotations

from importlib.resources import as_file, files

import pytest
from PIL import ImageFont

from bentwork.sheets.lettering import LETTERS, cap_height, fitted, legible, missing, paragraph, printed, text_width

FACES = {False: "Regular", True: "ExtraBold"}


def face(bold: bool, size: int = 1000) -> ImageFont.FreeTypeFont:
    path = files("bentwork").joinpath(f"data/fonts/AtkinsonHyperlegibleNext-{FACES[bold]}.ttf")
    with as_file(path) as file:
        return ImageFont.truetype(file, size)


@pytest.mark.parametrize("bold", [False, True])
def test_the_typeface_has_every_letter(bold: bool) -> None:
    font = face(bold, 64)
    box = bytes(font.getmask("\uffff"))  # what a missing letter looks like
    missing = [letter for letter in LETTERS - {" "} if bytes(font.getmask(letter)) == box]
    assert missing == []


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize(
    "text", ["END A", "notch this end with a file", "312.5", "13 5/16+", "−214.5", "93.1°", "Bügel"]
)
def test_words_take_no_more_room_than_said(text: str, bold: bool) -> None:
    true = face(bold).getlength(text) / 1000.0 * 12.0 * 25.4 / 72.0
    assert true <= text_width(text, 12.0, bold) + 0.05
    assert text_width(text, 12.0, bold) < 1.25 * true


def test_cap_height() -> None:
    top, bottom = face(False).getbbox("H")[1::2]
    assert cap_height(72.0) == pytest.approx((bottom - top) / 1000.0 * 25.4, abs=0.1)


def test_fitted() -> None:
    assert fitted("loop", 18.0, 100.0) == ("loop", 18.0)
    text, size = fitted("loop", 18.0, 10.0)
    assert text == "loop"
    assert 8.0 <= size < 18.0
    assert text_width(text, size) <= 10.0
    text, size = fitted("crate shelf for a hand cart", 18.0, 20.0)
    assert size == 8.0
    assert text.endswith("…")
    assert text_width(text, size) <= 20.0


def test_paragraph() -> None:
    lines = paragraph("Cut the rows out on their outlines and tape them to one strip.", 9.0, 40.0)
    assert " ".join(lines) == "Cut the rows out on their outlines and tape them to one strip."
    assert all(text_width(line, 9.0) <= 40.0 for line in lines)
    assert paragraph("", 9.0, 40.0) == ()
    assert paragraph("unbreakable", 9.0, 1.0) == ("unbreakable",)


def test_legible() -> None:
    assert legible("e\u0301tag\u00e8re\n\tno 2") == "étagère no 2"
    assert legible("⌀12 → 日") == "?12 ? ?"


def test_missing_letters_are_told_each_once() -> None:
    assert missing("箱の箱 Kiste Ω") == ("箱", "の")
    assert missing("étagère no 2\n") == ()
    assert printed("箱\n2  m") == "?\n2  m"
