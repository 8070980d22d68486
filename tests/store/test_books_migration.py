"""The step to the books carries old stock over: lots, what is reserved, and what the goods on hand cost."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, date, datetime
from typing import Final

import pytest
from alembic import command
from sqlalchemy import Connection

from shopledger.desk.context import Desk
from shopledger.desk.orders import give_refund, ship_order
from shopledger.ledger.books.journal import Account, Entry, Posting
from shopledger.ledger.books.lots import Lot
from shopledger.ledger.corrections import LinePart
from shopledger.ledger.orders import Cancellation, Method, Payment, Refund
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.stock import StockedKind
from shopledger.store.books.stock import StockLevel
from shopledger.store.guards import lift_guards
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import open_ledger
from shopledger.store.revision import Upgrading
from shopledger.store.work import UnitOfWork
from tests.counted import keep_sale, post_payment
from tests.documents import named
from tests.parcels import whole_parcel
from tests.rows import put_row, rows
from tests.shelf import CASE, WREN
from tests.store.samples import DAY, NOW, OPERATOR, an_order, furnish
from tests.store.test_claims_and_refunds import BEFORE_BOOKS, connected, rows_of

pytestmark = pytest.mark.long

FRAME, OTHER = StockedKind.FRAME, StockedKind.ACCESSORY
OLD_MOVEMENTS: Final = (
    (1, "2026-02-01", "frame", WREN.code, 3, 6000, "opening", None),
    (2, "2026-02-01", "accessory", CASE.code, 10, 300, "opening", None),
    (3, "2026-02-10", "frame", WREN.code, 2, 6601, "received", None),
    (4, "2026-03-02", "frame", WREN.code, -1, 6601, "sold", 1),
    (5, "2026-03-02", "accessory", CASE.code, -2, 300, "sold", 1),
    (6, "2026-03-02", "frame", WREN.code, -1, 6601, "sold", 2),
    (7, "2026-03-02", "accessory", CASE.code, -2, 300, "sold", 2),
    (8, "2026-03-02", "frame", WREN.code, -1, 6601, "sold", 3),
    (9, "2026-03-02", "accessory", CASE.code, -2, 300, "sold", 3),
    (10, "2026-03-02", "frame", WREN.code, 1, 6601, "returned", 3),
    (11, "2026-03-02", "accessory", CASE.code, 2, 300, "returned", 3),
    (12, "2026-03-02", "frame", WREN.code, -1, 6601, "sold", 4),
    (13, "2026-03-02", "accessory", CASE.code, -2, 300, "sold", 4),
    (14, "2026-03-02", "accessory", CASE.code, 1, 300, "returned", 4),
    (15, "2026-03-02", "frame", WREN.code, -1, 6601, "adjusted", None),
)
"""Stock as it was kept before: out at the sale, at the price last paid. Order 1 left, 2 has not, 3 was cancelled, 4
left and a case of it came back."""
OLD_LEVELS: Final = (("frame", WREN.code, 1, 6601), ("accessory", CASE.code, 5, 300))
# With pencil and paper: three frames at 60.00 and two at 66.01 came. Orders 1, 2 and 3 took one each at 60.00, and that
# of 3 came back at 60.00; order 4 and the count took those at 66.01. That of order 2 goes back on the shelf.
VALUE: Final = 2 * 6000 + 7 * 300
NOON: Final = datetime(2027, 1, 4, 12, tzinfo=UTC)


@pytest.fixture
def old(ledger_address: str) -> str:
    """Give the address of a ledger in the earlier form, with four orders and their stock."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            for number in range(1, 5):
                _sell(work, number)
            for number in (1, 4):
                work.parcels.add(whole_parcel(work.orders.get(number), DAY, "by post"))
            work.cancellations.add(Cancellation(3, DAY, "ordered twice"))
            work.refunds.add(Refund(4, DAY, Method.CASH, "", "one too many", (LinePart(3, 1200, 87, 1),)))
    with connected(ledger_address) as connection:
        lift_guards(connection)
        command.downgrade(alembic_config(connection), BEFORE_BOOKS)
        _stock_as_before(connection)
    return ledger_address


def _sell(work: UnitOfWork, number: int) -> None:
    """Record and pay an order, posted net as it was then."""
    order = work.orders.add(an_order())
    keep_sale(work, order)
    postings = (
        Posting(Account.RECEIVABLE, order.total),
        Posting(Account.SALES, -order.net_total),
        Posting(Account.SALES_TAX_PAYABLE, -order.tax_total),
    )
    work.journal.post(Entry(DAY, f"sale, order {number}", named(f"order {number}"), postings))
    post_payment(work, Payment(number, DAY, order.total, Method.CASH), order)


def _stock_as_before(connection: Connection) -> None:
    for number, day, kind, code, quantity, cost, reason, order in OLD_MOVEMENTS:
        connection.exec_driver_sql(
            "INSERT INTO stock_movement (number, day, kind, item_code, quantity, unit_cost, reason, order_number, "  # noqa: S608 - the rows above
            f"note, operator, recorded_at) VALUES ({number}, '{day}', '{kind}', '{code}', {quantity}, {cost}, "
            f"'{reason}', {order or 'NULL'}, '', 'Ines', '2026-03-02T10:00:00+00:00')"
        )
    for kind, code, on_hand, cost in OLD_LEVELS:
        connection.exec_driver_sql(f"INSERT INTO stock_level VALUES ('{kind}', '{code}', {on_hand}, {cost})")  # noqa: S608
    connection.exec_driver_sql("UPDATE counter SET last = 15 WHERE name = 'movement'")


def inventory(work: UnitOfWork) -> int:
    """Give what the inventory account comes to."""
    asked = "SELECT SUM(amount) AS amount FROM journal_posting WHERE account = 'inventory'"
    return int(work.transaction.asked(asked)[0].amount or 0)


def movements_come_to(work: UnitOfWork) -> int:
    """Give what all movements come to."""
    return int(work.transaction.asked("SELECT SUM(cost) AS cost FROM stock_movement")[0].cost)


def test_goods_of_orders_that_have_not_left_lie_on_the_shelf_set_aside(old: str) -> None:
    """What left and what was cancelled stays as it was; counts are still the sum of the movements."""
    with closing(open_ledger(old, Upgrading(NOW))) as ledger, ledger.reading() as work:
        assert work.stock.levels() == (
            StockLevel(OTHER, CASE.code, 7, 2, 300),
            StockLevel(FRAME, WREN.code, 2, 1, 6601),
        )
        sums = "SELECT item_code, SUM(quantity) AS many FROM stock_movement GROUP BY item_code ORDER BY item_code"
        assert [(row.item_code, int(row.many)) for row in work.transaction.asked(sums)] == [
            (CASE.code, 7), (WREN.code, 2),
        ]  # fmt: skip
        put_back = work.stock.of_order(2)[2:]
        assert [(each.item_code, each.day, each.quantity, each.cost) for each in put_back] == [
            (CASE.code, DAY, 2, 600), (WREN.code, DAY, 1, 6000),
        ]  # fmt: skip


def test_lots_are_worked_out_first_in_first_out(old: str) -> None:
    """What came back comes back at what it left at, so no cent of what was paid is lost or made."""
    with closing(open_ledger(old, Upgrading(NOW))) as ledger, ledger.reading() as work:
        frames, cases = work.stock.lots(FRAME, WREN.code), work.stock.lots(OTHER, CASE.code)
        assert [(lot.number, lot.on_hand, lot.cost) for lot in frames] == [(10, 1, 6000), (17, 1, 6000)]
        assert frames[0] == Lot(10, date(2026, 3, 2), 1, 6000)
        assert [(lot.number, lot.on_hand, lot.cost) for lot in cases] == [
            (2, 2, 600), (11, 2, 600), (14, 1, 300), (16, 2, 600),
        ]  # fmt: skip
        costs = {row.number: row.cost for row in rows(work, "stock_movement") if row.quantity < 0}
        assert costs == {
            4: -6000, 5: -600, 6: -6000, 7: -600, 8: -6000, 9: -600, 12: -6601, 13: -600, 15: -6601,
        }  # fmt: skip
        issued = work.transaction.asked(
            "SELECT movement_number, SUM(cost) AS cost FROM stock_issue GROUP BY movement_number"
        )
        assert {row.movement_number: -int(row.cost) for row in issued} == costs


def test_each_movement_is_posted_on_its_own_day_at_what_it_cost(old: str) -> None:
    """After the entries of before; inventory account, lots and movements come to one amount, on any day."""
    with closing(open_ledger(old, Upgrading(NOW))) as ledger, ledger.reading() as work:
        head = work.journal.verify()
        assert head.count == 4 * 2 + len(OLD_MOVEMENTS) + 2
        ((_, came), (_, counted)) = work.journal.of_documents([named("movement 3"), named("movement 15")])
        assert (came.day, came.postings) == (
            date(2026, 2, 10),
            (Posting(Account.INVENTORY, 2 * 6601), Posting(Account.OPENING_BALANCES, -2 * 6601)),
        )
        assert counted.postings == (Posting(Account.INVENTORY, -6601), Posting(Account.STOCK_DIFFERENCES, 6601))
        (frame, cases) = [entry for _, entry in work.journal.of_documents([named("shipment of order 4")])]
        assert frame.postings == (Posting(Account.INVENTORY, -6601), Posting(Account.COST_OF_GOODS, 6601))
        assert cases.memo == "cost of goods shipped, order 4"
        assert inventory(work) == movements_come_to(work) == VALUE
        for day in (date(2026, 2, 5), date(2026, 2, 28)):
            assert work.balances.of(Account.INVENTORY, day) == work.stock.values.booked(day)
        assert work.balances.of(Account.INVENTORY, date(2026, 2, 5)) == 3 * 6000 + 10 * 300
    with closing(open_ledger(old, Upgrading(NOW))) as ledger, ledger.reading() as work:
        assert work.journal.verify() == head


def test_an_old_order_ships_and_goods_of_old_orders_come_back_at_what_they_left_at(old: str) -> None:
    """Movements of then did not name their job; the frame of order 1 left at 60.00 and comes back so."""
    with closing(open_ledger(old, Upgrading(NOW))) as ledger:
        desk = Desk(ledger, OPERATOR, NOON, NOON.date())
        ship_order(desk, 2, "by post", without_inspection="made before")
        give_refund(desk, 1, RefundRequest(Method.CASH, "too wide", (RefundedLine(1, 18000, returned=1),)))
        with ledger.reading() as work:
            assert [(each.cost, each.job_number) for each in work.stock.of_order(2)[4:]] == [(-6000, 3), (-600, None)]
            assert work.stock.of_order(1)[-1].cost == 6000
            assert {level.item_code: (level.on_hand, level.reserved) for level in work.stock.levels()} == {
                CASE.code: (5, 0), WREN.code: (2, 0),
            }  # fmt: skip
            assert inventory(work) == movements_come_to(work) == VALUE - 600
            assert work.journal.verify().count == 25 + 3


def test_going_down_is_refused_where_inventory_was_posted(old: str) -> None:
    """The earlier form has no account for it, so nothing is changed."""
    with closing(open_ledger(old, Upgrading(NOW))), connected(old) as connection:
        lift_guards(connection)
        command.downgrade(alembic_config(connection), "20261125_books")
        before = rows_of(connection, without={})
        with pytest.raises(RuntimeError, match="no place for the rows of journal_posting; nothing was changed"):
            command.downgrade(alembic_config(connection), BEFORE_BOOKS)
        assert rows_of(connection, without={}) == before


def test_going_down_is_refused_where_goods_are_set_aside(ledger_address: str) -> None:
    """In the earlier form they had left at the sale, so its count would be too high."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            put_row(
                work,
                "stock_level",
                {"kind": "frame", "item_code": WREN.code, "on_hand": 2, "set_aside": 1, "last_cost": 0},
            )
    with connected(ledger_address) as connection:
        lift_guards(connection)
        with pytest.raises(RuntimeError, match="no place for the rows of stock_l"):
            command.downgrade(alembic_config(connection), BEFORE_BOOKS)


def test_a_ledger_without_stock_gets_no_entry(ledger_address: str) -> None:
    """Down and up again, the books are as empty as before."""
    with connected(ledger_address) as connection:
        lift_guards(connection)
        command.downgrade(alembic_config(connection), BEFORE_BOOKS)
    with closing(open_ledger(ledger_address, Upgrading(NOW))) as ledger, ledger.reading() as work:
        assert work.journal.verify().count == 0
        assert work.stock.levels() == ()


def test_books_carried_over_prove_themselves(old: str) -> None:
    """Goods of before are posted like any others; only what was never posted here is named."""
    unposted = {"refund 1", "cancellation of order 3"}
    with closing(open_ledger(old, Upgrading(NOW))) as ledger:
        desk = Desk(ledger, OPERATOR, NOON, NOON.date())
        for _ in range(2):
            with ledger.reading() as work:
                failed = [proof for proof in work.proofs.all() if not proof.holds]
            assert [proof.code for proof in failed] == ["DOCUMENTS"]
            assert {each.where.split(",")[0] for proof in failed for each in proof.differences} == unposted
            with ledger.reading() as work:
                shipped = work.orders.account(2).parcels
            if not shipped:
                ship_order(desk, 2, "by post", without_inspection="shown at the counter")
