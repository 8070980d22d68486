"""The statement for a health account (HSA or FSA): provider, wearer, days, each thing supplied with its amount."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from shopledger.ledger.papers.account_statement import AccountStatement, StatementLine, account_statement
from shopledger.money.amount import Cents, write_amount
from shopledger.paperwork.blocks import (
    Block,
    column_heads,
    fact_band,
    gap,
    panel_of,
    row,
    side_by_side,
    stacked,
    strong_box,
    text_block,
    twin_panels,
)
from shopledger.paperwork.paper import Paper
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.refusals import DisagreeingTotalsError, MissingDetailError
from shopledger.paperwork.snug import PAD, closer, snug
from shopledger.paperwork.tables import (
    TableHead,
    amounts,
    fitted,
    gone_on,
    group_heading,
    kept_at_ends,
    reason_blocks,
    ruled,
    sums,
)
from shopledger.paperwork.typeset import STRONG
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


def _parties(content: AccountStatement, words: Wording, width: float, _: float) -> list[Block]:
    birth_date = words.day(content.wearer_birth_date) if content.wearer_birth_date else words["patient.not_given"]
    relationship = words.word("relationships", content.relationship or "self")
    address = "\n".join(content.customer_lines)
    patient = {"name": content.wearer, "birth_date": birth_date, "relationship": relationship}
    provider = {"name": content.shop.name, "customer": content.customer, "address": address}
    panels = panel_of(words, "patient", patient), panel_of(words, "provider", provider)
    return [twin_panels("parties", *panels, width, _LABELS, words.look.strip)]


def _dates(content: AccountStatement, words: Wording, width: float, room: float) -> list[Block]:
    served = words.day(content.served_on) if content.served_on else words["dates.not_served"]
    facts = (
        (words["dates.sold"], words.day(content.sold_on), 0.22),
        (words["dates.served"], served, 0.26),
        (words["dates.prescriber"], content.prescriber or words["dates.not_given"], 0.52),
    )
    return closer(fact_band("dates", facts, width), room)


def _lines(content: AccountStatement, words: Wording, width: float, room: float) -> list[Block]:
    """Set prescription eyewear and what is none, each under its heading with its sum, and all sums below."""
    keys = ("description", "code", "amount")
    cells = [_cells(line) for line in content.lines]
    head = TableHead(words.each("lines", keys), ("left", "left", "right"))
    widest = [*cells, ("", "", write_amount(max(content.eyewear, content.others)))]
    columns = fitted("the table of what was supplied", head, widest, width, STRONG)
    strip = column_heads("supplied", head.heads, columns, width, words.look.strip)
    blocks: list[Block] = [gap("lines", 9 * room), strip]
    for key, amount, lines in _groups(content):
        rows = [ruled(row(key, _cells(each), columns, pad=PAD * room), width, words.look) for each in lines]
        total = row(f"{key}, sum", (words[f"sums.{key}"], "", write_amount(amount)), columns, STRONG, pad=PAD * room)
        again = words.fill("lines.continued", group=words[f"lines.{key}"], wearer=content.wearer)
        running = gone_on(again, strip, width, len(columns))
        blocks.append(replace(group_heading(key, words[f"lines.{key}"], width, len(columns)), running=strip))
        blocks += [*(replace(each, running=running) for each in kept_at_ends(rows)), total]
    blocks += _sums(content, words, width)
    charged = words.fill("outcome.eyewear", amount=write_amount(content.eyewear))
    return [*blocks, *closer(strong_box("eyewear", charged, width), room)]


def _groups(content: AccountStatement) -> Iterator[tuple[str, Cents, tuple[StatementLine, ...]]]:
    """Give prescription eyewear, and other items where there are any, with their sums."""
    others = tuple(line for line in content.lines if not line.eyewear)
    yield "eyewear", content.eyewear, tuple(line for line in content.lines if line.eyewear)
    if others:
        yield "others", content.others, others


def _cells(line: StatementLine) -> tuple[str, str, str]:
    return line.description, line.code, write_amount(line.amount)


def _sums(content: AccountStatement, words: Wording, width: float) -> list[Block]:
    """Set what comes to the sums of goods, and the total; beside it the currency."""
    total = "kept" if content.given_back else "total"
    entries = (("shipping", content.shipping), ("tax", content.tax), (total, content.total))
    totals = sums("sums", amounts(words, "sums", entries), width)
    currency = words["lines.currency_kept" if content.given_back else "lines.currency"]
    beside = min(mark.extent[0] for mark in totals.marks) - 20
    return [side_by_side("sums and currency", stacked("currency", reason_blocks(currency, "", (), beside)), totals, 0)]


def _payments(content: AccountStatement, words: Wording, width: float, room: float) -> list[Block]:
    back = (("refunded", -content.refunded), ("kept", content.paid - content.refunded)) if content.refunded else ()
    off = (("written_off", content.written_off),) if content.written_off else ()
    entries = (("paid", content.paid), *back, *off, ("balance", content.balance))
    shown = amounts(words, "payments", entries)
    return [gap("payments", 4 * room), sums("payments", shown, width, ruled=False)]


def _notices(content: AccountStatement, words: Wording, width: float, room: float) -> list[Block]:
    facts = (
        ("provider", True),
        ("decides", True),
        ("apart", any(not line.eyewear for line in content.lines)),
        ("counted", bool(content.shipping or content.tax)),
        ("unpaid", content.balance > 0 or content.written_off > 0),
        ("refunded", content.given_back > 0),
        ("once", True),
    )
    blocks = [gap("notices", 5 * room)]
    for key, applies in facts:
        blocks += text_block(key, words[f"notices.{key}"], width, space_before=3 * room) if applies else []
    return blocks


STATEMENT: Final = Paper(
    key="statement",
    command="paper statement",
    sample=lambda: account_statement(RECEIPT.sample()),
    body=snug({"parties": _parties, "dates": _dates, "lines": _lines, "payments": _payments, "notices": _notices}),
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
