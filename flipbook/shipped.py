"""Where the templates that ship with flipbook are: beside the package in a checkout, inside it in a wheel."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def templates_folder() -> Path:
    """The folder of the shipped templates."""
    inside = _PACKAGE / "templates"
    return inside if inside.is_dir() else _PACKAGE.parent / "templates"
