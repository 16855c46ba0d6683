"""Till slips, drawn from what the shop's own files say was paid, so that the two agree."""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

from PIL import Image, ImageDraw, ImageFilter, ImageFont
from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, SequenceNode

WIDE = 380
PAPER, PRINT = 246, 58
TOTAL, PAID_BACK = "TOTAL", "PAID BACK"


def slips(shop: Path) -> Iterator[tuple[Path, Image.Image]]:
    """Every slip that a file names as a `scan`, once, with where it belongs."""
    for file in sorted(shop.rglob("*.yaml")):
        for entry in _entries(_plain(YAML().compose(file.read_text(encoding="utf-8")))):
            if isinstance(scan := entry.get("scan"), str):
                yield file.parent / scan, _slip(entry)


def _plain(node: Any) -> Any:
    """Mappings, lists and the very words of the file; no number is made of anything."""
    if isinstance(node, MappingNode):
        return {key.value: _plain(value) for key, value in node.value}
    if isinstance(node, SequenceNode):
        return [_plain(item) for item in node.value]
    return node.value


def _entries(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        if "on" in value:
            yield value
        for inner in value.values():
            yield from _entries(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _entries(inner)


def _rows(receipt: dict[str, Any]) -> list[tuple[str, str]]:
    """What is printed on the left and on the right, line by line."""
    lines = receipt.get("lines") or [{"what": receipt.get("tool") or "1 piece, as seen", **receipt}]
    rows, total = [], Decimal(0)
    for line in lines:
        count = Decimal(line.get("count", "1"))
        said = line.get("cost") or line.get("got back")
        cost = Decimal(said) if said else count * Decimal(line["each"])
        total += cost
        rows.append((line["what"], f"{cost:.2f}"))
        if "each" in line:
            rows.append((f"   {count} at {line['each']}", ""))
    rows.append(("", ""))
    for word, sign in (("discount", -1), ("tax", 1), ("shipping", 1)):
        if amount := Decimal(receipt.get(word, "0")):
            total += sign * amount
            rows.append((word, f"{sign * amount:.2f}"))
    rows.append((PAID_BACK if "got back" in receipt else TOTAL, f"{total:.2f}"))
    return rows


def _slip(receipt: dict[str, Any]) -> Image.Image:
    """A grey scan of one slip, lying a little crooked."""
    rows = _rows(receipt)
    high = 190 + 26 * len(rows)
    rng = Random(f"{receipt['on']}{receipt['from']}")
    paper = Image.new("L", (WIDE, high), PAPER)
    draw = ImageDraw.Draw(paper)
    large, small = ImageFont.load_default(22), ImageFont.load_default(17)
    draw.text((WIDE / 2, 34), receipt["from"], PRINT, large, anchor="mm")
    draw.text((WIDE / 2, 62), receipt["on"], PRINT, small, anchor="mm")
    draw.line([(24, 84), (WIDE - 24, 84)], PRINT, 1)
    y = 102
    for left, right in rows:
        font = large if left in (TOTAL, PAID_BACK) else small
        if font is large:
            draw.line([(24, y), (WIDE - 24, y)], PRINT, 1)
            y += 6
        draw.text((26, y), left, PRINT, font)
        draw.text((WIDE - 26, y), right, PRINT, font, anchor="ra")
        y += 26
    draw.text((WIDE / 2, high - 34), "thank you", PRINT + 50, small, anchor="mm")
    for x in range(0, WIDE, 12):  # the torn edge
        draw.polygon([(x, high), (x + 6, high - 7), (x + 12, high)], fill=206)
    fold = high * rng.uniform(0.4, 0.6)
    draw.line([(0, fold), (WIDE, fold + 3)], PAPER - 14, 2)
    bed = Image.new("L", (WIDE + 80, high + 70), 206)
    shade = Image.new("L", bed.size, 0)
    shade.paste(120, (44, 40, 44 + WIDE, 40 + high))
    bed.paste(150, (0, 0), shade.filter(ImageFilter.GaussianBlur(8)))
    bed.paste(paper, (40, 32))
    turned = bed.rotate(rng.uniform(-1.8, 1.8), Image.Resampling.BICUBIC, fillcolor=206)
    return turned.quantize(16).convert("L").point([v // 12 * 12 for v in range(256)]).quantize(16)
