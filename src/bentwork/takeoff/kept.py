"""What the reader answered for a model, kept by the model's bytes: the same model is not read twice.

It is a file of JSON in a folder that may be thrown away at any time. What is kept counts only for the reader that
answered: a line changed in this package, and every model is read anew.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from bentwork.takeoff.reader import StepAnswers

__all__ = ["answers_kept"]

MOST_MODELS = 40
"""So many are kept, those that were asked for last."""
MOST_BYTES = 50_000_000
"""Longer answers are not kept."""


def answers_kept(
    path: Path, folder: Path | None, read: Callable[[], StepAnswers], right: Callable[[StepAnswers], object]
) -> StepAnswers:
    """Return what is kept for a model, or what reading it gives, which is then kept.

    Args:
        path: of the model.
        folder: where answers are kept; None to keep none.
        read: reads the model.
        right: raises KeyError, TypeError or ValueError for answers that are none.

    Raises:
        InputError: reading the model does.
    """
    if folder is None:
        return read()
    try:
        place = folder / f"{_code(path)}.json"
    except OSError:
        return read()  # it says what is the matter
    with suppress(OSError, ValueError, KeyError, TypeError):  # whatever is wrong with it: it is read anew
        known = json.loads(place.read_text(encoding="utf-8"))
        answers = StepAnswers(tuple(known["solids"]), tuple(known["units"]))
        right(answers)
        os.utime(place)
        return answers
    answers = read()
    if answers.whole:  # what broke down for want of time or memory may go better another time
        with suppress(OSError):
            _keep(place, json.dumps({"units": answers.units, "solids": answers.solids}))
    return answers


def _code(path: Path) -> str:
    code = hashlib.sha256()
    for source in sorted(Path(__file__).parent.glob("*.py")):
        code.update(source.read_bytes())
    with path.open("rb") as file:
        code.update(hashlib.file_digest(file, "sha256").digest())
    return code.hexdigest()


def _keep(place: Path, text: str) -> None:
    if len(text) > MOST_BYTES:
        return
    place.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=place.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        Path(name).replace(place)
    except OSError:
        Path(name).unlink()
        raise
    answers = sorted(place.parent.glob("*.json"), key=lambda one: one.stat().st_mtime, reverse=True)
    for old in answers[MOST_MODELS:]:
        old.unlink(missing_ok=True)
