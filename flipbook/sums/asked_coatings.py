"""The command line of mixing and coats: their words read, their answers told."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import partial
from math import ceil

from flipbook.books.lots import ProductShelf
from flipbook.cli.ending import Misused, many
from flipbook.entry.said import piece_said, read_or_refuse, read_words, when_said
from flipbook.looking.words import NotAWord, Word, fold
from flipbook.measures.amounts import UNITS, Amount, Unit, read_amount, read_coverage
from flipbook.measures.fees import read_percentage
from flipbook.measures.numerals import write_decimal, write_number
from flipbook.measures.times import write_time_taken
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.editing import Entry
from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Step
from flipbook.shop.records.uses import WATER, Mix
from flipbook.sums.answer import Answer, Data, amount_data, telling
from flipbook.sums.at_hand import AtHand
from flipbook.sums.coats import (
    WASTE,
    Face,
    Needed,
    Spread,
    ToBuy,
    area_of,
    buying_line,
    label_spread,
    paint_needed,
    read_faces,
    to_buy,
    usual_spread,
)
from flipbook.sums.mixing import (
    Mixed,
    Part,
    from_amounts,
    mixed,
    mixed_from,
    read_amounts,
    read_parts,
    read_volume,
    stirred_for,
    tell_amount,
    tell_both,
)
from flipbook.trade.kinds import kind_used

_FL_OZ = UNITS["fl oz"]
_CASES = re.compile(
    r"chest|dresser|drawer|bureau|cabinet|cupboard|sideboard|buffet|armoire|wardrobe|bookcase|nightstand|washstand|hutch|commode|credenza|box|trunk",
    re.IGNORECASE,
)


def mix(at_hand: AtHand) -> Answer:
    """`flipbook sums mix`."""
    arguments = at_hand.arguments
    like = ""
    parts: tuple[Part, ...] = ()
    done: Mixed | None = None
    if arguments.like is not None or (not at_hand.words.strip() and arguments.piece is not None):
        past, like = _past_mix(at_hand, arguments.words)
        parts = tuple(Part(name=name, parts=number) for name, number, _ in past.parts)
        if _said_amounts(at_hand) == 0:
            done = mixed(parts, past.makes)
    else:
        amounts = at_hand.of_words(read_amounts, "the mix")
        if amounts is not None:
            if _said_amounts(at_hand):
                parts = from_amounts(amounts).as_parts
            else:
                done = from_amounts(amounts)
        else:
            parts = at_hand.of_words(read_parts, "the mix")
    extra: list[str] = []
    if done is None:
        done, extra = _stirred(at_hand, parts)
    product_lines = [line for each in done.poured for line in _shelf_line(at_hand, each.name, each.amount)]
    lines = [_mix_line(done), *([f"Like {like}."] if like else [])]
    if done.looks:
        lines.append(f"Looks: {done.looks} (common practice, no source).")
    if len(done.poured) == 2 and done.looks and "tint" in done.looks:
        lines.append("Keep to the label's limit where the film has to protect.")
    when = when_said(arguments.on)
    return Answer(
        lines=[*lines, *product_lines],
        warnings=at_hand.rags(each.name for each in done.poured),
        working=[*extra, *done.working],
        data={
            "parts": [
                {
                    "name": each.name,
                    "parts": write_number(each.parts),
                    "share": write_decimal(each.share),
                    "amount": amount_data(each.amount),
                    "left": amount_data(_left(at_hand, each.name)),
                }
                for each in done.poured
            ],
            "makes": amount_data(done.makes),
            "looks": done.looks,
            "like": like or None,
        },
        step={
            "on": f"{when.day} {when.clock:%H:%M}" if when.clock else f"{when.day}",
            "did": at_hand.did(f"mixed {_in_words(done)}"),
            "mix": _mix_entry(done),
        },
        day=when.day,
    )


def _said_amounts(at_hand: AtHand) -> int:
    arguments = at_hand.arguments
    return sum(value is not None for value in (arguments.makes, arguments.have, arguments.area))


def _stirred(at_hand: AtHand, parts: tuple[Part, ...]) -> tuple[Mixed, list[str]]:
    arguments = at_hand.arguments
    number = _said_amounts(at_hand)
    if number > 1:
        raise Misused(
            "a mix makes so much, or is made of what you have, or for an area; say one of --makes, --have, --area"
        )
    makes = at_hand.said("--makes", partial(read_volume, by_weight=arguments.by_weight), None)
    if makes is not None:
        return mixed(parts, makes), []
    if arguments.have is not None:
        named = at_hand.said("--have", read_amounts, None)
        if named is None or len(named) != 1:
            raise Misused('--have says how much of which part: --have "5 fl oz black milk paint"')
        name, amount = named[0]
        read_or_refuse(str(amount), partial(read_volume, by_weight=arguments.by_weight), "--have")
        return mixed_from(parts, name, amount), []
    area = at_hand.said("--area", _read_area, None)
    if area is not None:
        spread = _spread_of_mix(at_hand, parts)
        waste = at_hand.said("--waste", read_percentage, WASTE)
        unit = UNITS["ml"] if area.unit.name == "sq m" else _FL_OZ
        makes, line = stirred_for(area.number * area.unit.size, _coats(at_hand), spread.least, waste=waste, unit=unit)
        read_or_refuse(str(makes), read_volume, "the area")
        return mixed(parts, makes), [line, f"A mix is taken to spread as its paint does ({spread.source})."]
    raise Misused('say how much it makes, as --makes "12 fl oz"; or --have, or --area with --coats')


def _spread_of_mix(at_hand: AtHand, parts: Iterable[Part]) -> Spread:
    label = at_hand.said("--covers", _read_label, None)
    if label is not None:
        return label
    for part in parts:
        if folded(part.name) != WATER:
            spread = _spread_of(at_hand, part.name)
            if spread is not None and spread.dimension == "volume":
                return spread
    raise Misused('nothing says how far it goes; say it as --covers "75 sq ft per pint"')


def _past_mix(at_hand: AtHand, words: list[str]) -> tuple[Mix, str]:
    """The last mix of a piece, or the last whose step holds the words; and whose it is."""
    arguments = at_hand.arguments
    root = at_hand.root
    if root is None:
        raise Misused("there is no shop here to look for a past mix in; go to your shop's folder, or say --shop DIR")
    if arguments.like is not None:
        folder = piece_said(root, arguments.like, at_hand.page, open_first=False).piece.folder
        piece = at_hand.read(folder)
    else:
        assert at_hand.chosen is not None
        assert at_hand.piece is not None
        folder, piece = at_hand.chosen.piece.folder, at_hand.piece
    try:
        asked = [Word(one) for one in words]
    except NotAWord as fault:
        raise Misused(f"`{fault}` has no letter and no digit in it; say words of the step that is meant") from None
    steps = [step for step in piece.log if step.mix is not None]
    fits = [step for step in steps if all(word.in_(fold(_of_step(step))) for word in asked)]
    if not steps:
        raise Misused(f"`{folder}` has no mix in its log; write the parts, as `black milk paint 3, water 1`")
    if not fits:
        raise Misused(f"no mix of `{folder}` holds {', '.join(f'`{word.said}`' for word in asked)}; leave words out")
    last = max(enumerate(fits), key=lambda pair: (pair[1].on.day, pair[0]))[1]
    assert last.mix is not None
    return last.mix, f"{folder} on {last.on.day}: {shown(' '.join(last.did.split()), 60)}"


def _of_step(step: Step) -> str:
    mix = step.mix
    return f"{step.did} {' '.join(name for name, _, _ in mix.parts) if mix else ''}"


def _mix_line(done: Mixed) -> str:
    poured = ", ".join(f"{each.name} {tell_both(each.amount)}" for each in done.poured)
    return f"{tell_amount(done.makes)}: {poured}."


def _in_words(done: Mixed) -> str:
    return " to ".join(f"{each.name} {write_number(each.parts)}" for each in done.poured)


def _mix_entry(done: Mixed) -> dict[str, Entry]:
    parts: dict[str, Entry] = {each.name: write_number(each.parts) for each in done.poured}
    return {**parts, "makes": str(done.makes)}


def _left(at_hand: AtHand, name: str) -> Amount | None:
    if at_hand.books is None:
        return None
    product = at_hand.books.shelf.products.get(folded(name))
    return Amount(product.left, product.unit) if product is not None else None


def _shelf_line(at_hand: AtHand, name: str, amount: Amount) -> list[str]:
    if folded(name) == WATER:
        return []
    product = at_hand.on_shelf(name)
    if product is None:
        return []
    if product.unit.dimension != amount.unit.dimension:
        return [
            f"On the shelf: {tell_amount(Amount(product.left, product.unit))} of {product.name}, bought by {product.unit.dimension}."
        ]
    buy = to_buy(amount, Amount(product.left, product.unit), *_container(product))
    return [buying_line(product.name, buy)]


def _container(product: ProductShelf) -> tuple[str, Amount | None]:
    """The container that a product was last bought in, opening stock aside where there is other."""
    lots = [lot for lot in product.lots if not lot.is_opening]
    if not lots:
        return "", None
    return lots[-1].container, Amount(lots[-1].container_size, product.unit)


def coats(at_hand: AtHand) -> Answer:
    """`flipbook sums coats`."""
    arguments = at_hand.arguments
    tell = telling(arguments.size, *arguments.words)
    faces = read_faces(at_hand.words, at_hand.size, tell=tell)
    area = area_of(faces)
    lines = [
        f"{write_decimal(area / UNITS['sq ft'].size, places=1)} sq ft to coat ({write_decimal(area / UNITS['sq m'].size, places=2)} sq m)."
    ]
    notes = _not_a_case(at_hand, faces)
    data: Data = {
        "faces": [{"name": face.name, "sq_ft": write_decimal(face.area / UNITS["sq ft"].size)} for face in faces],
        "sq_ft": write_decimal(area / UNITS["sq ft"].size),
    }
    working = [f"{face.name}: {face.reckoned}" for face in faces]
    if arguments.product is None and arguments.covers is None:
        if any(
            value is not None for value in (arguments.coats, arguments.waste, arguments.spray_loss, arguments.sold_in)
        ):
            raise Misused('coats of what? say --product "black milk paint", or --covers "75 sq ft per pint"')
        return Answer(
            lines=lines,
            warnings=notes,
            working=working,
            data=data,
            cannot_jot="an area is no step; say --product and --coats too",
        )
    name = at_hand.said("--product", read_words, "paint")
    shelved = at_hand.on_shelf(name) if arguments.product is not None else None
    spread = at_hand.said("--covers", _read_label, None) or _spread_of(at_hand, name)
    if spread is None:
        raise Misused(f'nothing says how far `{shown(name)}` goes; say it as --covers "75 sq ft per pint"')
    needed = _needed(at_hand, faces, spread, _unit_for(spread, shelved, arguments.covers))
    lines.append(_needed_line(needed, name))
    buy = _to_buy(at_hand, shelved, needed)
    if buy is not None:
        lines.append(buying_line(name, buy))
    return Answer(
        lines=lines,
        warnings=[*notes, *at_hand.rags([name])],
        working=[
            *working[: 1 if len(working) > 4 else 4],
            *([f"and {many(len(working) - 1, 'part')} more"] if len(working) > 4 else []),
            *needed.working,
        ],
        data={
            **data,
            "product": name,
            "coats": needed.coats,
            "least": amount_data(needed.least),
            "most": amount_data(needed.most),
            "coverage": spread.source,
            "left": amount_data(buy.left) if buy else None,
            "buy": {"number": buy.number, "container": buy.container, "size": amount_data(buy.size)} if buy else None,
        },
        planned=_coats_planned(at_hand, name, needed) if arguments.product is not None else (),
        cannot_jot="coats of what? say --product",
    )


def _not_a_case(at_hand: AtHand, faces: tuple[Face, ...]) -> list[str]:
    piece = at_hand.piece
    if piece is None or _CASES.search(f"{piece.kind} {piece.piece}"):
        return []
    if not any(face.name in ("sides", "side", "front", "back") for face in faces):
        return []
    return [
        f"Reckoned as a closed case, which `{shown(piece.kind or piece.piece, 30)}` may not be: name its parts with their own sizes for a better figure."
    ]


def _needed(at_hand: AtHand, faces: tuple[Face, ...], spread: Spread, unit: Unit) -> Needed:
    loss = at_hand.said("--spray-loss", read_percentage, None)
    waste = at_hand.said("--waste", read_percentage, WASTE if loss is None else Fraction(0))
    return paint_needed(faces, coats=_coats(at_hand), spread=spread, unit=unit, waste=waste, loss=loss or Fraction(0))


def _coats(at_hand: AtHand) -> int:
    text = at_hand.arguments.coats
    if text is None:
        return 1
    if not re.fullmatch("[1-9][0-9]?", text.strip()) or int(text) > 20:
        raise Misused(f"--coats: `{shown(text)}` is no number of coats; write one from 1 to 20")
    return int(text)


def _read_label(text: str) -> Spread:
    return label_spread(read_coverage(text), "as said")


def _spread_of(at_hand: AtHand, name: str) -> Spread | None:
    """What the label says in products.yaml, else what is usual for the kind."""
    known = at_hand.products.get(folded(name))
    if known is not None and known.covers is not None:
        covers = known.covers
        source = f"products.yaml: {covers[0]} per {str(covers[1]).removeprefix('1 ')}"
        return label_spread(covers, source)
    return usual_spread(kind_used(name, at_hand.products))


def _unit_for(spread: Spread, shelved: ProductShelf | None, covers: str | None) -> Unit:
    """The unit to tell it in: that of the shelf or of the coverage said, and fluid ounces for what is US."""
    unit = _FL_OZ if spread.dimension == "volume" else UNITS["oz"]
    if shelved is not None:
        unit = shelved.unit
    elif covers is not None:
        unit = read_coverage(covers)[1].unit
    return _FL_OZ if unit.dimension == "volume" and unit.name not in ("ml", "l") else unit


def _needed_line(needed: Needed, name: str) -> str:
    between = (
        tell_both(needed.most)
        if needed.least == needed.most
        else f"{tell_amount(needed.least)} to {tell_both(needed.most)}"
    )
    return f"{many(needed.coats, 'coat')} of {name}: {between}."


def _to_buy(at_hand: AtHand, shelved: ProductShelf | None, needed: Needed) -> ToBuy | None:
    size = at_hand.said("--sold-in", read_amount, None)
    if size is not None and size.unit.dimension != needed.most.unit.dimension:
        raise Misused(f"--sold-in: {size} is a {size.unit.dimension}, and the paint is by {needed.most.unit.dimension}")
    if shelved is None:
        return to_buy(needed.most, Amount(Fraction(0), needed.most.unit), "", size) if size is not None else None
    container, known = _container(shelved)
    return to_buy(needed.most, Amount(shelved.left, shelved.unit), "" if size else container, size or known)


def _coats_planned(at_hand: AtHand, name: str, needed: Needed) -> list[Entry]:
    """An entry for each coat, with what it will take; the last hundredth is rounded up."""
    each = Fraction(ceil(needed.most.number / needed.coats * 100), 100)
    known = at_hand.products.get(folded(name))
    which = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
    entries: list[Entry] = []
    for number in range(needed.coats):
        ordinal = f"{which[number]} coat" if needed.coats > 1 and number < len(which) else "coat"
        entry: dict[str, Entry] = {
            "did": f"{ordinal} of {name}",
            "used": [f"{write_decimal(each, places=2)} {needed.most.unit} {name}"],
        }
        if known is not None and known.recoat is not None:
            entry["dries"] = write_time_taken(known.recoat)
        entries.append(entry)
    return entries


def _read_area(text: str) -> Amount:
    amount = read_amount(text)
    if amount.unit.dimension != "area":
        raise Unreadable(f"{amount} is no area", "write it as `20 sq ft` or `2 sq m`")
    if amount.in_unit(UNITS["sq m"]) > 1000:
        raise Unreadable(f"{amount} is more than any piece has", "check the figure and its unit")
    return amount
