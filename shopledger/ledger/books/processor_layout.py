"""Which column of a processor's reports says what, and its words for the kinds of rows: kept once, and never guessed.

Columns are found by their headings, so a report may gain others. Days are taken as the report prints them: no zone is
turned into another, which would move a payment over a month's end. A processor that prints other days than the shop's
can mostly be told the shop's zone in its own settings.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields
from typing import Final

from shopledger.errors import RefusedError, nearest
from shopledger.ledger.books.processor_reports import ReportKind
from shopledger.ledger.books.statement_layout import DateOrder
from shopledger.ledger.text import clean_text

_NEEDED: Final = ("payout", "payout_day", "day", "kind", "gross", "fee", "net")
_COLUMNS: Final = (*_NEEDED, "transaction_id", "arrives_on", "total", "currency")


@dataclass(frozen=True, slots=True)
class ReportLayout:
    """The columns of a report, each by its heading; empty where the report has none of it."""

    payout: str
    """The processor's number of the payout."""
    payout_day: str
    day: str
    """The day of the transaction."""
    kind: str
    gross: str
    fee: str
    net: str
    transaction_id: str = ""
    arrives_on: str = ""
    total: str = ""
    """What the whole payout comes to, beside each of its rows; where there is none, rows of the kind payout say it."""
    currency: str = ""
    date_order: DateOrder = DateOrder.YEAR_FIRST
    words: tuple[tuple[str, str], ...] = ()
    """The processor's word for a kind, and the kind, where they are not the same."""

    def __post_init__(self) -> None:
        """Hold the columns and words to their rules."""
        for name in _COLUMNS:
            said = name.replace("_", " ")
            object.__setattr__(self, name, clean_text(said, getattr(self, name), required=name in _NEEDED))
        kinds = [kind.value for kind in ReportKind]
        for word, kind in self.words:
            if not word.strip() or kind not in kinds:
                near = nearest(kind, kinds, most=1)
                hint = f"Did you mean '{word}={near[0]}'?" if near else f"The kinds are: {', '.join(kinds)}."
                raise RefusedError("word", f"'{word}={kind}'", "it is the processor's word and one of our kinds", hint)

    @property
    def named(self) -> tuple[str, ...]:
        """Every column that is named."""
        return tuple(getattr(self, name) for name in _COLUMNS if getattr(self, name))

    def kind_of(self, typed: str) -> ReportKind | None:
        """Give the kind of a row by the report's word for it; None for a word that was never said."""
        word = " ".join(typed.casefold().split())
        said = {each.value: each for each in ReportKind}
        own = {" ".join(each.casefold().split()): said[kind] for each, kind in self.words}
        return own.get(word) or said.get(word)

    def written(self) -> str:
        """Give the layout as the text that is kept."""
        body = {**asdict(self), "date_order": self.date_order.value}
        return json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    @classmethod
    def read(cls, kept: str) -> ReportLayout:
        """Give the layout that was kept as this text."""
        body = {name: value for name, value in json.loads(kept).items() if name in {each.name for each in fields(cls)}}
        order = DateOrder(body.pop("date_order"))
        words = tuple((word, kind) for word, kind in body.pop("words"))
        return cls(**body, date_order=order, words=words)
