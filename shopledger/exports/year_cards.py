"""What the card processor reports (Form 1099-K) against the books: month by month, and from gross to net sales.

The processor reports what it processed, with the sales tax, before refunds and fees, and knows nothing of other money
(IRS Publication 334, chapter 5). Each payment counts on the day of the transaction, whatever became of it: a disputed
one stays, one moved to another order stays where it was, one recorded by mistake never was one (26 CFR 1.6050W-1(a)(6)
for the day, read as quoted by a tax firm; the form counts "unadjusted" for credits and refunds, read in the IRS's
questions and answers). So each difference has a line, and the lines add up exactly.
"""

from __future__ import annotations

from itertools import accumulate
from typing import Final

from shopledger.exports.sheets import Formula, Grid, Heading, Kind, RowLook
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
    sheet = MonthsGrid(TITLE, "CardPayments", 40)
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
    formula = "ROUND({gross}-{refunds}-{cancelled}-{deposits back}-{disputed}+{won}-{dispute fees}-{payouts},2)"
    changes = added(gross, won, *map(turned, (refunds, cancelled, back, disputed, charged, payouts)))
    sheet.sum("Change of what the processor owes", "change", formula, changes)
    _balance(sheet.grid, figures.opened_at(Account.CARD_CLEARING), changes)
    count = sum(row.count for row in figures.of(_GROSS, CARD))
    sheet.grid.add(f"Transactions of the year: {count:,}", look=RowLook.BOLD)
    return sheet.grid


def bridge_grid(figures: YearFigures) -> Grid:
    """Give the sheet that leads from what was processed by card to net sales."""
    headings = (Heading("Line", 62, Kind.TEXT), Heading("Amount", 17), Heading("Note", 58, Kind.TEXT, notes=True))
    grid = Grid(BRIDGE, headings, "GrossToNet", landscape=True)
    gross = figures.moved(*_GROSS, method=CARD)
    grid.add("Gross processed by card", Formula(f"{{{TITLE}!gross.N}}", gross),
             "Compare with box 1a of the forms received.", name="gross", look=RowLook.TOTAL)  # fmt: skip
    steps = _steps(figures)
    for name, words, amount, note in steps:
        grid.add(words, amount, note, name=name)
    net = gross + sum(step[2] for step in steps)
    grid.add("Net sales", Formula(f"SUM({{gross.B}}:{{{steps[-1][0]}.B}})", net), "", name="net", look=RowLook.TOTAL)
    posted = -figures.change(*RECEIPTS, Account.RETURNS)
    grid.add("Net sales in the books", Formula(f"{{{MONTHS}!net sales.N}}", posted),
             "Line 3 of Schedule C, on accrual.", name="posted", look=RowLook.TOTAL)  # fmt: skip
    grid.add("Difference", Formula("ROUND({net.B}-{posted.B},2)", net - posted), "Must be zero.", name="difference",
             look=RowLook.TOTAL)  # fmt: skip
    return grid


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
        ("owed", "Customers owe more than a year ago", figures.change(Account.RECEIVABLE),
         "Sold, but not received yet."),
        ("never paid", "Sales never paid, written off", figures.change(Account.NEVER_PAID),
         "Sold, and never received."),
        ("tax", "Sales tax charged for the states, less that on refunds", -charged,
         "Collected and handed on: no income (Pub. 334, ch. 5)."),
    )  # fmt: skip


def _balance(grid: Grid, opening: Cents, changes: Months) -> None:
    """Add what the processor owes at each month's end; the first month starts from last year's balance."""
    *_, last = standing = [opening + changed for changed in accumulate(changes)]
    cells = [
        Formula(
            "ROUND({opening.B}+{change},2)" if not place else f"ROUND({chr(ord('A') + place)}{{#}}+{{change}},2)", at
        )
        for place, at in enumerate(standing)
    ]
    grid.add("The processor owed at last year's end", opening, name="opening")
    grid.add("The processor owes at the month's end", *cells, Formula("M{#}", last), name="balance", look=RowLook.TOTAL)
