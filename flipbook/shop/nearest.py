"""The nearest known name to one that is not known."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches


def folded(name: str) -> str:
    """A name with case and spacing folded: `Black  Milk paint` and `black milk paint` are one."""
    return " ".join(unicodedata.normalize("NFC", name).casefold().split())


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name most like `name`, or None when nothing is like it."""
    by_fold = {folded(k): k for k in known}
    close = get_close_matches(folded(name)[:80], by_fold, n=1, cutoff=0.6)
    return by_fold[close[0]] if close else None


def write_instead(name: str, known: Iterable[str], otherwise: str) -> str:
    """Advice: the nearest known name, or when nothing is near `otherwise`."""
    near = nearest(name, known)
    return f"write `{near}`" if near is not None else otherwise


def choices(known: Iterable[str], *, most: int = 12) -> str:
    """Known names as a sentence lists them."""
    names = [f"`{k}`" for k in known]
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return f"{', '.join(names[:-1])} or {names[-1]}" if len(names) > 1 else "".join(names)
