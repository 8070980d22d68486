"""Which column of an account's CSV files says what: kept once for each account, and never guessed."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields, replace
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.text import clean_text

_COLUMNS: Final = ("day", "amount", "money_out", "money_in", "check_number", "source_id", "balance")
_MOST_SKIPPED: Final = 100


class DateOrder(Enum):
    """In which order a bank writes the parts of a day."""

    MONTH_FIRST = "month first"
    DAY_FIRST = "day first"
    YEAR_FIRST = "year first"


@dataclass(frozen=True, slots=True)
class CsvLayout:
    """The columns of a CSV file, each by its heading or by its number; empty where the file has none of it."""

    day: str
    amount: str = ""
    """Of one column with its sign; where there are two, `money_out` and `money_in`."""
    money_out: str = ""
    money_in: str = ""
    text: tuple[str, ...] = ()
    check_number: str = ""
    source_id: str = ""
    balance: str = ""
    date_order: DateOrder = DateOrder.MONTH_FIRST
    turned: bool = False
    """Whether what goes out stands above zero, as in some card statements."""
    skip: int = 0
    """Rows above the headings, or above the first line where there are none."""
    skip_last: int = 0
    """Rows below the last line, such as totals."""
    leave_out: str = ""
    """Rows that are not posted yet: a column and its word, as in `Status=pending`."""

    def __post_init__(self) -> None:
        """Hold the columns to their rules: one amount or two, and all by heading or all by number."""
        for name in _COLUMNS:
            object.__setattr__(self, name, clean_text(name.replace("_", " "), getattr(self, name), required=False))
        object.__setattr__(self, "text", tuple(clean_text("text", each) for each in self.text))
        object.__setattr__(self, "leave_out", clean_text("leave out", self.leave_out, required=False))
        both = bool(self.money_out) and bool(self.money_in)
        if not self.day or bool(self.amount) == both or bool(self.money_out) != bool(self.money_in):
            rule = "it names the day, and either one column of amounts or one for money out and one for money in"
            raise RefusedError("layout", "incomplete", rule, "Name them by heading or number.")
        if len({each.isdigit() for each in self.named}) > 1:
            rule = "columns are named all by their headings or all by their numbers"
            raise RefusedError("layout", ", ".join(self.named), rule, "A file without headings has numbers alone.")
        for name in ("skip", "skip_last"):
            if not 0 <= getattr(self, name) <= _MOST_SKIPPED:
                rule = f"it lies from 0 to {_MOST_SKIPPED}"
                raise RefusedError("rows to skip", getattr(self, name), rule, "Count the rows again.")
        if self.leave_out and not all(self.left_out):
            rule = "it is a column and its word, as in Status=pending"
            raise RefusedError("leave out", f"'{self.leave_out}'", rule, "Type it so.")

    @property
    def left_out(self) -> tuple[str, str]:
        """The column and the word of rows that are left out."""
        column, _, word = self.leave_out.partition("=")
        return column.strip(), word.strip()

    @property
    def named(self) -> tuple[str, ...]:
        """Every column that is named."""
        own = (*(getattr(self, name) for name in _COLUMNS), *self.text, self.left_out[0])
        return tuple(each for each in own if each)

    @property
    def by_number(self) -> bool:
        """Whether the columns are named by their numbers, since the file has no headings."""
        return self.day.isdigit()

    def written(self) -> str:
        """Give the layout as the text that is kept."""
        body = {**asdict(self), "date_order": self.date_order.value}
        return json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    @classmethod
    def read(cls, kept: str) -> CsvLayout:
        """Give the layout that was kept as this text."""
        body = {name: value for name, value in json.loads(kept).items() if name in {each.name for each in fields(cls)}}
        order = DateOrder(body.pop("date_order"))
        return replace(cls(**{**body, "text": tuple(body["text"])}), date_order=order)
