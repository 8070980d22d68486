"""What the bank says, and how it stands to the books, shown."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from shopledger.cli.output import Block, Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.cli.views.lenses import finding_data, finding_table
from shopledger.ledger.books.bank_matches import STALE_DAYS, BookEntry, OpenLine, Proposed
from shopledger.ledger.books.bank_reconciliation import MonthAtBank, OpenItem, ProofOfCash, ProofRow
from shopledger.ledger.books.statements import BankAccount, BankStatement, StatedBalance
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.desk.books.bank_matching import MatchedLine, MatchPlan, ShownLine
    from shopledger.desk.books.statements import AccountImport, LaidOut, StatementImport
    from shopledger.ledger.books.statements import BankLine

NUMBER, DAY, AMOUNT, TEXT = Column("line", right=True), Column("day", whole=True), Column("amount", right=True), "text"
MOST_SHOWN = 5
OUT = Outside(
    {
        BankAccount: Shape(first=("number",)),
        BankStatement: Shape(first=("number",)),
        ProofRow: Shape(made={"adds_across": lambda row: row.adds_across}),
    }
)


def accounts_data(found: Iterable[tuple[BankAccount, StatedBalance | None]]) -> dict[str, Json]:
    """Give the accounts with their newest balances as JSON."""
    rows: list[Json] = [
        {**OUT.of(each), "balance": money(said.amount) if said else None, "on": day(said.day) if said else None}
        for each, said in found
    ]
    return {"accounts": rows}


def accounts_table(found: Iterable[tuple[BankAccount, StatedBalance | None]]) -> Table:
    """Give the accounts with their newest balances for reading."""
    columns = (Column("no.", right=True), Column("account"), Column("ends in"), Column("balance", right=True), DAY)
    rows = [
        (
            str(each.number),
            each.name,
            each.ending,
            write_amount(said.amount) if said else "",
            day(said.day if said else None),
        )
        for each, said in found
    ]
    return Table("Accounts at the bank", columns, rows, "none. Keep one with 'shopledger bank account NAME'.")


def import_data(done: StatementImport) -> dict[str, Json]:
    """Give what a file brings as JSON."""
    return {
        "file": done.file.name,
        "sha256": done.file.sha256,
        "form": done.file.form.value,
        "accounts": [_account_data(each) for each in done.accounts],
        "cards_left_out": done.cards,
        "findings": finding_data(done.findings),
    }


def import_blocks(done: StatementImport) -> tuple[Block, ...]:
    """Give what a file brings for reading."""
    found: list[Block] = [Fields(each.account.name, _account_rows(each)) for each in done.accounts]
    return (*found, finding_table(done.findings)) if done.findings else tuple(found)


def laid_out_data(done: LaidOut) -> dict[str, Json]:
    """Give a file's first rows, and what they are by their columns, as JSON."""
    closing = done.stated.closing
    return {
        "account": done.account.name,
        "rows": [list(row) for row in done.rows],
        "lines": [
            {"day": day(line.day), "amount": money(line.amount), "text": line.text, "check_number": line.check_number}
            for line in done.stated.lines[:MOST_SHOWN]
        ],
        "count": len(done.stated.lines),
        "balance": money(closing.amount) if closing else None,
    }


def laid_out_blocks(done: LaidOut) -> tuple[Table, Table]:
    """Give a file's first rows, and what they are by their columns, for reading."""
    widest = max((len(row) for row in done.rows), default=0)
    raw = [(*row, *[""] * (widest - len(row))) for row in done.rows]
    lines = [(day(line.day), write_amount(line.amount), line.text) for line in done.stated.lines[:MOST_SHOWN]]
    many = len(done.stated.lines)
    return (
        Table("The file's first rows", [Column(str(place + 1)) for place in range(widest)], raw),
        Table(f"The first of its {many} lines, oldest first", (DAY, AMOUNT, Column(TEXT)), lines),
    )


def lines_data(found: Iterable[ShownLine]) -> dict[str, Json]:
    """Give lines of the bank's with what they are in the books as JSON."""
    rows: list[Json] = [
        {
            **line_data(each.line),
            "account": each.account,
            "documents": [str(entry.document) for entry in each.entries],
            "other_line": each.other,
            "overtaken_by": each.overtaken_by,
        }
        for each in found
    ]
    return {"lines": rows}


def lines_table(found: Iterable[ShownLine]) -> Table:
    """Give lines of the bank's with what they are in the books for reading."""
    columns = (NUMBER, DAY, AMOUNT, Column("text"), Column("check"), Column("in the books"))
    rows = [(*_line_cells(each.line), each.line.check_number, _standing(each)) for each in found]
    return Table("Lines of the bank", columns, rows, "none.")


def line_data(line: BankLine) -> dict[str, Json]:
    """Give one line as JSON."""
    return {
        "line": line.number,
        "day": day(line.day),
        "amount": money(line.amount),
        "text": line.text,
        "check_number": line.check_number,
    }


def plan_data(plan: MatchPlan) -> dict[str, Json]:
    """Give what was matched and what is left as JSON."""
    return {"matched": [_proposed_data(each) for each in plan.found], "left": [_open_data(each) for each in plan.left]}


def plan_blocks(plan: MatchPlan) -> tuple[Table, Table]:
    """Give what was matched and what is left for reading."""
    head = (NUMBER, DAY, AMOUNT, Column(TEXT))
    found = [(*_line_cells(each.line), str(each.entry.document), each.by.value) for each in plan.found]
    left = [(*_line_cells(each.line), ", ".join(_named(entry) for entry in each.candidates)) for each in plan.left]
    return (
        Table("Surely the same", (*head, Column("document"), Column("by")), found, "none."),
        Table("For you to pick", (*head, Column("could be")), left, "nothing is left."),
    )


def matched_data(found: MatchedLine) -> dict[str, Json]:
    """Give what a line was matched to, or is not any more, as JSON."""
    return {
        **line_data(found.line),
        "documents": [str(entry.document) for entry in found.entries],
        "other_line": found.other,
        "from": day(found.day),
        "taken_back": found.taken_back,
    }


def matched_fields(found: MatchedLine) -> Fields:
    """Give what a line was matched to, or is not any more, for reading."""
    number, when, amount, text = _line_cells(found.line)
    documents = ", ".join(str(entry.document) for entry in found.entries) or f"line {found.other}"
    rows = (
        ("day", when),
        ("amount", amount),
        ("text", text),
        ("was" if found.taken_back else "is", documents),
        ("from", day(found.day)),
    )
    return Fields(f"Line {number}", rows)


def month_data(found: MonthAtBank) -> dict[str, Json]:
    """Give a month's reconciliation as JSON."""
    end = found.end
    return {
        "month": str(found.month),
        "day": day(end.day),
        "accounts": [{"account": each.name, "balance": money(balance)} for each, balance in found.accounts],
        "statement": money(end.statement),
        "deposits_in_transit": _items(end.in_transit),
        "outstanding": _items(end.outstanding),
        "bank_corrected": money(end.bank_side),
        "books": money(end.books),
        "not_in_books": _items(end.unbooked),
        "books_corrected": money(end.book_side),
        "difference": money(end.difference),
        "agrees": end.agrees,
        "stale": _items(end.stale),
        "proof_of_cash": None if found.proof is None else _proof_data(found.proof),
    }


def month_blocks(found: MonthAtBank) -> tuple[Block, ...]:
    """Give a month's reconciliation for reading: the two balances, what is open, the four columns."""
    end = found.end
    stale = [(each.document, day(each.day), write_amount(each.amount), each.words) for each in end.stale]
    blocks: list[Block] = [_balances(found)]
    if stale:
        columns = (Column("document"), DAY, AMOUNT, Column("what"))
        blocks.append(Table(f"Outstanding for more than {STALE_DAYS} days", columns, stale))
    if found.proof is not None:
        blocks.append(_proof_table(found.proof))
    return tuple(blocks)


def verdict(found: MonthAtBank) -> str:
    """Say in one sentence whether the bank agrees, and what to do if it does not."""
    end, proof = found.end, found.proof
    if proof is not None and proof.missing_lines:
        return (
            f"The bank's lines of the month do not lead from its balance at the beginning to that at the end: "
            f"{write_amount(proof.missing_lines)} is missing. Take in the whole month's statement."
        )
    if end.agrees:
        return f"The bank agrees with the books at {write_amount(end.books)}, to the cent."
    if end.unbooked:
        return (
            f"{end.lines_said} not in the books: match with 'shopledger bank match', or make entries with "
            "'shopledger bank record'."
        )
    return f"{write_amount(end.difference)} is not explained: compare the lines with the bank's own list."


def _balances(found: MonthAtBank) -> Table:
    end = found.end
    rows = [*((f"balance of {each.name}", write_amount(balance)) for each, balance in found.accounts)]
    rows += [_item_row("deposit in transit", each) for each in end.in_transit]
    rows += [_item_row("outstanding", each) for each in end.outstanding]
    rows += [("bank, corrected", write_amount(end.bank_side)), ("balance of the books", write_amount(end.books))]
    rows += [_item_row("not in the books", each) for each in end.unbooked]
    rows += [("books, corrected", write_amount(end.book_side)), ("difference", write_amount(end.difference))]
    return Table(f"Bank and books on {day(end.day)}", (Column("what"), AMOUNT), rows)


def _item_row(words: str, item: OpenItem) -> tuple[str, str]:
    return f"{words}: {item.document}, {day(item.day)}, {item.words}", write_amount(item.amount)


def _items(items: Iterable[OpenItem]) -> list[Json]:
    return [
        {"document": each.document, "day": day(each.day), "amount": money(each.amount), "what": each.words}
        for each in items
    ]


def _proof_rows(proof: ProofOfCash) -> tuple[ProofRow, ...]:
    return *proof.bank, proof.corrected_bank, *proof.books, proof.corrected_books


def _proof_data(proof: ProofOfCash) -> dict[str, Json]:
    return {"rows": OUT.all(_proof_rows(proof)), "holds": proof.holds}


def _proof_table(proof: ProofOfCash) -> Table:
    columns = (Column(""), *(Column(name, right=True) for name in ("beginning", "received", "paid", "end")))
    rows = [
        (row.line.value, *map(write_amount, (row.opening, row.receipts, row.disbursements, row.closing)))
        for row in _proof_rows(proof)
    ]
    return Table("Proof of cash", columns, rows)


def _account_data(each: AccountImport) -> dict[str, Json]:
    plan, stated = each.plan, each.stated
    first, last = stated.span or (None, None)
    return {
        "account": each.account.name,
        "first": day(first),
        "last": day(last),
        "new": len(plan.new),
        "known": plan.known,
        "changed": len(plan.changed),
        "again": len(plan.again),
        "missing": len(plan.missing),
        "sum": money(plan.total),
        "balance": money(stated.closing.amount) if stated.closing else None,
        "balance_on": day(stated.closing.day) if stated.closing else None,
        "statement": each.statement.number if each.statement else None,
        "notes": list(stated.notes),
    }


def _account_rows(each: AccountImport) -> list[tuple[str, str]]:
    plan, stated = each.plan, each.stated
    closing, span = stated.closing, stated.span
    rows = [("days", f"{day(span[0])} to {day(span[1])}" if span else "none")]
    rows += [("new lines", str(len(plan.new))), ("they come to", write_amount(plan.total))]
    rows += [("there already", str(plan.known))]
    rows += [(words, str(many)) for words, many in _odd(each) if many]
    rows += [("balance", f"{write_amount(closing.amount)} on {day(closing.day)}" if closing else "not in the file")]
    return rows + [("note", note) for note in stated.notes]


def _odd(each: AccountImport) -> tuple[tuple[str, int], ...]:
    plan = each.plan
    return (
        ("changed by the bank", len(plan.changed)),
        ("probably there already", len(plan.again)),
        ("missing since", len(plan.missing)),
    )


def _line_cells(line: BankLine) -> tuple[str, str, str, str]:
    return str(line.number), day(line.day), write_amount(line.amount), line.text


def _standing(each: ShownLine) -> str:
    if each.overtaken_by:
        return f"put right by line {each.overtaken_by}"
    return ", ".join(str(entry.document) for entry in each.entries) or (f"line {each.other}" if each.other else "")


def _named(entry: BookEntry) -> str:
    return f"{entry.document} of {day(entry.day)}"


def _proposed_data(each: Proposed) -> dict[str, Json]:
    return {**line_data(each.line), "document": str(each.entry.document), "by": each.by.value}


def _open_data(each: OpenLine) -> dict[str, Json]:
    return {**line_data(each.line), "could_be": [str(entry.document) for entry in each.candidates]}
