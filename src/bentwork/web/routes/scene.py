"""What is seen of a job: bodies where they stand, and their triangles."""

from __future__ import annotations

import base64
from typing import Any, Literal

import numpy as np
from fastapi import APIRouter, HTTPException, Response
from numpy.typing import NDArray

from bentwork.models.mesh import Shaded
from bentwork.web.desk import AtDesk
from bentwork.web.wire import CopyOut, MeshOut, RunOut, SceneBodyOut, TrianglesOut
from bentwork.web.workroom import Worked

__all__ = ["router", "scene_of"]

router = APIRouter(tags=["scene"])


@router.get("/meshes/{name}")
def mesh(desk: AtDesk, name: str, answer: Response) -> MeshOut:
    """Return the triangles that a body goes by; they never change."""
    found = desk.room.mesh(name)
    if found is None:
        raise HTTPException(404, "There is no such mesh any more; read the job again.")
    answer.headers["cache-control"] = "private, max-age=31536000, immutable"
    fine, coarse = (_triangles(shaded) for shaded in found)
    return MeshOut(**fine.model_dump(), coarse=coarse)


def scene_of(worked: Worked) -> list[SceneBodyOut]:
    """Return the bodies of a job that was worked out."""
    return [
        SceneBodyOut(
            name=body.name,
            piece=body.piece,
            as_drawn=body.as_drawn,
            mesh=name,
            runs=[
                RunOut(kind=run.kind, number=run.number, points_mm=run.points.round(3).tolist(), text=run.text)
                for run in body.runs
            ],
            copies=[CopyOut(name=name, shift_mm=list(shift)) for name, shift in body.copies],
        )
        for name, body in worked.bodies
    ]


def _triangles(shaded: Shaded) -> TrianglesOut:
    return TrianglesOut(
        points=_packed(shaded.points, "<f4"),
        normals=_packed(shaded.normals, "<f4"),
        triangles=_packed(shaded.triangles, "<u4"),
        inside=_packed(shaded.inside, "u1"),
    )


def _packed(numbers: NDArray[Any], kind: Literal["<f4", "<u4", "u1"]) -> str:
    return base64.b64encode(np.ascontiguousarray(numbers, dtype=kind).tobytes()).decode()
