"""What the rows of a sheet add up to, counted while they pass by: by the words that its formulas ask for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any, Final, TypeAlias

from shopledger.exports.refusals import SheetError
from shopledger.exports.sheets import Sheet, Shown

Key: TypeAlias = tuple[Shown, ...]
NOT_EMPTY: Final = "<>"


class Tally:
    """The sums of a sheet's added columns, apart for each set of words in its key columns."""

    def __init__(self, sheet: Sheet[Any]) -> None:
        self.title = sheet.title
        self.rows = 0
        self.groups: dict[Key, list[int]] = {}
        self.kinds = {column.header: column.kind for column in sheet.columns}
        self._keys = {header: place for place, header in enumerate(sheet.keys)}
        added = (column.header for column in sheet.columns if column.total)
        self._added = {header: place for place, header in enumerate(added)}

    def add(self, key: Key, amounts: Iterable[Any]) -> None:
        """Add a row: what stands in its key columns, and in its added ones."""
        self.rows += 1
        sums = self.groups.get(key)
        if sums is None:
            sums = self.groups[key] = [0] * len(self._added)
        for place, amount in enumerate(amounts):
            if amount:
                sums[place] += amount

    @property
    def sums(self) -> dict[str, int]:
        """What each added column comes to."""
        return {header: sum(group[place] for group in self.groups.values()) for header, place in self._added.items()}

    def sum(self, header: str, asked: Sequence[tuple[str, str]] = ()) -> int:
        """Add a column up over the rows that meet every condition: a word, not empty, or a day from or up to one."""
        place = self._place(self._added, header)
        conditions = [(self._place(self._keys, name), wanted) for name, wanted in asked]
        return sum(
            group[place] for key, group in self.groups.items() if all(_meets(key[at], each) for at, each in conditions)
        )

    def _place(self, known: dict[str, int], header: str) -> int:
        if header not in known:
            raise SheetError(f"formulas ask for the column {header} of the sheet {self.title}, which is not counted")
        return known[header]


def _meets(shown: Shown, wanted: str) -> bool:
    """Tell whether what stands in a column meets a condition; days are compared as they are written."""
    word = shown.isoformat() if isinstance(shown, date) else "" if shown is None else str(shown)
    if wanted == NOT_EMPTY:
        return bool(word)
    if wanted.startswith((">=", "<=")):
        day = wanted[2:]
        return bool(word) and (word >= day if wanted.startswith(">") else word <= day)
    return word == wanted
