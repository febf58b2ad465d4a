"""The hook by which every package of Bentwork carries the page."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

sys.path.insert(0, str(Path(__file__).resolve().parent))  # hatchling loads this file by its path
from build_page import NODE, build, is_fresh

__all__ = ["PageHook"]


class PageHook(BuildHookInterface[Any]):
    """Builds the page whenever Bentwork is installed or packed and the page is not of its sources."""

    PLUGIN_NAME = "custom"

    def dependencies(self) -> list[str]:
        """Return what building the page takes; nothing where it is built already."""
        return [] if is_fresh() else [NODE]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the page if need be."""
        if not is_fresh():
            build()
