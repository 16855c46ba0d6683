"""Mixing: parts to volumes and back, a past mix made larger or smaller, and enough of one for an area.

Parts are by volume and by name, water among them: of black milk paint 3 and water 1 three quarters are paint. Volumes are taken
to add up (common practice, no source). Amounts are US customary or metric, exact until they are told.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd, lcm
from typing import Final

from flipbook.measures.amounts import UNITS, Amount, Unit, leading_amount, read_amount
from flipbook.measures.numerals import NUMBER, number_value, read_number, write_decimal, write_number
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.nearest import folded
from flipbook.shop.records.uses import WATER

MOST: Final = Amount(Fraction(1000), UNITS["l"])
"""No mix in a workshop is over a thousand litres."""
_MOST_PARTS = 12
_MOST_WHOLE = 1000
_ML: Final = UNITS["ml"]
_FORM = "write it as `black milk paint 3, water 1`"

# Handbook 44, Appendix C: the imperial gallon is 4 546.09 ml, its pint an eighth, its fluid ounce a twentieth of a pint.
_IMPERIAL: Final = {
    "fl oz": Fraction("4546.09") / 160,
    "pint": Fraction("4546.09") / 8,
    "quart": Fraction("4546.09") / 4,
    "gallon": Fraction("4546.09"),
}

# How a paint thinned with water looks, by the least share of paint: common practice, no source.
_LOOKS: Final = (
    (Fraction(10, 11), "barely thinned"),
    (Fraction(3, 4), "thinned for brushing, and still covers"),
    (Fraction(3, 5), "a thin coat, the grain's relief shows"),
    (Fraction(1, 2), "a light wash that can be seen through"),
    (Fraction(1, 3), "a lighter wash, the grain is plain"),
    (Fraction(0), "a tint, mostly wood; so little binder wants a seal coat"),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """A part of a mix by its name, in parts."""

    name: str
    parts: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Poured:
    """A part of a mix, its share of the whole and how much of it goes in."""

    name: str
    parts: Fraction
    share: Fraction
    amount: Amount


@dataclass(frozen=True, kw_only=True, slots=True)
class Mixed:
    """A mix of an amount; `looks` is empty unless it is one paint and water."""

    poured: tuple[Poured, ...]
    makes: Amount
    looks: str
    working: tuple[str, ...]

    @property
    def as_parts(self) -> tuple[Part, ...]:
        return tuple(Part(name=each.name, parts=each.parts) for each in self.poured)


def read_parts(text: str) -> tuple[Part, ...]:
    """The parts of a mix: `black milk paint 3, water 1`, `3:1 black milk paint to water`, `black milk paint, thinned 10%`.

    Thinned by 10% is 10 of water to 100 of paint. Raises Unreadable, for `1:2` with no names too: which is the water
    must be said.
    """
    body = " ".join(text.split())
    if not body:
        raise Unreadable("no part of a mix was said", _FORM)
    _refuse_bare_ratio(body)
    thinned = re.fullmatch(rf"(.+?),? thinned (?:by |with )?({NUMBER}) ?%", body, re.IGNORECASE)
    if thinned is not None:
        percent = read_number(thinned[2])
        if percent > 1000:
            raise Unreadable(f"thinned {write_number(percent)}% is hardly paint", "write the parts by name")
        return _checked((Part(name=thinned[1], parts=Fraction(100)), Part(name=WATER, parts=percent)))
    ratio = re.fullmatch(rf"({NUMBER})((?: ?: ?{NUMBER})+) +(.+)", body) or _ratio_behind(body)
    if ratio is not None:
        numbers = [ratio[1], *re.split(" ?: ?", ratio[2].strip(" :"))]
        names = re.split(r"(?: to | and |, ?| ?: ?)", ratio[3])
        if len(names) != len(numbers) or not all(name.strip() for name in names):
            raise Unreadable(f"`{shown(body)}` does not name each of its {len(numbers)} parts", _FORM)
        return _checked(
            tuple(Part(name=name.strip(), parts=read_number(n)) for name, n in zip(names, numbers, strict=True))
        )
    return _checked(tuple(_part(piece.strip()) for piece in re.split("[,;]", body)))


def read_volume(text: str, *, by_weight: bool = False) -> Amount:
    """How much a mix makes: a volume, or with `by_weight` a weight.

    Raises Unreadable: `12 oz` is a weight, `12 imp fl oz` is no US measure, and nothing and over 1,000 l are refused.
    """
    body = " ".join(text.split())
    _refuse_imperial(body)
    try:
        amount = read_amount(body)
    except Unreadable:
        if re.fullmatch(NUMBER, body):
            raise Unreadable(f"`{body}` has no unit", f"write it with one, as `{body} fl oz` or `{body} ml`") from None
        raise
    wanted = "weight" if by_weight else "volume"
    if amount.unit.dimension != wanted:
        raise _other_dimension(amount, wanted)
    most = Amount(Fraction(1000), UNITS["kg"]) if by_weight else MOST
    if amount.in_unit(most.unit) > most.number:
        raise Unreadable(f"{amount} is more than any pot holds", "check the figure and its unit")
    return amount


def mixed(parts: Sequence[Part], makes: Amount) -> Mixed:
    """How much of each part goes into a mix that makes `makes`."""
    whole = sum((part.parts for part in parts), Fraction(0))
    poured = tuple(
        Poured(name=part.name, parts=part.parts, share=part.parts / whole, amount=makes.times(part.parts / whole))
        for part in parts
    )
    added = " + ".join(write_number(part.parts) for part in parts)
    first = poured[0]
    return Mixed(
        poured=poured,
        makes=makes,
        looks=_looks(parts),
        working=(
            f"{added} = {write_number(whole)} parts; one part is {tell_amount(makes)} / {write_number(whole)} = "
            f"{tell_amount(makes.times(1 / whole))}.",
            f"{first.name}: {write_number(first.parts)} of {write_number(whole)} parts, {tell_share(first.share)} of the mix.",
        ),
    )


def mixed_from(parts: Sequence[Part], name: str, amount: Amount) -> Mixed:
    """The mix that `amount` of the part called `name` makes. Raises Unreadable when no part is called so."""
    part = next((part for part in parts if folded(part.name) == folded(name)), None)
    if part is None:
        names = " or ".join(f"`{part.name}`" for part in parts)
        raise Unreadable(f"`{shown(name)}` is no part of this mix", f"write {names}")
    whole = sum((each.parts for each in parts), Fraction(0))
    done = mixed(parts, amount.times(whole / part.parts))
    first = (
        f"{tell_amount(amount)} of {part.name} are {write_number(part.parts)} of {write_number(whole)} parts: "
        f"{tell_amount(amount)} x {write_number(whole)} / {write_number(part.parts)} = {tell_amount(done.makes)}."
    )
    return Mixed(poured=done.poured, makes=done.makes, looks=done.looks, working=(first, *done.working[1:]))


def from_amounts(amounts: Sequence[tuple[str, Amount]]) -> Mixed:
    """The parts of a mix that was made by amounts: 4 fl oz and 8 fl oz are 1 to 2.

    Raises Unreadable for volumes mixed with weights: without a density neither can be made the other.
    """
    unit = amounts[0][1].unit
    odd = next((amount for _, amount in amounts if amount.unit.dimension != unit.dimension), None)
    if unit.dimension not in ("volume", "weight"):
        raise Unreadable(f"{unit} is no measure to mix by", "write volumes, as `4 fl oz` or `120 ml`")
    if odd is not None:
        raise Unreadable(
            f"{amounts[0][1]} and {odd} are a {unit.dimension} and a {odd.unit.dimension}, which can't be added without a density",
            "write `fl oz` for a fluid ounce" if "oz" in (unit.name, odd.unit.name) else "write all of them by volume",
        )
    sizes = [amount.in_unit(unit) for _, amount in amounts]
    scale = lcm(*(size.denominator for size in sizes))
    whole_parts = [int(size * scale) for size in sizes]
    least = gcd(*whole_parts)
    if max(whole_parts) > _MOST_WHOLE * least:
        # Amounts of two systems have no small whole numbers between them: the least of them is one part.
        least = min(whole_parts)
    parts = _checked(
        tuple(
            Part(name=name, parts=Fraction(size, least)) for (name, _), size in zip(amounts, whole_parts, strict=True)
        )
    )
    makes = Amount(sum(sizes, Fraction(0)), unit)
    done = mixed(parts, makes)
    told = " : ".join(write_number(part.parts) for part in parts)
    added = " + ".join(tell_amount(amount) for _, amount in amounts)
    line = f"{added} = {tell_amount(makes)}; in parts {told}."
    return Mixed(poured=done.poured, makes=done.makes, looks=done.looks, working=(line, *done.working[1:]))


def read_amounts(text: str) -> list[tuple[str, Amount]] | None:
    """Named amounts, `black milk paint 6 fl oz, water 2 fl oz`; None where the pieces are parts without a unit.

    Raises Unreadable where some have a unit and others have none.
    """
    pieces = [" ".join(piece.split()) for piece in re.split("[,;]", text)]
    found = [_named_amount(piece) for piece in pieces]
    if not any(found):
        return None
    for piece, each in zip(pieces, found, strict=True):
        if each is None:
            raise Unreadable(
                f"`{shown(piece)}` has no unit, and the others have", "write all as amounts, or all as parts"
            )
    return [each for each in found if each is not None]


def stirred_for(area: Fraction, coats: int, spread: Fraction, *, waste: Fraction, unit: Unit) -> tuple[Amount, str]:
    """How much of a mix covers `area`, in sq mm, in so many coats, rounded up to a half of `unit`; and its working.

    `spread` is in sq mm to the ml, for one coat; `waste` is a share on top.
    """
    exact = Amount(area * coats / spread * (1 + waste) / unit.size * UNITS["ml"].size, unit)
    step = Fraction(10) if unit.name == "ml" else Fraction(1, 2)
    rounded = Amount(ceil(exact.number / step) * step, unit)
    feet = UNITS["sq ft"].size
    per_unit = write_decimal(spread * unit.size / feet, places=2)
    line = (
        f"{write_decimal(area / feet, places=1)} sq ft x {coats} / {per_unit} sq ft a {unit} x {write_decimal(1 + waste, places=2)} = "
        f"{tell_amount(exact)}, so {tell_amount(rounded)}."
    )
    return rounded, line


def tell_amount(amount: Amount) -> str:
    """An amount in a sentence: exact where a cup or a rule has its mark, else to the hundredth."""
    number = write_number(amount.number, places=2)
    many = amount.number > 1 and amount.unit.name in ("cup", "pint", "quart", "gallon", "sheet")
    return f"{number} {amount.unit.name}{'s' if many else ''}"


def tell_both(amount: Amount) -> str:
    """An amount in its unit, and in ml beside it where that is another."""
    if amount.unit.dimension != "volume" or amount.unit.name in ("ml", "l"):
        return tell_amount(amount)
    return f"{tell_amount(amount)} ({write_decimal(amount.in_unit(_ML), places=0)} ml)"


def tell_share(share: Fraction) -> str:
    """A share in words where there is one: `one third`, else a percentage."""
    words = {
        Fraction(1, 2): "one half", Fraction(1, 3): "one third", Fraction(2, 3): "two thirds", Fraction(1, 4): "one quarter",
        Fraction(3, 4): "three quarters", Fraction(1, 5): "one fifth", Fraction(1): "all",
    }  # fmt: skip
    return words.get(share, f"{write_decimal(share * 100, places=1)}%")


def _looks(parts: Sequence[Part]) -> str:
    if len(parts) != 2 or sum(folded(part.name) == WATER for part in parts) != 1:
        return ""
    paint = next(part for part in parts if folded(part.name) != WATER)
    if not re.search(r"\bpaint\b|\benamel\b", folded(paint.name)):
        return ""
    share = paint.parts / (parts[0].parts + parts[1].parts)
    return next(words for least, words in _LOOKS if share >= least)


def _part(piece: str) -> Part:
    if re.match(r"[-−] ?[0-9]", piece) or re.search(r"\s[-−] ?[0-9]", piece):
        raise Unreadable("a part is not negative", _FORM)
    found = re.fullmatch(
        rf"(?P<name>.+?):? +(?P<parts>{NUMBER})(?: +parts?)?|(?P<first>{NUMBER})(?: +parts?)?(?: of)? +(?P<then>.+)",
        piece,
    )
    if found is None:
        raise Unreadable(f"`{shown(piece)}` is no part of a mix", _FORM)
    return Part(name=found["name"] or found["then"], parts=read_number(found["parts"] or found["first"]))


def _ratio_behind(body: str) -> re.Match[str] | None:
    """`black milk paint to water 3:1`, in the groups of the same with the numbers before."""
    found = re.fullmatch(rf"(.+?) +({NUMBER})((?: ?: ?{NUMBER})+)", body)
    if found is None:
        return None
    return re.fullmatch(rf"({NUMBER})((?: ?: ?{NUMBER})+) +(.+)", f"{found[2]}{found[3]} {found[1]}")


def _refuse_bare_ratio(body: str) -> None:
    found = re.fullmatch(rf"({NUMBER}) ?(?::|to) ?({NUMBER})", body)
    if found is None:
        return
    first, second = number_value(found[1]), number_value(found[2])
    if not first or not second:
        raise Unreadable("a part of nothing is no part", _FORM)
    share, other = first / (first + second), second / (first + second)
    raise Unreadable(
        f"`{shown(body)}` does not say which is the water",
        f"write `paint {found[1]}, water {found[2]}`, which is {tell_share(share)} paint, or `water {found[1]}, paint {found[2]}`, {tell_share(other)}",
    )


def _checked(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    names = [folded(part.name) for part in parts]
    twice = next((part.name for part, name in zip(parts, names, strict=True) if names.count(name) > 1), None)
    if twice is not None:
        raise Unreadable(f"`{shown(twice)}` is in it twice", "write each part once")
    if len(parts) < 2:
        raise Unreadable("a mix has two parts or more", _FORM)
    if len(parts) > _MOST_PARTS:
        raise Unreadable(f"those are over {_MOST_PARTS} parts", "write the mix in two")
    return parts


def _named_amount(piece: str) -> tuple[str, Amount] | None:
    """`black milk paint 4 fl oz` or `4 fl oz black milk paint`; None where there is no unit."""
    _refuse_imperial(piece)
    leading = leading_amount(piece)
    if leading is not None:
        amount, name = leading
        name = name.removeprefix("of ")
    else:
        at = re.search(rf"(?<![\w.,/]){NUMBER} *[A-Za-z]", piece)
        behind = leading_amount(piece[at.start() :]) if at else None
        if at is None or behind is None or behind[1]:
            return None
        name, amount = piece[: at.start()].strip(" :"), behind[0]
    if not name:
        raise Unreadable(f"`{shown(piece)}` does not say of what", "write it as `black milk paint 4 fl oz`")
    if not amount.number:
        raise Unreadable(f"nothing of `{shown(name)}` is no part", "write an amount greater than 0")
    if amount.unit.dimension not in ("volume", "weight"):
        return None
    return name, amount


def _refuse_imperial(body: str) -> None:
    found = re.search(
        rf"({NUMBER}) *(?:imp(?:erial)?\.?|uk|british) *(fl(?:uid)?\.? *(?:oz|ounces?)|pints?|quarts?|gal(?:lons?)?)\b",
        body,
        re.IGNORECASE,
    )
    if found is None:
        if re.search(r"\bdry +(?:pint|quart)", body, re.IGNORECASE):
            raise Unreadable("a dry pint is no measure for paint", "write a liquid one, as `1 pint`")
        return
    word = found[2].lower()
    unit = "fl oz" if word.startswith("fl") else "gallon" if word.startswith("gal") else word.rstrip("s")
    number, imperial = number_value(found[1]), _IMPERIAL[unit]
    way = "smaller" if imperial < UNITS[unit].size else "larger"
    name = {"fl oz": "fluid ounce"}.get(unit, unit)
    raise Unreadable(
        f"amounts here are US ones, and the imperial {name}, {write_decimal(imperial, places=2)} ml, is {way} than the US one, {write_decimal(UNITS[unit].size, places=2)} ml",
        f"write `{write_decimal(number * imperial, places=1)} ml` for {write_number(number)} imperial",
    )


def _other_dimension(amount: Amount, wanted: str) -> Unreadable:
    number = write_number(amount.number)
    if amount.unit.name == "oz" and wanted == "volume":
        return Unreadable(
            f"{amount} is a weight, and this is mixed by volume",
            f"write `{number} fl oz` for fluid ounces; what goes on a scale takes --by-weight",
        )
    if amount.unit.name == "fl oz" and wanted == "weight":
        return Unreadable(f"{amount} is a volume, and this is mixed by weight", f"write `{number} oz`, or grams")
    example = "300 g" if wanted == "weight" else "12 fl oz"
    return Unreadable(f"{amount} is no {wanted}", f"write a {wanted}, as `{example}`")
