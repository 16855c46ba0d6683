"""Jinja2, set up once: everything escaped, nothing undefined passed over."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from itertools import islice
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from flipbook.shipped import templates_folder

Render = Callable[..., str]

MANNER: dict[str, Any] = {
    "undefined": StrictUndefined,
    "trim_blocks": True,
    "lstrip_blocks": True,
    "keep_trailing_newline": True,
    "auto_reload": False,
}
"""How every template is read, those that ship and a shop's own."""


@cache
def environment() -> Environment:
    """The environment of every page; of functions its templates may call `body_rows`."""
    made = Environment(loader=FileSystemLoader(templates_folder()), autoescape=True, **MANNER)
    made.globals["body_rows"] = body_rows
    return made


def renderer(name: str) -> Render:
    """The function that renders the template `name` with the variables it is given."""
    return environment().get_template(name).render


def parts_of(name: str, at_once: int = 500, **variables: object) -> Iterator[str]:
    """The template `name`, rendered a part at a time; `at_once` of the template's own small parts make one."""
    small = environment().get_template(name).generate(**variables)
    while some := list(islice(small, at_once)):
        yield "".join(some)


_CELL, _NAME, _ROW = "\0", "\1", "\2"
_AFTER_CELL, _AFTER_NAME = "</td><td>", "</th><td>"


def body_rows(rows: Sequence[Sequence[str]], *, first_names_it: bool, indent: str) -> str:
    """Rows of a table's body as lines of a page, every cell escaped; with `first_names_it` a row's first cell is its heading.

    All cells are escaped as one text, with signs between them that none of them has; a template that escapes them one
    by one takes eight times as long.
    """
    if not rows:
        return ""
    filters = environment().filters
    opening = f'{indent}<tr><th scope="row">' if first_names_it else f"{indent}<tr><td>"
    closing = "</td></tr>\n"
    text = _ROW.join(_lines(rows, _CELL, _NAME if first_names_it else _CELL))
    if sum(map(text.count, (_CELL, _NAME, _ROW))) == sum(map(len, rows)) - 1:
        text = str(filters["escape"](text)).replace(_CELL, _AFTER_CELL).replace(_NAME, _AFTER_NAME)
        text = text.replace(_ROW, closing + opening)
    else:
        escaped = [[str(filters["escape"](cell)) for cell in row] for row in rows]
        text = (closing + opening).join(_lines(escaped, _AFTER_CELL, _AFTER_NAME if first_names_it else _AFTER_CELL))
    body: str = filters["safe"](f"{opening}{text}{closing}")
    return body


def _lines(rows: Sequence[Sequence[str]], between: str, after_first: str) -> Iterable[str]:
    if between == after_first:
        return map(between.join, rows)
    return (f"{row[0]}{after_first}{between.join(row[1:])}" for row in rows)


def as_it_is(text: str) -> str:
    """A text that was made for a page and is not to be escaped there."""
    safe: str = environment().filters["safe"](text)
    return safe


def shipped_file(name: str) -> bytes:
    """A stylesheet or script, as it is."""
    return (templates_folder() / name).read_bytes()
