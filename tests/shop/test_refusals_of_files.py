"""Files and folders that are not what they should be: missing, elsewhere, odd, or read by nothing."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from marked import expect_one, unmarked
from shop_writer import GOOD_PIECE, ShopWriter

PIECE = "pieces/oak-stool/piece.yaml"

# Where a path is written, with `@` in its place.
WRITTEN = {
    "a scan of the piece": "piece: Oak stool\nfound:\n  on: 2026-01-05\n  cost: 1\n  scan: @\n",
    "a scan in a list": "piece: Oak stool\nfound:\n  on: 2026-01-05\n  cost: 1\n  scan: [receipts/good.jpg, @]\n",
    "a scan of a receipt": GOOD_PIECE
    + "bought:\n  - {on: 2026-01-06, from: M., what: glue, cost: 1, for: supplies, scan: @}\n",
    "a picture of a step": GOOD_PIECE + "log:\n  - {on: 2026-01-06, did: washed, photos: [@]}\n",
    "a picture to show": GOOD_PIECE + "photos:\n  - {file: @, shows: after}\n",
}
PATHS = [
    ("receipts/mill-raod.jpg", "no-such-file", "write `receipts/mill-road.jpg`"),
    ("nowhere/slip.jpg", "no-such-file", "put the file at `pieces/oak-stool/nowhere/slip.jpg`"),
    ("/etc/hostname", "leaves-the-shop", "copy the file into the shop"),
    ("~/slip.jpg", "leaves-the-shop", "copy the file into the shop"),
    ("C:/slips/slip.jpg", "leaves-the-shop", "copy the file into the shop"),
    ("../oak-stool/receipts/mill-road.jpg", "leaves-the-shop", "beside this one"),
    ("receipts/../../../../slip.jpg", "leaves-the-shop", "beside this one"),
    ("receipts\\mill-road.jpg", "path", "write `receipts/mill-road.jpg`"),
    ("receipts/link-out.jpg", "leaves-the-shop", "copy the file itself"),
    ("folder-out/slip.jpg", "leaves-the-shop", "copy the file itself"),
    ("receipts", "path", "the path of a file"),
    ("receipts/", "path", "the path of a file"),
    ("receipts/pipe.jpg", "path", "the path of a file"),
    ("receipts/loop.jpg", "path", "the path of a file"),
    ('"receipts\\0/slip.jpg"', "no-such-file", "put the file at"),
    ('"slip\\0.jpg"', "no-such-file", "put the file at"),
    ("x" * 300 + ".jpg", "no-such-file", "put the file at"),
    ("x/" * 3000 + "slip.jpg", "no-such-file", "put the file at"),
]


@pytest.fixture
def slips(shop: ShopWriter, tmp_path: Path) -> ShopWriter:
    """A shop with slips in a piece's receipts/, and links that lead out of it."""
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside" / "slip.jpg").write_bytes(b"slip")
    shop.piece().write({"pieces/oak-stool/receipts/good.jpg": b"slip", "pieces/oak-stool/receipts/mill-road.jpg": b""})
    home = shop.root / "pieces" / "oak-stool"
    (home / "receipts" / "link-out.jpg").symlink_to(tmp_path / "outside" / "slip.jpg")
    (home / "receipts" / "loop.jpg").symlink_to("loop.jpg")
    (home / "folder-out").symlink_to(tmp_path / "outside")
    os.mkfifo(home / "receipts" / "pipe.jpg")
    return shop


@pytest.mark.parametrize(("path", "name", "hint"), PATHS, ids=[path[:40] for path, _, _ in PATHS])
def test_a_scan_that_is_not_a_file_of_the_shop_is_refused(slips: ShopWriter, path: str, name: str, hint: str) -> None:
    text, expected = unmarked(WRITTEN["a scan of the piece"].replace("@", f"«{path}»"))
    slips.write({PIECE: text})
    expect_one(slips.problems(), PIECE, text, expected, name, hint)


@pytest.mark.parametrize("where", WRITTEN)
@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("receipts/mill-raod.jpg", "no-such-file"),
        ("/etc/hostname", "leaves-the-shop"),
        ("../../x.jpg", "leaves-the-shop"),
        ("receipts/link-out.jpg", "leaves-the-shop"),
        ("receipts", "path"),
    ],
)
def test_a_path_is_looked_at_wherever_it_is_written_and_has_one_name(
    slips: ShopWriter, where: str, path: str, name: str
) -> None:
    text, expected = unmarked(WRITTEN[where].replace("@", f"«{path}»"))
    slips.write({PIECE: text})
    (problem,) = slips.problems()
    assert (problem.name, problem.place.line, problem.place.column) == (name, expected.line, expected.column)
    slips.write({PIECE: WRITTEN[where].replace("@", "receipts/mill-road.jpg")})
    assert slips.problems() == []


def test_a_scan_with_a_comma_in_its_name_in_brackets_says_to_use_quotes(slips: ShopWriter) -> None:
    text, expected = unmarked(WRITTEN["a scan of the piece"].replace("@", "[«receipts/mill», road.jpg]"))
    slips.write({PIECE: text, "pieces/oak-stool/receipts/mill, road.jpg": b"slip"})
    first = slips.problems()[0]
    assert (first.place.line, first.place.column) == (expected.line, expected.column)
    assert "quotes" in first.help


def test_a_scan_in_a_file_of_receipts_stands_beside_that_file(shop: ShopWriter) -> None:
    flat = "- {on: 2026-01-06, from: M., what: glue, cost: 1, for: supplies, scan: «scans/slip.jpg»}\n"
    text, expected = unmarked(flat)
    shop.receipts(text)
    expect_one(shop.problems(), "receipts/2026.yaml", text, expected, "no-such-file", "receipts/scans/slip.jpg")
    assert shop.write({"receipts/scans/slip.jpg": b"slip"}).problems() == []


@pytest.mark.parametrize("file", ["shop.yaml", "products.yaml", "tools.yaml", "trips.yaml", PIECE])
def test_a_folder_a_pipe_or_a_dangling_link_in_the_place_of_a_file_is_told(shop: ShopWriter, file: str) -> None:
    shop.piece()
    path = shop.root / file
    for stand_in, name in ((path.mkdir, "not-a-file"), (lambda: os.mkfifo(path), "not-a-file"),
                           (lambda: path.symlink_to("gone.yaml"), "cannot-be-read")):  # fmt: skip
        path.unlink(missing_ok=True) if not path.is_dir() else path.rmdir()
        stand_in()
        (problem,) = shop.problems()
        assert (problem.name, problem.place.file) == (name, file)
        assert problem.help


def test_a_file_that_cannot_be_opened_is_told_with_the_reason(
    shop: ShopWriter, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Permissions stop no root user, so the refusal of the system is put in by hand.
    def refuse(path: str, *_: object) -> None:
        raise PermissionError(13, "Permission denied", path)

    shop.piece()
    monkeypatch.setattr("builtins.open", refuse)
    problems = shop.problems()
    assert [(p.place.file, p.name) for p in problems] == [(PIECE, "cannot-be-read"), ("shop.yaml", "cannot-be-read")]
    assert {problem.label for problem in problems} == {"permission denied"}
    assert all("permissions" in problem.help for problem in problems)


@pytest.mark.parametrize("file", ["shop.yaml", "tools.yaml", "receipts/2026.yaml", PIECE])
def test_a_file_that_is_a_link_out_of_the_shop_is_refused(shop: ShopWriter, tmp_path: Path, file: str) -> None:
    shop.piece().receipts("")
    outside = tmp_path / "outside.yaml"
    outside.write_text("secret: words\n")
    (shop.root / file).unlink(missing_ok=True)
    (shop.root / file).symlink_to(outside)
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file) == ("leaves-the-shop", file)
    assert "secret" not in problem.says + problem.label + problem.help


def test_a_link_within_the_shop_is_read(shop: ShopWriter) -> None:
    shop.piece()
    (shop.root / "pieces" / "oak-stool" / "piece.yaml").rename(shop.root / "stool.txt")
    (shop.root / PIECE).symlink_to("../../stool.txt")
    assert shop.problems() == []
    assert [filed.piece.piece for filed in shop.books().facts.pieces] == ["Oak stool"]


def test_a_piece_folder_that_is_a_link_out_of_the_shop_is_refused(shop: ShopWriter, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "piece.yaml").write_text(GOOD_PIECE)
    (shop.root / "pieces").mkdir()
    (shop.root / "pieces" / "oak-stool").symlink_to(tmp_path / "elsewhere")
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file, problem.warning) == ("leaves-the-shop", "pieces/oak-stool", False)


@pytest.mark.parametrize("folder", ["pieces", "receipts"])
def test_a_whole_folder_that_is_a_link_out_of_the_shop_is_refused(
    shop: ShopWriter, tmp_path: Path, folder: str
) -> None:
    shop.piece().receipts("- {on: 2026-01-06, from: M., what: glue, cost: 1, for: supplies}\n")
    (shop.root / folder).rename(tmp_path / "moved")
    (shop.root / folder).symlink_to(tmp_path / "moved")
    (problem,) = shop.problems()
    assert problem.name == "leaves-the-shop"
    assert problem.place.file.startswith(folder)


NOT_READ = [
    ("pieces/oak-stool.yaml", "a folder of its own"),
    ("pieces/oak-stool/notes.yaml", "`piece.yaml`"),
    ("pieces/oak-stool/piece.yml", "`piece.yaml`"),
    ("tool.yaml", "rename it to `tools.yaml`"),
    ("Trips.yaml", "rename it to `trips.yaml`"),
    ("trips.yml", "rename it to `trips.yaml`"),
    ("receipts/2026.yml", "2026.yaml`"),
    ("receipts/2026.YAML", "2026.yaml`"),
    ("receipts/january/2026.yaml", "`receipts/`"),
    ("tools.YAML", "rename it to `tools.yaml`"),
]


@pytest.mark.parametrize(("file", "hint"), NOT_READ)
def test_yaml_that_nothing_reads_is_named_so_that_no_money_in_it_is_taken_for_read(
    shop: ShopWriter, file: str, hint: str
) -> None:
    problems = shop.piece().write({file: "- anything\n"}).problems()
    assert [(p.name, p.place.file, p.warning) for p in problems] == [("not-read", file, True)]
    assert hint in problems[0].help
    assert shop.check().books is not None


def test_a_folder_without_a_piece_yaml_is_named_and_left_out(shop: ShopWriter) -> None:
    shop.piece().write({"pieces/pine-chest/photos/before.jpg": b""})
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file, problem.warning) == ("no-piece-yaml", "pieces/pine-chest", True)
    assert [sheet.folder for sheet in shop.books().sheets] == ["oak-stool"]


def test_a_piece_folder_whose_link_dangles_is_named_and_not_passed_over(shop: ShopWriter) -> None:
    (shop.piece().root / "pieces" / "pine-chest").symlink_to("gone")
    assert [p.place.file for p in shop.problems()] == ["pieces/pine-chest"]


@pytest.mark.parametrize("folder", ["pieces", "receipts"])
def test_a_file_where_a_folder_should_be_is_named_and_not_passed_over(shop: ShopWriter, folder: str) -> None:
    shop.write({folder: "- anything\n"})
    assert [p.place.file for p in shop.problems()] == [folder]


@pytest.mark.parametrize("folder", ["pieces", "receipts"])
def test_a_folder_that_cannot_be_listed_is_an_error_and_not_an_empty_folder(
    shop: ShopWriter, folder: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Permissions stop no root user, so the refusal of the system is put in by hand.
    shop.piece().receipts("- {on: 2026-01-06, from: M., what: glue, cost: 1, for: supplies}\n")

    def refusing(listing: Callable[[Any], Any]) -> Callable[[Any], Any]:
        def listed(path: Any) -> Any:
            if Path(path).name == folder:
                raise PermissionError(13, "Permission denied", path)
            return listing(path)

        return listed

    for name in ("listdir", "scandir"):
        monkeypatch.setattr(os, name, refusing(getattr(os, name)))
    problems = shop.problems()
    assert [(p.place.file, p.warning) for p in problems] == [(folder, False)]


def test_a_shop_with_no_piece_and_no_receipt_is_a_good_shop(shop: ShopWriter) -> None:
    outcome = shop.check()
    assert outcome.problems == []
    assert outcome.books is not None
    assert outcome.books.sheets == ()


@pytest.mark.parametrize("name", [b"oak\xff", b"oak\nstool", b"oak\x1b[31m", "oak\u202estool".encode()])
def test_a_folder_name_that_cannot_be_shown_is_refused_in_letters_that_can(shop: ShopWriter, name: bytes) -> None:
    home = os.path.join(os.fsencode(shop.root), b"pieces", name)
    os.makedirs(home)
    with open(os.path.join(home, b"piece.yaml"), "w") as file:
        file.write(GOOD_PIECE)
    (problem,) = shop.problems()
    assert problem.name == "folder-name"
    assert problem.place.file.isprintable()
    assert problem.place.file.isascii()


@pytest.mark.parametrize("name", [b"2026\xff.yaml", b"20\n26.yaml", b"20\x1b[31m26.yaml"])
def test_a_receipt_file_whose_name_cannot_be_shown_is_refused_in_letters_that_can(
    shop: ShopWriter, name: bytes
) -> None:
    os.mkdir(shop.root / "receipts")
    with open(os.path.join(os.fsencode(shop.root), b"receipts", name), "w") as file:
        file.write("- {on: 2026-01-06, from: M., what: glue, cost: 1, for: supplies}\n")
    (problem,) = shop.problems()
    assert problem.place.file.isprintable()
    assert problem.place.file.isascii()
