"""The written forms as JSON Schema says them: for an editor, which knows no reader of ours.

A pattern is a regular expression that ECMA-262 (with its `u` flag, as editors compile them) and Python's `re`
take in the same sense: no flags, no needless escapes, and each letter in both its cases where case is folded.
It judges how a text is written; what a number comes to is judged by the readers of `measures/`.

YAML hands a bare 40.00 over as a number, so a number is let through where its text would be.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from flipbook.measures.amounts import UNIT_WORDS
from flipbook.measures.dates import CLOCK
from flipbook.measures.money import MOST, SIGNS
from flipbook.measures.numerals import NUMBER


@dataclass(frozen=True, kw_only=True, slots=True)
class Written:
    """A written form: what a file's schema calls it, the schema of it, and examples as YAML hands them over."""

    name: str
    schema: dict[str, Any]
    examples: tuple[Any, ...] = ()


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
COUNT = Written(name="count", schema=_number("[1-9][0-9]{0,6}", 1, 9_999_999, "integer"), examples=(2, 6))
PAYMENTS = Written(name="payments", schema=_number("0|[1-9][0-9]{0,6}", 0, 9_999_999, "integer"), examples=(3, 12))
CALENDAR_YEAR = Written(
    name="calendar-year", schema=_number("(?:19|20)[0-9]{2}|2100", 1900, 2100, "integer"), examples=(2025, 2026)
)
_FAR = _number(r"[0-9]{1,6}(?:\.[0-9]{1,4})?", 0, 999_999.9999)
DISTANCE = Written(name="distance", schema={**_FAR, "exclusiveMinimum": 0}, examples=(22, 8.5))
PARTS = {"type": ["string", "number"], "pattern": whole(NUMBER), "exclusiveMinimum": 0}
"""The schema of a number of parts or shares."""
WEB_ADDRESS = Written(name="web-address", schema=_text(r"""(?:https?://[^\s<>"'\\]+)?"""))
_CODES = tuple(SIGNS)
CURRENCY = Written(
    name="currency", schema={"anyOf": [{"enum": list(_CODES)}, _text("|".join(_CODES))]}, examples=("USD", "GBP", "EUR")
)
_ABOUT = rf"(?:{any_case('about')}\s+)?"
_BUILT = rf"{_ABOUT}(?:1[0-9]{{3}}|20[0-9]{{2}}|(?:1[0-9]|20)[0-9]0[Ss])|{any_case('unknown')}"
BUILT = Written(
    name="built",
    schema=_number(_BUILT, 1000, 2099, "integer"),
    examples=(1935, "about 1935", "1930s", "unknown"),
)
_GRIT = "[Pp]?[0-9]{1,5}"
_GRITS = _number(rf"{_GRIT}\s*(?:,\s*{_GRIT}\s*)*", 0, 99_999, "integer")
GRITS = Written(
    name="grits",
    schema={**_GRITS, "type": ["string", "integer", "array"], "items": _GRITS},
    examples=(180, "80, 120, 180", "P240"),
)

_SIGN = "[" + "".join(dict.fromkeys("".join(SIGNS.values()))) + "]"
_SUM = (
    r"(?:(?:0|[1-9][0-9]{0,6}|[1-9][0-9]{0,2},[0-9]{3}|[1-9],[0-9]{3},[0-9]{3})(?:\.[0-9]{1,2})?"
    r"|(?:10000000|10,000,000)(?:\.00?)?)"
)
_MONEY = f"{_SIGN}?{_SUM}"
MONEY = Written(name="money", schema=_number(_MONEY, 0, int(MOST)), examples=(40, 12.5, "1,240.00"))
_PERCENTAGE = r"[0-9]{1,3}(?:\.[0-9]{1,6})? ?%"
PERCENTAGE = Written(name="percentage", schema=_text(_PERCENTAGE), examples=("5%", "7.5%"))
_FEE = rf"{_PERCENTAGE}\s*\+\s*{_MONEY}|{_PERCENTAGE}|{_MONEY}"
FEE = Written(name="fee", schema=_number(_FEE, 0, int(MOST)), examples=("12%", 0.4, "2.9% + 0.30"))
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
DATE = Written(name="date", schema=_text(_MOMENT), examples=("2026-02-14", "2026-11-07"))
MOMENT = Written(name="moment", schema=_text(_MOMENT), examples=("2026-02-14", "2026-02-14 15:30"))
MONTH_DAY = Written(name="month-and-day", schema=_text(_MONTH_DAY), examples=("01-01", "04-06"))

# The parts of a time taken go from the greatest to the least, and each stands once at most.
_OF_TIME = (("days", "day", "d"), ("hours", "hour", "hrs", "hr", "h"), ("minutes", "minute", "mins", "min"))
_NO_LETTER = "(?![A-Za-z])"
_D, _H, _M = (rf"{NUMBER} *{one_word_of(words)}{_NO_LETTER}" for words in _OF_TIME)
_TIME = rf"[0-9]{{1,4}}:[0-5][0-9]|{_D}(?: *{_H})?(?: *{_M})?|{_H}(?: *{_M})?|{_M}"
TIME = Written(name="time-taken", schema=_text(_TIME), examples=("40 min", "1 h 15 min", "1.5 h", "2 d"))

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
AMOUNT = Written(name="amount", schema=_text(_AMOUNT), examples=("4 fl oz", "1 quart", "25 sheets", "2 each"))
AMOUNT_LEFT = Written(name="amount-left", schema=_text(_AMOUNT), examples=("3 fl oz", "0 sheets"))
FLOOR = {
    **_text(rf"{NUMBER} *{_AREA}"),
    "errorMessage": "Write an area, as 180 sq ft.",
    "examples": ["180 sq ft", "17 sq m"],
}
"""The schema of a floor's area."""
_COVERS = rf"{NUMBER} *{_AREA} +{any_case('per')} +(?:{NUMBER} *)?{_OTHER_UNIT}"
COVERAGE = Written(name="coverage", schema=_text(_COVERS), examples=("75 sq ft per pint", "9 sq m per l"))

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
SIZE = Written(name="size", schema=_text(_SIZE), examples=("34 x 19 x 30 1/2 in", "86 W x 48 D x 77.5 H cm"))

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


def taken(spelled: Iterable[str]) -> Written:
    """How much was taken; `spelled` are the numbers that may be written as words."""
    form = rf"{_REST}|{NUMBER} *{_UNIT}|{_NUMBER_OF}{_WORD}|{_spelled(spelled)}(?:{_UNIT}|{_WORD})"
    return Written(name="taken", schema=_text(form), examples=("4 fl oz", "1/4 can", "2 each", "rest"))


def use(spelled: Iterable[str]) -> dict[str, Any]:
    """What a use on one line is: how much was taken, and then of which product; `spelled` as for `taken`."""
    of_a_container = rf"(?!{NUMBER} *{_WHOLE_UNIT}){_NUMBER_OF}{_WORD}"
    in_words = rf"{_spelled(spelled)}(?:{_WHOLE_UNIT}|(?!{_WHOLE_UNIT}){_WORD})"
    return {
        "type": ["object", "string"],
        "pattern": rf"^\s*(?:{_REST}|{NUMBER} *{_WHOLE_UNIT}|{of_a_container}|{in_words})\s*\S",
        "patternErrorMessage": "Write an amount and a product, as 4 fl oz fog grey paint, 1/4 can satin clear coat or rest fog grey paint.",
    }


_MAKES = {
    **AMOUNT.schema,
    "description": "How much the parts make, stirred together. Write a number and a unit, as 12 fl oz.",
    "examples": ["12 fl oz", "1 quart"],
}
MIX = {
    "type": "object",
    "required": ["makes"],
    "minProperties": 2,
    "properties": {"makes": _MAKES},
    "patternProperties": {rf"^(?!makes$)\s*{any_case('makes')}\s*$": AMOUNT.schema},
    "additionalProperties": PARTS,
    "errorMessage": "Write the parts and how much they make, as {fog grey paint: 1, water: 2, makes: 12 fl oz}.",
}
"""The schema of a mix: each product with its parts, and what they make."""
BY_MONTH = {
    "type": "object",
    "propertyNames": {"pattern": whole("[1-9]|1[0-2]")},
    "additionalProperties": {"anyOf": [MONEY.schema, NOTHING]},
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
