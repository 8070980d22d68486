"""The card processor: its reports taken in, its payouts recorded from them, its rows beside the books."""

from __future__ import annotations

from dataclasses import fields
from typing import Final

from flask import render_template, request

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Form, chosen, file, form, line, text, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.money.part import BOTH, pages
from shopledger.desk.books.payouts import cards_owed, compare_cards, payouts, plan_payout, record_payout
from shopledger.desk.books.processor_reports import import_report, keep_columns, processors
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.processor_layout import ReportLayout
from shopledger.ledger.books.processor_reports import ReportKind
from shopledger.ledger.books.statement_layout import DateOrder

MOST: Final = 200


def _known() -> tuple[Choice, ...]:
    return tuple(Choice(each.name, each.name) for each in processors(desk()))


REPORT: Final = file(
    "report", "The processor's report", needed=True, about=("file",), hint="A CSV file of its payouts."
)
WHICH: Final = chosen("processor", "Card processor", _known, needed=False)
TAKE_IN: Final = form(WHICH, REPORT)
NAME: Final = line("name", "Your name for the processor", width="middle", about=("processor",))
WORDS: Final = text(
    "words",
    "Its own words for kinds of rows",
    about=("word",),
    hint=f"One a line, such as chargeback=dispute. Kinds: {', '.join(each.value for each in ReportKind)}.",
)
COLUMNS: Final = (
    line("payout", "Number of the payout", width="middle", hint="The word above the column."),
    line("payout_day", "Day of the payout", width="middle"),
    line("day", "Day of the transaction", width="middle"),
    line("kind", "What a row is", width="middle"),
    line("gross", "Amount before the fee", width="middle"),
    line("fee", "Fee", width="middle"),
    line("net", "Amount less the fee", width="middle"),
    line("transaction_id", "Number of the transaction", needed=False, width="middle"),
    line("arrives_on", "Day at the bank", needed=False, width="middle"),
    line("total", "What the payout comes to", needed=False, width="middle"),
    line("currency", "Currency", needed=False, width="middle"),
)
LAYOUT: Final = Form(
    (
        ("", (NAME, REPORT)),
        ("Which column says what", COLUMNS),
        ("How it is written", (word("date_order", "A day is written", DateOrder), WORDS)),
    )
)


@pages.get("/processor")
def processor() -> str:
    """Show what the processor owes, and its payouts with whether they are recorded."""
    known = processors(desk())
    name = request.args.get("processor") or (known[0].name if known else None)
    found = tuple(reversed(payouts(desk(), name))) if name else ()
    today = desk().today
    return render_template(
        "money/processor.html",
        known=known,
        name=name,
        found=found[:MOST],
        waiting=[each for each in found if not each.recorded],
        owed=cards_owed(desk()),
        month=Month(today.year, today.month),
    )


@pages.route("/processor/import", methods=BOTH)
def take_in_report() -> Answer:
    """Take in a report."""

    def store(values: Values) -> Done:
        done = import_report(desk(), values.read["report"], values.of(WHICH))
        new, waiting = len(done.plan.new), len(done.plan.waiting)
        later = f" {waiting} of them are not paid out yet." if waiting else ""
        return Done("/money/processor", f"{done.processor.name}: {new} new rows.{later}")

    return fill(
        TAKE_IN,
        store,
        "form.html",
        start={"processor": [each.value for each in _known()[:1]]},
        keep=("report of the processor", ""),
        heading="Take in a report of the card processor",
        lead="All of it or nothing; the same file again changes nothing. Its columns have to be said once before.",
        button="Take it in",
        back=("/money/processor", "Card processor"),
    )


@pages.route("/processor/columns", methods=BOTH)
def report_columns() -> Answer:
    """Say which columns of a processor's reports are what."""

    def store(values: Values) -> Done:
        known = {each.name for each in fields(ReportLayout)}
        said = {name: value for name, value in values.read.items() if name in known and value is not None}
        layout = ReportLayout(**{**said, "words": _words(request.form.get("words", ""))})
        done = keep_columns(desk(), values.of(NAME), values.read["report"], layout)
        return Done("/money/processor/import", f"{len(done.read)} rows were read so, and the columns were kept.")

    return fill(
        LAYOUT,
        store,
        "form.html",
        start={"date_order": ["year-first"]},
        keep=("columns of a report", ""),
        heading="Columns of a card processor's reports",
        lead="They are said once, by the words above the columns, and tried on a report.",
        button="Try and keep them",
        back=("/money/processor", "Card processor"),
    )


@pages.route("/processor/record", methods=BOTH)
def record_payout_page() -> Answer:
    """Record a payout by its report."""
    name, payout = request.args.get("processor", ""), request.args.get("payout", "")
    plan = plan_payout(desk(), payout, name)

    def store(values: Values) -> Done:
        done = record_payout(desk(), payout, name, values.accept)
        return Done("/money/processor", f"The payout {done.payout.name} was recorded.")

    return fill(form(), store, "money/payout.html", plan=plan)


@pages.route("/processor/record-all", methods=BOTH)
def record_all() -> Answer:
    """Record every payout that is not recorded."""
    name = request.args.get("processor", "")
    waiting = [each for each in payouts(desk(), name) if not each.recorded]

    def store(values: Values) -> Done:
        for each in waiting:
            asked = {finding.code for finding in plan_payout(desk(), each.payout.name, name).findings}
            record_payout(desk(), each.payout.name, name, values.accept & asked)
        return Done("/money/processor", f"{len(waiting)} payouts were recorded.")

    return fill(form(), store, "money/payouts.html", waiting=waiting)


@pages.get("/processor/compare")
def compare() -> str:
    """Show the reports beside the card payments of the books."""
    today = desk().today
    typed = request.args.get("period") or str(Month(today.year, today.month))
    return render_template("money/compare.html", found=compare_cards(desk(), Period.read(typed)), period=typed)


def _words(typed: str) -> tuple[tuple[str, str], ...]:
    """Read the processor's own words for kinds, one a line."""
    pairs = (each.rpartition("=") for each in typed.splitlines() if each.strip())
    return tuple((own.strip(), kind.strip().replace("-", " ").casefold()) for own, _, kind in pairs)
