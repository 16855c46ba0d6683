"""Wood movement, against the USDA Forest Products Laboratory's Wood Handbook (FPL-GTR-190; FPL-GTR-282 keeps these).

Table 4-2 (moisture of wood in equilibrium with air), Table 4-3 (shrinkage) and Table 13-5 (dimensional change
coefficients) were typed in here from a stored copy of the Handbook, apart from the program's own tables.
"""

from fractions import Fraction

import pytest

from flipbook.sums.data.wood_movement import BY_SHRINKAGE, COEFFICIENTS, TABLE
from flipbook.sums.movement import moisture_in_air, movement

INCH = Fraction("25.4")

# Table 4-2: percent of moisture at 5%, 10%, ... 95% relative humidity, by degrees Fahrenheit.
EQUILIBRIUM = {
    30: "1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.4 13.5 14.9 16.5 18.5 21.0 24.3",
    40: "1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.3 13.5 14.9 16.5 18.5 21.0 24.3",
    50: "1.4 2.6 3.6 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.3 11.2 12.3 13.4 14.8 16.4 18.4 20.9 24.3",
    60: "1.3 2.5 3.6 4.6 5.4 6.2 7.0 7.8 8.6 9.4 10.2 11.1 12.1 13.3 14.6 16.2 18.2 20.7 24.1",
    70: "1.3 2.5 3.5 4.5 5.4 6.2 6.9 7.7 8.5 9.2 10.1 11.0 12.0 13.1 14.4 16.0 17.9 20.5 23.9",
    80: "1.3 2.4 3.5 4.4 5.3 6.1 6.8 7.6 8.3 9.1 9.9 10.8 11.7 12.9 14.2 15.7 17.7 20.2 23.6",
    90: "1.2 2.3 3.4 4.3 5.1 5.9 6.7 7.4 8.1 8.9 9.7 10.5 11.5 12.6 13.9 15.4 17.3 19.8 23.3",
    100: "1.2 2.3 3.3 4.2 5.0 5.8 6.5 7.2 7.9 8.7 9.5 10.3 11.2 12.3 13.6 15.1 17.0 19.5 22.9",
    110: "1.1 2.2 3.2 4.0 4.9 5.6 6.3 7.0 7.7 8.4 9.2 10.0 11.0 12.0 13.2 14.7 16.6 19.1 22.4",
    120: "1.1 2.1 3.0 3.9 4.7 5.4 6.1 6.8 7.5 8.2 8.9 9.7 10.6 11.7 12.9 14.4 16.2 18.6 22.0",
    130: "1.0 2.0 2.9 3.7 4.5 5.2 5.9 6.6 7.2 7.9 8.7 9.4 10.3 11.3 12.5 14.0 15.8 18.2 21.5",
}

# Table 4-3: percent of shrinkage, green to ovendry, radial and tangential.
SHRINKAGE = {
    "red alder": ("4.4", "7.3"),
    "black ash": ("5.0", "7.8"),
    "Oregon ash": ("4.1", "8.1"),
    "white ash": ("4.9", "7.8"),
    "quaking aspen": ("3.5", "6.7"),
    "American basswood": ("6.6", "9.3"),
    "American beech": ("5.5", "11.9"),
    "paper birch": ("6.3", "8.6"),
    "river birch": ("4.7", "9.2"),
    "yellow birch": ("7.3", "9.5"),
    "yellow buckeye": ("3.6", "8.1"),
    "butternut": ("3.4", "6.4"),
    "black cherry": ("3.7", "7.1"),
    "American chestnut": ("3.4", "6.7"),
    "black cottonwood": ("3.6", "8.6"),
    "eastern cottonwood": ("3.9", "9.2"),
    "American elm": ("4.2", "9.5"),
    "rock elm": ("4.8", "8.1"),
    "slippery elm": ("4.9", "8.9"),
    "hackberry": ("4.8", "8.9"),
    "pecan hickory": ("4.9", "8.9"),
    "live oak": ("6.6", "9.5"),
    "sassafras": ("4.0", "6.2"),
    "sweetgum": ("5.3", "10.2"),
    "American sycamore": ("5.0", "8.4"),
    "tanoak": ("4.9", "11.7"),
    "black tupelo": ("5.1", "8.7"),
    "water tupelo": ("4.2", "7.6"),
    "black walnut": ("5.5", "7.8"),
    "yellow-poplar": ("4.6", "8.2"),
    "yellow cedar": ("2.8", "6.0"),
    "eastern redcedar": ("3.1", "4.7"),
    "incense cedar": ("3.3", "5.2"),
    "Port-Orford-cedar": ("4.6", "6.9"),
    "coast Douglas-fir": ("4.8", "7.6"),
    "balsam fir": ("2.9", "6.9"),
    "noble fir": ("4.3", "8.3"),
    "white fir": ("3.3", "7.0"),
}


@pytest.mark.parametrize("fahrenheit", EQUILIBRIUM)
def test_the_moisture_in_air_is_within_a_tenth_of_the_table(fahrenheit):
    row = [Fraction(word) for word in EQUILIBRIUM[fahrenheit].split()]
    assert len(row) == 19
    for humidity, percent in zip(range(5, 100, 5), row, strict=True):
        found = moisture_in_air(fahrenheit=Fraction(fahrenheit), humidity=Fraction(humidity)).percent
        assert abs(found - percent) <= Fraction(1, 10), (humidity, percent)


def test_nearly_all_of_the_table_comes_out_to_the_tenth():
    rows = {fahrenheit: [Fraction(word) for word in row.split()] for fahrenheit, row in EQUILIBRIUM.items()}
    off = [
        (fahrenheit, 5 * place)
        for fahrenheit, row in rows.items()
        for place, percent in enumerate(row, 1)
        if moisture_in_air(fahrenheit=Fraction(fahrenheit), humidity=Fraction(5 * place)).percent != percent
    ]
    assert len(off) <= 8, off


@pytest.mark.parametrize(
    ("species", "radial", "tangential"),
    # Table 13-5.
    [
        ("red alder", "0.00151", "0.00256"),
        ("white ash", "0.00169", "0.00274"),
        ("American basswood", "0.00230", "0.00330"),
        ("American beech", "0.00190", "0.00431"),
        ("yellow birch", "0.00256", "0.00338"),
        ("black cherry", "0.00126", "0.00248"),
        ("American elm", "0.00144", "0.00338"),
        ("red maple", "0.00137", "0.00289"),
        ("sugar maple", "0.00165", "0.00353"),
        ("red oak", "0.00158", "0.00369"),
        ("white oak", "0.00180", "0.00365"),
        ("sweetgum", "0.00183", "0.00365"),
        ("black walnut", "0.00190", "0.00274"),
    ],
)
def test_a_species_moves_by_the_figures_of_the_table(species, radial, tangential):
    for sawn, figure in (("quartersawn", radial), ("flatsawn", tangential)):
        board = movement(species=species, width=INCH, sawn=sawn, moisture=Fraction(9), moisture_then=Fraction(10))
        assert (board.change / INCH, board.source) == (Fraction(figure), TABLE)


@pytest.mark.parametrize("species", SHRINKAGE)
def test_the_coefficients_agree_with_the_shrinkage_of_the_other_table(species):
    row = COEFFICIENTS[species]
    for figure, shrinkage in zip((row.radial, row.tangential), SHRINKAGE[species], strict=True):
        assert abs(figure - 1 / (3000 / Fraction(shrinkage) - 20)) <= Fraction(1, 100_000)


def test_every_row_worked_from_shrinkage_is_checked_here():
    assert {name for name, row in COEFFICIENTS.items() if row.source == BY_SHRINKAGE} <= set(SHRINKAGE)


def test_the_handbooks_own_example():
    """A flat-grain white fir board 9.15 in wide going from 8% to 11% swells 0.067 in (from memory of chapter 13)."""
    board = movement(
        species="white fir",
        width=Fraction("9.15") * INCH,
        sawn="flatsawn",
        moisture=Fraction(8),
        moisture_then=Fraction(11),
    )
    assert float(board.change / INCH) == pytest.approx(0.067, abs=5e-4)
    # The same board in millimetres: 232 x 0.00245 x 3 = 1.705.
    assert float(board.change) == pytest.approx(1.705, abs=5e-3)


@pytest.mark.parametrize(("now", "then"), [(5, 11), (8, 20), (28, 7), (14, 30)])
def test_beyond_the_limits_it_is_the_sum_that_log_builders_use(now, then):
    """ICC 400 (log structures), section 304, as published for settling: H (MCD - MCS) / (FSP x 100 / S - FSP + MCD), FSP 30."""
    shrinkage = Fraction("7.1")  # black cherry, tangential, Table 4-3
    height = 20 * INCH
    settled = height * (now - then) / (30 * 100 / shrinkage - 30 + now)
    board = movement(
        species="black cherry", width=height, sawn="flatsawn", moisture=Fraction(now), moisture_then=Fraction(then)
    )
    assert float(-board.change) == pytest.approx(float(settled), rel=2e-3)
