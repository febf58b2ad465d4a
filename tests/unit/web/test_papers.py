"""Papers and files for other programs by way of the server."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from urllib.parse import quote
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from tests.desk import EXAMPLE, NO_SHOP, AtDesk, at_desk, client_of

JOB = "/api/jobs/crate-shelf"
STOPPED = EXAMPLE.replace("diameter = 12", "diameter = 40", 1)  # no bar of 40 goes round a die of 36 mm


def words(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def save(desk: AtDesk, *kinds: str, replace: tuple[str, ...] = ()) -> dict[str, list[str]]:
    body = {"size": "a4", "kinds": kinds, "replace": replace}
    answer = desk.client.post(f"{JOB}/papers/save", json=body)
    assert answer.status_code == 200, answer.text
    told: dict[str, list[str]] = answer.json()
    return told


@pytest.mark.parametrize("kind", ["sheets", "strips", "gauges", "full-size", "proof-load", "benders"])
def test_pages_are_those_of_the_pdf(tmp_path: Path, kind: str) -> None:
    desk = at_desk(tmp_path)
    told = desk.client.get(f"{JOB}/papers/{kind}?size=a4").json()
    pdf = desk.client.get(f"{JOB}/papers/{kind}/pdf?size=a4")
    assert pdf.headers["content-type"] == "application/pdf"
    assert pdf.headers["content-disposition"].startswith('inline; filename="crate-shelf-')
    pages = PdfReader(io.BytesIO(pdf.content)).pages
    assert len(told["pages"]) == len(pages) > 0
    for ours, page in zip(told["pages"], pages, strict=True):
        assert ours["width_mm"] == pytest.approx(float(page.mediabox.width) * 25.4 / 72, abs=0.1)
        assert ours["height_mm"] == pytest.approx(float(page.mediabox.height) * 25.4 / 72, abs=0.1)
        assert {round(ours["width_mm"]), round(ours["height_mm"])} == {210, 297}  # ISO 216: A4
    for number in (1, len(pages)):
        picture = desk.client.get(f"{JOB}/papers/{kind}/pages/{number}?size=a4")
        assert picture.headers["content-type"].startswith("image/svg+xml")
        assert ElementTree.fromstring(picture.content).tag == "{http://www.w3.org/2000/svg}svg"
    for number in (0, len(pages) + 1, -1):
        assert desk.client.get(f"{JOB}/papers/{kind}/pages/{number}?size=a4").status_code == 404


def test_paper_goes_by_the_units_of_the_job(tmp_path: Path) -> None:
    inches = NO_SHOP.replace('units = "mm"', 'units = "in"', 1)
    desk = at_desk(tmp_path, {"crate-shelf": EXAMPLE, "inches": inches})
    assert desk.client.get(f"{JOB}/papers").json()["size"] == "a4"
    assert desk.client.get("/api/jobs/inches/papers").json()["size"] == "letter"
    (page, *_) = desk.client.get(f"{JOB}/papers/gauges?size=letter").json()["pages"]
    assert {round(page["width_mm"], 1), round(page["height_mm"], 1)} == {215.9, 279.4}  # ANSI/ASME Y14.1 size A


def test_a_stop_is_told_and_stands_on_the_paper(tmp_path: Path) -> None:
    desk = at_desk(tmp_path, {"crate-shelf": EXAMPLE, "stopped": STOPPED})
    assert desk.client.get(f"{JOB}/papers").json()["stops"] == []
    stops = desk.client.get("/api/jobs/stopped/papers").json()["stops"]
    assert stops
    assert "STOP" in words(desk.client.get("/api/jobs/stopped/papers/sheets/pdf?size=a4").content)


def test_a_paper_follows_the_job_and_is_set_once_for_each_state_of_it(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    address = f"{JOB}/papers/sheets/pdf?size=a4"
    first = desk.client.get(address).content
    assert desk.client.get(address).content == first
    desk.desk.place.job("crate-shelf").write_text(EXAMPLE.replace("Crate shelf", "Other shelf", 1))
    second = desk.client.get(address).content
    assert "Other shelf" in words(second)
    assert "Other shelf" not in words(first)


def test_papers_are_saved_beside_the_job_as_the_command_does(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    folder = desk.desk.place.jobs / "crate-shelf-papers"
    told = save(desk, "sheets", "gauges")
    assert told["written"] == ["shop-sheets.pdf", "angle-gauges.pdf"]
    assert sorted(path.name for path in folder.iterdir()) == ["angle-gauges.pdf", "shop-sheets.pdf"]
    assert save(desk, "sheets")["written"] == ["shop-sheets.pdf"]  # ours, and nobody changed it


def test_a_file_of_the_makers_own_goes_only_when_it_is_named(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    folder = desk.desk.place.jobs / "crate-shelf-papers"
    folder.mkdir()
    own = folder / "shop-sheets.pdf"
    own.write_bytes(b"my own notes")
    told = save(desk, "sheets", "gauges")
    assert (told["written"], told["in_the_way"]) == ([], ["shop-sheets.pdf"])
    assert [path.name for path in folder.iterdir()] == ["shop-sheets.pdf"]
    assert own.read_bytes() == b"my own notes"
    told = save(desk, "sheets", "gauges", replace=("shop-sheets.pdf",))
    assert told["written"] == ["shop-sheets.pdf", "angle-gauges.pdf"]
    assert own.read_bytes().startswith(b"%PDF")


def test_what_cannot_be_written_is_told_and_nothing_is_lost(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    (desk.desk.place.jobs / "crate-shelf-papers").write_text("a file where the folder should be")
    body = {"size": "a4", "kinds": ["gauges"], "replace": []}
    answer = desk.client.post(f"{JOB}/papers/save", json=body)
    assert answer.status_code == 507
    assert "crate-shelf-papers" in answer.json()["errors"][0]["says"]


def test_one_file_and_all_of_a_kind(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    made = desk.client.get(f"{JOB}/models/dxf").json()
    names = [file["name"] for file in made["files"]]
    assert "loop.dxf" in names
    one = desk.client.get(f"{JOB}/models/dxf/files/loop.dxf")
    assert one.headers["content-type"] == "image/vnd.dxf"
    assert one.headers["content-disposition"].startswith('attachment; filename="loop.dxf"')
    assert len(one.content) == made["files"][names.index("loop.dxf")]["bytes"]
    packed = desk.client.get(f"{JOB}/models/dxf/zip")
    assert packed.headers["content-type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(packed.content)) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == names
        assert archive.read("loop.dxf") == one.content


@pytest.mark.parametrize("kind", ["stl", "glb", "csv", "svg"])
def test_every_kind_has_files(tmp_path: Path, kind: str) -> None:
    desk = at_desk(tmp_path)
    files = desk.client.get(f"{JOB}/models/{kind}").json()["files"]
    assert files
    for file in files:
        assert desk.client.get(f"{JOB}/models/{kind}/files/{quote(file['name'])}").status_code == 200


@pytest.mark.parametrize(
    "address",
    [
        "/api/jobs/..%2f..%2fetc/papers",
        "/api/jobs/..%2fcrate-shelf/papers/sheets/pdf?size=a4",
        "/api/jobs/%2e%2e/models/csv/zip",
        f"{JOB}/models/csv/files/..%2f..%2fcrate-shelf.toml",
        f"{JOB}/models/csv/files/%2e%2e",
        f"{JOB}/papers/..%2fx/pdf?size=a4",
        f"{JOB}/papers/sheets/pdf?size=../a4",
        f"{JOB}/models/toml",
    ],
)
def test_no_address_leads_out_of_the_jobs_folder(tmp_path: Path, address: str) -> None:
    desk = at_desk(tmp_path)
    (tmp_path / "crate-shelf.toml").write_text(EXAMPLE)
    answer = desk.client.get(address)
    assert answer.status_code in (404, 422)
    assert answer.headers["content-type"] == "application/json"


def test_names_of_jobs_in_any_script_make_names_of_files_that_are_safe(tmp_path: Path) -> None:
    """RFC 6266: the plain name in ASCII without quotes, the true one percent-coded beside it."""
    desk = at_desk(tmp_path, {'Körbe; für "alle"'.replace('"', "'"): EXAMPLE})
    name = quote("Körbe; für 'alle'")
    told = desk.client.get(f"/api/jobs/{name}/papers/gauges/pdf?size=a4").headers["content-disposition"]
    plain, true = "Korbe-fur-alle-angle-gauges.pdf", "K%C3%B6rbe-f%C3%BCr-alle-angle-gauges.pdf"
    assert told == f"inline; filename=\"{plain}\"; filename*=UTF-8''{true}"


def test_a_paired_phone_gets_no_papers_and_writes_none(tmp_path: Path) -> None:
    desk = at_desk(tmp_path)
    phone = client_of(desk.desk, "bench")
    assert phone.get(f"{JOB}/papers").status_code == 403
    assert phone.post(f"{JOB}/papers/save", json={"size": "a4", "kinds": ["sheets"]}).status_code == 403
    assert phone.get(f"{JOB}/test-bends").status_code == 403
