"""What the card processor reports, and how it stands to the books, shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Block, Column, Fields, Json, Table
from shopledger.cli.views.figures import day, money
from shopledger.cli.views.lenses import finding_data, finding_table
from shopledger.cli.views.money import OUT
from shopledger.ledger.books.money_moves import WHOLE
from shopledger.ledger.books.processor_reports import ReportKind
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.desk.books.payouts import CardsOwed, PayoutPlan
    from shopledger.desk.books.processor_reports import ReportImport, ReportLaidOut
    from shopledger.ledger.books.period import Period
    from shopledger.ledger.books.processor_matches import CardComparison, CardEvent
    from shopledger.ledger.books.processor_reports import Payout, ProcessorLine, ReportRow

MOST_SHOWN = 5
DAY, AMOUNT, KIND = Column("day", whole=True), Column("gross", right=True), Column("type")
_PARTS = (
    ("charges", (ReportKind.CHARGE,)),
    ("refunds", (ReportKind.REFUND,)),
    ("disputes", (ReportKind.DISPUTE, ReportKind.REVERSAL)),
    ("adjustments", (ReportKind.ADJUSTMENT,)),
    ("reserve", (ReportKind.RESERVE,)),
    ("carried balance", (ReportKind.CARRIED,)),
)


def laid_out_data(done: ReportLaidOut) -> dict[str, Json]:
    """Give a report's first rows, and what they are by their columns, as JSON."""
    return {
        "processor": done.processor.name,
        "rows": [list(row) for row in done.rows],
        "read": [_row_data(row) for row in done.read[:MOST_SHOWN]],
        "count": len(done.read),
    }


def laid_out_blocks(done: ReportLaidOut) -> tuple[Table, Table]:
    """Give a report's first rows, and what they are by their columns, for reading."""
    widest = max((len(row) for row in done.rows), default=0)
    raw = [(*row, *[""] * (widest - len(row))) for row in done.rows]
    columns = (Column("payout"), DAY, KIND, AMOUNT, Column("fee", right=True), Column("net", right=True))
    read = [_row_cells(row) for row in done.read[:MOST_SHOWN]]
    return (
        Table("The report's first rows", [Column(str(place + 1)) for place in range(widest)], raw),
        Table(f"The first of its {len(done.read)} rows", columns, read),
    )


def import_data(done: ReportImport) -> dict[str, Json]:
    """Give what a report brings as JSON."""
    return {
        "file": done.file.name,
        "sha256": done.file.sha256,
        "processor": done.processor.name,
        "new": len(done.plan.new),
        "known": done.plan.known,
        "payouts": list(done.plan.payouts),
        "not_paid_out": len(done.plan.waiting),
        "sum": money(done.plan.total),
        "report": done.report.number if done.report else None,
    }


def import_fields(done: ReportImport) -> Fields:
    """Give what a report brings for reading."""
    plan = done.plan
    rows = (
        ("new rows", str(len(plan.new))),
        ("there already", str(plan.known)),
        ("new payouts", ", ".join(plan.payouts)),
        ("not paid out yet", str(len(plan.waiting)) if plan.waiting else ""),
        ("they come to", write_amount(plan.total)),
    )
    return Fields(f"{done.processor.name}, {done.file.name}", rows)


def payout_data(plan: PayoutPlan) -> dict[str, Json]:
    """Give one payout, with what records it, as JSON."""
    payout = plan.payout
    return {
        "payout": payout.name,
        "processor": plan.processor.name,
        "day": day(payout.day),
        "arrives_on": day(payout.arrives_on) or None,
        "amount": money(payout.amount),
        **{name.replace(" ", "_"): money(payout.of(*kinds)) for name, kinds in _PARTS},
        "fees": money(payout.fees),
        "rows": len(payout.rows),
        "recorded": plan.recorded,
        "recorded_by": [each.number for each in plan.linked],
        "found": [each.number for each in plan.found],
        "moves": OUT.all(plan.moves),
        "findings": finding_data(plan.findings),
    }


def payout_blocks(plan: PayoutPlan) -> tuple[Block, ...]:
    """Give one payout, with what records it, for reading."""
    payout = plan.payout
    sums = [(name, write_amount(payout.of(*kinds)) if payout.of(*kinds) else "") for name, kinds in _PARTS]
    rows = (
        ("day", day(payout.day)),
        ("arrives on", day(payout.arrives_on)),
        *sums,
        ("fees", write_amount(-payout.fees) if payout.fees else ""),
        ("to the bank" if payout.amount >= 0 else "from the bank", write_amount(payout.amount)),
        ("recorded before", ", ".join(f"money {each.number}" for each in (*plan.linked, *plan.found))),
    )
    columns = (Column("money"), DAY, Column("what"), Column("amount", right=True), Column("fee", right=True))
    moves = [
        (
            str(each.number or ""),
            day(each.day),
            each.words,
            write_amount(each.amount),
            write_amount(each.fee) if each.kind not in WHOLE else "",
        )
        for each in plan.moves
    ]
    blocks: tuple[Block, ...] = (
        Fields(f"Payout {payout.name}", rows),
        Table("Recorded as", columns, moves, "nothing."),
    )
    return (*blocks, finding_table(plan.findings)) if plan.findings else blocks


def payouts_data(found: Iterable[PayoutPlan]) -> dict[str, Json]:
    """Give payouts, each with what records it, as JSON."""
    return {"payouts": [payout_data(each) for each in found]}


def payouts_table(found: Iterable[PayoutPlan]) -> Table:
    """Give payouts, each with what records it, for reading."""
    columns = (
        *(Column("payout"), DAY, Column("charges", right=True), Column("given back", right=True)),
        *(Column("fees", right=True), Column("to the bank", right=True), Column("recorded as")),
    )
    rows = [
        (
            each.payout.name,
            day(each.payout.day),
            write_amount(each.payout.of(ReportKind.CHARGE)),
            write_amount(_back(each.payout)),
            write_amount(-each.payout.fees),
            write_amount(each.payout.amount),
            ", ".join(f"money {move.number}" for move in each.linked) if each.recorded else "not yet",
        )
        for each in found
    ]
    return Table("Payouts", columns, rows, "none.")


def compared_data(period: Period, found: CardComparison) -> dict[str, Json]:
    """Give rows beside the books as JSON."""
    return {
        "first": day(period.first),
        "last": day(period.last),
        "agrees": found.agrees,
        "matched": len(found.found),
        "alike": sum(len(each.lines) for each in found.alike),
        "rows_left": [
            {**_line_data(each.line), "could_be": [str(event.document) for event in each.candidates]}
            for each in found.rows_left
        ],
        "books_left": [_event_data(each) for each in found.events_left],
        "awaited": [_event_data(each) for each in found.awaited],
        "fees_apart": [
            {**_line_data(each.line), "document": str(each.event.document), "apart": money(each.fee_apart)}
            for each in found.found
            if each.fee_apart
        ],
    }


def compared_blocks(found: CardComparison) -> tuple[Block, ...]:
    """Give rows beside the books for reading: what was met in numbers, what was not one by one."""
    head = Fields(
        "Reports and books",
        (
            ("the same", str(len(found.found))),
            ("alike on a day", str(sum(len(each.lines) for each in found.alike)) if found.alike else ""),
            ("not reported yet", str(len(found.awaited)) if found.awaited else ""),
        ),
    )
    rows = [
        (
            *_row_cells(each.line.row),
            each.line.transaction_id,
            ", ".join(str(event.document) for event in each.candidates),
        )
        for each in found.rows_left
    ]
    apart = [
        (str(each.event.document), day(each.line.day), write_amount(each.line.fee), write_amount(each.event.fee))
        for each in found.found
        if each.fee_apart
    ]
    columns = (Column("payout"), DAY, KIND, AMOUNT, Column("fee", right=True), Column("net", right=True))
    blocks: list[Block] = [
        head,
        Table("Rows without anything in the books", (*columns, Column("number"), Column("could be")), rows, "none."),
        Table(
            "In the books, and on no report",
            (Column("document"), Column("order"), DAY, KIND, AMOUNT),
            [_event_cells(each) for each in found.events_left],
            "none.",
        ),
    ]
    if apart:
        heads = (Column("document"), DAY, Column("fee reported", right=True), Column("in the books", right=True))
        blocks.append(Table("Fees of disputes that differ", heads, apart))
    return tuple(blocks)


def compared_verdict(found: CardComparison) -> str:
    """Say whether reports and books agree."""
    if found.agrees:
        return "The reports agree with the books, row by row."
    many = len(found.rows_left) + len(found.events_left) + sum(bool(each.fee_apart) for each in found.found)
    return f"{many} {'thing differs' if many == 1 else 'things differ'} between the reports and the books."


def owed_data(owed: CardsOwed) -> dict[str, Json]:
    """Give what the processor owes as JSON."""
    reports = owed.reports
    return {
        "on": day(owed.day),
        "books": money(owed.books),
        "reserve": money(owed.reserve),
        "reported": None if reports is None else money(reports.owed),
        "reported_reserve": None if reports is None else money(reports.reserve),
        "difference": None if reports is None else money(owed.apart),
    }


def owed_fields(owed: CardsOwed) -> Fields:
    """Give what the processor owes for reading."""
    reports = owed.reports
    held = reports is not None and (reports.reserve or owed.reserve)
    rows: Sequence[tuple[str, str]] = (
        ("at the end of", day(owed.day)),
        ("by the books", write_amount(owed.books)),
        ("by its reports", write_amount(reports.owed) if reports else ""),
        ("reserve beside it", write_amount(owed.reserve) if owed.reserve else ""),
        ("reserve by its reports", write_amount(reports.reserve) if reports and held else ""),
        ("difference", write_amount(owed.apart) if reports else ""),
    )
    return Fields("Owed by the processor", rows)


def _back(payout: Payout) -> int:
    return payout.of(ReportKind.REFUND, ReportKind.DISPUTE, ReportKind.REVERSAL)


def _row_cells(row: ReportRow) -> tuple[str, str, str, str, str, str]:
    return (
        row.payout,
        day(row.day),
        row.kind.value,
        write_amount(row.gross),
        write_amount(row.fee),
        write_amount(row.net),
    )


def _row_data(row: ReportRow) -> dict[str, Json]:
    return {
        "payout": row.payout,
        "payout_day": day(row.payout_day) or None,
        "day": day(row.day),
        "type": row.kind.value,
        "gross": money(row.gross),
        "fee": money(row.fee),
        "net": money(row.net),
        "id": row.transaction_id,
    }


def _line_data(line: ProcessorLine) -> dict[str, Json]:
    return {"row": line.number, **_row_data(line.row)}


def _event_data(event: CardEvent) -> dict[str, Json]:
    return {
        "document": str(event.document),
        "order": event.order_number,
        "day": day(event.day),
        "type": event.kind.value,
        "amount": money(event.amount),
    }


def _event_cells(event: CardEvent) -> tuple[str, str, str, str, str]:
    order = str(event.order_number or "")
    return str(event.document), order, day(event.day), event.kind.value, write_amount(event.amount)
