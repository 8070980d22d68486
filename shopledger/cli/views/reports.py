"""Months and years shown: their own figures, and whether a month is open or closed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Block, Column, Fields, Json, Table
from shopledger.cli.views.figures import money
from shopledger.ledger.books.figures import PeriodFigures, PeriodMoney, PeriodPosted, PeriodTotals, ViewLine
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.tax_forms import LABELS
from shopledger.ledger.settings import Accounting
from shopledger.money.amount import Cents, write_amount

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopledger.desk.books.reports import YearShown
    from shopledger.ledger.books.closing import MonthState, PeriodEvent
    from shopledger.ledger.books.period import Month

_WORDS = {
    ViewLine.CUSTOMERS: "sold to customers, less refunds",
    ViewLine.DEPOSITS: "deposits taken less given back",
    ViewLine.SELLERS_TAX_IN: "sales tax laid on the seller, in",
    ViewLine.OTHER_INCOME: "other income",
    ViewLine.GOODS: "cost of goods, lenses and lab work",
    ViewLine.EXPENSES: "expenses",
    ViewLine.SELLERS_TAX_OUT: "sales tax laid on the seller, out",
    ViewLine.EQUIPMENT: "equipment paid at once",
    ViewLine.BILLS: "suppliers' bills paid",
}
"""The lines of both views, short enough for two amounts beside them."""


def month_data(month: Month, figures: PeriodFigures, accounting: Accounting) -> dict[str, Json]:
    """Give a month's figures as JSON."""
    totals = figures.totals
    return {
        "month": str(month),
        "orders": totals.orders,
        "list_total": money(totals.list_total),
        "reduction_total": money(totals.reduction_total),
        "net_total": money(totals.net_total),
        "tax_total": money(totals.tax_total),
        "payments_total": money(totals.payments_total),
        "cancellations": totals.cancellations,
        "cancelled_net": money(totals.cancelled_net),
        "cancelled_tax": money(totals.cancelled_tax),
        "refunds": totals.refunds,
        "refunded_net": money(totals.refunded_net),
        "refunded_tax": money(totals.refunded_tax),
        "put_right_net": money(totals.put_right_net),
        "put_right_tax": money(totals.put_right_tax),
        "lowered_net": money(totals.lowered_net),
        "lowered_tax": money(totals.lowered_tax),
        "net_kept": money(totals.net_kept),
        "tax_kept": money(totals.tax_kept),
        "money_back": money(figures.money.given_back),
        "money_kept": money(figures.money.received - figures.money.given_back),
        "from_deposits": money(figures.money.from_deposits),
        "deposits_taken": money(figures.money.deposits_taken),
        "deposits_given_back": money(figures.money.deposits_given_back),
        "expenses_paid": money(figures.money.expenses + figures.money.equipment),
        "bills_paid": money(figures.money.bills_paid),
        "accounting": accounting.value,
        "accrual": _view_data(figures.accrual),
        "cash": _view_data(figures.cash),
        "between": {line.name.lower(): money(amount) for line, amount in figures.between.items()},
        "accounts": {account.title: money(amount) for account, amount in _moved(figures.posted)},
    }


def month_blocks(month: Month, figures: PeriodFigures, accounting: Accounting) -> tuple[Block, ...]:
    """Give a month's figures for reading: sales, what was taken back if anything was, money, and both views."""
    totals = figures.totals
    sold = Fields(
        f"Month {month}",
        (
            ("orders", str(totals.orders)),
            ("list prices", write_amount(totals.list_total)),
            ("reductions", write_amount(-totals.reduction_total)),
            ("net sales", write_amount(totals.net_total)),
            ("sales tax", write_amount(totals.tax_total)),
            ("orders paid", write_amount(totals.payments_total)),
        ),
    )
    changed = totals.cancellations or totals.refunds or totals.corrected
    taken_back = (_taken_back(figures), _left(figures)) if changed else ()
    return (sold, *taken_back, _money(figures.money, figures.posted), _views(figures, accounting))


def _taken_back(figures: PeriodFigures) -> Fields:
    totals = figures.totals
    return Fields(
        "Taken back in the month",
        (
            ("orders cancelled", str(totals.cancellations)),
            ("net sales cancelled", write_amount(totals.cancelled_net)),
            ("sales tax cancelled", write_amount(totals.cancelled_tax)),
            ("refunds", str(totals.refunds)),
            ("net sales refunded", write_amount(totals.refunded_net)),
            ("sales tax refunded", write_amount(totals.refunded_tax)),
            *(_corrected(totals) if totals.corrected else ()),
            ("money given back", write_amount(figures.money.given_back)),
        ),
    )


def _corrected(totals: PeriodTotals) -> tuple[tuple[str, str], ...]:
    return (
        ("net sales put right", write_amount(totals.put_right_net)),
        ("sales tax put right", write_amount(totals.put_right_tax)),
        ("net sales given up without money", write_amount(totals.lowered_net)),
        ("sales tax given up without money", write_amount(totals.lowered_tax)),
    )


def _left(figures: PeriodFigures) -> Fields:
    totals, moved = figures.totals, figures.money
    return Fields(
        "Left after that",
        (
            ("net sales", write_amount(totals.net_kept)),
            ("sales tax", write_amount(totals.tax_kept)),
            ("money", write_amount(moved.received - moved.given_back)),
        ),
    )


def _money(moved: PeriodMoney, posted: PeriodPosted) -> Table:
    """Set out where the money came from and went to, and what each account of money changed by."""
    lines = (
        ("from customers for orders", moved.received),
        ("back to customers", -moved.given_back),
        ("deposits taken", moved.deposits_taken),
        ("deposits given back", -moved.deposits_given_back),
        ("expenses paid", -moved.expenses),
        ("equipment paid", -moved.equipment),
        ("suppliers' bills paid", -moved.bills_paid),
        ("kept by the card processor or the bank", -moved.fees),
        ("other income", moved.other_income),
        ("sales tax handed on", moved.tax_kept - moved.tax_paid),
    )
    accounts = (Account.CASH, Account.CARD_CLEARING, Account.CARD_RESERVE, Account.BANK, Account.CREDIT_CARD)
    changed = ((f"{account.title}, change", posted.change(account)) for account in accounts)
    rows = tuple((words, write_amount(amount)) for words, amount in (*lines, *changed) if amount)
    return Table("Money", (Column("what"), Column("amount", right=True)), rows, "None came or went.")


def _views(figures: PeriodFigures, accounting: Accounting) -> Table:
    """Set both views beside each other, the shop's own first, and below them what lies between."""
    views = {Accounting.ACCRUAL: figures.accrual, Accounting.CASH: figures.cash}
    order = sorted(views, key=lambda each: each is not accounting)
    rows = [
        (_WORDS[line], *(_shown(views[each].get(line)) for each in order))
        for line in ViewLine
        if any(views[each].get(line) for each in order)
    ]
    result = ("result", *(write_amount(sum(views[each].values())) for each in order))
    between = [
        (line.value[0].lower() + line.value[1:], write_amount(amount))
        for line, amount in figures.between.items()
        if amount
    ]
    column = order.index(Accounting.CASH) + 1
    blank = ("", "")
    way = [(words, *blank[: column - 1], amount, *blank[column:]) for words, amount in between]
    head = [("from accrual to cash:", "", "")] if way else []
    columns = (Column("the month's result"), *(Column(each.value, right=True) for each in order))
    return Table("Accrual and cash", columns, (*rows, result, *head, *way))


def _shown(amount: Cents | None) -> str:
    return "" if amount is None else write_amount(amount)


def _view_data(view: dict[ViewLine, Cents]) -> dict[str, Json]:
    lines = {line.name.lower(): money(amount) for line, amount in view.items()}
    return {**lines, "result": money(sum(view.values()))}


def _moved(posted: PeriodPosted) -> list[tuple[Account, Cents]]:
    """Give what each account changed by, in the order of the chart; income and what is owed as more than zero."""
    turned = {AccountKind.LIABILITY, AccountKind.EQUITY, AccountKind.INCOME}
    changes = ((account, posted.change(account)) for account in Account)
    return [(account, -amount if account.kind in turned else amount) for account, amount in changes if amount]


def event_data(event: PeriodEvent) -> dict[str, Json]:
    """Give what was done to a month as JSON."""
    return {
        "month": str(event.month),
        "deed": event.deed.value,
        "reason": event.reason,
        "accepted": list(event.accepted),
        "entries": event.head.count,
        "head": str(event.head),
        "operator": event.operator,
        "recorded_at": event.recorded_at,
    }


def event_fields(event: PeriodEvent) -> Fields:
    """Give what was done to a month for reading."""
    rows = (
        ("by", event.operator),
        ("reason", event.reason),
        ("accepted", ", ".join(event.accepted)),
        ("ledger head", str(event.head)),
    )
    return Fields(f"Month {event.month} {event.deed.value}", rows)


def state_data(state: MonthState) -> dict[str, Json]:
    """Give how a month stands as JSON."""
    return {
        "month": str(state.month),
        "closed": state.closed,
        "entries": state.entries,
        "net_sales": money(state.net_sales),
        "last": None if state.event is None else event_data(state.event),
    }


def state_table(states: Sequence[MonthState]) -> Table:
    """Give the months in a table, oldest first."""
    columns = (
        Column("Month", whole=True),
        Column("State", whole=True),
        Column("Entries", right=True),
        Column("Net sales", right=True),
        Column("Head", whole=True),
        Column("Note"),
    )
    return Table("Months", columns, [_state_row(state) for state in states])


def _state_row(state: MonthState) -> tuple[str, ...]:
    event = state.event
    head = str(event.head) if event is not None and state.closed else ""
    note = "" if event is None else event.reason or " ".join(event.accepted)
    word = "closed" if state.closed else "open"
    return (str(state.month), word, str(state.entries), write_amount(state.net_sales), head, note)


def year_data(shown: YearShown) -> dict[str, Json]:
    """Give a year's figures as JSON: each line in both accounting views."""
    views = {each.value: shown.schedule(each) for each in Accounting}
    return {
        "year": str(shown.year),
        "draft": shown.state.draft,
        "state": shown.state.sentence,
        "open_months": [str(month) for month in shown.state.open_months],
        "accounting": shown.accounting.value,
        "inventory_view": shown.inventory_view.value,
        "lines": {
            line: {"words": words, **{name: money(view[line]) for name, view in views.items()}}
            for line, words in LABELS.items()
        },
    }


def year_blocks(shown: YearShown) -> tuple[Table, ...]:
    """Give a year's figures for reading; the owner's accounting view comes first, and empty lines are left out."""
    order = (shown.accounting, *(each for each in Accounting if each is not shown.accounting))
    views = [shown.schedule(each) for each in order]
    headings = (
        Column("Line", whole=True),
        Column("What"),
        *(Column(f"{each.value.capitalize()}", right=True) for each in order),
    )
    rows = [
        (line, words, *(write_amount(view[line]) for view in views))
        for line, words in LABELS.items()
        if line in _ALWAYS or any(view[line] for view in views)
    ]
    draft = " (DRAFT)" if shown.state.draft else ""
    title = f"Year {shown.year}{draft}, goods as {_GOODS[shown.inventory_view.value]}"
    return (Table(title, headings, rows),)


_ALWAYS = frozenset({"1", "3", "5", "7", "28", "29", "40", "42"})
_GOODS = {"inventory": "inventories", "materials": "materials that are not incidental"}
