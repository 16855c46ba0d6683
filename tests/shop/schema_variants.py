"""Files of every kind with a change or two: other forms, other words, keys dropped, added, and spelled otherwise."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, SequenceNode
from schema_files import WHOLE_FILES

from flipbook.shop.keys import FILE_KINDS

# What may be written for each form, right and wrong; parted by bars.
FORMS = {
    form: written.split("|")
    for form, written in {
        "money": "0|40|40.5|40.00|$40.00|1,240.00|10000000|10,000,000.00|10000001|40.005|-1|-0|012|1_000|.5|5.|+5|1e3|£5|¥5|$ 5|1.240,00|1,2400|nan|.nan|.inf|0x10|forty| 7 |9999999.99|10000000.01|00|40 USD|٣",
        "date": "2026-02-14|2026-02-14 15:30|2026-02-14 7:05|2026-02-14  23:59|2026-02-29|2028-02-29|2000-02-29|1912-02-29|1996-02-29|1998-02-29|1900-02-29|2100-02-29|2100-12-31|1900-01-01|1899-12-31|2101-01-01|2026-02-30|2026-04-31|2026-06-30|2026-13-01|2026-00-10|2026-01-00|2026-1-5|14.2.2026|2026/02/14|2026-02-14T15:30|2026-02-14 15:30:00|2026-02-14 24:00|2026-02-14 12:60|20260214|2026| 2026-02-14 |today",
        "time": "40 min|1 h 15 min|1.5 h|1:15|0:00|1:60|2 d|1 d 2 h 3 min|1 h 2 h|15 min 1 h|1 1/2 h|1/0 h|1 3/2 h|1/2 h|90|1.5|-5 min|3 Days|1h15min|1H|40 minutes|0 min|0 h 5 min|2 weeks|1 h15|1:5|12345:00|9999:59|1  h|an hour",
        "size": "34 x 19 x 30 1/2 in|34 W x 19 D x 30 1/2 H in|34x19x30in|34 x 19 in|34 x 19 x 30|34 in x 19 in x 30 in|34 in x 19 x 30 in|2' 6\" x 19\" x 30\"|2 ft 6 in x 1 ft x 3 ft|775 mm by 48 cm by 1 m|34 W x 19 W x 30 H in|34 W x 19 x 30 H in|W 34 x D 19 x H 30 in|34 in W x 19 in D x 30 in H|34 W in x 19 D in x 30 H in|0 x 19 x 30 in|30-1/2 × 19 × 34 cm|34 x 19 x 30 x 2 in|34 x 19 x 30 IN|34 x nineteen x 30 in|1 3/2 x 1 x 1 in|34″ X 19″ X 30″|34 x 19 x 2 ft 6 in|34 w x 19 d x 30 h in|34 W 1/2 x 19 D x 30 H in",
        "amount": "4 fl oz|1 quart|2 each|25 sheets|1/2 pint|1 1/2 cups|0 ml|0.5 l|4 FL OZ|4fl oz|3 oz|1/0 pint|1 5/4 pint|4|4 cans|four oz|-1 oz|2 sq ft|1 square metre|3 fl  oz|100 g.|2 lbs|180 sq ft|5 ozs",
        "coverage": "75 sq ft per pint|9 sq m per l|75 sq ft per 2 pints|75 fl oz per pint|75 sq ft per sq m|75 sq ft|0 sq ft per pint|75 SQ FT PER PINT|75 sq ft  per  0.5 quart|75 sq ft / pint|1/0 sq ft per pint|75 sq ft per 0 pint",
        "percentage": "5%|12.5%|5 %|100%|150%|0%|5|0.05|-5%|5  %|1234%|1.1234567%|%|99.9%",
        "fee": "12%|0.40|2.9% + 0.30|2.9%+0.30|2.9% + $0.30|0.30 + 2.9%|12|9% + 0.405|9% + -1|12% or so|£1|9% + £1|2.9 % + 0",
        "count": "6|1|0|2.5|-1|007|12345678|9999999|six|6.0|1e2|+3|0x2",
        "distance": "22|8.5|0|0.0|22.12345|-3|999999|1000000|22 miles|1,000|007|1e2|.5",
        "grits": "80|80, 120, 180|P240|p240, 80|80,120|080|0|fine|80;120|80,|120.0|123456|P 80|-80|80 120|1e3",
        "words": "oak|1935|true|yes|~x|0.5|  |naïve café|40 min|2026-02-14|é|x, y|NULL|.nan|FALSE",
        "yes or no": "yes|no|true|false|Yes|TRUE|False|on|y|1|nO|maybe| yes ",
        "use": "4 fl oz fig blue paint|1/4 can satin clear coat|rest of the wax|the rest wax|rest|Rest wax|half a can wax|a quarter of a can wax|2 cans wax|2 cans|4 fl oz|4 fl oz of|3 of the wax|1/0 can wax|0 can wax|0 oz wax|wax|4|a half can|half wax|two fl oz wax|two fl oz|1 1/2 pints of wax|4oz wax|3 bâtons wax|5 sheets sandpaper|restful wax|three quarters of a can wax|1.5 can wax|-1 can wax|4 fl ozwax",
        "taken": "4 fl oz|1/4 can|rest|2 each|half a can|4 fl oz paint|3|the rest|rest of|a half|0 can|three quarters of a can|half a pint|3 of can|3 cans wax|two fl oz|1/0 can",
        "built": "1935|about 1935|1930s|About 1930S|unknown|UNKNOWN|about  1935|999|2100|2099|1000|20s|about|1935.0|circa 1935|about 1930s|1935s",
        "answer": "no|yes|No|counter 350|counter  $350|counter|counter 3.505|counter £3|350|maybe|true|counter -1",
        "web": "https://quillback.example/|http://x|quillback.example|ftp://x|https://a b|https://|https://x<y>",
        "currency": "USD|usd|GBP|XYZ| EUR |US",
        "rules": "us|UK|plain|mars|U S|US ",
        "stage": "sanding|Colour|color|finish|  priming|work|2",
        "costing": "first in first out|average|Average|first  in first out|last in|first-in-first-out",
        "write off": "at once|At Once|5 years|7  years|6 years|section 179|at-once|5 year",
        "as": "found|Found|lost| found",
        "month and day": "01-01|04-06|02-29|1-1|13-01|02-28|12-31|04-31|2026-01-01",
        "year": "2026|1900|2100|2101|1899|26|2026.0|next",
        "payments": "0|12|012|-1|1.5|12345678|a few",
        "parts": "1|2|0|1/2|1 1/2|0.5|1/0|1 3/2|some|-1|1e2|007|1.0|1234567890|50%",
        "for": "oak-stool|shelf|Supplies|selling fees|selling_fees|contract labour|2026|true|other",
        "step": "2026-02-15 40 min washed|2026-02-15 washed|2026-02-15|2026-02-15 40 min|2026-02-15 0 min washed|2026-02-15 1 h 15 min washed|2026-02-15 15 min 1 h washed|2026-02-15 1 h 2 h washed|2026-02-15 16:10 1 h rinsed|2026-02-15 25:00 rinsed|2026-02-15 1:15 sanded|2026-02-15 1:15|2026-02-15 2 coats of shellac|2026-02-15 2 days later|2026-02-30 washed|2026-02-15washed|washed|15.2.2026 washed|2026-02-15 40 Min washed|2026-02-15 1/2 h washed|2026-02-15  9:05  2 d  waited|2026-02-15 1 d 2 h 3 min 4 min x|2026-02-15 1 h 2 min 3 min,x| 2026-02-15 washed|2026-02-15 40 min, washed|2028-02-29 1 3/2 h washed|2026-02-15\n40 min washed",
        "planned": "sand the top back|80|true|  |2026-02-15 washed",
    }.items()
}  # fmt: skip
OF_KEY = {
    "money": ("cost", "each", "got back", "discount", "tax", "shipping", "total", "gross", "price", "delivery", "sales tax", "fees", "refund", "worth", "time is worth", "materials"),
    "date": ("on",), "time": ("took", "dries", "hold", "recoat", "cure", "hours"), "distance": ("miles", "km"), "grits": ("grit",),
    "amount": ("size", "left", "makes", "home workshop"), "coverage": ("covers",), "percentage": ("drop",), "fee": ("takes",),
    "yes or no": ("customer", "hide"), "use": ("used",), "month and day": ("year starts",), "step": ("log",),
    "count": ("count", "title", "body"), "built": ("built",), "answer": ("answer",), "web": ("web",), "currency": ("currency",), "rules": ("rules",),
    "costing": ("costing",), "stage": ("stage",), "write off": ("write off",), "as": ("as",), "year": ("year",), "payments": ("payments",), "for": ("for",),
    "planned": ("planned",),
}  # fmt: skip
FORM_OF = {key: form for form, keys in OF_KEY.items() for key in keys}
ANYTHING = [text for written in FORMS.values() for text in written]
KEYS = sorted(
    {key for kind in FILE_KINDS.values() for key in kind.record.keys.values()}
    | set(FORM_OF)
    | {"colour", "sum", "makes", "1", "oak-stool"}
)


@dataclass(frozen=True)
class Text:
    """A scalar of a file to be."""

    text: str
    bare: bool


Tree = dict[str, Any] | list[Any] | Text


def tree_of(node: Any) -> Tree:
    """A file as a tree that can be changed."""
    if isinstance(node, MappingNode):
        return {key.value: tree_of(value) for key, value in node.value}
    if isinstance(node, SequenceNode):
        return [tree_of(item) for item in node.value]
    return Text(node.value, node.style is None)


BASES = [(kind, tree_of(YAML(typ="safe", pure=True).compose(text))) for kind, text in WHOLE_FILES]


def written(tree: Tree, indent: str = "") -> str:
    """The tree in YAML's block style; a text that cannot stand bare is put in quotes."""
    if isinstance(tree, Text):
        return _scalar(tree)
    if not tree:
        return "{}" if isinstance(tree, dict) else "[]"
    lines = []
    for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
        lead = f"{indent}{_scalar(Text(key, True))}:" if isinstance(tree, dict) else f"{indent}-"
        inline = isinstance(value, Text) or not value
        lines.append(f"{lead} {written(value)}" if inline else f"{lead}\n{written(value, indent + '  ')}")
    return "\n".join(lines)


def _scalar(scalar: Text) -> str:
    text = scalar.text
    starts = re.match(r"(?:[^\s?:,\[\]{}#&*!|>'\"%@`-]|-(?=[^\s-]))", text)
    stands = text == "" or (starts and text == text.strip() and text.isprintable() and not re.search(r": |:$| #", text))
    return text if scalar.bare and stands else json.dumps(text, ensure_ascii=False)


def places(tree: Tree, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of everything in a tree."""
    if path:
        yield path
    for step, value in tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ():
        yield from places(value, (*path, step))


PLACES = [(number, path) for number, (_, tree) in enumerate(BASES) for path in places(tree)]


def form_of(path: tuple[Any, ...]) -> str:
    """The form of what stands at a path."""
    names = [str(step).replace("-", " ").replace("_", " ") for step in path if isinstance(step, str)]
    last, above = [*reversed(names), "", ""][:2]
    if above in ("mix", "for") and last != "makes":
        return "parts"
    if last == "amount":
        return "taken" if above == "used" else "money"
    if last == "size" and not above:
        return "size"
    return "money" if above == "months" else FORM_OF.get(last, "words")


def alone(
    place: tuple[int, tuple[Any, ...]], others: float = 0, chance: random.Random | None = None
) -> tuple[str, Tree]:
    """A kind of file, and its base with little more than what is wanted and the part that holds a place."""
    number, path = place
    kind, base = BASES[number]
    tree = copied(base)
    wanted = (path[0], *FILE_KINDS[kind].record.required)
    for key in [key for key in tree if key not in wanted] if isinstance(tree, dict) else ():
        if chance is None or chance.random() >= others:
            del tree[key]
    return kind, tree


def file_from(place: tuple[int, tuple[Any, ...]], chance: random.Random) -> tuple[str, str]:
    """A kind of file, and a file of it with a change or two (or none), the first at a place of PLACES."""
    kind, tree = alone(place, 0.2, chance)
    path = place[1]
    for _ in range(chance.choice((0, 1, 1, 1, 1, 1, 1, 2, 2))):
        change(tree, path, chance)
        there = list(places(tree))
        if not there:
            break
        path = chance.choice(there)
    return kind, written(tree) + "\n"


def forms_at(place: tuple[int, tuple[Any, ...]]) -> Iterator[tuple[str, str]]:
    """A file for each text of the form that stands at a place, without quotes and with them."""
    for text in FORMS[form_of(place[1])]:
        for bare in (True, False):
            kind, tree = alone(place)
            holder(tree, place[1])[place[1][-1]] = Text(text, bare)
            yield kind, written(tree) + "\n"


def shapes_at(place: tuple[int, tuple[Any, ...]]) -> Iterator[tuple[str, str]]:
    """A file for each other shape of what stands at a place, and each other spelling of its key."""
    step = place[1][-1]
    for reshaped in (lambda v: Text("", True), lambda v: Text("", False), lambda v: [], lambda v: {}, lambda v: [v],
                     lambda v: [v, Text("~", True)], lambda v: [[v]], lambda v: {"what": v}, lambda v: {"colour": v}):  # fmt: skip
        kind, tree = alone(place)
        holder(tree, place[1])[step] = reshaped(holder(tree, place[1])[step])
        yield kind, written(tree) + "\n"
    for respelled in _SPELLINGS if isinstance(step, str) else ():
        kind, tree = alone(place)
        there = holder(tree, place[1])
        there[respelled(step)] = there.pop(step)
        yield kind, written(tree) + "\n"
    kind, tree = alone(place)
    del holder(tree, place[1])[step]
    yield kind, written(tree) + "\n"


_SPELLINGS = (
    lambda key: key.replace(" ", "-"), lambda key: key.replace(" ", "_"), lambda key: f"_{key}", lambda key: key.upper(),
    lambda key: key.replace(" ", "  "), lambda key: key.replace(" ", ""), lambda key: f"{key}s",
)  # fmt: skip


def holder(tree: Any, path: tuple[Any, ...]) -> Any:
    """The list or mapping that holds what stands at a path."""
    for step in path[:-1]:
        tree = tree[step]
    return tree


def copied(tree: Tree) -> Tree:
    if isinstance(tree, dict):
        return {key: copied(value) for key, value in tree.items()}
    return [copied(item) for item in tree] if isinstance(tree, list) else tree


def change(tree: Any, path: tuple[Any, ...], chance: random.Random) -> None:
    """Change what stands at a path of the tree, or its key."""
    tree, step = holder(tree, path), path[-1]
    value = tree[step]
    bare = chance.random() < 0.8
    way = chance.random()
    if way < 0.55 and isinstance(value, Text):
        tree[step] = Text(chance.choice(FORMS[form_of(path)]), bare)
    elif way < 0.65:
        tree[step] = Text(chance.choice(ANYTHING), bare)
    elif way < 0.72:
        tree[step] = Text(chance.choice(("", "~", "null", "Null")), bare)
    elif way < 0.78:
        del tree[step]
    elif way < 0.86:
        other = Text(chance.choice(FORMS[form_of(path)]), bare)
        tree[step] = chance.choice(
            ([], {}, [value], [value, other], [[value]], {"what": value}, {chance.choice(KEYS): other})
        )
    elif way < 0.93 and isinstance(tree, dict):
        tree[chance.choice(_SPELLINGS)(str(step))] = tree.pop(step)
    elif isinstance(tree, dict):
        key = chance.choice(KEYS)
        tree[key.replace(" ", chance.choice(" -_"))] = Text(chance.choice(FORMS[form_of((*path[:-1], key))]), bare)
    else:
        tree.append(Text(chance.choice(FORMS[form_of(path)]), bare))
