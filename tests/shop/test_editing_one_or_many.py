"""Before and after: a key that holds one thing comes to hold a list, and its other lines stay.

Each pair is written by hand as a person would edit the file, and not taken from what the program gave.
"""

from __future__ import annotations

import pytest
from edited_logs import Case, is_written

APPENDED = {
    "one mapping becomes a list": Case(("sold",), {"on": "2026-06-01", "price": "90"}, """\
sold:
  on: 2026-04-11   # a Saturday
  price: 80

  returned: {on: 2026-05-02, refund: 80}
# the end
""", """\
sold:
- on: 2026-04-11   # a Saturday
  price: 80

  returned: {on: 2026-05-02, refund: 80}
- on: 2026-06-01
  price: 90
# the end
"""),
    "one mapping far in becomes a list": Case(("sold",), {"on": "2026-06-01", "price": "90"}, """\
sold:
      # back in May
      on: 2026-04-11
      price: 80
""", """\
sold:
      # back in May
    - on: 2026-04-11
      price: 80
    - on: 2026-06-01
      price: 90
"""),
    "one mapping with no room for a dash becomes a list": Case(("sold",), {"on": "2026-06-01", "price": "90"}, """\
sold:
 on: 2026-04-11
 price: 80
""", """\
sold:
-
 on: 2026-04-11
 price: 80
- on: 2026-06-01
  price: 90
"""),
    "one mapping in braces becomes a list": Case(("sold",), {"on": "2026-06-01", "price": "90"}, """\
sold: {on: 2026-04-11, price: 80}  # a Saturday
""", """\
sold: [{on: 2026-04-11, price: 80}, {on: 2026-06-01, price: 90}]  # a Saturday
"""),
    "one mapping in braces over lines becomes a list": Case(("sold",), {"on": "2026-06-01", "price": "90"}, """\
sold: {on: 2026-04-11,
       price: 80}
""", """\
sold: [{on: 2026-04-11,
       price: 80}, {on: 2026-06-01, price: 90}]
"""),
    "one text becomes a list": Case(("flaws",), "b.jpg", "flaws: a.jpg # x\n", "flaws: [a.jpg, b.jpg] # x\n"),
    "one text in quotes becomes a list": Case(("flaws",), "b.jpg", "flaws: 'a, b.jpg'\n", "flaws: ['a, b.jpg', b.jpg]\n"),
    "one text with a comma becomes a list": Case(("flaws",), "A burn.", """\
flaws: A ring, and a chip.
kind: stool
""", """\
flaws:
  - A ring, and a chip.
  - A burn.
kind: stool
"""),
    "one text over lines becomes a list": Case(("flaws",), "A burn.", """\
flaws: A ring,
 and a chip.
""", """\
flaws:
- A ring,
 and a chip.
- A burn.
"""),
    "one block text becomes a list": Case(("flaws",), "A burn.", """\
flaws: >-  # seen by daylight
  A ring,
  and a chip.

kind: stool
""", """\
flaws:
- >-  # seen by daylight
  A ring,
  and a chip.
- A burn.

kind: stool
"""),
}  # fmt: skip


@pytest.mark.parametrize("case", APPENDED.values(), ids=APPENDED)
def test_one_becomes_a_list_as_a_person_would_make_it(case: Case) -> None:
    is_written(case)
