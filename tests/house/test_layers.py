"""Imports point down the levels only, and what is above the files knows no outside world."""

from __future__ import annotations

import ast
import sys

import pytest

from tests.house.imports import PACKAGE, cycle, imports, packages, sources

LEVELS: dict[str, int] = {
    **dict.fromkeys(("amounts", "errors", "findings", "units", "space", "tolerances"), 0),
    **dict.fromkeys(("stock", "fastening"), 1),
    **dict.fromkeys(("piece", "forming", "tooling"), 2),
    **dict.fromkeys(("bending", "clearance"), 3),
    **dict.fromkeys(("planning", "fitup", "carry", "parts"), 4),
    **dict.fromkeys(("sheets", "models"), 5),
    "jobs": 6,
    **dict.fromkeys(("files", "workshop", "takeoff"), 7),
    "door": 8,
    "web": 9,
    "cli": 10,  # one of its commands opens the page
    "__main__": 11,
}
GROUND = 0  # single modules, no packages: they may know one another, as long as there is no ring
MIDDLE = 6  # up to here: no I/O, no clock, no chance, no late imports

NUMBERS = {"numpy", "scipy", "numba", "manifold3d"}  # the only foreign libraries of the middle
OUTSIDE = set(
    "asyncio getpass glob http importlib io locale logging multiprocessing os platform random secrets shutil signal "
    "socket sqlite3 ssl subprocess tempfile threading time tomllib urllib uuid zoneinfo".split()
)
CALLS = {"open", "print", "input", "breakpoint", "exec", "eval", "__import__"}
CLOCKS = {"now", "utcnow", "today"}
FILE_METHODS = set(
    "open read_text read_bytes write_text write_bytes iterdir glob rglob mkdir rmdir unlink touch".split()
)


def part(module: str) -> str:
    """Name of the package or module of the first level below the root; empty for the root itself."""
    names = module.split(".")
    return names[1] if names[0] == PACKAGE and len(names) > 1 else ""


def wrong_arrows(source: str, module: str, *, is_package: bool = False) -> list[str]:
    own = part(module)
    if not own:
        return [f"{module}: the root imports nothing of the package" for _ in _own_imports(source, module, is_package)]
    if own not in LEVELS:
        return [f"{module}: {own} has no level; give it one here"]
    found = []
    for line, target in _own_imports(source, module, is_package):
        where = f"{module}:{line} imports {target}"
        if target not in LEVELS:
            found.append(f"{where}, which has no level")
        elif LEVELS[target] > LEVELS[own]:
            found.append(f"{where}, which is above it")
        elif LEVELS[target] == LEVELS[own] > GROUND and target != own:
            found.append(f"{where}: packages of one level are strangers")
    return found


def _own_imports(source: str, module: str, is_package: bool) -> list[tuple[int, str]]:
    found = imports(source, module, is_package=is_package)
    return [
        (one.line, part(one.dotted))
        for one in found
        if one.dotted.split(".")[0] == PACKAGE and one.dotted != f"{PACKAGE}.__version__"
    ]


def outside_world(source: str, module: str) -> list[str]:
    """What a module of the middle may not do: see the constants above."""
    if LEVELS.get(part(module), -1) > MIDDLE:
        return []
    found = []
    for one in imports(source, module):
        top = one.module.split(".")[0]
        if one.late:
            found.append((one.line, "import inside a function"))
        if top in OUTSIDE or (top == "pathlib" and not one.name.startswith("Pure")):
            found.append((one.line, f"{one.dotted} reaches outside"))
        elif top not in {PACKAGE, *NUMBERS} and top not in sys.stdlib_module_names:
            found.append((one.line, f"{top} belongs to the edges"))
        if "random" in one.dotted.split(".")[1:]:
            found.append((one.line, "chance is an argument (rng: np.random.Generator)"))
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLS:
            found.append((node.lineno, f"{node.func.id}()"))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            if node.func.attr in CLOCKS:
                found.append((node.lineno, f"a clock: .{node.func.attr}()"))
            if node.func.attr in FILE_METHODS:
                found.append((node.lineno, f"a file: .{node.func.attr}()"))
        if isinstance(node, ast.Attribute) and node.attr != "Generator":
            below = node.value
            if isinstance(below, ast.Attribute) and below.attr == "random":
                found.append((node.lineno, "chance is an argument (rng: np.random.Generator)"))
    return [f"{module}:{line}: {what}" for line, what in found]


def import_graph(texts: dict[str, str], folders: set[str]) -> dict[str, set[str]]:
    """Which module imports which, down to the file; an import for type checkers counts too."""
    graph: dict[str, set[str]] = {}
    for module, source in texts.items():
        found = imports(source, module, is_package=module in folders)
        targets = {one.dotted if one.dotted in texts else one.module for one in found}
        graph[module] = (targets & texts.keys()) - {module, PACKAGE}
    return graph


def test_imports_point_down_only() -> None:
    folders = packages()
    assert [f for m, s in sources().items() for f in wrong_arrows(s, m, is_package=m in folders)] == []


def test_the_middle_knows_no_outside_world() -> None:
    assert [fault for module, source in sources().items() for fault in outside_world(source, module)] == []


def test_no_module_imports_itself_in_a_ring() -> None:
    assert cycle(import_graph(sources(), packages())) == []


def test_every_module_is_read() -> None:
    assert {PACKAGE, f"{PACKAGE}.errors", f"{PACKAGE}.piece"} <= sources().keys()


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("bentwork.stock.bar", "from bentwork.piece.bend import Bend"),
        ("bentwork.stock.bar", "from bentwork import piece"),
        ("bentwork.stock.bar", "import bentwork.piece.bend as b"),
        ("bentwork.stock.bar", "from ..piece import bend"),
        ("bentwork.stock.bar", "def f():\n    from bentwork.jobs import work"),
        ("bentwork.stock.bar", "if TYPE_CHECKING:\n    from bentwork.jobs.job import Job"),
        ("bentwork.forming.moment", "from bentwork.tooling.die import Die"),
        ("bentwork.planning.order", "import bentwork.carry"),
        ("bentwork.web.app", "import bentwork.cli.main"),
        ("bentwork.space", "from bentwork.stock import bar"),
        ("bentwork.cli.main", "import bentwork.gadgets"),
        ("bentwork.gadgets", ""),
        ("bentwork", "from bentwork.jobs import work"),
    ],
)
def test_a_wrong_arrow_is_seen(module: str, source: str) -> None:
    assert len(wrong_arrows(source, module)) == 1


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("bentwork.planning.order", "from bentwork.forming import moment\nfrom bentwork.planning.pose import Pose"),
        ("bentwork.planning.order", "from . import pose\nfrom .pose import Pose\nimport numpy as np"),
        ("bentwork.errors", "from bentwork.findings import Finding"),
        ("bentwork.cli.main", "from bentwork import __version__\nfrom bentwork.files import job_file"),
    ],
)
def test_a_right_arrow_passes(module: str, source: str) -> None:
    assert wrong_arrows(source, module) == []


def test_a_relative_import_in_a_package_stays_in_it() -> None:
    assert wrong_arrows("from . import bend", "bentwork.piece", is_package=True) == []
    assert len(wrong_arrows("from ..jobs import work", "bentwork.piece", is_package=True)) == 1


OUTSIDE_CASES = [
    "open('x')",
    "print('x')",
    "import sqlite3",
    "import time",
    "from time import monotonic",
    "import random",
    "import numpy.random",
    "from numpy.random import default_rng",
    "from numpy import random",
    "import subprocess",
    "import os.path",
    "from pathlib import Path",
    "import pathlib",
    "import typer",
    "from rich.table import Table",
    "import typst",
    "from pydantic import BaseModel",
    "import tomlkit",
    "import OCP.gp",
    "x = datetime.now()",
    "x = datetime.datetime.utcnow()",
    "x = date.today()",
    "x = np.random.default_rng(1)",
    "x = numpy.random.rand(3)",
    "x = path.read_text()",
    "x = resource.open()",
    "def f():\n    import math",
    "class A:\n    def f(self):\n        from math import pi",
    "f = lambda: __import__('math')",
]


@pytest.mark.parametrize("source", OUTSIDE_CASES)
def test_the_outside_world_is_seen(source: str) -> None:
    assert len(outside_world(source, "bentwork.planning.order")) == 1
    assert outside_world(source, "bentwork.cli.main") == []


def test_plain_work_passes() -> None:
    source = """
from __future__ import annotations
import math
from dataclasses import replace
from datetime import date
from pathlib import PurePath
import numpy as np
from bentwork.piece import bend
def shake(rng: np.random.Generator, day: date, name: str) -> float:
    opened = bend.opened(name.replace("a", "b"))
    return rng.normal() + math.pi + opened
"""
    assert outside_world(source, "bentwork.planning.order") == []


def test_a_ring_is_seen() -> None:
    texts = {
        "bentwork.piece": "",
        "bentwork.piece.bend": "from bentwork.piece import table",
        "bentwork.piece.table": "from bentwork.piece.line import Line",
        "bentwork.piece.line": "if TYPE_CHECKING:\n    from .bend import Bend",
    }
    ring = cycle(import_graph(texts, {"bentwork.piece"}))
    assert ring[0] == ring[-1]
    assert set(ring) == {"bentwork.piece.bend", "bentwork.piece.table", "bentwork.piece.line"}
    assert cycle({"a": {"b", "c"}, "b": {"c"}, "c": set()}) == []
