"""When lines count as sold: with their goods, piece by piece, and never what was given up before they left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.earning import (
    Earned,
    added_up,
    coming_back,
    earned_amounts,
    giving_up,
    leaving,
    put_off,
    waiting_no_longer,
)
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method, OrderAccount, OrderLine, Pair, Refund
from shopledger.ledger.parcels import Parcel, ParcelItem, ParcelReturn
from shopledger.ledger.refunds import RefundedLine, parts_of_lines
from shopledger.ledger.shipping import count_here
from shopledger.ledger.taxes import ImposedOn
from shopledger.optics.prescription import LensUse
from tests.ledger.test_sharing import DAY, HOME, account_of, line

CASES, POST = 1, 2
JOB: Final = 31


def cases(count: int, listed: int, net: int, tax: int = 0) -> OrderLine:
    """A line of so many cases."""
    made = replace(line(None, net, tax, LineKind.ACCESSORY), quantity=count)
    return replace(made, list_price=listed, reduction=listed - net)


def post(net: int, tax: int = 0) -> OrderLine:
    """A line of shipping."""
    return line(None, net, tax, LineKind.SHIPPING)


@dataclass
class Story:
    """What happens to an order, one thing after another, and what counts of it by then."""

    account: OrderAccount
    standing: Mapping[int, Earned] = field(default_factory=dict)
    of_parcels: dict[int, tuple[Earned, ...]] = field(default_factory=dict)

    def counted(self, rows: tuple[Earned, ...]) -> tuple[Earned, ...]:
        """Add rows to what counts."""
        self.standing = added_up(rows, self.standing)
        return rows

    def sent(self, count: int = 0, *jobs: int, place: int = CASES) -> tuple[Earned, ...]:
        """Let a parcel leave with so many pieces of a line, and jobs; gives what counts since."""
        items = (*(ParcelItem(job=job) for job in jobs), *((ParcelItem(None, place, count),) if count else ()))
        number = len(self.account.parcels) + 1
        parcel = Parcel(7, DAY, HOME, "post", items=items, number=number)
        rows = leaving(self.account, parcel, self.standing)
        self.of_parcels[number] = rows
        self.account = replace(self.account, parcels=(*self.account.parcels, parcel))
        return self.counted(rows)

    def came_back(self, number: int = 1) -> tuple[Earned, ...]:
        """Let a parcel come back; gives what counts no longer."""
        parcels = tuple(
            replace(each, came_back=ParcelReturn(number, DAY, "nobody at home")) if each.number == number else each
            for each in self.account.parcels
        )
        self.account = replace(self.account, parcels=parcels)
        return self.counted(coming_back(self.account, self.of_parcels[number], self.standing))

    def refunded(self, *asked: RefundedLine) -> tuple[Earned, ...]:
        """Give money back on lines; gives what that changes of what counts."""
        parts = parts_of_lines(self.account, asked)
        rows = self.counted(giving_up(self.account, parts, self.standing))
        number = len(self.account.refunds) + 1
        refund = Refund(7, DAY, Method.CARD, "", "agreed", parts, number=number)
        self.account = replace(self.account, refunds=(*self.account.refunds, refund))
        return (*rows, *self.counted(waiting_no_longer(self.account, self.standing)))

    def corrected(
        self, kind: CorrectionKind, *parts: LinePart, added: tuple[OrderLine, ...] = ()
    ) -> tuple[Earned, ...]:
        """Put lines right; gives what that changes of what counts."""
        never_sold = kind is CorrectionKind.PUT_RIGHT
        rows = self.counted(giving_up(self.account, parts, self.standing, never_sold=never_sold))
        number = len(self.account.corrections) + 1
        new = Correction(7, DAY, kind, "agreed", after_payment=99, after_refund=99, parts=parts, number=number)
        lines = (*self.account.order.lines, *(replace(each, added_by=number) for each in added))
        order = replace(self.account.order, lines=lines)
        self.account = replace(self.account, order=order, corrections=(*self.account.corrections, new))
        return (*rows, *self.counted(waiting_no_longer(self.account, self.standing)))


def test_pieces_count_in_proportion_and_add_up() -> None:
    """Of three cases at 10.00 with 0.73 tax one leaves: 3.33 and 0.24; the two others bring the rest, to the cent."""
    # 1000 / 3 = 333.3 and 73 / 3 = 24.3: the largest remainders go to the two that stay.
    story = Story(account_of([cases(3, 1000, 1000, 73), post(650)], []))
    assert story.sent(1) == (Earned(CASES, 1, 333, 333, 24), Earned(POST, 1, 650, 650, 0))
    assert story.sent(2) == (Earned(CASES, 2, 667, 667, 49),)


def test_an_offer_counts_with_the_pieces_it_is_on() -> None:
    """Two cases listed at 20.00 for 15.00: each is listed at 10.00 and counts 7.50."""
    story = Story(account_of([cases(2, 2000, 1500)], []))
    assert story.sent(1) == (Earned(CASES, 1, 1000, 750),)
    assert story.sent(1) == (Earned(CASES, 1, 1000, 750),)


def test_what_is_given_up_before_it_left_was_never_sold() -> None:
    """Listed at 100.00 for 80.00, half of it reduced before: 40.00 count, listed at 50.00; nothing is a return."""
    story = Story(account_of([cases(1, 10000, 8000, 560)], []))
    assert story.corrected(CorrectionKind.REDUCED, LinePart(CASES, 4000, 280)) == ()
    assert story.sent(1) == (Earned(CASES, 1, 5000, 4000, 280),)


def test_what_is_given_back_afterwards_is_a_return() -> None:
    """25.00 of the 80.00 that left, with its proportion of the tax: 560 * 25 / 80 = 175."""
    story = Story(account_of([cases(1, 10000, 8000, 560)], []))
    story.sent(1)
    assert story.refunded(RefundedLine(CASES, 2500)) == (Earned(CASES, net_back=2500, tax_back=175),)


def test_what_did_not_leave_gives_first() -> None:
    """Of two cases at 10.00 each one left; of 12.00 given back 10.00 never counted, and 2.00 is a return."""
    story = Story(account_of([cases(2, 2000, 2000, 200)], []))
    story.sent(1)
    assert story.refunded(RefundedLine(CASES, 1200)) == (Earned(CASES, net_back=200, tax_back=20),)
    assert story.sent(1) == (Earned(CASES, 1),)
    assert story.standing[CASES] == Earned(CASES, 2, 1000, 1000, 100, 200, 20)


def test_what_the_shop_keeps_of_goods_it_does_not_send_counts_at_once() -> None:
    """A case at 10.00 is not wanted any more and 8.00 given back: the 2.00 kept wait for nothing."""
    story = Story(account_of([cases(1, 1000, 1000)], []))
    assert story.refunded(RefundedLine(CASES, 800, 1)) == (Earned(CASES, 0, 200, 200),)


def test_a_parcel_that_comes_back_counts_no_longer_and_again_when_it_leaves() -> None:
    """All of it is taken back, shipping too; what was given up meanwhile was then given up before it counts."""
    story = Story(account_of([cases(1, 1000, 1000, 70), post(500)], []))
    story.sent(1)
    story.refunded(RefundedLine(CASES, 400))
    assert story.came_back() == (Earned(CASES, -1, -1000, -1000, -70, -400, -28), Earned(POST, -1, -500, -500))
    assert story.sent(1) == (Earned(CASES, 1, 600, 600, 42), Earned(POST, 1, 500, 500))


def test_shipping_stays_counted_while_another_parcel_is_away() -> None:
    """Of two parcels one comes back: its case counts no longer, the shipping does."""
    story = Story(account_of([cases(2, 2000, 2000), post(500)], []))
    story.sent(1)
    story.sent(1)
    assert story.came_back(1) == (Earned(CASES, -1, -1000, -1000),)
    assert story.came_back(2) == (Earned(CASES, -1, -1000, -1000), Earned(POST, -1, -500, -500))


def with_pair(*lines: OrderLine) -> OrderAccount:
    """Give an order with one job."""
    account = account_of([replace(each, pair=1) for each in lines] + [post(500)], [])
    pair = Pair(1, 1, "WREN", "SV", LensUse.DISTANCE, job_number=JOB)
    return replace(account, order=replace(account.order, pairs=(pair,)))


def test_glasses_count_whole_with_their_job() -> None:
    """Frame, lenses included for nothing, and a coating: all of the pair's lines with the job, none before."""
    free = replace(line(1, 0), list_price=8000, reduction=8000)
    story = Story(with_pair(line(1, 18000, kind=LineKind.FRAME), free, line(1, 4000, kind=LineKind.EXTRA)))
    assert waiting_no_longer(story.account, {}) == ()
    assert story.sent(0, JOB) == (
        Earned(1, 1, 18000, 18000), Earned(2, 1, 8000, 0), Earned(3, 1, 4000, 4000), Earned(4, 1, 500, 500),
    )  # fmt: skip


def test_a_charge_for_a_payment_sent_back_counts_at_once() -> None:
    """It is owed for something that happened, and waits for no goods."""
    story = Story(account_of([cases(1, 1000, 1000)], []))
    fee = line(None, 2500, kind=LineKind.EXTRA)
    assert story.corrected(CorrectionKind.CHARGED, added=(fee,)) == (Earned(2, 1, 2500, 2500),)


def test_what_is_exchanged_is_a_return_and_the_new_goods_count_when_they_leave() -> None:
    """A case for 12.00 that left is exchanged for one at 30.00."""
    story = Story(account_of([cases(1, 1200, 1200), post(500)], []))
    story.sent(1)
    new = cases(1, 3000, 3000)
    rows = story.corrected(CorrectionKind.EXCHANGED, LinePart(CASES, 1200, 0, 1), added=(new,))
    assert rows == (Earned(CASES, net_back=1200),)
    assert story.sent(1, place=3) == (Earned(3, 1, 3000, 3000),)


def test_what_was_never_sold_leaves_the_sales_again() -> None:
    """Of an order that counted when it was recorded, what is put right is no return."""
    story = Story(account_of([cases(1, 1000, 1000, 70)], []), {CASES: Earned(CASES, 1, 1000, 1000, 70)})
    rows = story.corrected(CorrectionKind.PUT_RIGHT, LinePart(CASES, 300, 21))
    assert rows == (Earned(CASES, 0, -300, -300, -21),)


def test_an_order_of_before_is_put_off_as_far_as_it_did_not_leave() -> None:
    """Of three cases that counted one left: two thirds of 10.00 and of 0.73 are put off, and the shipping stays."""
    # 1000 * 2 / 3 = 666.7 and 73 * 2 / 3 = 48.7: the largest remainder goes to what is put off.
    counted = {CASES: Earned(CASES, 3, 1000, 1000, 73), POST: Earned(POST, 1, 650, 650)}
    story = Story(account_of([cases(3, 1000, 1000, 73), post(650)], []), counted)
    story.sent(1)
    assert story.standing == counted
    assert story.counted(put_off(story.account, story.standing)) == (Earned(CASES, -2, -667, -667, -49),)
    assert story.sent(2) == (Earned(CASES, 2, 667, 667, 49),)


def test_an_order_of_before_of_which_nothing_left_is_put_off_whole() -> None:
    """With what was given up of it, which counted as returns."""
    counted = {CASES: Earned(CASES, 1, 1000, 1000, 70, 300, 21)}
    story = Story(account_of([cases(1, 1000, 1000, 70)], []))
    story.refunded(RefundedLine(CASES, 300))
    story.standing = counted
    assert story.counted(put_off(story.account, counted)) == (Earned(CASES, -1, -1000, -1000, -70, -300, -21),)
    assert story.sent(1) == (Earned(CASES, 1, 700, 700, 49),)


def test_the_amounts_of_an_entry_are_told_apart_by_the_lines() -> None:
    """Goods at list price less offers, shipping by itself, tax laid on the seller twice."""
    lines = [cases(1, 1000, 800, 56), replace(post(500, 35), tax_imposed_on=ImposedOn.SELLER)]
    rows = (Earned(1, 1, 1000, 800, 56, 100, 7), Earned(2, 1, 500, 500, 35, 50, 3))
    assert earned_amounts(lines, rows) == {
        "charged": 749 + 482, "offers": 200, "listed": 1000, "shipping": 500, "tax": 91, "sellers_tax": 35,
        "net_back": 150, "tax_back": 10, "sellers_tax_back": 3,
    }  # fmt: skip


def _happen(story: Story, what: str, pick: int, place: int) -> None:
    """Let something happen to a line, if it can."""
    kept = kept_lines(story.account)[place - 1]
    here = count_here(story.account, kept)
    away = [parcel for parcel in story.account.parcels if parcel.came_back is None]
    if what == "send" and here:
        story.sent(1 + pick % here, place=place)
    elif what == "back" and away:
        story.came_back(away[pick % len(away)].number or 0)
    elif what == "refund" and kept.kept:
        story.refunded(RefundedLine(place, max(1, kept.kept * (pick % 4) // 3), min(pick % 2, kept.count)))
    elif what == "reduce" and kept.kept:
        parts = parts_of_lines(story.account, (RefundedLine(place, max(1, kept.kept // 2)),))
        story.corrected(CorrectionKind.REDUCED, *parts)


LINES = st.lists(
    st.builds(
        lambda count, net, offer, tax: cases(count, net + offer, net, tax),
        st.integers(1, 4),
        st.integers(0, 5000),
        st.sampled_from([0, 0, 700]),
        st.integers(0, 300),
    ),
    min_size=1,
    max_size=3,
)
EVENTS = st.lists(st.tuples(st.sampled_from(["send", "back", "refund", "reduce"]), st.integers(0, 99)), max_size=12)


@given(LINES, st.integers(0, 900), EVENTS)
def test_whatever_happens_never_more_counts_than_stands(
    lines: list[OrderLine], shipping: int, events: list[tuple[str, int]]
) -> None:
    """Of each line between nothing and what stands of it counts, and once all left exactly that."""
    story = Story(account_of([*lines, post(shipping, shipping // 13)], []))
    for what, pick in events:
        _happen(story, what, pick, pick % len(lines) + 1)
        for each in kept_lines(story.account):
            counts = story.standing.get(each.place, Earned(each.place))
            assert 0 <= counts.stands <= each.kept
            assert 0 <= counts.tax_stands <= each.tax_kept
            assert counts.net_back >= 0
            assert counts.tax_back >= 0
            assert counts.listed >= counts.net
    for place in range(1, len(lines) + 1):
        here = count_here(story.account, kept_lines(story.account)[place - 1])
        if here:
            story.sent(here, place=place)
    if any(parcel.came_back is None for parcel in story.account.parcels):
        for each in kept_lines(story.account):
            counts = story.standing.get(each.place, Earned(each.place))
            assert (counts.stands, counts.tax_stands) == (each.kept, each.tax_kept)
