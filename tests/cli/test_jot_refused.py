"""An entry that cannot be made: the reason is shown, nothing is written, nothing is copied, and nothing is left behind."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from shop_writer import GOOD_PIECE, PATIENCE, Ran, ShopWriter, flipbook_environment, run_flipbook

from flipbook.shop.saving import at_the_desk

FILE = "pieces/oak-stool/piece.yaml"
PAINT = "- {on: 2026-01-03, from: H., what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf, container: can}\n"


def refused(shop: ShopWriter, *words: str | Path, code: int = 1) -> Ran:
    """Run a command that must be refused, and see that every file is as it was."""
    before = shop.files()
    ran = run_flipbook(*words, cwd=shop.root)
    assert ran.code == code, ran
    assert ran.out == ""
    assert shop.files() == before
    return ran


def test_a_product_that_is_not_on_the_shelf_is_shown_in_the_line_as_it_would_be(shop: ShopWriter) -> None:
    shop.piece("log:\n  - 2026-02-14 looked it over\n").receipts(PAINT)
    ran = refused(shop, "jot", "stool", "painted it", "--on", "2026-02-15", "--used", "1 fl oz fig bleu paint")
    assert "[not-on-the-shelf]" in ran.err
    assert f"{FILE}:" in ran.err
    assert "1 fl oz fig bleu paint" in ran.err
    assert "~" * len("fig bleu paint") in ran.err
    assert "Write `fig blue paint`" in ran.err
    assert "nothing was written" in ran.err


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (["--used", "17 fl oz fig blue paint"], "over-what-is-left"),
        (["--used", "1 oz fig blue paint"], "unit-of-product"),
        (["--used", "some paint"], "use"),
        (["--used", "1 tin fig blue paint"], "no-such-container"),
        (["--grit", "coarse"], "grit"),
        (["--used", "1 fl oz fig blue paint", "--on", "2026-01-02"], "used-before-bought"),
    ],
)
def test_what_the_books_cannot_take_is_shown(shop: ShopWriter, words: list[str], name: str) -> None:
    ran = refused(shop.piece().receipts(PAINT), "jot", "stool", "painted it", *words)
    assert ": to mend: " in ran.err
    assert name in ran.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--took", "40"], "write `40 min` or `40 h`"),
        (["--took", "-40 min"], "not negative"),
        (["--took", ""], "--took"),
        (["--dries", "soon"], "is not a time taken"),
        (["--mix", "fig blue paint 1, water 2"], "how much they make"),
        (["--mix", "makes 12 fl oz"], "how much they make"),
        (["--mix", "fig blue paint, makes 12 fl oz"], "is no part of a mix"),
        (["--mix", "fig blue paint 1, fig blue paint 2, makes 12 fl oz"], "said twice"),
        (["--mix", "fig blue paint 1, makes some"], "--mix"),
        (["--used", " "], "--used"),
        (["--private", ""], "--private"),
        (["--on", "monday"], "for the last one"),
        (["--on"], "--on"),
        (["--took", "--hide"], "--took"),
        (["--tok", "40 min"], "did you mean `--took`?"),
        (["-x"], "go after `--`"),
        (["--planned", "--hide", "--on", "2026-02-30"], "no such day"),
    ],
)
def test_an_option_that_is_misread_is_misuse(shop: ShopWriter, words: list[str], says: str) -> None:
    ran = refused(shop.piece().receipts(PAINT), "jot", "oak-stool", "washed it", *words, code=2)
    assert says in ran.err


def test_outside_of_a_shop_nothing_is_done(tmp_path: Path) -> None:
    ran = run_flipbook("jot", "oak-stool", "washed it", cwd=tmp_path)
    assert ran.code == 2
    assert "shop.yaml" in ran.err
    assert list(tmp_path.iterdir()) == []


def test_an_error_in_the_very_file_keeps_everything_out_of_it(shop: ShopWriter) -> None:
    shop.piece("wod: oak\nlog:\n  - 2026-02-14 looked it over\n")
    for words in (["jot", "oak-stool", "washed"], ["ask", "oak-stool", "40"], ["spend", "a", "--cost", "1", "--from", "P", "--for", "oak-stool"]):  # fmt: skip
        ran = refused(shop, *words)
        assert "[unknown-key]" in ran.err
        assert f"{FILE}:3:1: to mend: " in ran.err
        assert "wod: oak" in ran.err


def test_a_file_that_is_no_yaml_is_shown_where_it_breaks(shop: ShopWriter) -> None:
    shop.piece("log:\n  - on: 2026-02-14\n     did: odd\n")
    ran = refused(shop, "jot", "oak-stool", "washed")
    assert f"{FILE}:" in ran.err
    assert "nothing was written" in ran.err


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"a: &b 1\n", b"- a list\n", b""])
def test_a_file_that_cannot_be_read_is_told(shop: ShopWriter, content: bytes) -> None:
    assert f"{FILE}:" in refused(shop.write({FILE: content}), "jot", "oak-stool", "washed").err


def test_errors_of_other_files_do_not_keep_it_out_and_are_told_in_a_line(shop: ShopWriter) -> None:
    shop.piece().write({"pieces/elm-bench/piece.yaml": GOOD_PIECE + "wod: elm\n"})
    ran = shop.run("jot", "oak-stool", "washed it", "--on", "2026-02-15")
    assert "2026-02-15 washed it" in (shop.root / FILE).read_text()
    assert "1 problem besides, in pieces/elm-bench/piece.yaml" in ran.out
    assert "unknown-key" not in ran.out + ran.err


def test_an_error_that_was_between_files_before_stays_and_a_new_one_is_told_apart(shop: ShopWriter) -> None:
    use = "    used: [1 fl oz fig bleu paint]\n"
    shop.piece().receipts(PAINT)
    shop.write({"pieces/elm-bench/piece.yaml": GOOD_PIECE + "log:\n  - on: 2026-02-14\n    did: painted\n" + use})
    ran = refused(shop, "jot", "oak-stool", "painted it", "--used", "1 fl oz fig bleu paint")
    assert ran.err.count("[not-on-the-shelf]") == 1
    assert f"{FILE}:" in ran.err
    done = shop.run("jot", "oak-stool", "washed it")
    assert done.err == ""
    assert "1 problem besides" in done.out


def test_an_entry_that_mends_what_was_wrong_is_written(shop: ShopWriter) -> None:
    shop.piece("log:\n  - on: 2026-02-14\n    did: painted\n    used: [1 fl oz fig blue paint]\n")
    words = ("fig blue paint", "--size", "1 pint", "--cost", "24.50", "--from", "H.", "--on", "2026-02-01")
    ran = shop.run("spend", *words, "--for", "shelf")
    assert ran.err == ""
    assert shop.problems() == []


def test_a_warning_that_the_entry_brings_is_shown_after_it_is_written(shop: ShopWriter) -> None:
    ran = run_flipbook("jot", "oak-stool", "washed it", "--on", "2026-01-01", cwd=shop.piece().root)
    assert ran.code == 0
    written, warned = ran.out.index("Written at"), ran.out.index("[before-it-was-found]")
    assert written < warned
    assert "1 thing to look at." in ran.out


def test_a_warning_that_was_there_before_is_not_told_again(shop: ShopWriter) -> None:
    shop.write({FILE: "piece: Oak stool\n"})  # how it came is not said
    assert [problem.name for problem in shop.problems()] == ["how-it-came"]
    ran = shop.run("jot", "oak-stool", "washed it")
    assert "warning" not in ran.out


# All that the command loads is loaded before the right to write everywhere is given up, which takes along the right to read.
UNPRIVILEGED = """
import os, sys
from pathlib import Path
import flipbook.entry.entering
from flipbook.cli.main import main
assert main(["jot", "elm-bench", "warmed up"]) == 0
sys.stdout.flush()
os.geteuid() or os.setuid(65534)
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize("what", ["file", "folder"])
def test_a_file_that_may_not_be_written_stays(what: str) -> None:
    with tempfile.TemporaryDirectory() as home:
        shop = ShopWriter(Path(home) / "my_shop").piece()
        shop.write({"pieces/elm-bench/piece.yaml": GOOD_PIECE})
        for folder in (Path(home), shop.root, shop.root / "pieces"):
            folder.chmod(0o777)
        path = shop.root / FILE
        before = path.read_bytes()
        path.chmod(0o444)
        path.parent.chmod(0o555 if what == "folder" else 0o777)
        ran = subprocess.run(
            [sys.executable, "-c", UNPRIVILEGED, "jot", "oak-stool", "washed it"], cwd=shop.root,
            env=flipbook_environment(), stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=PATIENCE, check=False,
        )  # fmt: skip
        path.parent.chmod(0o777)
        assert "Traceback" not in ran.stderr, ran.stderr
        assert ran.returncode == 1
        assert "washed it" not in ran.stdout
        assert ran.stderr.startswith("flipbook: ")
        assert ran.stderr.count("\n") == 1
        assert path.read_bytes() == before
        assert [one.name for one in path.parent.iterdir()] == ["piece.yaml"]


def test_a_lock_that_is_held_is_told_and_nothing_is_written(shop: ShopWriter) -> None:
    shop.piece()
    with at_the_desk(shop.root):
        ran = refused(shop, "jot", "oak-stool", "washed it")
    assert ran.err.startswith("flipbook: ")
    shop.run("jot", "oak-stool", "washed it")


CHANGED = """
import sys
import tempfile
from pathlib import Path
import flipbook.entry.entering as entering
from flipbook.cli.main import main
check, file, times = entering.check_shop, Path(sys.argv[1]), int(sys.argv[2])
changes = iter(range(times))
def and_meanwhile(*words, **more):
    outcome = check(*words, **more)
    for number in changes:
        file.write_text(file.read_text() + f"# saved by an editor, {number}\\n")
        break
    return outcome
entering.check_shop = and_meanwhile
sys.exit(main(sys.argv[3:]))
"""


def meanwhile(shop: ShopWriter, file: str, times: int, *words: str) -> subprocess.CompletedProcess[str]:
    """A command whose file is saved by an editor while the shop is checked, as often as `times` says."""
    return subprocess.run(
        [sys.executable, "-c", CHANGED, file, str(times), *words],
        cwd=shop.root, env=flipbook_environment(), stdin=subprocess.DEVNULL, capture_output=True, text=True,
        timeout=PATIENCE, check=False,
    )  # fmt: skip


@pytest.mark.parametrize(("times", "code"), [(1, 0), (2, 0), (99, 1)])
def test_a_file_saved_by_an_editor_meanwhile_keeps_what_was_saved(shop: ShopWriter, times: int, code: int) -> None:
    shop.piece("log:\n  - 2026-02-14 looked it over\n")
    ran = meanwhile(shop, FILE, times, "jot", "oak-stool", "washed it")
    assert ran.returncode == code, ran
    assert "Traceback" not in ran.stderr
    text = (shop.root / FILE).read_text()
    saved = text.count("# saved by an editor")
    assert saved == min(times, 3)
    assert text.count("washed it") == (code == 0)
    assert bool(ran.stderr) == (code == 1)


def test_a_new_file_that_an_editor_wrote_into_meanwhile_keeps_what_was_written(shop: ShopWriter) -> None:
    spend = ["spend", "stamps", "--cost", "8", "--from", "Post", "--for", "office", "--on", "2026-02-15"]
    assert meanwhile(shop, "receipts/2026.yaml", 99, *spend).returncode == 1
    assert (shop.root / "receipts/2026.yaml").read_text().count("# saved by an editor") == 3


def test_several_terminals_at_once_all_get_in(shop: ShopWriter) -> None:
    shop.piece("log:\n  - 2026-02-14 looked it over\n")
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "flipbook", "jot", "oak-stool", f"washed it, {number}", "--on", "2026-02-15"],
            cwd=shop.root, env=flipbook_environment(), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
        )
        for number in range(4)
    ]  # fmt: skip
    assert [process.wait(PATIENCE) for process in running] == [0] * 4
    (filed,) = shop.books().facts.pieces
    assert sorted(step.did for step in filed.piece.log) == ["looked it over", *(f"washed it, {n}" for n in range(4))]
