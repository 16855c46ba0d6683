"""Where an entry goes, and in whose manner it is written; all else stays as it stood.

Each edit is written by hand as a person would make it, and not taken from what the program gave.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from edited_logs import FILE, KEYS, LINE, PRICE, STEP, Case, drawn

from flipbook.shop.composing import Block, Node, Scalar
from flipbook.shop.editing import appended

# Into a list that has entries.
IN_A_LIST = {
    "a list at the margin": drawn(("log",), LINE, """\
 log:
 - 2026-02-15 washed
 - on: 2026-02-15
   did: dried
+- 2026-02-16 40 min sanded the top
 sold:
"""),
    "a list far in, with wide dashes": drawn(("log",), STEP, """\
 log:
         -    on: 2026-02-15
              did: washed
+        -    on: 2026-02-16
+             did: sanded the top, then the sides
+             took: 1 h 50 min
"""),
    "mappings in braces": drawn(("asking",), PRICE, """\
 asking:
   - {on: 2026-03-20, price: 425}
+  - {on: 2026-03-31, price: 395}
"""),
    "mappings in spaced braces": drawn(("asking",), PRICE, """\
 asking:
   - { on: 2026-03-20,  price: 425 }
+  - { on: 2026-03-31,  price: 395 }
"""),
    "the last mapping is in braces and the first is not": drawn(("asking",), PRICE, """\
 asking:
   - on: 2026-03-20
     price: 425
   - {on: 2026-03-25, price: 410}
+  - {on: 2026-03-31, price: 395}
"""),
    "the last mapping is not in braces and the first is": drawn(("asking",), PRICE, """\
 asking:
   - {on: 2026-03-20, price: 425}
   - on: 2026-03-25
     price: 410
+  - on: 2026-03-31
+    price: 395
"""),
    "the last entry is a line, and a mapping before it in braces": drawn(("log",), {"on": "2026-02-16", "did": "sanded"}, """\
 log:
   - {on: 2026-02-14, did: washed}
   - 2026-02-15 dried
+  - {on: 2026-02-16, did: sanded}
"""),
    "too long for braces": drawn(("log",), {"on": "2026-02-16", "did": "sanded the top and then all of the sides with the grain until no scratch was left"}, """\
 log:
   - {on: 2026-02-15, did: washed}
+  - on: 2026-02-16
+    did: sanded the top and then all of the sides with the grain until no scratch was left
"""),
    "a list in brackets": Case(("flaws",), "A burn", "flaws: [One leg is short, A ring]\n", "flaws: [One leg is short, A ring, A burn]\n"),
    "a list in brackets with its own spacing": Case(("flaws",), "A burn", "flaws: [ One leg,A ring ]  # so far\n", "flaws: [ One leg,A ring,A burn ]  # so far\n"),
    "a list in brackets with a comma at the end": Case(("flaws",), "A burn", "flaws: [One leg, A ring, ]\n", "flaws: [One leg, A ring, A burn, ]\n"),
    "a list in brackets over several lines": drawn(("flaws",), "A burn", """\
 flaws: [
     One leg is short,
-    A ring
+    A ring,
+    A burn
   ]
"""),
    "a list in brackets over several lines, with a comma at the end": drawn(("flaws",), "A burn", """\
 flaws: [
     One leg is short,   # the left
     A ring,             # from a cup
+    A burn,
 ]
"""),
    "a list in brackets with a comment after the last entry": drawn(("flaws",), "A burn", """\
 flaws: [
-    A ring   # from a cup
+    A ring,   # from a cup
+    A burn
     # more to come
 ]
"""),
    "a list in brackets with its commas in front": drawn(("flaws",), "A burn", """\
 flaws: [ One leg is short
        , A ring
+       , A burn
        ]
"""),
    "a text with a comma in brackets": Case(("flaws",), "A ring, a burn", "flaws: [One leg]\n", 'flaws: [One leg, "A ring, a burn"]\n'),
    "a file in braces": Case(("log",), LINE, "{piece: Oak stool, log: []}\n", "{piece: Oak stool, log: [2026-02-16 40 min sanded the top]}\n"),
    "a file in braces without the key": Case(("log",), LINE, "{piece: Oak stool, sold: {on: x}}\n", "{piece: Oak stool, log: [2026-02-16 40 min sanded the top], sold: {on: x}}\n"),
    "a file in braces where the key says nothing": Case(("log",), "a", "{piece: Oak stool, log: , sold: }\n", "{piece: Oak stool, log: [a], sold: }\n"),
    "a file with every key and text in double quotes": drawn(("log",), {"on": "2026-02-16", "did": "dried"}, """\
 {"piece": "Oak stool",
- "log": [{"on": "2026-02-15", "did": "washed"}]}
+ "log": [{"on": "2026-02-15", "did": "washed"}, {"on": "2026-02-16", "did": "dried"}]}
"""),
    "a comment and blank lines after the last entry": drawn(("log",), LINE, """\
 log:
   - 2026-02-15 washed   # by hand
+  - 2026-02-16 40 min sanded the top

   # - dry it next

   # and wax it

 sold:
"""),
    "marks of the document": Case(("log",), LINE, "---\nlog:\n  - a\n...\n# after\n", "---\nlog:\n  - a\n  - 2026-02-16 40 min sanded the top\n...\n# after\n"),
    "the last entry is a block text": drawn(("log",), LINE, """\
 log:
   - on: 2026-02-15
     did: |
       washed

       and dried
+  - 2026-02-16 40 min sanded the top


 sold:
"""),
    "the last entry is a block text that keeps its blank lines": drawn(("log",), LINE, """\
 log:
   - |+
     washed


+  - 2026-02-16 40 min sanded the top
 sold:
"""),
    "the last entry is a folded text": Case(("log",), LINE, "log:\n- >-\n  washed\n  twice\n\n", "log:\n- >-\n  washed\n  twice\n- 2026-02-16 40 min sanded the top\n\n"),
    "the last entry is a block text without a line end": Case(("log",), LINE, "log:\n- |\n  washed", "log:\n- |-\n  washed\n- 2026-02-16 40 min sanded the top"),
    "the last entry is a bare text over lines": Case(("log",), LINE, "log:\n  - 2026-02-15 washed\n\n    and dried\n", "log:\n  - 2026-02-15 washed\n\n    and dried\n  - 2026-02-16 40 min sanded the top\n"),
    "the last entry is a quoted text over lines": Case(("log",), LINE, "log:\n  - '2026-02-15 washed\n    # and dried'  # x\n", "log:\n  - '2026-02-15 washed\n    # and dried'  # x\n  - 2026-02-16 40 min sanded the top\n"),
    "the last entry is a list": Case(("log",), "c", "log:\n- - a\n  - b\n", "log:\n- - a\n  - b\n- c\n"),
    "the last entry says nothing": Case(("log",), "c", "log:\n-\n- # later\n", "log:\n-\n- # later\n- c\n"),
    "a text of several lines": drawn(("log",), {"on": "2026-02-16", "did": "sanded:\n- the top\n\n- the sides"}, """\
 log:
   - {on: 2026-02-15, did: washed}
+  - on: 2026-02-16
+    did: |-
+      sanded:
+      - the top
+
+      - the sides
 sold:
"""),
    "a text of several lines as an entry": Case(("flaws",), "A ring.\nA burn.\n", "flaws:\n- One\n", "flaws:\n- One\n- |\n  A ring.\n  A burn.\n"),
    "a text of several lines in brackets": Case(("flaws",), "A ring.\nA burn.", "flaws: [One]\n", 'flaws: [One, "A ring.\\nA burn."]\n'),
    "a text of several lines and no last line end": Case(("flaws",), "A ring.\n", "flaws:\n- One", 'flaws:\n- One\n- "A ring.\\n"'),
    "a long list within an entry": drawn(("log",), {"on": "2026-02-16", "used": ["1/4 can satin clear coat", {"what": "lint-free rag", "amount": "2 each"}], "photos": [f"photos/during-sanding-{n}.jpg" for n in range(4)]}, """\
 log:
     - on: 2026-02-15
       did: washed
+    - on: 2026-02-16
+      used: [1/4 can satin clear coat, {what: lint-free rag, amount: 2 each}]
+      photos:
+          - photos/during-sanding-0.jpg
+          - photos/during-sanding-1.jpg
+          - photos/during-sanding-2.jpg
+          - photos/during-sanding-3.jpg
"""),
    "a key in quotes": Case(("log",), "b", '"log":\n- a\n', '"log":\n- a\n- b\n'),
    "a key spelled with hyphens": Case(("found", "price steps"), "b", "found:\n  price-steps: [a]\n", "found:\n  price-steps: [a, b]\n"),
    "a place within an entry": drawn(("sold", 0, "payments"), {"on": "2026-04-11", "amount": "5"}, """\
 sold:
   - on: 2026-04-11
-    payments: [{on: 2026-04-01, amount: 80.00}]
+    payments: [{on: 2026-04-01, amount: 80.00}, {on: 2026-04-11, amount: 5}]
   - on: 2026-06-01
"""),
    "tabs after values": Case(("log",), "b", "log:\t# done\n  - a\t\n  - {on: x}\t# y\nsold:\tno\n", "log:\t# done\n  - a\t\n  - {on: x}\t# y\n  - b\nsold:\tno\n"),
}  # fmt: skip
# A list is absent or empty, or the file is.
BEGUN = {
    "the key is absent": drawn(("log",), LINE, """\
 piece: Oak stool
+log:
+  - 2026-02-16 40 min sanded the top
 sold: {on: 2026-04-11, price: 80}
"""),
    "the key is absent, and blank lines part the keys": drawn(("planned",), "wax the top", """\
 piece: Oak stool

 log:
   - 2026-02-15 washed

+planned:
+  - wax the top
+
 asking:
   - {on: 2026-03-20, price: 425}
"""),
    "the key is absent, and lists are written in from the margin": drawn(("asking",), PRICE, """\
 piece: Oak stool
 log:
     -   2026-02-15 washed
+asking:
+    -   {on: 2026-03-31, price: 395}
"""),
    "the key is absent, and lists stand at the margin": drawn(("log",), LINE, """\
 piece: Oak stool
 flaws:
 - One leg is short.
+log:
+- 2026-02-16 40 min sanded the top
"""),
    "the key is absent, and other lists hold mappings a line to a key": drawn(("asking",), PRICE, """\
 piece: Oak stool
 trips:
   - on: 2026-02-14
     miles: 22
+asking:
+  - on: 2026-03-31
+    price: 395
"""),
    "the key is absent, and the nearest list holds mappings in braces": drawn(("offers",), {"on": "2026-03-24", "price": "300", "answer": "no"}, """\
 log:
   - on: 2026-02-15
     did: washed
 asking:
   - {on: 2026-03-20, price: 425}
+offers:
+  - {on: 2026-03-24, price: 300, answer: no}
"""),
    "the key is absent, and commented lines belong to the one above": drawn(("offers",), PRICE, """\
 asking:
 #  - {on: 2026-02-14, price: 425}

+offers:
+  - {on: 2026-03-31, price: 395}
+
 sold:
 #  on: 2026-02-14
"""),
    "the key is absent, and a comment belongs to the next one": drawn(("log",), LINE, """\
 piece: Oak stool
+log:
+  - 2026-02-16 40 min sanded the top
 # To a neighbour:
 sold: {on: 2026-04-11, price: 80}
"""),
    "the key goes first of all": drawn(("piece",), "Oak stool", """\
 # A stool.
+piece:
+  - Oak stool
 kind: stool
"""),
    "the key is empty": drawn(("log",), STEP, """\
 log:
+  - on: 2026-02-16
+    did: sanded the top, then the sides
+    took: 1 h 50 min
 sold:
"""),
    "the key is empty, with commented lines below": drawn(("log",), LINE, """\
 log:                        # what was done, one step below the other:
+  - 2026-02-16 40 min sanded the top
 #  - 2026-02-14 40 min washed with dish soap
 #  - on: 2026-02-14

 sold:
"""),
    "the key says ~": Case(("log",), LINE, "log: ~  # nothing yet\nsold:\n", "log:  # nothing yet\n  - 2026-02-16 40 min sanded the top\nsold:\n"),
    "the key says []": Case(("log",), LINE, "log: []\n", "log:\n  - 2026-02-16 40 min sanded the top\n"),
    "the key says [] on the next line": drawn(("log",), STEP, """\
 log:
-    []  # nothing yet
+    - on: 2026-02-16  # nothing yet
+      did: sanded the top, then the sides
+      took: 1 h 50 min
"""),
    "brackets hold a comment alone": drawn(("log",), LINE, """\
 log: [
     # nothing yet
+    2026-02-16 40 min sanded the top
 ]
"""),
    "a file that is a list": drawn((), PRICE, """\
 # Receipts of the year.

 - {on: 2026-02-20, price: 4}
+- {on: 2026-03-31, price: 395}

 # more to come
"""),
    "a file that is a list in brackets": Case((), PRICE, "[{on: 2026-02-20}]\n", "[{on: 2026-02-20}, {on: 2026-03-31, price: 395}]\n"),
    "an empty file": Case(("log",), LINE, "", "log:\n  - 2026-02-16 40 min sanded the top\n"),
    "an empty file that becomes a list": Case((), LINE, "", "- 2026-02-16 40 min sanded the top\n"),
    "a file of comments": Case(("log",), LINE, "# A log.\n", "# A log.\nlog:\n  - 2026-02-16 40 min sanded the top\n"),
    "a file of comments without a last line end": Case((), LINE, "# A log.", "# A log.\n- 2026-02-16 40 min sanded the top"),
    "a file of marks": Case((), LINE, "---\n# A log.\n...\n", "---\n# A log.\n- 2026-02-16 40 min sanded the top\n...\n"),
}  # fmt: skip
# One thing that a key holds comes to be the first of a list.
ONE_MADE_MANY = {
    "one mapping becomes a list": drawn(("sold",), {"on": "2026-06-01", "price": "90"}, """\
 sold:
-  on: 2026-04-11   # a Saturday
+- on: 2026-04-11   # a Saturday
   price: 80

   returned: {on: 2026-05-02, refund: 80}
+- on: 2026-06-01
+  price: 90
 # the end
"""),
    "one mapping far in becomes a list": drawn(("sold",), {"on": "2026-06-01", "price": "90"}, """\
 sold:
       # back in May
-      on: 2026-04-11
+    - on: 2026-04-11
       price: 80
+    - on: 2026-06-01
+      price: 90
"""),
    "one mapping with no room for a dash becomes a list": drawn(("sold",), {"on": "2026-06-01", "price": "90"}, """\
 sold:
+-
  on: 2026-04-11
  price: 80
+- on: 2026-06-01
+  price: 90
"""),
    "one mapping in braces becomes a list": drawn(("sold",), {"on": "2026-06-01", "price": "90"}, """\
-sold: {on: 2026-04-11, price: 80}  # a Saturday
+sold: [{on: 2026-04-11, price: 80}, {on: 2026-06-01, price: 90}]  # a Saturday
"""),
    "one mapping in braces over lines becomes a list": drawn(("sold",), {"on": "2026-06-01", "price": "90"}, """\
-sold: {on: 2026-04-11,
-       price: 80}
+sold: [{on: 2026-04-11,
+       price: 80}, {on: 2026-06-01, price: 90}]
"""),
    "one text becomes a list": Case(("flaws",), "b.jpg", "flaws: a.jpg # x\n", "flaws: [a.jpg, b.jpg] # x\n"),
    "one text in quotes becomes a list": Case(("flaws",), "b.jpg", "flaws: 'a, b.jpg'\n", "flaws: ['a, b.jpg', b.jpg]\n"),
    "one text with a comma becomes a list": drawn(("flaws",), "A burn.", """\
-flaws: A ring, and a chip.
+flaws:
+  - A ring, and a chip.
+  - A burn.
 kind: stool
"""),
    "one text over lines becomes a list": drawn(("flaws",), "A burn.", """\
-flaws: A ring,
+flaws:
+- A ring,
  and a chip.
+- A burn.
"""),
    "one block text becomes a list": drawn(("flaws",), "A burn.", """\
-flaws: >-  # seen by daylight
+flaws:
+- >-  # seen by daylight
   A ring,
   and a chip.
+- A burn.

 kind: stool
"""),
}  # fmt: skip
EDITS = IN_A_LIST | BEGUN | ONE_MADE_MANY


@pytest.mark.parametrize("case", EDITS.values(), ids=EDITS)
@pytest.mark.parametrize("eol", ["\n", "\r\n", "\r"], ids=ascii)
def test_an_entry_is_written_as_a_person_would(case: Case, eol: str) -> None:
    """So it is with any line ends, and below a byte-order mark."""
    mark = "" if eol == "\n" else "\ufeff"
    before = mark + case.before.replace("\n", eol)
    after = mark + case.after.replace("\n", eol if eol in before else "\n")
    assert appended(FILE, before.encode(), case.path, case.entry, keys=KEYS).decode() == after


ENDINGS = [
    ("- a\r\n- b\n- c\r\n", "- a\r\n- b\n- c\r\n- d\r\n"),
    ("- a\r\n- b\n- c", "- a\r\n- b\n- c\n- d"),
    ("- a\n- b\r- c\r", "- a\n- b\r- c\r- d\r"),
    ("- a\r\n\r\n- c\n# x\r\n", "- a\r\n\r\n- c\n- d\n# x\r\n"),
    ("- a # x\x85- c\x85", "- a # x\x85- c\x85- d\n"),
    ("# x\u2028- a\u2029- c\r\n", "# x\u2028- a\u2029- c\r\n- d\r\n"),
    ("\ufeff- a\n", "\ufeff- a\n- d\n"),
    ("\ufeff\ufeff- a\n", "\ufeff\ufeff- a\n- d\n"),
]


@pytest.mark.parametrize(("before", "after"), ENDINGS, ids=[ascii(before) for before, _ in ENDINGS])
def test_a_new_line_ends_as_its_neighbour_does(before: str, after: str) -> None:
    assert appended(FILE, before.encode(), (), "d").decode() == after


def is_later(day: str) -> Callable[[Node], bool]:
    """Whether an entry of a log is of a later day: one for `before`."""

    def later(node: Node) -> bool:
        text = node.text if isinstance(node, Scalar) else ""
        if isinstance(node, Block):
            text = next((v.text for k, v in node.pairs if k.text == "on" and isinstance(v, Scalar)), "")
        return text[:10] > day

    return later


BEFORE = {
    "between": ("log:\n  - 2026-02-15 a\n\n  # on Sunday\n  - 2026-02-22 b\n", "log:\n  - 2026-02-15 a\n  - 2026-02-16 c\n\n  # on Sunday\n  - 2026-02-22 b\n"),
    "first": ("log:\n  # on Sunday\n  - {on: 2026-02-22}\n  - 2026-02-23 b\n", "log:\n  # on Sunday\n  - 2026-02-16 c\n  - {on: 2026-02-22}\n  - 2026-02-23 b\n"),
    "last": ("log:\n  - 2026-02-15 a\n", "log:\n  - 2026-02-15 a\n  - 2026-02-16 c\n"),
    "first in brackets": ("log: [ 2026-02-22 a ]\n", "log: [ 2026-02-16 c, 2026-02-22 a ]\n"),
    "between in brackets": ("log: [2026-02-15 a,\n      2026-02-22 b]\n", "log: [2026-02-15 a,\n      2026-02-16 c,\n      2026-02-22 b]\n"),
    "before the one in braces": ("log: {on: 2026-02-22}\n", "log: [2026-02-16 c, {on: 2026-02-22}]\n"),
    "before the one text": ("log: 2026-02-22 a, b\n", "log:\n  - 2026-02-16 c\n  - 2026-02-22 a, b\n"),
    "before the one mapping": ("log:\n    on: 2026-02-22\n    did: b\n", "log:\n  - 2026-02-16 c\n  - on: 2026-02-22\n    did: b\n"),
    "first in a list on the line of a dash": ("log:\n  - - 2026-02-22 b\n", "log:\n  - - 2026-02-22 b\n  - 2026-02-16 c\n"),
}  # fmt: skip


@pytest.mark.parametrize(("before", "after"), BEFORE.values(), ids=BEFORE)
def test_an_entry_goes_before_the_first_later_one(before: str, after: str) -> None:
    edited = appended(FILE, before.encode(), ("log",), "2026-02-16 c", before=is_later("2026-02-16"))
    assert edited.decode() == after
