"""The text of a STEP file without what its readers stumble over: a mark of byte order, and comments."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from pathlib import Path

__all__ = ["tidied", "tidy"]

_MARK = b"\xef\xbb\xbf"
# What is not closed goes on to the end: looked for from every place anew it would take for ever.
_COMMENT = re.compile(rb"('[^']*(?:'|\Z))|/\*.*?(?:\*/|\Z)", re.DOTALL)


def tidy(text: bytes) -> bytes:
    """Return the text without byte order mark and comments (ISO 10303-21, 5.6); what stands in quotes stays."""
    text = text.removeprefix(_MARK)
    return _COMMENT.sub(lambda found: found[1] or b" ", text) if b"/*" in text else text


def tidied(path: Path) -> Path:
    """Return a file with the text so, in memory while this process lives; the same where nothing is changed."""
    text = path.read_bytes()
    clean = tidy(text)
    if clean is not text:
        with suppress(OSError, AttributeError):  # where there are no files in memory it is read as it is
            file = os.memfd_create("tidied")
            with open(file, "wb", closefd=False) as out:
                out.write(clean)
            return Path(f"/proc/{os.getpid()}/fd/{file}")
    return path
