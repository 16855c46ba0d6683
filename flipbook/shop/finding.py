"""Which files of a shop's folder are read, and what lies there that nothing reads."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field

from flipbook.shop.folder import ShopFolder
from flipbook.shop.nearest import nearest
from flipbook.shop.problems import Problem, problem_of
from flipbook.shop.records.expenses import kind_named

SINGLE_FILES = ("shop.yaml", "products.yaml", "tools.yaml", "trips.yaml")
_YAML = (".yaml", ".yml")
# How the files end that stand beside the pieces' folders among the pages for buyers.
_OF_PAGES = (".html", ".css", ".js", ".xml", ".txt", ".json")
# What phones and cameras save besides the kinds that Pillow reads as it comes.
_OTHER_PICTURES = (".heic", ".heif", ".avif", ".dng", ".raw", ".cr2", ".cr3", ".nef", ".arw", ".jxl")


@dataclass(slots=True)
class FilesFound:
    """The files of receipts/, the folders of pieces/ that hold a piece.yaml, and all that is odd."""

    receipts: list[str] = field(default_factory=list)
    pieces: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def tell(self, path: str, name: str, says: str, write: str, *, warning: bool = False) -> None:
        """Add a problem of a file or folder as a whole."""
        self.problems.append(problem_of(path, name, says, write, warning=warning))


def find(folder: ShopFolder) -> FilesFound:
    """Look through the shop's folder; nothing is opened."""
    found = FilesFound()
    found.problems += _stray_at_the_top(folder)
    _find_receipts(folder, found)
    _find_pieces(folder, found)
    return found


def _names(folder: ShopFolder, directory: str, found: FilesFound) -> list[str]:
    names = folder.names(directory)
    if isinstance(names, Problem):
        found.problems.append(names)
        return []
    return [name for name in names if not name.startswith(".")]


def _stray_at_the_top(folder: ShopFolder) -> Iterator[Problem]:
    names = folder.names("")
    for name in [] if isinstance(names, Problem) else names:
        if _is_yaml(name) and name not in SINGLE_FILES and not name.startswith("."):
            near = nearest(name, SINGLE_FILES)
            known = ", ".join(SINGLE_FILES)
            write = (
                f"rename it to `{near}`" if near else f"a shop's files are {known}, and those in receipts/ and pieces/"
            )
            yield _stray(name, write)


def _find_receipts(folder: ShopFolder, found: FilesFound) -> None:
    for name in _names(folder, "receipts", found):
        file = f"receipts/{name}"
        if folder.is_folder(file):
            for inner in _names(folder, file, found):
                if _is_yaml(inner):
                    found.problems.append(_stray(f"{file}/{inner}", "move it up into `receipts/`"))
        elif not name.isprintable():
            found.problems.append(_unshowable("receipts", name, "the file's name"))
        elif name.endswith(".yaml"):
            found.receipts.append(file)
        elif _is_yaml(name):
            found.problems.append(_stray(file, f"rename it to `{name.rpartition('.')[0]}.yaml`"))


def _find_pieces(folder: ShopFolder, found: FilesFound) -> None:
    for name in _names(folder, "pieces", found):
        path = f"pieces/{name}"
        if not name.isprintable():
            found.problems.append(_unshowable("pieces", name, "the folder's name"))
        elif folder.is_link_out(path):
            says = "the folder is a link to a place outside the shop"
            found.tell(path, "leaves-the-shop", says, "move the folder itself into `pieces/`")
        elif not folder.is_folder(path):
            if folder.is_dangling(path):
                found.tell(path, "no-such-file", "the folder is a link to nothing", "take the link away, or mend it")
            elif _is_yaml(name):
                write = "give the piece a folder of its own and name the file `piece.yaml`"
                found.problems.append(_stray(path, write))
        elif kind_named(name):
            says = f"`{name}` is a word that `for:` knows"
            found.tell(path, "folder-name", says, f"rename the folder, as `{name}-piece`")
        elif name.lower().endswith(_OF_PAGES):
            says = "a folder of that name would stand where a page for buyers stands"
            found.tell(path, "folder-name", says, f"rename the folder, as `{name.replace('.', '-')}`")
        else:
            _look_into(folder, name, found)
    found.problems += _one_address(found.pieces)


def _one_address(names: list[str]) -> Iterator[Problem]:
    """Folders that some web hosts and disks take for one: capitals, or another way to write one letter, tell them apart."""
    first: dict[str, str] = {}
    for name in names:
        other = first.setdefault(unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold()), name)
        if other != name:
            says = f"`{other}` is the same name to some web hosts, and one page would cover the other"
            yield problem_of(f"pieces/{name}", "folder-name", says, f"rename one of the two folders, as `{name}-2`")


def _look_into(folder: ShopFolder, name: str, found: FilesFound) -> None:
    path = f"pieces/{name}"
    if folder.exists(f"{path}/piece.yaml"):
        found.pieces.append(name)
    else:
        says = "the folder has no piece.yaml, so it is left out"
        write = "write one, or move the folder out of `pieces/`"
        found.tell(path, "no-piece-yaml", says, write, warning=True)
    for inner in _names(folder, path, found):
        if _is_yaml(inner) and inner != "piece.yaml":
            found.problems.append(_stray(f"{path}/{inner}", "move what it says into `piece.yaml`"))
    photos = folder.names(f"{path}/photos")
    for photo in [] if isinstance(photos, Problem) else photos:
        if photo.lower().endswith(_OTHER_PICTURES) and not photo.startswith("."):
            file = f"{path}/photos/{photo}" if photo.isprintable() else ascii(photo)
            says = "a picture of this kind cannot be shown"
            found.tell(file, "not-read", says, "save it as a JPEG beside this file", warning=True)


def _is_yaml(name: str) -> bool:
    return name.lower().endswith(_YAML)


def _stray(file: str, write: str) -> Problem:
    shown = file if file.isprintable() else ascii(file)
    return problem_of(shown, "not-read", "this file is not read", write, warning=True)


def _unshowable(directory: str, name: str, what: str) -> Problem:
    says = f"{what} has signs in it that cannot be shown"
    return problem_of(f"{directory}/{name!a}", "folder-name", says, "rename it with letters, digits and hyphens")
