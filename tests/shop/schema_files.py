"""Files of every kind as two sides take them: the reader, and an editor's schema; and files to hold one against the other.

The editor's side is YAML read by ruamel's own parser (not the C one that the reader uses), with the tags of the core
schema of YAML 1.2.2 (section 10.3.2, "Tag Resolution"), judged by the validator of `jsonschema`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError as Refusal
from pydantic import ValidationError
from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, ScalarNode, SequenceNode

from flipbook.shop.composing import Block, Items, Scalar, compose
from flipbook.shop.fields import Reading, TooManyProblems
from flipbook.shop.keys import FILE_KINDS
from flipbook.shop.problems import Place, Problem
from flipbook.shop.schemas import schema_of

# YAML 1.2.2, section 10.3.2: what a plain scalar is, in this order; all else is a text.
_INTEGER = re.compile(r"[-+]?[0-9]+")
_OCTAL = re.compile(r"0o[0-7]+")
_HEXADECIMAL = re.compile(r"0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_INFINITE = re.compile(r"[-+]?(?:\.inf|\.Inf|\.INF)")
_TRUTHS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}


def _plain(text: str) -> Any:
    if text in ("", "~", "null", "Null", "NULL"):
        return None
    if text in _TRUTHS:
        return _TRUTHS[text]
    if _INTEGER.fullmatch(text):
        return int(text)
    if _OCTAL.fullmatch(text) or _HEXADECIMAL.fullmatch(text):
        return int(text, 0)
    if _FLOAT.fullmatch(text):
        return float(text)
    if _INFINITE.fullmatch(text):
        return float(text.replace(".", ""))
    return float("nan") if text in (".nan", ".NaN", ".NAN") else text


def as_a_number(text: str) -> float | None:
    """The number that YAML makes of a bare text, if it makes one."""
    value = _plain(text)
    return value if isinstance(value, int | float) and text not in _TRUTHS else None


def handed_over(text: str) -> Any:
    """What YAML 1.2 makes of a file, each key as its text."""
    yaml = YAML(typ="safe", pure=True)
    yaml.version = (1, 2)
    node = yaml.compose(text)
    return None if node is None else _value(node)


def _value(node: Any) -> Any:
    if isinstance(node, MappingNode):
        return {key.value: _value(value) for key, value in node.value}
    if isinstance(node, SequenceNode):
        return [_value(item) for item in node.value]
    assert isinstance(node, ScalarNode)
    return _plain(node.value) if node.style is None else node.value


@cache
def validator(kind: str) -> Draft202012Validator:
    """The general validator with the schema of a kind of file."""
    return Draft202012Validator(schema_of(kind))


def refusals(kind: str, text: str) -> list[Refusal]:
    """Where and why the schema refuses a file; nothing when it takes it."""
    return [leaf for error in validator(kind).iter_errors(handed_over(text)) for leaf in leaves(error)]


def leaves(error: Refusal) -> Iterator[Refusal]:
    """The refusals that an `anyOf` comes down to: those of the written form that went furthest into the value."""
    if not error.context:
        yield error
        return
    ways: dict[Any, list[Refusal]] = {}
    for inner in error.context:
        ways.setdefault(inner.schema_path[0], []).extend(leaves(inner))
    depth = {way: max(len(leaf.absolute_path) for leaf in found) for way, found in ways.items()}
    deepest = max(depth.values())
    if deepest > len(error.absolute_path):
        yield from next(ways[way] for way in ways if depth[way] == deepest)
    else:
        yield next((leaf for found in ways.values() for leaf in found if leaf.validator not in ("type", "not")), error)


def where(refusal: Refusal) -> str:
    """The path of a refusal, as `sold.sales tax` or `log.0.took`."""
    return ".".join(str(step) for step in refusal.absolute_path)


def problems_of(kind: str, text: str, currency: str | None = "USD") -> list[Problem]:
    """The problems that the reader has with one file, as `reading.py` reads it; nothing when it takes it."""
    known = FILE_KINDS[kind]
    file = f"{kind}.yaml"
    node = compose(file, text.encode())
    if isinstance(node, Problem):
        return [node]
    if node is None:
        empty = Problem(name="empty-file", place=Place(file), says="the file is empty", help="write in it")
        return [] if known.may_be_empty else [empty]
    if known.bare_list and isinstance(node, Items):
        block = Block(node.start)
        block.end = node.end
        block.pairs.append((Scalar(known.bare_list, node.start, node.start, True), node))
        node = block
    reading = Reading(file, currency)
    try:
        known.record.model_validate(node, context=reading)
    except (ValidationError, TooManyProblems):
        assert reading.problems
    return reading.problems


# Each kind of file with every key of its records, and each way to write them, good throughout. Invented.
WHOLE_FILES = (
    ("shop", """\
shop: Quillback Lane Refinishing
maker: H. Arkwright
place: Port Ellery
contact: hello@quillback.example
web: https://quillback.example/
notice: Closed in August
currency: USD
tax: {rules: plain, year starts: 04-06}
time is worth: 24.00
costing: first in first out
price steps: {hold: 14 d, drop: 5%}
listing: {title: 60, body: 900}
outlets:
  porch sale: {}
  shed:
  antiques hall: {takes: 12%}
  web marketplace: {takes: 9% + 0.40}
  flea market: {takes: 15}
"""),
    ("products", """\
products:
  fig blue paint: {type: waterborne paint, covers: 75 sq ft per pint, recoat: 4 h, cure: 21 d, private: dented}
  hard oil:
  paste wax: {covers: 9 sq m per 2 oz, recoat: 1 d}
"""),
    ("tools", """\
tools:
  - {tool: random-orbit sander, on: 2026-01-10, from: Harbour Hardware, cost: 129.00, write off: at once}
  - tool: spray turbine
    on: 2025-06-07
    cost: 2,890.00
    write-off: 7 years
    scan: [receipts/a.png, receipts/b.png]
    sold: {on: 2026-08-22, price: 150.00}
    private: from the closed shop
  - {tool: bench vice, on: 2026-01-10, cost: 40, write_off: section 179, scan: receipts/vice.png}
"""),
    ("trips", """\
- {on: 2026-03-03, miles: 14, to: supply house, why: paint, for: {nightstand-left: 2, nightstand-right: 1}}
- on: 2026-03-04
  km: 35.5
  to: Mill Road
  for: oak-stool
  private: rain
- {on: 2026-03-05, miles: 8.25, to: 1935}
"""),
    ("receipts", """\
receipts:
  - on: 2026-02-20
    from: Harbour Hardware
    scan: [scans/a.png, scans/b.png]
    lines:
      - {what: brass cup hook, count: 6, each: 6.99, for: oak-stool}
      - {what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf, container: can}
      - {what: glue syringe, cost: 3.49, for: supplies}
    discount: 5.00
    tax: 4.10
    shipping: 0
    total: 69.03
    paid with: card
    private: any note
  - {on: 2026-02-21, from: Saltmarsh Supply, what: satin clear coat, size: 1 quart, got back: 16.43, for: shelf}
  - on: 2026-02-22
    from: Union Street flea market
    what: pair of nightstands
    cost: 70
    for: {nightstand-left: 1, nightstand-right: 1/2}
    as: found
    scan: scans/c.png
counts:
  - {on: 2026-12-31, what: fig blue paint, left: 3 fl oz, private: at the back}
opening:
  - {on: 2025-01-02, what: wood glue, size: 8 fl oz, count: 2, container: bottle, cost: 4.00, private: old}
income:
  - {on: 2026-03-28, from: evening school, what: a class, amount: 560.00, for: other, scan: scans/d.png, private: x}
forms:
  - from: web marketplace
    year: 2026
    gross: 1240.00
    form: 1099-K
    payments: 12
    months: {1: 100.00, 2: , 12: 1140.00}
    scan: scans/e.pdf
    private: any note
"""),
    ("piece", """\
piece: Bow-front oak workstand
kind: workstand
size: 34 x 19 x 30 1/2 in
wood: oak
built: about 1935
tell: |
  It stood in a cellar.
flaws: [sand-through, a ring in the top]
care: A damp cloth.
private: a note
customer: no
found:
  on: 2026-02-14
  from: Mill Road estate sale
  cost: 40.00
  tax: 2.40
  scan: receipts/mill-road.jpg
  own:
  private: a note
bought:
  - {on: 2026-02-20, from: Harbour Hardware, what: knob, count: 2, each: 4.10, tax: 0.49, total: 8.69}
log:
  - 2026-02-15 40 min washed with dish soap
  - 2026-02-15 16:10 1 h 5 min rinsed
  - on: 2026-02-17 15:30
    did: first wash coat
    grit: 80, 120, 180
    took: 1 h 15 min
    mix: {fig blue paint: 1, water: 2, makes: 12 fl oz}
    used: [1/4 can satin clear coat, {what: lint-free rag, amount: 2 each}, rest of the wax]
    dries: 4 h
    stage: colour
    photos: [photos/during-wash.jpg]
    hide: yes
    private: a note
  - {on: 2026-02-18, did: sanded, grit: [80, P240], used: half a can wax, photos: photos/a.jpg}
plan: {price: 425, hours: 9 h, materials: 60.00, private: a note}
seen to: [lead paint, dust]
planned:
  - sand the top back
  - did: second wash coat
    grit: 320
    took: 50 min
    mix: {paint: 1.5, makes: 1 quart}
    used: [1 sheet sandpaper]
    dries: 1 d
    stage: Finish
    like: oak-stool, 2026-02-17
    private: a note
trips:
  - {on: 2026-02-14, miles: 22, to: Mill Road, why: collect it, private: a note}
  - {on: 2026-02-15, km: 35, to: the buyer}
photos:
  - {file: photos/after-front.jpg, shows: after, caption: Finished, alt: A workstand}
asking:
  - {on: 2026-03-20, price: 425}
offers:
  - {on: 2026-03-24, price: 300, from: R., answer: counter 350, private: a note}
  - {on: 2026-03-25, price: 310, answer: no}
deposits:
  - {on: 2026-03-28, amount: 80.00, from: K., back: {on: 2026-03-30}, private: a note}
sold:
  - on: 2026-04-11
    price: 380.00
    at: porch sale
    delivery: 25.00
    sales tax: 22.80
    fees: 0
    payments: [{on: 2026-04-01, amount: 427.80, private: a note}]
    buyer: K.
    returned: {on: 2026-05-02, refund: 427.80, private: a note}
    allowed: {on: 2026-04-20, refund: 10, private: a note}
    private: a note
kept: {on: 2026-06-01, private: a note}
given: {on: 2026-06-02, to: a neighbour, private: a note}
scrapped: {on: 2026-06-03, why: woodworm, private: a note}
"""),
    ("piece", """\
piece: 1935
size: 86 W x 48 D x 77.5 H cm
built: 1930s
flaws: one leg is shorter
customer: yes
found: {on: 2026-02-14, own: {cost: 120, worth: 60.50}}
bought:
  - on: 2026-02-20
    from: Harbour Hardware
    lines: [{what: hinge, count: 2, cost: 8.20, for: shelf, as: found}]
    total: 8.20
log: []
sold: {on: 2026-04-11, price: 380.00}
"""),
    ("shop", "shop: Quillback Lane\ncurrency: GBP\ntax: {rules: us, home workshop: 180 sq ft}\ncosting: average\n"),
    ("receipts", "- {on: 2026-02-20, from: Harbour Hardware, what: rag, cost: 3, for: supplies}\n"),
    ("tools", "- {tool: vice, on: 2026-01-10, cost: 40, write off: 5 years}\n"),
    ("trips", "trips: [{on: 2026-03-03, miles: 14, to: supply house}]\n"),
)  # fmt: skip
