"""Templates of the shop's own: laid over the shipped ones, in a sandbox, and a fault in one is a problem with its line."""

from __future__ import annotations

import dataclasses
import inspect
import re
from pathlib import Path
from typing import Any

import pytest

from flipbook.compile import Compiler, Outcome, compile_shop
from flipbook.portfolio import outline, picking, public, work_shown
from flipbook.portfolio.own_templates import read_own
from flipbook.shipped import templates_folder
from flipbook.shop.folder import ShopFolder

SHIPPED = templates_folder() / "portfolio"
PIECE, INDEX, STYLE = (
    "templates/portfolio/piece.html",
    "templates/portfolio/index.html",
    "templates/portfolio/style.css",
)


def made(shop: Any) -> Outcome:
    return compile_shop(shop.root, shop.root / "out")


def page(shop: Any, name: str = "oak-stool/index.html") -> str:
    return Path(shop.root / "out" / "portfolio" / name).read_text("utf-8")


def test_the_shipped_templates_laid_over_themselves_make_the_same_bytes(shop: Any, tmp_path: Path) -> None:
    shop.piece("tell: A <b>story</b> & more.\nkind: stool\nasking: [{on: 2026-02-01, price: 425}]\n")
    compile_shop(shop.root, tmp_path / "plain")
    for path in SHIPPED.iterdir():
        if path.suffix in (".html", ".css"):
            shop.write({f"templates/portfolio/{path.name}": path.read_bytes()})
    assert made(shop).problems == []
    for path in (tmp_path / "plain" / "portfolio").rglob("*.*"):
        assert (shop.root / "out" / path.relative_to(tmp_path / "plain")).read_bytes() == path.read_bytes(), path


def test_one_template_and_the_stylesheet_are_laid_over_and_the_others_stay(shop: Any) -> None:
    shop.piece().write({PIECE: "<!DOCTYPE html><title>{{ piece.title }}</title>", STYLE: "body { color: teal }\n"})
    assert made(shop).problems == []
    assert page(shop) == "<!DOCTYPE html><title>Oak stool</title>"
    assert page(shop, "style.css") == "body { color: teal }\n"
    assert "To the pieces" in page(shop, "index.html")


def test_parts_of_the_shops_own_are_taken_by_the_shipped_pages_and_by_its_own(shop: Any) -> None:
    parts = (SHIPPED / "parts.html").read_text("utf-8").replace("How to reach us", "Where we are")
    shop.write({"shop.yaml": "shop: Quillback Lane\nplace: Port Ellery\ncurrency: USD\n"})
    shop.piece().write({"templates/portfolio/parts.html": parts, "templates/portfolio/badge.html": "<i>{{ piece.title }}</i>",
                        INDEX: '{% from "portfolio/parts.html" import reach %}{{ reach(shop) }}'
                        '{% for heading, pieces in groups %}{% for piece in pieces %}{% include "portfolio/badge.html" %}'
                        "{% endfor %}{% endfor %}"})  # fmt: skip
    assert made(shop).problems == []
    assert "Where we are" in page(shop)
    assert "<i>Oak stool</i>" in page(shop, "index.html")


@pytest.mark.parametrize("own", ["{{ piece.title }}", "{{ piece.title ~ '' }}", "{% set t %}{{ piece.title }}{% endset %}{{ t }}",
                                 "{{ (piece.title | escape).unescape() }}", "{{ piece.title | replace('x', 'y') }}",
                                 "{{ [piece.title] | join }}", "{{ piece.title | upper }}"])  # fmt: skip
def test_everything_is_escaped_whatever_a_template_does(shop: Any, own: str) -> None:
    shop.write(
        {"pieces/oak-stool/piece.yaml": "piece: <script>alert(1)</script>\nfound: {on: 2026-01-05, from: M, cost: 1}\n"}
    )
    shop.write({PIECE: own})
    assert made(shop).problems == []
    assert "<script" not in page(shop).casefold()
    assert "script&gt;" in page(shop).casefold()


# A template, the line of it that is at fault, and a word of what is said of it.
FAULTS = {
    "a tag left open": ("<p>\n{% if piece.title %}\n<b>\n", 3, "Unexpected end"),
    "an unknown tag": ("<p>\n{% unless piece.price %}\n{% endunless %}", 2, "unless"),
    "an unknown filter": ("a\nb\n{{ piece.title | shout }}", 3, "shout"),
    "a name that is not given": ("a\n{{ facts }}\n", 2, "facts"),
    "a cost": ("a\nb\n{{ piece.cost }}\n", 3, "cost"),
    "an offer": ("{{ piece.offers }}\n", 1, "offers"),
    "a way to Python": ("\n{{ piece.__class__.__mro__ }}", 2, ""),
    "a way through a method": ("\n\n{{ piece.from_the_index.__globals__ }}", 3, ""),
    "a way through a format": ("{{ '{0.__class__}'.format(piece) }}", 1, ""),
    "a division by nothing": ("x\n{{ 1 // 0 }}", 2, "zero"),
    "a sum of words and numbers": ("x\n{{ piece.title + 1 }}", 2, ""),
    "escaping switched off": ("x\n{% autoescape false %}{{ piece.title }}{% endautoescape %}", 2, "escaping"),
    "a text marked safe": ("x\n{{ piece.title | safe }}", 2, "safe"),
    "a change of a record": ("x\n{% do piece.pictures.append(1) %}", 2, "do"),
    "itself, without end": ('x\n{% include "portfolio/piece.html" %}', 2, ""),
    "a private page": ('\n{% include "books/index.html" %}', 2, "books/index.html"),
    "a file of the machine": ('\n{% include "../../../../etc/passwd" %}', 2, "passwd"),
    "a file by its whole path": ('{% include "/etc/passwd" %}', 1, "passwd"),
    "the stylesheet as a template": ('{% include "portfolio/style.css" %}', 1, "style.css"),
    "a range without end": ("x\n{% for n in range(10 ** 9) %}{% endfor %}", 2, ""),
    "a long range": ("x\n{% for n in range(1000000000) %}{% endfor %}", 2, "range"),
    "a text repeated": ("x\n{{ 'x' * 999999999 }}", 2, ""),
    "a list repeated": ("x\n{{ [1] * 999999999 }}", 2, ""),
    "a wide text": ("x\n{{ 'x'.ljust(999999999) }}", 2, ""),
    "a wide number": ("x\n{{ '%999999999d' % 1 }}", 2, ""),
    "a power": ("x\n{{ 9 ** 99999999 }}", 2, ""),
    "a text doubled again and again": (
        "{% macro f(n, s) %}{{ f(n - 1, s ~ s) if n else s }}{% endmacro %}\n{{ f(60, 'x') }}", 1, "too long"
    ),
    "brackets without end": ("{{ " + "(" * 5000 + "1" + ")" * 5000 + " }}", None, ""),
    "loops without a word": (
        "x\n{% for a in range(9999) %}{% for b in range(9999) %}{% set c = b %}{% endfor %}{% endfor %}", 2, "end"
    ),
    "loops in a text put by": (
        "x\n{% set t %}{% for a in range(9999) %}{% for b in range(9999) %}y{% endfor %}{% endfor %}{% endset %}", None, "end"
    ),
    "a macro that calls itself twice": (
        "{% macro f(n) %}{% if n %}{% set a = f(n - 1) %}{% set b = f(n - 1) %}{% endif %}{% endmacro %}\n{{ f(40) }}", 1, "end"
    ),
    "pages without end": ("{% for a in range(9999) %}{% for b in range(9999) %}xxxxxxxx{% endfor %}{% endfor %}", None, "end"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "line", "word"), FAULTS.values(), ids=FAULTS)
def test_a_fault_is_a_problem_with_its_line_and_the_last_output_stays(
    shop: Any, monkeypatch: pytest.MonkeyPatch, text: str, line: int | None, word: str
) -> None:
    monkeypatch.setattr("flipbook.portfolio.own_templates.LONGEST_TIME", 1.0)
    shop.piece()
    assert made(shop).books is not None
    before = {path: path.read_bytes() for path in (shop.root / "out").rglob("*") if path.is_file()}
    shop.write({PIECE: text})
    outcome = made(shop)
    assert outcome.books is None
    (problem,) = [problem for problem in outcome.problems if not problem.warning]
    assert (problem.name, problem.place.file) == ("own-template", PIECE)
    assert line is None or problem.place.line == line
    assert word in problem.label
    assert str(templates_folder()) not in problem.label
    assert {path: path.read_bytes() for path in (shop.root / "out").rglob("*") if path.is_file()} == before


def test_a_fault_is_told_on_the_terminal_and_ends_in_one(shop: Any, flipbook: Any) -> None:
    shop.piece().write({PIECE: "<h1>\n  {{ piece.titel }}\n"})
    ran = flipbook("compile", shop.root)
    assert ran.code == 1
    assert (
        "templates/portfolio/piece.html:2:3: to mend: the template cannot be rendered with what it is given" in ran.err
    )
    assert "titel" in ran.err
    assert not (shop.root / "out" / "portfolio").exists()


def test_a_fault_that_a_shipped_page_meets_is_told_of_the_shops_own_file(shop: Any) -> None:
    shop.piece().write({"templates/portfolio/parts.html": "{# nothing of what the pages use #}"})
    outcome = made(shop)
    assert outcome.books is None
    assert {problem.place.file for problem in outcome.problems} == {"templates/portfolio/parts.html"}


NOT_READ = {
    "piece.htm": ("not-read", "piece.html"),
    "logo.png": ("not-read", "end in `.html`"),
    "peice.html": ("covers-nothing", "piece.html"),
    "pieces.html": ("covers-nothing", "piece.html"),
}


@pytest.mark.parametrize(("name", "told"), NOT_READ.items(), ids=NOT_READ)
def test_a_file_that_does_nothing_is_told(shop: Any, name: str, told: tuple[str, str]) -> None:
    shop.piece().write({f"templates/portfolio/{name}": "x"})
    (problem,) = made(shop).problems
    assert (problem.name, problem.warning, problem.place.file) == (told[0], True, f"templates/portfolio/{name}")
    assert told[1] in problem.help


def test_a_template_folder_alone_is_no_stray(shop: Any) -> None:
    shop.piece().write({STYLE: "body {}\n"})
    assert shop.problems() == []
    assert made(shop).problems == []


@pytest.mark.parametrize("name", ["piece.html", "style.css"])
def test_a_link_out_of_the_shop_is_refused(shop: Any, tmp_path: Path, name: str) -> None:
    (tmp_path / "elsewhere").write_text("secret")
    (shop.piece().root / "templates" / "portfolio").mkdir(parents=True)
    (shop.root / "templates" / "portfolio" / name).symlink_to(tmp_path / "elsewhere")
    outcome = made(shop)
    assert outcome.books is None
    assert [problem.name for problem in outcome.problems] == ["leaves-the-shop"]


@pytest.mark.parametrize("link", ["templates", "templates/portfolio"])
def test_a_folder_that_is_a_link_out_of_the_shop_is_refused(shop: Any, tmp_path: Path, link: str) -> None:
    (tmp_path / "elsewhere" / "portfolio").mkdir(parents=True)
    (tmp_path / "elsewhere" / "piece.html").write_text("secret")
    (tmp_path / "elsewhere" / "portfolio" / "piece.html").write_text("secret")
    (shop.piece().root / link).parent.mkdir(exist_ok=True)
    (shop.root / link).symlink_to(tmp_path / "elsewhere")
    outcome = made(shop)
    assert outcome.books is None
    assert [problem.name for problem in outcome.problems] == ["leaves-the-shop"]


@pytest.mark.parametrize("data", [b"\xff\xfe<", b"\xef\xbb\xbf<p>{{ piece.title }}</p>"])
def test_a_template_is_utf_8(shop: Any, data: bytes) -> None:
    shop.piece().write({PIECE: data})
    outcome = made(shop)
    if data.startswith(b"\xff"):
        assert [(problem.name, problem.place.line) for problem in outcome.problems] == [("not-utf-8", 1)]
    else:
        assert page(shop) == "<p>Oak stool</p>"


def test_a_template_that_changed_is_seen_by_the_next_compile_in_one_process(shop: Any) -> None:
    compiler = Compiler(shop.piece().root, shop.root / "out")
    compiler.compile()
    for text in ("one", "two"):
        shop.write({PIECE: text})
        assert compiler.compile().books is not None
        assert page(shop) == text
    (shop.root / PIECE).unlink()
    compiler.compile()
    assert "<h1" in page(shop)


def test_a_template_that_changed_is_seen_by_the_next_compile_of_another_process(shop: Any, flipbook: Any) -> None:
    shop.piece()
    assert flipbook("compile", shop.root).code == 0
    for text in ("one", "two", "six"):
        shop.write({PIECE: text})
        assert flipbook("compile", shop.root).code == 0
        assert page(shop) == text
    (shop.root / PIECE).unlink()
    assert flipbook("compile", shop.root).code == 0
    assert "<h1" in page(shop)


def test_without_a_folder_nothing_of_the_shops_own_is_read(shop: Any) -> None:
    own, problems = read_own(ShopFolder(shop.root))
    assert (own.texts, own.style, problems) == ((), None, [])


RECORDS = [
    value
    for module in (public, work_shown, picking, outline)
    for name, value in vars(module).items()
    if inspect.isclass(value)
    and dataclasses.is_dataclass(value)
    and value.__module__ == module.__name__
    and name not in ("Shot", "StepPictured")
]


def told_of(record: type) -> set[str]:
    """What a template can name of a record: its fields and properties, and its methods."""
    names = {field.name for field in dataclasses.fields(record)}
    return names | {name for name, value in vars(record).items() if not name.startswith("_") and (isinstance(value, property) or inspect.isfunction(value))}  # fmt: skip


@pytest.mark.parametrize("record", RECORDS, ids=[record.__name__ for record in RECORDS])
def test_the_fields_of_every_record_are_documented_and_no_other(record: type) -> None:
    readme = (templates_folder() / "README.md").read_text("utf-8")
    rows = re.findall(rf"^\| `{record.__name__}` \| (.*?) \|", readme, flags=re.MULTILINE)
    assert len(rows) == 1
    assert set(re.findall(r"`([a-z_]+)", rows[0])) == told_of(record)


def test_there_are_records_to_document() -> None:
    assert {"PublicShop", "PublicPiece", "PublicPicture", "PublicStage", "PublicChoice"} <= {
        r.__name__ for r in RECORDS
    }
