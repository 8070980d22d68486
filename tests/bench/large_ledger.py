"""A large invented ledger for the benchmarks: years of orders, shipped and paid, with books that balance and chain.

Run it as `python tests/bench/large_ledger.py PATH [ORDERS]`. The same numbers give the same ledger, row for row.

Each order is one pair (a frame from stock and lenses from the lab), an accessory and its shipping: four lines. Goods
come in lots through bills and leave first in, first out; the lab's bill of the day names its jobs; the card processor
pays out once a month. Rows go in by `executemany`, past the program, whose own pace is measured elsewhere.
"""

from __future__ import annotations

import sqlite3
import sys
import time
from collections import defaultdict, deque
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from itertools import accumulate
from pathlib import Path
from typing import Any, Final

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Entry, Head, Posting, chained
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.catalogue import Accessory, Frame
from shopledger.ledger.claims.code_table import RELEASE
from shopledger.ledger.parties import Prescriber
from shopledger.ledger.seals import Sealed, digest_of, next_seal
from shopledger.ledger.settings import Settings
from shopledger.store.digests import forms_found
from shopledger.store.folding import folded
from shopledger.store.opening import Ledger, create_ledger, ledger_url, open_ledger
from shopledger.store.revision import WRITTEN_BY
from shopledger.store.sealing import add_seal, last_head
from shopledger.store.work import UnitOfWork
from tests.documents import named
from tests.shelf import INCLUDED, SHOP, SINGLE

OPERATOR: Final = "Ines"
ORDERS_A_YEAR: Final = 10_000
FIRST_DAY: Final = date(2025, 1, 1)
FRAMES, ACCESSORIES, LOT = 120, 12, 40
"""How many items of each kind there are, and how many come in together."""

_AT_ONCE: Final = 60_000
_SEALS_AT_ONCE: Final = 10_000
_TAXED_LINE: Final = 3
"""The accessory's."""
_BENCH_DAYS: Final = 3
"""Days from the sale to the shipment."""

_GIVEN: Final = ("Odalys", "Ansgar", "Ottoline", "Wren", "Leopold", "Marisol", "Tobiah", "Yseult", "Corin", "Imke")
_FAMILY: Final = ("Fern", "Tolli", "Brask", "Quill", "Harrow", "Pell", "Sedge", "Vesper", "Aldan", "Moor")
_ENDING: Final = ("hollow", "vane", "wick", "feather", "stead", "low", "bourne", "gate", "mere", "croft")
_STATES: Final = ("OH", "OH", "VT", "PA", "IN")
_TAXED: Final = {"OH": 72_500, "IN": 70_000}
"""Rates on accessories in millionths; nothing is charged elsewhere."""

Row = tuple[Any, ...]


@dataclass(slots=True)
class _Item:
    """One stocked item: what it sells for, and its lots as number, count left and cost of one."""

    kind: str
    code: str
    words: str
    price: int
    cost: int
    lots: deque[list[int]] = field(default_factory=deque)
    on_hand: int = 0
    reserved: int = 0
    last_cost: int = 0


@dataclass(frozen=True, slots=True)
class _Sold:
    """What is needed again when an order ships."""

    number: int
    frame: _Item
    accessory: _Item
    quantity: int
    lab: int
    lines: list[tuple[str, int, int, int]]
    """Of each line its kind, list price, reduction and net."""
    tax: int
    """On the accessory."""


class _Filler:
    """Collects rows by table, numbers them, chains the entries, and writes them in large pieces."""

    def __init__(self, bare: sqlite3.Connection) -> None:
        self._bare = bare
        self._rows: dict[str, list[Row]] = defaultdict(list)
        self._columns: dict[str, list[str]] = {}
        self._waiting = 0
        self.seal = last_seal(bare)
        """Under which seal rows are written: each document has one."""
        self.last: dict[str, int] = defaultdict(int)
        self.head: Head = EMPTY_HEAD

    def number(self, kind: str) -> int:
        """Take the next number of a kind."""
        self.last[kind] += 1
        return self.last[kind]

    def add(self, table: str, *values: object) -> None:
        """Keep a row, given in the order of the table's columns, as far as there are values."""
        self._rows[table].append((*values, self.seal + 1) if "seal" in self.columns(table) else values)
        self._waiting += 1
        if self._waiting >= _AT_ONCE:
            self.write()

    def post(self, day: date, memo: str, document: str, *postings: tuple[Account, int]) -> None:
        """Chain an entry to the last and keep its rows."""
        entry = Entry(day, memo, named(document), tuple(Posting(account, amount) for account, amount in postings))
        self.head = chained(self.head, entry)
        number = self.number("entry")
        kind, stands_on = entry.document.kind.value, entry.document.number
        self.add("journal_entry", number, day.isoformat(), memo, kind, stands_on, self.head.hash, None, *_stamp(day))
        for place, posting in enumerate(entry.postings, start=1):
            self.add("journal_posting", number, place, posting.account.title, posting.amount)
        self.seal += 1

    def columns(self, table: str) -> list[str]:
        """Give the columns of a table that are written, the seal last."""
        if table not in self._columns:
            rows = self._bare.execute(f"PRAGMA table_xinfo({table})")
            found = {name: usual for _, name, _, _, usual, _, hidden in rows if not hidden}
            own = [name for name, usual in found.items() if name != "seal" and (name != "salt" or usual is None)]
            self._columns[table] = [*own, *(["seal"] if "seal" in found else [])]
        return self._columns[table]

    def write(self) -> None:
        """Write what was kept."""
        for table, rows in self._rows.items():
            sealed = self.columns(table)[-1:] == ["seal"]
            written = [*self.columns(table)[: len(rows[0]) - sealed], *(["seal"] if sealed else [])]
            places = ",".join("?" * len(written))
            self._bare.executemany(f"INSERT INTO {table} ({','.join(written)}) VALUES ({places})", rows)  # noqa: S608 - names from this file
        self._rows.clear()
        self._waiting = 0


def make_ledger(path: Path, orders: int, first_day: date = FIRST_DAY, orders_a_year: int = ORDERS_A_YEAR) -> str:
    """Make a ledger file with so many orders, as many a year as asked; gives its address."""
    url = ledger_url(str(path))
    items = _items()
    with closing(create_ledger(url)) as ledger:
        now = datetime.combine(first_day, datetime.min.time(), UTC)
        with ledger.writing(OPERATOR, now) as work:
            _furnish(work, items)
        numbers = {name: int(last) for name, last in _counters(path)}
    with closing(sqlite3.connect(path, isolation_level=None)) as bare:
        for pragma in ("journal_mode = OFF", "synchronous = OFF", "foreign_keys = OFF", "cache_size = -100000"):
            bare.execute(f"PRAGMA {pragma}")
        bare.execute("BEGIN")
        set_aside = _set_aside(bare)
        filler = _Filler(bare)
        filler.last.update(numbers)
        _people(filler, max(orders // 4, 1), first_day)
        _Trade(filler, items, first_day, orders_a_year).run(orders)
        _close(bare, filler, items)
        for statement in set_aside:
            bare.execute(statement)
        bare.execute("COMMIT")
        bare.execute("PRAGMA journal_mode = WAL")
    with closing(open_ledger(url)) as ledger:
        _set_seals(ledger, filler.seal)
    return url


def last_seal(bare: sqlite3.Connection) -> int:
    """Give the number of the last seal."""
    (number,) = bare.execute("SELECT MAX(number) FROM seal").fetchone()
    return int(number)


def _set_seals(ledger: Ledger, last: int) -> None:
    """Set the seal of each document, as the program would have."""
    with ledger._engine.execution_options(writing=True).begin() as connection:
        head, stamp = last_head(connection), _stamp(FIRST_DAY)
        for first in range(head.count + 1, last + 1, _SEALS_AT_ONCE):
            end = min(first + _SEALS_AT_ONCE - 1, last)
            added: dict[int, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
            for form in forms_found(connection):
                asked = f"SELECT seal, {form.on_sqlite} FROM {form.table} WHERE seal BETWEEN {first} AND {end}"  # noqa: S608 - names above
                for number, row in connection.exec_driver_sql(asked):
                    added[number][form.table].append(digest_of(row.encode()))
            for number in range(first, end + 1):
                new = next_seal(
                    head, *stamp, WRITTEN_BY, {name: Sealed.of(rows) for name, rows in added[number].items()}
                )
                add_seal(connection, new)
                head = new.head


class _Trade:
    """The days of the shop, one after another."""

    def __init__(self, filler: _Filler, items: list[_Item], first_day: date, orders_a_year: int) -> None:
        self._fill = filler
        self._frames = [item for item in items if item.kind == "frame"]
        self._accessories = [item for item in items if item.kind == "accessory"]
        self._first, self._a_year = first_day, orders_a_year
        self._customers = filler.last["customer"]
        self._on_bench: deque[tuple[date, list[_Sold]]] = deque()
        self._clearing = 0

    def run(self, orders: int) -> None:
        """Sell so many orders, and ship the last of them."""
        by_day = [orders_by(day, self._a_year) for day in range(1 + orders * 366 // self._a_year + 1)]
        days = [min(count, orders) for count in accumulate(by_day)]
        before, day = 0, self._first
        for until in days:
            self._day(day, range(before + 1, until + 1))
            before, day = until, day + timedelta(days=1)
            if before >= orders:
                break
        while self._on_bench:
            self._day(day, range(0))
            day += timedelta(days=1)

    def _day(self, day: date, orders: range) -> None:
        sold = [self._sell(day, number) for number in orders]
        if sold:
            self._lab_bill(day, sold)
            self._on_bench.append((day, sold))
        while self._on_bench and self._on_bench[0][0] <= day - timedelta(days=_BENCH_DAYS):
            for each in self._on_bench.popleft()[1]:
                self._ship(day, each)
        if (day + timedelta(days=1)).day == 1:
            self._month_end(day)

    def _sell(self, day: date, number: int) -> _Sold:
        fill, text, stamp = self._fill, day.isoformat(), _stamp(day)
        frame = self._frames[number * 7 % len(self._frames)]
        accessory = self._accessories[number * 5 % len(self._accessories)]
        quantity = 1 + number % 2
        customer = number * 13 % self._customers + 1
        state = _STATES[customer % len(_STATES)]
        self._keep(day, frame, 1)
        self._keep(day, accessory, quantity)
        fill.number("order")
        fill.number("job")
        street = f"{customer % 90 + 1} Tansy Lane"
        fill.add("shop_order", number, customer, text, street, "", "Millbrae", state, "43002", "line", "", "", *stamp)
        fill.add(
            "order_pair", number, number, 1, customer, frame.code, SINGLE.code, "distance", customer, "binocular", ""
        )
        for side in ("right", "left"):
            fill.add("order_pair_eye", number, side, -2_500_000, -750_000, 90_000_000, None, 0, None, None, None, None,
                     31_500, None, None)  # fmt: skip
        lines, tax = self._lines(number, customer, frame, accessory, quantity, state)
        total = sum(line[3] for line in lines) + tax
        self._pay(day, number, total)
        return _Sold(number, frame, accessory, quantity, 1_800 + number % 7 * 50, lines, tax)

    def _lines(
        self, number: int, customer: int, frame: _Item, accessory: _Item, quantity: int, state: str
    ) -> tuple[list[tuple[str, int, int, int]], int]:
        """Keep the four lines; gives each kind with list price, reduction and net, and the tax of all."""
        off = SINGLE.price if number % 2 else 0
        rate = _TAXED.get(state, 0)
        lines = [
            ("frame", frame.price, 0, frame.price),
            ("lenses", SINGLE.price, off, SINGLE.price - off),
            ("accessory", accessory.price * quantity, 0, accessory.price * quantity),
            ("shipping", 650, 0, 650),
        ]
        tax = (lines[2][3] * rate + 500_000) // 1_000_000
        words = (
            (frame.code, frame.words, "prescription eyewear", "eligible"),
            (SINGLE.code, SINGLE.name, "prescription eyewear", "eligible"),
            (accessory.code, accessory.words, "accessory", "not eligible"),
            ("SHIPPING", "Shipping", "shipping", "plan decides"),
        )
        for place, ((kind, listed, less, net), (code, said, category, eligible)) in enumerate(
            zip(lines, words, strict=True), start=1
        ):
            pair = 1 if place <= 2 else None
            taxed = place == _TAXED_LINE
            self._fill.add(
                "order_line", number, place, kind, code, said, listed, less, net, category, eligible, "as invented",
                rate if taxed else 0, tax if taxed else 0, quantity if taxed else 1, pair,
                customer if pair else None, INCLUDED.code if less else "", "buyer", "", None, "", 0,
            )  # fmt: skip
            if kind != "shipping":
                self._charges(number, place, kind, said, listed, less)
        return lines, tax

    def _charges(self, number: int, line: int, kind: str, words: str, listed: int, less: int) -> None:
        sides = ("right", "left") if kind == "lenses" else (None,)
        for place, side in enumerate(sides, start=1):
            said = words if side is None else f"{words}, {side}"
            code = {"frame": "V2020", "lenses": "V2103"}.get(kind, "")
            part = len(sides)
            self._fill.add(
                "order_charge", number, line, place, said, side, code, listed // part, less // part,
                (listed - less) // part, 1, "", 0, RELEASE,
            )  # fmt: skip

    def _pay(self, day: date, number: int, total: int) -> None:
        fill = self._fill
        payment = fill.number("payment")
        fill.add("payment", payment, number, day.isoformat(), total, "card", f"{number % 10_000:04d}", None,
                 *_stamp(day))  # fmt: skip
        fill.post(
            day, f"card payment, order {number}", f"payment {payment}",
            (Account.CARD_CLEARING, total), (Account.PREPAYMENTS, -total),
        )  # fmt: skip
        self._clearing += total

    def _keep(self, day: date, item: _Item, quantity: int) -> None:
        """Set goods aside, after a lot came in where too few are left."""
        if item.on_hand - item.reserved < quantity:
            self._receive(day, item)
        item.reserved += quantity

    def _receive(self, day: date, item: _Item) -> None:
        fill = self._fill
        bill, movement = fill.number("bill"), fill.number("movement")
        unit = item.cost + bill % 9 * 10
        cost = unit * LOT
        fill.add("bill", bill, 1, f"INV-{bill}", day.isoformat(), None, "", None, *_stamp(day))
        fill.add("bill_line", bill, 1, "stock", item.words, item.kind, item.code, LOT, None, None, cost, cost)
        fill.add("stock_movement", movement, day.isoformat(), item.kind, item.code, LOT, cost, "received", None, None,
                 bill, "", *_stamp(day), None)  # fmt: skip
        fill.post(
            day, f"bill {bill}, goods", f"bill {bill}", (Account.INVENTORY, cost), (Account.ACCOUNTS_PAYABLE, -cost)
        )
        self._pay_bill(day, bill, cost)
        item.lots.append([movement, LOT, unit])
        item.on_hand, item.last_cost = item.on_hand + LOT, unit

    def _lab_bill(self, day: date, sold: list[_Sold]) -> None:
        fill = self._fill
        bill, total = fill.number("bill"), sum(each.lab for each in sold)
        fill.add("bill", bill, 2, f"LAB-{bill}", day.isoformat(), None, "", None, *_stamp(day))
        for place, each in enumerate(sold, start=1):
            fill.add("bill_line", bill, place, "job", "lenses, cut and mounted", None, "", 1, each.number, None,
                     each.lab, each.lab)  # fmt: skip
        fill.post(
            day,
            f"bill {bill}, lab",
            f"bill {bill}",
            (Account.WORK_IN_PROGRESS, total),
            (Account.ACCOUNTS_PAYABLE, -total),
        )
        self._pay_bill(day, bill, total)

    def _pay_bill(self, day: date, bill: int, amount: int) -> None:
        fill = self._fill
        paid = fill.number("bill payment")
        fill.add("bill_payment", paid, bill, day.isoformat(), amount, "bank", "", *_stamp(day))
        fill.post(
            day, f"bank payment, bill {bill}", f"bill payment {paid}",
            (Account.ACCOUNTS_PAYABLE, amount), (Account.BANK, -amount),
        )  # fmt: skip

    def _ship(self, day: date, sold: _Sold) -> None:
        fill, number = self._fill, sold.number
        fill.add("inspection_omission", number, "invented for a benchmark", *_stamp(day))
        parcel, customer = fill.number("parcel"), number * 13 % self._customers + 1
        street, state = f"{customer % 90 + 1} Tansy Lane", _STATES[customer % len(_STATES)]
        where = (street, "", "Millbrae", state, "43002")
        by = ("Parcel post", tracking_of(parcel), None)
        fill.add("parcel", parcel, number, day.isoformat(), *where, *by, *_stamp(day), "")
        for place, (job, line, count) in enumerate(
            ((number, None, 1), (None, 1, 1), (None, 3, sold.quantity)), start=1
        ):
            fill.add("parcel_item", parcel, place, number, job, line, count)
        goods = self._leave(day, sold.frame, 1, number, number, parcel) + self._leave(
            day, sold.accessory, sold.quantity, number, None, parcel
        )
        for place, (_, listed, _, net) in enumerate(sold.lines, start=1):
            accessory = place == _TAXED_LINE
            count, tax = (sold.quantity, sold.tax) if accessory else (1, 0)
            fill.add("earned", "parcel", parcel, place, number, day.isoformat(), count, listed, net, tax, 0, 0)
        fill.post(
            day, f"left, order {number}, parcel {parcel}", f"parcel {parcel}",
            (Account.PREPAYMENTS, sum(line[3] for line in sold.lines) + sold.tax),
            (Account.DISCOUNTS, sum(line[2] for line in sold.lines)),
            (Account.SALES, -sum(line[1] for line in sold.lines[:3])), (Account.SHIPPING_INCOME, -sold.lines[3][3]),
            (Account.SALES_TAX_PAYABLE, -sold.tax), (Account.COST_OF_GOODS, goods), (Account.INVENTORY, -goods),
            (Account.LENSES, sold.lab),
            (Account.WORK_IN_PROGRESS, -sold.lab),
        )  # fmt: skip
        if number % 50 == 0:
            self._refund(day, number)

    def _leave(self, day: date, item: _Item, quantity: int, order: int, job: int | None, parcel: int) -> int:
        """Take goods from their lots, the first first; gives what they cost."""
        fill = self._fill
        movement = fill.number("movement")
        left, place, cost = quantity, 0, 0
        while left:
            lot = item.lots[0]
            count = min(left, lot[1])
            place, left, lot[1], cost = place + 1, left - count, lot[1] - count, cost + count * lot[2]
            fill.add("stock_issue", movement, place, lot[0], count, count * lot[2])
            if not lot[1]:
                item.lots.popleft()
        what = (item.kind, item.code, -quantity, -cost, "sold")
        fill.add("stock_movement", movement, day.isoformat(), *what, order, job, None, "", *_stamp(day), parcel)
        item.on_hand, item.reserved = item.on_hand - quantity, item.reserved - quantity
        return cost

    def _refund(self, day: date, order: int) -> None:
        fill = self._fill
        number = fill.number("refund")
        fill.add("refund", number, order, day.isoformat(), "card", "", "a scratch on the frame", *_stamp(day))
        fill.add("refund_part", number, 1, order, 1, 1_500, 0, 0)
        fill.add("earned", "refund", number, 1, order, day.isoformat(), 0, 0, 0, 0, 1_500, 0)
        fill.post(
            day, f"card refund, order {order}", f"refund {number}",
            (Account.RETURNS, 1_500), (Account.CARD_CLEARING, -1_500),
        )  # fmt: skip
        self._clearing -= 1_500

    def _month_end(self, day: date) -> None:
        self._pay_out(day)
        for payee, category, account, amount in (
            ("Fennick Mill Rooms", "rent of premises", Account.RENT, 120_000),
            ("Parcel office", "postage and shipping out", Account.POSTAGE, 48_250 + day.month * 100),
            ("Fennick Courier", "advertising", Account.ADVERTISING, 22_500),
        ):
            number = self._fill.number("expense")
            self._fill.add("expense", number, day.isoformat(), payee, category, category, amount, "bank", "", None,
                           *_stamp(day))  # fmt: skip
            self._fill.post(day, f"{category}, {payee}", f"expense {number}", (account, amount),
                            (Account.BANK, -amount))  # fmt: skip

    def _pay_out(self, day: date) -> None:
        amount, self._clearing = self._clearing, 0
        if amount <= 0:
            return
        fee, number = amount * 29 // 1000, self._fill.number("money")
        self._fill.add("money_move", number, day.isoformat(), "payout", "bank", amount, fee, "", "", "", *_stamp(day))
        self._fill.post(
            day, "payout", f"money {number}",
            (Account.BANK, amount - fee), (Account.FEES, fee), (Account.CARD_CLEARING, -amount),
        )  # fmt: skip


def tracking_of(parcel: int) -> str:
    """Give a parcel's tracking number."""
    return f"PP {parcel * 7919 % 1_000_000_007:010d} US"


def orders_by(day: int, a_year: int) -> int:
    """Give how many orders fall on the day of that place, so that every 365 days hold as many as asked."""
    return (day + 1) * a_year // 365 - day * a_year // 365


def _items() -> list[_Item]:
    frames = [
        _Item("frame", f"FRAME-{place:03d}", "", 12_000 + place * 100, 4_000 + place * 30) for place in range(FRAMES)
    ]
    goods = [
        _Item("accessory", f"GOODS-{place:02d}", f"Case, pattern {place}", 900 + place * 100, 300 + place * 40)
        for place in range(ACCESSORIES)
    ]
    for item in frames:
        item.words = _frame(item).description
    return [*frames, *goods]


def _frame(item: _Item) -> Frame:
    place = int(item.code[-3:])
    model = f"{_FAMILY[place % 10]}{_ENDING[place // 10 % 10]}"
    return Frame(item.code, "Harrow Row", model, "moss", 46 + place % 9, 18, 140, price=item.price, cost=item.cost)


def _furnish(work: UnitOfWork, items: list[_Item]) -> None:
    """Put the shop, the catalogue, a prescriber and two suppliers in by the program itself."""
    work.shop.save(SHOP)
    work.shop.save_settings(Settings())
    for item in items:
        if item.kind == "frame":
            work.catalogue.add_frame(_frame(item))
        else:
            work.catalogue.add_accessory(Accessory(item.code, item.words, price=item.price, cost=item.cost))
    work.catalogue.add_lens(SINGLE)
    work.catalogue.add_offer(INCLUDED)
    work.customers.add_prescriber(Prescriber("Dr. Imre Castellane", "555-0177", "1234567893"))
    for name in ("Harrow Row Frames", "Tansy Bench Lab"):
        work.suppliers.add(Supplier(name))


def _people(filler: _Filler, customers: int, day: date) -> None:
    """Add customers who are their own wearers, each with a prescription of the same number."""
    for number in range(1, customers + 1):
        given, rest = _GIVEN[number % 10], number // 10
        name = f"{given} {_FAMILY[rest % 10]}{_ENDING[rest // 10 % 10]} {number}"
        state = _STATES[number % len(_STATES)]
        where = (f"{number % 90 + 1} Tansy Lane", "", "Millbrae", state, "43002")
        phone, mail = f"({number % 700 + 200}) 555-01{number // 700 % 100:02d}", f"{given.lower()}.{number}@example.com"
        filler.add("customer", number, name, folded(name), *where, phone, mail, "", *_stamp(day))
        filler.add("wearer", number, number, name, folded(name), "self", None, "", "", None, *_stamp(day))
        filler.add("prescription", number, number, 1, day.isoformat(), None, None, "", *_stamp(day))
        for side in ("right", "left"):
            filler.add("prescription_eye", number, side, -250, -75, 9_000, None, 0, None, None, None, None)
    for kind in ("customer", "wearer", "prescription"):
        filler.last[kind] = customers


def _close(bare: sqlite3.Connection, filler: _Filler, items: list[_Item]) -> None:
    """Write the running tables and the counters as the program would have left them."""
    days = "(SELECT day FROM stock_movement WHERE number = ?)"
    for item in items:
        filler.add("stock_level", item.kind, item.code, item.on_hand, item.reserved, item.last_cost or item.cost)
    filler.seal += 1
    filler.write()
    for item in items:
        for number, left, unit in item.lots:
            bare.execute(
                f"INSERT INTO stock_lot VALUES (?, ?, ?, {days}, ?, ?)",  # noqa: S608 - the words above
                (number, item.kind, item.code, number, left, left * unit),
            )
    bare.executemany("UPDATE counter SET last = ? WHERE name = ?", [(last, name) for name, last in filler.last.items()])


def _set_aside(bare: sqlite3.Connection) -> list[str]:
    """Drop the indexes and the guards of closed months, which slow every row; gives what makes them again."""
    found = bare.execute(
        "SELECT type, name, sql FROM sqlite_schema "
        "WHERE sql IS NOT NULL AND (type = 'index' OR (type = 'trigger' AND name LIKE 'month\\_%' ESCAPE '\\'))"
    ).fetchall()
    for kind, name, _ in found:
        bare.execute(f"DROP {kind} {name}")
    return [sql for _, _, sql in found]


def _counters(path: Path) -> list[Row]:
    with closing(sqlite3.connect(path)) as bare:
        return bare.execute("SELECT name, last FROM counter").fetchall()


def _stamp(day: date) -> tuple[str, str]:
    return OPERATOR, f"{day.isoformat()}T15:00:00+00:00"


def main(path: Path, orders: int) -> None:
    """Make the ledger and say how long it took."""
    start = time.perf_counter()
    make_ledger(path, orders)
    print(f"{orders:,} orders in {time.perf_counter() - start:.1f} s, {path.stat().st_size / 2**20:.0f} MiB")


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 100_000)
