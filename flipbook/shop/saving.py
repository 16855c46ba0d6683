"""Writing into a shop's folder: one terminal at a time, whole or not at all, and never over what another has written."""

from __future__ import annotations

import errno
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from filelock import FileLock, Timeout
from PIL import Image

from flipbook.measures.unreadable import shown

LOCK = "out/.entry-lock"
MOST_COPIED = 200 * 1024 * 1024
"""Bytes that a picture or a scan may have, as the portfolio's pictures may."""

_CHUNK = 1024 * 1024
_ASIDE = ".saving-"
# Folders on some sticks and cards know no second name for a file.
_NO_LINKS = frozenset((errno.EPERM, errno.EOPNOTSUPP, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK, errno.EXDEV))


class NotSaved(Exception):
    """Nothing was written: `says` why, and what to `write` or do instead, a sentence each."""

    def __init__(self, says: str, write: str) -> None:
        super().__init__(f"{says}; {write}")
        self.says = says
        self.write = write


class ChangedMeanwhile(NotSaved):
    """A file is not what it was when it was read."""


@contextmanager
def at_the_desk(root: Path, patience: float = 5.0) -> Iterator[None]:
    """Hold the shop's lock, so that two terminals never write at once; wait up to `patience` seconds for another.

    The system lets go of the lock when the process ends, however it ends. Raises NotSaved.
    """
    path = root / LOCK
    try:
        path.parent.mkdir(exist_ok=True)
        lock = FileLock(path)
        lock.acquire(timeout=patience, poll_interval=0.02)
    except Timeout:
        says = "another flipbook is writing into this shop"
        raise NotSaved(says, "try again when it is done") from None
    except FileExistsError:
        raise NotSaved("a file stands where the folder out/ goes", "rename the file") from None
    except (OSError, NotImplementedError) as fault:
        raise _not_saved(LOCK, fault, "the shop cannot be locked") from None
    try:
        yield
    finally:
        lock.release()


def put_back(root: Path, file: str, before: bytes | None, after: bytes) -> None:
    """Write `after` as `file`, a path below the shop with forward slashes, which appears whole.

    `before` is what was read there, None when there was no such file; then a folder that is missing is made. The file
    keeps its mode, and a link within the shop stays a link. Raises ChangedMeanwhile when the file holds something else
    by now, and NotSaved.
    """
    try:
        target = _inside(root, file)
        if before is None:
            if os.path.lexists(root / file):
                raise _changed(file)
            target.parent.mkdir(parents=True, exist_ok=True)
        _refuse_changed(target, file, before)
        if before is not None and not os.access(target, os.W_OK):
            says, write = f"{file} is read-only", f"allow writing it, as with `chmod u+w {file}`"
            raise NotSaved(says, write)
        with _aside(target.parent) as (path, stream):
            stream.write(after)
            if before is not None:
                _take_after(stream, target.stat())
            _to_the_disk(stream)
            _refuse_changed(target, file, before)
            if before is None:
                _name_newly(path, target)
            else:
                os.replace(path, target)
        _keep_names(target.parent)
    except FileExistsError:
        raise _changed(file) from None
    except OSError as fault:
        raise _not_saved(file, fault) from None


def copy_in(root: Path, source: Path, to: str, *, is_picture: bool = False) -> None:
    """Copy a photograph or a scan to `to`, a path below the shop with forward slashes, whole or not at all.

    A folder that is missing is made; nothing is ever written over. `is_picture` asks that the copy can be opened as a
    picture. Raises NotSaved.
    """
    name = shown(str(source).encode("utf-8", "replace").decode(), 60)
    target = _inside(root, to)
    made = [folder for folder in (target.parent, *target.parent.parents) if not folder.exists()]
    try:
        with _opened(source, name) as original:
            target.parent.mkdir(parents=True, exist_ok=True)
            if os.path.lexists(root / to):
                raise FileExistsError
            with _aside(target.parent) as (path, stream):
                _copy(original, stream, name)
                _to_the_disk(stream)
                if is_picture:
                    _refuse_no_picture(path, name)
                _name_newly(path, target)
            _keep_names(target.parent)
    except BaseException as fault:
        for folder in made:
            with suppress(OSError):
                folder.rmdir()
        if isinstance(fault, FileExistsError):
            raise NotSaved(f"there is a file {to} already", "give the copy another name") from None
        if isinstance(fault, OSError):
            raise _not_saved(to, fault) from None
        raise


def _inside(root: Path, file: str) -> Path:
    """Where a file of the shop really stands, links followed. Raises NotSaved when that is not in the shop."""
    shop = os.path.realpath(root)
    try:
        target = os.path.realpath(os.path.join(shop, file))
    except ValueError:
        raise NotSaved(f"{shown(file)!a} is no name for a file", "give it another name") from None
    if not os.path.isdir(shop):
        raise NotSaved("the shop's folder is gone", "look for it, or name the shop")
    if not target.startswith(os.path.join(shop, "")):
        says = f"{shown(file, 100)} is a link to a place outside the shop, or leads there"
        raise NotSaved(says, "copy the file itself into the shop")
    return Path(target)


def _refuse_changed(target: Path, file: str, before: bytes | None) -> None:
    """Raises ChangedMeanwhile when the file is not `before`."""
    if before is None:
        if os.path.lexists(target):
            raise _changed(file)
        return
    try:
        if not stat.S_ISREG(target.stat().st_mode):
            raise NotSaved(f"{file} is no ordinary file", "replace it with a text file")
        now = target.read_bytes()
    except FileNotFoundError:
        if target.parent.is_dir():
            raise ChangedMeanwhile(f"{file} was taken away meanwhile", "look for it, and enter it again") from None
        raise NotSaved(f"the folder of {file} is gone", "look for it, and enter it again") from None
    if now != before:
        raise _changed(file)


def _changed(file: str) -> ChangedMeanwhile:
    return ChangedMeanwhile(f"{file} was changed by another program meanwhile", "look at it, and enter it again")


@contextmanager
def _aside(folder: Path) -> Iterator[tuple[Path, BinaryIO]]:
    """A new file of its own in `folder`, which is gone afterwards unless it was given another name."""
    _sweep(folder)
    path = folder / f"{_ASIDE}{os.getpid()}-{secrets.token_hex(4)}"
    try:
        with path.open("xb") as stream:
            yield path, stream
    finally:
        path.unlink(missing_ok=True)


def _sweep(folder: Path) -> None:
    """Take away what a process that was killed left aside."""
    for left in folder.glob(f"{_ASIDE}*"):
        process = left.name.removeprefix(_ASIDE).partition("-")[0]
        if process.isascii() and process.isdigit() and not _is_running(int(process)):
            with suppress(OSError):
                left.unlink()


def _is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


def _take_after(stream: BinaryIO, old: os.stat_result) -> None:
    """Give a new file the owner, where that is allowed, and the mode of the one that it replaces."""
    new = os.fstat(stream.fileno())
    if (new.st_uid, new.st_gid) != (old.st_uid, old.st_gid):
        with suppress(OSError):
            os.fchown(stream.fileno(), old.st_uid, old.st_gid)
    os.fchmod(stream.fileno(), stat.S_IMODE(old.st_mode))


def _to_the_disk(stream: BinaryIO) -> None:
    stream.flush()
    os.fsync(stream.fileno())


def _name_newly(path: Path, target: Path) -> None:
    """Let `target` be what stands at `path`. Raises FileExistsError when there is something of that name."""
    try:
        os.link(path, target)
    except OSError as fault:
        if fault.errno not in _NO_LINKS:
            raise
        target.open("xb").close()
        os.replace(path, target)


def _keep_names(folder: Path) -> None:
    """Have the folder itself written, so that the new name outlasts a loss of power; some systems cannot."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _opened(source: Path, name: str) -> BinaryIO:
    """The bytes of an ordinary file that is not too large. Raises NotSaved."""
    try:
        # A pipe without a writer would hold up an ordinary open for ever.
        descriptor = os.open(source, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
    except (OSError, ValueError) as fault:
        if isinstance(fault, OSError) and fault.errno == errno.ENXIO:
            raise _no_file(name) from None
        why = (getattr(fault, "strerror", None) or "it has no such name").lower()
        raise NotSaved(f"{name} cannot be read: {why}", "look at its name and its permissions") from None
    found = os.fstat(descriptor)
    if stat.S_ISREG(found.st_mode) and found.st_size <= MOST_COPIED:
        return os.fdopen(descriptor, "rb")
    os.close(descriptor)
    raise _too_large(name) if stat.S_ISREG(found.st_mode) else _no_file(name)


def _no_file(name: str) -> NotSaved:
    return NotSaved(f"{name} is no ordinary file", "name the picture or scan itself")


def _too_large(name: str) -> NotSaved:
    return NotSaved(f"{name} is over {MOST_COPIED // 1024 // 1024} MiB", "save a smaller one")


def _copy(original: BinaryIO, stream: BinaryIO, name: str) -> None:
    copied = 0
    while chunk := original.read(_CHUNK):
        copied += len(chunk)
        if copied > MOST_COPIED:
            raise _too_large(name)
        stream.write(chunk)


def _refuse_no_picture(path: Path, name: str) -> None:
    try:
        with Image.open(path) as picture:
            picture.verify()
    except Exception:  # Pillow's readers raise as many kinds as there are ways to break a file
        raise NotSaved(f"{name} cannot be opened as a picture", "save it as a JPEG, and name that") from None


_REASONS = {
    errno.ENOSPC: ("the disk is full", "make room on it"),
    errno.EDQUOT: ("your share of the disk is full", "make room on it"),
    errno.EROFS: ("the disk is read-only", "copy the shop to one that can be written"),
    errno.EACCES: ("its folder may not be written", "look at the folder's permissions"),
    errno.EPERM: ("its folder may not be written", "look at the folder's permissions"),
    errno.ENAMETOOLONG: ("the name is too long", "give it a shorter one"),
    errno.ENOENT: ("its folder is gone", "look for the folder"),
    errno.ENOTDIR: ("a file stands where its folder goes", "rename that file"),
}


def _not_saved(file: str, fault: Exception, says: str = "") -> NotSaved:
    """A sentence for what the system refused."""
    known = _REASONS.get(fault.errno or 0) if isinstance(fault, OSError) else None
    why, write = known or ((getattr(fault, "strerror", None) or "the system cannot").lower(), "look at the disk")
    return NotSaved(f"{says or f'{file} was not written'}: {why}", write)
