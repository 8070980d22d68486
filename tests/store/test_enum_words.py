"""Words of enumerations reach SQL from their members alone."""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
from collections import defaultdict
from collections.abc import Iterator
from enum import Enum, EnumType
from pathlib import Path
from typing import Final

from shopledger import ledger, store
from shopledger.ledger.books.journal import Account
from shopledger.ledger.stock import StockReason
from shopledger.store.words import cases, listed, spelt, stands_on, word

STORE: Final = Path(store.__path__[0])
TAGS: Final = frozenset({"shipped"})
"""What a sheet says of an event; that a stage of a job is called the same is chance."""
SQL: Final = re.compile(r"\b(SELECT|FROM|WHERE|WHEN|THEN|AND|OR|IN|AS)\b|=|<>")


class Odd(Enum):
    """A word with a quote in it."""

    QUOTED = "owner's"


def test_a_member_is_its_value_in_quotes_and_an_account_its_title() -> None:
    """A quote inside is doubled, as SQL wants it."""
    assert word(StockReason.WRITTEN_OFF) == "'written off'"
    assert word(Account.ACCOUNTS_PAYABLE) == "'bills to pay'"
    assert word(Odd.QUOTED) == "'owner''s'"


def test_members_are_listed_and_none_fits_nothing() -> None:
    """A list follows IN; one of no members is never true."""
    assert listed((StockReason.SOLD, StockReason.OWN_USE)) == "('sold', 'own use')"
    assert listed(()) == "(NULL)"


def test_a_mapping_becomes_a_case_by_what_it_gives() -> None:
    """Members that give the same stand side by side; what is no member is SQL as it stands."""
    mapping = {StockReason.SOLD: Account.SALES, StockReason.GIVEN: Account.SALES, StockReason.OWN_USE: Account.DRAWS}
    assert cases("reason", mapping) == (
        "CASE WHEN reason IN ('sold', 'given away') THEN 'sales' WHEN reason IN ('own use') THEN 'owner draws' END"
    )
    assert cases("reason", {StockReason.SOLD: "cost"}, "0") == "CASE WHEN reason IN ('sold') THEN cost ELSE 0 END"


def test_a_document_is_found_by_its_kind_and_number() -> None:
    """The condition names both columns."""
    said = stands_on(StockReason.SOLD, "moved.number")
    assert said == "entry.document_kind = 'sold' AND entry.document_number = moved.number"


def test_no_statement_of_the_store_types_a_word_of_the_ledger() -> None:
    """Whatever stands in quotes inside SQL is no member's word: it would stay as it is when the member changes."""
    words = _words_of_the_ledger()
    typed = [
        f"{path.relative_to(STORE)}: '{word}' ({', '.join(sorted(words[word]))})"
        for path in sorted(STORE.rglob("*.py"))
        for text in _statements(path)
        for word in re.findall(r"'([^'\n]+)'", text)
        if word in words and word not in TAGS
    ]
    assert typed == []


def _words_of_the_ledger() -> dict[str, set[str]]:
    """Give each word of an enumeration of the ledger, with the enumerations that have it."""
    found: dict[str, set[str]] = defaultdict(set)
    for module in pkgutil.walk_packages(ledger.__path__, f"{ledger.__name__}."):
        for kind in vars(importlib.import_module(module.name)).values():
            if isinstance(kind, EnumType) and kind.__module__ == module.name:
                for member in list[Enum](kind):
                    found[spelt(member)].add(kind.__name__)
    return found


def _statements(path: Path) -> Iterator[str]:
    """Give the texts of a module in which SQL stands, as typed: what an f-string fills in is left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    said = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    texts = (node for node in ast.walk(tree) if isinstance(node, ast.Constant) and id(node) not in said)
    yield from (node.value for node in texts if isinstance(node.value, str) and SQL.search(node.value))
