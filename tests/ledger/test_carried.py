"""What payments carry of an order that is put right: exactly what the order does, whatever happened in between."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.carried import PaidShare, newest_share
from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method, Order, OrderAccount, OrderLine, Payment
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.tax import TaxRounding
from tests.shelf import HOME

DAY = date(2026, 3, 2)


def line(kind: LineKind, net: int, tax: int, imposed_on: ImposedOn = ImposedOn.BUYER) -> OrderLine:
    """Give a line of an order that is only a charge."""
    plan = Reimbursement.PLAN_DECIDES
    return OrderLine(kind, "X", "x", net, 0, net, TaxCategory.ACCESSORY, plan, "", tax=tax, tax_imposed_on=imposed_on)


def an_account(*lines: OrderLine) -> OrderAccount:
    """Give an order of these lines, on which nothing happened yet."""
    return OrderAccount(Order(1, DAY, HOME, (), lines, TaxRounding.PER_LINE, number=1))


SOLD = an_account(
    line(LineKind.ACCESSORY, 4_500, 326),
    line(LineKind.ACCESSORY, 1_200, 84, ImposedOn.SELLER),
    line(LineKind.SHIPPING, 650, 47),
)
"""63.50 with 3.73 of tax on the buyer and 0.84 on the seller: 68.07."""


def paid(account: OrderAccount, amount: int) -> OrderAccount:
    """Let so much be paid next."""
    number = len(account.payments) + 1
    payment = Payment(1, DAY, amount, Method.CARD, number=number)
    return replace(account, payments=(*account.payments, payment))


def corrected(account: OrderAccount, kind: CorrectionKind, **more: object) -> OrderAccount:
    """Let something be put right next."""
    number, last = len(account.corrections) + 1, len(account.payments)
    new = Correction(1, DAY, kind, "agreed", number=number, after_payment=last, **more)  # type: ignore[arg-type]  # fields of a correction
    return replace(account, corrections=(*account.corrections, new))


def test_the_first_correction_takes_what_the_formula_gave() -> None:
    """40.00 of 68.07 carries 2.19, 0.49 and 3.82 (373, 84 and 650 by 4000 of 6807); all of it falls away again."""
    account = corrected(paid(SOLD, 4_000), CorrectionKind.BOUNCED, payment_number=1, amount=4_000)
    assert newest_share(account, ()) == PaidShare(-219, -49, -382)


def test_an_order_put_right_carries_its_tax_as_it_is_now() -> None:
    """Paid whole, then the taxed goods are taken out for others without tax: what payments carry follows."""
    whole = paid(SOLD, 6_807)
    parts = (LinePart(1, 4_500, 326),)
    other = replace(line(LineKind.ACCESSORY, 4_826, 0), added_by=1)
    order = replace(whole.order, lines=(*whole.order.lines, other))
    account = corrected(replace(whole, order=order), CorrectionKind.PUT_RIGHT, parts=parts)
    assert newest_share(account, ()) == PaidShare(-326, 0, 0)


def test_an_order_of_which_all_gave_way_carries_nothing() -> None:
    """There is nothing to be in proportion to."""
    parts = tuple(LinePart(place, each.net, each.tax) for place, each in enumerate(SOLD.order.lines, start=1))
    assert not newest_share(corrected(SOLD, CorrectionKind.REDUCED, parts=parts), ())


EVENTS = st.lists(
    st.tuples(st.sampled_from(["pay", "back", "less", "more"]), st.integers(1, 6_807)), min_size=1, max_size=12
)


@given(events=EVENTS, before=st.integers(0, 3_000))
def test_all_shares_together_are_what_the_order_carries_once_it_is_paid(
    events: list[tuple[str, int]], before: int
) -> None:
    """Whatever fell away, gave way or came in: when nothing is owed, all shares come to the order's own sums."""
    account = paid(SOLD, before) if before else SOLD
    account = corrected(account, CorrectionKind.WRITTEN_OFF, amount=1)
    kept = [newest_share(account, ())]
    for what, amount in (*events, ("rest", 0)):
        happened = _next(account, what, amount)
        if happened is not account:
            account = happened
            kept.append(newest_share(account, kept))
    lines, parts = account.order.lines, [part for each in account.corrections for part in each.parts]

    def sums(imposed: ImposedOn) -> int:
        mine = [place for place, each in enumerate(lines, start=1) if each.tax_imposed_on is imposed]
        return sum(lines[place - 1].tax for place in mine) - sum(part.tax for part in parts if part.line in mine)

    first = _formula(before)
    assert sum(share.tax for share in kept) + first.tax == sums(ImposedOn.BUYER)
    assert sum(share.sellers_tax for share in kept) + first.sellers_tax == sums(ImposedOn.SELLER)
    assert sum(share.shipping for share in kept) + first.shipping == 650


def _formula(amount: int) -> PaidShare:
    """Give what a payment on the order as it was sold carries, rounded half up."""
    return PaidShare(*((2 * part * amount + 6_807) // (2 * 6_807) for part in (373, 84, 650)))


def _next(account: OrderAccount, what: str, amount: int) -> OrderAccount:
    """Let one more thing happen, as far as it can; `rest` pays all that stands owed and what was written off."""
    owed = account.order.total - account.given_way - account.paid
    if what in {"pay", "rest"}:
        due = owed if what == "rest" else min(amount, owed)
        return paid(account, due) if due else account
    if what == "back":
        standing = [(each.number or 0, account.standing(each.number or 0)) for each in account.payments]
        found = next(((number, left) for number, left in standing if left), None)
        if found is None:
            return account
        return corrected(account, CorrectionKind.DISPUTED, payment_number=found[0], amount=min(amount, found[1]))
    if what == "less":
        gone = sum(part.net for each in account.corrections for part in each.parts if part.line == 1)
        net = min(amount, 4_500 - gone, owed)
        taxed = 326 * (gone + net) // 4_500 - 326 * gone // 4_500
        if net <= 0 or net + taxed > owed:
            return account
        return corrected(account, CorrectionKind.REDUCED, parts=(LinePart(1, net, taxed),))
    number = len(account.corrections) + 1
    added = replace(line(LineKind.ACCESSORY, amount, amount * 7 // 100), added_by=number)
    order = replace(account.order, lines=(*account.order.lines, added))
    return corrected(replace(account, order=order), CorrectionKind.EXCHANGED)
