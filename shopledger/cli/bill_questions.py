"""A supplier's bill by questions: whose it is, what it brought, and whether it is paid at once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any

from shopledger.cli.adding import new_supplier
from shopledger.cli.bill import METHOD, read_expense, read_goods, read_job
from shopledger.cli.context import Run
from shopledger.cli.hints import hint_of
from shopledger.cli.listings import jobs, stocked, suppliers
from shopledger.cli.lists import Listing, Row, listing
from shopledger.cli.options import OptionSet, needed
from shopledger.cli.params import AMOUNT, DAY, text
from shopledger.cli.questions import Before, Question, fill, one_of
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import BillRequest, ExpenseBilled, GoodsBilled, JobBilled
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.typed.words import typed_word

if TYPE_CHECKING:
    from shopledger.money.amount import Cents


class _Bill(OptionSet):
    """What was answered of a bill."""

    supplier: str | None = None
    invoice: str | None = None
    day: date | None = None
    due_on: date | None = None
    goods: tuple[GoodsBilled, ...] | None = None
    jobs: tuple[JobBilled, ...] | None = None
    expenses: tuple[ExpenseBilled, ...] | None = None
    freight: Cents | None = None
    tax: Cents | None = None
    paid: SpendMethod | None = None
    reference: str | None = None

    def request(self) -> BillRequest:
        """Give the bill."""
        return BillRequest(
            supplier=needed(self.supplier),
            invoice=self.invoice or "",
            day=self.day,
            due_on=self.due_on,
            goods=self.goods or (),
            jobs=self.jobs or (),
            expenses=self.expenses or (),
            freight=self.freight or 0,
            tax=self.tax or 0,
            paid=self.paid,
            reference=self.reference or "",
        )


def _each(read: Callable[[str, str], Any], field: str) -> Callable[[str], tuple[Any, ...]]:
    """Make the reader of several with spaces between."""
    return lambda typed: tuple(read(each, field) for each in typed.replace(",", " ").split())


def _suppliers(run: Run, before: Before) -> Listing:
    return suppliers(run.desk(), lambda: new_supplier(run, before.answers))


def _categories(_run: Run, _before: Before) -> Listing:
    return listing("category", (Row(typed_word(each)) for each in ExpenseCategory), many=True)


_QUESTIONS = (
    Question("supplier", "supplier", "Supplier, number or name", text("supplier"), lists=_suppliers),
    Question("invoice", "--invoice", "The supplier's own number of the bill", text("invoice", 40), optional=True),
    Question("day", "--day", "Day of the bill, if not today", lambda typed: DAY.read(typed, "day"), optional=True),
    Question("due_on", "--due", "Day it has to be paid by", lambda typed: DAY.read(typed, "due"), optional=True),
    Question(
        "goods",
        "--stock",
        "Goods, as in PELLOW-52=12@61.00: code, how many, cost of one",
        _each(read_goods, "goods"),
        optional=True,
        lists=lambda run, _before: stocked(run.desk(), many=True),
    ),
    Question(
        "jobs",
        "--job",
        "Lenses or lab work, as in 118=42.50: job and amount",
        _each(read_job, "job"),
        optional=True,
        lists=lambda run, _before: jobs(run.desk(), many=True),
    ),
    Question(
        "expenses",
        "--expense",
        "What is neither, as in supplies=18.00: category and amount",
        _each(read_expense, "expense"),
        optional=True,
        lists=_categories,
    ),
    Question("freight", "--freight", "Freight", lambda typed: AMOUNT.read(typed, "freight"), optional=True),
    Question(
        "tax", "--tax", "Sales tax paid on goods for resale", lambda typed: AMOUNT.read(typed, "tax"), optional=True
    ),
    Question(
        "paid",
        "--paid",
        "Paid at once from (cash, bank, card, owner)",
        lambda typed: METHOD.read(typed, "method"),
        optional=True,
        lists=one_of("method", SpendMethod),
    ),
    Question(
        "reference",
        "--reference",
        "Reference of that payment, where it is paid",
        text("reference", 40),
        optional=True,
    ),
)
_KINDS = {"day": DAY, "due_on": DAY, "freight": AMOUNT, "tax": AMOUNT}


def asked_bill(run: Run, supplier: str | None) -> BillRequest:
    """Ask for a whole bill; what cannot stand is said at the end and leads back to its question."""
    from shopledger.desk.books.billing import plan_bill

    def check(given: _Bill) -> None:
        if not (given.goods or given.jobs or given.expenses or given.freight):
            raise RefusedError("goods", "missing", "a bill brings goods, lab work or an expense", "Type one of them.")
        plan_bill(run.desk(), given.request())

    hinted = [each._replace(hint=hint_of(_KINDS.get(each.name))) for each in _QUESTIONS]
    return fill(run, _Bill.with_only(supplier=supplier), hinted, check, within="bill: ").request()
