"""Reads the imports of the package from its syntax trees, without running it."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

PACKAGE = "bentwork"
SRC = Path(__file__).parents[2] / "src"


@dataclass(frozen=True, slots=True)
class Import:
    """One imported name: ``module`` is absolute, ``name`` what is taken from it (empty for a plain import)."""

    line: int
    module: str
    name: str
    late: bool

    @property
    def dotted(self) -> str:
        return f"{self.module}.{self.name}" if self.name else self.module


def module_name(path: Path) -> str:
    """Return the dotted name of a file below src."""
    parts = path.relative_to(SRC).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def sources() -> dict[str, str]:
    """Return the text of every module of the package by its dotted name."""
    return {module_name(path): path.read_text(encoding="utf-8") for path in sorted((SRC / PACKAGE).rglob("*.py"))}


def packages() -> set[str]:
    """Return the dotted names of those modules that are folders."""
    return {module_name(path) for path in (SRC / PACKAGE).rglob("__init__.py")}


def imports(source: str, module: str, *, is_package: bool = False) -> list[Import]:
    """Return every import in the source, also those inside functions and those for type checkers only."""
    found: list[Import] = []
    for node, late in _walk(ast.parse(source), late=False):
        if isinstance(node, ast.Import):
            found += [Import(node.lineno, alias.name, "", late) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = module.split(".")[: (len(module.split(".")) - node.level + int(is_package))]
                base = ".".join([*above, *([base] if base else [])])
            found += [Import(node.lineno, base, alias.name, late) for alias in node.names]
    return found


def _walk(node: ast.AST, *, late: bool) -> Iterator[tuple[ast.AST, bool]]:
    yield node, late
    inside = late or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
    for child in ast.iter_child_nodes(node):
        yield from _walk(child, late=inside)


def cycle(graph: Mapping[str, set[str]]) -> list[str]:
    """Return one ring of modules that import one another, or an empty list."""
    done: set[str] = set()

    def visit(module: str, trail: list[str]) -> list[str]:
        if module in trail:
            return [*trail[trail.index(module) :], module]
        if module in done:
            return []
        for target in sorted(graph.get(module, ())):
            if ring := visit(target, [*trail, module]):
                return ring
        done.add(module)
        return []

    for start in sorted(graph):
        if ring := visit(start, []):
            return ring
    return []
