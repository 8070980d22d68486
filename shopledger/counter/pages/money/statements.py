"""Statements of the bank taken in: its accounts, its files, balances from paper, and the columns of a CSV file."""

from __future__ import annotations

from dataclasses import fields
from typing import Final

from flask import request

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Form, amount, chosen, day, file, form, line, tick, whole, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.money.part import BOTH, pages
from shopledger.desk.books.statements import (
    ImportRequest,
    LayoutRequest,
    StatementImport,
    bank_accounts,
    import_statement,
    keep_account,
    keep_layout,
    type_balance,
)
from shopledger.exchange.statement_csv import CsvTold
from shopledger.ledger.books.statement_layout import CsvLayout, DateOrder
from shopledger.ledger.books.statements import BankAccount, StatedBalance
from shopledger.money.amount import write_amount


def _accounts() -> tuple[Choice, ...]:
    return tuple(
        Choice(each.name, each.name, f"ends in {each.ending}" if each.ending else "")
        for each, _ in bank_accounts(desk())
    )


NAME: Final = line("name", "Your name for the account", width="middle", about=("account name", "account"))
ENDING: Final = line(
    "ending", "Last four digits of its number", needed=False, width="narrow", hint="No more of it is kept."
)
ACCOUNT: Final = chosen("account", "Account", _accounts)
STATEMENT: Final = file(
    "statement", "The bank's file", needed=True, about=("file", "statement"), hint="OFX, QFX, camt.053 or CSV."
)
OF: Final = chosen(
    "account", "Account that it is of", _accounts, needed=False, hint="Left open: by the last digits in the file."
)
AS_NEW: Final = tick("as_new", "Lines that are like ones already there are lines of their own")
TOLD: Final = (
    amount("opening", "Balance before the first line", needed=False),
    amount("closing", "Balance after the last line", needed=False),
    day("first", "First day of the file", hint="Left empty: of its first line."),
    day("last", "Last day of the file", hint="Left empty: of its last line."),
)
TAKE_IN: Final = Form((("", (STATEMENT, OF, AS_NEW)), ("Only for CSV files that do not say it themselves", TOLD)))
ON: Final = day("day", "At the end of the day", about=("day",))
BALANCE: Final = amount("amount", "Balance", about=("balance",))

COLUMNS: Final = (
    line("day", "Day", width="middle", hint="The word above the column, or its number from 1.", about=("layout",)),
    line("amount", "Amount with its sign", needed=False, width="middle"),
    line("money_out", "Money out", needed=False, width="middle", hint="Where out and in are two columns."),
    line("money_in", "Money in", needed=False, width="middle"),
    line("text", "What it was", needed=False, width="middle", hint="Several are parted by a comma."),
    line("balance", "Balance after the line", needed=False, width="middle", hint="It proves all the others."),
    line("check_number", "Number of a check", needed=False, width="middle"),
    line("source_id", "The bank's own number of the line", needed=False, width="middle"),
)
OTHERS: Final = (
    word("date_order", "A day is written", DateOrder),
    tick("turned", "What goes out stands above zero"),
    whole("skip", "Rows above that say nothing", needed=False),
    whole("skip_last", "Rows below that say nothing", needed=False),
    line("leave_out", "Rows to leave out", needed=False, width="middle", hint="Such as Status=pending."),
)
LAYOUT: Final = Form(
    (
        ("", (ACCOUNT, STATEMENT)),
        ("Which column says what", COLUMNS),
        ("How it is written", OTHERS),
        ("What the file does not say itself", TOLD),
    )
)


@pages.route("/bank/accounts/new", methods=BOTH)
def new_account() -> Answer:
    """Keep an account at a bank."""

    def store(values: Values) -> Done:
        kept = keep_account(desk(), BankAccount(values.of(NAME), values.text(ENDING)))
        return Done("/money/bank", f"The account {kept.name} was kept.")

    return fill(
        form(NAME, ENDING),
        store,
        "form.html",
        keep=("new bank account", ""),
        heading="New account at a bank",
        button="Keep the account",
        back=("/money/bank", "Bank"),
    )


@pages.route("/bank/balance", methods=BOTH)
def balance() -> Answer:
    """Record a balance from a statement on paper."""

    def store(values: Values) -> Done:
        said = StatedBalance(values.of(ON) or desk().today, values.of(BALANCE))
        type_balance(desk(), values.of(ACCOUNT), said)
        return Done("/money/bank", f"${write_amount(said.amount)} on {said.day} was kept.")

    return fill(
        form(ACCOUNT, BALANCE, ON),
        store,
        "form.html",
        start=_first_account(),
        keep=("balance of the bank", ""),
        heading="Balance from a statement on paper",
        button="Keep the balance",
        back=("/money/bank", "Bank"),
    )


@pages.route("/bank/import", methods=BOTH)
def take_in() -> Answer:
    """Take in a statement that the bank gave as a file."""

    def store(values: Values) -> Done:
        asked = ImportRequest(values.read["statement"], values.of(OF), values.of(AS_NEW), _told(values))
        return Done("/money/bank", _brought(import_statement(desk(), asked, values.accept)))

    return fill(
        TAKE_IN,
        store,
        "money/import.html",
        keep=("statement of the bank", ""),
        heading="Take in a statement of the bank",
        lead="Lines that are there already are told apart: the same file again changes nothing, and files may overlap.",
        button="Take it in",
        back=("/money/bank", "Bank"),
        none_yet=not bank_accounts(desk()),
    )


@pages.route("/bank/columns", methods=BOTH)
def columns() -> Answer:
    """Say which columns of an account's CSV files are what."""

    def store(values: Values) -> Done:
        known = {each.name for each in fields(CsvLayout)}
        said = {name: value for name, value in values.read.items() if name in known and value is not None}
        text = tuple(part.strip() for part in (values.read["text"] or "").split(",") if part.strip())
        layout = CsvLayout(**{**said, "text": text})
        asked = LayoutRequest(values.of(ACCOUNT), values.read["statement"], layout, _told(values))
        done = keep_layout(desk(), asked)
        many = len(done.stated.lines)
        return Done("/money/bank/import", f"{many} lines were read so. The columns of {done.account.name} were kept.")

    start = {**_first_account(), "date_order": ["month-first"]}
    return fill(
        LAYOUT,
        store,
        "form.html",
        start=start,
        keep=("columns of a statement", request.args.get("account", "")),
        heading="Columns of a bank's CSV file",
        lead="They are said once, tried on a file of the bank's, and kept for the account.",
        button="Try and keep them",
        back=("/money/bank/import", "Take in a statement"),
    )


def _first_account() -> dict[str, list[str]]:
    return {"account": [each.value for each in _accounts()[:1]]}


def _told(values: Values) -> CsvTold:
    return CsvTold(*(values.read[name] for name in ("opening", "closing", "first", "last")))


def _brought(done: StatementImport) -> str:
    said = [
        f"{each.account.name}: {len(each.plan.new)} new lines, {each.plan.known} there already."
        for each in done.accounts
    ]
    cards = ["A credit card's statement in it was left out: it is no account at the bank."] if done.cards else []
    return " ".join([*said, *cards])
