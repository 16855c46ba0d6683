"""A key that is set, an entry or a key that is taken out, and what is refused."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest
from edited_logs import FILE, KEYS, Case, drawn

from flipbook.shop import editing
from flipbook.shop.composing import MOST_BYTES
from flipbook.shop.editing import CannotEdit, Entry, appended, removed, with_key
from flipbook.shop.splicing import Splice

FOUND: Entry = {"on": "2026-02-14", "from": "Mill Road: estate sale", "cost": "40.00"}
BACK: Entry = {"on": "2026-05-02", "refund": "80"}

SET = {
    "a mapping between its neighbours": drawn(("found",), FOUND, """\
 piece: Oak stool
 flaws: [A ring]

+found:
+  on: 2026-02-14
+  from: "Mill Road: estate sale"
+  cost: 40.00
+
 log:
   - 2026-02-15 washed
"""),
    "a mapping in braces, as its neighbour is": drawn(("sold",), {"on": "2026-04-11", "price": "80"}, """\
 piece: Oak stool
 found: {on: 2026-02-14, cost: 0}
+sold: {on: 2026-04-11, price: 80}
"""),
    "a mapping as far in as its neighbour": drawn(("sold",), {"on": "2026-04-11", "price": "80"}, """\
 found:
     on: 2026-02-14
+sold:
+    on: 2026-04-11
+    price: 80
"""),
    "a small mapping with no neighbour": Case(("kept",), {"on": "2026-04-11"}, "piece: Oak stool\n", "piece: Oak stool\nkept: {on: 2026-04-11}\n"),
    "a small mapping beside a larger one": drawn(("kept",), {"on": "2026-04-11"}, """\
 found:
   on: 2026-02-14
   cost: 0
+kept: {on: 2026-04-11}
"""),
    "a text": Case(("kind",), "stool", "piece: Oak stool\nfound: {cost: 0}", "piece: Oak stool\nkind: stool\nfound: {cost: 0}"),
    "a text on an empty key": Case(("kind",), "stool", "kind:       # workstand, chair\nfound:\n", "kind: stool       # workstand, chair\nfound:\n"),
    "a text of several lines": Case(("tell",), "It came wet.\n\nIt dried.\n", "piece: Oak stool\ntell:   # the story\nkind: stool\n", "piece: Oak stool\ntell: |   # the story\n  It came wet.\n\n  It dried.\nkind: stool\n"),
    "a text in place of empty quotes": Case(("kind",), "stool", 'kind: ""   # workstand\n', "kind: stool   # workstand\n"),
    "a text under a mark with nothing below": Case(("tell",), "It came wet.\nIt dried.", "tell: |   # the story\n#  It came.\n\nkind: stool\n", "tell: |-   # the story\n  It came wet.\n  It dried.\n#  It came.\n\nkind: stool\n"),
    "a short text under a mark with nothing below": Case(("tell",), "It came wet.", "tell: >-\n", "tell: It came wet.\n"),
    "a mapping on an empty key": Case(("found",), FOUND, "found: ~   # how\nlog:\n", 'found:   # how\n  on: 2026-02-14\n  from: "Mill Road: estate sale"\n  cost: 40.00\nlog:\n'),
    "a mapping on empty braces": Case(("found",), {"on": "2026-02-14"}, "found: {}\n", "found: {on: 2026-02-14}\n"),
    "a key within empty braces": Case(("outlets", "porch sale", "takes"), "12%", "outlets:\n  porch sale: {}  # no fee\n", "outlets:\n  porch sale: {takes: 12%}  # no fee\n"),
    "a key within a mapping": Case(("sold", "returned"), BACK, "sold:\n   on: 2026-04-11\n   price: 80\n\n# end\n", "sold:\n   on: 2026-04-11\n   price: 80\n   returned: {on: 2026-05-02, refund: 80}\n\n# end\n"),
    "a key within braces": Case(("sold", "returned"), BACK, "sold: { on: 2026-04-11 }\n", "sold: { on: 2026-04-11, returned: { on: 2026-05-02, refund: 80 } }\n"),
    "a key within braces over lines": Case(("sold", "returned"), BACK, "sold: {\n  on: 2026-04-11,   # a Saturday\n  price: 80   # in cash\n}\n", "sold: {\n  on: 2026-04-11,   # a Saturday\n  price: 80,   # in cash\n  returned: {on: 2026-05-02, refund: 80}\n}\n"),
    "a key of an entry of a list": Case(("sold", 1, "returned"), BACK, "sold:\n- on: 2026-04-11\n  returned: {on: 2026-04-12, refund: 1}\n- on: 2026-05-01\n", "sold:\n- on: 2026-04-11\n  returned: {on: 2026-04-12, refund: 1}\n- on: 2026-05-01\n  returned: {on: 2026-05-02, refund: 80}\n"),
    "a key of the one entry, asked for as the first": Case(("sold", 0, "returned"), BACK, "sold:\n  on: 2026-04-11\n", "sold:\n  on: 2026-04-11\n  returned: {on: 2026-05-02, refund: 80}\n"),
    "a key of a mapping that says nothing": Case(("found", "cost"), "40.00", "found:\nlog:\n", "found: {cost: 40.00}\nlog:\n"),
    "a key that is spelled with a hyphen": Case(("sales tax",), "2.40", "sales-tax:\n", "sales-tax: 2.40\n"),
    "the first key of an entry": Case(("on",), "2026-02-14", "cost: 1\n", "on: 2026-02-14\ncost: 1\n"),
    "the first key on the line of a dash": Case(("bought", 0, "on"), "2026-02-14", "bought:\n- cost: 1\n  # x\n  what: wax\n", "bought:\n- on: 2026-02-14\n  cost: 1\n  # x\n  what: wax\n"),
    "a list": Case(("flaws",), ["A ring", "A burn"], "piece: Oak stool\n", "piece: Oak stool\nflaws: [A ring, A burn]\n"),
    "the key last of all, before the blank lines": Case(("sold",), "no", "piece: Oak stool\n# of it\n\n\n", "piece: Oak stool\n# of it\nsold: no\n\n\n"),
}  # fmt: skip


@pytest.mark.parametrize("case", SET.values(), ids=SET)
@pytest.mark.parametrize("eol", ["\n", "\r\n"], ids=ascii)
def test_a_key_is_written_as_a_person_would(case: Case, eol: str) -> None:
    before, after = (text.replace("\n", eol) for text in (case.before, case.after))
    assert with_key(FILE, before.encode(), case.path, case.entry, keys=(*KEYS, "on", "cost")).decode() == after


REMOVED = {
    "the first entry": (("planned", 0), "planned:\n  # soon\n  - did: sand   # x\n    # the top\n    took: 1 h\n  # then\n  - wax\n", "planned:\n  # soon\n  # then\n  - wax\n"),
    "the last entry": (("planned", 1), "planned:\n- sand\n- wax\n\n# x\nsold:\n", "planned:\n- sand\n\n# x\nsold:\n"),
    "the last entry of a file without a last line end": (("planned", 1), "planned:\n- sand\n- wax", "planned:\n- sand"),
    "the only entry, with its key": (("planned", 0), "log:\n- a\n\nplanned:   # soon\n  # first\n  - sand\n\nsold:\n", "log:\n- a\n\n\nsold:\n"),
    "the one entry that is no list": (("sold", 0), "piece: x\nsold:\n  on: 2026-04-11\n", "piece: x\n"),
    "an entry with a block text": (("log", 0), "log:\n- |\n  a\n\n  b\n\n- c\n", "log:\n\n- c\n"),
    "an entry with a block text that keeps its blank lines": (("log", 0), "log:\n- |+\n  a\n\n- c\n", "log:\n- c\n"),
    "an entry in brackets": (("flaws", 1), "flaws: [a, b, c]\n", "flaws: [a, c]\n"),
    "the first entry in brackets": (("flaws", 0), "flaws: [ a, b ]\n", "flaws: [ b ]\n"),
    "the last entry in brackets": (("flaws", 1), "flaws: [ a , b ]\n", "flaws: [ a ]\n"),
    "the last entry in brackets, before a comma": (("flaws", 1), "flaws: [a, b,]\n", "flaws: [a,]\n"),
    "an entry in brackets with a comment": (("flaws", 1), "flaws: [\n  a,  # 1\n  b,  # 2\n  c   # 3\n]\n", "flaws: [\n  a,  # 1\n    # 2\n  c   # 3\n]\n"),
    "the last entry in brackets with a comment": (("flaws", 1), "flaws: [\n  a,  # 1\n  b\n]\n", "flaws: [\n  a  # 1\n]\n"),
    "the only entry in brackets, with its key": (("flaws", 0), "piece: x\nflaws: [\n  a\n]\n", "piece: x\n"),
    "a key": (("found",), "piece: x\nfound:\n  on: y\n  # z\n  cost: 0\nlog:\n", "piece: x\nlog:\n"),
    "a key that says nothing": (("log",), "piece: x\nlog:   # y\n#  - z\n", "piece: x\n#  - z\n"),
    "a key in braces": (("sold", "price"), "sold: {on: x, price: 1, at: y}\n", "sold: {on: x, at: y}\n"),
    "the only key in braces": (("sold", "on"), "sold: {on: x}\n", "sold: {}\n"),
    "the first key on the line of a dash": (("sold", 0, "on"), "sold:\n- on: x\n  price: 1\n", "sold:\n- price: 1\n"),
    "the only key of a file": (("log", 0), "# x\nlog:\n- a\n", "# x\n"),
    "the only entry of a file that is a list": ((0,), "# x\n- a\n", "# x\n"),
    "an entry of a list on the line of a dash": (("log", 0), "log:\n- a\n- - b\n  - c\n", "log:\n- - b\n  - c\n"),
}  # fmt: skip


@pytest.mark.parametrize(("path", "before", "after"), REMOVED.values(), ids=REMOVED)
def test_what_is_taken_out_leaves_all_else(path: Sequence[str | int], before: str, after: str) -> None:
    assert removed(FILE, before.encode(), path).decode() == after
    crlf = before.replace("\n", "\r\n").encode()
    assert removed(FILE, crlf, path).decode() == after.replace("\n", "\r\n")


def log(data: bytes) -> bytes:
    return appended(FILE, data, ("log",), "a")


REFUSED: dict[str, tuple[Callable[[], bytes], str, tuple[str, int] | None]] = {
    "no UTF-8": (lambda: log(b"piece: \xff\n"), "not UTF-8", ("not-utf-8", 1)),
    "a tab": (lambda: log(b"found:\n\ton: x\n"), "tab", ("yaml-tab", 2)),
    "two documents": (lambda: log(b"a: b\n---\nc: d\n"), "second document", ("one-file-one-log", 2)),
    "an anchor": (lambda: log(b"piece: &a b\n"), "names a value", ("anchor", 1)),
    "a key twice": (lambda: log(b"piece: x\nlog:\n- a\npiece: y\n"), "second time", ("duplicate-key", 4)),
    "a key twice in two spellings": (lambda: appended(FILE, b"sold:\n  sales tax: 1\n  sales-tax: 2\n", ("sold", "payments"), "a"), "second time", ("duplicate-key", 3)),
    "a key twice in an entry far away": (lambda: log(b"log:\n- a\n- {on: x, on: y}\n"), "second time", ("duplicate-key", 3)),
    "too large": (lambda: log(b"log:\n- " + b"x" * MOST_BYTES), "over 2 MiB", ("too-large", 0)),
    "too large by the entry": (lambda: appended(FILE, b"log:\n- " + b"x" * (MOST_BYTES - 20), ("log",), "y" * 20), "over 2 MiB", ("too-large", 0)),
    "too deep by the entry": (lambda: appended(FILE, b"log:\n- a\n", ("log",), [[[[[[[[[[[["a"]]]]]]]]]]]]), "too deep", ("too-deep", 3)),
    "a list where a key is wanted": (lambda: log(b"- a\n"), "is a key of a mapping, and this is a list", ("cannot-edit", 1)),
    "a mapping where a list is wanted": (lambda: appended(FILE, b"a: b\n", (), "x"), "the file is a mapping", ("cannot-edit", 1)),
    "a text where a mapping is wanted": (lambda: appended(FILE, b"\nfound: x\n", ("found", "scan"), "x"), "this is a text", ("cannot-edit", 2)),
    "a file that is a text": (lambda: log(b"just words\n"), "this is a text", ("cannot-edit", 1)),
    "a mapping that is absent": (lambda: with_key(FILE, b"a: b\n", ("sold", "returned"), "x"), "there is no `sold`", ("cannot-edit", 1)),
    "a mapping that is absent from an empty file": (lambda: with_key(FILE, b"", ("sold", "returned"), "x"), "there is no `sold`", None),
    "a key that says something": (lambda: with_key(FILE, b"a: b\nkind: stool\n", ("kind",), "x"), "`kind` is written already", ("cannot-edit", 2)),
    "a number past the end of a list": (lambda: removed(FILE, b"log: [a]\n", ("log", 1)), "no entry number 2", ("cannot-edit", 1)),
    "a second entry where there is one": (lambda: with_key(FILE, b"sold: {on: x}\n", ("sold", 1, "at"), "x"), "one entry", ("cannot-edit", 1)),
    "a key of several": (lambda: with_key(FILE, b"sold: [{on: x}]\n", ("sold", "at"), "x"), "this is a list", ("cannot-edit", 1)),
    "an absent key to take out": (lambda: removed(FILE, b"a: b\n", ("log",)), "there is no `log`", ("cannot-edit", 1)),
    "the only key of a mapping": (lambda: removed(FILE, b"sold:\n  on: x\n", ("sold", "on")), "only key", ("cannot-edit", 2)),
    "the only key before a mark that ends the document": (lambda: removed(FILE, b"a: b\n...\n", ("a",)), "cannot be fitted into", ("cannot-edit", 1)),
    "nothing to take out": (lambda: removed(FILE, b"", ("log",)), "nothing here", None),
    "a place where a key is wanted": (lambda: with_key(FILE, b"log: [a]\n", ("log", 0), "x"), "a key is wanted", None),
    "keys with question marks": (lambda: with_key(FILE, b"? a\n: b\n? c\n", ("c",), "x"), "cannot be fitted into", ("cannot-edit", 4)),
}  # fmt: skip


@pytest.mark.parametrize(("edit", "says", "problem"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_edited_is_told(edit: Callable[[], bytes], says: str, problem: tuple[str, int] | None) -> None:
    with pytest.raises(CannotEdit) as caught:
        edit()
    fault = caught.value
    assert says in fault.says
    assert fault.write
    assert (fault.problem and (fault.problem.name, fault.problem.place.line)) == problem
    assert problem is None or (fault.problem is not None and fault.problem.place.file == FILE and fault.problem.help)


# Of a file in which the entry `x` should stand at character 9.
WRONG = {
    "nothing is added": [],
    "another entry": [Splice(9, 9, "- b\n")],
    "the entry twice": [Splice(9, 9, "- x\n- x\n")],
    "the entry for another": [Splice(5, 8, "- x")],
    "the entry, and a key goes": [Splice(9, 9, "- x\n"), Splice(13, 21, "")],
    "the entry, and another text changes": [Splice(9, 9, "- x\n"), Splice(19, 20, "z")],
    "the entry in another place": [Splice(5, 5, "- x\n")],
    "the entry, and a key twice": [Splice(9, 9, "- x\n"), Splice(9, 9, "kind: y\n")],
    "no YAML": [Splice(9, 9, "- x\n}")],
}


@pytest.mark.parametrize("splices", WRONG.values(), ids=WRONG)
def test_an_edit_that_came_out_wrong_is_never_given_back(
    monkeypatch: pytest.MonkeyPatch, splices: list[Splice]
) -> None:
    before = b"log:\n- a\n# x\nkind: y\n"
    assert appended(FILE, before, ("log",), "x") == b"log:\n- a\n- x\n# x\nkind: y\n"
    monkeypatch.setattr(editing, "into_list", lambda *_: iter([splices]))
    with pytest.raises(CannotEdit) as caught:
        appended(FILE, before, ("log",), "x")
    assert "cannot be fitted into" in caught.value.says
