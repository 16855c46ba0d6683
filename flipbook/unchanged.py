"""Nothing had changed: a compile leaves a note of all that it looked at, and the next one may find all as it was.

The note holds the mark of every file and folder of the shop that was looked at, of every file of the output, and of
this program, and what the compile had to say. It is plain text and is never believed where it can be held against the
disk: whatever does not agree, or cannot be read, leads to a compile. Only the standard library is imported here, since
the answer should come at once.
"""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from flipbook import __version__
from flipbook.shipped import templates_folder
from flipbook.shop.marks import GONE, Look, mark, mark_of

NOTE = ".unchanged"
_FORM = "what a compile of flipbook looked at, 1"
_LARGEST = 256 * 1024 * 1024
_LIBRARIES = ("jinja2", "markupsafe", "PIL", "pydantic", "pydantic_core", "ruamel/yaml")
"""What the output goes through besides this program; another version of one of them may make other bytes."""


class Said(NamedTuple):
    """What a compile says when it is done; sums of money as they are shown."""

    pieces: int
    receipts: int
    currency: str
    money_in: str
    money_out: str
    proof: str
    pages: int
    tables: int
    pictures: int


class Note(NamedTuple):
    """A note as it was read, a text for each part; nothing in it is known to hold."""

    said: str
    warned: str
    program: str
    shop: str
    looked_at: str
    young: str
    output: str
    digests: str


def may_be_output(root: Path, out: Path) -> str | None:
    """Why `out` can't be the output folder of the shop at `root`, or None when it can."""
    real, shop = os.path.realpath(out), os.path.realpath(root)
    for name in ("pieces", "receipts", "years"):
        inner = os.path.join(shop, name)
        if real == inner or real.startswith(inner + os.sep):
            return f"the output would stand in `{name}/`, where the shop's own files are"
    if os.path.lexists(out) and not os.path.isdir(out):
        return "there is a file of that name"
    return None


def as_it_was(root: Path, out: Path, digest_of: Callable[[str], str]) -> tuple[Said, str] | None:
    """What the last compile of `root` into `out` said, and its warnings as `put_note` was given them, a line for each,
    when nothing has changed since; else None.

    `digest_of` gives the SHA-256 of a file by its path; it is asked only of what was saved just before it was read.
    """
    note = note_in(out)
    if note is None or note.program != AS_STARTED or note.shop != _shop(root, out, _names_in(root)):
        return None
    if not _bear_their_marks(os.fspath(root), _lines(note.looked_at)):
        return None
    if not _bear_their_marks(os.fspath(out), _lines(note.output)):
        return None
    if not all(_is_same_young(os.fspath(root), line, digest_of) for line in _split(note.young, 4)):
        return None
    said = _said(note.said)
    return None if said is None else (said, note.warned)


def note_in(out: Path) -> Note | None:
    """The note that stands in an output folder, if there is one that can be read."""
    path = f"{out}/{NOTE}"
    try:
        there = os.lstat(path)
        if not stat.S_ISREG(there.st_mode) or there.st_size > _LARGEST:
            return None
        with open(path, "rb") as stream:
            parts = stream.read().decode("utf-8", "surrogateescape").split("\n\n")
    except (OSError, ValueError):
        return None
    if len(parts) != len(Note._fields) + 2 or (parts[0], parts[-1]) != (_FORM, "whole\n"):
        return None
    return Note(*parts[1:-1])


def marks_and_digests(note: Note) -> tuple[dict[str, str], dict[str, str]]:
    """The marks of the output's files as the note has them, and the digests of its pictures."""
    marks, digests = ({file: told for told, file in _split(part, 2)} for part in (note.output, note.digests))
    return marks, digests


def put_note(
    root: Path,
    out: Path,
    said: Said,
    warned: Iterable[str],
    looks: Mapping[str, Look],
    names: Iterable[str],
    marks: Mapping[str, str],
    digests: Mapping[str, str],
) -> None:
    """Leave a note in the output, last of all; without one the next compile is a whole one, and nothing is lost.

    `looks` are all that were taken at paths of the shop, `names` those that stood in its folder, `marks` and `digests`
    those of the output's files, and `warned` a line of text for each warning.
    """
    told = dict(_telling(looks))
    by_content = {path: look for path, look in told.items() if look.content is not None}
    parts = Note(
        said="\n".join(map(str, said)),
        warned="\n".join(warned),
        program=AS_STARTED,
        shop=_shop(root, out, names),
        looked_at="\n".join(f"{look.mark}\t{path}" for path, look in told.items() if path not in by_content),
        young="\n".join(_young(path, look) for path, look in by_content.items()),
        output="\n".join(f"{mark}\t{file}" for file, mark in sorted(marks.items())),
        digests="\n".join(f"{digest}\t{file}" for file, digest in sorted(digests.items())),
    )
    if any("\n" in name for name in (*looks, *marks, *names, *(look.content or "" for look in by_content.values()))):
        return  # a line each, they would read as two
    text = "\n\n".join([_FORM, *parts, "whole\n"])
    # Where a compile makes things aside, so that what a kill leaves there is taken away by the next.
    aside = f"{out}/.making-{os.getpid()}"
    with suppress(OSError, ValueError):
        os.makedirs(aside, exist_ok=True)
        with open(f"{aside}/{NOTE}", "wb") as stream:
            stream.write(text.encode("utf-8", "surrogateescape"))
        os.replace(f"{aside}/{NOTE}", f"{out}/{NOTE}")
    with suppress(OSError):
        os.rmdir(aside)


def _program() -> str:
    """The mark of every file of this program, of its templates and tax rules, and of the libraries that it goes through."""
    package = os.path.dirname(os.path.abspath(__file__))
    told = [f"{__version__} {sys.hexversion:x}"]
    for top in (package, os.fspath(templates_folder())):
        told += [f"{mark_of(path)} {path[len(top) :]}" for path in sorted(_files_below(top))]
    for library in _LIBRARIES:
        marks = (mark_of(f"{folder}/{library}/__init__.py") for folder in sys.path)
        told.append(f"{next((mark for mark in marks if mark != GONE), GONE)} {library}")
    return "\n".join(told)


def _files_below(folder: str) -> Iterator[str]:
    """Every file below a folder but what Python compiled; of a program that runs from an archive, the archive."""
    try:
        entries = list(os.scandir(folder))
    except OSError:
        while folder != os.path.dirname(folder) and not os.path.lexists(folder):
            folder = os.path.dirname(folder)
        yield folder
        return
    for entry in entries:
        if not entry.is_dir(follow_symlinks=False):
            yield entry.path
        elif entry.name != "__pycache__":
            yield from _files_below(entry.path)


def _shop(root: Path, out: Path, names: Iterable[str]) -> str:
    """Which folder the shop is, and what stands in it besides the output and what is hidden."""
    try:
        there = os.stat(root)
    except OSError:
        return ""
    shop, real = os.path.realpath(root), os.path.realpath(out)
    inner = os.path.relpath(real, shop).split(os.sep)[0] if real.startswith(shop + os.sep) else ""
    ours = {"books", "portfolio"} if real == shop else {inner}
    shown = sorted(name for name in names if not name.startswith(".") and name not in ours)
    return f"{there.st_dev} {there.st_ino}\n" + "/".join(shown)


def _names_in(folder: Path) -> list[str]:
    try:
        return os.listdir(folder)
    except OSError:
        return []


def _lines(part: str) -> list[str]:
    return part.split("\n") if part else []


def _split(part: str, fields: int) -> Iterator[list[str]]:
    """The lines of a part as their fields; a path comes last, and may hold what stands between them."""
    for line in _lines(part):
        split = line.split("\t", fields - 1)
        yield split if len(split) == fields else [GONE] * fields


def _bear_their_marks(top: str, lines: Iterable[str]) -> bool:
    """Whether every path below `top` bears the mark that stands before it. The loop is this answer's hottest."""
    lstat = os.lstat
    for line in lines:
        noted, _, path = line.partition("\t")
        try:
            there = lstat(f"{top}/{path}")
        except (OSError, ValueError):
            if noted == GONE:
                continue
            return False
        own = f"{there.st_size} {there.st_mtime_ns} {there.st_ctime_ns} {there.st_ino}"
        if own != noted and mark(there, f"{top}/{path}") != noted:  # that of a link holds more
            return False
    return True


def _is_same_young(top: str, line: list[str], digest_of: Callable[[str], str]) -> bool:
    """Whether what was saved just before it was read is the same, which its mark alone does not tell."""
    noted, kind, content, path = line
    there = f"{top}/{path}"
    if mark_of(there) != noted:
        return False
    try:
        if kind == "names":
            return "/".join(sorted(os.listdir(there))) == content
        return digest_of(there) == content
    except (OSError, ValueError):
        return False


def _young(path: str, look: Look) -> str:
    return f"{look.mark}\t{'names' if look.is_folder else 'bytes'}\t{look.content}\t{path}"


def _telling(looks: Mapping[str, Look]) -> Iterator[tuple[str, Look]]:
    """The looks that a note needs: that nothing is at a path is told by the folder above, when that was looked at before."""
    folders = set()
    for path, look in looks.items():
        if path and look.is_folder and not look.is_young:
            folders.add(path)
        if path and not (look.mark == GONE and os.path.dirname(path) in folders):
            yield path, look


def _said(part: str) -> Said | None:
    """What was said, if it is what a compile says."""
    lines = part.split("\n")
    if len(lines) != len(Said._fields) or not part.replace("\n", "").isprintable():
        return None
    try:
        pieces, receipts, currency, money_in, money_out, proof, pages, tables, pictures = lines
        return Said(
            int(pieces), int(receipts), currency, money_in, money_out, proof, *map(int, (pages, tables, pictures))
        )
    except ValueError:
        return None


AS_STARTED = _program()
"""The program as it was when this process began: what it makes is made by that, whatever is installed meanwhile."""
