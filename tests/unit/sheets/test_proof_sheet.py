"""The page of the proof load: everything is on it, nothing lies on anything else, on either paper."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from bentwork.door.example import example_bytes
from bentwork.files.job_file import parse_job
from bentwork.jobs.proof_papers import proof_subject
from bentwork.jobs.work import work
from bentwork.sheets.drawing import Drawing, Label
from bentwork.sheets.placing import box_of
from bentwork.sheets.proof_sheet import ProofSubject, proof_sheet
from bentwork.sheets.subject import A4, LETTER, Paper
from bentwork.units import Ruler


def subject() -> ProofSubject:
    found = proof_subject(work(parse_job(example_bytes(), "crate-shelf.toml")), "1 March 2026")
    assert found is not None
    return found


def labels(drawing: Drawing) -> list[Label]:
    return [item for item in drawing.items if isinstance(item, Label)]


def said(drawings: tuple[Drawing, ...]) -> str:
    return " ".join(label.text for drawing in drawings for label in labels(drawing))


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
def test_everything_is_on_the_page_and_no_word_on_another(paper: Paper) -> None:
    about = subject()
    (page,) = proof_sheet(about, paper)
    text = said((page,))
    for words in (
        "37.5 kg",
        "10 minutes",
        "59 N to each side",
        "left foot",
        "right hook",
        "REJECT",
        "not a certificate",
        "local codes",
        "1  loop at [-75, 50, 130]",
        "6.2 mm",
        "under load",
        "Passed or rejected",
    ):
        assert words in text, words
    boxes = [box_of(label) for label in labels(page)]
    for box in boxes:
        assert box.left >= 10.0
        assert box.right <= paper.width - 10.0
        assert box.top >= 10.0
        assert box.bottom <= paper.height - 10.0
    for a, b in itertools.combinations(labels(page), 2):
        assert box_of(a).overlap(box_of(b)) < 0.05, (a.text, b.text)


def test_what_it_does_not_prove_is_said() -> None:
    about = subject()
    weak = replace(about, proof=replace(about.proof, proves=False, covers=2.5))
    assert "does not prove 2.5 times its weight" in said(proof_sheet(weak, A4))


def test_long_words_take_a_second_page() -> None:
    about = subject()
    long = replace(about, proof=replace(about.proof, rejects=about.proof.rejects * 12))
    pages = proof_sheet(long, A4)
    assert len(pages) == 2
    assert "page 2 of 2" in said(pages)


def test_in_inches() -> None:
    text = said(proof_sheet(replace(subject(), ruler=Ruler("in", 32)), LETTER))
    assert "0.246 in" in text, "6.24 mm"
    assert " mm" not in text


def test_a_job_without_a_load_has_none() -> None:
    text = example_bytes().decode()
    assert proof_subject(work(parse_job(text[: text.index("[load]")].encode(), "x.toml")), "") is None
