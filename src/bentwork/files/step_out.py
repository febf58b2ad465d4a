"""STEP files by way of the CAD kernel, which runs in a process of its own: what it prints or breaks stays there."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from bentwork.errors import FileError
from bentwork.jobs.bodies import Body
from bentwork.jobs.finished import Finished, TabStanding
from bentwork.models.bar_mesh import is_ring
from bentwork.models.carried import Stretch, carried
from bentwork.models.cuts import Pressed
from bentwork.models.skin import skins
from bentwork.piece.centreline import Centreline
from bentwork.space import Vec, along, scale

__all__ = ["NO_KERNEL", "Model", "Models", "NoKernelError", "step_models"]

WORKER = (sys.executable, "-P", "-m", "bentwork.files.step_worker")
SECONDS = 600
_ROOM = 20.0  # of the bar: further than any cut reaches beyond its end

NO_KERNEL = (
    "STEP files need the optional CAD kernel, which is not installed here: install the package as bentwork[cad], "
    "as the README says. Everything else can be exported without it"
)


class NoKernelError(FileError):
    """The CAD kernel is not there, or does not start."""


Standing = Body | Finished | TabStanding
"""A piece that is not cut, a piece with its holes and ends, a tab."""


@dataclass(frozen=True, slots=True)
class Model:
    """A STEP file that is wanted.

    Args:
        title: of the model.
        bodies: that are in it, each with name and shift, mm, of its copies.
    """

    title: str
    bodies: tuple[tuple[Standing, tuple[tuple[str, Vec], ...]], ...]


@dataclass(frozen=True, slots=True)
class Models:
    """What came of it.

    Args:
        files: the bytes of each model that was wanted, in order; None where none could be made.
        failed: name and reason of every solid and model that could not be made.
        uncut: name of a solid, which cut and reason, of every hole and end that was left out.
    """

    files: tuple[bytes | None, ...]
    failed: tuple[tuple[str, str], ...]
    uncut: tuple[tuple[str, str, str], ...] = ()


def step_models(models: Sequence[Model], stamp: str, command: Sequence[str] = WORKER, seconds: int = SECONDS) -> Models:
    """Make STEP files.

    Args:
        models: that are wanted; no body in them has a bend without room inside.
        stamp: date and time, as ISO 8601 writes them.
        command: of the worker.
        seconds: that it may take.

    Raises:
        NoKernelError: the optional CAD kernel is not installed, or does not start.
        FileError: it broke down, or took too long.
    """
    if find_spec("OCP") is None:
        raise NoKernelError(NO_KERNEL)
    found = {id(body): body for model in models for body, _ in model.bodies}
    number = {key: k for k, key in enumerate(found)}
    wanted = {
        "stamp": stamp,
        "parts": [_part(body) for body in found.values()],
        "files": [
            {
                "title": model.title,
                "standing": [
                    {"part": number[id(body)], "name": body.name, "copies": copies} for body, copies in model.bodies
                ],
            }
            for model in models
        ],
    }
    with tempfile.TemporaryDirectory(prefix="bentwork-step-") as place:
        folder = Path(place)
        (folder / "wanted.json").write_text(json.dumps(wanted, allow_nan=False), encoding="utf-8")
        answer = _ask(folder, command, seconds)
        if "missing" in answer:
            raise NoKernelError(f"{NO_KERNEL} ({answer['missing']}).")
        made = set(answer["written"])
        files = [(folder / f"{k}.step").read_bytes() if k in made else None for k in range(1, len(models) + 1)]
    uncut = tuple((name, told, why) for name, told, why in answer["uncut"])
    return Models(tuple(files), tuple((name, why) for name, why in answer["failed"]), uncut)


def _ask(folder: Path, command: Sequence[str], seconds: int) -> dict[str, Any]:
    nowhere = subprocess.DEVNULL
    try:
        subprocess.run(
            (*command, str(folder)), stdin=nowhere, stdout=nowhere, stderr=nowhere, timeout=seconds, check=False
        )
    except subprocess.TimeoutExpired:
        raise FileError(f"the STEP files were not written: the CAD kernel took longer than {seconds} seconds") from None
    try:
        answer: dict[str, Any] = json.loads((folder / "answer.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        raise FileError("the STEP files were not written: the CAD kernel broke down over them") from None
    return answer


def _part(one: Standing) -> dict[str, Any]:
    if isinstance(one, TabStanding):
        return _tab(one)
    return _bar(Finished(one.name, one) if isinstance(one, Body) else one)


def _bar(one: Finished) -> dict[str, Any]:
    about = one.body.subject
    line, section, way = about.line, about.stock.section, about.way
    stretches = [_stretch(stretch) for stretch in carried(line, way)]
    pressed = [_pressed(end, line) for end in one.pressed]
    taken = [sum(end.length + end.runs_out for end in one.pressed if end.end == side) for side in (0, 1)]
    stretches[0]["origin"] = along(stretches[0]["origin"], stretches[0]["tangent"], taken[0] - one.longer[0])
    stretches[0]["length"] += one.longer[0] - taken[0]
    stretches[-1]["length"] += one.longer[1] - taken[1]
    length = line.table.length + sum(one.longer)
    return {
        "name": one.name,
        "outlines": [(skin.width, skin.height, skin.radius) for skin in skins(section)],
        "stretches": stretches,
        "ring": is_ring(line, section, way),
        # Pappus: the middle of the section runs along the centreline; a pressed end has the metal of the tube
        "volume": section.area * length,
        "pressed": pressed,
        "cuts": [asdict(cut) for cut in one.cuts],
        "far": 2.0 * length + _ROOM * (section.depth("easy") + section.depth("hard")),
    }


def _pressed(one: Pressed, line: Centreline) -> dict[str, Any]:
    end = line.end if one.end else line.start
    return asdict(one) | {"tip": end.origin, "out": end.tangent if one.end else scale(end.tangent, -1.0)}


def _tab(one: TabStanding) -> dict[str, Any]:
    tab = one.tab
    corners = [*tab.corners]
    return {
        "name": one.name,
        "tab": {
            "corners": corners,
            "round": (tab.end, 0.0) if tab.arc is not None else None,
            "hole": one.drill,
            "at": one.at,
            "ways": tab.ways,
            "thickness": tab.thickness,
        },
    }


def _stretch(stretch: Stretch) -> dict[str, Any]:
    run = stretch.run
    told: dict[str, Any] = {
        "origin": run.start.origin,
        "tangent": run.start.tangent,
        "wide": stretch.wide,
        "high": stretch.high,
        "length": run.length,
    }
    if run.bend:
        told |= {"centre": stretch.centre, "axis": run.start.axis, "angle": run.length / run.radius}
    return told
