"""A reference model of the shop's books: counts, unit costs and sums, without any of the program's code.

Goods are a row of unit costs for each item, the oldest first; accounts are sums by name. It knows nothing of lots,
entries, periods or databases, so that whatever it agrees with was worked out twice.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal

CASE, SHADES, FRAME, OTHER_FRAME = "CASE", "SHADES", "WREN-52", "LARK-48"
PRICES = {CASE: 1200, SHADES: 4500, FRAME: 18000}
LENSES = 8000
"""List price of the lenses that come with a frame free of charge."""
TAXED = {SHADES: Decimal("0.0725")}


@dataclass
class PlainLine:
    """One line: what it came to, and what became of it."""

    code: str
    count: int
    net: int
    tax: int
    gone: list[int] = field(default_factory=list)
    """Unit costs of what was shipped."""
    net_back: int = 0
    tax_back: int = 0
    came_back: int = 0


@dataclass
class PlainPayment:
    """A payment, the account that its money came into, and what of it stands."""

    number: int
    account: str
    amount: int
    month: str
    stands: int = 0
    disputed: int = 0
    touched: bool = False
    """Whether anything happened to it since."""


@dataclass
class PlainOrder:
    """An order with its lines, what was paid on it and whether it left; `job` is that of its pair if it has one."""

    number: int
    lines: list[PlainLine]
    job: int | None = None
    paid: int = 0
    given_back: int = 0
    reduced: int = 0
    shipped: bool = False
    cancelled: bool = False
    written_off: int = 0
    payments: list[PlainPayment] = field(default_factory=list)
    in_work: int = 0
    """Lenses billed before it left."""

    @property
    def total(self) -> int:
        """What the customer owes for the order."""
        return sum(line.net + line.tax for line in self.lines)

    @property
    def owed(self) -> int:
        """What is still owed."""
        return 0 if self.cancelled else self.total - self.reduced - self.paid - self.written_off


class PlainShop:
    """What lies on the shelf, what is kept for orders, and what each account comes to (debits above zero)."""

    def __init__(self, shelf: dict[str, list[int]]) -> None:
        self.shelf = shelf
        self.kept: Counter[str] = Counter()
        self.accounts: Counter[str] = Counter()
        self.orders: dict[int, PlainOrder] = {}
        self.deposits: dict[int, int] = {}
        for costs in shelf.values():
            self._post(sum(costs), "inventory", "opening balances")

    def free(self, code: str) -> int:
        """How many may be sold."""
        return len(self.shelf[code]) - self.kept[code]

    def sell(self, number: int, goods: list[tuple[str, int]], job: int | None) -> None:
        """Sell goods, a frame with its lenses included; they stay on the shelf."""
        lines = [PlainLine(code, count, PRICES[code] * count, tax_on(code, count)) for code, count in goods]
        order = self.orders[number] = PlainOrder(number, lines, job)
        for line in lines:
            self.kept[line.code] += line.count
        self._post(order.total, "receivable", "sales")
        self._post(sum(line.tax for line in lines), "sales", "sales tax payable")
        if any(line.code == FRAME for line in lines):
            self._post(LENSES, "offers and discounts", "sales")

    def pay(self, order: PlainOrder, amount: int, account: str, number: int, month: str) -> None:
        """Take money for an order."""
        order.paid += amount
        order.payments.append(PlainPayment(number, account, amount, month, amount))
        self._post(amount, account, "receivable")

    def take_from(self, order: PlainOrder, payment: PlainPayment, amount: int) -> None:
        """Let some of a payment stand no longer: it goes out the way it came."""
        payment.touched = True
        payment.stands -= amount
        order.paid -= amount
        self._post(amount, "receivable", payment.account)

    def come_again(self, order: PlainOrder, payment: PlainPayment) -> None:
        """Let what was disputed come again."""
        amount, payment.disputed = payment.disputed, 0
        payment.stands += amount
        order.paid += amount
        self._post(amount, payment.account, "receivable")

    def write_off(self, order: PlainOrder, amount: int) -> None:
        """Give up what will not be paid; below zero it is owed again."""
        order.written_off += amount
        self._post(amount, "sales never paid", "receivable")

    def reduce(self, order: PlainOrder, place: int, net: int) -> None:
        """Lower what is owed by some of a line's charge, with its tax."""
        line = order.lines[place]
        tax = rounded(Decimal(line.tax * (line.net_back + net)) / line.net) - line.tax_back
        line.net_back += net
        line.tax_back += tax
        order.reduced += net + tax
        self._post(net, "returns and allowances", "receivable")
        self._post(tax, "sales tax payable", "receivable")

    def ship(self, order: PlainOrder) -> None:
        """Let an order leave, the oldest goods first."""
        order.shipped = True
        for line in order.lines:
            left = line.count - line.came_back
            self.kept[line.code] -= left
            line.gone = [self.shelf[line.code].pop(0) for _ in range(left)]
            self._post(sum(line.gone), "cost of goods sold", "inventory")
        self._post(order.in_work, "lenses and lab work", "jobs in work")

    def give_back(self, order: PlainOrder, place: int, net: int, account: str, *, goods: bool) -> None:
        """Give money back on a line, with all of its goods or none; what they cost must divide by their number."""
        line = order.lines[place]
        line.net_back += net
        tax = rounded(Decimal(line.tax * line.net_back) / line.net) - line.tax_back
        line.tax_back += tax
        order.given_back += net + tax
        self._post(net, "returns and allowances", account)
        self._post(tax, "sales tax payable", account)
        if not goods:
            return
        line.came_back = line.count
        if order.shipped:
            self.shelf[line.code].extend([sum(line.gone) // line.count] * line.count)
            self._post(sum(line.gone), "inventory", "cost of goods sold")
        else:
            self.kept[line.code] -= line.count

    def cancel(self, order: PlainOrder) -> None:
        """Take an order back as if it had never been."""
        order.cancelled = True
        for line in order.lines:
            self.kept[line.code] -= line.count
        self._post(order.total, "sales", "receivable")
        self._post(sum(line.tax for line in order.lines), "sales tax payable", "sales")
        if any(line.code == FRAME for line in order.lines):
            self._post(LENSES, "sales", "offers and discounts")
        for payment in order.payments:
            self._post(payment.stands, "receivable", payment.account)
        self._post(order.written_off, "receivable", "sales never paid")
        for line in order.lines:
            self._post(line.net_back, "receivable", "returns and allowances")
            self._post(line.tax_back, "receivable", "sales tax payable")
        self._post(order.in_work, "scrap and remakes", "jobs in work")

    def bill_goods(self, code: str, count: int, unit_cost: int) -> None:
        """Take in goods that are yet to be paid."""
        self.shelf[code].extend([unit_cost] * count)
        self._post(count * unit_cost, "inventory", "bills to pay")

    def bill_lenses(self, order: PlainOrder, amount: int) -> None:
        """Take in a job's lenses that are yet to be paid."""
        if order.shipped:
            self._post(amount, "lenses and lab work", "bills to pay")
        else:
            order.in_work += amount
            self._post(amount, "jobs in work", "bills to pay")

    def take(self, code: str, count: int, account: str) -> None:
        """Take goods from the shelf for something else than an order."""
        cost = sum(self.shelf[code].pop(0) for _ in range(count))
        self._post(cost, account, "inventory")

    def move(self, amount: int, debit: str, credit: str) -> None:
        """Move money from one account to another."""
        self._post(amount, debit, credit)

    def _post(self, amount: int, debit: str, credit: str) -> None:
        self.accounts[debit] += amount
        self.accounts[credit] -= amount


def tax_on(code: str, count: int) -> int:
    """Give the sales tax on so many of an item."""
    return rounded(PRICES[code] * count * TAXED.get(code, Decimal(0)))


def rounded(amount: Decimal) -> int:
    """Round to a cent, a half up."""
    return int(amount.quantize(Decimal(1), ROUND_HALF_UP))
