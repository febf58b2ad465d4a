"""Meshes as a binary glTF 2.0 file: metres, y up, one mesh a piece, one node a copy.

Layout, sizes and names are those of the glTF 2.0 specification (The Khronos Group, ISO/IEC 12113:2022): chapters 3.6
(accessors and views), 4 (the GLB container).
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any

import numpy as np

from bentwork.models.mesh import Mesh, Shaded
from bentwork.space import Vec

__all__ = ["Stands", "glb_bytes"]

Stands = tuple[str, Mesh, Sequence[tuple[str, Vec]]]
"""Name of a mesh, the mesh in mm, name and shift in mm of every copy."""

_MAGIC, _JSON, _BIN = 0x46546C67, 0x4E4F534A, 0x004E4942
_FLOAT, _UINT = 5126, 5125
_VERTICES, _INDICES = 34962, 34963


def glb_bytes(title: str, meshes: Sequence[Stands]) -> bytes:
    """Return meshes and where their copies stand as a GLB file.

    Args:
        title: of the scene.
        meshes: in mm, z up, as in the job; they are turned to y up: x stays, z becomes y, y becomes -z.
    """
    binary = bytearray()
    document: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "bentwork"},
        "scene": 0,
        "scenes": [{"name": title, "nodes": []}],
        "nodes": [],
        "meshes": [],
        "materials": [
            {
                "name": "bar",
                "pbrMetallicRoughness": {
                    "baseColorFactor": [0.62, 0.64, 0.66, 1.0],
                    "metallicFactor": 0.3,
                    "roughnessFactor": 0.5,
                },
            }
        ],
        "accessors": [],
        "bufferViews": [],
    }
    for number, (name, mesh, copies) in enumerate(meshes):
        document["meshes"].append({"name": name, "primitives": [_primitive(mesh.shaded(), document, binary)]})
        for called, shift in copies:
            node: dict[str, Any] = {"name": called, "mesh": number}
            if any(shift):
                node["translation"] = _turned(np.array([shift]) / 1000.0)[0].tolist()
            document["scenes"][0]["nodes"].append(len(document["nodes"]))
            document["nodes"].append(node)
    document["buffers"] = [{"byteLength": len(binary)}]
    return _container(document, bytes(binary))


def _turned(points: Any) -> Any:
    """From z up to y up; minus zero is written as zero."""
    return np.column_stack((points[:, 0], points[:, 2], -points[:, 1])) + 0.0


def _primitive(shaded: Shaded, document: dict[str, Any], binary: bytearray) -> dict[str, Any]:
    points = _turned(shaded.points / 1000.0).astype("<f4")
    normals = _turned(shaded.normals).astype("<f4")
    bounds = {"min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()}
    return {
        "attributes": {
            "POSITION": _accessor(points, "VEC3", document, binary, bounds),
            "NORMAL": _accessor(normals, "VEC3", document, binary, {}),
        },
        "indices": _accessor(shaded.triangles.astype("<u4").reshape(-1, 1), "SCALAR", document, binary, {}),
        "material": 0,
    }


def _accessor(data: Any, kind: str, document: dict[str, Any], binary: bytearray, bounds: dict[str, Any]) -> int:
    raw = data.tobytes()
    target = _VERTICES if kind == "VEC3" else _INDICES
    view = {"buffer": 0, "byteOffset": len(binary), "byteLength": len(raw), "target": target}
    document["bufferViews"].append(view)
    binary.extend(raw)  # every number has four bytes, so that every view begins on a multiple of four
    component = _FLOAT if kind == "VEC3" else _UINT
    accessor = {"bufferView": len(document["bufferViews"]) - 1, "componentType": component, "count": len(data)}
    document["accessors"].append({**accessor, "type": kind, **bounds})
    return len(document["accessors"]) - 1


def _container(document: dict[str, Any], binary: bytes) -> bytes:
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    binary += b"\0" * (-len(binary) % 4)
    chunks = struct.pack("<II", len(text), _JSON) + text + struct.pack("<II", len(binary), _BIN) + binary
    return struct.pack("<III", _MAGIC, 2, 12 + len(chunks)) + chunks
