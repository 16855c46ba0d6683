"""Jinja2, set up once: everything escaped, nothing undefined passed over."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from flipbook.shipped import templates_folder

Render = Callable[..., str]


@cache
def environment() -> Environment:
    """The environment of every page."""
    return Environment(
        loader=FileSystemLoader(templates_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )


def renderer(name: str) -> Render:
    """The function that renders the template `name` with the variables it is given."""
    return environment().get_template(name).render


def parts_of(name: str, **variables: object) -> Iterator[str]:
    """The template `name`, rendered a part at a time."""
    stream = environment().get_template(name).stream(**variables)
    stream.enable_buffering(500)
    return stream


def shipped_file(name: str) -> bytes:
    """A stylesheet or script, as it is."""
    return (templates_folder() / name).read_bytes()
