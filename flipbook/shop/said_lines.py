"""A line of a receipt as it is said in one breath: `black milk paint; 1 pint can; 21.80; for shelf`."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from flipbook.measures.amounts import leading_amount, read_amount
from flipbook.measures.money import read_money
from flipbook.measures.unreadable import Unreadable, shown

FORM = "write it as `black milk paint; 1 pint can; 21.80; for shelf` or `flat fibre rush; 3 x 11.25`"

_MANY = re.compile(r"([1-9][0-9]{0,6}) *(?:x|×|@|at\b) *(.+)", re.IGNORECASE)
_FOR = re.compile(r"for:? +(.+)", re.IGNORECASE)
_CONTAINER = re.compile(r"[^\W\d_][\w'-]*")


@dataclass(frozen=True, kw_only=True, slots=True)
class SaidLine:
    """What one line bought, as the keys of a receipt's line have it; `purpose` is what was said after `for`."""

    what: str
    size: str | None = None
    container: str | None = None
    count: int | None = None
    each: Decimal | None = None
    cost: Decimal | None = None
    purpose: str | None = None

    @property
    def price(self) -> Decimal:
        """What the line cost before tax, shipping and discount."""
        if self.cost is not None:
            return self.cost
        return self.each * self.count if self.each is not None and self.count is not None else Decimal(0)


def read_said_line(text: str, currency: str | None) -> SaidLine:
    """The line that `text` says: what it was first, then its size, what it cost, and what for, in any order.

    The parts are divided by `;`, or by `,` where there is no `;`. A size is an amount, with the word for its container
    behind it where it has one; `3 x 11.25` is a count at a price each, `2 x 1 pint` a count of a size. Raises Unreadable.
    """
    what, *parts = (" ".join(part.split()) for part in _parted(text))
    if not what:
        raise Unreadable("the line does not say what was bought", FORM)
    line = SaidLine(what=what)
    for part in filter(None, parts):
        said = _part(part, currency)
        twice = next((key for key in said if getattr(line, key) is not None), None)
        if twice is not None:
            raise Unreadable(f"`{shown(part)}` says the {twice} for the second time", FORM)
        line = replace(line, **said)
    if line.cost is None and line.each is None:
        raise Unreadable(f"`{shown(what)}` does not say what it cost", FORM)
    return line


def read_count(text: str) -> int:
    """A number of things bought. Raises Unreadable."""
    if not re.fullmatch("[1-9][0-9]{0,6}", text.strip()):
        raise Unreadable(f"`{shown(text.strip())}` is not a count", "write a whole number, as `6`")
    return int(text)


def _parted(text: str) -> list[str]:
    # A comma with a digit right behind it marks thousands.
    return text.split(";") if ";" in text else re.split(",(?![0-9])", text)


def _part(part: str, currency: str | None) -> dict[str, Any]:
    purpose = _FOR.fullmatch(part)
    if purpose is not None:
        return {"purpose": purpose[1]}
    of_many = _MANY.fullmatch(part)
    if of_many is not None:
        count, rest = int(of_many[1]), of_many[2]
        sized = read_said_size(rest)
        return {"count": count, **sized} if sized else {"count": count, "each": read_money(rest, currency)}
    sized = read_said_size(part)
    if sized:
        return sized
    try:
        return {"cost": read_money(part, currency)}
    except Unreadable as fault:
        if re.match(r"[$£€₹₪₺¥]?[-−]?[0-9.]", part):
            raise
        raise Unreadable(f"`{shown(part)}` is no size, no sum and no `for …`", FORM) from fault


def read_said_size(text: str) -> dict[str, Any]:
    """A size, and the word for its container where one stands behind it: `1 pint can`; nothing when it is no size.

    Raises Unreadable for a size of nothing.
    """
    found = leading_amount(text)
    if found is None:
        return {}
    container = found[1]
    size = text.removesuffix(container).strip()
    if container and not _CONTAINER.fullmatch(container):
        return {}
    read_amount(size)
    return {"size": size, "container": container} if container else {"size": size}
