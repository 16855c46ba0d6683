"""A server of a small output folder, in this process."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from asking import FILES

from flipbook.watch.showing import Showing


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An output folder with a page or two, and things around it that are nobody's business; a test may add to it."""
    tmp_path = tmp_path_factory.mktemp("shown")
    folder = tmp_path / "my_shop" / "out"
    for name, data in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    (folder / "portfolio" / "link-out.txt").symlink_to(tmp_path / "my_shop" / "shop.yaml")
    (folder / "portfolio" / "folder-out").symlink_to(tmp_path / "my_shop")
    (folder / "portfolio" / "to-books").symlink_to(folder / "books")
    (folder / "portfolio" / "to-hidden.txt").symlink_to(folder / "portfolio" / ".hidden")
    (folder / "portfolio" / "dangling.txt").symlink_to("nowhere")
    os.mkfifo(folder / "portfolio" / "pipe.jpg")
    return folder


@pytest.fixture(scope="module")
def showing(out: Path) -> Iterator[Showing]:
    """A server of it."""
    server = Showing(out, 0)
    yield server
    server.close()
