"""What gets installed: the version that the code says, all of its data, and the pins that were tested."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path
from typing import Any

from hatchling.builders.sdist import SdistBuilder
from hatchling.builders.wheel import WheelBuilder
from packaging.requirements import Requirement

import bentwork

ROOT = Path(__file__).parents[2]
PROJECT: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PIN = re.compile(r"^([a-z0-9-]+)==([^ ]+)[^\n]*((?:\n    --hash=sha256:[0-9a-f]{64}(?: \\)?)*)", re.MULTILINE)


def pins(name: str) -> dict[str, tuple[str, int]]:
    """Version and number of hashes of every package that a lock pins."""
    text = (ROOT / "requirements" / name).read_text(encoding="utf-8")
    found = {match[1]: (match[2], match[3].count("--hash=")) for match in PIN.finditer(text)}
    assert len(found) == sum("==" in line for line in text.splitlines())
    return found


def test_the_version_is_written_once() -> None:
    source = (ROOT / "src" / "bentwork" / "__init__.py").read_text(encoding="utf-8")
    assert PROJECT["project"]["dynamic"] == ["version"]
    assert PROJECT["tool"]["hatch"]["version"] == {"path": "src/bentwork/__init__.py"}
    assert f'\n__version__ = "{bentwork.__version__}"\n' in source
    assert version("bentwork") == bentwork.__version__


def test_importing_the_root_costs_nothing() -> None:
    source = (ROOT / "src" / "bentwork" / "__init__.py").read_text(encoding="utf-8")
    assert "import " not in source.split('"""')[2]


def test_the_wheel_and_the_source_archive_carry_everything() -> None:
    package = ROOT / "src" / "bentwork"
    there = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts and not path.name.startswith(".")
    }
    assert {"py.typed", "data/fonts/OFL.txt", "data/fonts/AtkinsonHyperlegibleNext-Regular.ttf"} <= there
    wheel = {file.distribution_path for file in WheelBuilder(str(ROOT)).recurse_included_files()}
    assert {f"bentwork/{name}" for name in there} == wheel
    archive = {file.distribution_path for file in SdistBuilder(str(ROOT)).recurse_included_files()}
    assert {f"src/bentwork/{name}" for name in there} <= archive
    assert {"LICENSE", "README.md", "pyproject.toml", "bootstrap.py"} <= archive


def test_the_installed_package_finds_its_data() -> None:
    assert files("bentwork").joinpath("data", "fonts", "OFL.txt").is_file()


def test_what_the_project_asks_for_is_pinned() -> None:
    asked = PROJECT["project"]["dependencies"] + PROJECT["build-system"]["requires"]
    run, test = pins("run.txt"), pins("test.txt")
    for requirement in map(Requirement, asked):
        assert requirement.specifier.contains(run[requirement.name][0]), requirement
    for requirement in map(Requirement, PROJECT["project"]["optional-dependencies"]["cad"]):
        assert requirement.specifier.contains(test[requirement.name][0]), requirement
    assert {name: test.get(name) for name in run} == run


def test_every_pin_has_hashes() -> None:
    for lock in ("run.txt", "test.txt"):
        assert [name for name, (_, hashes) in pins(lock).items() if not hashes] == []


def test_dependencies_have_lower_bounds_only() -> None:
    for requirement in map(Requirement, PROJECT["project"]["dependencies"]):
        assert [clause.operator for clause in requirement.specifier] == [">="], requirement
