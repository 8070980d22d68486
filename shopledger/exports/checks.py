"""What must agree if a period is whole: sheet against sheet, against the journal, and rows against the ledger."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, TypeAlias

from shopledger.exports.customer_sheets import DEPOSITS, MONEY_BACK, PAYMENTS, REFUNDS, SALES, TAX
from shopledger.exports.cut_off import OPEN, STANDING
from shopledger.exports.formulas import (
    ANY,
    DEBTS_TAKEN_OVER,
    Figure,
    Section,
    add_sections,
    add_verdict,
    adjusted,
    all_agree,
    change,
    closing,
    figure_grid,
    joined,
    kept,
    negative,
    summed,
    where,
)
from shopledger.exports.posted_sheets import GOODS_COST, JOURNAL, MOVEMENTS, STOCK, TRIAL
from shopledger.exports.sheets import Grid, Kind
from shopledger.exports.spending_sheets import BILLS, EXPENSES, MONEY_MOVES
from shopledger.exports.summary import CHECKS
from shopledger.exports.views import ACCRUAL, BETWEEN, CASH
from shopledger.ledger.books.figures import PeriodFigures, PeriodTotals
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.posting_rules import STANDS_ON
from shopledger.ledger.books.reports import PeriodReport
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.books.spending_rows import PROCESSOR, BilledFor, ExpenseSource
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import PAID_BY, Method
from shopledger.ledger.stock import StockReason

_GOODS_KINDS: Final = tuple(kind for kind in LineKind if kind is not LineKind.SHIPPING)


def checks_grid(report: PeriodReport) -> Grid:
    """Give the sheet of checks; its first line says whether all below hold."""
    words = "Each figure from two sides; DIFFERS means that a sheet was changed or is not whole."
    headings = ("Check", "From the one", "From the other", "Check")
    grid = figure_grid(report, CHECKS, words, headings, (58.0, 18.0, 18.0, 13.0), "A6")
    sections = _sections(report.figures.totals, report.period.noun)
    count = sum(len(section.figures) for section in sections)
    add_verdict(grid, "All checks below", all_agree(grid, count), "verdict")
    add_sections(grid, sections)
    return grid


def _sections(totals: PeriodTotals, noun: str) -> tuple[Section, ...]:
    return (
        Section("The journal in itself", tuple(_books())),
        Section("The sheets against one another", _across(totals)),
        Section("Customers, against the journal", tuple(_customers(noun))),
        Section("Money, against the journal", tuple(_money())),
        Section("Goods, against the journal", tuple(_goods(noun))),
        Section("Spending, against the journal", tuple(_spending(noun))),
        Section("What is open, against the journal", tuple(_cut_off(noun))),
        Section("Accrual and cash", tuple(_views())),
    )


def _books() -> Iterator[Figure]:
    debits = summed(JOURNAL, "Debit")
    yield Figure("Debits are credits", debits, summed(JOURNAL, "Credit"))
    yield Figure("Debits of the trial balance", summed(TRIAL, "Debits"), debits)
    yield Figure("Credits of the trial balance", summed(TRIAL, "Credits"), summed(JOURNAL, "Credit"))
    yield Figure("The trial balance opens at zero", summed(TRIAL, "Opening"), 0)
    yield Figure("The trial balance closes at zero", summed(TRIAL, "Closing"), 0)


def _across(totals: PeriodTotals) -> tuple[Figure, ...]:
    """Give what two sheets must agree on."""
    came = "+".join(summed(STOCK, each) for each in ("Opening", "In", "Adjusted"))
    return (
        Figure("Net sales less what was taken back, from Tax by state", summed(TAX, "Net sales"), totals.net_kept),
        Figure("Sales tax less what was taken back, from Tax by state", summed(TAX, "Tax"), totals.tax_kept),
        Figure("Exempt and taxable sales are all sales", f"{summed(TAX, 'Exempt')}+{summed(TAX, 'Taxable base')}",
               kept("Net")),
        Figure("Items on hand: opening, in and adjusted, less out", f"{came}-{summed(STOCK, 'Out')}",
               summed(STOCK, "Closing"), Kind.COUNT),
    )  # fmt: skip


def _customers(noun: str) -> Iterator[Figure]:
    # Together, since the sales of ledgers begun before offers were posted apart stand there net.
    sold = "+".join(where(SALES, "Net", Kind=kind) for kind in _GOODS_KINDS)
    yield Figure("Sales less offers and discounts", sold, negative(change(Account.SALES, Account.DISCOUNTS)))
    yield Figure(
        "Shipping income", where(SALES, "Net", Kind=LineKind.SHIPPING), negative(change(Account.SHIPPING_INCOME))
    )
    yield Figure("Returns and allowances", summed(REFUNDS, "Net"), change(Account.RETURNS))
    charged = f"{summed(SALES, 'Tax')}-{summed(REFUNDS, 'Tax')}"
    handed_on = where(MONEY_MOVES, "Amount", Kind=MoveKind.TAX_PAID)
    before = adjusted(Account.SALES_TAX_PAYABLE)
    yield Figure("Sales tax owed", f"{charged}-{handed_on}-({before})", negative(change(Account.SALES_TAX_PAYABLE)))
    sellers = where(EXPENSES, "Amount", Source=ExpenseSource.SELLERS_TAX)
    yield Figure("Sales tax laid on the seller", sellers, negative(change(Account.SELLERS_TAX_CHARGED)))
    back = f"{summed(MONEY_BACK, 'Amount')}+{summed(MONEY_BACK, 'To deposit')}"
    given_way = summed(REFUNDS, "Given back")
    off = where(EXPENSES, "Amount", Source=ExpenseSource.NEVER_PAID)
    owed = f"{summed(SALES, 'Net')}+{summed(SALES, 'Tax')}-{summed(PAYMENTS, 'Amount')}+{back}-{given_way}-{off}"
    yield Figure("Owed by customers, less what they paid ahead", f"{owed}+{DEBTS_TAKEN_OVER}", change(*STANDS_ON))
    left = f"{summed(DEPOSITS, 'Left')}-{summed(DEPOSITS, 'Before')}"
    yield Figure("Customers' deposits", left, negative(change(Account.CUSTOMER_DEPOSITS)))
    yield Figure(
        f"Customers' deposits at the {noun}'s end",
        summed(DEPOSITS, "Left"),
        negative(closing(Account.CUSTOMER_DEPOSITS)),
    )
    yield Figure(
        "Deposits used",
        f"{summed(PAYMENTS, 'From deposit')}-{summed(MONEY_BACK, 'To deposit')}",
        summed(DEPOSITS, "Used"),
    )


def _money() -> Iterator[Figure]:
    for account in dict.fromkeys(method.account for method in PAID_BY):
        yield Figure(account.title.capitalize(), f"{_through(account)}+{adjusted(account)}", change(account))
    held, released = (where(MONEY_MOVES, "Amount", Kind=kind) for kind in (MoveKind.RESERVED, MoveKind.RELEASED))
    yield Figure("Held in reserve by the card processor", f"{held}-{released}", change(Account.CARD_RESERVE))
    moved = f"{where(MONEY_MOVES, 'Amount', Kind=MoveKind.CARD_PAID)}"
    owed = f"{moved}-({_spent(SpendMethod.CARD)})+{adjusted(Account.CREDIT_CARD)}"
    yield Figure("Credit card owed", owed, change(Account.CREDIT_CARD))
    put_in = where(MONEY_MOVES, "Amount", Kind=MoveKind.CONTRIBUTION)
    yield Figure(
        "Owner contributions",
        f"{put_in}+{_spent(SpendMethod.OWNER)}-({adjusted(Account.CONTRIBUTIONS)})",
        negative(change(Account.CONTRIBUTIONS)),
    )
    taken = where(MONEY_MOVES, "Amount", Kind=MoveKind.DRAW)
    own_use = _moved(Account.DRAWS)
    drawn = f"{taken}-{own_use}+{adjusted(Account.DRAWS)}"
    yield Figure("Owner draws, goods taken home included", drawn, change(Account.DRAWS))
    income = where(MONEY_MOVES, "Amount", Kind=MoveKind.OTHER_INCOME)
    let_keep = where(MONEY_MOVES, "Fee", Kind=MoveKind.TAX_PAID)
    earned = f"{income}+{let_keep}-({adjusted(Account.OTHER_INCOME)})"
    yield Figure("Other income", earned, negative(change(Account.OTHER_INCOME)))


def _through(account: Account) -> str:
    """Give what came into an account of money less what went out of it, by the methods that go through it."""
    methods = [method for method in Method if method.account is account]
    came, went = [], []
    for method in methods:
        came += [where(PAYMENTS, "Amount", Method=method), where(DEPOSITS, "Taken", Method=method)]
        went += [
            where(PAYMENTS, "From deposit", Method=method),
            where(MONEY_BACK, "Amount", Method=method),
            where(DEPOSITS, "Given back", Method=method),
        ]
    spent = [f"({_spent(method)})" for method in SpendMethod if method.account is account]
    if account is Method.CARD.account:
        went.append(where(EXPENSES, "Amount", Method=PROCESSOR))
    moved = summed(MONEY_MOVES, account.title.capitalize())
    return "-".join(["+".join([*came, moved]), *went, *spent])


def _spent(method: SpendMethod) -> str:
    """Add up what was paid by a method, at once and on bills."""
    return f"{where(EXPENSES, 'Amount', Method=method)}+{where(BILLS, 'Paid', Method=method)}"


def _goods(noun: str) -> Iterator[Figure]:
    yield Figure("Inventory", summed(MOVEMENTS, "Cost"), change(Account.INVENTORY))
    yield Figure(f"Inventory at the {noun}'s end", summed(STOCK, "Closing value"), closing(Account.INVENTORY))
    counted = f"{summed(STOCK, 'Closing')}-{summed(STOCK, 'Opening')}"
    yield Figure("Items that came and went", summed(MOVEMENTS, "Count"), counted, Kind.COUNT)
    for account in Account:
        if account.kind is AccountKind.COST:
            cost = where(GOODS_COST, "Cost", Account=account.title)
            yield Figure(account.title.capitalize(), cost, change(account))
    moved = _moved(Account.COST_OF_GOODS)
    yield Figure("Cost of goods sold, from Stock movements", negative(moved), change(Account.COST_OF_GOODS))
    moved = _moved(Account.WRITTEN_OFF)
    yield Figure("Written off, from Stock movements", negative(moved), change(Account.WRITTEN_OFF))
    billed = f"{where(BILLS, 'Billed', For=BilledFor.JOB)}-{where(BILLS, 'Credited', For=BilledFor.JOB)}"
    stand = change(Account.WORK_IN_PROGRESS, Account.LENSES, Account.SCRAP)
    yield Figure("Billed for jobs: in work, shipped or scrapped", billed, stand)


def _moved(account: Account) -> str:
    """Add up the movements of every reason that stands against an account."""
    return "+".join(where(MOVEMENTS, "Cost", Reason=reason) for reason in StockReason if reason.account is account)


def _cut_off(noun: str) -> Iterator[Figure]:
    for standing in STANDING:
        stands = closing(*standing.accounts)
        rows = standing.rows(summed, where)
        yield Figure(
            f"{standing.words} at the {noun}'s end, from {OPEN.title}",
            rows,
            stands if standing.debit else negative(stands),
        )


def _spending(noun: str) -> Iterator[Figure]:
    for account in Account:
        if account.kind is AccountKind.EXPENSE or account is Account.EQUIPMENT:
            spent = where(EXPENSES, "Amount", Account=account.title)
            yield Figure(account.title.capitalize(), spent, change(account))
    on_bills = where(EXPENSES, "Amount", Source=ExpenseSource.BILLED)
    of_bills = f"{where(BILLS, 'Billed', For=BilledFor.EXPENSE)}-{where(BILLS, 'Credited', For=BilledFor.EXPENSE)}"
    yield Figure("Expenses on bills, from Bills", of_bills, on_bills)
    owed = f"{summed(BILLS, 'Owed')}-{summed(BILLS, 'Before')}"
    yield Figure("Bills to pay", owed, negative(change(Account.ACCOUNTS_PAYABLE)))
    yield Figure(
        f"Bills to pay at the {noun}'s end", summed(BILLS, "Owed"), negative(closing(Account.ACCOUNTS_PAYABLE))
    )
    yield Figure(
        "Goods billed, from Stock movements",
        where(BILLS, "Billed", For=BilledFor.STOCK),
        where(MOVEMENTS, "Cost", Reason=StockReason.RECEIVED, Bill=ANY),
    )


def _views() -> Iterator[Figure]:
    earned = (
        negative(f"{where(TRIAL, 'Debits', Kind=kind)}-{where(TRIAL, 'Credits', Kind=kind)}")
        for kind in AccountKind
        if not kind.lasts
    )
    accrual, between, cash = (joined(part.values()) for part in (ACCRUAL, BETWEEN, CASH))
    yield Figure("Result on accrual, from the trial balance", accrual, "+".join(earned))
    yield Figure("Result on accrual and what lies between, result on cash", f"{accrual}+{between}", cash)


Sums: TypeAlias = dict[str, dict[str, int]]
"""What each sheet's columns came to, by title and heading, counted while the rows passed by."""


@dataclass(frozen=True, slots=True)
class FigureDiffers:
    """A figure of the period that the rows do not add up to; counts as they are, money in cents."""

    figure: str
    from_rows: int
    in_ledger: int


def differences(figures: PeriodFigures, sums: Sums) -> tuple[FigureDiffers, ...]:
    """Give each figure that the rows do not add up to."""
    pairs = (*_against_ledger(figures, sums), *_against_journal(figures, sums), *_in_themselves(sums))
    return tuple(FigureDiffers(*pair) for pair in pairs if pair[1] != pair[2])


def _against_ledger(figures: PeriodFigures, sums: Sums) -> Iterator[tuple[str, int, int]]:
    totals, money = figures.totals, figures.money
    lines, refunds, back = sums["Sales lines"], sums["Refunds"], sums["Money back"]
    yield "List prices", lines["List price"], totals.list_total + totals.put_right_list - totals.cancelled_list
    reduction = totals.reduction_total + totals.put_right_reduction - totals.cancelled_reduction
    yield "Reductions by offers", lines["Reduction"], reduction
    yield "Net sales less cancellations", lines["Net"], totals.net_total + totals.put_right_net - totals.cancelled_net
    yield "Sales tax less cancellations", lines["Tax"], totals.tax_total + totals.put_right_tax - totals.cancelled_tax
    yield "Refunded and given up net", refunds["Net"], totals.given_up_net
    yield "Refunded and given up tax", refunds["Tax"], totals.given_up_tax
    yield "Payments received", sums["Payments"]["Amount"], totals.payments_total
    yield "Money given back", back["Amount"] + back["To deposit"], totals.money_back
    yield "Net sales, from Tax by state", sums["Tax by state"]["Net sales"], totals.net_kept
    yield "Sales tax, from Tax by state", sums["Tax by state"]["Tax"], totals.tax_kept
    yield "Sales tax in payments", sums["Payments"]["Tax in it"] - back["Tax in it"], money.tax - money.sellers_tax
    yield "Bills paid", sums["Bills"]["Paid"], money.bills_paid


def _against_journal(figures: PeriodFigures, sums: Sums) -> Iterator[tuple[str, int, int]]:
    posted, lines, refunds = figures.posted, sums["Sales lines"], sums["Refunds"]
    yield "Net sales, as posted", lines["Net"] - refunds["Net"], posted.net_sales
    yield (
        "Sales tax, as posted",
        lines["Tax"] - refunds["Tax"],
        (posted.tax_owed + figures.money.tax_paid + figures.money.tax_entered),
    )
    yield "Cost of goods, as posted", sums["Cost of goods"]["Cost"], posted.of_kind(AccountKind.COST)
    spent = posted.of_kind(AccountKind.EXPENSE) + posted.change(Account.EQUIPMENT)
    yield "Expenses, as posted", sums["Expenses"]["Amount"], spent - figures.money.income_timed
    bills, deposits = sums["Bills"], sums["Deposits"]
    yield "Bills, as posted", bills["Owed"] - bills["Before"], -posted.change(Account.ACCOUNTS_PAYABLE)
    yield "Deposits, as posted", deposits["Left"] - deposits["Before"], -posted.change(Account.CUSTOMER_DEPOSITS)
    # Whatever money came or went without its posting, or was posted without a row, lies between the two results.
    way = figures.accrual_result + sum(figures.between.values())
    yield "Money, as posted", figures.cash_result, way


def _in_themselves(sums: Sums) -> Iterator[tuple[str, int, int]]:
    journal, trial = sums["Journal"], sums["Trial balance"]
    yield "Debits and credits", journal["Debit"], journal["Credit"]
    yield "Debits of the trial balance", trial["Debits"], journal["Debit"]
    yield "Trial balance at the beginning", trial["Opening"], 0
    yield "Trial balance at the end", trial["Closing"], 0
