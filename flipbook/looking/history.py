"""A piece's job through its git history: when each thing came into the log, and which past figure was changed since."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from flipbook.looking.comparing import Told
from flipbook.looking.entries import PIECE
from flipbook.looking.git import Change, Commit, Repository
from flipbook.looking.versions import THERE_ALREADY, UNREAD, Comparison, Snapshot, Source, Versions, blobs_of
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Problem

MOST_NAMES = 30
"""Names of a folder that are followed."""
_LOG = "the log"
_TAKEN_AWAY = "the piece's file was taken away"
_CAME_BACK = "the piece's file came back"
_NOTHING_SAID = "only the way it is written changed"


@dataclass(frozen=True, kw_only=True, slots=True)
class Version:
    """What one commit brought; without a name, what is not yet committed. `notes` are sentences without a full stop."""

    name: str = ""
    short: str = ""
    day: str = ""
    subject: str = ""
    notes: tuple[str, ...] = ()
    told: tuple[Told, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class History:
    """The versions of a piece, the oldest first, and what there is to say of them all."""

    folder: str
    title: str
    versions: tuple[Version, ...]
    notes: tuple[str, ...] = ()

    @property
    def committed(self) -> tuple[Version, ...]:
        return tuple(version for version in self.versions if version.name)


@dataclass(kw_only=True, slots=True)
class _Life:
    """The piece's file back through the commits, by their names, with what is to be noted, and every path that it had."""

    changes: dict[str, Change] = field(default_factory=dict)
    notes: dict[str, str] = field(default_factory=dict)
    paths: list[str] = field(default_factory=list)


def history_of(root: Path, folder: str) -> History:
    """The history of the piece in `folder` of the shop at `root`. Raises NoHistory when there is none to read.

    Each version is held against its own parents, so that neither branches nor clocks set back change what is told. A
    receipt of `receipts/` counts where its `for:` names the piece, by any name that the folder ever had.
    """
    repository = Repository(root)
    path = f"{repository.prefix}pieces/{folder}/piece.yaml"
    life, commits = _life(repository, path)
    versions = Versions(repository, frozenset(_parts(one)[1] for one in life.paths))
    standing = repository.standing(path, f"{repository.prefix}receipts")
    receipts = _changed_receipts(repository, commits, life, versions)
    in_life = [life.changes[commit.name] for commit in commits if commit.name in life.changes]
    versions.read_pieces([*filter(None, [standing.get(path)]), *blobs_of(in_life)])
    versions.look_through(standing.values())
    telling = _Telling(repository, life, versions)
    told_of = [commit for commit in reversed(commits) if commit.name in life.changes or commit.name in receipts]
    short = repository.short_names(commit.name for commit in told_of) if told_of else {}
    told = [telling.version(one, short.get(one.name, one.name), receipts.get(one.name, [])) for one in told_of]
    waiting = telling.not_committed(ShopFolder(root), folder, standing)
    read = [version for version in (*told, waiting) if (version.told or version.notes) and not _is_unread(version)]
    return History(
        folder=folder,
        title=telling.title or folder,
        versions=tuple(read),
        notes=tuple(_notes(repository, life, told)),
    )


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
    days = [version.day for version in versions if version.day]
    if days != sorted(days):
        yield "the order is that of the commits; where a date runs backwards, a clock was set back"


def _parts(path: str) -> tuple[str, str]:
    """The shop's folder and the piece's in the path of a piece.yaml from the top of the repository."""
    folder = path.split("/")[-2]
    return path.removesuffix(f"pieces/{folder}/piece.yaml"), folder


def _life(repository: Repository, path: str) -> tuple[_Life, list[Commit]]:
    """The file's changes, and every commit that touched it under any of its names, or a receipt of its shop."""
    paths = [path]
    while True:
        folders = dict.fromkeys(f"{_parts(one)[0]}receipts" for one in paths)
        commits = repository.commits(paths, folders)
        life = _walked(repository, commits, path)
        if set(life.paths) <= set(paths) or len(paths) > MOST_NAMES:
            break
        paths = life.paths
    if repository.has_merges:
        making = repository.making(life.paths)
        life.changes = {name: change for name, change in life.changes.items() if name in making}
    return life, commits


def _walked(repository: Repository, commits: Iterable[Commit], path: str) -> _Life:
    """The file's changes from the newest back, through renames of its folder, to where it first came in.

    Where it was taken away and came back, its earlier life belongs to it too; before a rename, the name that it got
    may have been another piece's.
    """
    life = _Life(paths=[path])
    is_born = False
    for commit in commits:
        change = next((one for one in commit.changes if one.path == path), None)
        if change is None or is_born == bool(change.after):
            continue
        renames = repository.renames(commit) if is_born or change.is_new else []
        if is_born and any(one.was == path for one in renames):
            break
        rename = next((one for one in renames if one.path == path), None)
        life.changes[commit.name] = rename or change
        if rename is not None:
            life.notes[commit.name] = _renamed(rename.was, path)
            path = rename.was
            life.paths.append(path)
        elif not change.after:
            life.notes[commit.name] = _TAKEN_AWAY
            is_born = False
        else:
            is_born = change.is_new
    return life


def _renamed(was: str, now: str) -> str:
    (old_shop, old), (new_shop, new) = _parts(was), _parts(now)
    if old != new:
        return f"the folder was renamed from `{old}` to `{new}`"
    return f"the shop was moved from `{old_shop or './'}` to `{new_shop or './'}`"


def _changed_receipts(
    repository: Repository, commits: Iterable[Commit], life: _Life, versions: Versions
) -> dict[str, list[Change]]:
    """What each commit changed, in files of receipts, of what they say of the piece."""
    shops = frozenset(_parts(path)[0] for path in life.paths)
    theirs = {commit.name: [one for one in commit.changes if _is_receipts(one.path, shops)] for commit in commits}
    versions.look_through(blobs_of(one for changes in theirs.values() for one in changes))
    found = {name: [one for one in changes if not versions.says_the_same(one)] for name, changes in theirs.items()}
    if repository.has_merges:
        files = {one.path for changes in found.values() for one in changes}
        making = {file: repository.making([file]) for file in files}
        found = {name: [one for one in changes if name in making[one.path]] for name, changes in found.items()}
    return {name: changes for name, changes in found.items() if changes}


def _is_receipts(path: str, shops: frozenset[str]) -> bool:
    folder, _, _ = path.rpartition("/")
    return path.endswith(".yaml") and folder.endswith("receipts") and folder.removesuffix("receipts") in shops


class _Telling:
    """Tells one version after the other, the oldest first."""

    def __init__(self, repository: Repository, life: _Life, versions: Versions) -> None:
        self._repository = repository
        self._life = life
        self._versions = versions
        self._comparison = Comparison()

    @property
    def title(self) -> str:
        """The piece's title in the last version told."""
        own = (entry for entry in self._comparison.last.get(_LOG, ()) if entry.kind == PIECE)
        return next((entry.get("piece") for entry in own), "")

    def version(self, commit: Commit, short: str, receipts: Sequence[Change]) -> Version:
        """What a commit brought."""
        notes = [self._life.notes[commit.name]] if commit.name in self._life.notes else []
        sources = [
            _source(f"receipts/{change.path.rpartition('/')[2]}", change, self._versions.receipts)
            for change in receipts
        ]
        change = self._life.changes.get(commit.name)
        if change is not None and change.after:
            log = _source(_LOG, change, self._versions.piece)
            if change.is_new and _LOG in self._comparison.last:
                notes.append(_CAME_BACK)
                log = Source(name=_LOG, before=(self._comparison.last[_LOG],), after=log.after)
            sources.insert(0, log)
        came = self._comparison.brought(sources)
        notes += came.notes
        if commit.is_first and self._repository.is_shallow and came.told:
            notes.append(THERE_ALREADY)
        return Version(
            name=commit.name,
            short=short,
            day=commit.day,
            subject=commit.subject,
            notes=tuple(notes) if notes or came.told or change is None else (_NOTHING_SAID,),
            told=tuple(came.told),
        )

    def not_committed(self, shop: ShopFolder, folder: str, standing: dict[str, str]) -> Version:
        """What the files on the disk say beyond what was last committed."""
        prefix, versions = self._repository.prefix, self._versions
        file = f"pieces/{folder}/piece.yaml"
        log = Source(
            name=_LOG,
            before=(versions.piece(standing.get(prefix + file, "")),),
            after=_on_disk(shop, file, versions.piece_of),
        )
        names = shop.names("receipts")
        files = {f"receipts/{name}" for name in names} if isinstance(names, list) else set()
        files |= {path.removeprefix(prefix) for path in standing if _is_receipts(path, frozenset((prefix,)))}
        sources = [
            Source(
                name=one,
                before=(versions.receipts(standing.get(prefix + one, "")),),
                after=_on_disk(shop, one, versions.receipts_of) if shop.exists(one) else (),
            )
            for one in sorted(files)
            if one.endswith(".yaml")
        ]
        came = self._comparison.brought([log, *sources])
        return Version(notes=tuple(came.notes), told=tuple(came.told))


def _source(name: str, change: Change, snapshot: Callable[[str], Snapshot]) -> Source:
    """A change as its versions; for a parent of a merge that has no such file, another that has it stands in."""
    one = next(filter(None, change.before), "")
    return Source(
        name=name, before=tuple(snapshot(blob or one) for blob in change.before), after=snapshot(change.after)
    )


def _on_disk(shop: ShopFolder, file: str, read: Callable[[bytes], Snapshot]) -> Snapshot:
    data = shop.read(file)
    return data.says if isinstance(data, Problem) else read(data)
