"""The CAD models that a job names: looked for beside the job, and what was read of them kept where it may be lost."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from bentwork.jobs.modelled import ModelReader
from bentwork.takeoff.beside import models_beside

if TYPE_CHECKING:
    from bentwork.takeoff.reader import Progress

__all__ = ["kept_models", "models_for"]


def models_for(
    folder: Path, *, absolute: bool = True, progress: Callable[[Progress], None] | None = None
) -> ModelReader:
    """Return what reads the models that a job names.

    Args:
        folder: of the job.
        absolute: whether it may name a model by its whole path, wherever it lies. A server says no.
        progress: called while a model is read.
    """
    return models_beside(folder, absolute=absolute, kept=kept_models(), progress=progress)


def kept_models() -> Path:
    """Return the folder where answers about models are kept: this system's place for what may be thrown away."""
    import platformdirs

    return platformdirs.user_cache_path("bentwork", appauthor=False) / "models"
