"""The summary of a period: its figures by formula over the other sheets beside the ledger's own, and both views."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from shopledger.exports.customer_sheets import MONEY_BACK, PAYMENTS, REFUNDS
from shopledger.exports.formulas import (
    Figure,
    Section,
    add_sections,
    add_verdict,
    all_agree,
    event,
    figure_grid,
    kept,
    summed,
    where,
    whole,
)
from shopledger.exports.posted_sheets import STOCK
from shopledger.exports.sheets import AGREES, Formula, Grid, RowLook, agreement
from shopledger.exports.views import View, views
from shopledger.ledger.books.customer_rows import GivenUpCause, SaleEvent
from shopledger.ledger.books.figures import PeriodMoney, PeriodTotals, ViewLine
from shopledger.ledger.books.reports import PeriodReport
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import PAID_BY, Method

CHECKS: Final = "Checks"
TITLE: Final = "Summary"


def summary_grid(report: PeriodReport) -> Grid:
    """Give the first sheet; it never grows longer than a page takes, so it is kept on one."""
    period = report.period
    words = f"EIN {report.ein}. {period.first} to {period.last}; as of {report.as_of}. {report.state}"
    headings = ("Figure", "From the sheets", "In the ledger", "Check")
    grid = figure_grid(report, TITLE, words, headings, (52.0, 20.0, 20.0, 13.0), "A5")
    grid.one_page, grid.repeated = True, False
    count = add_sections(grid, _sections(report))
    add_verdict(grid, "All figures above", all_agree(grid, count), "figures")
    add_verdict(grid, f"All checks on sheet {CHECKS}", Formula(f"{{{CHECKS}!verdict.D}}", AGREES), "checks")
    both = agreement(f'AND({{figures.D}}="{AGREES}",{{checks.D}}="{AGREES}")')
    add_verdict(grid, "All checks", both, "all")
    _views(grid, f"The {period.noun}'s result", views(report.figures, report.accounting))
    _breakdown(grid, "Net sales by kind", ("Sold", "Cancelled", "Refunded"), map(_by_kind, LineKind))
    _breakdown(grid, "Money by method", ("Received", "Given back"), map(_by_method, PAID_BY))
    grid.add()
    _amounts(grid, f"Stock at the {period.noun}'s end, at what it cost", (summed(STOCK, "Closing value"),))
    return grid


def _views(grid: Grid, words: str, both: tuple[View, View]) -> None:
    """Set the views beside each other, line by line; the way from one to the other has a sheet of its own."""
    grid.add()
    grid.add(words, *(view.name for view in both), look=RowLook.HEADINGS)
    for line in ViewLine:
        grid.add(line.value, *(view.cell(line) for view in both), name=line.name)
    first, *_, last = ViewLine
    total = f"SUM({{{first.name}}}:{{{last.name}}})"
    grid.add("Result", *(whole(total, view.result) for view in both), look=RowLook.BOLD)


def _breakdown(grid: Grid, title: str, headings: Sequence[str], parts: Iterable[tuple[str, tuple[str, ...]]]) -> None:
    grid.add()
    grid.add(title, *headings, look=RowLook.HEADINGS)
    for word, formulas in parts:
        _amounts(grid, word, formulas)


def _amounts(grid: Grid, words: str, formulas: Iterable[str]) -> None:
    grid.add(words, *(whole(formula) for formula in formulas))


def _by_kind(kind: LineKind) -> tuple[str, tuple[str, ...]]:
    sold = "+".join(event(each, "Net", kind) for each in SaleEvent if each is not SaleEvent.CANCELLED)
    cancelled = f"-{event(SaleEvent.CANCELLED, 'Net', kind)}"
    return kind.value, (sold, cancelled, where(REFUNDS, "Net", Kind=kind))


def _by_method(method: Method) -> tuple[str, tuple[str, ...]]:
    came = f"{where(PAYMENTS, 'Amount', Method=method)}-{where(PAYMENTS, 'From deposit', Method=method)}"
    return method.value, (came, where(MONEY_BACK, "Amount", Method=method))


def _sections(report: PeriodReport) -> tuple[Section, ...]:
    totals, noun = report.figures.totals, report.period.noun
    return (
        Section(f"Sold in the {noun}: goods that left", _sold(totals)),
        Section(f"Taken back in the {noun}", _taken_back(totals)),
        Section("Money of customers", _money(totals, report.figures.money)),
    )


def _sold(totals: PeriodTotals) -> tuple[Figure, ...]:
    net, tax = _events("Net"), _events("Tax")
    return (
        Figure("List prices", _events("List price"), totals.list_total),
        Figure("Reductions by offers", _events("Reduction"), totals.reduction_total),
        Figure("Net sales", net, totals.net_total),
        Figure("Sales tax charged", tax, totals.tax_total),
        Figure("Net sales and sales tax", f"{net}+{tax}", totals.net_total + totals.tax_total),
    )


def _events(column: str) -> str:
    """Add up what left, less what came back undelivered or was put off."""
    return "+".join(event(each, column) for each in (SaleEvent.SOLD, SaleEvent.CAME_BACK, SaleEvent.PUT_OFF))


def _taken_back(totals: PeriodTotals) -> tuple[Figure, ...]:
    cancelled, refund = SaleEvent.CANCELLED, GivenUpCause.REFUND
    return (
        Figure("Net sales cancelled", f"-{event(cancelled, 'Net')}", totals.cancelled_net),
        Figure("Sales tax cancelled", f"-{event(cancelled, 'Tax')}", totals.cancelled_tax),
        Figure("Net sales refunded", where(REFUNDS, "Net", Cause=refund), totals.refunded_net),
        Figure("Sales tax refunded", where(REFUNDS, "Tax", Cause=refund), totals.refunded_tax),
        *(_corrected(totals) if totals.corrected else ()),
        Figure("Net sales less cancellations and refunds", kept("Net"), totals.net_kept),
        Figure("Sales tax less cancellations and refunds", kept("Tax"), totals.tax_kept),
    )


def _corrected(totals: PeriodTotals) -> Iterator[Figure]:
    """Give what corrections of orders changed; most periods have none."""
    for column, put_right, lowered in (
        ("Net", totals.put_right_net, totals.lowered_net),
        ("Tax", totals.put_right_tax, totals.lowered_tax),
    ):
        words = {"Net": "Net sales", "Tax": "Sales tax"}[column]
        parts = f"{event(SaleEvent.ADDED, column)}+{event(SaleEvent.TAKEN_OUT, column)}"
        yield Figure(f"{words} added less taken out, orders put right or exchanged", parts, put_right)
        others = f"{summed(REFUNDS, column)}-{where(REFUNDS, column, Cause=GivenUpCause.REFUND)}"
        yield Figure(f"{words} given up without money, reduced or exchanged", others, lowered)


def _money(totals: PeriodTotals, money: PeriodMoney) -> tuple[Figure, ...]:
    paid, used = summed(PAYMENTS, "Amount"), summed(PAYMENTS, "From deposit")
    back = summed(MONEY_BACK, "Amount")
    return (
        Figure("Orders paid", paid, totals.payments_total),
        Figure("Of it from deposits", used, money.from_deposits),
        Figure("Money given back", back, money.given_back),
        Figure("Money received less money given back", f"{paid}-{used}-{back}", money.received - money.given_back),
    )
