"""What is handed out names no package registry and no place on somebody's machine."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
# Put together from pieces, so that this file does not name them either.
REGISTRIES = [".".join(parts) for parts in (("pypi", "org"), ("files", "pythonhosted"), ("registry", "npmjs"))]
REGISTRY = re.compile("|".join(re.escape(host) for host in REGISTRIES), re.IGNORECASE)
PLACES = ("work", "tmp", "root")
PLACE = re.compile(rf"(?<![\w.\-)}}\]*])/(?:{'|'.join(PLACES)})/")
MADE_BY_TOOLS = {".git", ".venv", "__pycache__", "build", "dist", ".mypy_cache", ".pytest_cache", ".ruff_cache"}


def handed_out() -> list[Path]:
    """Every file that is tracked or would be; outside a git checkout, every file that no tool made."""
    if (ROOT / ".git").exists():
        command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
        names = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout.split("\0")
        return [ROOT / name for name in names if name and (ROOT / name).is_file()]
    found = (path for path in ROOT.rglob("*") if path.is_file())
    return [path for path in found if not MADE_BY_TOOLS & set(path.relative_to(ROOT).parts)]


def text_of(path: Path) -> str:
    """The text of a file; empty for one that is not text, such as a typeface."""
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""


def lines_with(pattern: re.Pattern[str], files: list[Path]) -> list[str]:
    return [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()}"
        for path in files
        for number, line in enumerate(text_of(path).splitlines(), start=1)
        if pattern.search(line)
    ]


def test_no_registry_is_named() -> None:
    files = handed_out()
    assert ROOT / "pyproject.toml" in files
    assert lines_with(REGISTRY, files) == []


def test_the_locks_hold_no_address() -> None:
    locks = sorted((ROOT / "requirements").iterdir())
    assert ROOT / "requirements" / "run.txt" in locks
    assert lines_with(re.compile(r"https?:|file:|@ |--(extra-)?index|--find-links"), locks) == []


def test_no_place_on_a_machine_is_named() -> None:
    told = [
        path
        for path in handed_out()
        if path.relative_to(ROOT).parts[0] in {"src", "docs", "examples"} or path.suffix == ".md"
    ]
    assert ROOT / "src" / "bentwork" / "__init__.py" in told
    assert lines_with(PLACE, told) == []


@pytest.mark.parametrize("host", REGISTRIES)
def test_a_registry_is_seen(host: str) -> None:
    assert REGISTRY.search(f"see https://{host}/simple")


@pytest.mark.parametrize("place", PLACES)
def test_a_place_is_seen(place: str) -> None:
    assert PLACE.search(f'open("/{place}/job.toml")')
    assert PLACE.search(f"/{place}/job.toml")
    assert not PLACE.search(f"docs/{place}/job.md")
    assert not PLACE.search(f"~/{place}.md")
