"""What one process keeps of a shop between two compiles, so that only what changed is worked out again."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from flipbook.remembering import Answers
from flipbook.shop.reading import FilesRead
from flipbook.shop.sealing import SealsRead

if TYPE_CHECKING:
    from flipbook.portfolio.pictures import PicturesMade


@dataclass(slots=True)
class Memory:
    """All that is kept. Sealed years are kept with the marks of their files."""

    files: FilesRead = field(default_factory=FilesRead)
    seals: tuple[dict[str, str], SealsRead] | None = None
    answers: Answers = field(default_factory=Answers)
    pictures: PicturesMade = field(default_factory=dict)
