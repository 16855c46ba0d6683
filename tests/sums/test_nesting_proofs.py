"""What proves a number of sticks: weights, whatever they are, and the search through every plan."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flipbook.sums.nesting_search import complete, fewest
from flipbook.sums.nesting_weights import Job, Steps, heaviest, plain_weights, prove


def steps():
    return Steps(10**6)


@st.composite
def jobs(draw):
    counted = draw(st.dictionaries(st.integers(3, 40), st.integers(1, 4), min_size=1, max_size=5))
    lengths = tuple(sorted(counted, reverse=True))
    shelf = draw(st.lists(st.integers(1, 50), max_size=3))
    return Job(
        lengths=lengths,
        counts=tuple(counted[length] for length in lengths),
        stick=draw(st.integers(40, 90)),
        shelf=tuple(sorted(shelf)),
    )


def fills(job, room):
    every = product(*(range(count + 1) for count in job.counts))
    return [fill for fill in every if job.in_all(fill) <= room]


@settings(deadline=None)
@given(jobs(), st.data())
def test_the_heaviest_fill_is_the_heaviest_of_all_fills(job, data):
    weights = data.draw(st.tuples(*[st.integers(0, 9)] * len(job.lengths)))
    weight, fill = heaviest(job, weights, job.stick, steps())
    assert weight == max(sum(w * n for w, n in zip(weights, each, strict=True)) for each in fills(job, job.stick))
    assert fill in fills(job, job.stick)


@settings(deadline=None)
@given(jobs(), st.data())
def test_a_heaviest_fill_cut_short_is_never_under_the_true_weight(job, data):
    weights = data.draw(st.tuples(*[st.integers(0, 9)] * len(job.lengths)))
    short = heaviest(job, weights, job.stick, steps(), most_steps=1)[0]
    assert short >= heaviest(job, weights, job.stick, steps())[0]


@settings(deadline=None, max_examples=200)
@given(jobs(), st.data())
def test_no_weights_whatever_prove_more_sticks_than_a_plan_has(job, data):
    weights = data.draw(st.tuples(*[st.integers(0, 50)] * len(job.lengths)))
    found = fewest(job, 200_000)
    assert prove(job, weights, steps()).sticks <= len(found.plan.sticks)
    assert all(prove(job, each, steps()).sticks <= len(found.plan.sticks) for each in plain_weights(job))


@settings(deadline=None)
@given(jobs())
def test_the_search_through_every_plan_agrees_with_the_weights(job):
    found = fewest(job, 500_000)
    assert found.least == len(found.plan.sticks)
    plan, settled = complete(job, found.least, steps())
    assert settled
    assert plan is not None
    assert complete(job, found.least + 2, steps())[0] is not None
    if found.least:
        assert complete(job, found.least - 1, steps()) == (None, True)


def test_a_search_out_of_steps_settles_nothing():
    job = Job(lengths=(7, 5, 3), counts=(9, 9, 9), stick=20)
    assert complete(job, 7, Steps(1)) == (None, False)


@pytest.mark.parametrize("goal", [0, 1])
def test_more_than_there_is_room_for_is_settled_at_once(goal):
    job = Job(lengths=(30,), counts=(3,), stick=40)
    taken = steps()
    assert complete(job, goal, taken) == (None, True)
    assert taken.taken == 0


@pytest.mark.parametrize(("goal", "is_plan"), [(4, False), (5, True)])
def test_what_failed_with_fewer_sticks_left_is_tried_again_with_more(goal, is_plan):
    # Seven pieces are over half a stick, and two of them fit on the shelf: five sticks, and the short ones lie beside.
    job = Job(lengths=(27, 26, 25, 17), counts=(1, 4, 2, 3), stick=49, shelf=(22, 32, 36))
    plan, settled = complete(job, goal, steps())
    assert (plan is not None, settled) == (is_plan, True)
