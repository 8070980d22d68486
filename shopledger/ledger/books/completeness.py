"""Holding what is said of an enumeration's members to all of them, as soon as it is said."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from enum import Enum
from typing import Any, Final, Self, TypeVar

from shopledger.errors import LedgerError
from shopledger.ledger.books.journal import Account

Member = TypeVar("Member", bound=Enum)
Said = TypeVar("Said")

LACKING: Final[Any] = None
"""What a member is given for what was not written beside its word; `check_members` then says so."""


class NoRuleError(LedgerError):
    """A member of an enumeration that the books have no rule for."""

    member: Enum
    lacks: str
    sentence = "{kind} '{word}' has no posting rule: {lacks}."

    @property
    def kind(self) -> str:
        """The enumeration's name in words."""
        return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", type(self.member).__name__).lower()

    @property
    def word(self) -> str:
        """The member's word."""
        return str(self.member.value)


def complete(members: Iterable[Member], said: Mapping[Member, Said], lacks: str) -> Mapping[Member, Said]:
    """Give what is said of each member, or refuse the first of which nothing is; `lacks` says what to do then."""
    for member in members:
        if member not in said:
            raise NoRuleError(member, lacks)
    return said


def check_members(kind: type[Enum], **lacks: str) -> None:
    """Refuse a member with nothing beside its word for one of these attributes; each says what to do then."""
    for attribute, words in lacks.items():
        for member in kind:
            if getattr(member, attribute) is LACKING:
                raise NoRuleError(member, words)


class WithAccount(Enum):
    """Words that each have an account beside them, which a member cannot be without."""

    _value_: str
    account: Account

    def __new__(cls, word: str, account: Account = LACKING) -> Self:
        """Make a member known by its word alone."""
        member = object.__new__(cls)
        member._value_, member.account = word, account
        return member

    def __init_subclass__(cls) -> None:
        """Hold every member to having its account."""
        super().__init_subclass__()
        check_members(cls, account=f"give it an account beside its word in {cls.__module__.replace('.', '/')}.py")
