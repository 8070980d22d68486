"""The notes: how a workbook was made, what its columns mean, and what it does not decide."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

from shopledger.exports.sheets import Grid, Heading, Kind, Sheet, TextFit
from shopledger.exports.views import WHY, views
from shopledger.exports.year_schedule import ADVANCES_WORDS, GOODS_WORDS
from shopledger.ledger.books.payee_forms import CAUTION as PAYEES
from shopledger.ledger.books.reports import PeriodReport, Report, YearReport
from shopledger.ledger.nexus import CAUTION as NEXUS
from shopledger.money.amount import write_amount

TITLE: Final = "Notes"

_CAUTIONS: Final = (
    "What is income, what is deductible and how stock is valued is for a tax preparer to decide.",
    "Sales tax was charged at the rates that the owner had set; the program did not check them.",
    "Which sales are taxed, in which state and at which rate is for the owner and the tax preparer to find out.",
    (
        "Sales stand in the {noun} in which the goods left, payments in the {noun} the money came in, so the two need "
        "not be equal. The sheet Cut-off says what waits between them."
    ),
    (
        "When sales tax is due, at the order, with the goods or with the money, is the state's own rule: here it "
        "counts with the goods."
    ),
    (
        "A refund or cancellation counts in its own {noun}, also for a sale of an earlier one; that {noun} stays as it "
        "was."
    ),
    (
        "A check that the bank sent back, a disputed card payment and money moved to another order stand below zero "
        "among the payments, on the day it happened. What is written off is a loss on accrual alone."
    ),
    "The stock's value is what the goods cost, first in first out, after what was recorded. It is no physical count.",
    "Equipment is no expense here on accrual; how it is written off is for the tax preparer to decide.",
    "Customers' names stand in this file. Keep it as you would the prescriptions.",
)

_YEAR_CAUTIONS: Final = (
    (
        "This is a worksheet and no tax advice. What is income, what is deductible, and which method may be used "
        "is for a tax preparer to decide."
    ),
    (
        "Lines 1 to 7 and Part III follow IRS Publication 334 (2024); the words of all lines, and the numbers of the "
        "expense lines, are from memory, after the form of 2024. Compare them with the form of the year."
    ),
    (
        "A small taxpayer (average gross receipts of the three years before not above about $30 million; 2024's "
        "figure, and it rises with the years) may treat goods as materials that are not incidental instead of "
        "keeping inventories. Choose one way and keep it: another needs Form 3115."
    ),
    (
        "In the cash view goods are deducted as they are in the accrual view. What is not paid for yet may have "
        "to wait: see what is owed to suppliers in the trial balance."
    ),
    (
        "In the cash view deposits count when they are received, and sales tax that is laid on the shop is an "
        "expense as it is charged."
    ),
    (
        "Meals stand in full; often only a part is deductible. Equipment stands apart, since how it is written "
        "off is not decided here. The owner's own labour is never a cost."
    ),
    (
        "What is paid ahead counts on accrual with its goods, in the year after the payment at the latest, or all of "
        "it when it is received (26 USC 451(c) and Rev. Proc. 2004-34, from memory). What still waits at the end of "
        "that year is for the tax preparer to add. Another choice is a change of method."
    ),
    "Opening inventory must equal last year's closing inventory; where it does not, the return must explain why.",
    (
        "A 1099-K counts what was processed, with sales tax, before refunds and fees. For payment cards there is "
        "no lowest sum; other networks report above $20,000 and 200 transactions (Public Law 119-21; compare with"
        " the law of the year)."
    ),
    (
        "Sales that were never paid are an expense on accrual alone; on cash they were never income (Publication 334, "
        "bad debts; from memory). A disputed card payment stays in what a 1099-K counts; what the processor took back, "
        "and its fee, have lines of their own."
    ),
    "Sales tax was charged at the rates that the owner had set; the program did not check them.",
    "A refund or cancellation counts in its own month, also for a sale of an earlier year; that year stays as it was.",
    "Customers' names stand in this file. Keep it as you would the prescriptions.",
)


def period_notes(report: PeriodReport, sheets: Sequence[Sheet[Any]]) -> Iterator[tuple[str, str]]:
    """Give the notes of a period one by one: what about, and what is said."""
    period, noun = report.period, report.period.noun
    yield "This workbook", f"The {noun} {period} of {report.shop_name}, {period.first} to {period.last}."
    yield "EIN", f"{report.ein}, the shop's number at the tax office."
    yield _how_made(report)
    yield f"State of the {noun}", report.state
    yield from _ledger_head(report)
    if report.bank is not None:
        yield (
            "Bank",
            (
                "The bank's balance, with what it does not know yet, is the books' balance, with what they do not know "
                "yet; the month in four columns says the same of what came and went. It shows what was known of the "
                f"bank when the {noun} was closed, or by now. What differs there does not make the other sheets wrong."
            ),
        )
    yield (
        "Checks",
        (
            "On the Summary, figures worked out from the sheets stand beside the ledger's own; on the sheet Checks, "
            "sheets stand beside one another and beside what the journal's accounts changed by. OK means that they "
            "agree; DIFFERS means that a sheet was changed or is not whole."
        ),
    )
    yield (
        "Totals",
        (
            "Totals below a table are for the rows in view, so they follow a filter; the Summary always counts all "
            "rows. Both are formulas; what they come to stands in the file too, for programs that do not calculate."
        ),
    )
    yield from _two_views(report)
    for place, looks in enumerate(report.looks):
        yield "" if place else "Who looked", f"{looks.sentence[:1].upper()}{looks.sentence[1:]}."
    yield from _cautions(caution.format(noun=noun) for caution in _CAUTIONS)
    for sheet in sheets:
        for column in sheet.columns:
            yield f"{sheet.title}: {column.header}", column.means.format(noun=noun)


def _two_views(report: PeriodReport) -> Iterator[tuple[str, str]]:
    """Say what the two views are, and the way from one to the other with its figures."""
    figures = report.figures
    first, second = views(figures, report.accounting)
    yield (
        "Accrual and cash",
        (
            "On accrual a sale counts with its cost and its sales tax when the goods leave, and bills and expenses on "
            "their day; what is paid ahead is the customers' until then. What was handed over of the time before "
            "counts on the day of the order. On cash all counts as money comes and goes; a payment's share of the "
            "order's sales tax is "
            f"left out. The shop has chosen {first.name.lower()}; {second.name.lower()} stands beside it."
        ),
    )
    yield "Result on accrual", write_amount(figures.accrual_result)
    for line, amount in figures.between.items():
        yield line.value, f"{write_amount(amount)}. {WHY[line]}"
    yield "Result on cash", write_amount(figures.cash_result)


def year_notes(report: YearReport, sheets: Sequence[Sheet[Any]]) -> Iterator[tuple[str, str]]:
    """Give the notes of a year one by one."""
    year = report.period
    yield "This workbook", f"The year {year} of {report.shop_name}, {year.first} to {year.last}."
    yield "State", report.state.sentence
    yield "EIN", f"{report.ein}, the shop's number at the tax office."
    yield _how_made(report)
    yield from _ledger_head(report)
    chosen = f"{report.accounting.value}, goods as {GOODS_WORDS[report.inventory_view]}"
    ahead = ADVANCES_WORDS[report.advances].removeprefix("Accrual: ")
    yield (
        "The owner's choice",
        f"{chosen}; {ahead} Both views of each stand on Schedule C, side by side; change none of it lightly.",
    )
    yield (
        "Checks",
        (
            "Each check holds two figures against each other that must be the same. OK means that they are; "
            "DIFFERS means that a sheet was changed or is not whole."
        ),
    )
    yield (
        "Totals",
        (
            "Totals are formulas; what they come to stands in the file too, for programs that do not calculate. "
            "Those below a list are for the rows in view, so they follow a filter."
        ),
    )
    yield (
        "Accrual and cash",
        (
            "Accrual counts what was sold and billed; cash what was received and paid. The last rows of Schedule "
            "C lead from line 1 of the one to line 1 of the other. A bill that is paid in part counts in part "
            "under each of its headings. What an adjusting entry only moves in time, as insurance paid ahead, counts "
            "on accrual alone: on cash it counts as it was paid."
        ),
    )
    yield (
        "To report",
        (
            f"Payees to whom {write_amount(report.limit.amount)} or more was paid in the year for services or "
            f"rent, cards left out ({report.limit.source}). {PAYEES}"
        ),
    )
    yield "Nexus watch", NEXUS
    yield from _cautions(_YEAR_CAUTIONS)
    for sheet in sheets:
        for place, column in enumerate(sheet.columns):
            yield (sheet.title if not place else "", f"{column.header}: {column.means.format(noun=year.noun)}")


def notes_grid(said: Iterable[tuple[str, str]], about_width: float, note_width: float) -> Grid:
    """Give notes as a sheet of two columns."""
    headings = (
        Heading("About", about_width, Kind.TEXT, text=TextFit.PROSE, bold=True),
        Heading("Note", note_width, Kind.TEXT, text=TextFit.PROSE),
    )
    grid = Grid(TITLE, headings, frozen="A2")
    for about, note in said:
        grid.add(about, note)
    return grid


def _how_made(report: Report) -> tuple[str, str]:
    return "How it was made", f"Written from the shop's ledger as of {report.as_of}; nothing was typed in by hand."


def _ledger_head(report: Report) -> Iterator[tuple[str, str]]:
    yield "Ledger head", report.ledger_head
    yield "", "The same head on a later day proves that the ledger still holds the same history up to then."


def _cautions(cautions: Iterable[str]) -> Iterator[tuple[str, str]]:
    for place, caution in enumerate(cautions):
        yield "" if place else "Cautions", caution
