"""Expenses, money that moved, and what lies where, shown."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.money_moves import WHOLE, MoneyMove
from shopledger.ledger.books.spending import Expense, ExpenseCategory
from shopledger.ledger.books.voiding import Listed, Voiding
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import Cents, write_amount

if TYPE_CHECKING:
    from shopledger.store.kept_files import KeptFile

NUMBER = Column("no.", right=True)
DAY = Column("day", whole=True)
AMOUNT = Column("amount", right=True)

DECIDES = "Which line is right, and what may be deducted, is your tax preparer's to decide."


OUT = Outside(
    {
        Expense: Shape(
            first=("number", "day", "payee", "category", "schedule_c"),
            left_out={"file_sha256"},
            made={"schedule_c": lambda expense: expense.category.account.schedule_c},
        ),
        MoneyMove: Shape(first=("number",)),
        Voiding: Shape(left_out={"document"}),
    }
)


def expense_data(expense: Expense, kept: KeptFile | None = None, taken: Voiding | None = None) -> dict[str, Json]:
    """Give one expense as JSON, with its kept file and its voiding."""
    return {
        **OUT.of(expense),
        "receipt": None if kept is None else {"name": kept.name, "size": kept.size, "sha256": kept.sha256},
        "taken_back": None if taken is None else OUT.of(taken),
    }


def expenses_data(found: Sequence[Listed[Expense]]) -> dict[str, Json]:
    """Give a list of expenses as JSON; what was voided counts below zero."""
    rows: list[Json] = [
        {
            **OUT.of(each.what),
            "day": day(each.day),
            "amount": money(each.sign * each.what.amount),
            "taken_back": each.voided,
        }
        for each in found
    ]
    sums: dict[str, Json] = {category.value: money(cents) for category, cents in _by_category(found)}
    return {"expenses": rows, "categories": sums, "total": money(_total(found))}


def moves_data(found: Sequence[Listed[MoneyMove]]) -> dict[str, Json]:
    """Give a list of moves as JSON; what was voided counts below zero."""
    rows: list[Json] = [
        {
            **OUT.of(each.what),
            "day": day(each.day),
            "amount": money(each.sign * each.what.amount),
            "fee": money(each.sign * each.what.fee),
            "taken_back": each.voided,
        }
        for each in found
    ]
    return {"money": rows}


def expense_fields(expense: Expense, kept: KeptFile | None = None, taken: Voiding | None = None) -> Fields:
    """Give one expense for reading."""
    title = f"Expense {expense.number}" if expense.number else "Expense, not yet recorded"
    rows = (
        ("payee", expense.payee),
        ("day", day(expense.day)),
        ("amount", write_amount(expense.amount)),
        ("for", expense.description),
        ("category", f"{expense.category.value} (Schedule C line {expense.category.account.schedule_c})"),
        ("paid by", expense.method.value),
        ("reference", expense.reference),
        ("receipt", f"{kept.name}, {kept.size:,} bytes, {kept.sha256[:16]}" if kept else ""),
        ("voided", taken_words(taken)),
    )
    return Fields(title, rows)


def expense_tables(found: Sequence[Listed[Expense]]) -> tuple[Table, ...]:
    """Give a list of expenses for reading, and what each category comes to."""
    columns = (NUMBER, DAY, Column("payee"), Column("category"), Column("by"), AMOUNT, Column("voided"))
    rows = [
        (
            str(each.what.number),
            day(each.day),
            each.what.payee,
            each.what.category.value,
            each.what.method.value,
            write_amount(each.sign * each.what.amount),
            each.voided,
        )
        for each in found
    ]
    spent = Table("Expenses", columns, rows, "none.")
    if not found:
        return (spent,)
    sums = [(each.value, each.account.schedule_c, write_amount(cents)) for each, cents in _by_category(found)]
    heads = (Column("category"), Column("line", whole=True), AMOUNT)
    return spent, Table("By category", heads, [*sums, ("in all", "", write_amount(_total(found)))])


def categories_data() -> dict[str, Json]:
    """Give every category with its line of Schedule C as JSON."""
    rows: list[Json] = [{"category": each.value, "schedule_c": each.account.schedule_c} for each in ExpenseCategory]
    return {"categories": rows, "caution": DECIDES}


def categories_table() -> Table:
    """Give every category with its line of Schedule C for reading."""
    rows = [(each.value, each.account.schedule_c) for each in ExpenseCategory]
    return Table("Categories", (Column("category"), Column("Schedule C line", whole=True)), rows)


def move_fields(move: MoneyMove) -> Fields:
    """Give one move of money for reading."""
    title = f"Money {move.number}" if move.number else "Money, not yet recorded"
    rows = (
        ("what", move.words),
        ("day", day(move.day)),
        ("amount", write_amount(move.amount)),
        ("kept of it", write_amount(move.fee) if move.fee and move.kind not in WHOLE else ""),
        ("till", "" if move.kind in WHOLE else move.till.value),
        ("reference", move.reference),
        ("note", move.note),
    )
    return Fields(title, rows)


def moves_table(found: Sequence[Listed[MoneyMove]]) -> Table:
    """Give a list of moves for reading."""
    columns = (
        NUMBER,
        DAY,
        Column("what"),
        Column("till"),
        AMOUNT,
        Column("kept of it", right=True),
        Column("voided"),
    )
    rows = [
        (
            str(each.what.number),
            day(each.day),
            each.what.words,
            "" if each.what.kind in WHOLE else each.what.till.value,
            write_amount(each.sign * each.what.amount),
            write_amount(each.sign * each.what.fee) if each.what.fee and each.what.kind not in WHOLE else "",
            each.voided,
        )
        for each in found
    ]
    return Table("Money moved", columns, rows, "none.")


def balances_data(found: Sequence[tuple[Account, Cents]], on: date | None) -> dict[str, Json]:
    """Give what lies where and what is owed as JSON."""
    rows: list[Json] = [
        {"account": account.title, "kind": account.kind.value, "amount": money(cents)} for account, cents in found
    ]
    return {"on": day(on) or None, "accounts": rows}


def balances_fields(found: Sequence[tuple[Account, Cents]], on: date | None) -> tuple[Fields, Fields]:
    """Give what lies where and what is owed for reading."""
    until = f" at the end of {day(on)}" if on else ""
    here = [(account.title, write_amount(cents)) for account, cents in found if account.kind is AccountKind.ASSET]
    owed = [(account.title, write_amount(cents)) for account, cents in found if account.kind is not AccountKind.ASSET]
    return Fields(f"Money by the books{until}", here), Fields("Owed", owed)


def taken_words(taken: Voiding | None) -> str:
    """Say when and why something was voided; nothing if it was not."""
    return "" if taken is None else f"on {day(taken.day)}: {taken.reason}"


def _by_category(found: Sequence[Listed[Expense]]) -> list[tuple[ExpenseCategory, Cents]]:
    sums: defaultdict[ExpenseCategory, Cents] = defaultdict(int)
    for each in found:
        sums[each.what.category] += each.sign * each.what.amount
    return [(category, sums[category]) for category in ExpenseCategory if category in sums]


def _total(found: Sequence[Listed[Expense]]) -> Cents:
    return sum(each.sign * each.what.amount for each in found)
