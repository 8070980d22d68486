"""What the card processor reports (Form 1099-K) against the books: month by month, and from gross to net sales.

The processor reports what it processed, with the sales tax, before refunds and fees, and knows nothing of other money
(IRS Publication 334, chapter 5). Each payment counts on the day of the transaction, whatever became of it: a disputed
one stays, one moved to another order stays where it was, one recorded by mistake never was one (26 CFR 1.6050W-1(a)(6)
for the day, read as quoted by a tax firm; the form counts "unadjusted" for credits and refunds, read in the IRS's
questions and answers). So each difference has a line, and the lines add up exactly.
"""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

from shopledger.exports.sheets import Formula, Grid, Heading, Kind, Number, RowLook
from shopledger.exports.year_accounts import MONTHS, MonthsGrid, added, turned
from shopledger.exports.year_tables import Months, card_money_by_month
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.reports import MoneyEvent, YearFigures
from shopledger.ledger.books.tax_forms import ON_ORDERS, RECEIPTS, TAKEN_BACK
from shopledger.ledger.orders import Method
from shopledger.money.amount import Cents

TITLE: Final = "Card payments"
BRIDGE: Final = "1099-K"
CARD: Final = Method.CARD.value

_GROSS: Final = (MoneyEvent.PAYMENT, MoneyEvent.DEPOSIT)
_BACK: Final = (MoneyEvent.REFUND, MoneyEvent.CANCELLED, MoneyEvent.DEPOSIT_BACK)


def cards_grid(figures: YearFigures) -> Grid:
    """Give the sheet of what went over the card processor, month by month."""
    sheet = MonthsGrid(TITLE, "CardPayments", 38)
    money = card_money_by_month(figures, CARD)
    paid, taken, payouts = (
        money[event, "amount"] for event in (MoneyEvent.PAYMENT, MoneyEvent.DEPOSIT, MoneyEvent.PAYOUT)
    )
    fees = money[MoneyEvent.PAYOUT, "fee"]
    sheet.row("Card payments on orders", "payments", paid)
    sheet.row("Deposits taken by card", "deposits", taken)
    gross = sheet.sum("Gross processed, as a 1099-K counts it", "gross", "{payments}+{deposits}", added(paid, taken))
    sheet.row("Sales tax in the payments, by proportion", "tax", money[MoneyEvent.PAYMENT, "tax"])
    sheet.row("Shipping in the payments, by proportion", "shipping", money[MoneyEvent.PAYMENT, "shipping"])
    refunds = sheet.row("Refunds by card", "refunds", money[MoneyEvent.REFUND, "amount"])
    cancelled = sheet.row("Paid back for cancelled orders", "cancelled", money[MoneyEvent.CANCELLED, "amount"])
    back = sheet.row("Deposits given back by card", "deposits back", money[MoneyEvent.DEPOSIT_BACK, "amount"])
    disputed = sheet.row("Disputed, taken back by the processor", "disputed",
                         turned(money[MoneyEvent.DISPUTED, "amount"]))  # fmt: skip
    won = sheet.row("Disputes won, paid again", "won", money[MoneyEvent.DISPUTE_WON, "amount"])
    charged = added(*(money[event, "fee"] for event in ON_ORDERS))
    sheet.row("Fees of disputes", "dispute fees", charged)
    sheet.row("Paid out by the processor, with its fees", "payouts", payouts)
    sheet.row("Fees that it kept", "fees", fees)
    sheet.sum("Came to the bank", "bank", "{payouts}-{fees}", added(payouts, turned(fees)))
    held = sheet.row("Held back as a reserve, less what was released", "held", money[MoneyEvent.RESERVED, "amount"])
    began = sheet.row("Owed by the processor when the books began", "began", money[MoneyEvent.CARD_OPENING, "amount"])
    less = "-".join(f"{{{name}}}" for name in ("refunds", "cancelled", "deposits back", "disputed", "dispute fees"))
    formula = f"ROUND({{gross}}-{less}+{{won}}-{{payouts}}-{{held}}+{{began}},2)"
    changes = added(gross, won, began, *map(turned, (refunds, cancelled, back, disputed, charged, payouts, held)))
    sheet.sum("Change of what the processor owes", "change", formula, changes)
    for balance, months in ((_OWES, changes), (_RESERVE, held)):
        _add_balance(sheet.grid, balance, figures.opened_at(balance.account), months)
    count = sum(row.count for row in figures.of(_GROSS, CARD))
    sheet.grid.add(f"Transactions of the year: {count:,}", look=RowLook.BOLD)
    return sheet.grid


def bridge_grid(figures: YearFigures) -> Grid:
    """Give the sheet that holds the books against the form's boxes, and leads from what was processed to net sales."""
    headings = (
        Heading("Box", 8, Kind.TEXT), Heading("Line", 52, Kind.TEXT), Heading("In the books", 16),
        Heading("On the form", 16), Heading("Difference", 14), Heading("Note", 54, Kind.TEXT, notes=True),
    )  # fmt: skip
    grid = Grid(BRIDGE, headings, "GrossToNet", landscape=True)
    gross = figures.moved(*_GROSS, method=CARD)
    _boxes(grid, figures, gross)
    grid.title_row("From gross to net sales", 1)
    grid.add("", "Gross processed by card", Formula("{1a}", gross), name="gross", look=RowLook.TOTAL)
    steps = _steps(figures)
    for name, words, amount, note in steps:
        grid.add("", words, amount, None, None, note, name=name)
    net = gross + sum(step[2] for step in steps)
    grid.add("", "Net sales", Formula(f"SUM({{gross}}:{{{steps[-1][0]}}})", net), name="net", look=RowLook.TOTAL)
    posted = -figures.change(*RECEIPTS, Account.RETURNS)
    grid.add("", "Net sales in the books", Formula(f"{{{MONTHS}!net sales.N}}", posted), None, None,
             "Line 3 of Schedule C, on accrual.", name="posted", look=RowLook.TOTAL)  # fmt: skip
    grid.add("", "Difference", Formula("ROUND({net}-{posted},2)", net - posted), None, None, "Must be zero.",
             name="difference", look=RowLook.TOTAL)  # fmt: skip
    return grid


def _boxes(grid: Grid, figures: YearFigures, gross: Cents) -> None:
    """Add the boxes of the form, each beside an empty cell for what the forms received say."""
    whole = Formula(f"{{{TITLE}!gross.N}}", gross)
    grid.title_row("Type what the form says; with several forms, what they say together", 1)
    _box(grid, "1a", "Gross amount of payment card transactions", whole, _ONE_PROCESSOR)
    _box(grid, "1b", "Of it card not present", whole, _NOT_PRESENT)
    count = sum(row.count for row in figures.of(_GROSS, CARD))
    grid.add("3", "Number of payment transactions", Number(count, Kind.COUNT), None,
             Formula('IF(D{#}="","",C{#}-D{#})', "", Kind.COUNT), "Refunds are not counted.", name="3")  # fmt: skip
    by_month = [
        sum(row.amount for row in figures.of(_GROSS, CARD) if row.month == each) for each in figures.year.months
    ]
    for place, (month, amount) in enumerate(zip(figures.year.months, by_month, strict=True)):
        cell = Formula(f"{{{TITLE}!gross.{chr(ord('B') + place)}}}", amount)
        note = _LAST_DAYS if not place else None
        _box(grid, f"5{chr(ord('a') + place)}", f"{calendar.month_name[month.number]}", cell, note)
    together = Formula("ROUND(SUM({5a}:{5l}),2)", sum(by_month))
    _box(grid, "", "Boxes 5a to 5l together", together, "Must be box 1a, on the form too.", name="together",
         form=Formula('IF(COUNTIF({5a.D}:{5l.D},"<>")=0,"",ROUND(SUM({5a.D}:{5l.D}),2))', ""))  # fmt: skip


_ONE_PROCESSOR: Final = "Gross by the day of the transaction. The books know one processor; a form comes from each."
_NOT_PRESENT: Final = "Orders by mail: nearly all. Whether a card was present is not known here."
_LAST_DAYS: Final = "A difference between two months is often a payment of the last day, by another time zone."


def _box(
    grid: Grid, box: str, words: str, books: Formula, note: str | None, *, name: str = "", form: Formula | None = None
) -> None:
    """Add a box: the books, what stands on the form once it is typed, and the difference then."""
    apart = Formula('IF(D{#}="","",ROUND(C{#}-D{#},2))', "")
    grid.add(box, words, books, form, apart, note, name=name or box)


def _steps(figures: YearFigures) -> tuple[tuple[str, str, Cents, str], ...]:
    moved = figures.moved
    not_card = [row for row in figures.of(_GROSS) if row.method != CARD]
    other_back = [row for row in figures.of(_BACK) if row.method != CARD]
    charged = sum(figures.tax_charged.get(month, 0) for month in figures.year.months)
    taken = list(figures.of(TAKEN_BACK))
    return (
        ("other money", "Money received by cash, check or transfer", sum(row.amount for row in not_card),
         "No 1099-K shows it."),
        ("refunds", "Refunds by card", -moved(MoneyEvent.REFUND, method=CARD), "The form counts before refunds."),
        ("cancelled", "Card payments of cancelled orders, paid back", -moved(MoneyEvent.CANCELLED, method=CARD), ""),
        ("deposits back", "Deposits given back by card", -moved(MoneyEvent.DEPOSIT_BACK, method=CARD), ""),
        ("disputed", "Card payments disputed, less disputes won",
         sum(row.amount for row in taken if row.method == CARD),
         "The form counts them all the same; the fees are an expense."),
        ("bounced", "Payments that the bank sent back", sum(row.amount for row in taken if row.method != CARD), ""),
        ("other back", "Money given back otherwise", -sum(row.amount for row in other_back), ""),
        ("deposits", "Deposits used on orders, less new ones that wait", figures.change(Account.CUSTOMER_DEPOSITS),
         "What waits was received, but is not sold yet."),
        ("owed", "Customers owe more than a year ago", figures.owed_more,
         "Sold, but not received yet; what they owed when the books began was not sold here."),
        ("ahead", "Paid ahead before, less what is paid ahead now", figures.change(Account.PREPAYMENTS),
         "What is paid ahead was received, but its goods did not leave yet."),
        ("never paid", "Sales never paid, written off", figures.change(Account.NEVER_PAID),
         "Sold, and never received."),
        ("tax", "Sales tax charged for the states, less that on refunds", -charged,
         "Collected and handed on: no income (Pub. 334, ch. 5)."),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Balance:
    """What stands with the processor: its account, the row of its changes, the names of its rows and their words."""

    account: Account
    changed: str
    names: tuple[str, str]
    words: tuple[str, str]


_OWES: Final = _Balance(
    Account.CARD_CLEARING,
    "change",
    ("opening", "balance"),
    ("The processor owed at last year's end", "The processor owes at the month's end"),
)
_RESERVE: Final = _Balance(
    Account.CARD_RESERVE,
    "held",
    ("reserve opening", "reserve"),
    ("Held in reserve beside it at last year's end", "Held in reserve beside it at the month's end"),
)


def _add_balance(grid: Grid, balance: _Balance, opening: Cents, changes: Months) -> None:
    """Add what stands there at each month's end; the first month starts from last year's balance."""
    (first, own), (at_first, at_last), changed = balance.names, balance.words, balance.changed
    *_, last = standing = [opening + changed for changed in accumulate(changes)]
    cells = [
        Formula(
            f"ROUND({{{first}.B}}+{{{changed}}},2)"
            if not place
            else f"ROUND({chr(ord('A') + place)}{{#}}+{{{changed}}},2)",
            at,
        )
        for place, at in enumerate(standing)
    ]
    grid.add(at_first, opening, name=first)
    grid.add(at_last, *cells, Formula("M{#}", last), name=own, look=RowLook.TOTAL)
