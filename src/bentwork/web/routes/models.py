"""Files of a job for other programs and machines: made, one by one or all of a kind in one file."""

from __future__ import annotations

import io
import zipfile

from fastapi import APIRouter, HTTPException, Response

from bentwork.files.export_names import file_names
from bentwork.web.as_file import file_answer
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.set_papers import Models
from bentwork.web.wire import Faults
from bentwork.web.wire_papers import ModelFile, ModelKind, ModelsOut

__all__ = ["router"]

router = APIRouter(tags=["models"], responses={409: {"model": Faults}, 422: {"model": Faults}})
_WRITTEN = (1980, 1, 1, 0, 0, 0)  # the earliest that a zip file can say: the same files give the same bytes


@router.get("/jobs/{name}/models/{kind}")
def make_models(desk: AtDesk, name: str, kind: ModelKind) -> ModelsOut:
    """Make the files of one kind, and return their names."""
    made = _models(desk, name, kind)
    return ModelsOut(
        kind=kind,
        zip=_zip_name(name, kind),
        files=[ModelFile(name=file, bytes=len(data)) for file, data in made.files.items()],
        notes=list(made.notes),
    )


@router.get("/jobs/{name}/models/{kind}/zip", response_class=Response)
def all_models(desk: AtDesk, name: str, kind: ModelKind) -> Response:
    """Return all files of a kind in one."""
    made, packed = _models(desk, name, kind), io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for file, data in made.files.items():
            archive.writestr(zipfile.ZipInfo(file, _WRITTEN), data, zipfile.ZIP_DEFLATED)
    return file_answer(packed.getvalue(), _zip_name(name, kind), "attachment")


@router.get("/jobs/{name}/models/{kind}/files/{file}", response_class=Response)
def one_model(desk: AtDesk, name: str, kind: ModelKind, file: str) -> Response:
    """Return one file, of those that were made and no other."""
    data = _models(desk, name, kind).files.get(file)
    if data is None:
        raise HTTPException(404, "There is no such file of this job.")
    return file_answer(data, file, "attachment")


def _models(desk: Desk, name: str, kind: ModelKind) -> Models:
    return desk.papers.models(desk.room.worked(desk.jobs.read(name)), kind)


def _zip_name(name: str, kind: ModelKind) -> str:
    return f"{file_names([name])[0]}-{kind}.zip"
