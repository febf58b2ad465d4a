"""The papers of a job: which there are, their pages to look at, to print and to save beside the job."""

from __future__ import annotations

from pathlib import Path

from fastapi import APIRouter, HTTPException, Response

from bentwork.door.papers import keep_papers, papers_folder, usual_paper
from bentwork.errors import FileError
from bentwork.files.export_names import file_names
from bentwork.files.paper_files import name_of
from bentwork.files.paper_kinds import Kind
from bentwork.sheets.cautions import AT_THE_CHECK_BAR
from bentwork.sheets.subject import A4, LETTER
from bentwork.web.as_file import file_answer
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.set_papers import SetPaper
from bentwork.web.wire import Faults
from bentwork.web.wire_papers import PageOut, PaperOut, PapersOut, PapersSaved, PapersToSave, Size

__all__ = ["router"]

router = APIRouter(tags=["papers"], responses={409: {"model": Faults}, 422: {"model": Faults}})
_SIZES = {"a4": A4, "letter": LETTER}


@router.get("/jobs/{name}/papers")
def list_papers(desk: AtDesk, name: str) -> PapersOut:
    """Return what is to be known before anything is set."""
    worked = desk.room.worked(desk.jobs.read(name))
    return PapersOut(
        sum=worked.at.sum,
        size="letter" if usual_paper(worked.job) is LETTER else "a4",
        folder=papers_folder(worked.at.path).name,
        cautions=list(AT_THE_CHECK_BAR),
        stops=[finding.told(worked.job.ruler)[0] for finding in worked.result.findings if finding.level == "stop"],
    )


@router.get("/jobs/{name}/papers/{kind}")
def set_paper(desk: AtDesk, name: str, kind: Kind, size: Size) -> PaperOut:
    """Set a paper, and return the sizes of its pages."""
    paper = _paper(desk, name, kind, size)
    pages = [PageOut(width_mm=page.width, height_mm=page.height) for page in paper.pages] if paper else []
    return PaperOut(kind=kind, file=name_of(kind), pages=pages)


@router.get("/jobs/{name}/papers/{kind}/pages/{number}", response_class=Response)
def page_of_paper(desk: AtDesk, name: str, kind: Kind, number: int, size: Size) -> Response:
    """Return a page as a picture, counted from 1."""
    paper = _paper(desk, name, kind, size)
    if paper is None or not 1 <= number <= len(paper.pages):
        raise HTTPException(404, "There is no such page.")
    return file_answer(paper.pages[number - 1].svg, f"{kind}-{number}.svg", "inline")


@router.get("/jobs/{name}/papers/{kind}/pdf", response_class=Response)
def print_paper(desk: AtDesk, name: str, kind: Kind, size: Size) -> Response:
    """Return a paper as PDF, for the browser to show and print."""
    paper = _paper(desk, name, kind, size)
    if paper is None:
        raise HTTPException(404, "Nothing would be on this paper.")
    return file_answer(paper.pdf, f"{file_names([name])[0]}-{paper.name}", "inline")


@router.post("/jobs/{name}/papers/save")
def save_papers(desk: AtDesk, name: str, asked: PapersToSave) -> PapersSaved:
    """Write papers beside the job, all or none; a file of the maker's own goes only when it is named."""
    folder = papers_folder(desk.place.job(name))
    made = [paper for kind in asked.kinds if (paper := _paper(desk, name, kind, asked.size))]
    in_the_way: list[str] = []

    def may_replace(path: Path) -> bool:
        if path.name not in asked.replace:
            in_the_way.append(path.name)
        return path.name in asked.replace

    written: tuple[Path, ...] = ()
    try:
        written = keep_papers(folder, {paper.name: paper.pdf for paper in made}, asked.kinds, may_replace)
    except FileError:
        if not in_the_way:
            raise
    return PapersSaved(folder=folder.name, written=[path.name for path in written], in_the_way=in_the_way)


def _paper(desk: Desk, name: str, kind: Kind, size: Size) -> SetPaper | None:
    return desk.papers.paper(desk.room.worked(desk.jobs.read(name)), kind, _SIZES[size])
