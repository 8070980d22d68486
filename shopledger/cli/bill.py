"""Suppliers and their bills: recording what came in and was billed, paying, sending goods back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.listings import stocked
from shopledger.cli.options import (
    SIGNED,
    OptionSet,
    accept,
    as_json,
    asked,
    changes,
    day,
    day_option,
    dry_run,
    existing_file,
    into_folder,
    made,
    name_from,
    needed,
    nothing_given,
    option,
    options,
    reason,
    reference,
    some_changes,
)
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import AMOUNT, COMING_DAY, Typed, Word, email_typed, phone_typed, text
from shopledger.cli.prompts import DRY_RUN, accepted, lacking, only_asked, tell
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import (
    BillPaymentRequest,
    BillRequest,
    ExpenseBilled,
    GoodsBilled,
    JobBilled,
    SendBackRequest,
)
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.money.amount import Cents, write_amount
from shopledger.typed.amounts import read_typed_amount
from shopledger.typed.numbers import read_whole

if TYPE_CHECKING:
    from shopledger.desk.books.bill_credits import CreditRequest
    from shopledger.ledger.books.bill_credits import CreditKind
    from shopledger.ledger.books.bills import BillAccount

METHOD = Word(SpendMethod)
CATEGORY = Word(ExpenseCategory)
REFUNDED_TO = tuple(method for method in SpendMethod if method is not SpendMethod.OWNER)
"""Where a supplier's money comes in; what the owner keeps of it is a draw."""


def read_goods(typed: str, field: str) -> GoodsBilled:
    """Read `PELLOW-52=12@61.00`: a code, how many, and what one cost."""
    form = "as in PELLOW-52=12@61.00"
    code, marked, rest = typed.partition("=")
    count, priced, cost = rest.partition("@")
    if not (marked and priced and code.strip()):
        allowed = f"it is a code, how many, and what one cost, {form}"
        raise RefusedError(field, f"'{typed}'", allowed, "Type it so.")
    return GoodsBilled(code.strip(), _count(count, field, form), read_typed_amount(cost, "unit cost"))


def read_job(typed: str, field: str) -> JobBilled:
    """Read `118=42.50`: a job and what was billed for it."""
    form = "as in 118=42.50"
    number, amount = _both(typed, field, f"it is a job's number and an amount, {form}")
    return JobBilled(_count(number, field, form), read_typed_amount(amount, "amount"))


def read_expense(typed: str, field: str) -> ExpenseBilled:
    """Read `supplies=18.00`: a category and what was billed under it."""
    category, amount = _both(typed, field, "it is a category and an amount, as in supplies=18.00")
    return ExpenseBilled(CATEGORY.read(category, "category"), read_typed_amount(amount, "amount"))


class BillOptions(OptionSet):
    """What a bill brought, and how it is paid."""

    invoice: str = option("--invoice", metavar="NUMBER", default="", help="The supplier's own number of the bill.")
    day: date | None = day("The day of the bill.")
    due_on: date | None = option("--due", type=COMING_DAY, help="The day it has to be paid by.")
    stock: tuple[GoodsBilled, ...] = option(
        "--stock",
        type=Typed("code=count@cost", read_goods),
        multiple=True,
        help="Frames or accessories that came in, and what one cost; may be given again.",
    )
    job: tuple[JobBilled, ...] = option(
        "--job",
        type=Typed("job=amount", read_job),
        multiple=True,
        help="Lenses or lab work for a job; may be given again.",
    )
    expense: tuple[ExpenseBilled, ...] = option(
        "--expense",
        type=Typed("category=amount", read_expense),
        multiple=True,
        help="What is neither, by category as 'spend categories' lists them; may be given again.",
    )
    freight: Cents = option(
        "--freight", type=AMOUNT, default=0, help="Freight, which the goods and jobs of the bill carry."
    )
    tax: Cents = option("--tax", type=AMOUNT, default=0, help="Sales tax paid on goods for resale: part of their cost.")
    file: Path | None = option(
        "--file", type=existing_file, help="The bill itself, of which a copy is kept with its hash."
    )
    paid: SpendMethod | None = option("--paid", type=METHOD, help="Where the money came from, if it is paid at once.")
    reference: str = option(
        "--reference", metavar="TEXT", default="", help="Of that payment: a number, or a card's last four."
    )
    note: str = option("--note", metavar="TEXT", default="", help="A note kept with it.")
    owed_before: Cents = option(
        "--owed-before", type=AMOUNT, default=0, help="What was owed when the books began; nothing else is on it."
    )

    def request(self, supplier: str) -> BillRequest:
        """Give the bill that the options describe."""
        return BillRequest(
            supplier=supplier,
            invoice=self.invoice,
            day=self.day,
            due_on=self.due_on,
            goods=self.stock,
            jobs=self.job,
            expenses=self.expense,
            freight=self.freight,
            tax=self.tax,
            file=str(self.file or ""),
            paid=self.paid,
            reference=self.reference,
            note=self.note,
            owed_before=self.owed_before,
        )


class BillPaymentOptions(OptionSet):
    """How a bill is paid."""

    method: SpendMethod | None = option(
        "--method",
        type=METHOD,
        help="Where the money came from; owner is the owner's own pocket.",
        ask="Paid from (cash, bank, card, owner)",
    )
    reference: str | None = reference("A check's or transfer's number, or a card's last four digits")
    day: date | None = day("The day it was paid.")
    discount: Cents = option(
        "--discount", type=AMOUNT, default=0, help="What is taken off beside it for paying within the terms."
    )


class SendBackOptions(OptionSet):
    """What of a bill goes back to the supplier."""

    item: str | None = option(
        "--item",
        metavar="CODE",
        help="What goes back, by its code.",
        ask="Code of what goes back",
        lists=lambda run, _before: stocked(run.desk()),
        read=text("item", 20),
    )
    quantity: int | None = option(
        "--quantity",
        type=int,
        help="How many.",
        ask="How many",
        read=lambda typed: _count(typed, "quantity", "as in 2"),
    )
    credit: Cents | None = option(
        "--credit",
        type=AMOUNT,
        help="What the supplier takes off the bill for all of them.",
        ask="What the supplier takes off the bill",
    )
    reason: str | None = reason("Why.", "Why it goes back")
    day: date | None = day("The day it went back.")


class CreditOptions(OptionSet):
    """What of a bill a change of its price is about."""

    item: str = option(
        "--item", metavar="CODE", default="", help="Only on these goods. Otherwise on all that the bill brought."
    )
    job: int | None = option("--job", type=int, help="Only on the lenses and lab work of this job.")
    reason: str | None = reason("Why; it is kept with it.", "Why")
    day: date | None = day("The day it was agreed.")


class SupplierOptions(OptionSet):
    """Who a supplier is."""

    name: str | None = option(
        "--name", metavar="TEXT", help="Name of the supplier.", ask="Name of the supplier", read=text("supplier")
    )
    account: str | None = option(
        "--account",
        metavar="TEXT",
        help="Your customer number with the supplier.",
        ask="Your customer number there",
        read=text("account number", 40),
        optional=True,
    )
    phone: str | None = option(
        "--phone", metavar="TEXT", help="Phone number.", ask="Phone", read=phone_typed, optional=True
    )
    email: str | None = option(
        "--email", metavar="TEXT", help="Mail address.", ask="Mail address", read=email_typed, optional=True
    )
    note: str | None = option("--note", metavar="TEXT", help="A note kept with it.")


@click.group()
def bill() -> None:
    """Record suppliers' bills with the goods they bring, and pay them."""


@bill.command(context_settings=SIGNED)
@click.argument("supplier", required=False)
@click.option("--from", "source", type=existing_file, help="Take the whole bill from this file (TOML).")
@options(BillOptions)
@accept
@dry_run
@as_json
@pass_run
def record(
    run: Run,
    supplier: str | None,
    source: Path | None,
    given: BillOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Record a bill with its goods, jobs and expenses.

    Freight and tax are shared over goods and jobs in proportion to their amounts, so that each stands at its landed
    cost.

    Example:
    shopledger bill record "Tollgate Frames" --invoice TG-4471 --due 2026-04-01
        --stock PELLOW-52=12@61.00 --freight 14.00
    shopledger bill record "Brightwater Lab" --job 118=42.50 --job 119=38.00
    """
    from shopledger.cli.views.bills import bill_blocks, bill_data
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.desk.books.billing import plan_bill, record_bill
    from shopledger.desk.books.bills import kept_name

    if run.asks and source is None and nothing_given(given):
        from shopledger.cli.bill_questions import asked_bill

        request = asked_bill(run, supplier)
    else:
        request = _request(source, supplier or "", given)
    desk = run.desk()
    plan = plan_bill(desk, request)
    only_asked(plan.findings, accept)
    if dry_run:
        warned = (finding_table(plan.findings),) if plan.findings else ()
        data = {**bill_data(plan.account, ""), "findings": finding_data(plan.findings)}
        show(as_json, data, *bill_blocks(plan.account, Path(request.file).name), *warned)
        tell(DRY_RUN)
        return
    account = record_bill(desk, request, accepted(run, plan.findings, accept))
    file = kept_name(desk, account)
    show(as_json, bill_data(account, file), *bill_blocks(account, file))
    tell(f"Bill {account.bill.number} was recorded.")
    _say_owed(account)


@bill.command("list")
@click.option("--open", "open_only", is_flag=True, help="Only those with something owed, either way.")
@click.option("--supplier", metavar="SUPPLIER", help="Only this supplier's: number or name.")
@as_json
@pass_run
def list_bills(run: Run, open_only: bool, supplier: str | None, as_json: bool) -> None:
    """List bills, newest first, with what is owed.

    Example:
    shopledger bill list
    """
    from shopledger.cli.views.bills import bills_data, bills_table
    from shopledger.desk.books.bills import bills

    found = bills(run.desk(), supplier, open_only=open_only)
    show(as_json, bills_data(found, run.today), bills_table(found, run.today))


@bill.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_bill(run: Run, number: int, as_json: bool) -> None:
    """Show a bill with its landed costs, payments and what went back.

    Example:
    shopledger bill show 3
    """
    from shopledger.cli.views.bills import bill_blocks, bill_data
    from shopledger.desk.books.bills import bill_account, kept_name

    desk = run.desk()
    account = bill_account(desk, number)
    file = kept_name(desk, account)
    show(as_json, bill_data(account, file), *bill_blocks(account, file))


@bill.command(context_settings=SIGNED)
@click.argument("number", type=int)
@click.argument("amount", type=AMOUNT)
@options(BillPaymentOptions)
@accept
@as_json
@pass_run
def pay(
    run: Run, number: int, amount: Cents, given: BillPaymentOptions, accept: tuple[str, ...], as_json: bool
) -> None:
    """Pay a bill, whole or in part; more than is owed is refused.

    A discount for paying within the terms lowers the cost of the bill's goods that still lie on the shelf; the share
    of those that left lowers the cost of goods sold.

    Example:
    shopledger bill pay 3 2940.00 --discount 60.00 --method bank
    """
    from shopledger.cli.views.bills import account_fields, bill_data
    from shopledger.desk.books.bills import kept_name, pay_bill, plan_bill_payment

    given = asked(run, given)
    request = BillPaymentRequest(amount, needed(given.method), given.reference or "", given.day, given.discount)
    desk = run.desk()
    plan = plan_bill_payment(desk, number, request)
    account = pay_bill(desk, number, request, accepted(run, plan.findings, accept))
    show(as_json, bill_data(account, kept_name(desk, account)), account_fields(account))
    _say_owed(account)


@bill.command("send-back", context_settings=SIGNED)
@click.argument("number", type=int)
@options(SendBackOptions)
@as_json
@pass_run
def send_back(run: Run, number: int, given: SendBackOptions, as_json: bool) -> None:
    """Send goods of a bill back to the supplier.

    They leave the shelf at their cost, and what is owed falls by the credit; the difference goes to the stock
    differences.

    Example:
    shopledger bill send-back 3 --item CASE --quantity 2 --credit 8.00
    """
    from shopledger.cli.views.bills import account_fields, bill_data
    from shopledger.desk.books.bills import kept_name
    from shopledger.desk.books.bills import send_back as send

    given = asked(run, given)
    request = SendBackRequest(
        needed(given.item), needed(given.quantity), needed(given.credit), needed(given.reason), given.day
    )
    desk = run.desk()
    done = send(desk, number, request)
    show(as_json, bill_data(done.account, kept_name(desk, done.account)), account_fields(done.account))
    credit = done.credit
    tell(f"{credit.quantity} {credit.item_code} left the shelf at {write_amount(credit.cost)}.")
    _say_owed(done.account)


@bill.command(context_settings=SIGNED)
@click.argument("number", type=int)
@click.argument("amount", type=AMOUNT)
@options(CreditOptions)
@dry_run
@as_json
@pass_run
def credit(run: Run, number: int, amount: Cents, given: CreditOptions, dry_run: bool, as_json: bool) -> None:
    """Record what a supplier takes off a bill; no goods go back.

    Goods of the bill that lie on the shelf cost less from then on, goods that left lower the cost of goods sold. What
    is more than the bill still owes stands in the shop's favour.

    Example:
    shopledger bill credit 3 40.00 --item PELLOW-52 --reason "two are scuffed"
    """
    from shopledger.ledger.books.bill_credits import CreditKind

    _change(run, number, CreditKind.ALLOWANCE, amount, asked(run, given), dry_run=dry_run, as_json=as_json)


@bill.command(context_settings=SIGNED)
@click.argument("number", type=int)
@click.argument("amount", type=AMOUNT)
@options(CreditOptions)
@dry_run
@as_json
@pass_run
def charge(run: Run, number: int, amount: Cents, given: CreditOptions, dry_run: bool, as_json: bool) -> None:
    """Record what a supplier charges more on a bill that was too low.

    Its goods on the shelf cost more from then on, those that left raise the cost of goods sold.

    Example:
    shopledger bill charge 3 3.00 --reason 'billed too low'
    """
    from shopledger.ledger.books.bill_credits import CreditKind

    _change(run, number, CreditKind.CHARGE, amount, asked(run, given), dry_run=dry_run, as_json=as_json)


@bill.command(context_settings=SIGNED)
@click.argument("number", type=int)
@click.argument("amount", type=AMOUNT, required=False)
@click.option("--to", "method", type=Word(SpendMethod, REFUNDED_TO), required=True, help="Where it came in.")
@day_option("The day it came in.")
@dry_run
@as_json
@pass_run
def refunded(
    run: Run,
    number: int,
    amount: Cents | None,
    method: SpendMethod,
    day: date | None,
    dry_run: bool,
    as_json: bool,
) -> None:
    """Record money that a supplier gave back on a bill.

    Without an amount, all that the supplier owes on it.

    Example:
    shopledger bill refunded 3 2.00 --to bank
    """
    from shopledger.desk.books.bill_credits import CreditRequest
    from shopledger.ledger.books.bill_credits import CreditKind

    request = CreditRequest(CreditKind.REFUND, amount, day=day, method=method)
    _changed(run, number, request, dry_run=dry_run, as_json=as_json)


@bill.command("set-against", context_settings=SIGNED)
@click.argument("number", type=int)
@click.argument("other", metavar="OTHER", type=int)
@click.argument("amount", type=AMOUNT, required=False)
@day_option("The day it was set against it.")
@dry_run
@as_json
@pass_run
def set_against(
    run: Run, number: int, other: int, amount: Cents | None, day: date | None, dry_run: bool, as_json: bool
) -> None:
    """Pay another bill with what the supplier owes on one.

    Without an amount, as much as goes.

    Example:
    shopledger bill set-against 3 5
    """
    from shopledger.desk.books.bill_credits import CreditRequest
    from shopledger.ledger.books.bill_credits import CreditKind

    request = CreditRequest(CreditKind.SET_AGAINST, amount, day=day, other_bill=other)
    _changed(run, number, request, dry_run=dry_run, as_json=as_json)


@bill.command("file")
@click.argument("number", type=int)
@into_folder
@as_json
@pass_run
def write_file(run: Run, number: int, folder: Path, as_json: bool) -> None:
    """Write the kept file of a bill into a folder.

    Its hash proves first that it is what was kept.

    Example:
    shopledger bill file 3 --into papers
    """
    from shopledger.desk.books.bills import write_kept_file

    written = write_kept_file(run.desk(), number, made(folder))
    show(as_json, {"bill": number, "file": str(written)}, Drawing((str(written),)))


def _request(source: Path | None, supplier: str, given: BillOptions) -> BillRequest:
    """Make the bill that the options describe, or read the file that holds it."""
    if source is None:
        if not supplier:
            lacking("supplier", "SUPPLIER is missing. Name whose bill it is, by number or name.")
        return given.request(supplier)
    from shopledger.exchange.bill_file import read_bill_file

    if supplier or not nothing_given(given):
        raise click.UsageError("--from is given with other options. Write them into the file, or leave the file out.")
    return read_bill_file(source)


def _change(
    run: Run, number: int, kind: CreditKind, amount: Cents, given: CreditOptions, *, dry_run: bool, as_json: bool
) -> None:
    from shopledger.desk.books.bill_credits import CreditRequest

    request = CreditRequest(kind, amount, needed(given.reason), given.day, given.item, given.job)
    _changed(run, number, request, dry_run=dry_run, as_json=as_json)


def _changed(run: Run, number: int, request: CreditRequest, *, dry_run: bool, as_json: bool) -> None:
    from shopledger.cli.views.bills import account_fields, bill_data, change_data, change_fields
    from shopledger.desk.books.bill_credits import change_bill, plan_credit
    from shopledger.desk.books.bills import kept_name

    desk = run.desk()
    if dry_run:
        plan = plan_credit(desk, number, request)
        show(as_json, change_data(plan), change_fields(plan))
        tell(DRY_RUN)
        return
    done = change_bill(desk, number, request)
    data = {**bill_data(done.account, kept_name(desk, done.account)), "change": change_data(done)}
    show(as_json, data, change_fields(done), account_fields(done.account))
    tell(f"Bill credit {done.credit.number} was recorded.")
    _say_owed(done.account)


def _say_owed(account: BillAccount) -> None:
    number, balance = account.bill.number, account.balance
    if balance < 0:
        tell(f"{account.supplier} owes the shop {write_amount(-balance)} on bill {number}.")
    elif balance:
        due = f", due {account.bill.due_on.isoformat()}" if account.bill.due_on else ""
        words = f"shopledger bill pay {number} {write_amount(balance).replace(',', '')} --method bank"
        tell(f"Bill {number} owes {write_amount(balance)}{due}. Next: '{words}'.")
    else:
        tell(f"Bill {number} is paid in full.")


def _both(typed: str, field: str, allowed: str) -> tuple[str, str]:
    before, marked, after = typed.partition("=")
    if not (marked and before.strip() and after.strip()):
        raise RefusedError(field, f"'{typed}'", allowed, "Type it so.")
    return before, after


def _count(typed: str, field: str, form: str) -> int:
    plain = typed.strip()
    if not (plain.isascii() and plain.isdigit()):
        raise RefusedError(field, f"'{plain}'", f"it is a whole number, {form}", "Type it so.")
    return read_whole(plain, field)


@click.group()
def supplier() -> None:
    """Keep suppliers: who sends goods, lab work and bills."""


@supplier.command("add")
@options(SupplierOptions)
@as_json
@pass_run
def add_supplier(run: Run, given: SupplierOptions, as_json: bool) -> None:
    """Add a supplier; a lens laboratory is one too.

    Example:
    shopledger supplier add --name 'Brightwater Lab' --phone 555-0118
    """
    from shopledger.cli.views.bills import OUT, supplier_table
    from shopledger.desk.people import add_supplier
    from shopledger.ledger.books.suppliers import Supplier

    added = add_supplier(run.desk(), Supplier(**changes(asked(run, given))))
    show(as_json, OUT.of(added), supplier_table((added,)))
    tell(f"Supplier {added.number} was added.")


@supplier.command("change")
@click.argument("who", metavar="SUPPLIER")
@options(SupplierOptions)
@name_from
@as_json
@pass_run
def change_supplier(run: Run, who: str, given: SupplierOptions, name_from: date | None, as_json: bool) -> None:
    """Change what the options name; bills keep pointing at the supplier.

    Example:
    shopledger supplier change Brightwater --phone 555-0119
    """
    from shopledger.cli.views.bills import OUT, supplier_table
    from shopledger.desk.people import change_supplier

    (new,) = some_changes("--phone 555-0142", given)
    changed = change_supplier(run.desk(), who, lambda found: replace(found, **new), name_from)
    show(as_json, OUT.of(changed), supplier_table((changed,)))
    tell(f"Supplier {changed.number} was changed.")


@supplier.command("list")
@as_json
@pass_run
def list_suppliers(run: Run, as_json: bool) -> None:
    """List all suppliers.

    Example:
    shopledger supplier list
    """
    from shopledger.cli.views.bills import OUT, supplier_table
    from shopledger.desk.people import suppliers

    found = suppliers(run.desk())
    show(as_json, {"suppliers": OUT.all(found)}, supplier_table(found))


@supplier.command("show")
@click.argument("who", metavar="SUPPLIER")
@as_json
@pass_run
def show_supplier(run: Run, who: str, as_json: bool) -> None:
    """Show a supplier with the bills that are open.

    Example:
    shopledger supplier show Brightwater
    """
    from shopledger.cli.views.bills import card_blocks, card_data
    from shopledger.desk.people import supplier_card

    card = supplier_card(run.desk(), who)
    show(as_json, card_data(card), *card_blocks(card, run.today))
