"""A first look at a file, before the CAD kernel sees it: is it what it says it is, and is all of it there?"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from bentwork.errors import Fault, InputError

__all__ = ["MOST_BYTES", "FileKind", "look"]

FileKind = Literal["step", "dxf", "csv"]

MOST_BYTES = 190_000_000
"""Largest file read: a STEP file takes about twenty times its size in memory."""

_WANTED = "a STEP file (.step, .stp), a drawing (.dxf) or corner points (.csv)"
_MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "a zip archive"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"Rar!", "a rar archive"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a photo"),
    (b"glTF", "a glTF mesh"),
    (b"AutoCAD Binary DXF", "a binary DXF"),
    (b"AC10", "a DWG drawing"),
    (b"\xd0\xcf\x11\xe0", "a file of a CAD program or an office program"),
    (b"solid ", "an STL mesh"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
)
_DO: dict[str, str] = {
    "a zip archive": "Take the model out of the archive first.",
    "a gzip archive": "Unpack it first.",
    "a binary DXF": "Save it as an ASCII DXF.",
    "a DWG drawing": "Save it as a DXF.",
    "a glTF mesh": "A mesh has lost the bends: export a STEP file.",
    "an STL mesh": "A mesh has lost the bends: export a STEP file.",
}


def look(path: Path) -> FileKind:
    """Return what kind of file this is.

    Raises:
        InputError: it cannot be read, is none of these, or is not whole.
    """
    try:
        size = path.stat().st_size
        if path.is_dir():
            raise _fault(path, "a folder", _WANTED, "")
        if not path.is_file():
            raise _fault(path, "no ordinary file", _WANTED, "")
        with path.open("rb") as file:
            head = file.read(4096)
            file.seek(max(0, size - 4096))
            tail = file.read(4096)
    except FileNotFoundError:
        raise _fault(path, "no such file", _WANTED, "") from None
    except PermissionError:
        raise _fault(path, "a file that you may not read", _WANTED, "Change its permissions.") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise _fault(path, f"a file that cannot be read ({why})", _WANTED, "") from None
    if not head.strip():
        raise _fault(path, "an empty file", _WANTED, "Export it again.")
    for magic, what in _MAGIC:
        if head.startswith(magic):
            raise _fault(path, what, _WANTED, _DO.get(what, ""))
    if size > MOST_BYTES:
        found = f"a file of {size / 1e6:.0f} MB"
        raise _fault(path, found, f"{MOST_BYTES / 1e6:.0f} MB at most", "Export the bent parts alone.")
    if head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"ISO-10303-21"):
        _whole_step(path, tail)
        return "step"
    if path.suffix.lower() in (".step", ".stp", ".p21"):
        raise _fault(path, "a file that does not begin with ISO-10303-21", "a STEP file", "Export it again as STEP.")
    if path.suffix.lower() == ".dxf":
        return "dxf"
    if path.suffix.lower() in (".csv", ".txt"):
        return "csv"
    raise _fault(path, f"a file with the ending {path.suffix or 'missing'}", _WANTED, "")


def _whole_step(path: Path, tail: bytes) -> None:
    if b"END-ISO-10303-21" not in tail:
        do = "It was cut off while it was saved or copied: export or copy it again."
        raise _fault(path, "a STEP file without its end", "one that ends with END-ISO-10303-21", do)
    with path.open("rb") as file:
        data = False
        rest = b""
        while chunk := file.read(1 << 20):
            text = rest + chunk
            if not data and b"DATA;" in text:
                data = True
                text = text[text.index(b"DATA;") :]
            if data and b"#" in text:
                return
            rest = text[-16:]
    raise _fault(path, "a STEP file with a header and no data", "one with solids", "Export it again, with the parts.")


def _fault(path: Path, found: str, wanted: str, do: str) -> InputError:
    return InputError(str(path), [Fault(path.name or str(path), found, wanted, do)])
