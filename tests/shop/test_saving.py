"""What is written into a shop is written whole or not at all, by one terminal at a time, and never over another's work."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from shop_writer import PATIENCE, ShopWriter, flipbook_environment

from flipbook.compile import compile_shop
from flipbook.shop.saving import LOCK, ChangedMeanwhile, NotSaved, at_the_desk, copy_in, put_back

PIECE = "pieces/oak-stool/piece.yaml"
NOBODY = 65534
ANYONE = 0o777

# What a child process does comes after this; it gives up the rights of root, which may write everything. What it
# imports comes before: the libraries may lie where nobody may look.
AS_NOBODY = f"""
import encodings.utf_8_sig, os, resource, signal, sys, time
from pathlib import Path
from flipbook.shop.editing import appended
from flipbook.shop.saving import ChangedMeanwhile, NotSaved, at_the_desk, copy_in, put_back
root = Path(sys.argv[1])
if os.geteuid() == 0:
    os.setgroups([])
    os.setgid({NOBODY})
    os.setuid({NOBODY})
def tell(act):
    try:
        act()
    except NotSaved as fault:
        print(type(fault).__name__, fault.says, fault.write, sep="|")
    else:
        print("saved")
"""


def child(root: Path, script: str, *words: str) -> subprocess.Popen[str]:
    """A process of its own that runs `script` on a shop."""
    command = [sys.executable, "-c", AS_NOBODY + script, str(root), *words]
    return subprocess.Popen(
        command, env=flipbook_environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def told_by(process: subprocess.Popen[str]) -> list[str]:
    """The lines that a child process ends with; it must end well."""
    out, err = process.communicate(timeout=PATIENCE)
    assert (process.returncode, err) == (0, "")
    return out.splitlines()


@pytest.fixture
def anyones() -> Iterator[ShopWriter]:
    """A shop that anyone on the machine may write in; a folder of pytest's own is shut to others."""
    with TemporaryDirectory() as folder:
        os.chmod(folder, ANYONE)
        shop = ShopWriter(Path(folder) / "my_shop").piece()
        for directory, _, files in os.walk(shop.root):
            os.chmod(directory, ANYONE)
            for file in files:
                os.chmod(Path(directory) / file, ANYONE & 0o666)
        yield shop


def left_aside(root: Path) -> list[Path]:
    return [path for path in root.rglob("*") if path.name.startswith(".saving-")]


def refusal(act: Callable[[], None]) -> NotSaved:
    """What is said when `act` is not carried out."""
    with pytest.raises(NotSaved) as caught:
        act()
    assert caught.value.says
    assert caught.value.write
    return caught.value


# put_back


def test_a_file_holds_the_new_bytes_and_keeps_its_mode_and_owner(shop: ShopWriter) -> None:
    shop.piece()
    path = shop.root / PIECE
    owner = NOBODY if os.geteuid() == 0 else os.geteuid()
    os.chown(path, owner, -1)
    path.chmod(0o640)
    put_back(shop.root, PIECE, path.read_bytes(), "piece: Égérie\r\n".encode())
    assert path.read_bytes() == "piece: Égérie\r\n".encode()
    found = path.stat()
    assert (stat.S_IMODE(found.st_mode), found.st_uid) == (0o640, owner)
    assert left_aside(shop.root) == []


def test_a_new_file_appears_with_its_folder(shop: ShopWriter) -> None:
    put_back(shop.root, "receipts/2026.yaml", None, b"- x\n")
    assert (shop.root / "receipts/2026.yaml").read_bytes() == b"- x\n"
    assert left_aside(shop.root) == []


@pytest.mark.parametrize(
    ("before", "now"),
    [(b"piece: x\n", b"piece: y\n"), (b"piece: x\n", b""), (b"", b"piece: x\n"), (None, b""), (b"piece: x\n", None)],
    ids=["other bytes", "emptied", "filled", "made", "taken away"],
)
def test_a_file_that_is_not_what_was_read_is_not_written(
    shop: ShopWriter, before: bytes | None, now: bytes | None
) -> None:
    shop.piece()
    path = shop.root / PIECE
    path.unlink()
    if now is not None:
        path.write_bytes(now)
    fault = refusal(lambda: put_back(shop.root, PIECE, before, b"piece: new\n"))
    assert isinstance(fault, ChangedMeanwhile)
    assert PIECE in fault.says
    assert (path.read_bytes() if path.exists() else None) == now
    assert left_aside(shop.root) == []


def test_a_change_between_the_look_and_the_move_is_seen(shop: ShopWriter, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another editor saves just when the new bytes are on the disk."""
    shop.piece()
    path = shop.root / PIECE
    before = path.read_bytes()
    monkeypatch.setattr(os, "fsync", lambda _: path.write_bytes(b"piece: by another hand\n"))
    assert isinstance(refusal(lambda: put_back(shop.root, PIECE, before, b"piece: x\n")), ChangedMeanwhile)
    assert path.read_bytes() == b"piece: by another hand\n"
    assert left_aside(shop.root) == []


def test_a_link_inside_the_shop_stays_a_link_and_its_target_is_written(shop: ShopWriter) -> None:
    shop.write({"texts/workstand.yaml": b"piece: x\n", "pieces/oak-stool/photos/a.txt": b""})
    link = shop.root / PIECE
    link.symlink_to("../../texts/workstand.yaml")
    put_back(shop.root, PIECE, b"piece: x\n", b"piece: y\n")
    assert link.is_symlink()
    assert (shop.root / "texts/workstand.yaml").read_bytes() == link.read_bytes() == b"piece: y\n"


OUTSIDE = {
    "the file is a link": lambda root, away: (root / PIECE).symlink_to(away / "piece.yaml"),
    "its folder is a link": lambda root, away: (
        (root / "pieces/oak-stool").rmdir(),
        (root / "pieces/oak-stool").symlink_to(away),
    ),
    "a link to a link": lambda root, away: (
        (root / "on").symlink_to(away / "piece.yaml"),
        (root / PIECE).symlink_to(root / "on"),
    ),
}


@pytest.mark.parametrize("linked", OUTSIDE.values(), ids=OUTSIDE)
def test_no_link_leads_a_write_out_of_the_shop(shop: ShopWriter, tmp_path: Path, linked: Callable[..., object]) -> None:
    away = tmp_path / "away"
    away.mkdir()
    (away / "piece.yaml").write_bytes(b"piece: x\n")
    (shop.root / "pieces/oak-stool").mkdir(parents=True)
    linked(shop.root, away)
    assert "outside the shop" in refusal(lambda: put_back(shop.root, PIECE, b"piece: x\n", b"piece: y\n")).says
    assert (away / "piece.yaml").read_bytes() == b"piece: x\n"
    assert [path.name for path in away.iterdir()] == ["piece.yaml"]


@pytest.mark.parametrize("file", ["../piece.yaml", "pieces/../../piece.yaml", "/srv/piece.yaml", "", "."])
def test_no_path_leads_out_of_the_shop(shop: ShopWriter, tmp_path: Path, file: str) -> None:
    refusal(lambda: put_back(shop.root, file, None, b"x"))
    (tmp_path / "source.png").write_bytes(b"x")
    refusal(lambda: copy_in(shop.root, tmp_path / "source.png", file))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["my_shop", "source.png"]


def test_a_name_that_no_file_can_have_is_refused(shop: ShopWriter) -> None:
    assert "name" in refusal(lambda: put_back(shop.root, "pieces/a\0b", None, b"x")).says
    assert "too long" in refusal(lambda: put_back(shop.root, "x" * 300 + ".yaml", None, b"x")).says


def test_a_link_to_nothing_is_no_place_for_a_new_file(shop: ShopWriter) -> None:
    (shop.root / "receipts.yaml").symlink_to("nowhere.yaml")
    assert isinstance(refusal(lambda: put_back(shop.root, "receipts.yaml", None, b"x")), ChangedMeanwhile)
    assert not (shop.root / "nowhere.yaml").exists()


def test_what_is_no_ordinary_file_is_not_replaced(shop: ShopWriter) -> None:
    (shop.root / PIECE).mkdir(parents=True)
    assert "no ordinary file" in refusal(lambda: put_back(shop.root, PIECE, b"", b"x")).says
    assert (shop.root / PIECE).is_dir()


def test_a_folder_that_is_gone_is_told(shop: ShopWriter, tmp_path: Path) -> None:
    assert "folder of" in refusal(lambda: put_back(shop.root, PIECE, b"piece: x\n", b"piece: y\n")).says
    assert not (shop.root / "pieces").exists()
    assert "folder is gone" in refusal(lambda: put_back(tmp_path / "no_shop", PIECE, None, b"x")).says
    assert not (tmp_path / "no_shop").exists()


def test_a_read_only_file_is_refused_and_not_replaced(anyones: ShopWriter) -> None:
    path = anyones.root / PIECE
    path.chmod(0o444)
    before = path.read_bytes()
    script = "tell(lambda: put_back(root, sys.argv[2], (root / sys.argv[2]).read_bytes(), b'piece: x'))"
    (said,) = told_by(child(anyones.root, script, PIECE))
    assert said.startswith(f"NotSaved|{PIECE} is read-only|")
    assert path.read_bytes() == before
    assert left_aside(anyones.root) == []


def test_a_folder_that_may_not_be_written_is_told(anyones: ShopWriter) -> None:
    (anyones.root / PIECE).parent.chmod(0o555)
    script = "tell(lambda: put_back(root, sys.argv[2], (root / sys.argv[2]).read_bytes(), b'piece: x'))"
    script += "\ntell(lambda: copy_in(root, root / 'shop.yaml', 'pieces/oak-stool/a.png'))"
    for said in told_by(child(anyones.root, script, PIECE)):
        assert "its folder may not be written|look at the folder's permissions" in said
    assert [path.name for path in (anyones.root / PIECE).parent.iterdir()] == ["piece.yaml"]


def test_a_disk_that_takes_no_more_leaves_the_file_as_it_was(anyones: ShopWriter) -> None:
    """A limit on the size of files stands for a full disk: a write stops in its middle (setrlimit(2), RLIMIT_FSIZE)."""
    before = (anyones.root / PIECE).read_bytes()
    script = """
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (8192, 8192))
tell(lambda: put_back(root, sys.argv[2], (root / sys.argv[2]).read_bytes(), b'piece: ' + b'x' * 100_000))
tell(lambda: copy_in(root, Path(sys.executable), 'pieces/oak-stool/photos/a.png'))
"""
    lines = told_by(child(anyones.root, script, PIECE))
    assert [line.split("|")[0] for line in lines] == ["NotSaved", "NotSaved"]
    assert (anyones.root / PIECE).read_bytes() == before
    assert [path.name for path in (anyones.root / PIECE).parent.iterdir()] == ["piece.yaml"]


@pytest.mark.parametrize(
    ("number", "says"),
    [(errno.ENOSPC, "the disk is full"), (errno.EROFS, "the disk is read-only"), (errno.EIO, "input/output error")],
)
def test_what_the_disk_refuses_is_a_sentence(
    shop: ShopWriter, monkeypatch: pytest.MonkeyPatch, number: int, says: str
) -> None:
    def fails(_: int) -> None:
        raise OSError(number, os.strerror(number))

    shop.piece()
    before = (shop.root / PIECE).read_bytes()
    monkeypatch.setattr(os, "fsync", fails)
    assert refusal(lambda: put_back(shop.root, PIECE, before, b"x")).says == f"{PIECE} was not written: {says}"
    assert (shop.root / PIECE).read_bytes() == before
    assert left_aside(shop.root) == []


def test_a_folder_without_second_names_takes_a_new_file_too(shop: ShopWriter, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a memory stick (link(2): EPERM, the file system does not support hard links)."""

    def fails(*_: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(os, "link", fails)
    put_back(shop.root, "receipts/2026.yaml", None, b"- x\n")
    assert (shop.root / "receipts/2026.yaml").read_bytes() == b"- x\n"
    assert isinstance(refusal(lambda: put_back(shop.root, "receipts/2026.yaml", None, b"- y\n")), ChangedMeanwhile)
    assert left_aside(shop.root) == []


def test_a_kill_at_any_moment_leaves_the_old_file_or_the_new_one(anyones: ShopWriter) -> None:
    whole = [b"piece: " + sign * 200_000 + b"\n" for sign in (b"a", b"b")]
    path = anyones.root / PIECE
    script = """
one, two = (b"piece: " + sign * 200_000 + b"\\n" for sign in (b"a", b"b"))
print("starts", flush=True)
while True:
    now = (root / sys.argv[2]).read_bytes()
    put_back(root, sys.argv[2], now, two if now == one else one)
"""
    for number in range(8):
        writer = child(anyones.root, script, PIECE)
        assert writer.stdout is not None
        assert writer.stdout.readline() == "starts\n"
        time.sleep(0.01 + 0.007 * number)
        writer.kill()
        writer.communicate(timeout=PATIENCE)
        assert number == 0 or path.read_bytes() in whole
        path.write_bytes(whole[number % 2])
        path.chmod(0o666)
    put_back(anyones.root, PIECE, path.read_bytes(), b"piece: x\n")
    assert left_aside(anyones.root) == [], "what the killed ones left is swept up"


# at_the_desk


def test_the_lock_makes_the_folder_that_it_lies_in(shop: ShopWriter) -> None:
    with at_the_desk(shop.root):
        assert (shop.root / LOCK).is_file()
    with at_the_desk(shop.root):
        pass


def test_a_lock_that_is_held_is_told(shop: ShopWriter) -> None:
    with at_the_desk(shop.root):
        started = time.monotonic()
        fault = refusal(lambda: at_the_desk(shop.root, patience=0.2).__enter__())
        assert 0.1 < time.monotonic() - started < 3
    assert fault.says == "another flipbook is writing into this shop"
    with at_the_desk(shop.root, patience=0.2):
        pass


HOLDS = """
with at_the_desk(root):
    print("held", flush=True)
    time.sleep(60)
"""


def test_a_lock_held_by_another_process_is_told_and_a_killed_one_holds_none(anyones: ShopWriter) -> None:
    holder = child(anyones.root, HOLDS)
    try:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        (said,) = told_by(child(anyones.root, "tell(at_the_desk(root, patience=0.3).__enter__)"))
        assert said.startswith("NotSaved|another flipbook is writing into this shop|")
    finally:
        holder.kill()
        holder.communicate(timeout=PATIENCE)
    assert told_by(child(anyones.root, "tell(at_the_desk(root, patience=0.3).__enter__)")) == ["saved"]


def test_two_terminals_entering_at_once_lose_no_entry(anyones: ShopWriter) -> None:
    script = """
for number in range(25):
    with at_the_desk(root, patience=60):
        before = (root / sys.argv[2]).read_bytes()
        put_back(root, sys.argv[2], before, appended(sys.argv[2], before, ("log",), f"2026-02-15 {sys.argv[3]} {number}"))
print("done")
"""
    both = [child(anyones.root, script, PIECE, who) for who in ("sanded", "waxed")]
    assert [told_by(process) for process in both] == [["done"], ["done"]]
    lines = (anyones.root / PIECE).read_text().splitlines()
    entered = [line.removeprefix("  - 2026-02-15 ") for line in lines if line.startswith("  - ")]
    assert sorted(entered) == sorted(f"{who} {number}" for who in ("sanded", "waxed") for number in range(25))
    for who in ("sanded", "waxed"):
        assert [one for one in entered if one.startswith(who)] == [f"{who} {number}" for number in range(25)]


def test_a_lock_that_cannot_be_made_is_told(anyones: ShopWriter, shop: ShopWriter) -> None:
    (shop.root / "out").write_bytes(b"")
    assert "out/" in refusal(lambda: at_the_desk(shop.root).__enter__()).says
    anyones.root.chmod(0o555)
    (said,) = told_by(child(anyones.root, "tell(at_the_desk(root).__enter__)"))
    assert said == "NotSaved|the shop cannot be locked: its folder may not be written|look at the folder's permissions"


def test_compile_leaves_the_lock_where_it_is_and_works_under_it(shop: ShopWriter) -> None:
    shop.piece()
    out = shop.root / "out"
    with at_the_desk(shop.root):
        assert compile_shop(shop.root, out).books is not None
        assert compile_shop(shop.root, out).books is not None
        refusal(lambda: at_the_desk(shop.root, patience=0).__enter__())
    assert (shop.root / LOCK).is_file()
    assert ".entry-lock" not in (out / ".made").read_text()
