"""The wheel, installed away from the checkout, holds all that it needs."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parents[1]
PATIENCE = 240


def run(*words: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run a command with nothing of the checkout in its surroundings."""
    environment = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "VIRTUAL_ENV")}
    return subprocess.run(
        list(map(str, words)), cwd=cwd, env=environment, capture_output=True, text=True, timeout=PATIENCE, check=False
    )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    ran = run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, REPOSITORY, cwd=folder)
    assert ran.returncode == 0, ran.stderr
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The programs' folder of a new environment: the wheel is in it, and the libraries are those of the tests' own.

    That the wheel asks for every library that it imports is held by test_layout.py; none is fetched anew for it.
    """
    folder = tmp_path_factory.mktemp("clean") / "venv"
    venv.create(folder, with_pip=False)
    program = folder / "bin" / "python"
    ran = run(sys.executable, "-m", "pip", "--python", program, "install", "-q", "--no-deps", wheel, cwd=folder)
    assert ran.returncode == 0, ran.stderr
    (packages,) = folder.glob("lib/python*/site-packages")
    (packages / "libraries.pth").write_text(f"{sysconfig.get_path('purelib')}\n", "utf-8")
    return folder / "bin"


def names_in(wheel: Path) -> set[str]:
    with zipfile.ZipFile(wheel) as packed:
        return set(packed.namelist())


def test_the_wheel_holds_the_package_and_its_templates(wheel: Path) -> None:
    wanted = {
        str(path.relative_to(REPOSITORY))
        for path in (REPOSITORY / "flipbook").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    templates = {f"flipbook/{p.relative_to(REPOSITORY)}" for p in (REPOSITORY / "templates").rglob("*") if p.is_file()}
    assert len(templates) >= 10
    assert wanted | templates <= names_in(wheel)


def test_the_wheel_holds_nothing_else(wheel: Path) -> None:
    names = names_in(wheel)
    assert not [name for name in names if not name.startswith(("flipbook/", "flipbook_workshop_ledger-"))]
    assert not [name for name in names if "__pycache__" in name or name.endswith((".pyc", ".tmp"))]


def test_the_wheel_begins_and_compiles_a_shop_far_from_the_checkout(installed: Path, tmp_path: Path) -> None:
    shop = tmp_path / "my_shop"
    shop.mkdir()
    (shop / "shop.yaml").write_text("shop: Quillback Lane Refinishing\ncurrency: USD\n", "utf-8")
    where = run(installed / "python", "-c", "import flipbook; print(flipbook.__file__)", cwd=shop).stdout
    assert where.startswith(str(installed.parent))
    begun = run(installed / "flipbook", "begin", "Oak stool", "--from", "Mill Road", "--cost", "10", cwd=shop)
    assert (begun.returncode, begun.stderr) == (0, "")
    assert (shop / "pieces" / "oak-stool" / "piece.yaml").is_file()
    made = run(installed / "flipbook", "compile", cwd=shop)
    assert (made.returncode, made.stderr) == (0, "")
    for page in ("books/index.html", "books/pieces.csv", "portfolio/index.html", "portfolio/oak-stool/index.html"):
        assert (shop / "out" / page).stat().st_size > 0
    for sheet in ("portfolio/style.css", "books/style.css", "books/sort.js"):
        assert (shop / "out" / sheet).read_bytes() == (REPOSITORY / "templates" / sheet).read_bytes()
    assert "Oak stool" in (shop / "out" / "portfolio" / "index.html").read_text("utf-8")


def test_one_version_is_told_everywhere(installed: Path, wheel: Path) -> None:
    """By the command, in the wheel's name and data, and as the newest heading of CHANGELOG.md."""
    told = run(installed / "flipbook", "--version", cwd=installed).stdout.split()
    assert told[0] == "flipbook"
    assert wheel.name.startswith(f"flipbook_workshop_ledger-{told[1]}-")
    asked = "from importlib.metadata import version; print(version('flipbook-workshop-ledger'))"
    assert run(installed / "python", "-c", asked, cwd=installed).stdout.strip() == told[1]
    news = re.findall(r"^## (\S+)", (REPOSITORY / "CHANGELOG.md").read_text("utf-8"), re.MULTILINE)
    assert news[0] == told[1]


def test_the_format_is_documented_in_what_is_installed(installed: Path) -> None:
    (page,) = installed.parent.glob("lib/python*/site-packages/flipbook/shop/FORMAT.md")
    assert page.read_bytes() == (REPOSITORY / "flipbook" / "shop" / "FORMAT.md").read_bytes()
