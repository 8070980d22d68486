"""The statement for a health account (HSA or FSA): provider, wearer, days, each thing supplied with its amount."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.papers.account_statement import AccountStatement, StatementLine, account_statement
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import (
    Block,
    fact_band,
    gap,
    panel_of,
    side_by_side,
    stacked,
    strong_box,
    text_block,
    twin_panels,
)
from shopledger.paperwork.paper import Flowing, Paper
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.refusals import DisagreeingTotalsError, MissingDetailError
from shopledger.paperwork.tables import TableHead, amounts, raised, reason_blocks, sums, table
from shopledger.paperwork.wording import Wording

_LABELS: Final = 78.0


def _refuse(content: AccountStatement) -> None:
    """Refuse what no administrator would take, and amounts that do not add up."""
    for detail, given in (("the provider's name", content.shop.name), ("the wearer's name", content.wearer)):
        if not given:
            raise MissingDetailError("statement", detail, "Issue the receipt again with it.")
    parts = sum(line.amount for line in content.lines) + content.shipping + content.tax
    if parts != content.total:
        raise DisagreeingTotalsError(
            "statement", "lines, shipping and tax", write_amount(parts), write_amount(content.total)
        )


def _parties(content: AccountStatement, words: Wording, width: float) -> list[Block]:
    birth_date = words.day(content.wearer_birth_date) if content.wearer_birth_date else words["patient.not_given"]
    relationship = words.word("relationships", content.relationship or "self")
    address = "\n".join(content.customer_lines)
    patient = {"name": content.wearer, "birth_date": birth_date, "relationship": relationship}
    provider = {"name": content.shop.name, "customer": content.customer, "address": address}
    panels = panel_of(words, "patient", patient), panel_of(words, "provider", provider)
    return [twin_panels("parties", *panels, width, _LABELS, words.look.strip)]


def _dates(content: AccountStatement, words: Wording, width: float) -> list[Block]:
    served = words.day(content.served_on) if content.served_on else words["dates.not_served"]
    facts = (
        (words["dates.sold"], words.day(content.sold_on), 0.22),
        (words["dates.served"], served, 0.26),
        (words["dates.prescriber"], content.prescriber or words["dates.not_given"], 0.52),
    )
    return fact_band("dates", facts, width)


def _lines(content: AccountStatement, words: Wording, width: float) -> list[Block]:
    """Set each thing supplied with its word, the sums by word, and the reasons below."""
    reasons = tuple(dict.fromkeys(line.reason for line in content.lines if line.reason))
    heads = words.each("lines", ("description", "code", "status", "amount"))
    cells = [_cells(line, reasons, words) for line in content.lines]
    rows = table("supplied", TableHead(heads, ("left", "left", "left", "right")), cells, width, words.look)
    entries = (
        ("eligible", content.eligible),
        ("plan_decides", content.undecided),
        ("not_eligible", content.not_eligible),
        ("shipping", content.shipping),
        ("tax", content.tax),
        ("kept" if content.given_back else "total", content.total),
    )
    shown = amounts(words, "sums", entries)
    box = strong_box("eligible", words.fill("outcome.eligible", amount=write_amount(content.eligible)), width)
    totals = sums("sums", shown, width, strong=(0, -1))
    return [gap("lines", 9), *rows, *_beside(content, totals, reasons, words, width), *box]


def _beside(
    content: AccountStatement, totals: Block, reasons: tuple[str, ...], words: Wording, width: float
) -> list[Block]:
    """Put the reasons at the left of the sums where they are no taller, else below them line by line."""
    first, title = words["lines.currency_kept" if content.given_back else "lines.currency"], words["lines.notes"]
    notes = stacked("reasons", reason_blocks(first, title, reasons, min(mark.extent[0] for mark in totals.marks) - 20))
    if notes.height <= totals.height + 20:
        return [side_by_side("sums and reasons", notes, totals, 0)]
    return [totals, *reason_blocks(first, title, reasons, width - 8)]


def _cells(line: StatementLine, reasons: tuple[str, ...], words: Wording) -> tuple[str, ...]:
    state = words.word("reimbursement", line.state)
    if line.reason:
        state = f"{state} {raised(reasons.index(line.reason) + 1)}"
    return line.description, line.code, state, write_amount(line.amount)


def _payments(content: AccountStatement, words: Wording, width: float) -> list[Block]:
    back = (("refunded", -content.refunded), ("kept", content.paid - content.refunded)) if content.refunded else ()
    off = (("written_off", content.written_off),) if content.written_off else ()
    entries = (("paid", content.paid), *back, *off, ("balance", content.balance))
    shown = amounts(words, "payments", entries)
    return [gap("payments", 4), sums("payments", shown, width, ruled=False)]


def _notices(content: AccountStatement, words: Wording, width: float) -> list[Block]:
    keys = ["decides", "counted"]
    keys += ["unpaid"] if content.balance > 0 or content.written_off else []
    keys += ["refunded"] if content.given_back else []
    return [
        gap("notices", 5),
        *(block for key in [*keys, "once"] for block in text_block(key, words[f"notices.{key}"], width)),
    ]


STATEMENT: Final = Paper(
    key="statement",
    command="paper statement",
    sample=lambda: account_statement(RECEIPT.sample()),
    body=Flowing({"parties": _parties, "dates": _dates, "lines": _lines, "payments": _payments, "notices": _notices}),
    shop=lambda statement: statement.shop,
    day=lambda statement: statement.receipt_day,
    names=lambda statement, _: {
        "number": statement.receipt_number,
        "wearer": statement.wearer,
        "head": statement.ledger_head,
    },
    subject="wearer",
    facts=lambda statement, words: (
        words.fill("titles.issued", day=words.day(statement.receipt_day)),
        words.fill("titles.order", number=statement.order_number),
    ),
    refuse=_refuse,
)
