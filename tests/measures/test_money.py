"""Money as it is written: FORMAT.md, "How things are written", the row `money`."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.money import read_money, show_money, write_money
from flipbook.measures.unreadable import Unreadable

# Every sum a shop can write, nothing and the most included.
sums = st.integers(0, 10_000_000_00).map(lambda cents: Decimal(cents) / 100)


@pytest.mark.parametrize(
    ("written", "dollars"),
    [
        ("40", "40.00"),
        ("40.5", "40.50"),
        ("40.00", "40.00"),
        ("$40.00", "40.00"),
        ("$40", "40.00"),
        ("1,240.00", "1240.00"),
        ("1,240", "1240.00"),
        ("$1,240.5", "1240.50"),
        ("1240.00", "1240.00"),
        ("0", "0.00"),
        ("0.05", "0.05"),
        (" 40.00 ", "40.00"),
        ("10000000", "10000000.00"),
        ("10,000,000", "10000000.00"),
        ("10,000,000.00", "10000000.00"),
    ],
)
def test_a_sum_is_read_to_the_cent(written, dollars):
    # Compared as text, so that 40 and 40.00 are not taken for each other.
    assert str(read_money(written)) == dollars


@pytest.mark.parametrize(
    ("currency", "written"),
    [("USD", "$12.50"), ("CAD", "$12.50"), ("GBP", "£12.50"), ("EUR", "€12.50"), ("CHF", "12.50")],
)
def test_the_sign_of_the_shops_own_currency_is_read(currency, written):
    assert read_money(written, currency) == Decimal("12.50")


@pytest.mark.parametrize(
    ("currency", "written"),
    [("USD", "£12.50"), ("USD", "€12.50"), ("USD", "¥12"), ("GBP", "$12.50"), ("EUR", "£12.50"), ("CHF", "$12.50")],
)
def test_the_sign_of_another_currency_is_refused_and_pointed_at(currency, written):
    with pytest.raises(Unreadable) as refused:
        read_money(written, currency)
    assert currency in refused.value.write
    assert refused.value.span == (0, 1)


@pytest.mark.parametrize("written", ["$12.50", "£12.50", "€12.50", "12.50"])
def test_any_sign_will_do_where_the_currency_is_not_known(written):
    assert read_money(written, None) == Decimal("12.50")


REFUSED = {
    "three decimals": ("40.005", "two decimals"),
    "three decimals that are nothing": ("40.000", "two decimals"),
    "a minus": ("-40", "not negative"),
    "a true minus": ("−40", "not negative"),
    "a minus after the sign": ("$-40", "not negative"),
    "a minus before the sign": ("-$40", "not negative"),
    "a bookkeeper's brackets": ("(40.00)", "not negative"),
    "a leading zero": ("040", "start with a zero"),
    "two zeros": ("00", "start with a zero"),
    "an underscore": ("1_240", "thousands"),
    "thousands of two": ("1,24.00", "thousands"),
    "thousands of four": ("1,2400", "thousands"),
    "thousands by twos": ("10,00,000", "thousands"),
    "thousands after a zero": ("0,240.00", "thousands"),
    "Arabic-Indic digits": ("٤٠", "digits 0 to 9"),
    "fullwidth digits": ("４０.００", "digits 0 to 9"),
    "not a number": ("nan", "no sum"),
    "not a number, in capitals": ("NaN", "no sum"),
    "infinity": ("inf", "no sum"),
    "infinity in full": ("Infinity", "no sum"),
    "an exponent": ("1e3", "exponent"),
    "an exponent with a sign": ("1E+3", "exponent"),
    "nothing": ("", "no sum"),
    "a sign alone": ("$", "no sum"),
    "a cent over the most": ("10000000.01", "over 10,000,000"),
    "a cent over the most, with its thousands": ("10,000,000.01", "over 10,000,000"),
    "far over the most": ("9" * 40, "over 10,000,000"),
    "two signs": ("$$40", "not a sum"),
    "a plus": ("+40", "not a sum"),
    "the code after it": ("40 USD", "not a sum"),
    "two points": ("40.5.0", "not a sum"),
    "a gap": ("1 240.00", "not a sum"),
    "hexadecimal": ("0x28", "not a sum"),
    "a vulgar half": ("40½", "not a sum"),
}


@pytest.mark.parametrize(("written", "says"), REFUSED.values(), ids=REFUSED.keys())
def test_what_is_no_sum_is_refused_in_words_that_name_the_fault(written, says):
    with pytest.raises(Unreadable) as refused:
        read_money(written)
    assert says in refused.value.says
    assert refused.value.write


@pytest.mark.parametrize(
    ("written", "right"),
    [
        ("1.240,00", "1240.00"),
        ("1.240.000,00", "1240000.00"),
        ("1240,50", "1240.50"),
        ("1240,00", "1240.00"),
        ("12,40", "12.40"),
        ("0,5", "0.5"),
        ("040", "40"),
        ("00", "0"),
        ("$.50", "0.50"),
        (".5", "0.5"),
        ("40.", "40"),
    ],
)
def test_the_hint_is_the_same_sum_in_the_right_form(written, right):
    with pytest.raises(Unreadable) as refused:
        read_money(written)
    assert refused.value.write == f"write `{right}`"
    assert read_money(right) == Decimal(right)


@pytest.mark.parametrize(
    ("written", "right"), [("40 USD", "40"), ("$ 40", "40"), ("40 $", "40"), ("24 per hour", "24")]
)
def test_signs_that_do_not_belong_are_taken_out_in_the_hint(written, right):
    with pytest.raises(Unreadable) as refused:
        read_money(written)
    assert refused.value.write == f"write `{right}`"


@pytest.mark.parametrize("written", ["1_875.00", "1,8750", "18,75,000"])
def test_a_hint_never_offers_a_sum_that_was_not_written(written):
    with pytest.raises(Unreadable) as refused:
        read_money(written)
    assert "write `1240.00`" not in refused.value.write


@given(sums)
def test_a_sum_that_is_written_out_is_read_back(dollars):
    assert read_money(write_money(dollars)) == dollars


@given(sums)
def test_a_sum_shown_to_a_reader_is_read_back(dollars):
    assert read_money(show_money(dollars, "USD"), "USD") == dollars


@given(st.integers(10_000_000_01, 10**14))
def test_no_sum_over_ten_million_is_read(cents):
    with pytest.raises(Unreadable):
        read_money(f"{cents // 100}.{cents % 100:02}")


@given(st.text(alphabet="0123456789.,_-+$£ eE", max_size=14))
def test_whatever_is_read_is_whole_cents_from_nothing_to_ten_million(text):
    try:
        dollars = read_money(text)
    except Unreadable:
        return
    assert dollars.as_tuple().exponent == -2
    assert 0 <= dollars <= 10_000_000


@pytest.mark.parametrize(
    ("dollars", "written"),
    [("0", "0.00"), ("1240", "1240.00"), ("-12.5", "-12.50"), ("-0.00", "0.00"), ("10000000", "10000000.00")],
)
def test_money_in_a_table_has_two_decimals_and_no_sign_or_thousands_mark(dollars, written):
    assert write_money(Decimal(dollars)) == written


@pytest.mark.parametrize(
    ("dollars", "currency", "shown"),
    [
        ("1240", "USD", "$1,240.00"),
        ("-12.50", "USD", "−$12.50"),
        ("0", "USD", "$0.00"),
        ("1240", "GBP", "£1,240.00"),
        ("1240", "CHF", "1,240.00 CHF"),
        ("-12.50", "CHF", "−12.50 CHF"),
    ],
)
def test_money_for_a_reader_has_its_sign_or_code_and_its_thousands_marked(dollars, currency, shown):
    assert show_money(Decimal(dollars), currency) == shown
