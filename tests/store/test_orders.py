"""Orders, payments, parcels, drafts and receipts: numbered without gaps, found again, and told together."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.errors import StoreError
from shopledger.ledger.again import Again, RemakeCause
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.orders import Making, Method, OrderAccount, OwnLens, Payment
from shopledger.ledger.parcels import OrderAddress, ParcelReturn
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.receipt import IssuedReceipt
from shopledger.optics.prescription import Prescription
from shopledger.optics.sides import Side
from shopledger.store.opening import Ledger
from shopledger.store.refusals import DuplicateError, NumberUnknownError, RuleRefusedError
from tests.parcels import whole_parcel
from tests.shelf import CLEAR, HOME, LARK, SINGLE, WREN
from tests.store.samples import ADULT, DAY, MINOR, NOW, OPERATOR, POWERS, an_order


def test_orders_and_jobs_count_up_without_gaps_across_failures(furnished: Ledger) -> None:
    """A sale that fails gives its numbers back, and the next one takes them."""
    with furnished.writing(OPERATOR, NOW) as work:
        assert work.orders.add(an_order()).number == 1

    def fails() -> None:
        with furnished.writing(OPERATOR, NOW) as work:
            assert work.orders.add(an_order()).number == 2
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fails()
    with furnished.writing(OPERATOR, NOW) as work:
        again = work.orders.add(an_order())
    assert again.number == 2
    assert [pair.job_number for pair in again.pairs] == [3, 4]


def test_an_account_tells_payments_and_parcels(furnished: Ledger) -> None:
    """What was paid and when it left stand beside the order, and the balance follows."""
    with furnished.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        assert work.orders.account(1) == OrderAccount(order)
        first = work.payments.add(Payment(1, DAY, 10_000, Method.CARD, "4242"))
        second = work.payments.add(Payment(1, DAY, 500, Method.CASH))
        left = work.parcels.add(whole_parcel(order, DAY, "by post", "A-1"))
        account = work.orders.account(1)
    assert account == OrderAccount(order, (first, second), (left,))
    assert (first.number, second.number) == (1, 2)
    assert account.balance == order.total - 10_500


def test_a_parcel_comes_back_once_and_is_sent_again_once(furnished: Ledger) -> None:
    """It reads back with its content, its return and the parcel it was before; a second of either is refused."""
    with furnished.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        left = work.parcels.add(whole_parcel(order, DAY, "by post"))
        back = work.parcels.bring_back(ParcelReturn(1, DAY, "moved away"))
        again = work.parcels.add(replace(left, again_of=1, carrier="by courier"))
        assert work.parcels.of_orders([1])[1] == (replace(left, came_back=back), again)
        assert work.parcels.recent(1) == (again,)
        assert work.orders.account(1).away == (again,)
    with pytest.raises(StoreError), furnished.writing(OPERATOR, NOW) as work:
        work.parcels.bring_back(ParcelReturn(1, DAY, "moved again"))
    with pytest.raises(StoreError), furnished.writing(OPERATOR, NOW) as work:
        work.parcels.add(replace(again, again_of=1))
    with pytest.raises(NumberUnknownError), furnished.reading() as work:
        work.parcels.get(9)


def test_where_an_order_goes_is_what_was_said_last(furnished: Ledger) -> None:
    """The address of the order itself stays; each correction is kept."""
    with furnished.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        first, last = (replace(HOME, street=street) for street in ("9 New Street", "11 New Street"))
        said = [work.parcels.send_to(OrderAddress(1, DAY, where, "moved")) for where in (first, last)]
        account = work.orders.account(1)
        assert (account.order.ship_to, account.ship_to, account.addresses) == (HOME, last, tuple(said))
        assert account.order == order


def test_orders_are_listed_newest_first(furnished: Ledger) -> None:
    """A customer's own orders, or all, and no more than asked for."""
    with furnished.writing(OPERATOR, NOW) as work:
        other = work.customers.add(replace(work.customers.get(1), name="Other", number=None))
        for customer in (1, 1, other.number or 0):
            work.orders.add(replace(an_order(), customer_number=customer))
        assert [order.number for order in work.orders.recent(10)] == [3, 2, 1]
        assert [order.number for order in work.orders.recent(1)] == [3]
        assert [order.number for order in work.orders.of_customer(1, 10)] == [2, 1]


def test_a_pair_is_found_by_its_job_number_and_as_the_wearer_s_last(furnished: Ledger) -> None:
    """The last pair is the newest of the wearer, in a frame if one is named."""
    with furnished.writing(OPERATOR, NOW) as work:
        first, second = work.orders.add(an_order()), work.orders.add(an_order())
        assert work.orders.pair(2) == (first, first.pairs[1])
        assert work.orders.last_pair(ADULT) == (second, second.pairs[0])
        assert work.orders.last_pair(ADULT, WREN.code) == (second, second.pairs[0])
        assert work.orders.last_pair(MINOR, LARK.code) == (second, second.pairs[1])
        assert work.orders.last_pair(ADULT, LARK.code) is None


def test_the_newest_prescription_is_that_of_the_day(furnished: Ledger) -> None:
    """By the day of writing, and of two of one day the later recorded."""
    with furnished.writing(OPERATOR, NOW) as work:
        for day in (date(2026, 2, 1), date(2024, 2, 1), date(2026, 2, 1)):
            work.prescriptions.add(WrittenPrescription(MINOR, 1, POWERS, day))
        newest = work.prescriptions.newest
        assert [each.number for each in work.prescriptions.of_wearer(MINOR)] == [3, 2, 4]
        for on, number in ((None, 4), (date(2026, 2, 1), 4), (date(2026, 1, 31), 3)):
            found = newest(MINOR, on)
            assert found is not None
            assert found.number == number
        assert newest(MINOR, date(2024, 1, 31)) is None


def test_an_order_for_nobody_is_refused_by_the_database(furnished: Ledger) -> None:
    """A customer, frame or lens that is not there cannot be sold to or sold."""
    with pytest.raises(RuleRefusedError), furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(replace(an_order(), customer_number=99))


def test_a_draft_is_open_until_it_becomes_an_order(furnished: Ledger) -> None:
    """It becomes one order and no second one."""
    with furnished.writing(OPERATOR, NOW) as work:
        number = work.drafts.add(1, DAY, "new lenses", 'customer = "1"\n')
        draft = work.drafts.get(number)
        assert (draft.body, draft.reason, draft.day, draft.order_number) == (
            'customer = "1"\n',
            "new lenses",
            DAY,
            None,
        )
        assert work.drafts.open() == (draft,)
        work.orders.add(an_order())
        work.drafts.mark_recorded(number, 1)
        assert work.drafts.open() == ()
        assert work.drafts.get(number).order_number == 1
        with pytest.raises(DuplicateError):
            work.drafts.mark_recorded(number, 1)


def a_receipt(number: int) -> IssuedReceipt:
    """Give a receipt of order 1 with some content."""
    canonical = f'{{"number":{number},"wearer":"José"}}'
    return IssuedReceipt(number, 1, ADULT, canonical, content_hash(canonical))


def test_a_receipt_is_kept_letter_by_letter_through_its_life(furnished: Ledger) -> None:
    """Issued, printed, printed again, replaced by a later one: the content never moves."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        first = work.receipts.add(a_receipt(work.receipts.next_number()))
        assert work.receipts.get(1) == first
        assert [work.receipts.record_print(1, DAY) for _ in range(3)] == [1, 2, 3]
        assert work.receipts.get(1) == replace(first, prints=3)
        second = work.receipts.add(a_receipt(work.receipts.next_number()), replaces=1)
        assert work.receipts.of_order(1) == (
            replace(first, prints=3, replaced_by=2, replaced_because="paid in full since"),
            second,
        )
        assert [each.number for each in work.receipts.recent(10)] == [2, 1]
        assert [each.number for each in work.receipts.recent(1)] == [2]
        assert content_hash(work.receipts.get(1).canonical) == first.sha256


def test_a_receipt_is_replaced_once(furnished: Ledger) -> None:
    """A second replacement of the same receipt is refused."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        for replaces in (None, 1):
            work.receipts.add(a_receipt(work.receipts.next_number()), replaces=replaces)
    with pytest.raises(StoreError), furnished.writing(OPERATOR, NOW) as work:
        work.receipts.add(a_receipt(work.receipts.next_number()), replaces=1)
    with furnished.writing(OPERATOR, NOW) as work:
        assert work.receipts.next_number() == 3


def test_the_address_of_an_order_stays_when_the_customer_moves(furnished: Ledger) -> None:
    """Where it was shipped to is frozen on the order."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        moved = replace(HOME, street="9 New Street")
        work.customers.change(replace(work.customers.get(1), address=moved))
        assert work.orders.get(1).ship_to == HOME
        assert work.customers.get(1).address == moved


def test_a_job_is_made_in_the_place_of_another(furnished: Ledger) -> None:
    """It has a number and a position of its own, keeps the place, and stands there; the first stays readable."""
    with furnished.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        again = Again(1, 1, RemakeCause.MAKER, DAY, "scratched in the maker's hands")
        later = work.orders.add_job(1, replace(order.pairs[0], again=again, note="with care"))
        assert (later.job_number, later.position, later.place) == (3, 3, 1)
        stored = work.orders.get(1)
        assert stored.pairs == (*order.pairs, later)
        assert stored.standing_pairs == (later, order.pairs[1])
        assert stored.pairs_at(1) == (order.pairs[0], later)
        assert stored.next_pair(order.pairs[0]) == later
        assert work.orders.last_pair(ADULT) == (stored, later)


def test_a_job_is_overtaken_once(furnished: Ledger) -> None:
    """A second job in the place of the same one is refused by the database, and takes no number."""
    with furnished.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        asked = replace(order.pairs[0], again=Again(1, 1, RemakeCause.SHOP, DAY))
        work.orders.add_job(1, asked)
    with pytest.raises(StoreError), furnished.writing(OPERATOR, NOW) as work:
        work.orders.add_job(1, asked)
    with furnished.writing(OPERATOR, NOW) as work:
        assert work.orders.add_job(1, replace(asked, again=Again(1, 3, RemakeCause.SHOP, DAY))).job_number == 4


def test_an_eye_that_is_kept_has_what_an_earlier_job_gave_it(furnished: Ledger) -> None:
    """Through as many jobs as kept it: the lens, its extras and its power."""
    with furnished.writing(OPERATOR, NOW) as work:
        first = work.orders.add(an_order()).pairs[0]
        left = OwnLens(Making.KEPT)
        second = work.orders.add_job(1, replace(first, left=left, again=Again(1, 1, RemakeCause.SHOP, DAY)))
        third = work.orders.add_job(1, replace(second, again=Again(1, 3, RemakeCause.CUSTOMER, DAY), made=POWERS))
        order = work.orders.get(1)
    assert first.made is not None
    assert order.pair_made(third, Side.LEFT) == first
    assert order.pair_made(third, Side.RIGHT) == third
    worn = order.worn(third)
    assert worn.made == Prescription(POWERS.right, first.made.left)
    assert (worn.sides, worn.left) == (tuple(Side), OwnLens(Making.NEW, SINGLE.code, (CLEAR.code,)))
