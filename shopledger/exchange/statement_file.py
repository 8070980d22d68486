"""A bank's file of whatever form: told by what stands in it, and read by the reader of its form."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from shopledger.exchange.camt_file import read_camt
from shopledger.exchange.ofx_file import read_ofx
from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.statement_csv import CsvTold, first_rows, read_statement_csv
from shopledger.exchange.statement_text import AGAIN, statement_bytes
from shopledger.ledger.books.statement_layout import CsvLayout
from shopledger.ledger.books.statements import StatedAccount, StatementForm, kept_words

_OFX: Final = re.compile(rb"<OFX>|OFXHEADER|<\0?O\0?F\0?X\0?>", re.IGNORECASE)
_CAMT: Final = re.compile(rb"B\0?k\0?T\0?o\0?C\0?s\0?t\0?m\0?r\0?S\0?t\0?m\0?t|<!ENTITY")
_PAGE: Final = re.compile(rb"<(?:!DOCTYPE\s+)?html", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class StatementFile:
    """A bank's file as it lies there: its name, the hash of its bytes, the bytes, and what form they are of."""

    name: str
    sha256: str
    body: bytes
    form: StatementForm

    def accounts(self, layout: CsvLayout | None, told: CsvTold) -> tuple[StatedAccount, ...]:
        """Give what it says of each account; a CSV file needs the layout of its account."""
        if self.form is StatementForm.OFX:
            return read_ofx(self.body, self.name)
        if self.form is StatementForm.CAMT:
            return read_camt(self.body, self.name)
        if layout is None:
            head = " / ".join(", ".join(row) for row in first_rows(self.body, self.name))
            reason = f"it is neither OFX nor camt.053, and for a CSV file its columns must be known: {kept_words(head)}"
            hint = "Name the account with --account, and its columns once with 'shopledger bank columns'."
            raise FileRefusedError(self.name, None, reason, hint)
        return (read_statement_csv(self.body, self.name, layout, told),)


def read_statement_file(source: Path) -> StatementFile:
    """Read a bank's file, or refuse what is none."""
    body = statement_bytes(source)
    return StatementFile(source.name, hashlib.sha256(body).hexdigest(), body, _form(source, body))


def _form(source: Path, body: bytes) -> StatementForm:
    if _OFX.search(body):
        return StatementForm.OFX
    if _CAMT.search(body):
        return StatementForm.CAMT
    if _PAGE.search(body):
        raise FileRefusedError(source.name, None, "it is a page of the web and no statement", AGAIN)
    if not body.strip():
        raise FileRefusedError(source.name, None, "it is empty", AGAIN)
    return StatementForm.CSV
