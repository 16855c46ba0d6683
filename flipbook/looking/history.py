"""A piece's job through its git history: when each thing came into the log, and which past figure was changed since."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from pathlib import Path

from flipbook.looking.comparing import Change, compared
from flipbook.looking.entries import PIECE, LogEntry
from flipbook.looking.git import FileChange, Repository
from flipbook.looking.versions import UNREAD, Snapshot, Versions
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Problem

MOST_NAMES = 30
"""Names of a folder that are followed."""
MOST_READ = 8 * 1024 * 1024
"""Bytes of earlier versions that are read, the newest first; a log of years comes to a tenth of it."""
MOST_LOOKED_THROUGH = 256 * 1024 * 1024
"""Bytes of earlier receipts that are looked through for the piece's name."""
MOST_TOLD = 300
"""Sentences that are told of one version."""
_LOG = "the log"
_TAKEN_AWAY = "the piece's file was taken away"
_CAME_BACK = "the piece's file came back"
_NOTHING_SAID = "only the way it is written changed"
_THERE_ALREADY = "nothing older can be read, so all of this may have stood there already"


@dataclass(frozen=True, kw_only=True, slots=True)
class Version:
    """What one commit brought; without a name, what is not yet committed. `notes` are sentences without a full stop."""

    commit: str | None = None
    short: str | None = None
    date: str | None = None
    subject: str = ""
    notes: tuple[str, ...] = ()
    told: tuple[Change, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class History:
    """The versions of a piece, the oldest first, and what there is to say of them all."""

    piece: str
    title: str
    versions: tuple[Version, ...]
    notes: tuple[str, ...] = ()

    @property
    def committed(self) -> tuple[Version, ...]:
        return tuple(version for version in self.versions if version.commit)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Source:
    """What one commit, or what is not yet committed, did to one file."""

    name: str
    """What the file is called in a sentence, and known by from version to version."""
    before: tuple[Snapshot, ...]
    """One for each parent."""
    after: Snapshot


@dataclass(kw_only=True, slots=True)
class _Life:
    """The piece's file back through the commits, the newest first, with every path that it had.

    `notes` are what is to be said of some commits, by their names.
    """

    paths: list[str]
    changes: list[FileChange] = field(default_factory=list)
    notes: dict[str, str] = field(default_factory=dict)


def history_of(root: Path, folder: str) -> History:
    """The history of the piece in `folder` of the shop at `root`. Raises NoHistory when there is none to read.

    Each version is held against its own parents, so that neither branches nor clocks set back change what is told. A
    receipt of `receipts/` counts where its `for:` names the piece, by any name that the folder ever had.
    """
    repository = Repository(root)
    path = f"{repository.prefix}pieces/{folder}/piece.yaml"
    life = _life(repository, path)
    versions = Versions(repository, frozenset(_parts(one)[1] for one in life.paths))
    standing = repository.standing(path, f"{repository.prefix}receipts")
    receipts = _changed_receipts(repository, life, versions)
    versions.read_pieces([*filter(None, [standing.get(path)]), *blobs_of(life.changes)], MOST_READ)
    versions.look_through(standing.values(), MOST_LOOKED_THROUGH)
    names = repository.names()
    telling, order = _Telling(repository, life, versions, names), {name: -number for number, name in enumerate(names)}
    changes = sorted([*life.changes, *receipts], key=lambda change: order.get(change.commit.name, 0))
    told = [telling.version(list(of_one)) for _, of_one in groupby(changes, lambda change: change.commit.name)]
    waiting = telling.not_committed(ShopFolder(root), folder, standing)
    read = tuple(version for version in (*told, waiting) if (version.told or version.notes) and not _is_unread(version))
    title = next((entry.get("piece") for entry in telling.last.get(_LOG, ()) if entry.kind == PIECE), "")
    return History(piece=folder, title=title or folder, versions=read, notes=tuple(_notes(repository, life, told)))


def _is_unread(version: Version) -> bool:
    return not version.told and version.notes == (f"{_LOG}: {UNREAD}",)


def _notes(repository: Repository, life: _Life, versions: Sequence[Version]) -> Iterator[str]:
    if not life.changes:
        yield "nothing of this piece has been committed yet"
    if len(life.paths) > MOST_NAMES:
        yield f"the folder had more than {MOST_NAMES} names, and the older ones are not followed"
    unread = sum(map(_is_unread, versions))
    if unread:
        older = "1 older commit is" if unread == 1 else f"{unread:,} older commits are"
        yield f"{older} left unread, since there is more of this history than is read at one time"
    if repository.is_shallow:
        yield "this clone is shallow: what was committed before its oldest version is not in it"
    days = [version.date for version in versions if version.date]
    if days != sorted(days):
        yield "the order is that of the commits; where a date runs backwards, a clock was set back"


def _parts(path: str) -> tuple[str, str]:
    """The shop's folder and the piece's in the path of a piece.yaml from the top of the repository."""
    folder = path.split("/")[-2]
    return path.removesuffix(f"pieces/{folder}/piece.yaml"), folder


def _life(repository: Repository, path: str) -> _Life:
    """The file's changes from the newest back, through renames of its folder, to where it first came in.

    Where it was taken away and came back, its earlier life belongs to it too, unless the name was another piece's then.
    """
    life = _Life(paths=[path])
    changes = iter(repository.changes(path))
    is_born = False
    while (change := next(changes, None)) is not None:
        if is_born == bool(change.after):
            continue
        commit = change.commit
        renames = repository.renames(commit) if is_born or change.is_new else {}
        if is_born and any(was == change.path for was, _ in renames.values()):
            break
        if change.path in renames:
            was, blob = renames[change.path]
            life.changes.append(replace(change, before=(blob,)))
            life.notes[commit.name] = _renamed(was, change.path)
            life.paths.append(was)
            changes = iter(repository.changes(was, before=commit.name) if len(life.paths) <= MOST_NAMES else ())
            continue
        life.changes.append(change)
        if not change.after:
            life.notes[commit.name] = _TAKEN_AWAY
        is_born = change.is_new
    return life


def _renamed(was: str, now: str) -> str:
    (old_shop, old), (new_shop, new) = _parts(was), _parts(now)
    if old != new:
        return f"the folder was renamed from `{old}` to `{new}`"
    return f"the shop was moved from `{old_shop or './'}` to `{new_shop or './'}`"


def _changed_receipts(repository: Repository, life: _Life, versions: Versions) -> list[FileChange]:
    """What commits changed, in files of receipts, of what they say of the piece."""
    folders = dict.fromkeys(f"{_parts(path)[0]}receipts" for path in life.paths)
    changes = [change for change in repository.changes(*folders) if _is_receipts(change.path, folders)]
    versions.look_through(blobs_of(changes), MOST_LOOKED_THROUGH)
    changes = [change for change in changes if not versions.says_the_same(change)]
    if repository.has_merges:
        # Of several files together, git also names what a merge did not take over.
        paths = dict.fromkeys(change.path for change in changes)
        making = {(one.commit.name, path) for path in paths for one in repository.changes(path)}
        changes = [change for change in changes if (change.commit.name, change.path) in making]
    return changes


def _is_receipts(path: str, folders: Container[str]) -> bool:
    return path.endswith(".yaml") and path.rpartition("/")[0] in folders


def blobs_of(changes: Iterable[FileChange]) -> Iterator[str]:
    """Every blob of some changes, in their order."""
    return (blob for change in changes for blob in (change.after, *change.before) if blob)


class _Telling:
    """Tells one version after the other, the oldest first, and remembers the last of each file that could be read."""

    def __init__(self, repository: Repository, life: _Life, versions: Versions, names: Mapping[str, str]) -> None:
        self.last: dict[str, tuple[LogEntry, ...]] = {}
        self._repository = repository
        self._life = life
        self._versions = versions
        self._names = names

    def version(self, changes: Sequence[FileChange]) -> Version:
        """What a commit brought, by its changes to the log and to files of receipts."""
        commit = changes[0].commit
        notes = [self._life.notes[commit.name]] if commit.name in self._life.notes else []
        sources = []
        for change in changes:
            is_log = change.path in self._life.paths
            name = _LOG if is_log else f"receipts/{change.path.rpartition('/')[2]}"
            read = self._versions.piece if is_log else self._versions.receipts
            # For a parent of a merge that has no such file, another that has it stands in.
            one = next(filter(None, change.before), "")
            before = tuple(read(blob or one) for blob in change.before)
            if is_log and change.is_new and _LOG in self.last:
                notes.append(_CAME_BACK)
                before = (self.last[_LOG],)
            if change.after or not is_log:
                sources.append(_Source(name=name, before=before, after=read(change.after)))
        more, told = self._brought(sources)
        notes += more
        if commit.is_first and self._repository.is_shallow and told:
            notes.append(_THERE_ALREADY)
        if not notes and not told and any(change.path in self._life.paths for change in changes):
            notes.append(_NOTHING_SAID)
        return Version(
            commit=commit.name,
            short=self._names.get(commit.name, commit.name),
            date=commit.day or None,
            subject=commit.subject,
            notes=tuple(notes),
            told=tuple(told),
        )

    def not_committed(self, shop: ShopFolder, folder: str, standing: Mapping[str, str]) -> Version:
        """What the files on the disk say beyond what was last committed."""
        prefix, versions = self._repository.prefix, self._versions
        log, names = f"pieces/{folder}/piece.yaml", shop.names("receipts")
        files = {f"receipts/{name}" for name in names} if isinstance(names, list) else set()
        files |= {path.removeprefix(prefix) for path in standing if _is_receipts(path, (f"{prefix}receipts",))}
        sources = []
        for file in (log, *sorted(file for file in files if file.endswith(".yaml"))):
            known, read = (
                (versions.piece, versions.piece_of) if file == log else (versions.receipts, versions.receipts_of)
            )
            data = shop.read(file) if file == log or shop.exists(file) else b""
            after = data.says if isinstance(data, Problem) else read(data)
            before = known(standing.get(prefix + file, ""))
            sources.append(_Source(name=_LOG if file == log else file, before=(before,), after=after))
        notes, told = self._brought(sources)
        return Version(notes=tuple(notes), told=tuple(told))

    def _brought(self, sources: Sequence[_Source]) -> tuple[list[str], list[Change]]:
        """What is new against every parent; a version that does not read is said to be so, and passed over."""
        notes: list[str] = []
        parents = max((len(source.before) for source in sources), default=0)
        befores: list[list[LogEntry]] = [[] for _ in range(parents)]
        after: list[LogEntry] = []
        for source in sources:
            if isinstance(source.after, str):
                notes.append(f"{source.name}: {source.after}")
                continue
            for before, snapshot in zip(befores, source.before, strict=False):
                if isinstance(snapshot, str) and source.name not in self.last and _THERE_ALREADY not in notes:
                    notes.append(_THERE_ALREADY)
                before.extend(self.last.get(source.name, ()) if isinstance(snapshot, str) else snapshot)
            after += source.after
            self.last[source.name] = source.after
        told = [compared(before, after) for before in befores]
        new = [change for change in told[0] if all(change in other for other in told[1:])] if told else []
        if len(new) > MOST_TOLD:
            notes.append(f"of what came, {MOST_TOLD} of {len(new):,} are told")
        return notes, new[:MOST_TOLD]
