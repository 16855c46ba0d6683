"""The commits of a piece's history are those that plain git names, through renames, branches and clocks set back."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from repository_writer import PIECE, LogLine, RepositoryWriter, log_of

from flipbook.looking.history import History, Version, history_of

STEPS = [f"2026-02-{day:02} step number {day}" for day in range(1, 29)]
RECEIPTS = "receipts/2026.yaml"
HAULED = "- {on: 2026-03-02, from: Harbour Hardware, what: brass pull, cost: 12.00, for: oak-stool}\n"
OTHER_RECEIPTS = HAULED.replace("12.00", "14.00")
PULL_CHANGED = "changed bought, 2026-03-02 (brass pull): cost was 12.00, now 14.00"
RENT = "- {on: 2026-03-01, from: Hall, what: stall, cost: 80.00, for: rent}\n"


def lines_of(history: History) -> list[LogLine]:
    """The committed versions as lines of a log, the newest first."""
    told = [LogLine(one.commit, one.short, one.date, one.subject) for one in history.committed]
    return told[::-1]


def new_steps(version: Version) -> list[str]:
    return [one.about for one in version.told if (one.how, one.kind) == ("new", "step")]


def told(version: Version) -> list[str]:
    return [f"{one.how} {one.says}" for one in version.told]


def as_told(steps: Sequence[str]) -> list[str]:
    """Steps on one line as `new` tells them."""
    return [f"step, {step[:10]}: {step[11:]}" for step in steps]


def test_every_commit_of_the_file_is_told_with_its_name_and_date(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    for number in range(1, 11):
        repository.commit({PIECE: log_of(*STEPS[:number])}, f"2026-03-{number:02}", f"Step {number}")
        repository.commit({"notes.txt": f"{number}"}, f"2026-03-{number:02}", "No matter of the piece's")
    history = history_of(repository.shop, "oak-stool")
    assert lines_of(history) == repository.log("--", PIECE)
    assert [new_steps(one) for one in history.versions] == [as_told([step]) for step in STEPS[:10]]


@given(st.randoms(use_true_random=False))
@settings(max_examples=examples(6))
def test_what_an_invented_hand_wrote_is_what_is_told(choice: random.Random) -> None:
    """A log is edited at random; the sentences of each version must be the edits that made it, and nothing else."""
    with tempfile.TemporaryDirectory() as folder:
        _write_and_read_back(choice, RepositoryWriter(Path(folder) / "shop"))


def _write_and_read_back(choice: random.Random, repository: RepositoryWriter) -> None:
    there: dict[str, int] = {}
    expected: list[list[tuple[str, str, str, str]]] = []
    for number in range(25):
        edits: list[tuple[str, str, str, str]] = []
        before = sorted(there)
        for name in choice.sample(before, min(len(before), choice.randrange(3))):
            if choice.random() < 0.4:
                edits.append(("gone", name, "", ""))
                del there[name]
            else:
                minutes = choice.choice([one for one in range(1, 60) if one != there[name]])
                edits.append(("changed", name, f"{there[name]} min", f"{minutes} min"))
                there[name] = minutes
        name = f"beta{number} gamma{number * 7919} delta{number * 104729}"  # no two are alike
        edits.append(("new", name, "", ""))
        there[name] = choice.randrange(1, 30)
        order = sorted(there)
        choice.shuffle(order)
        repository.commit({PIECE: log_of(*(f"2026-02-14 {there[one]} min {one}" for one in order))}, said=f"{number}")
        expected.append(sorted(edits))
    versions = history_of(repository.shop, "oak-stool").versions
    for version, edits in zip(versions, expected, strict=True):
        steps = [one for one in version.told if one.kind == "step"]
        assert len(steps) == len(edits)
        for how, name, old, new in edits:
            assert any(
                (one.how, one.was or "", one.is_ or "") == (how, old, new) and name in one.about for one in steps
            ), name


def test_a_folder_is_followed_through_its_renames(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    names = ["stool", "oak stool", "Égérie's stool", "-stool", "--json", "oak-stool"]
    last = None
    for number, name in enumerate(names):
        more: dict[str, str | bytes | None] = {f"pieces/{name}/piece.yaml": log_of(*STEPS[: 6 + number])}
        repository.commit({**more, **({f"pieces/{last}/piece.yaml": None} if last else {})}, said=f"Now {name}")
        last = name
    history = history_of(repository.shop, "oak-stool")
    assert lines_of(history) == repository.log("--follow", "--", PIECE)
    assert [one.notes for one in history.versions] == [
        (),
        *((f"the folder was renamed from `{a}` to `{b}`",) for a, b in pairwise(names)),
    ]
    assert [new_steps(one) for one in history.versions[1:]] == [as_told([step]) for step in STEPS[6:11]]


@pytest.mark.parametrize(
    "name",
    ["oak stool", "Égérie's stool", "-stool", "--shop", "--", "日本の椅子", "a:b", "*", "[x]", ":(top)", "st'ool"],
)
def test_any_name_of_a_folder_is_only_a_name(tmp_path: Path, name: str) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({"pieces/xa/piece.yaml": log_of(STEPS[20]), f"pieces/{name}/piece.yaml": log_of(STEPS[0])})
    repository.commit({f"pieces/{name}/piece.yaml": log_of(*STEPS[:2])})
    first, second = history_of(repository.shop, name).versions
    assert (new_steps(first), new_steps(second)) == (as_told(STEPS[:1]), as_told(STEPS[1:2]))


def test_a_clock_set_back_does_not_change_the_order(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    days = ["2026-03-01", "2026-03-05", "1999-01-01", "2026-03-04", "2038-01-20"]
    for number, day in enumerate(days, 1):
        repository.commit({PIECE: log_of(*STEPS[:number])}, day, f"Step {number}")
    history = history_of(repository.shop, "oak-stool")
    assert [one.date for one in history.versions] == days
    assert [new_steps(one) for one in history.versions] == [as_told([step]) for step in STEPS[:5]]
    assert history.notes == ("the order is that of the commits; where a date runs backwards, a clock was set back",)


def test_the_shop_may_be_a_folder_of_the_repository_and_may_have_been_moved_there(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "all", "at home/shop")
    repository.commit({PIECE: log_of(*STEPS[:8]), RECEIPTS: HAULED}, said="Begun")
    repository.git("mv", "at home/shop", "bench")
    repository.git("commit", "-q", "-m", "Moved", when="2026-03-01T12:00:00+00:00")
    repository.shop = repository.top / "bench"
    repository.commit({PIECE: log_of(*STEPS[:9]), RECEIPTS: HAULED.replace("12.00", "14.00")}, said="On")
    history = history_of(repository.shop, "oak-stool")
    begun, moved, on = history.versions
    assert lines_of(history) == repository.log("--follow", "--", f"bench/{PIECE}")
    assert [one.says for one in begun.told if one.kind == "bought"] == [
        "bought, 2026-03-02: brass pull, 12.00, from Harbour Hardware, for oak-stool"
    ]
    assert (moved.notes, moved.told) == (("the shop was moved from `at home/shop/` to `bench/`",), ())
    assert told(on) == [
        f"new step, 2026-02-09: {STEPS[8][11:]}",
        "changed bought, 2026-03-02 (brass pull): cost was 12.00, now 14.00",
    ]


STOOL = "pieces/stool/piece.yaml"
Files = dict[str, str | bytes | None]
BASE, FAR = STEPS[4:16], STEPS[16:18]
# What was committed before two lines of work, on the phone, at the bench, where they came together and after it; and
# what is told of the commits after the first that tells anything.
MERGES: list[tuple[str, list[Files], dict[str, list[str]]]] = [
    ("each branch by its own commits and the merge by what it brought",
     [{PIECE: log_of(*BASE)}, {PIECE: log_of(STEPS[0], *BASE)}, {PIECE: log_of(*BASE, FAR[0])},
      {PIECE: log_of(STEPS[0], *BASE, *FAR)}],
     {"phone": [STEPS[0]], "bench": [FAR[0]], "together": [FAR[1]]}),
    ("what a merge left out is not told",
     [{PIECE: log_of(*STEPS[:3])}, {PIECE: log_of(*STEPS[:3], cost="99.00")}, {PIECE: log_of(*STEPS[:4])},
      {PIECE: log_of(*STEPS[:4])}],
     {"bench": [STEPS[3]]}),
    ("a merge that changes a file which only one side had",
     [{"notes.txt": "begun"}, {PIECE: log_of(*STEPS[:4])}, {"notes.txt": "on"},
      {PIECE: log_of(*STEPS[:4], cost="12.00")}],
     {"together": ["changed found, 2026-01-05 (Mill Road estate sale): cost was 10.00, now 12.00"]}),
    ("a rename after a merge of receipts alone loses nothing",
     [{STOOL: log_of(*STEPS[:6])}, {RECEIPTS: HAULED.replace("oak-stool", "stool")}, {STOOL: log_of(*STEPS[:7])}, {},
      {STOOL: None, PIECE: log_of(*STEPS[:7])}],
     {"phone": ["new bought, 2026-03-02: brass pull, 12.00, from Harbour Hardware, for stool"], "bench": [STEPS[6]],
      "after": []}),
]  # fmt: skip


@pytest.mark.parametrize(("commits", "expected"), [case[1:] for case in MERGES], ids=[case[0] for case in MERGES])
def test_lines_of_work_that_came_together(tmp_path: Path, commits: list[Files], expected: dict[str, list[str]]) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    base, phone, bench, together, *after = commits
    repository.commit(base, "2026-03-01", "base")
    repository.git("checkout", "-q", "-b", "phone")
    repository.commit(phone, "2026-03-02", "phone")
    repository.git("checkout", "-q", "main")
    repository.commit(bench, "2026-03-03", "bench")
    repository.git("merge", "-q", "--no-commit", "phone")
    repository.commit(together, "2026-03-04", "together")
    for files in after:
        repository.commit(files, "2026-03-05", "after")
    history = history_of(repository.shop, "oak-stool")
    steps = {step: f"new {as_told([step])[0]}" for step in STEPS}
    assert {one.subject: told(one) for one in history.versions[1:]} == {
        subject: [steps.get(says, says) for says in sentences] for subject, sentences in expected.items()
    }
    assert after or lines_of(history) == repository.log("--topo-order", "--", PIECE)


def test_a_value_that_the_books_would_refuse_is_told_as_it_was_written(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of("soon: sanded", cost="ten")})
    repository.commit({PIECE: log_of("2026-02-16 sanded", cost="10.00")})
    _, second = history_of(repository.shop, "oak-stool").versions
    assert "changed found, 2026-01-05 (Mill Road estate sale): cost was ten, now 10.00" in told(second)


def test_another_piece_that_had_the_name_before_is_not_told(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    other = log_of(*STEPS[10:20]).replace("Oak stool", "Ash chest")
    repository.commit({PIECE: other}, said="The chest")
    repository.commit({PIECE: None, "pieces/ash-chest/piece.yaml": other}, said="Its name put right")
    repository.commit({PIECE: log_of(STEPS[0])}, said="The stool")
    assert [one.subject for one in history_of(repository.shop, "oak-stool").versions] == ["The stool"]
    assert [one.subject for one in history_of(repository.shop, "ash-chest").versions] == [
        "The chest",
        "Its name put right",
    ]


PULL_GONE = "gone bought, 2026-03-02: brass pull, 12.00, from Harbour Hardware, for oak-stool"
LINES = """\
receipts:
  - on: 2026-03-02
    from: Harbour Hardware
    lines:
      - {what: brass pull, cost: 12.00, for: oak-stool}
      - {what: tape, cost: 3.00, for: supplies}
    tax: 1.00
    total: 16.00
counts: []
"""
RENT_IN_A_LIST = RENT.replace("- ", "receipts:\n  - ")
CLASS = "income:\n  - {on: 2026-03-09, from: R., what: a custom job, amount: 60, for: oak-stool}\n"
# A name, a file of receipts before and after, and what is told of it.
RECEIPT_EDITS: list[tuple[str, str, str, list[str] | None]] = [
    ("a cost", HAULED, OTHER_RECEIPTS, [PULL_CHANGED]),
    ("another receipt of the file", HAULED + RENT, HAULED + RENT.replace("80.00", "85.00"), None),
    ("a receipt before it", HAULED, RENT + HAULED, None),
    ("under a key", HAULED, "receipts:\n" + HAULED, None),
    ("taken out", HAULED + RENT, RENT, [PULL_GONE]),
    ("shared with another piece", HAULED, HAULED.replace("for: oak-stool", "for: {oak-stool: 2, ash-chest: 1}"),
     ["changed bought, 2026-03-02 (brass pull): for was oak-stool, now oak-stool 2, ash-chest 1"]),
    ("given to another piece", HAULED, HAULED.replace("for: oak-stool", "for: ash-chest"), [PULL_GONE]),
    ("a line among others", LINES, LINES.replace("12.00", "14.00").replace("16.00", "18.00"),
     [PULL_CHANGED, "changed receipt, 2026-03-02 (Harbour Hardware): total was 16.00, now 18.00"]),
    ("what a class for it brought in", RENT_IN_A_LIST, RENT_IN_A_LIST + CLASS,
     ["new income, 2026-03-09: a custom job; from R.; amount 60.00; for oak-stool"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("before", "after", "sentences"), [case[1:] for case in RECEIPT_EDITS], ids=[case[0] for case in RECEIPT_EDITS]
)
def test_receipts_that_name_the_piece_are_told(
    tmp_path: Path, before: str, after: str, sentences: list[str] | None
) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of(STEPS[0]), RECEIPTS: before})
    last = repository.commit({RECEIPTS: after}, "2026-03-30")
    versions = history_of(repository.shop, "oak-stool").versions
    assert {one.commit: told(one) for one in versions}.get(last) == sentences
    repository.git("reset", "-q", "--soft", "HEAD~1")
    waiting = [one for one in history_of(repository.shop, "oak-stool").versions if not one.commit]
    assert list(map(told, waiting)) == ([sentences] if sentences else [])


# Commits, and of each after the first that is told: what is noted, and what it brought.
SEQUENCES: list[tuple[str, list[Files], list[tuple[str, list[str]]]]] = [
    ("a receipt moved to another file",
     [{PIECE: log_of(STEPS[0]), RECEIPTS: HAULED + RENT}, {RECEIPTS: RENT, "receipts/2026-b.yaml": HAULED}],
     []),
    ("a receipt, half typed elsewhere in the file",
     [{PIECE: log_of(STEPS[0]), RECEIPTS: HAULED}, {RECEIPTS: OTHER_RECEIPTS + "- {on: 2026-03-09, from: [\n"}],
     [("", [PULL_CHANGED])]),
    ("a receipt by the name that the folder had",
     [{STOOL: log_of(*STEPS[:8]), RECEIPTS: HAULED.replace("oak-stool", "stool")},
      {RECEIPTS: OTHER_RECEIPTS.replace("oak-stool", "stool")},
      {STOOL: None, PIECE: log_of(*STEPS[:8]), RECEIPTS: OTHER_RECEIPTS}],
     [("", [PULL_CHANGED]),
      ("the folder was renamed from `stool` to `oak-stool`",
       ["changed bought, 2026-03-02 (brass pull): for was stool, now oak-stool"])]),
    ("versions that do not read are said to be so and passed over",
     [{PIECE: log_of(STEPS[0])}, {PIECE: log_of(*STEPS[:2]) + "offers: [\n"}, {PIECE: b"\x89PNG\r\n\x00\xff\xfe"},
      {PIECE: log_of(*STEPS[:2], more=f"tell: {'x' * (2 * 1024 * 1024)}\n")}, {PIECE: log_of(*STEPS[:2])}],
     [("the log: this version does not read: line 6, a list or mapping in brackets does not go on as it should", []),
      ("the log: this version does not read: line 1, the file is not UTF-8 text", []),
      ("the log: it cannot be read: it is over 2 MiB, or not in this clone", []),
      ("", ["new step, 2026-02-02: step number 2"])]),
    ("a file that was taken away and came back",
     [{PIECE: log_of(STEPS[0])}, {PIECE: None}, {PIECE: log_of(*STEPS[:2])}],
     [("the piece's file was taken away", []),
      ("the piece's file came back", ["new step, 2026-02-02: step number 2"])]),
]  # fmt: skip


@pytest.mark.parametrize(("commits", "expected"), [case[1:] for case in SEQUENCES], ids=[case[0] for case in SEQUENCES])
def test_one_version_after_the_other(
    tmp_path: Path, commits: list[Files], expected: list[tuple[str, list[str]]]
) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    for files in commits:
        repository.commit(files)
    _, *later = history_of(repository.shop, "oak-stool").versions
    assert [("; ".join(version.notes), told(version)) for version in later] == expected


def test_a_shallow_clone_says_that_its_oldest_version_is_not_the_beginning(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    for number in range(1, 6):
        repository.commit({PIECE: log_of(*STEPS[:number])}, said=f"Step {number}")
    repository.git("clone", "-q", "--depth", "2", f"file://{repository.top}", str(tmp_path / "clone"))
    history = history_of(tmp_path / "clone", "oak-stool")
    first, second = history.versions
    assert (first.subject, second.subject) == ("Step 4", "Step 5")
    assert first.notes == ("nothing older can be read, so all of this may have stood there already",)
    assert (second.notes, new_steps(second)) == ((), as_told([STEPS[4]]))
    assert history.notes == ("this clone is shallow: what was committed before its oldest version is not in it",)


def test_a_piece_that_was_never_committed_is_all_waiting(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({"pieces/ash-chest/piece.yaml": log_of(STEPS[1]).replace("Oak stool", "Ash chest")})
    repository.write({PIECE: log_of(STEPS[0])})
    history = history_of(repository.shop, "oak-stool")
    (waiting,) = history.versions
    assert (waiting.commit, new_steps(waiting)) == (None, as_told([STEPS[0]]))
    assert history.notes == ("nothing of this piece has been committed yet",)


def test_a_second_working_tree_and_a_detached_head_have_the_history_of_their_own_commit(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    first = repository.commit({PIECE: log_of(STEPS[0])}, said="One")
    repository.commit({PIECE: log_of(*STEPS[:2])}, said="Two")
    repository.git("worktree", "add", "-q", "--detach", str(tmp_path / "beside"), first)
    assert [one.subject for one in history_of(tmp_path / "beside", "oak-stool").versions] == ["One"]
    (tmp_path / "link").symlink_to(repository.shop)
    assert [one.subject for one in history_of(tmp_path / "link", "oak-stool").versions] == ["One", "Two"]


def test_what_is_more_than_is_read_at_one_time_is_left_out_and_counted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    for number in range(1, 7):
        repository.commit({PIECE: log_of(*STEPS[:number])}, said=f"Step {number}")
    monkeypatch.setattr("flipbook.looking.history.MOST_READ", len(log_of(*STEPS[:6]) + log_of(*STEPS[:5])))
    history = history_of(repository.shop, "oak-stool")
    fifth, sixth = history.versions
    assert (fifth.subject, sixth.subject) == ("Step 5", "Step 6")
    assert fifth.notes == ("nothing older can be read, so all of this may have stood there already",)
    assert new_steps(sixth) == as_told([STEPS[5]])
    assert history.notes == (
        "4 older commits are left unread, since there is more of this history than is read at one time",
    )


def test_more_names_than_are_followed_are_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    names = ["a", "b", "c", "d", "oak-stool"]
    repository.commit({"pieces/a/piece.yaml": log_of(*STEPS)})
    for was, name in pairwise(names):
        repository.git("mv", f"pieces/{was}", f"pieces/{name}")
        repository.commit({}, said=name)
    assert len(history_of(repository.shop, "oak-stool").versions) == 5
    monkeypatch.setattr("flipbook.looking.history.MOST_NAMES", 2)
    history = history_of(repository.shop, "oak-stool")
    assert [one.subject for one in history.versions] == ["d", "oak-stool"]
    assert "the folder had more than 2 names, and the older ones are not followed" in history.notes


LIMITS = [
    ("history.MOST_TOLD", 4, "of what came, 4 of 9 are told"),
    ("versions.MOST_ENTRIES", 8, "the log: it holds more than 5,000 entries, which is more than is compared"),
]


@pytest.mark.parametrize(("limit", "most", "note"), LIMITS, ids=[limit for limit, _, _ in LIMITS])
def test_more_than_anybody_reads_is_said_and_left_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: str, most: int, note: str
) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of()})
    repository.commit({PIECE: log_of(*STEPS[:9])})
    monkeypatch.setattr(f"flipbook.looking.{limit}", most)
    _, second, *_ = history_of(repository.shop, "oak-stool").versions
    assert (new_steps(second), second.notes) == (as_told(STEPS[:4] if "TOLD" in limit else []), (note,))
