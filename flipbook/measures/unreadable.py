"""The one way a measure refuses a text."""

from __future__ import annotations


class Unreadable(ValueError):
    """A text that cannot be read exactly.

    `says` states the fault as a sentence without a full stop, `write` says what to write instead, and
    `span` is the half-open range of characters at fault, the whole text when None.
    """

    def __init__(self, says: str, write: str, span: tuple[int, int] | None = None) -> None:
        super().__init__(f"{says}: {write}")
        self.says = says
        self.write = write
        self.span = span


def shown(text: str, most: int = 40) -> str:
    """`text` short enough to stand in a sentence."""
    return text if len(text) <= most else text[: most - 1] + "…"
