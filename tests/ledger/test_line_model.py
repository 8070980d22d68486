"""What is kept of each line and charge, whatever is given back, reduced, put right or exchanged."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Cancellation, Charge, Method, OrderAccount, OrderLine, Payment, Refund
from shopledger.ledger.refunds import RefundedLine, parts_of_lines
from shopledger.ledger.sharing import parts_of
from shopledger.optics.sides import Side
from tests.ledger.test_sharing import DAY, account_of, line

LENSES, FRAME, CASE, POST = 1, 2, 3, 4


def of_two_lenses(wearer: int | None, right: int, left: int, tax: int = 0) -> OrderLine:
    """A line of a pair of lenses, charged lens by lens."""
    charges = tuple(
        Charge(f"{side.value} lens", side, "V2100", net, 0, net)
        for side, net in ((Side.RIGHT, right), (Side.LEFT, left))
    )
    return replace(line(wearer, right + left, tax), charges=charges)


def whole(wearer: int | None, net: int, tax: int = 0, kind: LineKind = LineKind.FRAME) -> OrderLine:
    """A line of one charge."""
    return replace(line(wearer, net, tax, kind), charges=(Charge(kind.value, None, "", net, 0, net),))


def sold() -> OrderAccount:
    """Lenses of 64.98 and 64.97, a frame, a taxed case and shipping, all paid."""
    lines = [of_two_lenses(1, 6498, 6497), whole(1, 18000), whole(None, 1200, 87, LineKind.ACCESSORY)]
    return account_of([*lines, whole(None, 650, 0, LineKind.SHIPPING)], [32932])


def corrected(account: OrderAccount, kind: CorrectionKind, *lines: RefundedLine, number: int = 1) -> OrderAccount:
    """Give the order after a correction of lines."""
    parts = parts_of_lines(account, lines)
    new = Correction(7, DAY, kind, "agreed", after_payment=99, after_refund=99, parts=parts, number=number)
    return replace(account, corrections=(*account.corrections, new))


def refunded(account: OrderAccount, *lines: RefundedLine) -> OrderAccount:
    """Give the order after a refund."""
    number = len(account.refunds) + 1
    new = Refund(7, DAY, Method.CARD, "", "agreed", parts_of_lines(account, lines), number=number)
    return replace(account, refunds=(*account.refunds, new))


def test_what_one_lens_gives_back_is_taken_from_it_alone() -> None:
    """30.00 back on the left lens of 64.97: 34.97 is kept of it, the right one stands whole."""
    kept = kept_lines(refunded(sold(), RefundedLine(LENSES, 3000, side=Side.LEFT)))
    assert [(each.given_back, each.kept) for each in kept[0].charges] == [(0, 6498), (3000, 3497)]
    assert [each.given_back for each in kept[1:]] == [0, 0, 0]


def test_what_a_line_gives_back_is_shared_by_what_is_left_of_its_charges() -> None:
    """10.00 off the line, of which 64.98 and 34.97 are left: 6.50 and 3.50."""
    account = refunded(sold(), RefundedLine(LENSES, 3000, side=Side.LEFT))
    kept = kept_lines(corrected(account, CorrectionKind.REDUCED, RefundedLine(LENSES, 1000)))
    # 10.00 x 64.98 / 99.95 = 6.5012..., 10.00 x 34.97 / 99.95 = 3.4987...: worked out by hand.
    assert [each.given_back for each in kept[0].charges] == [650, 3350]


def test_a_lens_that_a_line_does_not_charge_is_refused() -> None:
    """A frame has no left lens."""
    with pytest.raises(RefusedError, match="lens is left; line 2, X, is not charged by that lens"):
        parts_of_lines(sold(), (RefundedLine(FRAME, 100, side=Side.LEFT),))


def test_a_line_and_one_of_its_lenses_are_not_named_together() -> None:
    """Which of the two would come first would matter."""
    with pytest.raises(RefusedError, match="twice on line 1"):
        parts_of_lines(sold(), (RefundedLine(LENSES, 100), RefundedLine(LENSES, 100, side=Side.LEFT)))


def test_both_lenses_of_a_line_may_be_named() -> None:
    """Each gives its own, and together the line's."""
    lines = (RefundedLine(LENSES, 100, side=Side.RIGHT), RefundedLine(LENSES, None, side=Side.LEFT))
    assert [part.net for part in parts_of_lines(sold(), lines)] == [100, 6497]


def test_only_what_was_taken_out_whole_as_a_mistake_leaves_the_papers() -> None:
    """A frame taken out is not shown; one that was reduced to nothing, or given back, is."""
    out = kept_lines(corrected(sold(), CorrectionKind.PUT_RIGHT, RefundedLine(FRAME)))
    reduced = kept_lines(corrected(sold(), CorrectionKind.REDUCED, RefundedLine(FRAME)))
    assert [each.put_right for each in out] == [False, True, False, False]
    assert not any(each.put_right for each in (*reduced, *kept_lines(refunded(sold(), RefundedLine(FRAME)))))


def test_of_a_cancelled_order_nothing_stands() -> None:
    """Each charge gave all back."""
    gone = replace(sold(), cancellation=Cancellation(7, DAY, "ordered twice"))
    assert [(each.kept, each.tax_kept, each.count) for each in kept_lines(gone)] == [(0, 0, 0)] * 4
    assert {charge.kept for each in kept_lines(gone) for charge in each.charges} == {0}


@dataclass(frozen=True)
class Step:
    """One thing that happens to an order, with numbers that choose among what is possible."""

    what: str
    pick: int
    share: int


STEPS = st.lists(
    st.builds(
        Step,
        st.sampled_from(["pay", "refund", "reduce", "put right", "exchange", "bounce", "win", "write off", "revive"]),
        st.integers(0, 1000),
        st.integers(1, 100),
    ),
    max_size=9,
)
LINES = st.lists(
    st.tuples(st.sampled_from([1, 2, None]), st.integers(0, 20000), st.integers(0, 20000), st.booleans()),
    min_size=1,
    max_size=4,
)


@given(LINES, st.integers(0, 900), STEPS)
def test_parts_and_lines_agree_whatever_happens(
    drawn: list[tuple[int | None, int, int, bool]], shipping: int, steps: list[Step]
) -> None:
    """Parts of all wearers add up to the order, none is below zero, and lines, charges and money tell one account."""
    lines = [
        of_two_lenses(who, right, left, (right + left) // 14) if two else whole(who, right, right // 14)
        for who, right, left, two in drawn
    ]
    account = account_of([*lines, whole(None, shipping, shipping // 14, LineKind.SHIPPING)], [])
    for step in steps:
        account = happened(account, step)
        parts, kept = parts_of(account), kept_lines(account)
        assert sum(part.balance for part in parts) == account.balance
        assert sum(part.paid for part in parts) == account.paid
        assert sum(part.refunded for part in parts) == account.refunded
        assert min(part.balance for part in parts) >= 0
        assert min(part.kept for part in parts) >= 0
        assert all(sum(charge.kept for charge in each.charges) == each.kept for each in kept)
        assert min(charge.kept for each in kept for charge in each.charges) >= 0
        stands = sum(each.kept + each.tax_kept for each in kept)
        assert stands == account.order.total - account.given_way - account.refunded
        assert stands - account.balance - account.written_off == account.paid - account.refunded
        for part in parts:
            mine = sum(
                each.kept + each.tax_kept
                for each in kept
                if each.line.wearer_number == part.wearer_number and each.line.kind is not LineKind.SHIPPING
            )
            way = part.share.given_way + part.refunded
            assert mine <= part.total - way <= mine + shipping + shipping // 14


def happened(account: OrderAccount, step: Step) -> OrderAccount:
    """Let something happen where it is possible; the order is as it was where it is not."""
    deed = {
        "pay": _pay,
        "refund": _refund,
        "reduce": _reduce,
        "put right": _replace,
        "exchange": _replace,
        "bounce": _bounce,
        "win": _win,
        "write off": _write_off,
        "revive": _revive,
    }[step.what]
    return deed(account, step)


def _new(account: OrderAccount, kind: CorrectionKind, **more: object) -> OrderAccount:
    last = max((each.number or 0 for each in account.payments), default=0)
    new = Correction(
        order_number=7,
        day=date(2026, 3, 2),
        kind=kind,
        reason="so",
        after_payment=last,
        after_refund=len(account.refunds),
        number=len(account.corrections) + 1,
        **more,  # type: ignore[arg-type]
    )
    return replace(account, corrections=(*account.corrections, new))


def _pay(account: OrderAccount, step: Step) -> OrderAccount:
    amount = account.balance * step.share // 100
    number = len(account.payments) + 1
    new = Payment(7, DAY, amount, Method.CARD, number=number)
    return replace(account, payments=(*account.payments, new)) if amount else account


def _line(account: OrderAccount, step: Step, share: int) -> RefundedLine:
    place = step.pick % len(account.order.lines)
    return RefundedLine(place + 1, kept_lines(account)[place].kept * share // 100)


def _refund(account: OrderAccount, step: Step) -> OrderAccount:
    parts = parts_of_lines(account, (_line(account, step, step.share),))
    if not any(part.net + part.tax for part in parts):
        return account
    new = Refund(7, DAY, Method.CARD, "", "so", parts, number=len(account.refunds) + 1)
    after = replace(account, refunds=(*account.refunds, new))
    return after if min(part.kept for part in parts_of(after)) >= 0 else account


def _reduce(account: OrderAccount, step: Step) -> OrderAccount:
    parts = parts_of_lines(account, (_line(account, step, step.share),))
    after = _new(account, CorrectionKind.REDUCED, parts=parts)
    return after if min(part.balance for part in parts_of(after)) >= 0 else account


def _replace(account: OrderAccount, step: Step) -> OrderAccount:
    """Take a line out whole and add it again, for another wearer perhaps; what was given back with money stays."""
    kind = CorrectionKind.PUT_RIGHT if step.what == "put right" else CorrectionKind.EXCHANGED
    if kind is CorrectionKind.PUT_RIGHT and any(each.kind is not kind for each in account.corrections):
        return account
    asked = _line(account, step, 100)
    old = account.order.lines[asked.line - 1]
    kept = kept_lines(account)[asked.line - 1]
    if old.kind is LineKind.SHIPPING or account.refunds or not kept.kept:
        return account
    who = old.wearer_number if kind is CorrectionKind.EXCHANGED else [1, 2, None][step.share % 3]
    again = replace(whole(who, kept.kept, kept.tax_kept), added_by=len(account.corrections) + 1)
    order = replace(account.order, lines=(*account.order.lines, again))
    parts = parts_of_lines(account, (asked,))
    return _new(replace(account, order=order), kind, parts=parts)


def _bounce(account: OrderAccount, step: Step) -> OrderAccount:
    standing = [each for each in account.payments if account.standing(each.number or 0)]
    if not standing:
        return account
    paid = standing[step.pick % len(standing)]
    amount = account.standing(paid.number or 0)
    after = _new(account, CorrectionKind.DISPUTED, payment_number=paid.number, amount=amount)
    return after if min(part.kept for part in parts_of(after)) >= 0 else account


def _win(account: OrderAccount, step: Step) -> OrderAccount:
    gone = [each for each in account.corrections if each.kind is CorrectionKind.DISPUTED]
    if not gone:
        return account
    lost = gone[step.pick % len(gone)]
    payment = next(each for each in account.payments if each.number == lost.payment_number)
    amount = min(payment.amount - account.standing(payment.number or 0), account.balance)
    if not amount:
        return account
    after = _new(account, CorrectionKind.DISPUTE_WON, payment_number=payment.number, amount=amount)
    return after if min(part.balance for part in parts_of(after)) >= 0 else account


def _write_off(account: OrderAccount, step: Step) -> OrderAccount:
    amount = account.balance * step.share // 100
    return _new(account, CorrectionKind.WRITTEN_OFF, amount=amount) if amount else account


def _revive(account: OrderAccount, step: Step) -> OrderAccount:
    amount = account.written_off * step.share // 100
    return _new(account, CorrectionKind.REVIVED, amount=amount) if amount else account


def test_a_part_below_nothing_is_refused() -> None:
    """Neither money nor goods go below zero."""
    with pytest.raises(RefusedError, match="less than nothing on line 1"):
        LinePart(1, -1, 0)


def test_what_cost_nothing_and_was_exchanged_is_shown_no_more() -> None:
    """Lenses that were included gave nothing back: what stands in their place is shown, and what cost something."""
    account = account_of([of_two_lenses(1, 0, 0), whole(1, 18000)], [18000])
    after = corrected(account, CorrectionKind.EXCHANGED, RefundedLine(1), RefundedLine(2))
    assert [each.put_right for each in kept_lines(after)] == [True, False]
