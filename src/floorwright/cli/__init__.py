"""The command line: parse, call one use case, print."""

from __future__ import annotations

from floorwright.cli.main import main

__all__ = ["main"]
