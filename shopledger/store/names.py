"""Changes of names, and in SQL what everything was called on a period's last day."""

# ruff: noqa: S608 - the queries are made of the words in this file alone

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Final

from shopledger.ledger.names import NameChange, Named
from shopledger.store.records import Record
from shopledger.store.scales import day_text
from shopledger.store.tables.names import name_change
from shopledger.store.transaction import Area
from shopledger.store.words import word

CHANGE: Final = Record(NameChange, name_change, counter="name change")


def called_by_then(kind: Named, key: str) -> str:
    """Give the table, in SQL, of what was called otherwise at some time: `own` and its `name` on the day `:last`.

    That is the newest name that held by then; before the first change, what stood before it.
    """
    same = f"other.kind = change.kind AND other.{key} = change.{key}"
    return f"""
    SELECT change.{key} AS own, CASE WHEN change.day <= :last THEN change.name ELSE change.before END AS name
    FROM name_change change
    WHERE change.kind = {word(kind)} AND change.number = COALESCE(
        (SELECT MAX(other.number) FROM name_change other WHERE {same} AND other.day <= :last),
        (SELECT MIN(other.number) FROM name_change other WHERE {same}))
    """


_GOODS: Final = tuple(called_by_then(kind, "item_code") for kind in (Named.FRAME, Named.ACCESSORY))
_SHOP: Final = called_by_then(Named.SHOP, "item_code")


class Names(Area):
    """What was called otherwise before."""

    def add(self, change: NameChange) -> NameChange | None:
        """Store that a name changed; nothing where it is the same."""
        return None if change.before == change.name else self.transaction.post(CHANGE, change)

    def goods_on(self, day: date) -> Mapping[tuple[str, str], str]:
        """Give what frames and accessories that were called otherwise at some time were called on a day, by kind."""
        return {
            (kind.value, row.own): row.name
            for kind, query in zip((Named.FRAME, Named.ACCESSORY), _GOODS, strict=True)
            for row in self.transaction.asked(query, last=day_text(day))
        }

    def shop_on(self, day: date, now: str) -> str:
        """Give what the shop was called on a day, where `now` is what it is called."""
        found = self.transaction.asked(_SHOP, last=day_text(day))
        return str(found[0].name) if found else now
