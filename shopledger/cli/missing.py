"""What a command cannot do without and was not typed: on a terminal it is asked for, and the command is run with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

import click

from shopledger.cli import listings
from shopledger.cli.hints import hint_of
from shopledger.cli.lists import Listing, words_of
from shopledger.cli.params import Word
from shopledger.cli.prompts import FIRST, LackingError, ask, tell
from shopledger.errors import UnknownNameError

if TYPE_CHECKING:
    from shopledger.cli.context import Run

_Of = Callable[["Run"], Listing]
_SHORT: Final = 90
"""What fits a line as a question."""

_BY_NAME: Final[Mapping[str, _Of]] = {
    "CUSTOMER": listings.customers,
    "SUPPLIER": lambda run: listings.suppliers(run.desk()),
    "PRESCRIBER": lambda run: listings.prescribers(run.desk()),
    "ORDER": lambda run: listings.orders(run.desk()),
    "JOB": lambda run: listings.jobs(run.desk()),
    "RECEIPT": lambda run: listings.receipts(run.desk()),
    "FRAME": lambda run: listings.frames(run.desk(), many=False, of_customer=None),
}
"""What is picked wherever it is named so."""
_BY_GROUP: Final[Mapping[str, _Of]] = {
    "frame": lambda run: listings.frames(run.desk(), many=False, of_customer=None),
    "trace": lambda run: listings.frames(run.desk(), many=False, of_customer=None),
    "lens": lambda run: listings.lenses(run.desk(), many=False),
    "extra": lambda run: listings.extras(run.desk()),
    "accessory": lambda run: listings.accessories(run.desk()),
    "stock": lambda run: listings.stocked(run.desk()),
    "offer": lambda run: listings.offers(run.desk()),
    "customer": listings.customers,
    "sale": lambda run: listings.orders(run.desk()),
    "receipt": lambda run: listings.receipts(run.desk()),
    "draft": lambda run: listings.drafts(run.desk()),
    "bill": lambda run: listings.bills(run.desk()),
    "deposit": lambda run: listings.deposits(run.desk()),
    "spend": lambda run: listings.expenses(run.desk()),
    "job": lambda run: listings.jobs(run.desk()),
}
"""What is picked by a code or number in the commands of a group."""
_BY_OPTION: Final[Mapping[str, _Of]] = {
    "--frame": _BY_GROUP["frame"],
    "--frame-only": _BY_GROUP["frame"],
    "--lens": _BY_GROUP["lens"],
    "--extra": _BY_GROUP["extra"],
    "--item": _BY_GROUP["stock"],
    "--for": _BY_GROUP["stock"],
}
"""What is picked behind an option."""
_OF_GROUP: Final = frozenset({"CODE", "NUMBER", "ONE", "OTHER", "WANTED", "FROM", "TO", "INTO"})
"""Names under which a group's commands ask for what the group is about."""
_WORDS: Final[Mapping[str, str]] = {
    "CUSTOMER": "Customer, number or name",
    "SUPPLIER": "Supplier, number or name",
    "WEARER": "Wearer",
    "AMOUNT": "Amount",
    "FILE": "File",
    "FOLDER": "Folder",
    "PATH": "File",
    "YYYY-MM": "Month, as in 2026-03",
    "YYYY": "Year",
    "STATE": "State, two letters",
    "DOCUMENT NUMBER": "What and its number, as in expense 3",
}


@dataclass(slots=True)
class Completed:
    """A line with the words that were asked for beside it."""

    given: Sequence[str]
    asked: list[tuple[str, tuple[str, ...], str]] = field(default_factory=list)
    """Of each thing its name, the words that stand for it, and what was typed."""
    before: dict[str, str] = field(default_factory=dict)
    """What was typed for things that were gone back to."""

    @property
    def words(self) -> list[str]:
        """The whole line: options before what can be no option, values at the end."""
        options = [word for _, words, _ in self.asked for word in words if word.startswith("--")]
        values = [word for _, words, _ in self.asked if not words[0].startswith("--") for word in words]
        place = self.given.index("--") if "--" in self.given else len(self.given)
        rest = self.given[place:] or (["--"] if values else [])
        return [*self.given[:place], *options, *rest, *values]

    def ask_for(self, missing: click.MissingParameter | LackingError, run: Run) -> None:
        """Ask for what a command lacks. Raises the error again where it names nothing that can be typed."""
        param = _param(missing)
        if param is None or missing.ctx is None:
            raise missing
        name = _name(param)
        ctx, of = missing.ctx, _listing(param, missing.ctx, run)
        text = ask(
            _question(param, ctx),
            lambda typed: _checked(param, ctx, of, typed),
            self.before.get(name),
            of=of,
            hint=hint_of(param.type),
        )
        self.asked.append((name, _as_words(param, text), text))

    def go_back(self) -> None:
        """Take back the answer given last, so that it is asked for again; the first question stays."""
        if not self.asked:
            tell(FIRST)
            return
        name, _, text = self.asked.pop()
        self.before[name] = text


def _param(missing: click.MissingParameter | LackingError) -> click.Parameter | None:
    """Give what is asked for first: whose wearer it is comes before the wearer."""
    if missing.ctx is None:
        return None
    params = missing.ctx.command.params
    if isinstance(missing, LackingError):
        return next((each for each in params if missing.option in {*each.opts, each.human_readable_name}), None)
    if missing.param is not None and missing.param.human_readable_name == "WEARER":
        whose = _whose(missing.ctx)
        if whose is not None and whose.name not in missing.ctx.params:
            return whose
    return missing.param


def _name(param: click.Parameter) -> str:
    return param.opts[0] if isinstance(param, click.Option) else param.human_readable_name


def _kind(param: click.Parameter) -> str:
    """Give what a parameter is called in the help, which tells what is picked for it."""
    return (param.metavar or param.human_readable_name or "").upper()


def _question(param: click.Parameter, ctx: click.Context) -> str:
    if isinstance(param, click.Option):
        first = (param.help or param.opts[0]).partition(". ")[0].rstrip(".")
        return first if len(first) <= _SHORT else f"{first[:_SHORT].rpartition(' ')[0]} ..."
    kind, group = _kind(param), _group(ctx)
    if kind in {"CODE", "NUMBER"} and group:
        return f"{kind.capitalize()} of the {group}"
    return _WORDS.get(kind, kind.replace("_", " ").capitalize())


def _group(ctx: click.Context) -> str:
    """Name the group that a command is of; nothing for one that stands alone."""
    outer = ctx.parent
    return str(outer.info_name) if outer is not None and outer.parent is not None else ""


def _listing(param: click.Parameter, ctx: click.Context, run: Run) -> Listing | None:
    if isinstance(param.type, Word):
        return words_of(_name(param).lstrip("-").lower(), param.type.words)
    kind, group = _kind(param), _group(ctx)
    if kind == "WEARER" or _name(param) == "--wearer":
        return _wearers(ctx, run)
    of = _BY_NAME.get(kind) or _BY_OPTION.get(_name(param))
    if of is None and kind in _OF_GROUP and isinstance(param, click.Argument) and ctx.info_name != "add":
        of = _BY_GROUP.get(group)
    if of is None and _name(param) == "--from" and group == "job":
        of = _BY_NAME["SUPPLIER"]
    return None if of is None else of(run)


def _wearers(ctx: click.Context, run: Run) -> Listing | None:
    """List the wearers of the customer that was given or asked for, if any was."""
    from shopledger.desk.known_people import customer_and_wearers

    whose = _whose(ctx)
    customer = ctx.params.get(whose.name or "") if whose is not None else None
    return listings.wearers(customer_and_wearers(run.desk(), str(customer))[1]) if customer else None


def _whose(ctx: click.Context) -> click.Parameter | None:
    return next((each for each in ctx.command.params if "--customer" in each.opts), None)


def _checked(param: click.Parameter, ctx: click.Context, of: Listing | None, typed: str) -> str:
    """Read an answer as what is typed with the command, and give it as it was typed."""
    if not typed.strip():
        message = "Nothing was typed."
        raise click.UsageError(message)
    # A list may be long and end early; a number that is not on it is left to the command.
    if of is not None and not of.fitting(typed) and not typed.strip().isdigit() and not isinstance(param.type, Word):
        raise UnknownNameError(of.kind, typed.strip(), of.near(typed))
    value: Any = typed
    if param.nargs == -1:
        value = tuple(typed.split())
    elif param.multiple:
        value = (typed,)
    param.type_cast_value(ctx, value)
    return typed


def _as_words(param: click.Parameter, text: str) -> tuple[str, ...]:
    if isinstance(param, click.Option):
        return (f"{max(param.opts, key=len)}={text}",)
    return tuple(text.split()) if param.nargs == -1 else (text,)
