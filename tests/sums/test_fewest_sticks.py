"""The fewest sticks: against a solver, published problems, and every plan there is.

- HiGHS, a general-purpose solver of integer programmes, which is told nothing of ours: it has every way that parts can
  lie in a stick or in an offcut on the shelf, listed one by one, and says how often each is used.
- E. Falkenauer, "A hybrid grouping genetic algorithm for bin packing", Journal of Heuristics 2, 1996: the uniform class
  u120 (file binpack1 of the OR-Library, J. E. Beasley), 120 pieces, bins of 150, with the numbers of bins published
  in the file; and the class of triplets, made as that paper says (three pieces fill each bin exactly, so n/3 bins).
- The example of 13 widths out of rolls of 5600 mm that encyclopedias give for the cutting-stock problem: 73 rolls.
"""

from collections import Counter
from fractions import Fraction
from itertools import product

import highspy
import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from flipbook.sums.nesting import CutPart, nest
from flipbook.sums.nesting_search import Job, Steps, fewest, laid_out, proofs

U120 = {
    "u120_00": (48, """42 69 67 57 93 90 38 36 45 42 33 79 27 57 44 84 86 92 46 38 85 33 82 73 49 70 59 23 57 72 74 69 33 42 28 46 30 64 29 74
        41 49 55 98 80 32 25 38 82 30 35 39 57 84 62 50 55 27 30 36 20 78 47 26 45 41 58 98 91 96 73 84 37 93 91 43 73 85 81 79
        71 80 76 83 41 78 70 23 42 87 43 84 60 55 49 78 73 62 36 44 94 69 32 96 70 84 58 78 25 80 58 66 83 24 98 60 42 43 43 39"""),
    "u120_01": (49, """97 57 81 62 75 81 23 43 50 38 60 58 70 88 36 90 37 45 45 39 44 53 70 24 82 81 47 97 35 65 74 68 49 55 52 94 95 29 99 20
        22 25 49 46 98 59 98 60 23 72 33 98 80 95 78 57 67 53 47 53 36 38 92 30 80 32 97 39 80 72 55 41 60 67 53 65 95 20 66 78
        98 47 100 85 53 53 67 27 22 61 43 52 76 64 61 29 30 46 79 66 27 79 98 90 22 75 57 67 36 70 99 48 43 45 71 100 88 48 27 39"""),
    "u120_02": (46, """38 100 60 42 20 69 24 23 92 32 84 36 65 84 34 68 64 33 69 27 47 21 85 88 59 61 50 53 37 75 64 84 74 57 83 28 31 97 61 36
        46 37 96 80 53 51 68 90 64 81 66 67 80 37 92 67 64 31 94 45 80 28 76 29 64 38 48 40 29 44 81 35 51 48 67 24 46 38 76 22
        30 67 45 41 29 41 79 21 25 90 62 34 73 50 79 66 59 42 90 79 70 66 80 35 62 98 97 37 32 75 91 91 48 26 23 32 100 46 29 26"""),
    "u120_03": (49, """29 26 83 82 92 95 87 63 57 100 63 65 81 46 42 95 90 80 53 27 84 40 22 97 20 73 63 95 46 42 47 40 26 88 49 24 92 87 68 95
        34 82 84 43 54 73 66 32 62 48 99 90 86 28 25 25 89 67 96 35 33 70 40 59 32 94 34 86 35 45 25 76 80 42 91 44 91 97 60 29
        45 37 61 54 78 56 74 74 45 21 96 37 75 100 58 84 85 56 54 71 52 79 43 35 27 70 31 47 35 26 30 97 90 80 58 60 73 46 71 39"""),
    "u120_08": (50, """100 22 25 51 95 58 97 30 79 23 53 80 20 65 64 21 26 100 81 98 70 85 92 97 86 71 91 29 63 34 67 23 33 89 94 47 100 37 40 58
        73 39 49 79 54 57 98 69 67 49 38 34 96 27 92 82 69 45 69 20 75 97 51 70 29 91 98 77 48 45 43 61 36 82 89 94 26 35 58 58
        57 46 44 91 49 52 65 42 33 60 37 57 91 52 95 84 72 75 89 81 67 74 87 60 32 76 85 59 62 39 64 52 88 45 29 88 85 54 40 57"""),
    "u120_19": (49, """49 95 38 62 63 97 42 62 100 43 44 77 97 94 68 23 50 36 89 58 97 27 64 65 54 58 24 35 33 63 32 50 58 90 44 50 48 21 72 75
        21 74 28 95 77 69 96 24 57 85 72 96 50 83 65 62 99 93 23 77 94 31 50 33 79 73 23 55 44 78 84 66 31 59 97 95 22 76 90 66
        29 100 90 92 50 49 47 43 37 40 60 52 54 99 34 46 88 97 85 39 32 51 95 54 99 86 48 90 28 25 86 39 74 26 38 60 41 67 80 33"""),
}  # fmt: skip

WIDTHS = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip


def nested(counted, stick, kerf=0, offcuts=()):
    parts = [CutPart(name=str(length), length=Fraction(length), count=count) for length, count in counted.items()]
    return nest(parts, stick=Fraction(stick), kerf=Fraction(kerf), offcuts=[Fraction(offcut) for offcut in offcuts])


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


lists = st.dictionaries(st.integers(11, 60), st.integers(1, 5), min_size=1, max_size=5)


@settings(max_examples=examples(120))
@given(lists, st.integers(60, 120), st.integers(0, 3), st.lists(st.integers(5, 70), max_size=3))
def test_no_plan_of_the_solver_has_fewer_sticks_and_ours_is_proved(counted, stick, kerf, offcuts):
    nesting = nested(counted, stick, kerf, offcuts)
    assert (nesting.new_sticks, nesting.is_least) == (fewest_by_highs(counted, stick, kerf, offcuts), True)


@pytest.mark.parametrize(
    ("counted", "stick", "kerf", "offcuts"),
    [
        ({24: 4}, 96, 0, []),
        ({34: 12, 9: 12}, 96, 1, [20, 40]),
        ({45: 7, 36: 9, 31: 8, 14: 6}, 100, 0, []),
        ({46: 3, 33: 4, 28: 6, 20: 5, 13: 5}, 96, 2, [31, 47, 47]),
        ({40: 3, 37: 3, 26: 3, 25: 3}, 100, 0, []),
        ({57: 1, 25: 3, 22: 1, 16: 1}, 60, 0, [130]),
    ],
)
def test_a_shop_list_takes_the_number_that_the_solver_says(counted, stick, kerf, offcuts):
    nesting = nested(counted, stick, kerf, offcuts)
    assert (nesting.new_sticks, nesting.is_least) == (fewest_by_highs(counted, stick, kerf, offcuts), True)


@pytest.mark.parametrize("name", U120)
def test_a_published_uniform_problem_is_cut_from_the_published_number_of_bins(name):
    published, text = U120[name]
    counted = Counter(map(int, text.split()))
    assert counted.total() == 120
    nesting = nested(counted, 150)
    assert (nesting.new_sticks, nesting.is_least) == (published, True)


def test_the_example_of_thirteen_widths_takes_seventy_three_rolls():
    nesting = nested(WIDTHS, 5600)
    assert (nesting.new_sticks, nesting.is_least) == (73, True)


def drawn(seed):
    """Whole numbers between two others, the same on every machine (a linear congruence)."""
    state = seed

    def between(low, high):
        nonlocal state
        state = (state * 1103515245 + 12345) % 2**31
        return low + (state >> 8) % (high - low + 1)

    return between


@pytest.mark.parametrize("seed", range(3))
def test_triplets_that_fill_their_bins_exactly_are_put_together_again(seed):
    between = drawn(seed)
    counted = Counter()
    for _ in range(20):
        first = between(380, 490)
        second = between(250, (1000 - first) // 2)
        counted.update((first, second, 1000 - first - second))
    nesting = nested(counted, 1000)
    assert nesting.least == 20, "the pieces fill twenty bins, so no bound may say more or less"
    assert nesting.new_sticks == 20
    assert not any(stick.offcut for stick in nesting.sticks)


@st.composite
def jobs(draw):
    counted = draw(st.dictionaries(st.integers(3, 40), st.integers(1, 4), min_size=1, max_size=5))
    lengths = tuple(sorted(counted, reverse=True))
    return Job(
        lengths=lengths,
        counts=tuple(counted[length] for length in lengths),
        stick=draw(st.integers(40, 90)),
        shelf=tuple(sorted(draw(st.lists(st.integers(1, 110), max_size=3)))),
    )


def heaviest(job, weights, room):
    every = (fill for fill in product(*(range(count + 1) for count in job.counts)) if job.in_all(fill) <= room)
    return max(sum(weight * number for weight, number in zip(weights, fill, strict=True)) for fill in every)


@settings(max_examples=examples(60))
@given(jobs())
def test_what_a_proof_says_that_sticks_hold_is_never_under_what_they_can(job):
    for proof in proofs(job):
        assert proof.weighs == sum(weight * count for weight, count in zip(proof.weights, job.counts, strict=True))
        assert proof.stick_holds >= heaviest(job, proof.weights, job.stick)
        assert proof.shelf_holds >= sum(heaviest(job, proof.weights, room) for room in job.shelf)


@given(jobs())
def test_a_plan_holds_every_piece_and_the_search_finds_none_with_a_stick_less(job):
    plan = fewest(job, 1_000_000)
    assert len(plan.sticks) == plan.least
    assert all(job.in_all(fill) <= room for fill, room in zip(plan.shelf, job.shelf, strict=True))
    assert all(job.in_all(fill) <= job.stick for fill in plan.sticks)
    assert tuple(map(sum, zip(*plan.shelf, *plan.sticks, strict=True))) == job.counts
    steps = Steps(1_000_000)
    assert laid_out(job, plan.least, steps) is not None
    if plan.least:
        assert laid_out(job, plan.least - 1, steps) is None
    assert steps.left > 0


def test_a_search_out_of_steps_settles_nothing():
    # By length 105 / 20 = 5.25: six may do, and a search of one step must not say that they do not.
    job = Job(lengths=(7, 5, 3), counts=(9, 6, 4), stick=20)
    steps = Steps(1)
    assert laid_out(job, 6, steps) is None
    assert steps.left <= 0
    assert fewest(job, 1).least == 6


@pytest.mark.parametrize(("sticks", "is_plan"), [(4, False), (5, True)])
def test_what_failed_with_fewer_sticks_left_is_tried_again_with_more(sticks, is_plan):
    # Seven pieces are over half a stick, and two of them fit on the shelf: five sticks, and the short ones lie beside.
    job = Job(lengths=(27, 26, 25, 17), counts=(1, 4, 2, 3), stick=49, shelf=(22, 32, 36))
    steps = Steps(1_000_000)
    assert (laid_out(job, sticks, steps) is not None) == is_plan
    assert steps.left > 0
