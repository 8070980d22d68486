"""Whatever is sold, paid, given back and put right: all papers of an order tell the same sums, to the cent."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypeAlias

from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.books.journal import EMPTY_HEAD
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.corrections import REVERSING, Correction, CorrectionKind
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.line_payments import moves_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import DemoLenses, Method, Order, OrderAccount, OrderLine, Pair, Payment
from shopledger.ledger.overtaken import overtaken
from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.papers.claim_worksheet import claim_worksheet
from shopledger.ledger.papers.order_facts import OrderFacts
from shopledger.ledger.papers.order_summary import order_confirmation
from shopledger.ledger.papers.year_statement import YearSums, year_statement
from shopledger.ledger.pricing import AccessoryGoods, FrameGoods, PairGoods, Sold, Terms, price_order
from shopledger.ledger.receipt import IssuedReceipt, ReceiptContent
from shopledger.ledger.receipt_making import receipt_content
from shopledger.ledger.refunds import RefundedLine, RefundRequest, parts_of_lines, plan_refund
from shopledger.ledger.settings import Settings
from shopledger.ledger.sharing import parts_of, sums_of
from shopledger.money.tax import TaxRounding
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.paperwork.order_papers import CONFIRMATION
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.statement import STATEMENT
from shopledger.paperwork.worksheet import WORKSHEET
from shopledger.paperwork.year import YEAR
from tests.ledger.papers.bought import ADULT, MADE, NAMES, PARTIES, PAYER, YOUNG
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, GRADUAL, HOME, INCLUDED, LARK, OHIO, SHADES, SHOP, SINGLE, WREN

FIRST = date(2025, 12, 1)
LAST = date(2028, 1, 1)
WEARERS = {1: ADULT, 2: YOUNG}


@st.composite
def orders(draw: st.DrawFn) -> Order:
    """Pairs of one wearer or two at any price, offers, goods of anybody's or nobody's, tax and shipping."""
    prices = st.integers(0, 30_000)
    pairs = tuple(
        PairGoods(
            position,
            draw(st.sampled_from([1, 2])),
            replace(draw(st.sampled_from([WREN, LARK])), price=draw(prices)),
            (Sold(replace(SINGLE, price=draw(prices))),) if single else (Sold(GRADUAL),),
            (Sold(replace(CLEAR, price=draw(prices))),) if draw(st.booleans()) else (),
            LensUse.DISTANCE if single else LensUse.MULTIFOCAL,
            MADE if draw(st.booleans()) else None,
        )
        for position, single in enumerate(draw(st.lists(st.booleans(), max_size=3)), start=1)
    )
    whose = st.sampled_from([1, 2, None])
    goods = st.builds(AccessoryGoods, st.sampled_from([CASE, SHADES]), st.integers(1, 3), whose)
    alone = st.builds(FrameGoods, st.just(WREN), st.just(DemoLenses.MARKED), whose)
    accessories = draw(st.lists(goods, min_size=not pairs, max_size=3))
    rounding = draw(st.sampled_from(TaxRounding))
    offers = draw(st.sampled_from([(), (INCLUDED,)]))
    terms = Terms(FIRST, "OH", offers, OHIO, Settings(tax_rounding=rounding), draw(st.integers(0, 1500)))
    lines = price_order(pairs, accessories, terms, draw(st.lists(alone, max_size=1)))
    made = tuple(
        Pair(
            each.position, each.wearer_number, each.frame.code, each.lenses[0].goods.code, each.use,
            prescription_number=8 if each.made else None, made=each.made, job_number=each.position,
        )
        for each in pairs
    )  # fmt: skip
    return Order(4, FIRST, HOME, made, lines, rounding, number=12)


@dataclass(frozen=True)
class Deed:
    """Something that happens to an order: which of its lines or payments, and how many hundredths of what there is."""

    kind: str
    at: int
    hundredths: int
    side: Side | None
    days: int


DEEDS = st.builds(
    Deed,
    st.sampled_from(["pay", "pay", "refund", "refund", "reduce", "exchange", "put right", "reverse", "won", "off"]),
    st.integers(0, 30),
    st.integers(1, 100) | st.just(100),
    st.sampled_from([None, None, *Side]),
    st.integers(0, 60),
)
Done: TypeAlias = OrderAccount | None


def pay(account: OrderAccount, deed: Deed, day: date) -> Done:
    """Take a part of what is owed."""
    amount = account.balance * deed.hundredths // 100
    number = len(account.payments) + 1
    paid = Payment(12, day, amount, Method.CARD, "4242", number=number)
    return replace(account, payments=(*account.payments, paid)) if amount > 0 else None


def refund(account: OrderAccount, deed: Deed, day: date) -> Done:
    """Give back a part of what is left of a line, or of one lens of it."""
    place = deed.at % len(account.order.lines) + 1
    left = kept_lines(account)[place - 1].kept
    net = None if deed.hundredths == 100 else left * deed.hundredths // 100
    asked = RefundRequest(Method.CARD, "why", (RefundedLine(place, net, side=deed.side),))
    given = replace(plan_refund(account, asked, day), number=len(account.refunds) + 1)
    return replace(account, refunds=(*account.refunds, given))


def corrected(account: OrderAccount, kind: CorrectionKind, day: date, *added: OrderLine, **more: object) -> Done:
    """Add a correction, in its place among payments and refunds; nobody's part may owe less than nothing by it."""
    number = len(account.corrections) + 1
    new = Correction(
        12, day, kind, "why", after_payment=len(account.payments), after_refund=len(account.refunds), number=number,
        **more,  # type: ignore[arg-type]
    )  # fmt: skip
    lines = (*account.order.lines, *(replace(line, added_by=number) for line in added))
    done = replace(account, order=replace(account.order, lines=lines), corrections=(*account.corrections, new))
    return done if all(part.balance >= 0 and part.kept >= 0 for part in parts_of(done)) else None


def of_lines(account: OrderAccount, deed: Deed, day: date) -> Done:
    """Reduce a line by a part of it, or take it out and put another in its place, cheaper or dearer by a little."""
    place = deed.at % len(account.order.lines) + 1
    line = account.order.lines[place - 1]
    if deed.kind == "reduce":
        left = kept_lines(account)[place - 1].kept
        asked = RefundedLine(place, left * deed.hundredths // 100, side=deed.side)
        return corrected(account, CorrectionKind.REDUCED, day, parts=parts_of_lines(account, (asked,)))
    kind = CorrectionKind.EXCHANGED if deed.kind == "exchange" else CorrectionKind.PUT_RIGHT
    if line.kind is LineKind.SHIPPING and kind is CorrectionKind.EXCHANGED:
        return None
    parts = parts_of_lines(account, (RefundedLine(place),))
    added = [] if deed.hundredths < 20 else [dearer(line, deed.hundredths)]
    return corrected(account, kind, day, *added, parts=parts)


def dearer(line: OrderLine, cents: int) -> OrderLine:
    """Give a line like another, with a first charge that costs some cents more."""
    first, *others = line.charges
    first = replace(first, list_price=first.list_price + cents, net=first.net + cents)
    return replace(line, list_price=line.list_price + cents, net=line.net + cents, charges=(first, *others))


def of_payments(account: OrderAccount, deed: Deed, day: date) -> Done:
    """Let a payment fall away, or come again after a dispute."""
    if not account.payments:
        return None
    payment = account.payments[deed.at % len(account.payments)]
    standing = account.standing(payment.number or 0)
    kinds = sorted(REVERSING, key=lambda kind: kind.value)
    kind = kinds[deed.at % len(kinds)] if deed.kind == "reverse" else CorrectionKind.DISPUTE_WON
    amount = standing if deed.kind == "reverse" else payment.amount - standing
    if amount <= 0:
        return None
    return corrected(account, kind, day, payment_number=payment.number, amount=amount)


def of_the_rest(account: OrderAccount, _deed: Deed, day: date) -> Done:
    """Write off what is owed, or owe it again."""
    if account.balance > 0:
        return corrected(account, CorrectionKind.WRITTEN_OFF, day, amount=account.balance)
    if account.written_off:
        return corrected(account, CorrectionKind.REVIVED, day, amount=account.written_off)
    return None


HOW: dict[str, Callable[[OrderAccount, Deed, date], Done]] = {
    "pay": pay,
    "refund": refund,
    **dict.fromkeys(("reduce", "exchange", "put right"), of_lines),
    **dict.fromkeys(("reverse", "won"), of_payments),
    "off": of_the_rest,
}


def lived(order: Order, deeds: list[Deed]) -> OrderAccount:
    """Let deeds happen one after another; what the rules refuse does not."""
    account, day = OrderAccount(order), FIRST
    for deed in deeds:
        day += timedelta(deed.days)
        try:
            account = HOW[deed.kind](account, deed, day) or account
        except RefusedError:
            continue
    return account


@given(orders(), st.lists(DEEDS, max_size=9), st.booleans())
def test_all_papers_of_an_order_agree(order: Order, deeds: list[Deed], rest: bool) -> None:
    """Kept sums over all receipts are what the shop kept, and statement, worksheet, year and screen say the same."""
    account = lived(order, deeds)
    if rest and account.balance > 0:
        account = pay(account, Deed("pay", 0, 100, None, 0), LAST) or account
    receipts = {part.wearer_number: receipt_of(account, part.wearer_number) for part in parts_of(account)}
    stands = account.order.total - account.given_way - account.refunded
    kept = sum(each.kept + each.tax_kept for each in kept_lines(account))
    summary = order_confirmation(OrderFacts(account, SHOP, PAYER, NAMES, LAST))
    CONFIRMATION.refuse(summary)
    assert sum(each.stands for each in receipts.values()) == kept == stands == summary.stands
    assert sum(each.kept for each in receipts.values()) == account.paid - account.refunded
    assert sum(each.balance for each in receipts.values()) == account.balance == summary.balance
    if not account.balance and not account.written_off:
        assert stands == account.paid - account.refunded
        assert all(each.paid_in_full for each in receipts.values())
    years = years_of(account)
    for wearer, receipt in receipts.items():
        assert_one_receipt(receipt)
        assert years.get(wearer, YearSums()).total == receipt.kept
        if receipt.paid_in_full:
            assert years.get(wearer, YearSums()) == sorted_by_kind(receipt)
        if wearer is not None:
            assert_for_a_plan(receipt)
    for part in parts_of(account):
        assert_line_by_line(account, part.wearer_number)


@given(orders(), st.lists(DEEDS, max_size=5), st.lists(DEEDS, max_size=3))
def test_a_receipt_that_is_not_overtaken_still_says_all(order: Order, before: list[Deed], after: list[Deed]) -> None:
    """Issued between any deeds, a receipt that would now say anything else of money is among those to be replaced."""
    there, now = lived(order, before), lived(order, [*before, *after])
    issued = [issued_to(there, part.wearer_number) for part in parts_of(there)]
    past = overtaken(issued, {12: sums_of(now)})
    for each in issued:
        if each.number not in past:
            assert of_money(receipt_of(now, each.wearer_number)) == of_money(each.content)


def issued_to(account: OrderAccount, wearer: int | None) -> IssuedReceipt:
    """Give a receipt as it is kept, numbered by whom it is for."""
    canonical = receipt_of(account, wearer).canonical()
    return IssuedReceipt(wearer or 9, 12, wearer, canonical, content_hash(canonical))


def of_money(content: ReceiptContent) -> tuple[object, ...]:
    """Give all that a receipt says of what stands of charges and money."""
    kept = content.shipping - content.shipping_back + content.tax - content.tax_back
    sums = kept, content.stands, content.written_off
    return content.lines, content.payments, content.refunds, content.paid, content.balance, sums


def receipt_of(account: OrderAccount, wearer: int | None) -> ReceiptContent:
    """Give the receipt of a part, whoever it is for."""
    part = next(part for part in parts_of(account) if part.wearer_number == wearer)
    return receipt_content(5, LAST, account, part, replace(PARTIES, wearer=WEARERS.get(wearer or 0)), EMPTY_HEAD)


def assert_one_receipt(receipt: ReceiptContent) -> None:
    """Nothing is negative, no line gives back more than it cost, and the paper's own sums hold."""
    RECEIPT.refuse(receipt)
    for line in receipt.lines:
        assert 0 <= line.given_back <= line.charge == line.list_price - line.reduction
    assert 0 <= receipt.shipping_back <= receipt.shipping
    assert 0 <= receipt.tax_back <= receipt.tax


def sorted_by_kind(receipt: ReceiptContent) -> YearSums:
    """Give what stands of a receipt, prescription eyewear apart from other goods."""
    eyewear = sum(line.kept for line in receipt.lines if line.eyewear)
    rest = receipt.shipping - receipt.shipping_back + receipt.tax - receipt.tax_back
    return YearSums(eyewear, sum(line.kept for line in receipt.lines) - eyewear, rest)


def years_of(account: OrderAccount) -> dict[int | None, YearSums]:
    """Give all years of the customer together, by wearer."""
    numbers = {CUSTOMER: 1, CHILD: 2, "": None}
    sums: dict[int | None, YearSums] = {}
    for year in range(FIRST.year, LAST.year + 1):
        said = year_statement(year, [account], SHOP, PAYER, {1: CUSTOMER, 2: CHILD}, made_on=LAST)
        YEAR.refuse(said)
        for each in said.wearers:
            number = numbers[each.name]
            sums[number] = sums.get(number, YearSums()).plus(each.sums)
    return sums


def assert_for_a_plan(receipt: ReceiptContent) -> None:
    """Statement and worksheet come to what stands; box 29 is box 28 where all is paid, and never more."""
    statement, worksheet = account_statement(receipt), claim_worksheet(receipt)
    STATEMENT.refuse(statement)
    WORKSHEET.refuse(worksheet)
    assert statement.total == worksheet.receipt_total == receipt.stands
    said = YearSums(statement.eyewear, statement.others, statement.shipping + statement.tax)
    assert said == sorted_by_kind(receipt)
    assert 0 <= worksheet.paid <= worksheet.total <= receipt.stands
    assert worksheet.paid == worksheet.total or not receipt.paid_in_full
    for form in worksheet.forms:
        assert form.total == sum(line.charge for line in form.lines)


def assert_line_by_line(account: OrderAccount, wearer: int | None) -> None:
    """Where a part is paid in full, what was paid on each line and not given back is what stands of it."""
    part = next(part for part in parts_of(account) if part.wearer_number == wearer)
    if part.balance or part.share.written_off:
        return
    moves = moves_of(account, part)
    lines = [
        each for each in kept_lines(account) if each.line in part.lines and each.line.kind is not LineKind.SHIPPING
    ]
    own = [each for each in lines if each.line.wearer_number == wearer]
    on_lines = [sum(move.amounts[place] for move in moves) for place in range(len(own))]
    assert on_lines == [each.kept for each in own]
