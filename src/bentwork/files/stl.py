"""Triangles as a binary STL file, in millimetres.

Layout: 80 bytes of anything, the number of triangles, then of each its normal, three corners and two bytes of nothing,
all little-endian, numbers of four bytes (the format's own maker never published more; from memory).
"""

from __future__ import annotations

import numpy as np

from bentwork.models.mesh import Mesh

__all__ = ["stl_bytes"]

_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("nothing", "<u2")])


def stl_bytes(mesh: Mesh, title: str) -> bytes:
    """Return a mesh as binary STL.

    Args:
        mesh: in mm; STL knows no units, and slicers take it for millimetres.
        title: goes into the head, as far as it has room.
    """
    # A head that began with "solid" would be taken for the other kind of STL.
    head = f"bentwork, mm: {title}".encode("ascii", "replace")[:80].ljust(80)
    body = np.zeros(len(mesh.triangles), _TRIANGLE)
    body["corners"] = mesh.points.astype(np.float32)[mesh.triangles]
    corners = body["corners"].astype(np.float64)
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(crossed, axis=1, keepdims=True)
    body["normal"] = np.divide(crossed, length, out=np.zeros_like(crossed), where=length > 0.0)
    return head + len(body).to_bytes(4, "little") + body.tobytes()
