"""Statements in the Open Financial Exchange format, 1.x (SGML) and 2.x (XML), as banks really write them.

One scan finds every tag with the text behind it. No markup parser takes part, so that no entity is ever expanded and
no depth can hurt; what a statement needs are a few tags whose places are known. The posting day is taken as it is
printed: moving it by its time zone would put lines into another month.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from typing import Final, NoReturn

from shopledger.exchange.records import shown
from shopledger.exchange.refusals import FileRefusedError, RowsRefusedError
from shopledger.exchange.statement_text import AGAIN, MOST_LINES, stated_cents, stated_day, statement_text
from shopledger.ledger.books.statements import (
    StatedAccount,
    StatedBalance,
    StatedLine,
    StatementForm,
    ending_of,
    without_account,
)
from shopledger.money.amount import Cents

_BEGIN: Final = re.compile(r"<OFX>", re.IGNORECASE)
_TAG: Final = re.compile(r"<(/?)([A-Za-z][A-Za-z0-9._]{0,40})>([^<]*)")
_FORBIDDEN: Final = re.compile(r"<!(?:DOCTYPE|ENTITY)", re.IGNORECASE)
_ENTITY: Final = re.compile(r"&(?:amp|lt|gt|quot|apos|nbsp);")
_DAY: Final = re.compile(r"([0-9]{4})([0-9]{2})([0-9]{2})")
_CARD: Final = "CCSTMTRS"
_STATEMENTS: Final = frozenset({"STMTRS", _CARD})
_LINE: Final = "STMTTRN"
_PLACES: Final = frozenset({"LEDGERBAL", "AVAILBAL", "BAL", "BANKACCTFROM", "CCACCTFROM", "BANKTRANLIST"})
"""Aggregates of a statement in which a tag means something else than outside."""
_ELSEWHERE: Final = frozenset({"BANKACCTTO", "CCACCTTO", "IMAGEDATA", "CURRENCY", "ORIGCURRENCY"})
"""Aggregates of a line whose values are not its own."""
_OWN: Final = frozenset(
    {"TRNTYPE", "DTPOSTED", "TRNAMT", "FITID", "CORRECTFITID", "CORRECTACTION", "CHECKNUM", "NAME", "EXTDNAME", "MEMO"}
)
"""The values of a line that are read; one that stands there twice means that the end of a line is lost."""
_TYPES: Final = frozenset(
    {"CREDIT", "DEBIT", "INT", "DIV", "FEE", "SRVCHG", "DEP", "ATM", "POS", "XFER", "CHECK", "PAYMENT", "CASH"}
    | {"DIRECTDEP", "DIRECTDEBIT", "REPEATPMT", "OTHER", "HOLD"}
)
_CUT: Final = "it stops in the middle"
_DOLLARS: Final = "USD"


@dataclass(slots=True)
class _Open:
    """A statement while it is read."""

    is_card: bool
    values: dict[str, str] = field(default_factory=dict)
    lines: list[dict[str, str]] = field(default_factory=list)


def read_ofx(body: bytes, file: str) -> tuple[StatedAccount, ...]:
    """Read every statement of a file; a file that is cut, damaged or something else is refused whole."""
    text = statement_text(body, file)
    if _FORBIDDEN.search(text):
        raise FileRefusedError(file, None, "it declares a document type, which no bank's statement needs", AGAIN)
    start = _BEGIN.search(text)
    if start is None:
        raise FileRefusedError(
            file, None, "it is no OFX file", "It may be a page of the bank's site. Download it anew."
        )
    found = tuple(_Reader(file).read(text[start.start() :]))
    if not found:
        raise FileRefusedError(file, None, "it holds no statement of a bank account or card", AGAIN)
    return tuple(_account(file, each) for each in found)


class _Reader:
    """Goes through the tags of a file, and keeps where it is."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.statement: _Open | None = None
        self.line: dict[str, str] | None = None
        self.place = ""
        self.elsewhere = ""
        self.count = 0

    def read(self, text: str) -> Iterator[_Open]:
        """Give each statement as it ends."""
        ended = False
        for tag in _TAG.finditer(text):
            closes, name, value = bool(tag[1]), tag[2].upper(), tag[3]
            if ended:
                self._refuse("something follows its end", "It may be two files, one behind the other: import each.")
            if name == "OFX":
                ended = closes
            elif name in _STATEMENTS:
                yield from self._statement(closes=closes, is_card=name == _CARD)
            elif name == _LINE:
                self._line(closes=closes)
            elif name in _PLACES | _ELSEWHERE:
                self._enter(name, closes=closes)
            elif not closes:
                self._value(name, _written(value))
        if not ended or self.statement is not None or self.line is not None:
            self._refuse(_CUT, AGAIN)

    def _statement(self, *, closes: bool, is_card: bool) -> Iterator[_Open]:
        if closes == (self.statement is None) or self.line is not None:
            self._refuse(_CUT, AGAIN)
        if closes and self.statement is not None:
            yield self.statement
        self.statement = None if closes else _Open(is_card)
        self.place = self.elsewhere = ""

    def _line(self, *, closes: bool) -> None:
        if self.statement is None or closes == (self.line is None):
            self._refuse("a line begins before the one above it has ended", f"The file is damaged. {AGAIN}")
        if closes and self.line is not None:
            self.statement.lines.append(self.line)
        self.line, self.elsewhere = (None, "") if closes else ({}, "")
        self.count += not closes
        if self.count > MOST_LINES:
            self._refuse(f"it has more than {MOST_LINES:,} lines", "Download fewer months at a time.")

    def _enter(self, name: str, *, closes: bool) -> None:
        if self.line is not None:
            self.elsewhere = "" if closes else name
        else:
            self.place = "" if closes else name

    def _value(self, name: str, value: str) -> None:
        if self.line is None:
            if self.statement is not None and value:
                self.statement.values.setdefault(f"{self.place} {name}".strip(), value)
            return
        if self.elsewhere == "CURRENCY" and name == "CURSYM":
            self.line["CURSYM"] = value
        if self.elsewhere or name not in _OWN:
            return
        if name in self.line:
            self._refuse(
                f"a line says {name} twice, so that the end of a line is lost", f"The file is damaged. {AGAIN}"
            )
        self.line[name] = value

    def _refuse(self, reason: str, hint: str) -> NoReturn:
        raise FileRefusedError(self.file, None, reason, hint)


def _written(value: str) -> str:
    """Give a value as it is meant: only the five signs of XML and the blank that stays are written as entities."""
    plain = _ENTITY.sub(lambda found: " " if found[0] == "&nbsp;" else html.unescape(found[0]), value)
    return " ".join(plain.split())


def _account(file: str, statement: _Open) -> StatedAccount:
    values = statement.values
    currency = values.get("CURDEF", _DOLLARS).upper()
    if currency != _DOLLARS:
        raise FileRefusedError(file, None, f"it is in {shown(currency)}", "The books are kept in US dollars alone.")
    notes: list[str] = []
    problems: list[FileRefusedError] = []
    lines = [_stated(file, place, line, notes, problems) for place, line in enumerate(statement.lines, start=1)]
    if problems:
        raise problems[0] if len(problems) == 1 else RowsRefusedError(tuple(problems))
    account_id = values.get("BANKACCTFROM ACCTID", values.get("CCACCTFROM ACCTID", ""))
    closing = _balance(values, notes)
    stated = StatedAccount(
        StatementForm.OFX,
        tuple(line for line in lines if line is not None),
        ending_of(account_id),
        _day(values.get("BANKTRANLIST DTSTART", "")),
        _day(values.get("BANKTRANLIST DTEND", "")),
        None,
        closing,
        tuple(dict.fromkeys(notes)),
        statement.is_card,
    )
    return without_account(stated, account_id)


def _stated(
    file: str, place: int, line: dict[str, str], notes: list[str], problems: list[FileRefusedError]
) -> StatedLine | None:
    """Give one line, or add what is wrong with it to the problems."""
    day, amount = _day(line.get("DTPOSTED", "")), stated_cents(line.get("TRNAMT", ""))
    wrong = _wrong(line, day, amount)
    if day is None or amount is None or wrong:
        problems.append(FileRefusedError(file, None, f"line {place} of the statement: {wrong}", AGAIN))
        return None
    notes += _odd(line)
    name, memo = line.get("NAME", "") or line.get("EXTDNAME", ""), line.get("MEMO", "")
    text = name if not memo or memo.casefold() in name.casefold() else f"{name} {memo}".strip()
    corrects = line.get("CORRECTFITID", "")
    deleted = corrects and line.get("CORRECTACTION", "").upper() == "DELETE"
    return StatedLine(
        day,
        0 if deleted else amount,
        text,
        line.get("FITID", ""),
        line.get("CHECKNUM", ""),
        line.get("TRNTYPE", ""),
        corrects,
    )


def _wrong(line: dict[str, str], day: date | None, amount: Cents | None) -> str:
    if day is None:
        return f"'{shown(line.get('DTPOSTED', ''))}' is no day"
    if amount is None:
        return f"'{shown(line.get('TRNAMT', ''))}' is no amount of dollars and cents"
    currency = line.get("CURSYM", _DOLLARS).upper()
    return f"it is in {shown(currency)}, and the books are in US dollars" if currency != _DOLLARS else ""


def _odd(line: dict[str, str]) -> Iterator[str]:
    if line.get("TRNTYPE", "").upper() not in _TYPES:
        yield f"The bank calls a line '{shown(line.get('TRNTYPE', ''))}', which the format does not know."
    if not line.get("NAME") and not line.get("EXTDNAME"):
        yield "A line has no name."
    if not line.get("FITID"):
        yield "Lines have no number of the bank's, so they are told apart by day, amount and text."


def _balance(values: dict[str, str], notes: list[str]) -> StatedBalance | None:
    amount, day = stated_cents(values.get("LEDGERBAL BALAMT", "")), _day(values.get("LEDGERBAL DTASOF", ""))
    if amount is None or day is None:
        notes.append("The file says no balance. Type it with 'shopledger bank balance'.")
        return None
    return StatedBalance(day, amount)


def _day(text: str) -> date | None:
    """Read the first eight digits of a time as a day, as they are printed."""
    found = _DAY.match(text)
    return stated_day(*found.groups()) if found else None
