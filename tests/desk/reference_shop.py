"""A reference model of the shop's books: counts, unit costs and sums, without any of the program's code.

Goods are a row of unit costs for each item, the oldest first; accounts are sums by name. It knows nothing of lots,
entries, periods or databases, so that whatever it agrees with was worked out twice.

A line counts as sold while it is away. What customers owe and what they paid ahead is asked of the orders as they
stand: each is on one of the two sides.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal

CASE, SHADES, FRAME, OTHER_FRAME = "CASE", "SHADES", "WREN-52", "LARK-48"
FRAMES = (FRAME, OTHER_FRAME)
DEBT = "OWED-BEFORE"
PRICES = {CASE: 1200, SHADES: 4500, FRAME: 18000, OTHER_FRAME: 12000}
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
    """Unit costs of what is away."""
    sent: bool = False
    """Whether it is away, or left with its goods."""
    net_back: int = 0
    tax_back: int = 0
    came_back: int = 0
    at: int = 0
    """Its number in the ledger, where the lenses of a pair are a line of their own."""
    listed: int = 0
    """List price."""
    added: bool = False
    """Whether it came in after the sale."""
    out: bool = False
    """Whether it was taken out before anything left."""
    counts: int = 0
    """What of its charge counts as sold, at list price in `counts_listed`, with the tax in `counts_tax`."""
    counts_listed: int = 0
    counts_tax: int = 0
    back: int = 0
    """What was given up of that, and of its tax."""
    back_tax: int = 0

    @property
    def rest(self) -> tuple[int, int]:
        """What of its charge and of its tax does not count yet."""
        net, tax = self.left
        return net - self.counts + self.back, tax - self.counts_tax + self.back_tax

    @property
    def left(self) -> tuple[int, int]:
        """What stands of its charge, and of its tax."""
        return (0, 0) if self.out else (self.net - self.net_back, self.tax - self.tax_back)


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
class PlainParcel:
    """What left together: lines by their place, and jobs."""

    number: int
    lines: list[int]
    jobs: list[int]
    back: bool = False


@dataclass
class PlainOrder:
    """An order with its lines, what was paid on it and whether any left; `job` is that of its pair if it has one."""

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
    parcels: list[PlainParcel] = field(default_factory=list)
    lenses: dict[int, int] = field(default_factory=dict)
    """What was billed for each of its jobs."""
    where: dict[int, str] = field(default_factory=dict)
    """The account in which that stands."""
    again: int | None = None
    """The job that is made in the place of its first one."""
    shop_bears: bool = False
    """Whether that is through the shop's doing or the maker's."""
    lenses_count: bool = False
    """Whether the lenses that come free of charge with its frame count as sold."""

    @property
    def position(self) -> int:
        """What the customer owes for what left; below zero what was paid ahead."""
        if self.cancelled:
            return 0
        counted = sum(each.counts + each.counts_tax - each.back - each.back_tax for each in self.lines)
        return counted - self.paid + self.given_back - self.written_off

    @property
    def total(self) -> int:
        """What the customer owes for the order."""
        return sum(line.net + line.tax for line in self.lines)

    @property
    def jobs(self) -> list[int]:
        """Its jobs, the first one first."""
        return [job for job in (self.job, self.again) if job is not None]

    def away(self, job: int | None) -> bool:
        """Whether a job left and did not come back."""
        return any(job in parcel.jobs for parcel in self.parcels if not parcel.back)

    @property
    def here(self) -> list[int]:
        """The places of the lines of which goods are still to leave."""
        waiting = (place for place, line in enumerate(self.lines) if not line.sent and not line.out)
        return [place for place in waiting if self.lines[place].came_back < self.lines[place].count]

    @property
    def job_here(self) -> int | None:
        """The job that is still to leave."""
        return next((job for job in self.jobs[-1:] if not self.away(job)), None)

    def account_of(self, job: int) -> str:
        """Say where what a job cost belongs."""
        if self.cancelled:
            return "scrap and remakes"
        if job == self.job:
            if self.away(job):
                return "lenses and lab work"
            return "scrap and remakes" if self.away(self.again) and self.again else "jobs in work"
        if not self.away(job):
            return "jobs in work"
        return "scrap and remakes" if self.shop_bears and self.away(self.job) else "lenses and lab work"

    @property
    def owed(self) -> int:
        """What is still owed."""
        return 0 if self.cancelled else self.total - self.reduced - self.paid - self.written_off


class Piece(int):
    """What one piece on the shelf costs, and the bill that it came on."""

    bill: int

    @classmethod
    def of(cls, bill: int, cost: int) -> Piece:
        """Make a piece of a bill."""
        made = cls(cost)
        made.bill = bill
        return made


@dataclass
class PlainBill:
    """A bill of one item: how many came, what one costs by now, and what is owed; below zero the supplier owes it."""

    code: str
    count: int
    unit_cost: int
    owed: int


class PlainShop:
    """What lies on the shelf, what is kept for orders, and what each account comes to (debits above zero)."""

    def __init__(self, shelf: dict[str, list[int]]) -> None:
        self.shelf = shelf
        self.kept: Counter[str] = Counter()
        self.accounts: Counter[str] = Counter()
        self.orders: dict[int, PlainOrder] = {}
        self.deposits: dict[int, int] = {}
        self.bills: dict[int, PlainBill] = {}
        for costs in shelf.values():
            self._post(sum(costs), "inventory", "opening balances")

    def free(self, code: str) -> int:
        """How many may be sold."""
        return len(self.shelf[code]) - self.kept[code]

    def sell(self, number: int, goods: list[tuple[str, int]], job: int | None, *, at_once: bool = False) -> None:
        """Sell goods, a frame with its lenses included; they stay on the shelf. Once an order counted `at_once`."""
        pair = any(code == FRAME for code, _ in goods)
        lines = [PlainLine(code, count, PRICES[code] * count, tax_on(code, count)) for code, count in goods]
        for place, line in enumerate(lines):
            line.at, line.listed = place + 1 + (pair and place > 0), line.net
        order = self.orders[number] = PlainOrder(number, lines, job)
        for line in lines:
            self.kept[line.code] += line.count
            if at_once:
                self._count(line)
        if at_once and pair:
            self._count_lenses(order)

    def put_off(self) -> None:
        """Let what did not leave of any order count no longer until it does; what came back before it left stays."""
        for order in self.orders.values():
            if order.cancelled:
                continue
            here = not any(map(order.away, order.jobs))
            for line in order.lines:
                waits = here if line.code in FRAMES else not line.sent and not line.came_back
                if waits and not line.out and line.code != DEBT:
                    self._count_no_longer(line)
            if here:
                self._count_lenses(order, no_longer=True)

    def take_over(self, number: int, amount: int) -> None:
        """Let a customer owe from before the books began."""
        line = PlainLine(DEBT, 1, amount, 0, at=1, listed=amount, counts=amount, counts_listed=amount)
        self.orders[number] = PlainOrder(number, [line], shipped=False)
        self.accounts["opening balances"] -= amount

    @property
    def sums(self) -> dict[str, int]:
        """What every account comes to, debits above zero."""
        stands = [order.position for order in self.orders.values()]
        owed, ahead = sum(max(each, 0) for each in stands), sum(min(each, 0) for each in stands)
        found = {**self.accounts, "receivable": owed, "customer prepayments": ahead}
        return {account: amount for account, amount in found.items() if amount}

    def pay(self, order: PlainOrder, amount: int, account: str, number: int, month: str) -> None:
        """Take money for an order."""
        order.paid += amount
        order.payments.append(PlainPayment(number, account, amount, month, amount))
        self.accounts[account] += amount

    def take_from(self, order: PlainOrder, payment: PlainPayment, amount: int) -> None:
        """Let some of a payment stand no longer: it goes out the way it came."""
        payment.touched = True
        payment.stands -= amount
        order.paid -= amount
        self.accounts[payment.account] -= amount

    def come_again(self, order: PlainOrder, payment: PlainPayment) -> None:
        """Let what was disputed come again."""
        amount, payment.disputed = payment.disputed, 0
        payment.stands += amount
        order.paid += amount
        self.accounts[payment.account] += amount

    def write_off(self, order: PlainOrder, amount: int) -> None:
        """Give up what will not be paid; below zero it is owed again."""
        order.written_off += amount
        self.accounts["sales never paid"] += amount

    def reduce(self, order: PlainOrder, place: int, net: int, *, goods: bool = False) -> None:
        """Lower what is owed by some of a line's charge, with its tax, and with all of its goods or none."""
        line = order.lines[place]
        tax = rounded(Decimal(line.tax * (line.net_back + net)) / line.net) - line.tax_back
        self._give_up(line, net, tax)
        line.net_back += net
        line.tax_back += tax
        order.reduced += net + tax
        if goods:
            self._goods_back(line)

    def ship(self, order: PlainOrder, number: int, places: list[int], job: int | None) -> None:
        """Let some of an order leave, the oldest goods first."""
        order.shipped = True
        for line in (order.lines[place] for place in places):
            line.sent = True
            left = line.count - line.came_back
            self.kept[line.code] -= left
            line.gone = [self.shelf[line.code].pop(0) for _ in range(left)]
            self._post(sum(line.gone), "cost of goods sold", "inventory")
        order.parcels.append(PlainParcel(number, list(places), [] if job is None else [job]))
        for line in order.lines:
            if not line.out and (job is not None if line.code in FRAMES else order.lines.index(line) in places):
                self._count(line)
        if job is not None:
            self._count_lenses(order)
        self._move_lenses(order)

    def come_back(self, order: PlainOrder, parcel: PlainParcel) -> None:
        """Let a parcel come back: the goods that the customer still has lie on the shelf as the newest, kept again."""
        parcel.back = True
        for line in (order.lines[place] for place in parcel.lines):
            if not line.came_back:
                line.sent = False
                self.shelf[line.code].extend([sum(line.gone) // line.count] * line.count)
                self.kept[line.code] += line.count
                self._post(sum(line.gone), "inventory", "cost of goods sold")
                line.gone = []
                if line.code not in FRAMES:
                    self._count_no_longer(line)
        if parcel.jobs and not any(map(order.away, order.jobs)):
            for line in order.lines:
                if line.code in FRAMES and not line.out:
                    self._count_no_longer(line)
            self._count_lenses(order, no_longer=True)
        self._move_lenses(order)

    def make_again(self, order: PlainOrder, job: int, *, shop_bears: bool) -> None:
        """Begin a job in the place of an order's first one."""
        order.again, order.shop_bears = job, shop_bears
        self._move_lenses(order)

    def _move_lenses(self, order: PlainOrder) -> None:
        for job, amount in order.lenses.items():
            before, now = order.where[job], order.account_of(job)
            self._post(amount, now, before)
            order.where[job] = now

    def give_back(self, order: PlainOrder, place: int, net: int, account: str, *, goods: bool) -> None:
        """Give money back on a line, with all of its goods or none; what they cost must divide by their number."""
        line = order.lines[place]
        tax = rounded(Decimal(line.tax * (line.net_back + net)) / line.net) - line.tax_back
        self._give_up(line, net, tax)
        line.net_back += net
        line.tax_back += tax
        order.given_back += net + tax
        self.accounts[account] -= net + tax
        if goods:
            self._goods_back(line)

    def _goods_back(self, line: PlainLine) -> None:
        line.came_back = line.count
        if line.sent:
            self.shelf[line.code].extend([sum(line.gone) // line.count] * line.count)
            self._post(sum(line.gone), "inventory", "cost of goods sold")
        else:
            self.kept[line.code] -= line.count

    def cancel(self, order: PlainOrder) -> None:
        """Take an order back as if it had never been."""
        order.cancelled = True
        for line in order.lines:
            self.kept[line.code] -= 0 if line.out else line.count
        for payment in order.payments:
            self.accounts[payment.account] -= payment.stands
        self.accounts["sales never paid"] -= order.written_off
        for line in order.lines:
            if line.code == DEBT:
                self.accounts["opening balances"] += line.counts
            else:
                self._count_no_longer(line)
        self._count_lenses(order, no_longer=True)
        self._move_lenses(order)

    def due_back(self, order: PlainOrder, out: PlainLine | None, new: PlainLine | None) -> int:
        """Say what goes back in money where a line is taken out for another: what that and what is owed leave of it."""
        worth = new.net + new.tax if new else 0
        value = sum(out.left) if out else 0
        return min(value, max(0, value - worth - order.owed))

    def put_right(
        self,
        order: PlainOrder,
        out: PlainLine | None,
        new: PlainLine | None,
        account: str,
        *,
        exchanged: bool = False,
        back: bool = True,
    ) -> None:
        """Take a line out, or add one, or both; what goes back goes out of an account. Of what left it is a return.

        What came back of goods that left lies on the shelf as the newest.
        """
        due = self.due_back(order, out, new)
        self.accounts[account] -= due
        if out is not None:
            value = sum(out.left)
            if exchanged:
                self._give_up(out, *out.left)
            else:
                self._was_never_sold(out, due)
            order.reduced += value - due
            order.given_back += due
            out.out = True
            if not exchanged:
                self.kept[out.code] -= out.count
            elif back:
                out.came_back = out.count
                self.shelf[out.code].extend([sum(out.gone) // out.count] * out.count)
                self._post(sum(out.gone), "inventory", "cost of goods sold")
        if new is not None:
            new.added = True
            order.lines.append(new)
            self.kept[new.code] += new.count

    def bill_goods(self, bill: int, code: str, count: int, unit_cost: int) -> None:
        """Take in goods that are yet to be paid."""
        self.bills[bill] = PlainBill(code, count, unit_cost, count * unit_cost)
        self.shelf[code].extend(Piece.of(bill, unit_cost) for _ in range(count))
        self._post(count * unit_cost, "inventory", "bills to pay")

    def reprice(self, number: int, each: int) -> None:
        """Let every piece of a bill cost less, or more below zero: those here by themselves, those gone as cost."""
        bill = self.bills[number]
        shelf = self.shelf[bill.code]
        here = [place for place, piece in enumerate(shelf) if isinstance(piece, Piece) and piece.bill == number]
        for place in here:
            shelf[place] = Piece.of(number, shelf[place] - each)
        bill.unit_cost -= each
        bill.owed -= each * bill.count
        self._post(each * len(here), "bills to pay", "inventory")
        self._post(each * (bill.count - len(here)), "bills to pay", "purchase discounts and allowances")

    def settle(self, number: int) -> None:
        """Pay a bill whole, or get back what its supplier owes."""
        bill = self.bills[number]
        self._post(bill.owed, "bills to pay", "bank")
        bill.owed = 0

    def bill_lenses(self, order: PlainOrder, job: int, amount: int) -> None:
        """Take in a job's lenses that are yet to be paid."""
        order.lenses[job] = order.lenses.get(job, 0) + amount
        order.where[job] = order.account_of(job)
        self._post(amount, order.where[job], "bills to pay")

    def take(self, code: str, count: int, account: str) -> None:
        """Take goods from the shelf for something else than an order."""
        cost = sum(self.shelf[code].pop(0) for _ in range(count))
        self._post(cost, account, "inventory")

    def move(self, amount: int, debit: str, credit: str) -> None:
        """Move money from one account to another."""
        self._post(amount, debit, credit)

    def _count(self, line: PlainLine) -> None:
        """Let all of a line count as sold that does not yet; of what was given up before, no offer counts either."""
        net, tax = line.rest
        before = line.net_back - line.back
        offers = line.listed - line.net
        if line.net:
            offers -= rounded(Decimal(offers * before) / line.net)
        offers = offers - line.counts_listed + line.counts if net or not line.net else 0
        self._sold(line, net + offers, net, tax)

    def _count_lenses(self, order: PlainOrder, *, no_longer: bool = False) -> None:
        """Let the lenses that come with the frame for nothing count as sold, or no longer."""
        if order.lenses_count is no_longer:
            order.lenses_count = not no_longer
            self._post(-LENSES if no_longer else LENSES, "offers and discounts", "sales")

    def _was_never_sold(self, line: PlainLine, due: int) -> None:
        """Take a line out: what counted of it leaves the sales again, but for what goes back in money, a return."""
        net, tax = line.left
        value = net + tax
        net_back = rounded(Decimal(due * net) / value) if value else 0
        way, way_tax = net - net_back, tax - due + net_back
        rest, rest_tax = line.rest
        counted, counted_tax = way - min(way, rest), way_tax - min(way_tax, rest_tax)
        self._sold(line, -counted, -counted, -counted_tax)
        rest, rest_tax = rest - min(way, rest), rest_tax - min(way_tax, rest_tax)
        self._returned(line, net_back - min(net_back, rest), due - net_back - min(due - net_back, rest_tax))

    def _count_no_longer(self, line: PlainLine) -> None:
        """Let nothing of a line count as sold, nor as given up of that."""
        self._sold(line, -line.counts_listed, -line.counts, -line.counts_tax)
        self._returned(line, -line.back, -line.back_tax)

    def _give_up(self, line: PlainLine, net: int, tax: int) -> None:
        """Give up first what does not count yet; only the rest is a return."""
        rest, rest_tax = line.rest
        self._returned(line, net - min(net, rest), tax - min(tax, rest_tax))

    def _sold(self, line: PlainLine, listed: int, net: int, tax: int) -> None:
        line.counts_listed += listed
        line.counts += net
        line.counts_tax += tax
        self.accounts["sales"] -= listed
        self.accounts["offers and discounts"] += listed - net
        self.accounts["sales tax payable"] -= tax

    def _returned(self, line: PlainLine, net: int, tax: int) -> None:
        line.back += net
        line.back_tax += tax
        self.accounts["returns and allowances"] += net
        self.accounts["sales tax payable"] += tax

    def _post(self, amount: int, debit: str, credit: str) -> None:
        self.accounts[debit] += amount
        self.accounts[credit] -= amount


def tax_on(code: str, count: int) -> int:
    """Give the sales tax on so many of an item."""
    return tax_of(code, PRICES[code] * count)


def tax_of(code: str, net: int) -> int:
    """Give the sales tax on a charge for an item."""
    return rounded(net * TAXED.get(code, Decimal(0)))


def rounded(amount: Decimal) -> int:
    """Round to a cent, a half up."""
    return int(amount.quantize(Decimal(1), ROUND_HALF_UP))
