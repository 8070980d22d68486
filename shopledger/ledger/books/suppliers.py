"""Suppliers: who sells frames, lenses and lab work to the shop."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.ledger.identifiers import read_email, read_phone
from shopledger.ledger.text import LONGEST_NOTE, clean_text


@dataclass(frozen=True, slots=True)
class Supplier:
    """Who sends goods and bills; a lens laboratory is one too."""

    name: str
    account: str = ""
    """The shop's customer number with the supplier."""
    phone: str = ""
    email: str = ""
    note: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "name", clean_text("supplier", self.name))
        object.__setattr__(self, "account", clean_text("account number", self.account, 40, required=False))
        object.__setattr__(self, "phone", read_phone(self.phone))
        object.__setattr__(self, "email", read_email(self.email))
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))
