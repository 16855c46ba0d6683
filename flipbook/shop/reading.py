"""From a shop's folder to its facts, or to every problem of every file at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from flipbook.shop.checking import check
from flipbook.shop.composing import Block, Items, Node, Scalar, compose, place_of
from flipbook.shop.facts import Facts, PieceFile
from flipbook.shop.fields import Reading, TooManyProblems
from flipbook.shop.finding import find
from flipbook.shop.folder import Listings, ShopFolder, lines_in
from flipbook.shop.problems import Name, Problem, at_most, in_order, problem_of
from flipbook.shop.records.base import Record, name_of_key, only_refusals
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.receipts import ReceiptFile
from flipbook.shop.records.setup import ProductFile, Shop, ToolFile, TripFile

R = TypeVar("R", bound=Record)


@dataclass(frozen=True, slots=True)
class FileRead:
    """What reading one file gave. `mark` is empty when it cannot be relied on to tell whether the file is as it was."""

    mark: str
    digest: bytes
    currency: str | None
    content: Record | None
    problems: tuple[Problem, ...]


@dataclass(slots=True)
class FilesRead:
    """What reading a shop gave of each file, to be taken again where the file is as it was."""

    files: dict[str, FileRead] = field(default_factory=dict)
    pieces: dict[str, PieceFile] = field(default_factory=dict)
    listings: Listings = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ShopRead:
    """What reading a shop gave: facts, unless a problem stands in their way, and all problems in order.

    `files` is what the next reading may be given.
    """

    facts: Facts | None
    problems: list[Problem]
    files: FilesRead = field(default_factory=FilesRead)


def read_shop(
    root: Path,
    tick: Callable[[int, int], None] = lambda done, of: None,
    instead: Mapping[str, bytes] | None = None,
) -> ShopRead:
    """Read and check every file of the shop at `root`; `tick` is told how many pieces of how many are read.

    Files of `instead` are read in place of those on the disk (see `ShopFolder`).
    """
    return read_folder(ShopFolder(root, instead), tick)


def read_folder(folder: ShopFolder, tick: Callable[[int, int], None], before: FilesRead | None = None) -> ShopRead:
    """As `read_shop`. With `before`, what another reading gave, a file that is as it was then is not read again."""
    reader = _Reader(folder, before)
    shop = reader.file("shop.yaml", Shop)
    reader.currency = shop.currency if shop else None
    products = reader.maybe("products.yaml", ProductFile, "products")
    tools = reader.maybe("tools.yaml", ToolFile, "tools")
    trips = reader.maybe("trips.yaml", TripFile, "trips")
    found = find(folder)
    reader.problems += found.problems
    receipts = [(file, reader.file(file, ReceiptFile, "receipts", may_be_empty=True)) for file in found.receipts]
    for number, name in enumerate(found.pieces, 1):
        reader.piece(name)
        tick(number, len(found.pieces))
    facts = Facts(
        shop=shop or Shop.unwritten("shop.yaml", shop="", currency="USD"),
        products=products.products if products else {},
        tools=tools.tools if tools else (),
        trips=trips.trips if trips else (),
        receipts=tuple((file, content) for file, content in receipts if content is not None),
        pieces=tuple(reader.read.pieces.values()),
    )
    whole = shop is not None and not reader.broken
    # References into a file that could not be read would be named as wrong; they are looked at when it is mended.
    unfit = at_most(check(facts, folder)) if whole else []
    problems = in_order([*reader.problems, *pinned(unfit, folder)])
    good = whole and all(problem.warning for problem in problems)
    reader.read.listings = folder.listings
    return ShopRead(facts if good else None, problems, reader.read)


def currency_of(root: Path) -> str | None:
    """The shop's currency, or None when shop.yaml cannot be read."""
    shop = _Reader(ShopFolder(root)).file("shop.yaml", Shop)
    return shop.currency if shop else None


class _Reader:
    """Reads files into records and gathers their problems."""

    def __init__(self, folder: ShopFolder, before: FilesRead | None = None) -> None:
        self.folder = folder
        self.currency: str | None = None
        self.problems: list[Problem] = []
        self.broken = False
        self.read = FilesRead()
        self._before = before

    def maybe(self, file: str, record: type[R], key: str) -> R | None:
        """The record of a file that need not be there."""
        return self.file(file, record, key, may_be_empty=True) if self.folder.exists(file) else None

    def piece(self, name: str) -> None:
        """Read the piece in a folder of pieces/; one that is as it was stays the very same."""
        file = f"pieces/{name}/piece.yaml"
        piece = self.file(file, Piece)
        if piece is None:
            return
        pictures = self.folder.pictures_of(name)
        filed = self._before.pieces.get(name) if self._before else None
        if filed is None or filed.piece is not piece or filed.pictures != pictures:
            filed = PieceFile(folder=name, file=file, piece=piece, pictures=pictures)
        self.read.pieces[name] = filed

    def file(self, file: str, record: type[R], key: str = "", *, may_be_empty: bool = False) -> R | None:
        """The record of a file; a bare list stands for the mapping with the one key `key`."""
        before = self._before.files.get(file) if self._before else None
        if before is not None and (before.currency != self.currency or self.folder.is_instead(file)):
            before = None
        if before is not None and before.mark == self.folder.look(file).mark:
            read = before
        else:
            read = self._file(file, record, key, before, may_be_empty=may_be_empty)
        if read.digest and not self.folder.is_instead(file):
            self.read.files[file] = read
        self.problems += read.problems
        self.broken = self.broken or bool(read.problems)
        return read.content if isinstance(read.content, record) else None

    def _file(self, file: str, record: type[R], key: str, before: FileRead | None, *, may_be_empty: bool) -> FileRead:
        data = self.folder.read(file)
        if isinstance(data, Problem):
            return FileRead("", b"", self.currency, None, (data,))
        mark, digest = "", b""
        if self._before is not None:
            look, digest = self.folder.look(file), sha256(data).digest()
            mark = "" if look.is_young else look.mark
            if before is not None and before.digest == digest:
                return replace(before, mark=mark)
        content = record_in(file, data, record, self.currency, key, may_be_empty=may_be_empty)
        return FileRead(mark, digest, self.currency, *content)


def record_in(
    file: str, data: bytes, record: type[R], currency: str | None, key: str = "", *, may_be_empty: bool = False
) -> tuple[R | None, tuple[Problem, ...]]:
    """The record that the bytes of a file say, and what is wrong with them.

    A bare list stands for the mapping with the one key `key`; `currency` None takes any sign of money.
    """
    node = compose(file, data)
    if isinstance(node, Problem):
        return None, (node,)
    if node is None:
        write = f"start it with a line `{next(iter(record.keys.values()))}: …`"
        return None, () if may_be_empty else (problem_of(file, "empty-file", "the file is empty", write),)
    if key and isinstance(node, Items):
        node = _under(key, node)
    reading = Reading(file, currency)
    try:
        content = record.model_validate(node, context=reading)
    except ValidationError as fault:
        only_refusals(fault)
    except TooManyProblems:
        pass
    else:
        if not reading.problems:
            return content, ()
    tree = _Tree(node)
    return None, tuple(tree.pin(problem) for problem in reading.problems)


def _under(key: str, items: Items) -> Block:
    block = Block(items.start)
    block.end = items.end
    block.pairs.append((Scalar(key, items.start, items.start, True), items))
    return block


def pinned(problems: list[Problem], folder: ShopFolder) -> list[Problem]:
    """The problems with each mark narrowed to the key that is at fault; the file is composed again for that."""

    @cache
    def tree(file: str) -> _Tree | None:
        data = folder.read(file)
        node = None if isinstance(data, Problem) else compose(file, data)
        return None if node is None or isinstance(node, Problem) else _Tree(node)

    return [
        tree_of.pin(problem) if problem.key and (tree_of := tree(problem.place.file)) else problem
        for problem in problems
    ]


def pinned_in(root: Path, problems: list[Problem], instead: Mapping[str, bytes] | None = None) -> list[Problem]:
    """As `pinned`, for problems that the sums of a shop at `root` met."""
    return pinned(problems, ShopFolder(root, instead))


class _Tree:
    """A composed file in which the mapping that starts at a place can be found."""

    def __init__(self, top: Node) -> None:
        self.starts: dict[tuple[int, int], Block] = {}
        waiting: list[Node] = [top]
        while waiting:
            node = waiting.pop()
            if isinstance(node, Block):
                # The outermost of those that start in one place comes first.
                self.starts.setdefault((node.start.line + 1, node.start.column + 1), node)
                waiting += [value for _, value in reversed(node.pairs)]
            elif isinstance(node, Items):
                waiting += reversed(node.items)

    def pin(self, problem: Problem) -> Problem:
        """The problem marked at its key, when it names one."""
        if not problem.key:
            return problem
        node: Node | None = self.starts.get((problem.place.line, problem.place.column))
        for step in problem.key:
            inner = _step_into(node, step)
            if inner is None:
                break
            node = inner
        place = place_of(problem.place.file, node) if node is not None else problem.place
        return replace(problem, place=place, key=())


def _step_into(node: Node | None, step: str | int | Name) -> Node | None:
    if isinstance(node, Block):
        for key, value in node.pairs:
            if isinstance(step, Name) and key.text.strip() == step:
                return key
            if step == name_of_key(key.text):
                return value
    if isinstance(node, Items) and isinstance(step, int) and step < len(node.items):
        return node.items[step]
    return None


def source_lines(root: Path, instead: Mapping[str, bytes] | None = None) -> Callable[[str], list[str]]:
    """A reader of the lines of a shop's files, for showing problems in their place."""
    return lines_in(ShopFolder(root, instead))
