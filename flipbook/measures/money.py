"""Money: exact cents in the shop's currency, read from text and written as text."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache

from flipbook.measures.unreadable import Unreadable, shown

MOST = Decimal(10_000_000)

# The signs and codes of ISO 4217 for currencies of two decimals that a shop is likely to keep.
SIGNS = {
    "USD": "$", "CAD": "$", "AUD": "$", "NZD": "$", "HKD": "$", "SGD": "$", "MXN": "$",
    "GBP": "£", "EUR": "€", "CHF": "", "SEK": "", "NOK": "", "DKK": "", "PLN": "", "CZK": "",
    "ZAR": "", "INR": "₹", "ILS": "₪", "BRL": "", "TRY": "₺", "RON": "",
}  # fmt: skip
_EVERY_SIGN = "$£€₹₪₺¥"

_PLAIN = re.compile(r"(?:0|[1-9][0-9]{0,8}|[1-9][0-9]{0,2}(?:,[0-9]{3})+)(?:\.[0-9]{1,2})?")
_CENTS = Decimal("0.01")


@lru_cache(maxsize=4096)
def read_money(text: str, currency: str | None = "USD") -> Decimal:
    """The sum that `text` states, to the cent: `40`, `40.5`, `$40.00`, `1,240.00`.

    `currency` is an ISO 4217 code, or None when the shop's is not known and any sign will do.
    Raises Unreadable for anything that is not exactly one sum of that currency.
    """
    body = text.strip()
    if body and body[0] in _EVERY_SIGN:
        own = SIGNS.get(currency, "") if currency else body[0]
        if body[0] != own:
            raise Unreadable(
                f"`{body[0]}` is not the sign of the shop's currency, {currency}",
                f"write the sum in {currency}, without a sign",
                (0, 1),
            )
        body = body[1:]
    if not _PLAIN.fullmatch(body):
        raise _refusal(body, currency)
    value = Decimal(body.replace(",", ""))
    if value > MOST:
        raise Unreadable("that is over 10,000,000", "check the figure; no sum here may be greater")
    return value.quantize(_CENTS)


def _refusal(body: str, currency: str | None) -> Unreadable:
    plain = body.replace(" ", "")
    if not plain:
        return Unreadable("there is no sum here", "write one, as `40` or `40.00`")
    if plain[0] in "-−(":
        return Unreadable("a sum is not negative here", "write it without a minus; money back has a key of its own")
    if re.fullmatch(r"(?:[0-9]+|[0-9]{1,3}(?:[.,][0-9]{3})*),[0-9]{1,2}", plain):
        whole, _, cents = plain.rpartition(",")
        return Unreadable("the comma stands where the point goes", f"write `{re.sub('[.,]', '', whole)}.{cents}`")
    if re.fullmatch(r"[0-9,]+\.[0-9]{3,}", plain):
        return Unreadable("a sum has two decimals at most", "write it to the cent, as `12.35`")
    if re.fullmatch(r"0[0-9]+(?:\.[0-9]*)?", plain):
        return Unreadable("a sum does not start with a zero", f"write `{plain.lstrip('0') or '0'}`")
    if re.fullmatch(r"\.[0-9]{1,2}", plain):
        return Unreadable("a sum does not start with the point", f"write `0{plain}`")
    if re.fullmatch(r"[0-9]+\.", plain):
        return Unreadable("nothing follows the point", f"write `{plain[:-1]}`")
    if re.fullmatch(r"[0-9]{10,}(?:\.[0-9]+)?", plain):
        return Unreadable("that is over 10,000,000", "check the figure; no sum here may be greater")
    if re.fullmatch(r"[0-9]+(?:[,_][0-9]+)+(?:\.[0-9]{1,2})?", plain):
        value = Decimal(re.sub("[,_]", "", plain))
        return Unreadable("the thousands are not marked as in `1,240.00`", f"write `{value}` or `{value:,}`")
    if re.fullmatch(r"[0-9.]+[eE][+-]?[0-9]+", plain):
        return Unreadable("a sum has no exponent", "write all its digits, as `1200.00`")
    if plain.lower().strip("+.") in ("nan", "inf", "infinity"):
        return Unreadable(f"`{plain}` is no sum", "write digits, as `40.00`")
    if re.search(r"[^\x00-\x7f]", plain) and any(c.isdigit() and not c.isascii() for c in plain):
        return Unreadable("a sum is written with the digits 0 to 9", "write it as `40.00`")
    among_words = re.fullmatch(r"[A-Za-z$£€₹₪₺¥ ]*?([0-9]+(?:\.[0-9]{1,2})?)[A-Za-z$£€₹₪₺¥ /]*", body)
    codes = set(re.findall("[A-Z]{3}", body)) - {currency}
    write = "write it as `40`, `40.50` or `1,240.00`"
    if codes and currency:
        write = f"write the sum in {currency}, as `40.50`"
    elif among_words:
        write = f"write `{among_words[1]}`"
    return Unreadable(f"`{shown(body)}` is not a sum of money", write)


def write_money(value: Decimal) -> str:
    """`value` with two decimals, no sign and no thousands mark; less than nothing has a minus."""
    return f"{value + 0:.2f}"  # adding nothing takes the minus off a nothing


def show_money(value: Decimal, currency: str) -> str:
    """`value` for a reader: the sign before it, thousands marked, a true minus when negative."""
    sign = SIGNS.get(currency, "")
    body = f"{abs(value):,.2f}"
    with_sign = f"{sign}{body}" if sign else f"{body} {currency}"
    return f"−{with_sign}" if value < 0 else with_sign
