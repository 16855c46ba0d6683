"""A sheet to draw on: ink, paint, wood and soft light, the same from one run to the next.

Points are in pixels of the finished picture, of the part of it that the sheet looks at: a close view is the same
piece, drawn larger. Everything is drawn at twice that size and made smaller at the end, which smooths the edges.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import pairwise
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

Point = tuple[float, float]
Box = tuple[float, float, float, float]  # left, top, width, height
Quad = Sequence[Point]  # four corners, from the top left round to the bottom left
Colour = tuple[int, int, int]

SCALE = 2
RIM = 60  # dots that a board reaches over the edge of the sheet, so that its own worn edge stays outside
INK: Colour = (62, 46, 38)
NIGHT: Colour = (38, 28, 24)
PALE: Colour = (255, 246, 228)


@dataclass(frozen=True, kw_only=True, slots=True)
class Finish:
    """What a surface looks like: its wood, what lies over it and how far that is gone."""

    light: Colour
    dark: Colour
    paint: Colour | None = None
    cover: float = 1.0  # how much of the wood the paint hides; a wash hides about half
    wear: float = 0.0  # 0 whole, 1 nearly all gone
    grime: float = 0.0
    figure: float = 0.8  # how strongly the grain is marked

    def worn(self, wear: float, grime: float = 0.0) -> "Finish":
        """The same finish after years of use."""
        return replace(self, wear=wear, grime=grime)


def mixed(one: Colour, other: Colour, part: float) -> Colour:
    """`one` with `part` (0 to 1) of `other` in it."""
    r, g, b = (round(a + (c - a) * part) for a, c in zip(one, other, strict=True))
    return r, g, b


def noise(size: tuple[int, int], cell: tuple[float, float], rng: Random) -> Image.Image:
    """Smooth clouds of grey, about `cell` pixels from light to dark across and down."""
    small = (max(4, int(size[0] / cell[0]) + 4), max(4, int(size[1] / cell[1]) + 4))
    seeds = Image.frombytes("L", small, rng.randbytes(small[0] * small[1]))
    return seeds.resize(size, Image.Resampling.BICUBIC, (1, 1, small[0] - 1, small[1] - 1))


def grain(size: tuple[int, int], rng: Random, upright: bool, zoom: float) -> Image.Image:
    """The figure of a board: the contour lines of a long cloud, with fine pores over them."""
    long, across = (size[1], size[0]) if upright else size
    rings = [round(128 + 100 * math.sin(v / 255 * math.tau * 3.5)) for v in range(256)]
    broad = noise((long, across), (900 * zoom, 90 * zoom), rng).point(rings)
    pores = noise((long, across), (260 * zoom, 7 * zoom), rng)
    board = Image.blend(broad, pores, 0.5).filter(ImageFilter.GaussianBlur(1.2))
    return board.transpose(Image.Transpose.ROTATE_90) if upright else board


def _scaled(mask: Image.Image, part: float) -> Image.Image:
    return mask.point([round(v * part) for v in range(256)])


def surface(size: tuple[int, int], finish: Finish, rng: Random, upright: bool, zoom: float) -> Image.Image:
    """A board of `size` (already in drawn pixels) in `finish`, seen `zoom` times as near."""
    figure = _scaled(grain(size, rng, upright, zoom), finish.figure)
    board = Image.composite(Image.new("RGB", size, finish.dark), Image.new("RGB", size, finish.light), figure)
    if finish.paint:
        cell = (14 * zoom, 420 * zoom)
        strokes = noise(size, cell if upright else cell[::-1], rng)
        coat = Image.composite(
            Image.new("RGB", size, mixed(finish.paint, INK, 0.06)),
            Image.new("RGB", size, mixed(finish.paint, (255, 255, 255), 0.06)),
            strokes,
        )
        holds = Image.new("L", size, round(255 * finish.cover))
        if finish.wear:
            holds = ImageChops.multiply(holds, ImageChops.invert(_gone(size, finish.wear, rng)))
        board.paste(coat, (0, 0), holds)
    elif finish.wear:
        dull = Image.new("RGB", size, mixed(finish.light, (226, 214, 196), 0.4))
        soft = _gone(size, finish.wear, rng).filter(ImageFilter.GaussianBlur(9))
        board.paste(dull, (0, 0), _scaled(soft, 0.5))
        _scratch(board, finish, rng)
    if finish.grime:
        dirt = noise(size, (240, 170), rng).filter(ImageFilter.GaussianBlur(6))
        board.paste((52, 42, 34), (0, 0, *size), _scaled(dirt, finish.grime * 0.55))
    return board


def _scratch(board: Image.Image, finish: Finish, rng: Random) -> None:
    draw = ImageDraw.Draw(board, "RGBA")
    for _ in range(round(board.width * board.height * finish.wear / 26000)):
        x, y = rng.uniform(0, board.width), rng.uniform(0, board.height)
        run, fall = rng.uniform(12, 70), rng.uniform(-14, 14)
        tone = mixed(finish.light, (255, 244, 222), 0.4) if rng.random() < 0.6 else finish.dark
        draw.line([(x, y), (x + run, y + fall)], (*tone, rng.randint(70, 170)), rng.randint(1, 3))


def _gone(size: tuple[int, int], wear: float, rng: Random) -> Image.Image:
    """Where a film has worn through: in blots, and first along the edges."""
    rim = Image.new("L", size, 255)
    inset = min(26, min(size) // 4)
    rim.paste(0, (inset, inset, size[0] - inset, size[1] - inset))
    rim = rim.filter(ImageFilter.GaussianBlur(inset / 1.6 + 1))
    blots = Image.blend(noise(size, (70, 55), rng), noise(size, (16, 16), rng), 0.35)
    depth = ImageChops.add(_scaled(blots, 0.75), _scaled(rim, 0.3))
    edge = 212 - 150 * wear
    return depth.point([max(0, min(255, round((v - edge) * 14))) for v in range(256)])


class Sheet:
    """One picture while it is being drawn."""

    def __init__(self, width: int, height: int, seed: str, zoom: float = 1.0, at: Point = (0.0, 0.0)) -> None:
        """Begin a blank sheet whose left top corner looks at `at`; the same `seed` always draws the same picture."""
        self.width, self.height, self.zoom, self.at = width, height, zoom, at
        self.rng = Random(seed)
        self.image = Image.new("RGB", (width * SCALE, height * SCALE), (240, 235, 226))
        self.draw = ImageDraw.Draw(self.image, "RGBA")

    def board(
        self, points: Sequence[Point], finish: Finish, *, upright: bool = False, shade: float = 1.0, ink: float = 1.5
    ) -> None:
        """Lay a board of any outline; `shade` under 1 turns it from the light."""
        if not (bounds := self._bounds(points, RIM)):
            return
        left, top, right, bottom = bounds
        size = (max(2, right - left), max(2, bottom - top))
        board = surface(size, finish, self.rng, upright, self.zoom)
        if shade != 1.0:
            board = board.point([min(255, round(v * shade)) for v in range(256)] * 3)
        mask = Image.new("L", size, 0)
        ImageDraw.Draw(mask).polygon([(x - left, y - top) for x, y in self._dots(points)], fill=255)
        self.image.paste(board, (left, top), mask)
        if ink:
            self.line(points, mixed(INK, finish.paint or finish.dark, 0.25), ink, closed=True)

    def fill(self, points: Sequence[Point], colour: Colour, alpha: float = 1.0) -> None:
        """A flat shape."""
        self.draw.polygon(self._dots(points), fill=(*colour, round(255 * alpha)))

    def oval(self, box: Box, colour: Colour, alpha: float = 1.0) -> None:
        """A flat ellipse."""
        self.fill(ellipse(*box), colour, alpha)

    def line(
        self,
        points: Sequence[Point],
        colour: Colour = INK,
        width: float = 1.5,
        *,
        closed: bool = False,
        alpha: float = 1.0,
    ) -> None:
        """A line by an unsteady but practised hand."""
        path = self._dots([*points, points[0]] if closed else points)
        drawn: list[Point] = []
        for (ax, ay), (bx, by) in pairwise(path):
            steps = max(1, int(math.hypot(bx - ax, by - ay) / 120))
            for i in range(steps):
                sway = 1.0 if i else 0.0
                dx, dy = self.rng.uniform(-sway, sway), self.rng.uniform(-sway, sway)
                drawn.append((ax + (bx - ax) * i / steps + dx, ay + (by - ay) * i / steps + dy))
        drawn.append(path[-1])
        wide = max(1, round(width * SCALE * self.zoom))
        self.draw.line(drawn, fill=(*colour, round(255 * alpha)), width=wide, joint="curve")

    def glow(self, points: Sequence[Point], colour: Colour, alpha: float, blur: float = 20.0) -> None:
        """A soft shape: a shadow when `colour` is dark, light when it is pale."""
        soft = blur * SCALE * self.zoom
        if not (bounds := self._bounds(points, int(soft * 2.5))):
            return
        left, top, right, bottom = bounds
        mask = Image.new("L", (right - left, bottom - top), 0)
        shifted = [(x - left, y - top) for x, y in self._dots(points)]
        ImageDraw.Draw(mask).polygon(shifted, fill=round(255 * alpha))
        self.image.paste(colour, (left, top, right, bottom), mask.filter(ImageFilter.GaussianBlur(soft / 2)))

    def finished(self) -> Image.Image:
        """The sheet in the light of its window, at the size asked for."""
        wide, high = self.image.size
        fall = Image.linear_gradient("L").rotate(90).resize((wide, high))
        lit = _scaled(fall, 0.11)
        self.image.paste((38, 30, 34), (0, 0, wide, high), lit)
        vignette = Image.radial_gradient("L").resize((wide, high))
        self.image.paste((40, 30, 24), (0, 0, wide, high), _scaled(vignette, 0.08))
        return self.image.resize((self.width, self.height), Image.Resampling.LANCZOS)

    def _dots(self, points: Sequence[Point]) -> list[Point]:
        """Where points of the picture lie on the drawn sheet."""
        part = SCALE * self.zoom
        return [((x - self.at[0]) * part, (y - self.at[1]) * part) for x, y in points]

    def _bounds(self, points: Sequence[Point], pad: int) -> tuple[int, int, int, int] | None:
        """The box of dots round a shape, cut off `pad` outside the sheet; nothing when it is all outside."""
        xs, ys = zip(*self._dots(points), strict=True)
        left, top = max(-pad, int(min(xs)) - pad), max(-pad, int(min(ys)) - pad)
        right = min(self.image.width + pad, math.ceil(max(xs)) + pad)
        bottom = min(self.image.height + pad, math.ceil(max(ys)) + pad)
        return (left, top, right, bottom) if right > left and bottom > top else None


def rectangle(x: float, y: float, w: float, h: float) -> list[Point]:
    """The corners of a box, from the top left round to the bottom left."""
    return [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]


def ellipse(x: float, y: float, w: float, h: float, *span: float) -> list[Point]:
    """Points on an ellipse inside a box, or on the arc of it from one degree to another.

    Degrees run clockwise from three o'clock.
    """
    start, end = span or (0.0, 360.0)
    count = max(8, int(abs(end - start) / 5))
    turns = (math.radians(start + (end - start) * i / count) for i in range(count + 1))
    return [(x + w / 2 + w / 2 * math.cos(t), y + h / 2 + h / 2 * math.sin(t)) for t in turns]


def within(quad: Quad, across: float, down: float) -> Point:
    """The point of a slanted board that lies at these shares of its width and height."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = quad
    top = (ax + (bx - ax) * across, ay + (by - ay) * across)
    low = (dx + (cx - dx) * across, dy + (cy - dy) * across)
    return top[0] + (low[0] - top[0]) * down, top[1] + (low[1] - top[1]) * down


def curve(*points: Point) -> list[Point]:
    """A Bezier curve through its first and last point, drawn toward those between."""

    def at(t: float) -> Point:
        def closer(ps: list[Point], _: int) -> list[Point]:
            return [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in pairwise(ps)]

        return reduce(closer, range(len(points) - 1), list(points))[0]

    return [at(i / 16) for i in range(17)]
