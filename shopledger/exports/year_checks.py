"""The year's checks: what two sheets must agree on, each as a formula that says OK; and the summary in front."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import reduce
from typing import Any, Final, TypeAlias

from shopledger.exports.customer_sheets import YEAR_CARD_DAYS, YEAR_CUSTOMERS, YEAR_NEXUS, YEAR_STATES
from shopledger.exports.cut_off import OPEN
from shopledger.exports.posted_sheets import YEAR_LOTS
from shopledger.exports.sheets import AGREES, Formula, Grid, Heading, Kind, RowLook, RowsChart, Sheet, agreement
from shopledger.exports.spending_sheets import YEAR_EQUIPMENT, YEAR_EXPENSES
from shopledger.exports.year_accounts import MONTHS, PRIOR, TRIAL
from shopledger.exports.year_cards import BRIDGE
from shopledger.exports.year_cards import TITLE as CARDS
from shopledger.exports.year_cash import TITLE as CASH_MONTHS
from shopledger.exports.year_schedule import ADVANCES_WORDS, COLUMNS, VIEWS, tax_to_come
from shopledger.exports.year_schedule import TITLE as SCHEDULE
from shopledger.ledger.books.figures import ViewLine
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.posting_rules import STANDS_ON
from shopledger.ledger.books.reports import YearFigures, YearReport
from shopledger.ledger.books.tax_forms import RECEIPTS, gross_receipts, schedule_c
from shopledger.ledger.settings import Accounting
from shopledger.money.amount import Cents, to_decimal

CHECKS: Final = "Checks"
SUMMARY: Final = "Summary"
Sums: TypeAlias = Mapping[str, Mapping[str, Cents]]
"""What each list's columns came to, by title and heading, counted while the rows passed by."""


@dataclass(frozen=True, slots=True)
class _Check:
    """Two figures that must be the same."""

    words: str
    one: Formula
    other: Formula


@dataclass(frozen=True, slots=True)
class _Figures:
    """Where the figures to compare stand: on the other sheets, or in the tables of the lists."""

    grids: Mapping[str, Grid]
    sums: Sums

    def at(self, title: str, name: str, column: str) -> Formula:
        """Give the cell of a named row."""
        value = self.grids[title].value(name, ord(column) - ord("A"))
        return Formula(f"{{{title}!{name}.{column}}}", value if isinstance(value, int) else 0)

    def listed(self, sheet: Sheet[Any], header: str) -> Formula:
        """Give the sum of a list's column, whatever filter is set."""
        return Formula(f"SUM({sheet.part(header)})", self.sums[sheet.title][header])

    def balance(self, account: Account) -> Formula:
        """Give what an account stands at in the trial balance, debits above zero."""
        return _less(self.at(TRIAL, account.title, "F"), self.at(TRIAL, account.title, "G"))


def checks_grid(report: YearReport, grids: Mapping[str, Grid], sums: Sums) -> Grid:
    """Give the sheet of checks."""
    grid = Grid(
        CHECKS,
        (Heading("Check", 68, Kind.TEXT), Heading("One figure", 17), Heading("The other", 17),
         Heading("Difference", 15), Heading("Result", 12, Kind.COUNT)),
        "YearChecks",
        landscape=True,
        verdicts="E",
    )  # fmt: skip
    figures = _Figures(grids, sums)
    found = [*_books(figures), *_lists(figures), *_money(figures, report.figures)]
    for place, check in enumerate(found):
        difference = check.one.amount - check.other.amount
        result = agreement("D{#}=0", agrees=not difference)
        grid.add(
            check.words,
            check.one,
            check.other,
            Formula("ROUND(B{#}-C{#},2)", difference),
            result,
            name=f"check {place}",
        )
    whole = all(check.one.value == check.other.value for check in found)
    holding = f'COUNTIF({{check 0}}:{{check {len(found) - 1}}},"{AGREES}")={len(found)}'
    grid.add("All checks", None, None, None, agreement(holding, agrees=whole), name="all",
             look=RowLook.TOTAL)  # fmt: skip
    return grid


def differing(grid: Grid) -> tuple[str, ...]:
    """Give the checks that do not hold by the ledger's own figures."""
    rows = [row for row in grid.rows if row.name.startswith("check ")]
    return tuple(
        str(row.cells[0]) for row in rows if isinstance(row.cells[4], Formula) and row.cells[4].value != AGREES
    )


def summary_grid(report: YearReport, checks: Grid) -> Grid:
    """Give the sheet in front: the main lines in both accounting views, and what stands at the year's end."""
    days = f"EIN {report.ein}. {report.period.first} to {report.period.last}; as of {report.as_of}"
    order = (report.accounting, *(each for each in Accounting if each is not report.accounting))
    grid = Grid(
        SUMMARY,
        (Heading("Figure", 52, Kind.TEXT), Heading(f"{order[0].value.capitalize()}, the owner's view", 22, marked=True),
         Heading(f"{order[1].value.capitalize()}", 22)),
        "YearSummary",
        head=(f"{report.shop_name}: {report.period}", days, report.state.sentence, ADVANCES_WORDS[report.advances], ""),
        one_page=True,
    )  # fmt: skip
    for line, words in _LINES:
        cells = [_line(report, accounting, line) for accounting in order]
        grid.add(words, *cells, name=line, look=RowLook.TOTAL if line in {"5", "29"} else RowLook.PLAIN)
    grid.title_row(f"On {report.period.last.isoformat()}")
    for account, words in _STANDING:
        amount = report.figures.closed_at(account)
        debit = account.kind is AccountKind.ASSET
        formula = f"{{{TRIAL}!{account.title}.F}}-{{{TRIAL}!{account.title}.G}}"
        grid.add(words, Formula(formula if debit else f"-({formula})", amount if debit else -amount),
                 name=account.title)  # fmt: skip
    grid.add(
        "All checks",
        Formula(f"{{{CHECKS}!all.E}}", str(checks.value("all", 4) or "")),
        name="checks",
        look=RowLook.TOTAL,
    )
    grid.row_charts += [
        RowsChart("Sales and cost", MONTHS, ("net sales", "cost"), ("B", "M"), "A", 9),
        RowsChart("Money in and out", CASH_MONTHS, ("in", "out"), ("B", "M"), "B", 9),
    ]
    return grid


_LINES: Final = (
    ("1", "Gross receipts"),
    ("2", "Returns and allowances"),
    ("3", "Net receipts"),
    ("4", "Cost of goods sold"),
    ("5", "Gross profit"),
    ("6", "Other income"),
    ("28", "Expenses"),
    ("29", "Tentative profit or loss"),
)
_STANDING: Final = (
    (Account.INVENTORY, "Stock, at cost"),
    (Account.WORK_IN_PROGRESS, "Lenses and lab work of jobs not shipped"),
    (Account.RECEIVABLE, "Owed by customers"),
    (Account.CARD_CLEARING, "Owed by the card processor"),
    (Account.CARD_RESERVE, "Held in reserve by the card processor"),
    (Account.CASH, "Cash"),
    (Account.BANK, "Bank"),
    (Account.ACCOUNTS_PAYABLE, "Owed to suppliers"),
    (Account.CREDIT_CARD, "Owed on the credit card"),
    (Account.CUSTOMER_DEPOSITS, "Deposits of customers"),
    (Account.PREPAYMENTS, "Paid ahead by customers"),
    (Account.SALES_TAX_PAYABLE, "Sales tax owed to states"),
)


def _line(report: YearReport, accounting: Accounting, line: str) -> Formula:
    column = COLUMNS[VIEWS.index((accounting, report.inventory_view))]
    value = schedule_c(report.figures, accounting, report.inventory_view)[line]
    return Formula(f"{{{SCHEDULE}!{line}.{column}}}", value)


def _books(figures: _Figures) -> tuple[_Check, ...]:
    at = figures.at
    on_hand = _plus(figures.balance(Account.INVENTORY), figures.balance(Account.WORK_IN_PROGRESS))
    return (
        _Check("Trial balance: debits, and credits", at(TRIAL, "total", "F"), at(TRIAL, "total", "G")),
        _Check("Trial balance: all changes come to zero", at(TRIAL, "total", "E"), Formula("0", 0)),
        _Check("Line 41: stock and jobs in work, and their accounts", at(SCHEDULE, "41", "C"), on_hand),
        _Check("Line 42: as inventories, and as materials", at(SCHEDULE, "42", "C"), at(SCHEDULE, "42", "D")),
        _Check("Line 42, and the cost accounts of the months", at(SCHEDULE, "42", "C"), at(MONTHS, "cost", "N")),
        _Check("Line 29 on accrual, and the result of the months with what is counted when received",
               at(SCHEDULE, "29", "C"), _plus(at(MONTHS, "result", "N"), at(SCHEDULE, "advances", "C"))),
        _Check("Line 29 on cash, and the way to it from the twelve months", at(SCHEDULE, "29", "E"),
               at(CASH_MONTHS, "line", "N")),
        _Check("Line 3 on cash, and what customers paid in the twelve months", at(SCHEDULE, "3", "E"), _of_months(at)),
        _Check("Line 6, and the other income of the twelve months", at(SCHEDULE, "6", "E"),
               at(CASH_MONTHS, ViewLine.OTHER_INCOME.name, "N")),
        _Check("The result of the months on cash, and from accrual", at(CASH_MONTHS, "result", "N"),
               at(CASH_MONTHS, "way", "N")),
        _Check("The result beside the year before, and that of the months", at(PRIOR, "result", "C"),
               at(MONTHS, "result", "N")),
    )  # fmt: skip


def _of_months(at: Callable[[str, str, str], Formula]) -> Formula:
    """Add up what customers paid in the twelve months, with deposits and with sales tax that is laid on the shop."""
    paid, *others = (
        at(CASH_MONTHS, line.name, "N") for line in (ViewLine.CUSTOMERS, ViewLine.DEPOSITS, ViewLine.SELLERS_TAX_IN)
    )
    return _plus(paid, _plus(*others))


def _lists(figures: _Figures) -> tuple[_Check, ...]:
    at, listed = figures.at, figures.listed
    seller = at(MONTHS, Account.SELLERS_TAX_CHARGED.title, "N")
    goods = _less(at(MONTHS, "net sales", "N"), seller)
    equipment = _plus(at(SCHEDULE, "equipment", "C"), at(SCHEDULE, "equipment gone", "C"))
    spent = _plus(at(MONTHS, "expenses", "N"), equipment)
    return (
        _Check("Stock: the lots on the last day, and the account", listed(YEAR_LOTS, "Total cost"),
               figures.balance(Account.INVENTORY)),
        _Check("Net sales: by state, and in the months", listed(YEAR_STATES, "Net sales"), goods),
        _Check("Net sales: by state beside its limit, and in the months", listed(YEAR_NEXUS, "Net sales"), goods),
        _Check("Net sales: by customer, and in the months", listed(YEAR_CUSTOMERS, "Net sales"), goods),
        _Check("Sales tax: by state, and in the months", listed(YEAR_STATES, "Tax"),
               _plus(at(MONTHS, "tax charged", "N"), seller)),
        _Check("Open items: what left and is not paid, less what is paid ahead; and their accounts",
               _less(listed(OPEN, "Left unpaid"), listed(OPEN, "Paid ahead")),
               _plus(*map(figures.balance, STANDS_ON))),
        _Check("Open items: bills and deposits, and their accounts", _bills_and_deposits(listed),
               _owed(figures.balance(Account.ACCOUNTS_PAYABLE), figures.balance(Account.CUSTOMER_DEPOSITS))),
        _Check("Equipment: the list of what is there, and the account", listed(YEAR_EQUIPMENT, "There"),
               figures.balance(Account.EQUIPMENT)),
        _Check("Expenses by payee, and the accounts with equipment", listed(YEAR_EXPENSES, "Amount"), spent),
    )  # fmt: skip


def _bills_and_deposits(listed: Callable[[Sheet[Any], str], Formula]) -> Formula:
    """Give what is open that is no order: what is open of an order left and is not paid, or counts later."""
    every = listed(OPEN, "Open")
    of_orders = ("Left unpaid", "Counts later", "Tax later")
    return _less(every, _less(reduce(_plus, (listed(OPEN, each) for each in of_orders)), listed(OPEN, "Paid ahead")),
                 bracketed=True)  # fmt: skip


def _money(figures: _Figures, ledger: YearFigures) -> tuple[_Check, ...]:
    at = figures.at
    owed = (*STANDS_ON, Account.NEVER_PAID, Account.CUSTOMER_DEPOSITS)
    by_journal = ledger.taken_over - ledger.change(*RECEIPTS, *owed) + tax_to_come(ledger)
    by_money = gross_receipts(ledger, Accounting.CASH)
    return (
        _Check("Card payments less payouts, and the clearing account", at(CARDS, "balance", "N"),
               figures.balance(Account.CARD_CLEARING)),
        _Check("Held back by the processor less what was released, and the reserve", at(CARDS, "reserve", "N"),
               figures.balance(Account.CARD_RESERVE)),
        _Check("Gross processed by card: by day, and in the months", figures.listed(YEAR_CARD_DAYS, "Gross"),
               at(CARDS, "gross", "N")),
        _Check("Gross processed by card: boxes 5a to 5l together, and box 1a", at(BRIDGE, "together", "C"),
               at(BRIDGE, "1a", "C")),
        _Check("From gross processed to net sales, and the months", at(BRIDGE, "net", "C"),
               at(MONTHS, "net sales", "N")),
        _Check("Line 1 on cash: from the accounts, and from what customers paid",
               Formula(f"{{{SCHEDULE}!1.E}}", by_journal), Formula(f"{to_decimal(by_money)}", by_money)),
    )  # fmt: skip


def _owed(*balances: Formula) -> Formula:
    """Give what is owed on accounts together, whose balances stand below zero for it."""
    together = reduce(_plus, balances)
    return Formula(f"-({together.text})", -together.amount)


def _plus(one: Formula, other: Formula) -> Formula:
    return Formula(f"{one.text}+{other.text}", one.amount + other.amount)


def _less(one: Formula, other: Formula, *, bracketed: bool = False) -> Formula:
    taken = f"({other.text})" if bracketed else other.text
    return Formula(f"{one.text}-{taken}", one.amount - other.amount)
