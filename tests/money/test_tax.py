"""Sales tax: per line and per order, each exact and mirrored in a refund."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from shopledger.money.rate import WHOLE
from shopledger.money.tax import TaxRounding, tax_on_lines

EIGHT_AND_SEVEN_EIGHTHS = 88_750
LINES = st.lists(st.tuples(st.integers(-1_000_000, 1_000_000), st.integers(0, 150_000)), max_size=10)


def test_per_line_each_tax_is_rounded_for_itself() -> None:
    """8.875 % of 1.00 is 0.08875, so three such lines are taxed 0.09 each."""
    lines = [(100, EIGHT_AND_SEVEN_EIGHTHS)] * 3
    assert tax_on_lines(lines, TaxRounding.PER_LINE) == (9, 9, 9)


def test_per_order_the_sum_is_rounded_once_and_shared() -> None:
    """The exact taxes sum to 26.625, 2.6625 and 1.33125 cents: 27, 3 and 1 cent, the last borne by the first line."""
    assert tax_on_lines([(100, EIGHT_AND_SEVEN_EIGHTHS)] * 3, TaxRounding.PER_ORDER) == (9, 9, 9)
    assert tax_on_lines([(10, EIGHT_AND_SEVEN_EIGHTHS)] * 3, TaxRounding.PER_ORDER) == (1, 1, 1)
    assert tax_on_lines([(5, EIGHT_AND_SEVEN_EIGHTHS)] * 3, TaxRounding.PER_ORDER) == (1, 0, 0)


def test_per_order_and_per_line_may_differ() -> None:
    """Three lines owing 0.44375 cents each round to nothing per line, and to one cent per order."""
    lines = [(5, EIGHT_AND_SEVEN_EIGHTHS)] * 3
    assert sum(tax_on_lines(lines, TaxRounding.PER_LINE)) == 0
    assert sum(tax_on_lines(lines, TaxRounding.PER_ORDER)) == 1


def test_an_untaxed_line_bears_no_tax_of_the_others() -> None:
    """A line at rate zero stays at zero however the order's cents fall."""
    lines = [(19_900, 0), (1_005, 62_500), (1_005, 62_500)]
    assert tax_on_lines(lines, TaxRounding.PER_ORDER) == (0, 63, 63)


def test_an_order_without_lines_owes_nothing() -> None:
    """No lines, no tax, either way."""
    assert tax_on_lines([], TaxRounding.PER_LINE) == ()
    assert tax_on_lines([], TaxRounding.PER_ORDER) == ()


@given(LINES)
def test_per_order_the_lines_add_up_to_the_exact_sum_rounded_once(lines: list[tuple[int, int]]) -> None:
    """The order's tax is within half a cent of the exact tax of all lines."""
    exact = sum((Fraction(net * rate, WHOLE) for net, rate in lines), start=Fraction(0))
    assert abs(sum(tax_on_lines(lines, TaxRounding.PER_ORDER)) - exact) <= Fraction(1, 2)


@given(LINES, st.sampled_from(TaxRounding))
def test_no_line_is_a_whole_cent_from_its_exact_tax(lines: list[tuple[int, int]], rounding: TaxRounding) -> None:
    """Either way, each line's tax is one of the two cents beside the exact one."""
    for tax, (net, rate) in zip(tax_on_lines(lines, rounding), lines, strict=True):
        assert abs(tax - Fraction(net * rate, WHOLE)) < 1


@given(LINES, st.sampled_from(TaxRounding))
def test_a_refund_gives_back_each_line_s_tax(lines: list[tuple[int, int]], rounding: TaxRounding) -> None:
    """Turning every net charge's sign turns every tax's sign and nothing else."""
    turned = tax_on_lines([(-net, rate) for net, rate in lines], rounding)
    assert turned == tuple(-tax for tax in tax_on_lines(lines, rounding))


@given(LINES)
def test_per_line_a_line_s_tax_does_not_depend_on_its_neighbours(lines: list[tuple[int, int]]) -> None:
    """Reversing the lines reverses the taxes."""
    forward = tax_on_lines(lines, TaxRounding.PER_LINE)
    assert tax_on_lines(lines[::-1], TaxRounding.PER_LINE) == forward[::-1]
