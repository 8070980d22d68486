"""Options as typed values: a set of them is a small dataclass, each field with its option and its question beside it.

    @option_set
    class PaymentOptions:
        amount: Cents | None = option("--amount", type=AMOUNT, help="How much was paid.", ask="Amount")

    @options(PaymentOptions)
    def take(run: Run, given: PaymentOptions) -> None: ...

The command gets one value, so that a misspelt name is found by the type checker. `asked` asks for what was not given.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from functools import wraps
from pathlib import Path
from typing import Any, NamedTuple, TypeVar, cast, dataclass_transform

import click

from shopledger.cli.context import Run
from shopledger.cli.params import DAY, Off, Typed, Word, text
from shopledger.cli.prompts import Question, fill

Command = TypeVar("Command", bound=Callable[..., Any])
T = TypeVar("T")

SIGNED = {"ignore_unknown_options": True}
"""Settings of a command whose argument is an amount: one below zero is no option, and is refused as an amount."""

_OPTION, _SET = "option", "set"


class _Declared(NamedTuple):
    """An option as it is declared: what is typed, click's settings, and the question for it if there is one."""

    names: tuple[str, ...]
    settings: Mapping[str, Any]
    ask: str
    read: Callable[[str], Any] | None
    optional: bool


def option(
    *names: str, ask: str = "", read: Callable[[str], Any] | None = None, optional: bool = False, **settings: Any
) -> Any:
    """Declare a field of a set of options; with `ask` its value is asked for where it is missing.

    The answer is read as the option is, unless by `read`; one that is `optional` may be left empty.
    """
    usual = () if settings.get("multiple") else settings.get("default", False if settings.get("is_flag") else None)
    return field(default=usual, metadata={_OPTION: _Declared(names, settings, ask, read, optional)})


def day(words: str, *names: str) -> Any:
    """Declare the field for the day on which something happened."""
    return option(*(names or ("--day",)), type=DAY, help=f"{words} Otherwise today.")


def inner(kind: type[T]) -> T:
    """Declare a field that is a set of options itself, which stand in its place in the help."""
    within: T = field(default_factory=kind, metadata={_SET: kind})
    return within


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(option, day, inner))
def option_set(kind: type[T]) -> type[T]:
    """Make a class whose fields declare options a set of them."""
    return dataclass(frozen=True, kw_only=True, eq=False, repr=False)(kind)


def options(kind: type[Any], name: str = "given", **words: str) -> Callable[[Command], Command]:
    """Put a set of options on a command, which gets it as one value under a name.

    With words, they are filled into what is typed and into the help: the same set for the right eye and for the left.
    """

    def put_on(command: Command) -> Command:
        @wraps(command)
        def called(*given: Any, **values: Any) -> Any:
            taken = _taken(kind, values, words)
            return command(*given, **values, **{name: taken})

        return cast("Command", together(*_click_options(kind, words))(called))

    return put_on


def asked(run: Run, given: T, *names: str) -> T:
    """Ask for what a set of options lacks, in the order of its fields or of the names."""
    found = {question.name: question for question in questions(given)}
    return fill(run, given, [found[name] for name in names] if names else list(found.values()))


def needed(value: T | None) -> T:
    """Give what a command cannot do without, which is there once it was asked for."""
    if value is None:
        raise TypeError
    return value


def changes(given: object) -> dict[str, Any]:
    """Give the values of a set of options that were typed, by name; what was typed as `off` is none."""
    if not is_dataclass(given):
        raise TypeError
    named = {each.name: getattr(given, each.name) for each in fields(given) if _OPTION in each.metadata}
    return {name: None if isinstance(value, Off) else value for name, value in named.items() if value not in (None, ())}


def some_changes(example: str, *given: object) -> list[dict[str, Any]]:
    """Give the changes that several sets of options ask for; nothing at all is refused with an example."""
    found = [changes(each) for each in given]
    if not any(found):
        raise click.UsageError(f"Nothing to change is given. Name it with an option, as in {example}.")
    return found


def nothing_given(*given: object) -> bool:
    """Tell whether none of some options and of the sets of others was typed."""
    return all(value in (None, (), False, "", 0) for each in given for value in _values(each))


def file_alone(*given: object) -> None:
    """Refuse options beside a file that holds the whole."""
    if not nothing_given(*given):
        message = "--from is given with other options. Write them into the file, or leave the file out."
        raise click.UsageError(message, click.get_current_context())


def together(*each: Callable[[Command], Command]) -> Callable[[Command], Command]:
    """Put options on a command in the order in which its help shall show them."""

    def put_on(command: Command) -> Command:
        for one in reversed(each):
            command = one(command)
        return command

    return put_on


def _declared(kind: type[Any]) -> Iterator[tuple[str, _Declared | type[Any]]]:
    for each in fields(kind):
        yield each.name, each.metadata.get(_OPTION) or each.metadata[_SET]


def _click_options(kind: type[Any], words: Mapping[str, str]) -> Iterator[Callable[[Any], Any]]:
    for name, declared in _declared(kind):
        if isinstance(declared, _Declared):
            typed = [each.format(**words) for each in declared.names]
            settings = {**declared.settings, "help": declared.settings["help"].format(**words)}
            yield click.option(*typed, _parameter(name, declared, words), **settings)
        else:
            yield from _click_options(declared, words)


def _parameter(name: str, declared: _Declared, words: Mapping[str, str]) -> str:
    """Name click's parameter: as the field, but one with words in it as what is typed, so that no two are the same."""
    return declared.names[0].format(**words).lstrip("-").replace("-", "_") if words else name


def _taken(kind: type[T], values: dict[str, Any], words: Mapping[str, str]) -> T:
    found = {
        name: values.pop(_parameter(name, declared, words))
        if isinstance(declared, _Declared)
        else _taken(declared, values, words)
        for name, declared in _declared(kind)
    }
    return kind(**found)


def _values(given: object) -> Iterator[object]:
    if not is_dataclass(given) or isinstance(given, type):
        yield given
        return
    for name, declared in _declared(type(given)):
        value = getattr(given, name)
        if isinstance(declared, _Declared):
            yield value
        else:
            yield from _values(value)


def questions(given: object, outer: str = "") -> Iterator[Question]:
    """Give the questions of a set of options, named with the set that it stands in."""
    for name, declared in _declared(type(given)):
        if not isinstance(declared, _Declared):
            yield from questions(getattr(given, name), f"{outer}{name}.")
        elif declared.ask:
            kind = declared.settings.get("type")
            read = declared.read or (_reader(kind, name) if isinstance(kind, Typed | Word) else text(name))
            yield Question(f"{outer}{name}", declared.names[0], declared.ask, read, declared.optional)


def _reader(kind: Typed[Any] | Word[Any], name: str) -> Callable[[str], Any]:
    return lambda typed: kind.read(typed, name.replace("_", " "))


as_json = click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")

accept = click.option(
    "--accept", metavar="CODE", multiple=True, help="Say yes to the warning with this code; may be given again."
)

dry_run = click.option("--dry-run", is_flag=True, help="Show what would be stored, and store nothing.")

into_folder = click.option(
    "--into",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    required=True,
    help="Folder to write the file into; it is made if it is missing.",
)

archive = click.option("--archive", is_flag=True, help="Write it as PDF/A-2B, for keeping; needs the extra 'archive'.")

existing_file = click.Path(exists=True, dir_okay=False, path_type=Path)


def made(folder: Path) -> Path:
    """Make the folder if it is missing, for its owner alone."""
    from shopledger.files import NotWrittenError

    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise NotWrittenError(folder, reason, "Choose a folder that you may write to.") from error
    return folder


def day_option(words: str, name: str = "--day") -> Callable[[Command], Command]:
    """Make the option for the day on which something happened, for a command with few others."""
    return click.option(name, type=DAY, help=f"{words} Otherwise today.")
