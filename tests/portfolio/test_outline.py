"""The drawing of a piece beside a person and a door: to one scale, within its frame, and said in words."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.lengths import Size, read_size
from flipbook.portfolio.outline import DOOR_HEIGHT, DOOR_WIDTH, HEIGHT, LETTER, PERSON_HEIGHT, WIDTH, Outline, outline
from flipbook.rendering import environment

SIZES = [
    "34 x 19 x 30 1/2 in", "6 x 6 x 6 in", "144 x 24 x 30 in", "30 x 20 x 144 in", "144 x 144 x 144 in", "12 x 12 x 84 in",
    "1 x 1 x 1 mm", "12 15/16 x 12 15/16 x 12 15/16 in", "300 x 1 x 1 in", "60 x 240 x 30 in", "77.5 x 40 x 90 cm",
]  # fmt: skip
TENTH = 0.051
"""What rounding to one decimal can move a point."""


def drawn(text: str) -> Outline:
    made = outline(read_size(text))
    assert made is not None
    return made


def points(path: str) -> list[tuple[float, float]]:
    """The points of path data; of an arc its end."""
    assert re.fullmatch(
        r"(?:[ML]-?\d+\.\d -?\d+\.\d|A\d+\.\d \d+\.\d 0 1 1 -?\d+\.\d -?\d+\.\d|z)+", path.replace(" -0.0", " 0.0")
    )
    return [(float(x), float(y)) for x, y in re.findall(r"(-?\d+\.\d) (-?\d+\.\d)(?=[MLAz]|$)", path)]


def box(path: str) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of path data."""
    xs, ys = zip(*points(path), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def parts(made: Outline) -> list[str]:
    return [made.person, made.piece, made.door]


@pytest.mark.parametrize("text", SIZES)
def test_all_is_drawn_to_one_scale(text: str) -> None:
    made, size = drawn(text), read_size(text)
    left, top, right, bottom = box(made.door)
    scale = (bottom - top) / float(DOOR_HEIGHT)
    assert right - left == pytest.approx(float(DOOR_WIDTH) * scale, abs=4 * TENTH)
    # The head's circle is given by its middle and radius; its top stands a radius above that.
    (radius,) = {float(one) for one in re.findall(r"A(\d+\.\d)", made.person)}
    crown = min(y for _, y in points(made.person[made.person.index("zM") + 1 :])) - radius
    assert bottom - crown == pytest.approx(float(PERSON_HEIGHT) * scale, abs=4 * TENTH)
    front = points(made.piece)[:4]
    (left, floor), (right, _), (_, top), _ = front
    assert right - left == pytest.approx(float(size.width) * scale, abs=4 * TENTH)
    assert floor - top == pytest.approx(float(size.height) * scale, abs=4 * TENTH)
    _, over, beyond, _ = box(made.piece)
    assert beyond - right == pytest.approx(float(size.depth) * scale / 4, abs=4 * TENTH)
    assert top - over == pytest.approx(beyond - right, abs=4 * TENTH)


@pytest.mark.parametrize("text", SIZES)
def test_all_stands_on_the_floor_within_the_frame_and_apart(text: str) -> None:
    made = drawn(text)
    (_, floor), _ = points(made.floor)
    boxes = [box(part) for part in parts(made)]
    for left, top, right, bottom in boxes:
        assert 0 <= left <= right <= WIDTH
        assert 0 <= top <= bottom <= HEIGHT
        assert bottom == floor
    for (_, _, right, _), (left, _, _, _) in pairwise(boxes):
        assert left - right >= 10
    for words in made.words:
        assert floor < float(words.y) <= HEIGHT - 3
        # A letter of 11 units is at most some 6 wide on average.
        half = len(words.text) * 6 / 2
        assert half <= float(words.x) <= WIDTH - half
    rows = [made.words[0::2], made.words[1::2]]
    for row in rows:
        ends = [(float(words.x) - len(words.text) * 3, float(words.x) + len(words.text) * 3) for words in row]
        assert all(right < left for (_, right), (left, _) in pairwise(ends))


def test_the_size_is_told_in_words() -> None:
    made = drawn("34 x 19 x 30 1/2 in")
    assert made.label == (
        "Drawn to scale: the piece, 34 in wide, 19 in deep and 30 1/2 in high (86.5 x 48.5 x 77.5 cm), "
        "between a person of 66 in and a door of 80 in."
    )
    assert [words.text for words in made.words] == ["person", "66 in", "34 W x 19 D", "x 30 1/2 H in", "door", "80 in"]
    assert {words.y for words in made.words[::2]} == {"201.0"}
    assert made.letter == LETTER


def test_nothing_is_drawn_of_a_size_that_is_not_known() -> None:
    assert outline(None) is None
    assert outline(Size(Fraction(0), Fraction(1), Fraction(1))) is None


length = st.fractions(min_value=Fraction(1, 10), max_value=10_000, max_denominator=1000)


@given(width=length, depth=length, height=length)
def test_any_size_fits(width: Fraction, depth: Fraction, height: Fraction) -> None:
    made = outline(Size(width, depth, height))
    assert made is not None
    for part in parts(made):
        left, top, right, bottom = box(part)
        assert left >= 0
        assert top >= 0
        assert right <= WIDTH
        assert bottom <= HEIGHT
    assert "e" not in made.piece.lower()


def test_the_drawing_is_an_image_with_words_and_no_colour_of_its_own() -> None:
    template = environment().from_string('{% from "portfolio/outline.html" import outline %}{{ outline(drawing) }}')
    page = template.render(drawing=drawn("34 x 19 x 30 1/2 in"))
    assert 'role="img" aria-label="Drawn to scale: the piece, 34 in wide' in page
    assert re.findall(r'class="([^"]+)"', page) == [
        "outline", "outline-floor", "outline-person", "outline-door", "outline-piece", "outline-words",
    ]  # fmt: skip
    assert not re.search(r"style=|fill=|stroke=|<script|<style|url\(", page)
    assert f'viewBox="0 0 {WIDTH} {HEIGHT}"' in page
