"""A picture or a scan is copied into a shop whole or not at all, and over nothing."""

from __future__ import annotations

import io
import os
import socket
import stat
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from shop_writer import ShopWriter

from flipbook.shop import saving
from flipbook.shop.saving import NotSaved, copy_in


def refusal(act: Callable[[], None]) -> NotSaved:
    """What is said when `act` is not carried out."""
    with pytest.raises(NotSaved) as caught:
        act()
    assert caught.value.says
    assert caught.value.write
    return caught.value


def jpeg() -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (12, 8), "sienna").save(stream, "JPEG")
    return stream.getvalue()


TO = "pieces/oak-stool/photos/before.jpg"


def test_a_picture_is_copied_with_its_folder(shop: ShopWriter, tmp_path: Path) -> None:
    source = tmp_path / "IMG 0001.JPG"
    source.write_bytes(jpeg())
    copy_in(shop.root, source, TO, is_picture=True)
    assert (shop.root / TO).read_bytes() == source.read_bytes() == jpeg()
    assert [path.name for path in (shop.root / TO).parent.iterdir()] == ["before.jpg"]


def test_nothing_is_written_over(shop: ShopWriter, tmp_path: Path) -> None:
    shop.write({TO: b"there before"})
    (tmp_path / "a.jpg").write_bytes(jpeg())
    assert "already" in refusal(lambda: copy_in(shop.root, tmp_path / "a.jpg", TO)).says
    assert (shop.root / TO).read_bytes() == b"there before"
    (shop.root / TO).unlink()
    (shop.root / TO).symlink_to("nowhere.jpg")
    assert "already" in refusal(lambda: copy_in(shop.root, tmp_path / "a.jpg", TO)).says
    assert [path.name for path in (shop.root / TO).parent.iterdir()] == ["before.jpg"]


def test_no_link_leads_a_copy_out_of_the_shop(shop: ShopWriter, tmp_path: Path) -> None:
    (tmp_path / "away").mkdir()
    (tmp_path / "a.jpg").write_bytes(jpeg())
    (shop.root / "pieces/oak-stool").mkdir(parents=True)
    (shop.root / "pieces/oak-stool/photos").symlink_to(tmp_path / "away")
    assert "outside the shop" in refusal(lambda: copy_in(shop.root, tmp_path / "a.jpg", TO)).says
    assert list((tmp_path / "away").iterdir()) == []


def test_a_file_made_while_the_copy_is_made_is_kept(
    shop: ShopWriter, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.jpg").write_bytes(jpeg())
    monkeypatch.setattr(os, "fsync", lambda _: shop.write({TO: b"by another hand"}))
    assert "already" in refusal(lambda: copy_in(shop.root, tmp_path / "a.jpg", TO)).says
    assert (shop.root / TO).read_bytes() == b"by another hand"


def no_sources(folder: Path) -> dict[str, Path]:
    """Things that are no picture and no scan, and must neither be copied nor waited for."""
    pipe, plug, large = folder / "pipe", folder / "plug", folder / "large.jpg"
    os.mkfifo(pipe)
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(plug))
    with large.open("wb") as stream:
        stream.truncate(saving.MOST_COPIED + 1)
    return {"no ordinary": folder, "over 200 MiB": large, "cannot be read": folder / "nothing.jpg"} | {
        f"no ordinary file{' ' * n}": path for n, path in enumerate((pipe, plug, Path(os.devnull), Path("/dev/zero")))
    }


def test_what_is_no_picture_or_scan_is_not_copied(shop: ShopWriter, tmp_path: Path) -> None:
    for says, source in no_sources(tmp_path).items():
        assert says.strip() in refusal(lambda source=source: copy_in(shop.root, source, TO)).says
    assert "cannot be read" in refusal(lambda: copy_in(shop.root, Path("a\0b"), TO)).says
    assert [path.name for path in shop.root.iterdir()] == ["shop.yaml"], "no folder is left behind"


@pytest.mark.parametrize(
    "data", [b"", b"not a picture", jpeg()[:20], b"%PDF-1.7\n"], ids=["empty", "text", "cut off", "pdf"]
)
def test_what_cannot_be_opened_as_a_picture_is_not_copied_when_that_is_asked(
    shop: ShopWriter, tmp_path: Path, data: bytes
) -> None:
    (tmp_path / "a.jpg").write_bytes(data)
    assert "as a picture" in refusal(lambda: copy_in(shop.root, tmp_path / "a.jpg", TO, is_picture=True)).says
    assert [path.name for path in shop.root.iterdir()] == ["shop.yaml"]
    copy_in(shop.root, tmp_path / "a.jpg", TO)
    assert (shop.root / TO).read_bytes() == data


def test_a_source_that_grows_past_the_limit_is_not_copied(
    shop: ShopWriter, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.jpg").write_bytes(b"x" * 100)
    found = os.stat_result((stat.S_IFREG | 0o600, *[0] * 9))
    monkeypatch.setattr(os, "fstat", lambda _: found)
    monkeypatch.setattr(saving, "MOST_COPIED", 99)
    assert "is over" in refusal(lambda: copy_in(shop.root, tmp_path / "a.jpg", TO)).says
    assert [path.name for path in shop.root.iterdir()] == ["shop.yaml"]
