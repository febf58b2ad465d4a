"""The models that lie beside a job: its pieces may be bars of them. Every model is read once, however many it gives."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from bentwork.errors import Fault, InputError
from bentwork.jobs.modelled import Modelled, ModelPart, ModelReader

if TYPE_CHECKING:
    from bentwork.takeoff.bar import Solid, TakeOff
    from bentwork.takeoff.reader import Limits, Progress

__all__ = ["models_beside"]


def models_beside(
    folder: Path,
    *,
    absolute: bool = True,
    kept: Path | None = None,
    limits: Limits | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> ModelReader:
    """Return what reads the models that a job names: the ``models`` of ``files.job_file.read_job``.

    Args:
        folder: of the job; names in it are taken from there, and may not lead out of it.
        absolute: whether a job may name a model by its whole path, wherever it lies. A server says no.
        kept: folder where answers are kept by the models' bytes, so that a model is not read anew every time.
        limits: of time and memory.
        progress: called while a model is read.
    """
    return _Beside(folder, absolute, kept, limits, progress)


@dataclass(frozen=True, slots=True)
class _Read:
    """A model that was read, or why it could not be."""

    result: TakeOff | None
    code: str
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class _Beside:
    folder: Path
    absolute: bool
    kept: Path | None
    limits: Limits | None
    progress: Callable[[Progress], None] | None
    read: dict[tuple[Path, float | None, str], _Read] = field(default_factory=dict)

    def __call__(self, part: ModelPart) -> Modelled:
        path = self._path(part)
        key = (path, part.radius, part.units)
        if key not in self.read:
            self.read[key] = self._take_off(path, part)
        read = self.read[key]
        if read.result is None:
            raise InputError(part.file, read.faults)
        solid = _solid(read.result, part)
        bar = solid.bars[_member(solid, part) - 1]
        return Modelled(
            _called(solid, part),
            bar.line,
            bar.section,
            bar.way,
            solid.kind == "curve",
            bar.deviation,
            (bar.ends[0].beyond, bar.ends[1].beyond),
            read.code,
        )

    def _path(self, part: ModelPart) -> Path:
        given = Path(part.file)
        if given.is_absolute():
            if self.absolute:
                return given
            raise _wrong("file", part.file, "the name of a model in the folder of the job", "Put the model there.")
        try:
            path = (self.folder / given).resolve()
            inside = path.is_relative_to(self.folder.resolve())
        except (OSError, RuntimeError, ValueError):  # links in a ring; a zero byte
            inside = False
        if not inside:
            do = "Put the model beside the job" + (", or give its whole path." if self.absolute else ".")
            raise _wrong("file", part.file, "a model in the folder of the job or below it", do)
        return self.folder / given

    def _take_off(self, path: Path, part: ModelPart) -> _Read:
        from bentwork.takeoff.take import take_off

        try:
            result = take_off(
                path,
                units=part.units,
                radius=part.radius,
                limits=self.limits,
                progress=self.progress,
                kept=self.kept,
            )
            with path.open("rb") as file:
                return _Read(result, hashlib.file_digest(file, "sha256").hexdigest())
        except InputError as error:
            return _Read(None, "", tuple(_at_file(path, fault) for fault in error.faults))
        except OSError as error:  # it went away meanwhile
            return _Read(None, "", (Fault("file", f"{path.name}, which cannot be read ({error.strerror})", "a model"),))


def _at_file(path: Path, fault: Fault) -> Fault:
    """Return what is wrong with a model as a fault of the key that names it."""
    place = f"{path.name}, line {fault.line}" if fault.line else path.name
    return Fault("file", f"{place}: {fault.found}", fault.wanted, fault.do)


def _solid(result: TakeOff, part: ModelPart) -> Solid:
    name, count = Path(part.file).name, len(result.solids)
    if part.solid > count:
        wanted = f"a solid from 1 to {count} of {name}" if count else f"a model with solids; {name} has none"
        raise _wrong("solid", str(part.solid), wanted, _look(part))
    solid = result.solids[part.solid - 1]
    if not solid.bars:
        bars = [str(one.index) for one in result.solids if one.bars]
        have = f"; those of {name} are {', '.join(bars[:12])}{', …' if len(bars) > 12 else ''}" if bars else ""
        found = f"{_called(solid, part)}, which is no bar: {solid.reason}"
        raise _wrong("solid", found, f"a solid that is a bar{have}", _look(part))
    return solid


def _look(part: ModelPart) -> str:
    return f"Look which there are (bentwork takeoff {part.file})."


def _member(solid: Solid, part: ModelPart) -> int:
    count, number = len(solid.bars), part.member
    if number is None and count > 1:
        found = f"{_called(solid, part)}, which is {count} bars in one"
        raise _wrong("solid", found, "one of its bars", f"Say which: member = 1 to {count}.")
    if number is not None and number > count:
        wanted = f"a bar from 1 to {count}" if count > 1 else "no member: the solid is one bar"
        raise _wrong("member", str(number), wanted, "" if count > 1 else "Take it out.")
    return number or 1


def _called(solid: Solid, part: ModelPart) -> str:
    member = f"bar {part.member} of " if part.member and len(solid.bars) > 1 else ""
    name = "".join(c for c in solid.name if c.isprintable())[:40]
    return f"{member}solid {solid.index}{f' ({name})' if name else ''} of {Path(part.file).name}"


def _wrong(key: str, found: str, wanted: str, do: str) -> InputError:
    return InputError("takeoff", [Fault(key, found, wanted, do)])
