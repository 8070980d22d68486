"""The page of a month's bank reconciliation: the verdict, both balances and what stands between, the four columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import chain
from typing import Final

from shopledger.ledger.books.bank_matches import STALE_DAYS
from shopledger.ledger.books.bank_reconciliation import ProofLine, ProofRow
from shopledger.ledger.papers.bank_month import BankMonth, BankMonthRow
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import Block, Column, column_heads, gap, heading, row, strong_box, text_block
from shopledger.paperwork.paper import Flowing, Paper
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.samples import HEAD, SHOP
from shopledger.paperwork.tables import TableHead, fitted, gone_on, group_heading, kept_at_ends, ruled, ruled_row
from shopledger.paperwork.typeset import BODY, STRONG, Style
from shopledger.paperwork.wording import Wording

_COLUMNS: Final = ("day", "what", "document", "amount")
_PROOF: Final = ("row", "beginning", "received", "paid", "end")
_SIDES: Final = ("accounts", "in_transit", "outstanding", "unbooked")


def _refuse(content: BankMonth) -> None:
    """Refuse amounts that do not add up to what is stated."""
    bank = sum(each.amount for each in (*content.accounts, *content.in_transit, *content.outstanding))
    books = content.books + sum(each.amount for each in content.unbooked)
    for name, added, stated in (("bank", bank, content.bank_side), ("books", books, content.book_side)):
        if added != stated:
            raise DisagreeingTotalsError(
                "bank reconciliation", f"the side of the {name}", write_amount(added), write_amount(stated)
            )


def _verdict(content: BankMonth, words: Wording, width: float) -> list[Block]:
    day = words.day(content.day)
    agrees = content.agrees and not content.missing_lines
    if content.missing_lines:
        said = words.fill("verdict.missing", day=day, amount=write_amount(content.missing_lines))
    elif content.agrees:
        said = words.fill("verdict.agrees", day=day, amount=write_amount(content.books))
    elif content.difference:
        said = words.fill("verdict.differs", day=day, amount=write_amount(content.difference))
    else:
        said = words.fill("verdict.open", day=day, many=len(content.unbooked))
    return strong_box("verdict", said, width, inverse=not agrees)


def _balances(content: BankMonth, words: Wording, width: float) -> list[Block]:
    """Set both sides on shared columns, each down to its corrected balance."""
    cells = {side: [_cells(each, words) for each in getattr(content, side)] for side in _SIDES}
    totals = [
        _total(words, key, cents)
        for key, cents in (("bank_side", content.bank_side), ("books", content.books), ("book_side", content.book_side))
    ]
    heads = words.each("balances", _COLUMNS)
    head = TableHead(heads, ("left", "left", "left", "right"), grows=1)
    columns = fitted("the table of balances", head, [*chain(*cells.values()), *totals], width, STRONG)
    strip = column_heads("balances", heads, columns, width, words.look.strip)
    blocks = [gap("balances", 9), strip]
    for side in _SIDES[:3]:
        blocks += _group(side, cells[side], columns, strip, words, width)
    blocks += [_strong(totals[0], columns, width, words), _strong(totals[1], columns, width, words)]
    blocks += _group("unbooked", cells["unbooked"], columns, strip, words, width)
    return [*blocks, _strong(totals[2], columns, width, words)]


def _group(
    side: str, cells: Sequence[tuple[str, ...]], columns: Sequence[Column], strip: Block, words: Wording, width: float
) -> list[Block]:
    """Set some rows under what they are; nothing where there are none."""
    if not cells:
        return []
    title = words[f"balances.{side}"]
    again = gone_on(words.fill("balances.continued", group=title), strip, width, len(columns))
    rows = [replace(ruled_row(side, each, columns, width, words.look), running=again) for each in cells]
    return [replace(group_heading(side, title, width, len(columns)), running=strip), *kept_at_ends(rows)]


def _cells(each: BankMonthRow, words: Wording) -> tuple[str, str, str, str]:
    return words.day(each.day) if each.day else "", each.what, each.document, write_amount(each.amount)


def _total(words: Wording, key: str, cents: int) -> tuple[str, str, str, str]:
    return "", words[f"balances.{key}"], "", write_amount(cents)


def _strong(cells: Sequence[str], columns: Sequence[Column], width: float, words: Wording) -> Block:
    return ruled(row("balance", cells, columns, STRONG, pad=3), width, words.look)


def _proof(content: BankMonth, words: Wording, width: float) -> list[Block]:
    """Set the month in four columns; nothing where the bank does not say what lay there at its beginning."""
    if not content.proof:
        return text_block("proof", words["proof.unknown"], width, space_before=10)
    heads = words.each("proof", _PROOF)
    cells = [_figures(each, words) for each in content.proof]
    head = TableHead(heads, ("left", "right", "right", "right", "right"))
    columns = fitted("the proof of cash", head, cells, width, STRONG)
    strip = column_heads("proof", heads, columns, width, words.look.strip)
    rows = [
        ruled(row("proof", texts, columns, _weight(each), headed=True), width, words.look)
        for each, texts in zip(content.proof, cells, strict=True)
    ]
    title = heading("proof", words["proof.heading"], width, space_before=12)
    return [title, gap("proof", 4), strip, *kept_at_ends([replace(each, running=strip) for each in rows])]


def _weight(each: ProofRow) -> Style:
    return STRONG if each.line.is_corrected else BODY


def _figures(each: ProofRow, words: Wording) -> tuple[str, ...]:
    amounts = (each.opening, each.receipts, each.disbursements, each.closing)
    return words[f"rows.{each.line.name.casefold()}"], *map(write_amount, amounts)


def _stale(content: BankMonth, words: Wording, width: float) -> list[Block]:
    if not content.stale:
        return []
    named = "; ".join(
        words.fill("stale.each", document=each.document, day=words.day(each.day), amount=write_amount(each.amount))
        for each in content.stale
    )
    title = heading("stale", words.fill("stale.heading", days=STALE_DAYS), width, space_before=12)
    return [title, *text_block("stale", words.fill("stale.said", checks=named), width)]


def _notices(content: BankMonth, words: Wording, width: float) -> list[Block]:
    del content
    return [gap("notices", 8), *text_block("notices", words["notices.rule"], width)]


def _sample() -> BankMonth:
    """Give a month with something of each kind, that adds up."""
    transit = (BankMonthRow("payment of order 311", 70_133, "2026-03-30", "payment 412"),)
    paid = (
        BankMonthRow("office expense: Fennick Stationers", -6_670, "2026-03-27", "expense 90"),
        BankMonthRow("bill 14 paid", -30_000, "2025-08-11", "bill payment 9"),
    )
    fee = (BankMonthRow("SERVICE FEE", -1_200, "2026-03-31", "line 57"),)
    side = 145_812 + 70_133 - 36_670
    outstanding = ProofRow(ProofLine.OUTSTANDING_LAST, 0, 0, 36_670, -36_670)
    return BankMonth(
        month="2026-03",
        day="2026-03-31",
        made_on="2026-04-06",
        shop=SHOP,
        accounts=(BankMonthRow("Checking", 145_812),),
        in_transit=transit,
        outstanding=paid,
        bank_side=side,
        books=side + 1_200,
        unbooked=fee,
        book_side=side,
        agrees=False,
        stale=paid[1:],
        proof=(
            ProofRow(ProofLine.BANK, 100_000, 50_000, 4_188, 145_812),
            ProofRow(ProofLine.TRANSIT_LAST, 0, 70_133, 0, 70_133),
            outstanding,
            ProofRow(ProofLine.BANK_CORRECTED, 100_000, 120_133, 40_858, side),
            ProofRow(ProofLine.BOOKS, 100_000, 120_133, 39_658, side + 1_200),
            ProofRow(ProofLine.UNBOOKED_LAST, 0, 0, 1_200, -1_200),
            ProofRow(ProofLine.BOOKS_CORRECTED, 100_000, 120_133, 40_858, side),
        ),
        ledger_head=HEAD,
    )


BANK_MONTH: Final = Paper(
    key="bank_month",
    command="bank page",
    sample=_sample,
    body=Flowing({"verdict": _verdict, "balances": _balances, "proof": _proof, "stale": _stale, "notices": _notices}),
    shop=lambda paper: paper.shop,
    day=lambda paper: paper.made_on,
    names=lambda paper, _: {"month": paper.month, "head": paper.ledger_head},
    facts=lambda paper, words: (words.fill("titles.made", day=words.day(paper.made_on)),),
    refuse=_refuse,
)
