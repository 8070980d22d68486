"""Statements in the form camt.053 of ISO 20022, whatever its version: elements are known by their local names.

The reader of XML is the one of Python itself, told to refuse what a statement never has: a document type, entities,
depth without end.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Final, NoReturn
from xml.parsers import expat

from shopledger.exchange.records import shown
from shopledger.exchange.refusals import FileRefusedError, RowsRefusedError
from shopledger.exchange.statement_text import AGAIN, MOST_LINES, stated_cents, stated_day
from shopledger.ledger.books.statements import (
    StatedAccount,
    StatedBalance,
    StatedLine,
    StatementForm,
    without_account,
)
from shopledger.money.amount import Cents, write_amount

_DEEPEST: Final = 40
"""No element of a statement stands deeper. (common practice, no source)"""
_LONGEST: Final = 20_000
"""Letters of one value. (common practice, no source)"""
_DAY: Final = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_DOLLARS: Final = "USD"
_SIGNS: Final = {"CRDT": 1, "DBIT": -1}
_BOOKED: Final = "BOOK"
_WAITING: Final = frozenset({"PDNG", "INFO", "FUTR"})
_PARTS: Final = frozenset({"Ntry", "Bal"})
_TEXTS: Final = (
    "NtryDtls/TxDtls/RmtInf/Ustrd",
    "AddtlNtryInf",
    "NtryDtls/TxDtls/AddtlTxInf",
)

Values = Mapping[str, Sequence[str]]
"""What stands in a part of a statement, by the path of local names."""


@dataclass(slots=True)
class _Open:
    """A statement while it is read."""

    values: defaultdict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    entries: list[Values] = field(default_factory=list)
    balances: list[Values] = field(default_factory=list)


def read_camt(body: bytes, file: str) -> tuple[StatedAccount, ...]:
    """Read every statement of a file; a file that is cut, hostile or something else is refused whole."""
    found = _Reader(file).read(body)
    if not found:
        raise FileRefusedError(file, None, "it holds no statement of an account", AGAIN)
    return tuple(_account(file, each) for each in found)


class _Reader:
    """Goes through the elements of a file, and keeps where it is."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.path: list[str] = []
        self.letters: list[str] = []
        self.statements: list[_Open] = []
        self.part: defaultdict[str, list[str]] | None = None

    def read(self, body: bytes) -> list[_Open]:
        """Give each statement of the file."""
        parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartDoctypeDeclHandler = self._declared
        parser.EntityDeclHandler = self._declared
        parser.StartElementHandler = self._starts
        parser.EndElementHandler = self._ends
        parser.CharacterDataHandler = self.letters.append
        try:
            parser.Parse(body, True)  # noqa: FBT003 - expat's own signature
        except expat.ExpatError as error:
            raise FileRefusedError(self.file, error.lineno, "it is damaged, or stops in the middle", AGAIN) from error
        except LookupError as error:
            # Nobody knows the letters that its first line names.
            raise FileRefusedError(self.file, 1, "it is written in letters that are not known here", AGAIN) from error
        return self.statements

    def _declared(self, *_named: object) -> NoReturn:
        self._refuse("it declares a document type or an entity, which no bank's statement needs", AGAIN)

    def _starts(self, name: str, attributes: Mapping[str, str]) -> None:
        local = name.rpartition(":")[2]
        self.path.append(local)
        self.letters.clear()
        if len(self.path) > _DEEPEST:
            self._refuse("its elements stand in one another without end", AGAIN)
        if local == "Stmt":
            self.statements.append(_Open())
        elif self._below() == local and local in _PARTS:
            self.part = defaultdict(list)
        if "Ccy" in attributes:
            self._keep(f"{self._within()}@Ccy", attributes["Ccy"])

    def _ends(self, name: str) -> None:
        value = " ".join("".join(self.letters).split())
        self.letters.clear()
        if len(value) > _LONGEST:
            self._refuse(f"a value has more than {_LONGEST:,} letters", AGAIN)
        local = name.rpartition(":")[2]
        if self.part is not None and self._below() == local and local in _PARTS:
            self._end_part(local)
        elif value:
            self._keep(self._within(), value)
        self.path.pop()

    def _end_part(self, local: str) -> None:
        statement = self.statements[-1]
        (statement.entries if local == "Ntry" else statement.balances).append(self.part or {})
        self.part = None
        if len(statement.entries) > MOST_LINES:
            self._refuse(f"it has more than {MOST_LINES:,} lines", "Download fewer months at a time.")

    def _below(self) -> str:
        """Give the path below the statement; empty outside of one."""
        return "/".join(self.path[self.path.index("Stmt") + 1 :]) if "Stmt" in self.path else ""

    def _within(self) -> str:
        """Give the path below the part of the statement, or below the statement."""
        return self._below().partition("/")[2] if self.part is not None else self._below()

    def _keep(self, path: str, value: str) -> None:
        if self.part is not None:
            self.part[path].append(value)
        elif self.statements and path:
            self.statements[-1].values[path].append(value)

    def _refuse(self, reason: str, hint: str) -> NoReturn:
        raise FileRefusedError(self.file, None, reason, hint)


def _account(file: str, statement: _Open) -> StatedAccount:
    problems: list[FileRefusedError] = []
    notes: list[str] = []
    lines = [
        line
        for place, entry in enumerate(statement.entries, start=1)
        if (line := _stated(file, place, entry, notes, problems)) is not None
    ]
    if problems:
        raise problems[0] if len(problems) == 1 else RowsRefusedError(tuple(problems))
    account_id = _one(statement.values, "Acct/Id/IBAN") or _one(statement.values, "Acct/Id/Othr/Id")
    balances = dict(_balances(file, statement.balances))
    first, last = (_day(_one(statement.values, f"FrToDt/{name}")) for name in ("FrDtTm", "ToDtTm"))
    stated = StatedAccount(
        StatementForm.CAMT,
        tuple(lines),
        "",
        first,
        last,
        balances.get("OPBD"),
        balances.get("CLBD"),
        tuple(dict.fromkeys(notes)),
    )
    _check_sum(file, stated)
    return without_account(stated, account_id)


def _stated(
    file: str, place: int, entry: Values, notes: list[str], problems: list[FileRefusedError]
) -> StatedLine | None:
    """Give one line; nothing for one that is not booked, and what is wrong with another goes to the problems."""
    status = _one(entry, "Sts/Cd") or _one(entry, "Sts") or _BOOKED
    if status in _WAITING:
        notes.append("Lines that are not booked yet were left out.")
        return None
    day = _day(_one(entry, "BookgDt/Dt") or _one(entry, "BookgDt/DtTm"))
    amount, wrong = _signed(entry)
    if day is None:
        wrong = wrong or "it has no day on which it was booked"
    if day is None or wrong:
        problems.append(FileRefusedError(file, None, f"line {place} of the statement: {wrong}", AGAIN))
        return None
    texts = dict.fromkeys(text for path in _TEXTS for text in entry.get(path, ()))
    return StatedLine(
        day,
        amount,
        " ".join(texts),
        _one(entry, "AcctSvcrRef"),
        _one(entry, "NtryDtls/TxDtls/Refs/ChqNb"),
        _one(entry, "BkTxCd/Domn/Fmly/SubFmlyCd"),
    )


def _balances(file: str, found: Sequence[Values]) -> Iterator[tuple[str, StatedBalance]]:
    for each in found:
        day = _day(_one(each, "Dt/Dt") or _one(each, "Dt/DtTm"))
        amount, wrong = _signed(each)
        kind = _one(each, "Tp/CdOrPrtry/Cd")
        if kind in {"OPBD", "CLBD"} and (wrong or day is None):
            raise FileRefusedError(file, None, f"a balance of it: {wrong or 'it has no day'}", AGAIN)
        if day is not None and not wrong:
            yield kind, StatedBalance(day, amount)


def _signed(values: Values) -> tuple[Cents, str]:
    """Give an amount with its sign, and what is wrong with it; in the file it is always above zero."""
    typed, sign = _one(values, "Amt"), _SIGNS.get(_one(values, "CdtDbtInd"))
    currency = _one(values, "Amt@Ccy") or _DOLLARS
    cents = stated_cents(typed)
    if cents is None or cents < 0:
        return 0, f"'{shown(typed)}' is no amount of dollars and cents"
    if sign is None:
        return 0, f"'{shown(_one(values, 'CdtDbtInd'))}' does not say whether it came in or went out"
    wrong = "" if currency == _DOLLARS else f"it is in {shown(currency)}, and the books are in US dollars"
    return sign * cents, wrong


def _check_sum(file: str, stated: StatedAccount) -> None:
    """Refuse a statement whose lines do not lead from its first balance to its last."""
    if stated.opening is None or stated.closing is None:
        return
    led = stated.opening.amount + stated.total
    if led != stated.closing.amount:
        said = f"its lines lead from {write_amount(stated.opening.amount)} to {write_amount(led)}"
        reason = f"{said}, and it says {write_amount(stated.closing.amount)}"
        raise FileRefusedError(file, None, reason, f"Lines are missing. {AGAIN}")


def _one(values: Values, path: str) -> str:
    return next(iter(values.get(path, ())), "")


def _day(text: str) -> date | None:
    """Read the day in front of a time as it is printed."""
    found = _DAY.match(text)
    return stated_day(*found.groups()) if found else None
