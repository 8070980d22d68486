"""A published worked example: lines typed on their days, and the figures in print against the program's JSON.

Events are typed as the owner types them. A figure in print stands beside the command that has to say it; values without
cents are printed so. Names of shops and goods are this project's own, amounts and days are those of the print.
"""

from __future__ import annotations

import json
import shlex
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any, Final

from click.testing import CliRunner

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop

BEGINNING: Final = (
    "setup --name 'Larkspur Optical' --street '9 Mill Row' --city Millbrae --state OH --zip 43002"
    " --phone 555-0100 --ein 12-3456789 --shipping-charge 0"
)
FIRST: Final = (
    "customer add --name 'Odalys Fernhollow' --street '18 Tansy Lane' --city Millbrae --state OH --zip 43002"
    " --phone 555-0142 --not-a-wearer"
)
"""Customer 1."""
SUPPLIER: Final = "supplier add --name 'Tollgate Frames'"

Event = tuple[str, str]
"""A day of 2026 and a line typed on it."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is typed to hear a figure, and where in its JSON the figure stands."""

    words: str
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Printed:
    """A figure as printed, with where it stands and what the program is asked for it.

    `summed` says that it is a sum, worked out by hand, of figures that are printed apart.
    """

    where: str
    value: str
    asked: Asked
    summed: bool = False

    @property
    def amount(self) -> str:
        """Give it as the program writes amounts."""
        return f"{Decimal(self.value.replace(',', '')):.2f}"


def owned(account: str, day: str) -> Asked:
    """Ask for an asset on the balance sheet of a day."""
    return Asked(f"year balance --on 2026-{day}", ("assets", account, "amount"))


def owed(account: str, day: str) -> Asked:
    """Ask for a liability on the balance sheet of a day."""
    return Asked(f"year balance --on 2026-{day}", ("liabilities", account, "amount"))


def sheet(day: str, *keys: str) -> Asked:
    """Ask for a sum of the balance sheet of a day."""
    return Asked(f"year balance --on 2026-{day}", keys)


def goods(code: str, day: str) -> Asked:
    """Ask what the goods of one code cost that are there at the end of a day."""
    return Asked(f"stock value --on 2026-{day}", ("items", code, "cost"))


def moved(account: str, month: str) -> Asked:
    """Ask for what an account moved by in a month."""
    return Asked(f"month show 2026-{month}", ("accounts", account))


def month(number: str, *keys: str) -> Asked:
    """Ask for a sum of a month."""
    return Asked(f"month show 2026-{number}", keys)


def line(number: str, view: str = "accrual") -> Asked:
    """Ask for a line of the year's Schedule C."""
    return Asked("year show 2026", ("lines", number, view))


@dataclass(frozen=True, slots=True)
class Books:
    """A ledger of a shop that begins on a day of 2026 or before, with somebody who types."""

    address: str

    def begin(self, day: str, *more: str) -> None:
        """Set the shop up with a customer and a supplier, and type what else it begins with."""
        self.live((day, words) for words in (BEGINNING, FIRST, SUPPLIER, *more))

    def live(self, events: Iterable[Event]) -> None:
        """Type each line on its day; none may be refused."""
        for day, words in events:
            self.type(day, words)

    def type(self, day: str, words: str) -> str:
        """Type a line on a day, and give what it prints."""
        whole_day = date.fromisoformat(day if len(day) > len("mm-dd") else f"2026-{day}")
        around = Surroundings(now=datetime.combine(whole_day, time(10, 30), UTC), terminal=False)
        typed = ["--ledger", self.address, *shlex.split(words)]
        result = CliRunner().invoke(shop, typed, obj=around, prog_name="shopledger")
        assert result.exit_code == 0, f"{day} {words}: {result.output}"
        return result.stdout

    def ask(self, words: str) -> Any:  # noqa: ANN401 - whatever JSON holds
        """Give what a line prints as JSON after the year."""
        return json.loads(self.type("2027-01-20", f"{words} --json"))

    def compare(self, table: Iterable[Printed]) -> None:
        """Hold every figure in print against what the program says, to the cent."""
        rows = tuple(table)
        said = {words: self.ask(words) for words in dict.fromkeys(row.asked.words for row in rows)}
        ours = {row.where: _stands(said[row.asked.words], row.asked.keys) for row in rows}
        assert len(ours) == len(rows)
        assert ours == {row.where: row.amount for row in rows}


def _stands(said: Any, keys: tuple[str, ...]) -> str:  # noqa: ANN401 - whatever JSON holds
    """Give the figure under these keys; what a list has no row of, or a record no key of, is nothing."""
    for key in keys:
        if isinstance(said, list):
            said = next((row for row in said if key in row.values()), {})
        else:
            said = said.get(key, "0.00")
    return str(said)
