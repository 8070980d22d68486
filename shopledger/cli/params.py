"""What may stand behind an option: each kind reads the text as the rest of the program does, and refuses as it does."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import TYPE_CHECKING, Generic, TypeVar

import click

from shopledger.cli.context import today_of_run
from shopledger.cli.ending import BackError
from shopledger.cli.prompts import meant_of
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.typed.days import Wanted, read_day
from shopledger.typed.goods import read_line_count
from shopledger.typed.numbers import read_decimal, read_lengths
from shopledger.typed.words import read_word, typed_word

if TYPE_CHECKING:
    from datetime import date

    from click.shell_completion import CompletionItem

    from shopledger.ledger.books.period import Month, Period
    from shopledger.ledger.catalogue import Design
    from shopledger.money.amount import Cents
    from shopledger.money.rate import Rate
    from shopledger.optics.prescription import EyePrescription, Prescription
    from shopledger.optics.prism import Prism

LONGEST_METAVAR = 60
"""What fits a line of help beside the option."""

T = TypeVar("T")
E = TypeVar("E", bound=Enum)


class Typed(click.ParamType[T, str], Generic[T]):
    """A kind of value with its reader, which takes the text and the name of the field."""

    def __init__(self, name: str, read: Callable[[str, str], T]) -> None:
        self.name = name
        self.read = read

    def convert(self, value: str | T, param: click.Parameter | None, ctx: click.Context | None) -> T:
        """Read what was typed, or refuse it with the reader's own sentence."""
        if not isinstance(value, str):
            return value
        try:
            return self.read(value, _field(param))
        except ShopledgerError as error:
            meant = _meant(error, ctx)
            if meant is None:
                self.fail(str(error), param, ctx)
            return self.convert(meant, param, ctx)

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem[str]]:
        """Give what the ledger knows of that."""
        from shopledger.cli.completing import known

        return known(ctx, param, incomplete)


class Word(click.ParamType[E, str], Generic[E]):
    """One of the words of an enum, or of some of them."""

    name = "word"

    def __init__(self, words: type[E], only: tuple[E, ...] = ()) -> None:
        self.words: tuple[E, ...] = only or tuple(words)

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:  # noqa: ARG002 - click's signature
        """Show the words in the help, unless they are too many for a line; then the option's own help lists them."""
        words = f"[{'|'.join(typed_word(word) for word in self.words)}]"
        return words if len(words) <= LONGEST_METAVAR else self.name.upper()

    def convert(self, value: str | E, param: click.Parameter | None, ctx: click.Context | None) -> E:
        """Find the word, or name those that come near."""
        if not isinstance(value, str):
            return value
        try:
            return self.read(value, _field(param))
        except ShopledgerError as error:
            self.fail(str(error), param, ctx)

    def read(self, text: str, field: str) -> E:
        """Read the word, or refuse it with all that are known."""
        return read_word(text, field, self.words)

    def shell_complete(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's signature
        param: click.Parameter,  # noqa: ARG002 - as above
        incomplete: str,
    ) -> list[CompletionItem[str]]:
        """Give the words that begin so."""
        from click.shell_completion import CompletionItem

        words = map(typed_word, self.words)
        return [CompletionItem(word) for word in words if word.startswith(incomplete.casefold())]


def text(field: str, longest: int = 120) -> Callable[[str], str]:
    """Make the reader of a line of text."""

    def read(typed: str) -> str:
        from shopledger.ledger.text import clean_text

        return clean_text(field, typed, longest)

    return read


class Off:
    """What `off` means: the setting is taken away."""


OFF = Off()


def or_off(name: str, read: Callable[[str, str], T]) -> Typed[T | Off]:
    """Make the kind of a value that can also be `off`."""
    return Typed(name, lambda text, field: OFF if text.strip().casefold() == "off" else read(text, field))


def _whole(text: str, field: str) -> int:
    typed = text.strip()
    if not (typed.isascii() and typed.isdigit() and len(typed) < 6):
        raise RefusedError(field, f"'{typed}'", "it is a whole number such as 24, or off", "Type it so.")
    return int(typed)


def _pair_price(text: str, name: str) -> Cents:
    from shopledger.typed.amounts import read_typed_pair_price

    return read_typed_pair_price(text, name)


def _amount(text: str, field: str) -> Cents:
    from shopledger.typed.amounts import read_typed_amount

    return read_typed_amount(text, field)


def _rate(text: str, field: str) -> Rate:
    from shopledger.money.rate import read_rate

    return read_rate(text, field)


def _power(text: str, field: str) -> float:  # noqa: ARG001 - the reader quotes what was typed
    from shopledger.optics.notation import read_dioptres

    return read_dioptres(text, signed=True)


def _add(text: str, field: str) -> float:  # noqa: ARG001 - as above
    from shopledger.optics.notation import read_dioptres

    return read_dioptres(text)


def _axis(text: str, field: str) -> int:  # noqa: ARG001 - as above
    from shopledger.optics.notation import read_axis

    return read_axis(text)


def _prism(text: str, field: str) -> Prism:  # noqa: ARG001 - as above
    from shopledger.optics.notation import read_prism

    return read_prism(text)


def _eye(text: str, field: str) -> EyePrescription:
    from shopledger.optics.notation import read_eye
    from shopledger.optics.sides import Side

    return read_eye(text, next((side for side in Side if side.value in field.split()), None))


def _both_eyes(text: str, field: str) -> Prescription:  # noqa: ARG001 - the reader quotes what was typed
    from shopledger.optics.notation import read_eyes

    return read_eyes(text)


def phone_typed(typed: str) -> str:
    """Read the answer to the question for a phone number."""
    from shopledger.ledger.identifiers import read_phone

    return read_phone(typed, required=True)


def email_typed(typed: str) -> str:
    """Read the answer to the question for a mail address."""
    from shopledger.ledger.identifiers import read_email

    return read_email(typed)


def _tracking(text: str, field: str) -> str:
    from shopledger.ledger.text import clean_text

    return clean_text(f"{field} number", text, 60, required=False, numbers=True)


def _ein(text: str, field: str) -> str:  # noqa: ARG001 - the number names itself
    from shopledger.ledger.identifiers import read_ein

    return read_ein(text)


def _npi(text: str, field: str) -> str:  # noqa: ARG001 - as above
    from shopledger.ledger.identifiers import read_npi

    return read_npi(text)


def _state(text: str, field: str) -> str:  # noqa: ARG001 - as above
    from shopledger.ledger.identifiers import read_state

    return read_state(text)


def _zip(text: str, field: str) -> str:  # noqa: ARG001 - as above
    from shopledger.ledger.identifiers import read_postcode

    return read_postcode(text)


def _progressive_base(text: str, field: str) -> Design:
    from shopledger.ledger.catalogue import Design
    from shopledger.ledger.settings import Settings

    return Settings(progressive_base=Word(Design).read(text, field)).progressive_base


def day_typed(text: str, field: str = "day", wanted: Wanted = Wanted.DEED) -> date:
    """Read a day, seen from the day that is today in this run."""
    return read_day(text, field, today=today_of_run(), wanted=wanted)


def _month(text: str, field: str) -> Month:  # noqa: ARG001 - the month names itself
    from shopledger.ledger.books.period import Month

    return Month.read(text)


def _period(text: str, _field: str) -> Period:
    from shopledger.ledger.books.period import Period

    return Period.read(text)


AMOUNT = Typed("amount", _amount)
"""Dollars and cents, exact."""
PAIR_PRICE = Typed("amount[ each]", _pair_price)
"""What a pair costs, typed for the pair or for one lens."""
AMOUNT_OR_OFF = or_off("amount|off", _amount)
"""Dollars and cents, or off."""
DAYS_OR_OFF = or_off("days|off", _whole)
"""A number of days, or off."""
MONTHS_OR_OFF = or_off("months|off", _whole)
"""A number of months, or off."""
RATE = Typed("percent", _rate)
"""A percentage."""
POWER = Typed("dioptres", _power)
"""A power with its sign."""
ADD = Typed("dioptres", _add)
"""An addition, which needs no sign."""
AXIS = Typed("degrees", _axis)
"""An axis from 1 to 180."""
PRISM = Typed("prism", _prism)
"""A prism with its base, as in 2 BU."""
RX = Typed("power", _eye)
"""All that is written for one eye, as in -2.50 -1.25 x 090 add 2.00."""
BOTH = Typed("powers", _both_eyes)
"""Both eyes in one line, each named."""
DAY = Typed("day", day_typed)
"""A day on which something happened."""
COMING_DAY = Typed("day", lambda text, field: day_typed(text, field, Wanted.COMING))
"""A day that is to come, such as the last one of an offer."""
BIRTH_DAY = Typed("day", lambda text, field: day_typed(text, field, Wanted.BIRTH))
"""A day of birth."""
MM = Typed("mm", read_decimal)
"""A length."""
NEAR_PD = Typed("mm|right/left", lambda typed, _: read_lengths(typed, "near PD"))
"""A near PD of both eyes together, or of each."""
NUMBER = Typed("number", read_decimal)
"""A plain number."""
PERIOD = Typed("period", _period)
"""A year, a month, a quarter, or a first and a last day."""
MONTH = Typed("yyyy-mm", _month)
"""A calendar month."""
PROGRESSIVE_BASE = Typed("[bifocal|trifocal]", _progressive_base)
"""Whose base codes a progressive takes."""
LINE_COUNT = Typed("line[=count]", read_line_count)
"""Goods of a line of an order, and how many of them."""
TRACKING = Typed("number", _tracking)
"""A carrier's number of a parcel; one that reads like a card's number is asked about when the parcel leaves."""
EIN = Typed("nn-nnnnnnn", _ein)
"""An employer identification number."""
NPI = Typed("number", _npi)
"""A national provider identifier."""
STATE = Typed("code", _state)
"""A state by its postal code."""
ZIP = Typed("zip", _zip)
"""A ZIP code."""


def _meant(error: ShopledgerError, ctx: click.Context | None) -> str | None:
    """Ask what is meant by an option, where somebody can be asked; there is no question before it to go back to."""
    from shopledger.cli.context import Run

    run = None if ctx is None else ctx.find_object(Run)
    if run is None or not run.asks:
        return None
    try:
        return meant_of(error)
    except BackError:
        return None


def _field(param: click.Parameter | None) -> str:
    return (param.name or "value").replace("_", " ") if param is not None else "value"
