"""Before and after: an entry goes where a list is absent or empty, or the file is.

Each pair is written by hand as a person would edit the file, and not taken from what the program gave.
"""

from __future__ import annotations

import pytest
from edited_logs import LINE, PRICE, STEP, Case, is_written

APPENDED = {
    "the key is absent": Case(("log",), LINE, """\
piece: Oak stool
sold: {on: 2026-04-11, price: 80}
""", """\
piece: Oak stool
log:
  - 2026-02-16 40 min sanded the top
sold: {on: 2026-04-11, price: 80}
"""),
    "the key is absent, and blank lines part the keys": Case(("planned",), "wax the top", """\
piece: Oak stool

log:
  - 2026-02-15 washed

asking:
  - {on: 2026-03-20, price: 425}
""", """\
piece: Oak stool

log:
  - 2026-02-15 washed

planned:
  - wax the top

asking:
  - {on: 2026-03-20, price: 425}
"""),
    "the key is absent, and lists are written in from the margin": Case(("asking",), PRICE, """\
piece: Oak stool
log:
    -   2026-02-15 washed
""", """\
piece: Oak stool
log:
    -   2026-02-15 washed
asking:
    -   {on: 2026-03-31, price: 395}
"""),
    "the key is absent, and lists stand at the margin": Case(("log",), LINE, """\
piece: Oak stool
flaws:
- One leg is short.
""", """\
piece: Oak stool
flaws:
- One leg is short.
log:
- 2026-02-16 40 min sanded the top
"""),
    "the key is absent, and other lists hold mappings a line to a key": Case(("asking",), PRICE, """\
piece: Oak stool
trips:
  - on: 2026-02-14
    miles: 22
""", """\
piece: Oak stool
trips:
  - on: 2026-02-14
    miles: 22
asking:
  - on: 2026-03-31
    price: 395
"""),
    "the key is absent, and the nearest list holds mappings in braces": Case(("offers",), {"on": "2026-03-24", "price": "300", "answer": "no"}, """\
log:
  - on: 2026-02-15
    did: washed
asking:
  - {on: 2026-03-20, price: 425}
""", """\
log:
  - on: 2026-02-15
    did: washed
asking:
  - {on: 2026-03-20, price: 425}
offers:
  - {on: 2026-03-24, price: 300, answer: no}
"""),
    "the key is absent, and commented lines belong to the one above": Case(("offers",), PRICE, """\
asking:
#  - {on: 2026-02-14, price: 425}

sold:
#  on: 2026-02-14
""", """\
asking:
#  - {on: 2026-02-14, price: 425}

offers:
  - {on: 2026-03-31, price: 395}

sold:
#  on: 2026-02-14
"""),
    "the key is absent, and a comment belongs to the next one": Case(("log",), LINE, """\
piece: Oak stool
# To a neighbour:
sold: {on: 2026-04-11, price: 80}
""", """\
piece: Oak stool
log:
  - 2026-02-16 40 min sanded the top
# To a neighbour:
sold: {on: 2026-04-11, price: 80}
"""),
    "the key goes first of all": Case(("piece",), "Oak stool", """\
# A stool.
kind: stool
""", """\
# A stool.
piece:
  - Oak stool
kind: stool
"""),
    "the key is empty": Case(("log",), STEP, """\
log:
sold:
""", """\
log:
  - on: 2026-02-16
    did: sanded the top, then the sides
    took: 1 h 50 min
sold:
"""),
    "the key is empty, with commented lines below": Case(("log",), LINE, """\
log:                        # what was done, one step below the other:
#  - 2026-02-14 40 min washed with dish soap
#  - on: 2026-02-14

sold:
""", """\
log:                        # what was done, one step below the other:
  - 2026-02-16 40 min sanded the top
#  - 2026-02-14 40 min washed with dish soap
#  - on: 2026-02-14

sold:
"""),
    "the key says ~": Case(("log",), LINE, "log: ~  # nothing yet\nsold:\n", "log:  # nothing yet\n  - 2026-02-16 40 min sanded the top\nsold:\n"),
    "the key says null": Case(("log",), LINE, "log: null\n", "log:\n  - 2026-02-16 40 min sanded the top\n"),
    "the key says []": Case(("log",), LINE, "log: []\n", "log:\n  - 2026-02-16 40 min sanded the top\n"),
    "the key says {}": Case(("log",), LINE, "log: {}\n", "log:\n  - 2026-02-16 40 min sanded the top\n"),
    "the key says [] on the next line": Case(("log",), STEP, """\
log:
    []  # nothing yet
""", """\
log:
    - on: 2026-02-16  # nothing yet
      did: sanded the top, then the sides
      took: 1 h 50 min
"""),
    "brackets hold a comment alone": Case(("log",), LINE, """\
log: [
    # nothing yet
]
""", """\
log: [
    # nothing yet
    2026-02-16 40 min sanded the top
]
"""),
    "a file that is a list": Case((), PRICE, """\
# Receipts of the year.

- {on: 2026-02-20, price: 4}

# more to come
""", """\
# Receipts of the year.

- {on: 2026-02-20, price: 4}
- {on: 2026-03-31, price: 395}

# more to come
"""),
    "a file that is a list in brackets": Case((), PRICE, "[{on: 2026-02-20}]\n", "[{on: 2026-02-20}, {on: 2026-03-31, price: 395}]\n"),
    "an empty file": Case(("log",), LINE, "", "log:\n  - 2026-02-16 40 min sanded the top\n"),
    "an empty file that becomes a list": Case((), LINE, "", "- 2026-02-16 40 min sanded the top\n"),
    "a file of comments": Case(("log",), LINE, "# A log.\n", "# A log.\nlog:\n  - 2026-02-16 40 min sanded the top\n"),
    "a file of comments without a last line end": Case((), LINE, "# A log.", "# A log.\n- 2026-02-16 40 min sanded the top"),
    "a file of marks": Case((), LINE, "---\n# A log.\n...\n", "---\n# A log.\n- 2026-02-16 40 min sanded the top\n...\n"),
}  # fmt: skip


@pytest.mark.parametrize("case", APPENDED.values(), ids=APPENDED)
def test_a_list_is_begun_as_a_person_would(case: Case) -> None:
    is_written(case)
