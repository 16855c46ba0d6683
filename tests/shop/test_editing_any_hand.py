"""In whatever hand a log is written, an edit adds what it adds and changes no other byte."""

from __future__ import annotations

from typing import Any

from edited_logs import FILE, KEYS, LISTS, Log, empty_logs, entries, flow_logs, list_logs, logs, read_by_another, said
from how_many import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from flipbook.shop.editing import CannotEdit, Entry, appended, removed, with_key
from flipbook.shop.problems import lines_of
from flipbook.shop.records.base import name_of_key

any_hand = settings(max_examples=examples(150))


def key_in(old: dict[str, Any], key: str) -> str:
    """The key as it is spelled in a mapping, or as given."""
    return next((k for k in old if name_of_key(k) == name_of_key(key)), key)


def inserted(old: str, new: str) -> str | None:
    """The one run of characters without which `new` is `old`; None when there is no such run."""
    start = 0
    while start < len(old) and start < len(new) and old[start] == new[start]:
        start += 1
    end = 0
    while end < len(old) - start and old[-1 - end] == new[-1 - end]:
        end += 1
    return new[start : len(new) - end] if start + end == len(old) else None


def is_kept_in(old: list[str], new: list[str]) -> bool:
    """Whether all of `old` stands in `new`, in order."""
    left = iter(new)
    return all(one in left for one in old)


def has_all_lines_but_one(old: str, new: str) -> bool:
    """Whether all lines of `old` but at most one stand unchanged in `new`, in order, and that one in part."""
    before, after = lines_of(old), lines_of(new)
    first = 0
    left = list(after)
    while first < len(before) and first < len(left) and before[first] == left[first]:
        first += 1
    return is_kept_in(before[:first], after) and is_kept_in(before[first + 1 :], after[first:])


def ends_in_a_block_text(text: str) -> bool:
    """Whether the file ends within a text under | or >, so that its header has to change for that text to stay."""
    return not text.endswith(("\n", "\r")) and any(sign in text for sign in "|>")


@any_hand
@given(log=logs() | logs() | flow_logs() | empty_logs(), entry=entries, data=st.data())
def test_an_entry_joins_a_list_and_nothing_else_changes(log: Log, entry: Entry, data: st.DataObject) -> None:
    old = read_by_another(log.data) or {}
    written = [key for key, kind in log.kinds.items() if kind != "absent"]
    key = data.draw(st.sampled_from(written or LISTS) | st.sampled_from(LISTS), label="key")
    kind, name = log.kinds[key], key_in(old, key)
    held = old[name] if "list" in kind else [old[name]] if kind.startswith("one") else []
    place = data.draw(st.integers(0, len(held)), label="place")
    passed = iter(range(len(held) + 1))
    goes_before: Any = None if place == len(held) else lambda node: next(passed) == place
    after = appended(FILE, log.data, (key,), entry, before=goes_before, keys=KEYS)
    new = read_by_another(after)
    assert new == {**old, name: [*held[:place], said(entry), *held[place:]]}
    stays_as_it_was(log, kind, after)
    if "list" in kind and not ends_in_a_block_text(log.text):
        assert removed(FILE, after, (key, place)) == log.data


def stays_as_it_was(log: Log, kind: str, after: bytes) -> None:
    """Every byte of a log stands in `after`, but for the one line that a change of kind may change."""
    old, new = log.text, after.decode("utf-8-sig")
    assert after.startswith(b"\xef\xbb\xbf") == log.data.startswith(b"\xef\xbb\xbf")
    if kind == "a token" or kind.startswith("one") or ends_in_a_block_text(old):
        assert has_all_lines_but_one(old, new)
    elif kind == "a flow list" or log.top == "flow":
        assert is_kept_in(list(old), list(new))
    else:
        assert inserted(old, new) is not None
    if old and old[-1] not in "\r\n":
        assert new[-1] not in "\r\n"


@any_hand
@given(log=list_logs() | empty_logs(), entry=entries)
def test_an_entry_joins_a_file_that_is_a_list(log: Log, entry: Entry) -> None:
    old = read_by_another(log.data) or []
    after = appended(FILE, log.data, (), entry)
    assert read_by_another(after) == [*old, said(entry)]
    stays_as_it_was(log, log.kinds.get("", "absent"), after)
    if old and not ends_in_a_block_text(log.text):
        assert removed(FILE, after, (len(old),)) == log.data


@any_hand
@given(log=logs() | flow_logs() | empty_logs(), key=st.sampled_from([*KEYS, "sales tax", "fig-blue"]), entry=entries)
def test_a_key_is_set_and_nothing_else_changes(log: Log, key: str, entry: Entry) -> None:
    old = read_by_another(log.data) or {}
    name = key_in(old, key)
    kind = log.kinds.get(key, "absent" if name not in old else "there")
    if kind in ("there", "a block list", "a flow list") or kind.startswith("one"):
        if name in old and old[name] not in ("", [], {}):
            try:
                with_key(FILE, log.data, (key,), entry, keys=KEYS)
            except CannotEdit as refusal:
                assert "is written already" in refusal.says
            else:
                raise AssertionError("a key that says something was set again")
        return
    after = with_key(FILE, log.data, (key,), entry, keys=KEYS)
    assert read_by_another(after) == {**old, name: said(entry)}
    stays_as_it_was(log, kind, after)


def places_in(said_there: Any, path: tuple[str | int, ...] = ()) -> list[tuple[tuple[str | int, ...], Any]]:
    """Every mapping, and every list that is the value of a key, below the top: its path and what it holds."""
    found = []
    inner = said_there.items() if isinstance(said_there, dict) else enumerate(said_there)
    for step, value in inner:
        if isinstance(value, dict) or (isinstance(value, list) and isinstance(step, str)):
            found.append(((*path, step), value))
        if isinstance(value, dict | list):
            found += places_in(value, (*path, step))
    return found


def changed_at(said_there: Any, path: tuple[str | int, ...], value: Any) -> Any:
    """The same, with `value` at `path`."""
    if not path:
        return value
    if isinstance(said_there, list):
        return [changed_at(one, path[1:], value) if i == path[0] else one for i, one in enumerate(said_there)]
    return {k: changed_at(one, path[1:], value) if k == path[0] else one for k, one in said_there.items()}


@any_hand
@given(log=logs() | flow_logs(), entry=entries, data=st.data())
def test_an_entry_goes_in_however_deep_its_place_is(log: Log, entry: Entry, data: st.DataObject) -> None:
    old = read_by_another(log.data)
    places = places_in(old)
    assume(places)
    path, held = data.draw(st.sampled_from(places), label="place")
    if isinstance(held, dict):
        after = with_key(FILE, log.data, (*path, "payments"), entry)
        assert read_by_another(after) == changed_at(old, path, {**held, "payments": said(entry)})
    else:
        after = appended(FILE, log.data, path, entry)
        assert read_by_another(after) == changed_at(old, path, [*held, said(entry)])
    assert has_all_lines_but_one(log.text, after.decode("utf-8-sig")) or is_kept_in(
        list(log.text), list(after.decode("utf-8-sig"))
    )


@any_hand
@given(log=logs() | flow_logs(), data=st.data())
def test_a_key_or_an_entry_is_taken_out_and_nothing_else_changes(log: Log, data: st.DataObject) -> None:
    old = read_by_another(log.data)
    name = data.draw(st.sampled_from(sorted(old)), label="key")
    value = old[name]
    if isinstance(value, list) and value and data.draw(st.booleans(), label="an entry"):
        number = data.draw(st.integers(0, len(value) - 1), label="number")
        path: tuple[str | int, ...] = (name, number)
        left = [one for i, one in enumerate(value) if i != number]
    else:
        path, left = (name,), []
    expected = {**old, name: left} if left else {k: v for k, v in old.items() if k != name}
    assume(expected or "..." not in log.text)  # a mark that ends a document, and nothing else, is no YAML
    after = removed(FILE, log.data, path)
    assert (read_by_another(after) or {}) == expected
    assert is_kept_in(list(after.decode("utf-8-sig")), list(log.text))
