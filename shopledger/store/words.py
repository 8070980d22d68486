"""The words of enumerations inside SQL: taken from the members, so that no statement types one.

A statement in SQL writes `WHERE moved.reason = {word(StockReason.SOLD)}` in an f-string; a word misspelt is then an
attribute that does not exist, and a new member needs no statement changed that lists members by what they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import Enum
from typing import Final, TypeVar

from shopledger.ledger.books.journal import Account

DOCUMENT: Final = "document_kind || ' ' || CAST(document_number AS TEXT)"
"""A document as the ledger writes it, and as it is hashed with its entries, out of its two columns."""

Member = TypeVar("Member", bound=Enum)


def spelt(member: Enum) -> str:
    """Give a member as the database keeps it: an account by its title, any other by its value."""
    return member.title if isinstance(member, Account) else str(member.value)


def word(member: Enum) -> str:
    """Give a member as a word of SQL, in its quotes."""
    return "'" + spelt(member).replace("'", "''") + "'"


def listed(members: Iterable[Enum]) -> str:
    """Give members as the list that follows IN; an empty one fits nothing."""
    return f"({', '.join(map(word, members)) or 'NULL'})"


def cases(column: str, mapping: Mapping[Member, Enum | str], otherwise: str = "") -> str:
    """Give the CASE that turns each word of a column into what the mapping says: a member, or other SQL as it stands.

    Members that give the same stand side by side; `otherwise` is the SQL for every word that the mapping leaves out.
    """
    given: dict[str, list[Enum]] = {}
    for member, result in mapping.items():
        given.setdefault(word(result) if isinstance(result, Enum) else result, []).append(member)
    whens = " ".join(f"WHEN {column} IN {listed(members)} THEN {result}" for result, members in given.items())
    last = f" ELSE {otherwise}" if otherwise else ""
    return f"CASE {whens}{last} END"


def stands_on(kind: Enum, number: str, row: str = "entry") -> str:
    """Give the condition that a row of `journal_entry` or `taken_back` names the document of a kind and number.

    As in `JOIN journal_entry entry ON {stands_on(DocumentKind.BILL, "bill.number")}`.
    """
    return f"{row}.document_kind = {word(kind)} AND {row}.document_number = {number}"
