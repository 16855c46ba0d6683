"""The fewest sticks, against an integer programme solved by HiGHS, a general-purpose solver.

The programme is told nothing of ours: it has every way that parts can lie in a stick or in an offcut on the shelf,
listed one by one, and says how often each is used.
"""

from collections import Counter
from fractions import Fraction
from itertools import product

import highspy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flipbook.sums.nesting import Part, nest


def ways(lengths, counts, room, kerf):
    """Every number of each length that fits: the parts, and a cut between any two of them."""
    for numbers in product(*(range(count + 1) for count in counts)):
        parts = sum(length * number for length, number in zip(lengths, numbers, strict=True))
        if sum(numbers) and parts + (sum(numbers) - 1) * kerf <= room:
            yield numbers


def fewest_by_highs(counted, stick, kerf, offcuts):
    lengths, counts = list(counted), list(counted.values())
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    used = []
    limits = []
    for numbers in ways(lengths, counts, stick, kerf):
        used.append((numbers, solver.addIntegral(lb=0, ub=sum(counts), obj=1)))
    for room, number in Counter(offcuts).items():
        on_shelf = []
        for numbers in ways(lengths, counts, room, kerf):
            variable = solver.addIntegral(lb=0, ub=number, obj=0)
            used.append((numbers, variable))
            on_shelf.append(variable)
        if on_shelf:
            limits.append((on_shelf, number))
    for at, count in enumerate(counts):
        solver.addConstr(sum(variable * numbers[at] for numbers, variable in used if numbers[at]) >= count)
    for on_shelf, number in limits:
        solver.addConstr(sum(variable * 1 for variable in on_shelf) <= number)
    solver.minimize()
    assert solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(solver.getInfo().objective_function_value)


lists = st.lists(
    st.tuples(st.integers(11, 60), st.integers(1, 5)), min_size=1, max_size=5, unique_by=lambda part: part[0]
)


@settings(max_examples=120, deadline=None)
@given(lists, st.integers(60, 120), st.integers(0, 3), st.lists(st.integers(5, 70), max_size=3))
def test_no_plan_of_the_solver_has_fewer_sticks_and_ours_is_proved(counted, stick, kerf, offcuts):
    nesting = nest(
        [Part(name=str(length), length=Fraction(length), count=count) for length, count in counted],
        stick=Fraction(stick),
        kerf=Fraction(kerf),
        offcuts=[Fraction(offcut) for offcut in offcuts],
    )
    assert nesting.is_least
    assert nesting.new_sticks == fewest_by_highs(dict(counted), stick, kerf, offcuts)


@pytest.mark.parametrize(
    ("counted", "stick", "kerf", "offcuts"),
    [
        ({24: 4}, 96, 0, []),
        ({34: 12, 9: 12}, 96, 1, [20, 40]),
        ({45: 7, 36: 9, 31: 8, 14: 6}, 100, 0, []),
        ({46: 3, 33: 4, 28: 6, 20: 5, 13: 5}, 96, 2, [31, 47, 47]),
    ],
)
def test_a_shop_list_takes_the_number_that_the_solver_says(counted, stick, kerf, offcuts):
    parts = [Part(name=str(length), length=Fraction(length), count=count) for length, count in counted.items()]
    nesting = nest(parts, stick=Fraction(stick), kerf=Fraction(kerf), offcuts=[Fraction(offcut) for offcut in offcuts])
    assert (nesting.new_sticks, nesting.is_least) == (fewest_by_highs(counted, stick, kerf, offcuts), True)
