"""Pictures and scans that an entry brings along: looked at, and named for their place in the shop."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from PIL import Image

from flipbook.cli.ending import Misused, reason
from flipbook.measures.unreadable import shown
from flipbook.shop.folder import PICTURES, ShopFolder

SHOWS = ("before", "during", "after", "detail")
"""What a picture may show: the first word of its name."""

MOST_BYTES = 200 * 1024 * 1024
MOST_PIXELS = 64_000_000
LONGEST_NAME = 40

_ENDINGS = {
    "JPEG": ".jpg", "MPO": ".jpg", "PNG": ".png", "WEBP": ".webp", "GIF": ".gif", "TIFF": ".tif", "BMP": ".bmp",
}  # fmt: skip
_KINDS = "a JPEG, PNG, WebP, GIF, TIFF or BMP picture"
# What a phone saves, and no page shows: as a scan it is a record all the same.
_KEPT_AS_SCANS = (".heic", ".heif", ".avif")


@dataclass(frozen=True, kw_only=True, slots=True)
class Brought:
    """A file that comes along: its path as the YAML names it, and what is copied where (nothing, if it is there)."""

    path: str
    copies: tuple[tuple[Path, str], ...]


def photo(root: Path, folder: str, source: str, shows: str, day: date, named: Iterable[str] = ()) -> Brought:
    """A picture for a piece's photos/, its name free there and none of `named`. Raises Misused when it is no picture."""
    path = _there(source)
    ending = _picture_ending(path)
    if ending is None:
        raise Misused(f"{_name(path)} is not {_KINDS}, or it is damaged; save it as a JPEG, and name that")
    home = f"pieces/{folder}"
    inside = _inside(root, home, path, "photos/")
    if inside is not None:
        return Brought(path=inside, copies=())
    stem = slug(re.sub(rf"^(?:{'|'.join(SHOWS)})\b", "", path.stem, flags=re.IGNORECASE))
    name = _free(root / home, "photos", "-".join(filter(None, (shows, str(day), stem))), ending, named)
    return Brought(path=name, copies=((path, f"{home}/{name}"),))


def scan(root: Path, home: str, inner: str, source: str, day: date, party: str) -> Brought:
    """The scan of a receipt, for the folder `inner` beside the file in `home`. Raises Misused when it is none."""
    path = _there(source)
    ending = _scan_ending(path)
    if ending is None:
        raise Misused(f"{_name(path)} is neither a PDF nor {_KINDS}, or it is damaged; save it as one of them")
    inside = _inside(root, home, path, "")
    if inside is not None:
        return Brought(path=inside, copies=())
    name = _free(root / home, inner, "-".join(filter(None, (str(day), slug(party)))), ending, ())
    return Brought(path=name, copies=((path, f"{home}/{name}"),))


def slug(text: str) -> str:
    """Small letters, digits and hyphens; nothing when there are none in the text."""
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", letters.lower()).strip("-")[:LONGEST_NAME].strip("-")


def _name(path: Path) -> str:
    return shown(str(path).encode("utf-8", "replace").decode(), 60)


def _there(source: str) -> Path:
    path = Path(source).expanduser()
    try:
        if not path.is_file():
            raise Misused(f"there is no file {_name(path)}")
        size = path.stat().st_size
        with path.open("rb"):
            pass
    except OSError as fault:
        raise Misused(f"{_name(path)} cannot be read: {reason(fault)}") from None
    except ValueError:
        raise Misused(f"there is no file {shown(source)!a}") from None
    if size > MOST_BYTES:
        raise Misused(f"{_name(path)} is over 200 MiB; save a smaller one")
    return path


def _picture_ending(path: Path) -> str | None:
    """The ending of a picture's name, its own where that is known; None when it cannot be decoded."""
    try:
        with Image.open(path, formats=tuple(set(_ENDINGS) - {"MPO"})) as opened:
            if opened.format == "JPEG":
                opened.draft("RGB", (64, 64))  # enough to see that it is whole
            if opened.width * opened.height <= MOST_PIXELS:
                opened.load()
            kind = _ENDINGS[opened.format or ""]
    except Exception:  # Pillow's readers raise as many kinds as there are ways to break a file
        return None
    own = path.suffix.lower()
    return own if own in PICTURES else kind


def _scan_ending(path: Path) -> str | None:
    with path.open("rb") as stream:
        if stream.read(1024).lstrip().startswith(b"%PDF-"):
            return ".pdf"
    own = path.suffix.lower()
    return own if own in _KEPT_AS_SCANS and path.stat().st_size else _picture_ending(path)


def _inside(root: Path, home: str, path: Path, start: str) -> str | None:
    """The path as a file of `home` would write it, when the source lies in the right folder of the shop already."""
    inner = os.path.relpath(os.path.realpath(path), os.path.realpath(root / home)).replace(os.sep, "/")
    is_fit = inner.startswith(start) and inner.isprintable() and ShopFolder(root).fault_of(inner, home) is None
    return inner if is_fit else None


def _free(home: Path, inner: str, stem: str, ending: str, named: Iterable[str]) -> str:
    """A name that no file has yet, with a number behind it where there is one of that name.

    Raises Misused when the folder is a link that leads away.
    """
    if os.path.realpath(home / inner) != os.path.join(os.path.realpath(home), inner):
        raise Misused(f"{home.name}/{inner} is a link to another place; make it a folder of its own")
    taken = set(named)
    number = 1
    while True:
        name = f"{inner}/{stem}{f'-{number}' if number > 1 else ''}{ending}"
        if name not in taken and not os.path.lexists(home / name):
            return name
        number += 1
