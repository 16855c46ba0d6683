"""Edits that keep every other byte: an entry goes into a file, or out of it, and all else stays as it was written.

An edit finds its place by the marks of the composed tree and splices text in there, in the manner of its neighbours.
The result is composed again: it must be the old tree and exactly the entry, or the edit is not made.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NoReturn

from flipbook.shop.composing import Block, Items, Node, Scalar, compose, nodes_below, place_of, type_of
from flipbook.shop.manner import Entry, key_lines, list_lines, quoted, unwritable_in
from flipbook.shop.placing import Page, filled, into_empty_file, into_list, made_a_list, new_pair, taken_out
from flipbook.shop.problems import Problem
from flipbook.shop.records.base import duplicates, name_of_key
from flipbook.shop.splicing import Splice, is_flow, spliced

__all__ = ["CannotEdit", "Entry", "appended", "quoted", "removed", "with_key"]

Plain = None | str | list["Plain"] | dict[str, "Plain"]
"""What a tree says, without how it is written."""

_BY_HAND = "make the change by hand"


class CannotEdit(Exception):
    """An edit that is not made: `says` what stands in its way, what to `write` instead, and the place if it has one."""

    def __init__(self, says: str, write: str, problem: Problem | None = None) -> None:
        super().__init__(f"{says}; {write}")
        self.says = says
        self.write = write
        self.problem = problem


def appended(
    file: str,
    data: bytes,
    path: Sequence[str | int],
    entry: Entry,
    *,
    before: Callable[[Node], bool] | None = None,
    keys: Sequence[str] = (),
) -> bytes:
    """`data` with `entry` as a further entry of the list at `path`; the path is empty when the file itself is the list.

    The entry goes before the first one for which `before` is true, else last. A key that holds one entry without a list
    is made to hold a list; one that is absent is placed by `keys`, the order of the keys as a person writes them.
    Raises CannotEdit.
    """
    edit = _Edit(file, data)
    edit.refuse_unwritable(entry)
    around = edit.walk(path[:-1]) if path else []
    key = path[-1] if path else None
    value = edit.top if key is None else edit.value_of(around, edit.key(key))
    if isinstance(value, Items) and (value.items or key is None):
        items = [_plain(item) for item in value.items]
        index = next((i for i, item in enumerate(value.items) if before and before(item)), len(items))
        items.insert(index, _plain_entry(entry))
        return edit.best(value, items, into_list(edit.page, [*around, value], value, index, entry))
    if key is None:
        if value is not None:
            edit.refuse(
                value, f"the file is {type_of[value.__class__]}, and not a list", "name the key of a list in it"
            )
        return edit.best(None, [_plain_entry(entry)], into_empty_file(edit.page, lambda m: list_lines([entry], 0, m)))
    if value is None or _is_nothing(value):
        return _with_key(edit, around, edit.key(key), [entry], keys, as_list=True)
    goes_first = before is not None and before(value)
    both = [_plain_entry(entry), _plain(value)] if goes_first else [_plain(value), _plain_entry(entry)]
    return edit.best(value, both, made_a_list(edit.page, around, edit.key(key), value, entry, goes_first))


def with_key(file: str, data: bytes, path: Sequence[str | int], entry: Entry, *, keys: Sequence[str] = ()) -> bytes:
    """`data` with the key at the end of `path`, which is absent or empty, set to `entry`.

    A number in the path is a place in a list, from 0. `keys` is the order of the keys as a person writes them: the new
    one goes after the nearest of those before it, else last. Raises CannotEdit.
    """
    edit = _Edit(file, data)
    edit.refuse_unwritable(entry)
    around, key = edit.walk(path[:-1]), edit.key(path[-1])
    value = edit.value_of(around, key)
    if value is not None and not _is_nothing(value):
        edit.refuse(value, f"`{key}` is written already", "change what stands there by hand")
    return _with_key(edit, around, key, entry, keys, as_list=False)


def removed(file: str, data: bytes, path: Sequence[str | int]) -> bytes:
    """`data` without one entry of a list or one key; a list that would be empty goes with its key.

    Comments stay, but those between the lines of what goes. Raises CannotEdit.
    """
    edit = _Edit(file, data)
    return _without(edit, edit.walk(path[:-1]), path)


class _Edit:
    """One file that is edited: its text, its tree, and the check of what an edit made of it."""

    def __init__(self, file: str, data: bytes) -> None:
        top = compose(file, data)
        if isinstance(top, Problem):
            raise CannotEdit(top.says, top.help, top)
        self.file, self.top = file, top
        whole = data.decode("utf-8")
        # The reader drops one byte-order mark and the parser another, and neither counts it.
        marks = len(whole[:2]) - len(whole[:2].lstrip("\ufeff"))
        self.mark = whole[:marks]
        self.page = Page(whole[marks:], [] if top is None else list(nodes_below(top)))
        for node in self.page.nodes:
            if isinstance(node, Block):
                self.refuse_duplicates(node, str)

    def refuse(self, node: Node, says: str, write: str) -> NoReturn:
        place = place_of(self.file, node)
        raise CannotEdit(says, write, Problem(name="cannot-edit", place=place, says=says, help=write))

    def refuse_duplicates(self, block: Block, fold: Callable[[str], str]) -> None:
        for problem in duplicates(self.file, block, fold):
            raise CannotEdit(problem.says, problem.help, problem)

    def refuse_unwritable(self, entry: Entry) -> None:
        sign = unwritable_in(entry)
        if sign is not None:
            raise CannotEdit(f"the sign U+{ord(sign):04X} cannot stand in a file", "take it out of the text")

    def key(self, step: str | int) -> str:
        if isinstance(step, int):
            raise CannotEdit("a key is wanted here, and not a place in a list", "name the key")
        return step

    def walk(self, path: Sequence[str | int]) -> list[Node]:
        """The nodes on the way to `path`, from the top; the first of a list may be asked of what stands without one."""
        if self.top is None:
            if path:
                raise CannotEdit(f"there is no `{path[0]}` in {self.file}", _BY_HAND)
            return []
        trail: list[Node] = [self.top]
        for step in path:
            here = trail[-1]
            if isinstance(step, str):
                value = self.value_of(trail, step)
                if value is None:
                    self.refuse(here, f"there is no `{step}` here", _BY_HAND)
                trail.append(value)
            elif isinstance(here, Items):
                if not 0 <= step < len(here.items):
                    self.refuse(here, f"there is no entry number {step + 1} in this list", "count its entries again")
                trail.append(here.items[step])
            elif step != 0:
                self.refuse(here, "this is one entry, and not a list of several", "leave the number out")
        return trail

    def value_of(self, trail: Sequence[Node], key: str) -> Node | None:
        """The value of a key of the last mapping of a trail, None when it is absent."""
        here = trail[-1] if trail else None
        if isinstance(here, Block):
            self.refuse_duplicates(here, name_of_key)
            return next((value for k, value in here.pairs if name_of_key(k.text) == name_of_key(key)), None)
        if here is not None and not _is_nothing(here):
            self.refuse(here, f"`{key}` is a key of a mapping, and this is {type_of[here.__class__]}", _BY_HAND)
        return None

    def best(self, node: Node | None, says: Plain, candidates: Iterable[list[Splice]]) -> bytes:
        """The bytes with the first of several edits by which `node` says that (the whole file when it is None), and
        nothing else has changed."""
        expected = says if node is None else _plain(self.top, node, says)
        fault: Problem | None = None
        for splices in candidates:
            data = (self.mark + spliced(self.page.text, splices)).encode("utf-8")
            found = compose(self.file, data)
            if isinstance(found, Problem):
                fault = fault or (found if found.name.startswith("too-") else None)
            elif _plain(found) == expected:
                return data
        if fault is not None:
            raise CannotEdit(fault.says, fault.help, fault)
        says_why = f"{self.file} is written in a way that this cannot be fitted into"
        if node is not None:
            self.refuse(node, says_why, _BY_HAND)
        raise CannotEdit(says_why, _BY_HAND)


def _is_nothing(node: Node) -> bool:
    """Whether a value says nothing: `key:`, `key: ~`, `key: ""`, `key: []`, `key: {}`, or `key: |` with nothing below."""
    if isinstance(node, Scalar):
        return node.is_empty or not node.text
    return not (node.pairs if isinstance(node, Block) else node.items)


def _plain(node: Node | None, instead_of: Node | None = None, says: Plain = None) -> Plain:
    """What a tree says; `says` in place of the node `instead_of`."""
    if node is instead_of:
        return says
    if node is None or isinstance(node, Scalar):
        return None if node is None or node.is_empty else node.text
    if isinstance(node, Items):
        return [_plain(item, instead_of, says) for item in node.items]
    said = {key.text: _plain(value, instead_of, says) for key, value in node.pairs}
    # A key that stands twice makes a mapping that is like no other.
    return said if len(said) == len(node.pairs) else [*said, "twice"]


def _plain_entry(entry: Entry) -> Plain:
    if isinstance(entry, str):
        return entry
    if isinstance(entry, Mapping):
        return {key: _plain_entry(value) for key, value in entry.items()}
    return [_plain_entry(value) for value in entry]


def _with_key(edit: _Edit, around: list[Node], key: str, entry: Entry, keys: Sequence[str], *, as_list: bool) -> bytes:
    """The bytes with a key, absent or empty, of the last mapping of `around` set; a list has a line for each entry if
    `as_list` says so."""
    says = _plain_entry(entry)
    if not around:
        return edit.best(None, {key: says}, into_empty_file(edit.page, lambda m: key_lines(key, entry, 0, m, as_list)))
    block = around[-1]
    if not isinstance(block, Block):
        holder = around[-2] if len(around) > 1 else None
        if not isinstance(holder, Block):
            edit.refuse(block, f"there is no mapping here that could have the key `{key}`", _BY_HAND)
        name = next(k.text for k, value in holder.pairs if value is block)
        return _with_key(edit, around[:-1], name, {key: entry}, keys, as_list=False)
    for there, value in block.pairs:
        if name_of_key(there.text) == name_of_key(key):
            return edit.best(value, says, filled(edit.page, around, block, there, value, entry, as_list))
    said = _plain(block)
    assert isinstance(said, dict)
    return edit.best(block, {**said, key: says}, new_pair(edit.page, around, block, key, entry, keys, as_list))


def _without(edit: _Edit, around: list[Node], path: Sequence[str | int]) -> bytes:
    """The bytes without the last step of `path`, which leads out of the last node of `around`."""
    here, step = (around[-1] if around else None), (path[-1] if path else None)
    if here is None or step is None:
        raise CannotEdit("there is nothing here to take out", "look at the file")
    if isinstance(step, int):
        if not isinstance(here, Items):
            return _without(edit, around[:-1], path[:-1])
        edit.walk(path)
        if len(here.items) == 1 and len(around) > 1:
            return _without(edit, around[:-1], path[:-1])
        left: Plain = [_plain(item) for i, item in enumerate(here.items) if i != step]
        index = step
    else:
        edit.walk(path)
        assert isinstance(here, Block)
        index = next(i for i, (k, _) in enumerate(here.pairs) if name_of_key(k.text) == name_of_key(step))
        left = {k.text: _plain(value) for i, (k, value) in enumerate(here.pairs) if i != index}
    if not left and not is_flow(edit.page.text, here):
        if len(around) > 1:
            edit.refuse(here, "it is the only key of its mapping", "take the mapping out")
        left = None
    return edit.best(here, left, taken_out(edit.page.text, here, index))
