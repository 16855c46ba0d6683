"""The house is laid out as DEVELOPERS.md says: its top level, and which room may import from which."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parents[1]
DEVELOPERS = (REPOSITORY / "DEVELOPERS.md").read_text("utf-8")
TOP = {"pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "flipbook", "templates", "tests", "demo_shop"}  # fmt: skip
# What each room may import of ours; `records` are shop's records and the places that they name.
MAY_IMPORT = {
    "measures": {"measures"},
    "shop": {"shop", "measures"},
    "trade": {"trade", "measures", "shop"},
    "books": {"books", "measures", "shop"},
    "selling": {"selling", "books", "measures", "shop"},
    "looking": {"looking", "selling", "trade", "books", "measures", "shop"},
    "portfolio": {"portfolio", "trade", "books", "shop", "measures", "rendering", "remembering", "writing", "shipped"},
    "reports": {
        "reports",
        "portfolio",
        "selling",
        "trade",
        "books",
        "shop",
        "measures",
        "rendering",
        "remembering",
        "writing",
    },
}
FREE_OF_FILES_CLOCK_AND_TERMINAL = ("measures", "books", "trade", "selling")
OUTSIDE = {
    "ruamel",
    "_ruamel_yaml",
    "pydantic",
    "pydantic_core",
    "jinja2",
    "PIL",
    "rich",
    "watchdog",
    "filelock",
    "argcomplete",
    "segno",
    "icalendar",
}


def kept_files() -> list[str]:
    """The files that git keeps, or, without git, all that are no leavings of a tool."""
    ran = subprocess.run(["git", "ls-files"], cwd=REPOSITORY, capture_output=True, text=True, check=False)
    if ran.returncode == 0 and ran.stdout:
        return ran.stdout.splitlines()
    return [str(path.relative_to(REPOSITORY)) for path in REPOSITORY.rglob("*") if path.is_file()]


def modules(room: str) -> list[Path]:
    return sorted((REPOSITORY / "flipbook" / room).rglob("*.py"))


def imports_of(path: Path) -> set[str]:
    """The dotted names that a module imports anywhere in it."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports by a relative path"
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def test_the_top_level_holds_what_the_layout_names() -> None:
    top = {name.partition("/")[0] for name in kept_files()}
    assert {name for name in top if not name.startswith(".")} == TOP


def test_every_room_is_in_the_table_and_the_table_names_no_other() -> None:
    rooms = {path.name for path in (REPOSITORY / "flipbook").iterdir() if path.is_dir() and path.name != "__pycache__"}
    named = set(re.findall(r"^\| `flipbook/(\w+)/` \|", DEVELOPERS, re.MULTILINE))
    assert named == rooms == MAY_IMPORT.keys() | {"cli", "entry", "sums", "watch"}


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_a_room_imports_what_it_may(room: str) -> None:
    assert modules(room)
    for path in modules(room):
        ours = {name.split(".")[1] for name in imports_of(path) if name.startswith("flipbook.")}
        assert ours <= MAY_IMPORT[room], path


@pytest.mark.parametrize("room", ["books", "trade", "selling"])
def test_the_rooms_of_sums_see_of_the_shop_its_records_alone(room: str) -> None:
    seen = {"records", "facts", "problems", "nearest", "checking"}
    for path in modules(room):
        parts = {name.split(".")[2] for name in imports_of(path) if name.startswith("flipbook.shop.")}
        assert parts <= seen, path


@pytest.mark.parametrize("room", FREE_OF_FILES_CLOCK_AND_TERMINAL)
def test_the_rooms_of_sums_open_no_file_and_ask_no_clock(room: str) -> None:
    # The tax rules are data beside the code, and their reader is the one module of these rooms that opens a file.
    for path in (module for module in modules(room) if module.name != "rulebook.py"):
        tree = ast.parse(path.read_text("utf-8"))
        calls = {
            node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        }
        assert not calls & {"open", "print", "input"}, path
        attributes = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        assert not attributes & {"today", "now", "read_text", "write_text", "read_bytes", "stdout", "stderr"}, path
        assert not {name.partition(".")[0] for name in imports_of(path)} & {"os", "pathlib", "time", "sys", "random"}, (
            path
        )


def test_no_room_imports_the_edge() -> None:
    for room in MAY_IMPORT:
        for path in modules(room):
            assert not [
                n for n in imports_of(path) if n.startswith(("flipbook.cli", "flipbook.compile", "flipbook.entry"))
            ]


def test_every_library_imported_is_asked_for_and_named_in_the_developers_page() -> None:
    used = set()
    for path in (REPOSITORY / "flipbook").rglob("*.py"):
        used |= {name.partition(".")[0] for name in imports_of(path)}
    foreign = used - set(sys.stdlib_module_names) - {"flipbook"}
    assert foreign <= OUTSIDE
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text("utf-8"))["project"]
    asked = {re.split(r"[\[>=<]", line)[0] for line in project["dependencies"]}
    by_import = {"ruamel": "ruamel.yaml", "_ruamel_yaml": "ruamel.yaml", "PIL": "pillow", "pydantic_core": "pydantic"}
    assert {by_import.get(name, name) for name in foreign} <= asked
    for name in asked:
        assert f"`{name}`" in DEVELOPERS


def test_test_files_have_names_of_their_own() -> None:
    names = [path.name for path in (REPOSITORY / "tests").rglob("*.py") if path.name != "conftest.py"]
    assert len(names) == len(set(names))


def test_a_class_has_a_name_of_its_own() -> None:
    places: dict[str, list[str]] = {}
    for path in (REPOSITORY / "flipbook").rglob("*.py"):
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                places.setdefault(node.name, []).append(path.name)
    assert {name: files for name, files in places.items() if len(files) > 1} == {}
