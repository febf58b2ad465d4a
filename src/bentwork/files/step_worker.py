"""The process of its own that makes STEP files: ``python -m bentwork.files.step_worker FOLDER``.

It reads ``wanted.json`` in the folder, writes ``1.step``, ``2.step`` ... beside it and then ``answer.json``. Whatever
the CAD kernel prints goes where its parent sent standard output and standard error: nowhere.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any

__all__ = ["main"]


def main() -> None:
    """Make what is asked for and answer; never raise."""
    folder = Path(sys.argv[1])
    wanted = json.loads((folder / "wanted.json").read_text(encoding="utf-8"))
    (folder / "answer.json").write_text(json.dumps(_answer(folder, wanted)), encoding="utf-8")
    # The kernel's own clearing up takes longer than all the rest.
    os._exit(0)


def _answer(folder: Path, wanted: dict[str, Any]) -> dict[str, Any]:
    try:
        from bentwork.files import step_kernel
    except ImportError as error:
        return {"missing": str(error)[:300]}
    failed: list[tuple[str, str]] = []
    uncut: list[tuple[str, str, str]] = []
    solids: dict[int, Any] = {}
    for number, part in enumerate(wanted["parts"]):
        try:
            if "tab" in part:
                solids[number] = step_kernel.tab(part["tab"])
                continue
            solids[number] = step_kernel.solid(part)
        except Exception as error:  # one piece that cannot be made does not keep the others from it
            failed.append((part["name"], _why(error)))
            continue
        for cut in part["cuts"]:
            try:
                solids[number] = step_kernel.cut(solids[number], cut, part["far"])
            except Exception as error:  # a hole that cannot be drilled does not keep the piece from being made
                uncut.append((part["name"], cut["told"], _why(error)))
    written = []
    for number, file in enumerate(wanted["files"], 1):
        there = [one for one in file["standing"] if one["part"] in solids]
        if not there:
            continue
        standing = [(solids[one["part"]], one["name"], one["copies"]) for one in there]
        try:
            step_kernel.write_step(folder / f"{number}.step", file["title"], wanted["stamp"], standing)
        except Exception as error:
            failed.append((file["title"], _why(error)))
            continue
        written.append(number)
    return {"written": written, "failed": failed, "uncut": uncut}


def _why(error: Exception) -> str:
    return str(error)[:300] or type(error).__name__


if __name__ == "__main__":
    main()
