"""The command for each kind of thing that waits; what the command itself would not ask for is asked here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, NamedTuple

from shopledger.cli.prompts import ask
from shopledger.ledger.text import clean_text
from shopledger.ledger.today import Waiting, Waits


class Lacks(NamedTuple):
    """A word of a command that nobody but the owner knows."""

    words: str


Step = tuple[str | Lacks, ...]

_FILE: Final = Lacks("The tracer's file")
_STEPS: Final[Mapping[Waits, Callable[[Waiting], Step]]] = {
    Waits.LENSES_LATE: lambda row: ("job", "lenses-arrived", row.about.name),
    Waits.MAKE_AGAIN: lambda row: ("job", "remake", row.about.name),
    Waits.SEND_AGAIN: lambda row: ("parcel", "send-again", row.about.name),
    Waits.SEND: lambda row: ("sale", "ship", row.about.name),
    Waits.CUT: lambda row: ("job", "sheet", row.about.name),
    Waits.TRACE: lambda row: ("trace", "add", row.needs.name if row.needs else Lacks("Frame"), _FILE),
    Waits.ORDER_LENSES: lambda row: ("job", "order-lenses", row.about.name, "--from", Lacks("The lab")),
    Waits.PAPER: lambda row: ("paper", "again", *row.about.name.split()),
    Waits.RECEIPT: lambda row: ("receipt", "issue", row.about.name),
    Waits.UNPAID_SENT: lambda row: ("payment", "take", row.about.name),
    Waits.UNPAID: lambda row: ("payment", "take", row.about.name),
    Waits.DRAFT: lambda row: ("draft", "record", row.about.name),
    Waits.BILL: lambda row: ("bill", "pay", row.about.name, Lacks("Amount"), "--method", Lacks("Paid from")),
    Waits.BACKUP: lambda _row: ("backup", "make"),
    Waits.BANK_LINE: lambda _row: ("bank", "match"),
    Waits.MONTH: lambda row: ("month", "close", row.about.name),
    Waits.FRAME_UNTRACED: lambda row: ("trace", "add", row.about.name, _FILE),
}


def step_of(row: Waiting) -> tuple[str, ...]:
    """Give the words of the command for something that waits, after asking for those that are not known."""
    return tuple(_known(word) for word in _STEPS[row.kind](row))


def _known(word: str | Lacks) -> str:
    return word if isinstance(word, str) else ask(word.words, lambda text: clean_text(word.words, text, 400))
