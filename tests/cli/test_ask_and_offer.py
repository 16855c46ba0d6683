"""`flipbook ask` and `flipbook offer`: a price that is asked, a price that was offered, each in its list."""

from __future__ import annotations

from datetime import date

import pytest
from shop_writer import Ran, ShopWriter, run_flipbook

FILE = "pieces/oak-stool/piece.yaml"


def run(shop: ShopWriter, *words: str, code: int = 0) -> Ran:
    return shop.run(*words, code=code)


def test_a_price_is_asked_from_its_day_on(shop: ShopWriter) -> None:
    ran = run(shop.piece(), "ask", "stool", "425", "--on", "2026-03-20")
    assert run(shop, "ask", "stool", "$395.50", "--on", "2026-03-31").code == 0
    asking = shop.only().asking
    assert [(str(one.on), str(one.price)) for one in asking] == [("2026-03-20", "425.00"), ("2026-03-31", "395.50")]
    assert "price: 425\n" in (shop.root / FILE).read_text().replace("}", "\n")
    assert "2026-03-20" in ran.out
    assert ran.out.startswith(f"Written at {FILE}:")
    assert shop.only().state == "for sale"


def test_today_is_meant_when_no_day_is_said(shop: ShopWriter) -> None:
    before = date.today()
    run(shop.piece(), "ask", "stool", "425")
    run(shop, "offer", "stool", "300")
    piece = shop.only()
    assert piece.asking[0].on in (before, date.today())
    assert piece.offers[0].on in (before, date.today())


@pytest.mark.parametrize("listed", ["asking: [{on: 2026-03-20, price: 425}]\n", "asking:\n  - {on: 2026-03-20, price: 425}\n", "asking:\n- on: 2026-03-20\n  price: 425\n"])  # fmt: skip
def test_an_earlier_price_goes_before_a_later_one(shop: ShopWriter, listed: str) -> None:
    run(shop.piece(listed), "ask", "stool", "450", "--on", "2026-03-01")
    assert [str(one.price) for one in shop.only().asking] == ["450.00", "425.00"]


def test_an_offer_says_who_made_it_and_how_it_was_answered(shop: ShopWriter) -> None:
    run(shop.piece(), "offer", "stool", "300", "--from", "R., by phone: late", "--answer", "no", "--on", "2026-03-24")
    run(shop, "offer", "stool", "365", "--from", "M.", "--answer", "counter 380", "--on", "-2d", "--private", "Kind.")
    first, second = shop.only().offers
    assert (str(first.price), first.from_, first.answer) == ("300.00", "R., by phone: late", "no")
    assert (str(second.price), second.from_, second.answer, second.private) == ("365.00", "M.", "counter 380", "Kind.")


def test_an_answer_that_is_none_is_shown_as_it_would_stand(shop: ShopWriter) -> None:
    before = (shop.piece().root / FILE).read_bytes()
    ran = run(shop, "offer", "stool", "300", "--answer", "perhaps", code=1)
    assert "[answer]" in ran.err
    assert "perhaps" in ran.err
    assert "nothing was written" in ran.err
    assert (shop.root / FILE).read_bytes() == before


@pytest.mark.parametrize("command", ["ask", "offer"])
@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["stool", "0"], "the sum is nothing"),
        (["stool", "0.00"], "the sum is nothing"),
        (["stool", "-40"], "not negative"),
        (["stool", "−40"], "not negative"),
        (["stool", "40.255"], "two decimals"),
        (["stool", "£40"], "USD"),
        (["stool", "1.240,00"], "write `1240.00`"),
        (["stool", "forty"], "not a sum"),
        (["stool"], "the price is not said"),
        ([], "the piece is not said"),
        (["stool", "40", "50"], "50"),
        (["stool", "40", "--on", "14/2/2026"], "write `2026-02-14`"),
        (["stool", "40", "--on"], "--on"),
        (["stool", "40", "--price", "3"], "unrecognized option `--price`"),
    ],
)
def test_what_is_misread_is_misuse(shop: ShopWriter, command: str, words: list[str], says: str) -> None:
    before = (shop.piece().root / FILE).read_bytes()
    ran = run(shop, command, *words, code=2)
    assert says in ran.err
    assert ran.out == ""
    assert (shop.root / FILE).read_bytes() == before


@pytest.mark.parametrize("command", ["jot", "spend", "ask", "offer", "sell", "begin"])
def test_the_usage_is_shown_when_nothing_is_said(shop: ShopWriter, command: str) -> None:
    ran = run(shop.piece(), command, code=2)
    assert "is not said" in ran.err
    assert f"\nflipbook {command} " in ran.err


@pytest.mark.parametrize("command", ["jot", "spend", "ask", "offer", "sell", "begin", "complete"])
def test_the_page_of_a_command_fits_a_terminal_and_opens_with_its_usage(command: str) -> None:
    ran = run_flipbook(command, "--help")
    assert ran.code == 0
    assert ran.out.startswith(f"flipbook {command} ")
    assert max(len(line) for line in ran.out.splitlines()) <= 80
