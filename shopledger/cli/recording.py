"""Recording a priced order: shown first where asked for, warnings said yes to, then stored whole."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from shopledger.cli.context import Run
from shopledger.cli.output import Block, Fields, show
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell
from shopledger.cli.views.figures import money
from shopledger.cli.views.lenses import finding_data, finding_table
from shopledger.cli.views.orders import account_data, account_fields, order_blocks, order_data
from shopledger.ledger.orders import OrderAccount, OrderRequest
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.money.amount import write_amount
from shopledger.optics.age import age_in_words

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.desk.sales import SalePlan


def record_request(
    run: Run,
    request: OrderRequest,
    typed: Iterable[str],
    dry_run: bool,
    as_json: bool,
    *,
    draft: int | None = None,
    sending: Desk | None = None,
) -> None:
    """Show what an order comes to and stop there, or record it, with the desk that is `sending` a form if any.

    What was `typed` with the command says yes beside what the request says: a draft's warnings may be gone by now.
    """
    from shopledger.desk.sales import plan_sale, record_sale

    desk = run.desk()
    said_yes = frozenset(typed)
    request = replace(request, accept=request.accept | said_yes)
    plan = plan_sale(desk, request)
    only_asked(plan.findings, said_yes)
    if dry_run:
        show_plan(plan, as_json)
        tell(DRY_RUN)
        return
    accept = accepted(run, plan.findings, request.accept & {finding.code for finding in plan.findings})
    account = record_sale(sending or desk, replace(request, accept=accept), draft)
    _show_recorded(account, plan, as_json)


def show_plan(plan: SalePlan, as_json: bool) -> None:
    """Show the priced order with claim codes, and everything that was found on it."""
    data = {
        **order_data(plan.order, plan.customer.name),
        "paid": money(plan.paid),
        "balance": money(plan.order.total - plan.paid),
        "findings": finding_data(plan.findings),
    }
    show(as_json, data, *plan_blocks(plan))


def plan_blocks(plan: SalePlan) -> tuple[Block, ...]:
    """Give a priced order for reading: lines, claim codes, sums, prescriptions, what is paid, what was found."""
    paid = (("paid", write_amount(plan.paid)), ("balance", write_amount(plan.order.total - plan.paid)))
    written = {each.prescription.number or 0: each.prescription.powers for each in plan.pairs if each.prescription}
    blocks = order_blocks(OrderAccount(plan.order), plan.customer.name, written)
    return (*blocks, *_prescriptions(plan), Fields("", paid), finding_table(plan.findings))


def _prescriptions(plan: SalePlan) -> tuple[Fields, ...]:
    """Say which prescription each pair is made from, and how old it is."""
    rows = tuple(
        (f"pair {each.pair.position}, {each.wearer.name}", _aged(each.prescription, plan.order.day))
        for each in plan.pairs
        if each.prescription is not None
    )
    return (Fields("Prescriptions", rows),) if rows else ()


def _aged(written: WrittenPrescription, day: date) -> str:
    until = f", expires {written.expires_on.isoformat()}" if written.expires_on else ""
    return f"{written.number}, {age_in_words(written.written_on, day)}{until}"


def _show_recorded(account: OrderAccount, plan: SalePlan, as_json: bool) -> None:
    order = account.order
    jobs = ", ".join(str(pair.job_number) for pair in order.pairs)
    head = Fields(f"Order {order.number}", (("customer", plan.customer.name), ("jobs", jobs)))
    data = {**account_data(account, plan.customer.name), "findings": finding_data(plan.findings)}
    show(as_json, data, head, account_fields(account), finding_table(plan.findings))
    tell(f"Order {order.number} was recorded. Next:")
    if account.balance:
        tell(f"  shopledger payment take {order.number} --amount {money(account.balance)} --method card")
    for pair in order.pairs[:1]:
        tell(f"  shopledger job inspect {pair.job_number}, and so each job, once it is made")
    tell(f"  shopledger sale ship {order.number} --carrier NAME")
    tell(f"  shopledger receipt issue {order.number} --wearer NAME")
