"""Sharing: nothing is lost, nobody is a cent off, and a refund mirrors its sale."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shopledger.money.refusals import SplitError
from shopledger.money.split import share_rounded, split_by_weight, split_equally, split_over_lenses
from tests.strategies import SHOP_AMOUNTS

WEIGHTS = st.lists(st.integers(0, 1_000_000), min_size=1, max_size=12)


def test_a_package_price_is_shared_in_proportion_to_list_prices() -> None:
    """199.00 over list prices 200.00, 100.00 and 50.00 is 113.714…, 56.857… and 28.428…: the 56.857 is rounded up."""
    assert split_by_weight(19_900, [20_000, 10_000, 5_000]) == (11_371, 5_686, 2_843)


def test_a_tie_goes_to_the_earlier_share() -> None:
    """One cent over two equal weights falls to the first; over weights 1 and 3, two cents tie at a half as well."""
    assert split_by_weight(1, [5, 5]) == (1, 0)
    assert split_by_weight(2, [1, 3]) == (1, 1)
    assert split_by_weight(2, [3, 1]) == (2, 0)


def test_weights_that_are_all_zero_share_equally() -> None:
    """Where nothing has a list price, each part bears the same."""
    assert split_by_weight(100, [0, 0, 0]) == (34, 33, 33)


def test_nothing_over_no_shares_is_no_shares() -> None:
    """An empty order with nothing to share is no mistake."""
    assert split_by_weight(0, []) == ()


def test_an_amount_over_no_shares_is_refused() -> None:
    """Money that has nowhere to go would be lost."""
    with pytest.raises(SplitError, match="weights is empty; an amount needs something to be shared over"):
        split_by_weight(1, [])


def test_a_weight_below_zero_is_refused() -> None:
    """A share cannot weigh less than nothing."""
    with pytest.raises(SplitError, match="a weight is zero or more"):
        split_by_weight(100, [3, -1])


@pytest.mark.parametrize("n", [0, -2])
def test_fewer_than_one_equal_share_is_refused(n: int) -> None:
    """There is at least one share."""
    with pytest.raises(SplitError, match=f"number of shares is {n}; it is 1 or more"):
        split_equally(100, n)


def test_the_odd_cent_of_a_pair_goes_to_the_right_lens() -> None:
    """129.95 is 64.98 for the right and 64.97 for the left, and so is the refund of it."""
    assert split_over_lenses(12_995) == (6_498, 6_497)
    assert split_over_lenses(-12_995) == (-6_498, -6_497)
    assert split_over_lenses(12_000) == (6_000, 6_000)


@given(SHOP_AMOUNTS, WEIGHTS)
def test_shares_add_up_to_the_amount(amount: int, weights: list[int]) -> None:
    """No cent is lost and none is made, whatever the weights."""
    shares = split_by_weight(amount, weights)
    assert len(shares) == len(weights)
    assert sum(shares) == amount


@given(SHOP_AMOUNTS, WEIGHTS)
def test_no_share_is_a_whole_cent_from_its_exact_value(amount: int, weights: list[int]) -> None:
    """Each share is its exact value rounded to one of the two cents beside it; a weight of zero gets nothing."""
    assume(any(weights))
    for share, weight in zip(split_by_weight(amount, weights), weights, strict=True):
        assert abs(share - Fraction(amount * weight, sum(weights))) < 1


@given(SHOP_AMOUNTS, WEIGHTS)
def test_a_refund_is_shared_like_the_sale_it_undoes(amount: int, weights: list[int]) -> None:
    """Turning the amount's sign turns each share's sign and nothing else."""
    assert split_by_weight(-amount, weights) == tuple(-share for share in split_by_weight(amount, weights))


@given(SHOP_AMOUNTS, WEIGHTS, st.randoms(use_true_random=False))
def test_order_does_not_matter_where_nothing_ties(amount: int, weights: list[int], shuffle: random.Random) -> None:
    """Each weight keeps its share when the lines are put in another order, unless two lost exactly the same."""
    assume(any(weights))
    remainders = [abs(amount) * weight % sum(weights) for weight in weights]
    assume(len(set(remainders)) == len(remainders))
    places = list(range(len(weights)))
    shuffle.shuffle(places)
    shares = split_by_weight(amount, weights)
    assert split_by_weight(amount, [weights[place] for place in places]) == tuple(shares[place] for place in places)


@given(SHOP_AMOUNTS, st.integers(1, 50))
def test_equal_shares_differ_by_a_cent_at_most(amount: int, n: int) -> None:
    """The parts add up, the earlier ones are the larger in size, and no two are more than a cent apart."""
    sizes = [abs(share) for share in split_equally(amount, n)]
    assert sum(sizes) == abs(amount)
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] - sizes[-1] <= 1


@given(SHOP_AMOUNTS)
def test_right_and_left_make_the_pair(amount: int) -> None:
    """The two lenses add up to the price of the pair, the right never being the smaller in size."""
    right, left = split_over_lenses(amount)
    assert right + left == amount
    assert abs(right) - abs(left) in {0, 1}


@given(st.lists(st.integers(-10_000, 10_000), max_size=8), st.integers(1, 1_000))
def test_values_of_both_signs_round_to_their_rounded_sum(numerators: list[int], denominator: int) -> None:
    """Rounded shares sum to the rounded whole, and each stays next to its exact value."""
    total = round(Fraction(sum(numerators), denominator))
    shares = share_rounded(numerators, denominator, total)
    assert sum(shares) == total
    for share, numerator in zip(shares, numerators, strict=True):
        assert abs(share - Fraction(numerator, denominator)) < 1
