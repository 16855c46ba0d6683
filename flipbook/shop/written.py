"""The types of the keys: each with its reader, how it is written in words, and the same as JSON Schema for an editor.

A pattern is a regular expression that ECMA-262 (with its `u` flag, as editors compile them) and Python's `re`
take in the same sense: no flags, no needless escapes, and each letter in both its cases where case is folded.
It judges how a text is written; what a number comes to is judged by the readers of `measures/`.

YAML hands a bare 40.00 over as a number, so a number is let through where its text would be.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any

from pydantic import Field, ValidationInfo

from flipbook.measures.amounts import UNIT_WORDS, Amount, read_amount, read_coverage
from flipbook.measures.dates import CLOCK, When, read_month_day, read_when
from flipbook.measures.fees import Fee, read_fee, read_percentage
from flipbook.measures.lengths import Size, read_size
from flipbook.measures.money import MOST, SIGNS, read_money
from flipbook.measures.numerals import NUMBER, read_number
from flipbook.measures.times import read_time_taken
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.fields import Read, in_currency, measure, reading_of, refusal, text_of
from flipbook.shop.nearest import choices, folded, write_instead


def any_case(word: str) -> str:
    """`word` in capitals or not, with one space or more for each of its own."""
    return "".join(f"[{c.upper()}{c}]" if c.isalpha() else " +" if c == " " else c for c in word.lower())


def one_word_of(words: Iterable[str]) -> str:
    """One of `words`, in capitals or not; a plural in s is told as the word and its s."""
    known = set(words)
    shortest = sorted(word for word in known if not (word.endswith("s") and word[:-1] in known))
    return "(?:" + "|".join(any_case(word) + ("[Ss]?" if f"{word}s" in known else "") for word in shortest) + ")"


def whole(form: str) -> str:
    """A text that is `form` and nothing else, blanks at its ends aside."""
    return rf"^\s*(?:{form})\s*$"


def _text(form: str) -> dict[str, Any]:
    return {"type": "string", "pattern": whole(form)}


def _number(form: str, least: float, most: float, kind: str = "number") -> dict[str, Any]:
    return {"type": ["string", kind], "pattern": whole(form), "minimum": least, "maximum": most}


def known_words(words: Sequence[str]) -> dict[str, Any]:
    """The schema of one of a few words: those that an editor offers, and the same in capitals."""
    return {"anyOf": [{"enum": list(words)}, _text(one_word_of(words))]}


# Null, and the `true` that YAML makes of a word, are said by what they are not: named, an editor would offer them.
NOTHING = {"not": {"type": ["string", "number", "boolean", "object", "array"]}}
"""The schema of a key that is left empty."""
_TRUTH = {"not": {"type": ["string", "number", "object", "array", "null"]}}
_A_TEXT = {
    "type": ["string", "number"],
    "errorMessage": "Write a text here; one that starts with [ or {, or holds a colon and a space, wants quotes.",
}
TEXT = {"anyOf": [_A_TEXT, _TRUTH]}
"""The schema of any text."""
_SOME_WORDS = {"pattern": r"\S", "patternErrorMessage": "Write a few words, or leave the key out."}
WORDS = {"anyOf": [{**_A_TEXT, **_SOME_WORDS}, _TRUTH]}
"""The schema of a text that is not blank."""

_EITHER = one_word_of(("yes", "no", "true", "false"))
YES_OR_NO = {"anyOf": [{"enum": ["yes", "no"]}, {"type": ["boolean", "string"], "pattern": whole(_EITHER)}]}
_FAR = _number(r"[0-9]{1,6}(?:\.[0-9]{1,4})?", 0, 999_999.9999)
PARTS = {"type": ["string", "number"], "pattern": whole(NUMBER), "exclusiveMinimum": 0}
"""The schema of a number of parts or shares."""
_CODES = tuple(SIGNS)
CALENDAR_YEAR = _number("(?:19|20)[0-9]{2}|2100", 1900, 2100, "integer")
PAYMENTS = _number("0|[1-9][0-9]{0,6}", 0, 9_999_999, "integer")
_ABOUT = rf"(?:{any_case('about')}\s+)?"
_BUILT = rf"{_ABOUT}(?:1[0-9]{{3}}|20[0-9]{{2}}|(?:1[0-9]|20)[0-9]0[Ss])|{any_case('unknown')}"
BUILT = _number(_BUILT, 1000, 2099, "integer")
_GRIT = "[Pp]?[0-9]{1,5}"
_GRITS = _number(rf"{_GRIT}\s*(?:,\s*{_GRIT}\s*)*", 0, 99_999, "integer")
GRITS = {**_GRITS, "type": ["string", "integer", "array"], "items": _GRITS}

_SIGN = "[" + "".join(dict.fromkeys("".join(SIGNS.values()))) + "]"
_SUM = (
    r"(?:(?:0|[1-9][0-9]{0,6}|[1-9][0-9]{0,2},[0-9]{3}|[1-9],[0-9]{3},[0-9]{3})(?:\.[0-9]{1,2})?"
    r"|(?:10000000|10,000,000)(?:\.00?)?)"
)
_MONEY = f"{_SIGN}?{_SUM}"
MONEY = _number(_MONEY, 0, int(MOST))
_PERCENTAGE = r"[0-9]{1,3}(?:\.[0-9]{1,6})? ?%"
_FEE = rf"{_PERCENTAGE}\s*\+\s*{_MONEY}|{_PERCENTAGE}|{_MONEY}"
_ANSWER = rf"(?:{any_case('no')}|{any_case('yes')}|{any_case('counter ')}{_MONEY})?"
ANSWER = {**_text(_ANSWER), "errorMessage": "Write no, yes or counter 350.", "examples": ["no", "yes", "counter 350"]}
"""The schema of the answer to an offer."""

_LEAP_YEAR = r"(?:19(?:0[48]|[2468][048]|[13579][26])|20(?:[02468][048]|[13579][26]))"
_MONTH_DAY = (
    r"(?:(?:0[13578]|1[02])-(?:0[1-9]|[12][0-9]|3[01])|(?:0[469]|11)-(?:0[1-9]|[12][0-9]|30)"
    r"|02-(?:0[1-9]|1[0-9]|2[0-8]))"
)
_DATE = rf"(?:(?:19[0-9]{{2}}|20[0-9]{{2}}|2100)-{_MONTH_DAY}|{_LEAP_YEAR}-02-29)"
_TIME_OF_DAY = r"(?:[01]?[0-9]|2[0-3]):[0-5][0-9]"
_MOMENT = rf"{_DATE}(?: +{_TIME_OF_DAY})?"

# The parts of a time taken go from the greatest to the least, and each stands once at most.
_OF_TIME = (("days", "day", "d"), ("hours", "hour", "hrs", "hr", "h"), ("minutes", "minute", "mins", "min"))
_NO_LETTER = "(?![A-Za-z])"
_D, _H, _M = (rf"{NUMBER} *{one_word_of(words)}{_NO_LETTER}" for words in _OF_TIME)
_TIME = rf"[0-9]{{1,4}}:[0-5][0-9]|{_D}(?: *{_H})?(?: *{_M})?|{_H}(?: *{_M})?|{_M}"

# In a step on one line the time taken goes on for as long as a part follows, and a comma may end it.
_PART = rf"{NUMBER} *{one_word_of(word for words in _OF_TIME for word in words)}{_NO_LETTER}"
_LIKE_A_TIME = rf"{_PART}(?: *{_PART}){{0,2}}"
_TOOK = (
    rf"(?:{_D} *{_H} *{_M}|(?:{_D}(?: *{_H}| *{_M})?|{_H}(?: *{_M})?|{_M})"
    rf"(?! *{_PART}(?:[\s,;]|$)))"
)
_STEP = (
    rf"^{_DATE}(?:(?! +{CLOCK}(?:\s|$))| +{_TIME_OF_DAY}(?=\s|$))"
    rf"(?:(?! +{_LIKE_A_TIME}(?:[\s,;]|$))\s+| +{_TOOK}(?=[\s,;]|$)[,;]?\s*)\S"
)
STEP = {
    "type": ["object", "string"],
    "pattern": _STEP,
    "patternErrorMessage": "Write the day, how long it took, and what was done, as 2026-02-15 40 min washed with dish soap.",
}
"""What a step on one line is."""
PLANNED = {
    "type": ["object", "string", "number"],
    "pattern": r"\S",
    "patternErrorMessage": "Write what is to be done, in a few words.",
}
"""What a planned step on one line is."""

_UNIT = one_word_of(UNIT_WORDS)
_AREA = one_word_of(word for word, unit in UNIT_WORDS.items() if unit.dimension == "area")
_OTHER_UNIT = one_word_of(word for word, unit in UNIT_WORDS.items() if unit.dimension != "area")
_AMOUNT = rf"{NUMBER} *{_UNIT}"
AMOUNT = _text(_AMOUNT)
FLOOR = {
    **_text(rf"{NUMBER} *{_AREA}"),
    "errorMessage": "Write an area, as 180 sq ft.",
    "examples": ["180 sq ft", "17 sq m"],
}
"""The schema of a floor's area."""
_COVERS = rf"{NUMBER} *{_AREA} +{any_case('per')} +(?:{NUMBER} *)?{_OTHER_UNIT}"

_LENGTH_UNIT = r"""(?:inches|inch|in\.?|feet|foot|ft\.?|yd|mm|cm|m|''|["″”'′’])"""
_FEET_AND_INCHES = rf"""{NUMBER}\s*(?:feet|foot|ft\.?|['′’])\s*-?\s*{NUMBER}\s*(?:inches|inch|in\.?|''|["″”])"""
_ONE_LENGTH = rf"{NUMBER}\s*{_LENGTH_UNIT}"
_LENGTH = rf"(?:{_FEET_AND_INCHES}|{_ONE_LENGTH})"
_LETTER = rf"[WwDdHh]{_NO_LETTER}"
_BY = r"\s*(?:[x×X]|\bby\b)\s*"
_LETTER_WITHIN = rf"{NUMBER}\s*{_LETTER}\s*{_LENGTH_UNIT}"


def _lettered(measure: str) -> str:
    return rf"(?:{_LETTER}\s*{measure}|{measure}\s*{_LETTER})"


# A unit after the last number is the unit of all three; either each side has its letter or none.
_SIZE = (
    rf"(?:{NUMBER}{_BY}){{2}}{_ONE_LENGTH}|{_LENGTH}(?:{_BY}{_LENGTH}){{2}}"
    rf"|(?:{_lettered(NUMBER)}{_BY}){{2}}(?:{_lettered(_ONE_LENGTH)}|{_LETTER_WITHIN})"
    rf"|(?:{_lettered(_LENGTH)}|{_LETTER_WITHIN})(?:{_BY}(?:{_lettered(_LENGTH)}|{_LETTER_WITHIN})){{2}}"
)

# What may stand in a word: all but blanks and signs, of which an apostrophe, a hyphen and _ belong to words.
_SIGNS = r"×÷\u2000-\u2bff"
_IN_A_WORD = rf"[^\s!-&(-,./:-@\[-\^`{{-~{_SIGNS}]"
_WORD = rf"[^\s!-@\[-`{{-~{_SIGNS}]{_IN_A_WORD}*(?!{_IN_A_WORD})"
_WHOLE_UNIT = rf"{_UNIT}(?!{_IN_A_WORD})"
_OF, _THE, _AN = any_case("of"), any_case("the"), "[Aa][Nn]?"
_NUMBER_OF = rf"{NUMBER}\s*(?:{_OF} (?:(?:{_THE}|{_AN}) |(?!(?:{_THE}|{_AN}) ))|(?!{_OF} ))\s*"
_REST = rf"(?:{_THE} )?{any_case('rest')}\b"


def _spelled(words: Iterable[str]) -> str:
    """A number written as a word, with `a`, `the` or `of a` after it or not."""
    return rf"{one_word_of(words)} +(?:(?:{_OF} )?(?:{_AN}|{_THE}) +)?"


def taken(spelled: Iterable[str]) -> dict[str, Any]:
    """How much was taken; `spelled` are the numbers that may be written as words."""
    form = rf"{_REST}|{NUMBER} *{_UNIT}|{_NUMBER_OF}{_WORD}|{_spelled(spelled)}(?:{_UNIT}|{_WORD})"
    return _text(form)


def use(spelled: Iterable[str]) -> dict[str, Any]:
    """What a use on one line is: how much was taken, and then of which product; `spelled` as for `taken`."""
    of_a_container = rf"(?!{NUMBER} *{_WHOLE_UNIT}){_NUMBER_OF}{_WORD}"
    in_words = rf"{_spelled(spelled)}(?:{_WHOLE_UNIT}|(?!{_WHOLE_UNIT}){_WORD})"
    return {
        "type": ["object", "string"],
        "pattern": rf"^\s*(?:{_REST}|{NUMBER} *{_WHOLE_UNIT}|{of_a_container}|{in_words})\s*\S",
        "patternErrorMessage": "Write an amount and a product, as 4 fl oz black milk paint, 1/4 can satin clear coat or rest black milk paint.",
    }


_MAKES = {
    **AMOUNT,
    "description": "How much the parts make, stirred together. Write a number and a unit, as 12 fl oz.",
    "examples": ["12 fl oz", "1 quart"],
}
MIX = {
    "type": "object",
    "required": ["makes"],
    "minProperties": 2,
    "properties": {"makes": _MAKES},
    "patternProperties": {rf"^(?!makes$)\s*{any_case('makes')}\s*$": AMOUNT},
    "additionalProperties": PARTS,
    "errorMessage": "Write the parts and how much they make, as {black milk paint: 3, water: 1, makes: 8 fl oz}.",
}
"""The schema of a mix: each product with its parts, and what they make."""
BY_MONTH = {
    "type": "object",
    "propertyNames": {"pattern": whole("[1-9]|1[0-2]")},
    "additionalProperties": {"anyOf": [MONEY, NOTHING]},
}
"""The schema of sums by the number of their month."""


def _no_kind(kinds: Iterable[str]) -> str:
    """Anything but one of the kinds that `for:` knows, however they are spaced."""
    spaced = one_word_of(kind.replace("-", " ") for kind in kinds).replace(" +", "(?: +|[-_])")
    return rf"^(?!\s*{spaced}\s*$)"


def _shares(kinds: Iterable[str]) -> dict[str, Any]:
    names = {"pattern": _no_kind(kinds)}
    return {"type": "object", "minProperties": 1, "propertyNames": names, "additionalProperties": PARTS}


def pieces(kinds: Sequence[str]) -> dict[str, Any]:
    """The schema of a piece's folder, or of folders with their shares; none may be named as one of `kinds`."""
    return {"anyOf": [{**_A_TEXT, "pattern": _no_kind(kinds)}, _TRUTH, _shares(kinds)]}


def purpose(offered: Sequence[str], kinds: Sequence[str]) -> dict[str, Any]:
    """The schema of what something is for: a kind, of which `offered` are shown, a folder, or folders with shares."""
    return {"anyOf": [{"enum": list(offered)}, _A_TEXT, _TRUTH, _shares(kinds)]}


def _words(node: Any, info: ValidationInfo) -> str:
    scalar = text_of(node, info)
    text = scalar.text.strip()
    if not text or scalar.is_empty:
        raise refusal(
            reading_of(info), scalar, "empty", "there is nothing here", "write a few words, or leave the key out"
        )
    return text


def _words_or_nothing(node: Any, info: ValidationInfo) -> str:
    return text_of(node, info).text.strip()


def _yes_or_no(node: Any, info: ValidationInfo) -> bool:
    scalar = text_of(node, info, "write yes or no")
    said = {"yes": True, "true": True, "no": False, "false": False}.get(scalar.text.strip().lower())
    if said is None:
        says = f"`{shown(scalar.text)}` is neither yes nor no"
        raise refusal(reading_of(info), scalar, "yes-or-no", says, "write yes or no")
    return said


def one_of(name: str, *allowed: str) -> Read:
    """How one of a few words, or of the members of an enum, is read, case and spacing folded."""

    def reader(node: Any, info: ValidationInfo) -> str:
        scalar = text_of(node, info)
        word = folded(scalar.text)
        if word not in allowed:
            raise refusal(
                reading_of(info),
                scalar,
                name,
                f"`{shown(scalar.text)}` is not a word known here",
                write_instead(word, allowed, f"write {choices(allowed)}"),
            )
        return allowed[allowed.index(word)]

    words = tuple(str(word) for word in allowed)
    return Read(reader, known_words(words), name, examples=words, words=choices(words))


def _day(text: str) -> date:
    return read_when(text).day


def _whole_number(text: str) -> int:
    if not re.fullmatch(r"[1-9][0-9]{0,6}", text.strip()):
        raise Unreadable(
            f"`{shown(text.strip())}` is not a count", "write a whole number, as `6`; parts of one go into `size`"
        )
    return int(text)


def _distance(text: str) -> Fraction:
    body = text.strip()
    if not re.fullmatch(r"[0-9]{1,6}(?:\.[0-9]{1,4})?", body):
        raise Unreadable(f"`{shown(body)}` is not a distance", "write the number alone, as `22` or `8.5`")
    return read_number(body)


def _currency(text: str) -> str:
    code = text.strip()
    if code not in SIGNS:
        raise Unreadable(
            f"`{shown(code)}` is not a currency known here",
            write_instead(code.upper(), SIGNS, f"write {choices(SIGNS, most=30)}"),
        )
    return code


def _left(text: str) -> Amount:
    return read_amount(text, zero=True)


def _web_address(text: str) -> str:
    address = text.strip()
    if address and not re.fullmatch(r"https?://[^\s<>\"'\\]+", address):
        raise Unreadable(
            f"`{shown(address)}` is not a web address", "write it in full, as `https://quillback.example/`"
        )
    return address


Money = Annotated[
    Decimal,
    in_currency(
        "money",
        read_money,
        "a sum in the shop's currency",
        "40.00",
        MONEY,
        (40, 12.5, "1,240.00"),
    ),
]
FeeText = Annotated[
    Fee,
    in_currency(
        "fee",
        read_fee,
        "a percentage, a sum, or both",
        "2.9% + 0.30",
        _number(_FEE, 0, int(MOST)),
        ("12%", 0.4, "2.9% + 0.30"),
    ),
]
Day = Annotated[
    date, measure("date", _day, "a date, the year first", "2026-02-14", _text(_MOMENT), ("2026-02-14", "2026-11-07"))
]
Moment = Annotated[
    When,
    measure(
        "date",
        read_when,
        "a date, with a time where it helps",
        "2026-02-14 15:30",
        _text(_MOMENT),
        ("2026-02-14", "2026-02-14 15:30"),
        called="moment",
    ),
]
Minutes = Annotated[
    Fraction,
    measure(
        "time-taken", read_time_taken, "a time", "1 h 15 min", _text(_TIME), ("40 min", "1 h 15 min", "1.5 h", "2 d")
    ),
]
SizeText = Annotated[
    Size,
    measure(
        "size",
        read_size,
        "width, depth, height",
        "34 x 19 x 30 1/2 in",
        _text(_SIZE),
        ("34 x 19 x 30 1/2 in", "86 W x 48 D x 77.5 H cm"),
    ),
]
AmountText = Annotated[
    Amount,
    measure(
        "amount",
        read_amount,
        "a number and a unit",
        "4 fl oz",
        AMOUNT,
        ("4 fl oz", "1 quart", "25 sheets", "2 each"),
    ),
]
Left = Annotated[
    Amount,
    measure("amount", _left, "a number and a unit", "3 fl oz", AMOUNT, ("3 fl oz", "0 sheets"), called="amount-left"),
]
Coverage = Annotated[
    tuple[Amount, Amount],
    measure(
        "coverage",
        read_coverage,
        "an area per amount",
        "75 sq ft per pint",
        _text(_COVERS),
        ("75 sq ft per pint", "9 sq m per l"),
    ),
]
Percentage = Annotated[
    Fraction, measure("percentage", read_percentage, "a percentage", "5%", _text(_PERCENTAGE), ("5%", "7.5%"))
]
Count = Annotated[
    int,
    measure("count", _whole_number, "a whole number", "6", _number("[1-9][0-9]{0,6}", 1, 9_999_999, "integer"), (2, 6)),
]
Distance = Annotated[
    Fraction, measure("distance", _distance, "a number", "22", {**_FAR, "exclusiveMinimum": 0}, (22, 8.5))
]
Currency = Annotated[
    str,
    measure(
        "currency",
        _currency,
        "a currency of ISO 4217",
        "USD",
        {"anyOf": [{"enum": list(_CODES)}, _text("|".join(_CODES))]},
        ("USD", "GBP", "EUR"),
    ),
]
MonthDay = Annotated[
    tuple[int, int],
    measure("month-and-day", read_month_day, "month and day", "01-01", _text(_MONTH_DAY), ("01-01", "04-06")),
]
WebAddress = Annotated[
    str,
    measure(
        "web-address",
        _web_address,
        "a web address",
        "https://quillback.example/",
        _text(r"""(?:https?://[^\s<>"'\\]+)?"""),
        (),
    ),
]
Words = Annotated[str, Read(_words, WORDS, "words", words="a text")]
MaybeWords = Annotated[str, Read(_words_or_nothing, TEXT, "text", words="a text")]
Private = Annotated[MaybeWords, Field(description="A note for yourself.", examples=["the left leg was mended before"])]
YesNo = Annotated[bool, Read(_yes_or_no, YES_OR_NO, "yes-or-no", examples=["yes", "no"], words="yes or no")]
