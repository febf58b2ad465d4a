"""What is wrong, as the page tells it: places in the maker's words, and what another one changed meanwhile."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from bentwork.errors import BentworkError
from bentwork.files.job_lines import Lines
from bentwork.files.job_meanwhile import GONE, Meanwhile
from bentwork.files.job_places import path_of, spoken
from bentwork.files.job_words import NOTHING, place, shorten, told
from bentwork.files.plan_json import fault_document
from bentwork.web.job_store import ChangedError, MeanwhileError
from bentwork.web.on_the_page import on_the_page
from bentwork.web.workroom import Overtaken

__all__ = ["errors_out", "faults_out"]


def faults_out(error: BentworkError) -> dict[str, Any]:
    """Return the answer for an error of ours, in the shape of ``Faults``."""
    errors = errors_out(error)
    stale = "overtaken" if isinstance(error, Overtaken) else "file" if isinstance(error, ChangedError) else None
    if isinstance(error, MeanwhileError):
        stale = "place"
        lines = Lines(error.at.text)
        errors = [_meanwhile(one, lines) for one in error.places]
    return {"errors": errors, "findings": fault_document(error)["findings"], "stale": stale}


def errors_out(error: BentworkError) -> list[dict[str, Any]]:
    """Return every fault of an error, in the shape of ``FaultOut``."""
    document = fault_document(error)
    return [_spoken(one, Path(document["file"] or "").name) for one in document["errors"]]


def _spoken(fault: dict[str, Any], file: str) -> dict[str, Any]:
    """Return a fault without the place in the language of the file; its line stands beside it."""
    if "found" not in fault:
        return fault
    key, do = fault["key"], on_the_page(fault["do"])
    path = None if key == file or key.endswith(".toml") else path_of(key)  # a whole file goes by its name
    if not path:
        return {**fault, "do": do, "says": on_the_page(fault["says"])}
    says = f"{spoken(path)}: found {fault['found']}; wanted {fault['wanted']}."
    return {**fault, "do": do, "says": says[:1].upper() + says[1:] + (f" {do}" if do else "")}


def _meanwhile(one: Meanwhile, lines: Lines) -> dict[str, Any]:
    was, now = (NOTHING if value is GONE else _plain(value) for value in (one.was, one.now))
    if not one.path:
        return {"says": f"These lines stood there: {was} Now there are these: {now}", "found": now, "wanted": was}
    says = f"{spoken(one.path)}: {was} when you began, {now} by now."
    line = lines.line(one.path) if one.now is not GONE else None
    return {"says": says, "key": place(one.path), "found": now, "wanted": was, "line": line}


def _plain(value: object) -> str:
    """Return what stood somewhere: lines of the file as they are, a value as it is written there."""
    return shorten(value.strip(), 200) if isinstance(value, str) and "\n" in value else told(value)
