"""One order's money shared over its wearers."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.corrections import Correction, CorrectionKind
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method, Order, OrderAccount, OrderLine, Payment
from shopledger.ledger.parties import Address
from shopledger.ledger.sharing import OrderSums, PaymentSum, part_for, parts_of, shares_of
from shopledger.money.tax import TaxRounding

DAY = date(2026, 3, 2)
HOME = Address("4 Larkfield Row", "Milbrook", "OH", "44000")


def line(wearer: int | None, net: int, tax: int = 0, kind: LineKind = LineKind.LENSES) -> OrderLine:
    """A line of that net charge and tax for that wearer."""
    return OrderLine(
        kind=kind,
        item_code="X",
        description="X",
        list_price=net,
        reduction=0,
        net=net,
        tax_category=TaxCategory.ACCESSORY,
        reimbursement=Reimbursement.ELIGIBLE,
        reimbursement_reason="",
        tax=tax,
        wearer_number=wearer,
    )


def account_of(lines: list[OrderLine], payments: list[int]) -> OrderAccount:
    """An order of those lines, paid in those amounts."""
    order = Order(1, DAY, HOME, (), tuple(lines), TaxRounding.PER_LINE, number=7)
    return OrderAccount(order, tuple(Payment(7, DAY, amount, Method.CARD) for amount in payments))


def test_shipping_is_shared_in_proportion_to_charges() -> None:
    """9.00 shipping over charges of 200.00 and 100.00: 6.00 and 3.00."""
    account = account_of([line(1, 20000), line(2, 10000), line(None, 900, kind=LineKind.SHIPPING)], [])
    assert [part.shipping for part in parts_of(account)] == [600, 300]


def test_an_accessory_for_nobody_is_a_part_of_its_own() -> None:
    """It stands on no wearer's receipt, and its share of the payments neither."""
    account = account_of([line(1, 20000), line(None, 1000)], [21000])
    parts = {part.wearer_number: part for part in parts_of(account)}
    assert parts[1].paid == 20000
    assert parts[None].paid == 1000


def test_a_wearer_without_goods_has_no_part() -> None:
    """Nothing is made up for somebody who is not on the order."""
    assert part_for(account_of([line(1, 20000)], []), 2) is None


AMOUNTS = st.integers(0, 50_000)
LINES = st.lists(
    st.builds(line, st.sampled_from([1, 2, 3, None]), AMOUNTS, st.integers(0, 4000)), min_size=1, max_size=8
)


@given(LINES, AMOUNTS, st.lists(st.floats(0.0, 1.0), max_size=4), st.booleans())
def test_parts_add_up_and_clear_together(
    lines: list[OrderLine], shipping: int, cuts: list[float], in_full: bool
) -> None:
    """Totals and payments over all parts equal the order's; no part is overpaid; a paid order leaves no part owing."""
    whole = [*lines, line(None, shipping, kind=LineKind.SHIPPING)]
    owed = sum(each.net + each.tax for each in whole)
    payments: list[int] = []
    for cut in cuts:
        payments.append(int((owed - sum(payments)) * cut))
    if in_full:
        payments.append(owed - sum(payments))
    account = account_of(whole, [amount for amount in payments if amount])
    parts = parts_of(account)
    assert sum(part.total for part in parts) == account.order.total
    assert sum(part.paid for part in parts) == account.paid
    assert all(part.balance >= 0 for part in parts)
    assert all(share > 0 for part in parts for _, share in part.payments)
    if in_full:
        assert all(part.balance == 0 for part in parts)


@given(LINES, AMOUNTS, st.lists(st.floats(0.0, 1.0), min_size=1, max_size=4))
def test_what_moves_nothing_changes_no_share(lines: list[OrderLine], shipping: int, cuts: list[float]) -> None:
    """An order to which nothing but payments happened comes to the same as one with a dispute's end beside it."""
    whole = [*lines, line(None, shipping, kind=LineKind.SHIPPING)]
    rest = sum(each.net + each.tax for each in whole)
    payments: list[PaymentSum] = []
    for number, cut in enumerate(cuts, start=1):
        payments.append(PaymentSum(number, int(rest * cut)))
        rest -= payments[-1].amount
    lost = Correction(7, DAY, CorrectionKind.DISPUTE_LOST, "it stays away", 1, after_payment=len(cuts), number=1)
    beside = shares_of(OrderSums(whole, payments, corrections=(lost,)))
    assert shares_of(OrderSums(whole, payments)) == tuple(share._replace(corrections=()) for share in beside)
