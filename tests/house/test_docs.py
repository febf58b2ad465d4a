"""What the documents say is there is there."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from bentwork.cli.main import app
from bentwork.files.job_file import parse_job
from bentwork.findings import CODES

ROOT = Path(__file__).parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/**/*.md")])


@pytest.mark.parametrize("command", sorted(app.commands))
def test_every_command_has_a_heading_help_and_an_example(command: str) -> None:
    assert f"## bentwork {command}\n" in (ROOT / "docs/commands.md").read_text(encoding="utf-8")
    told = app.commands[command].help or ""
    assert "Example: " in told
    assert app.commands[command].short_help


def test_no_heading_for_a_command_that_is_not_there() -> None:
    named = re.findall(r"^## bentwork (\S+)", (ROOT / "docs/commands.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert sorted(named) == sorted(app.commands)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    for target, heading in re.findall(r"\]\(([^)#\s]*)(?:#([^)\s]+))?\)", page.read_text(encoding="utf-8")):
        there = page.parent / target if target else page
        assert there.exists() or target.startswith("http"), f"{page.name} points to {target}"
        if heading and there.suffix == ".md":
            assert heading in headings(there), f"{page.name} points to {target}#{heading}"


def headings(page: Path) -> set[str]:
    """Headings as links name them."""
    told = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", one.strip().lower()).replace(" ", "-") for one in told}


def test_every_key_of_the_job_file_is_in_its_page() -> None:
    page = (ROOT / "docs/job-file.md").read_text(encoding="utf-8")
    demo = tomllib.loads((ROOT / "src/bentwork/data/crate-shelf.toml").read_text(encoding="utf-8"))
    demo |= {kind: {"": demo[kind]} for kind in ("load", "payload")}
    for kind in ("stock", "bender", "mounting", "piece", "load", "payload", "fixing", "joint"):
        for table in demo[kind].values():
            for key in table:
                assert f"`{key}`" in page, f"docs/job-file.md says nothing of {kind} {key}"


def test_jobs_written_out_in_the_documents_can_be_read() -> None:
    for page in PAGES:
        for text in re.findall(r"```toml\n(.*?)```", page.read_text(encoding="utf-8"), re.DOTALL):
            tomllib.loads(text)


def test_every_code_of_a_finding_is_used_and_none_is_made_up() -> None:
    sources = [p.read_text(encoding="utf-8") for p in (ROOT / "src").rglob("*.py") if p.name != "findings.py"]
    for code in CODES:
        assert any(f'"{code}"' in source for source in sources), f"nothing ever says {code}"


def test_the_demo_is_a_job() -> None:
    assert parse_job((ROOT / "src/bentwork/data/crate-shelf.toml").read_bytes(), "crate-shelf.toml").pieces
