"""Options as typed values: a set of them is a class whose fields have their option and their question beside them.

    class PaymentOptions(OptionSet):
        amount: Cents | None = option("--amount", type=AMOUNT, help="How much was paid.", ask="Amount")

    @options(PaymentOptions)
    def take(run: Run, given: PaymentOptions) -> None: ...

The command gets one value, so that a misspelt name is found by the type checker. `asked` asks for what was not given.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import wraps
from pathlib import Path
from typing import Any, ClassVar, NamedTuple, Self, TypeVar, cast, dataclass_transform

import click

from shopledger.cli.context import Run
from shopledger.cli.hints import hint_of
from shopledger.cli.params import DAY, Off, Typed, Word, text
from shopledger.cli.questions import Lists, Question, fill, one_of

Command = TypeVar("Command", bound=Callable[..., Any])
S = TypeVar("S", bound="OptionSet")
T = TypeVar("T")

SIGNED = {"ignore_unknown_options": True}
"""Settings of a command whose argument is an amount: one below zero is no option, and is refused as an amount."""


class _Declared(NamedTuple):
    """An option as it is declared: what is typed, click's settings, and the question for it if there is one."""

    names: tuple[str, ...]
    settings: Mapping[str, Any]
    ask: str
    read: Callable[[str], Any] | None
    optional: bool
    lists: Lists | None
    hint: str


class _Inner(NamedTuple):
    """A set of options that stands in another."""

    kind: type[OptionSet]


def option(
    *names: str,
    ask: str = "",
    read: Callable[[str], Any] | None = None,
    optional: bool = False,
    lists: Lists | None = None,
    hint: str = "",
    **settings: Any,
) -> Any:
    """Declare a field of a set of options; with `ask` its value is asked for where it is missing.

    The answer is read as the option is, unless by `read`; one that is `optional` may be left empty, one that is picked
    names what makes its `lists`, any other may say in a `hint` what can be answered.
    """
    return _Declared(names, settings, ask, read, optional, lists, hint)


def day(words: str, *names: str) -> Any:
    """Declare the field for the day on which something happened."""
    return option(*(names or ("--day",)), type=DAY, help=f"{words} Otherwise today.")


def reason(words: str, ask: str) -> Any:
    """Declare the field for why something was done, which is kept with it."""
    return option("--reason", metavar="TEXT", help=words, ask=ask, read=text("reason", 2000))


def reference(ask: str, more: str = ".") -> Any:
    """Declare the field for the number of a payment, which may be left out; the help says `more` than the question."""
    words = f"{ask}{more}"
    return option("--reference", metavar="TEXT", help=words, ask=ask, read=text("reference", 40), optional=True)


def inner(kind: type[OptionSet]) -> Any:
    """Declare a field that is a set of options itself, which stand in its place in the help."""
    return _Inner(kind)


@dataclass_transform(
    frozen_default=True, kw_only_default=True, field_specifiers=(option, day, reason, reference, inner)
)
class OptionSet:
    """Options that are taken together, as one value that does not change."""

    # A dataclass to the type checker; a real one takes longer to make than a look-up has time for.
    declared: ClassVar[Mapping[str, _Declared | _Inner]] = {}

    def __init_subclass__(cls) -> None:
        """Keep what the fields declare, and put what they are without it in its place."""
        cls.declared = {name: each for name, each in vars(cls).items() if isinstance(each, _Declared | _Inner)}
        for name, each in cls.declared.items():
            setattr(cls, name, each.kind() if isinstance(each, _Inner) else _usual(each.settings))

    def __init__(self, **given: object) -> None:
        vars(self).update(given)

    @classmethod
    def with_only(cls, **given: object) -> Self:
        """Give the set with these values, and everything else as where nothing was typed."""
        return cls(**given)

    def but(self, **values: object) -> Self:
        """Give the same options with other values."""
        return type(self)(**{**vars(self), **values})


def _usual(settings: Mapping[str, Any]) -> object:
    return () if settings.get("multiple") else settings.get("default", False if settings.get("is_flag") else None)


def options(kind: type[OptionSet], name: str = "given", **words: str) -> Callable[[Command], Command]:
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


def asked(run: Run, given: S, *names: str) -> S:
    """Ask for what a set of options lacks, in the order of its fields or of the names."""
    found = {question.name: question for question in questions(given)}
    return fill(run, given, [found[name] for name in names] if names else list(found.values()))


def needed(value: T | None) -> T:
    """Give what a command cannot do without, which is there once it was asked for."""
    if value is None:
        raise TypeError
    return value


def changes(given: OptionSet) -> dict[str, Any]:
    """Give the values of a set of options that were typed, by name; what was typed as `off` is none."""
    named = {name: getattr(given, name) for name, each in given.declared.items() if isinstance(each, _Declared)}
    return {name: None if isinstance(value, Off) else value for name, value in named.items() if value not in (None, ())}


def some_changes(example: str, *given: OptionSet) -> list[dict[str, Any]]:
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


def _click_options(kind: type[OptionSet], words: Mapping[str, str]) -> Iterator[Callable[[Any], Any]]:
    for name, declared in kind.declared.items():
        if isinstance(declared, _Inner):
            yield from _click_options(declared.kind, words)
        else:
            typed = [each.format(**words) for each in declared.names]
            settings = {**declared.settings, "help": declared.settings["help"].format(**words)}
            yield click.option(*typed, _parameter(name, declared, words), **settings)


def _parameter(name: str, declared: _Declared, words: Mapping[str, str]) -> str:
    """Name click's parameter: as the field, but one with words in it as what is typed, so that no two are the same."""
    return declared.names[0].format(**words).lstrip("-").replace("-", "_") if words else name


def _taken(kind: type[OptionSet], values: dict[str, Any], words: Mapping[str, str]) -> OptionSet:
    found = {
        name: _taken(declared.kind, values, words)
        if isinstance(declared, _Inner)
        else values.pop(_parameter(name, declared, words))
        for name, declared in kind.declared.items()
    }
    return kind(**found)


def _values(given: object) -> Iterator[object]:
    if isinstance(given, OptionSet):
        for name in given.declared:
            yield from _values(getattr(given, name))
    else:
        yield given


def questions(given: OptionSet, outer: str = "") -> Iterator[Question]:
    """Give the questions of a set of options, named with the set that it stands in."""
    for name, declared in given.declared.items():
        if isinstance(declared, _Inner):
            yield from questions(getattr(given, name), f"{outer}{name}.")
        elif declared.ask:
            kind = declared.settings.get("type")
            read = declared.read or (_reader(kind, name) if isinstance(kind, Typed | Word) else text(name))
            lists = declared.lists or (one_of(name.replace("_", " "), kind.words) if isinstance(kind, Word) else None)
            hint = declared.hint or hint_of(kind)
            yield Question(f"{outer}{name}", declared.names[0], declared.ask, read, declared.optional, lists, hint)


def _reader(kind: Typed[Any] | Word[Any], name: str) -> Callable[[str], Any]:
    return lambda typed: kind.read(typed, name.replace("_", " "))


as_json = click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")

accept = click.option(
    "--accept", metavar="CODE", multiple=True, help="Say yes to the warning with this code; may be given again."
)

dry_run = click.option("--dry-run", is_flag=True, help="Show what would be stored, and store nothing.")


def _allow(ctx: click.Context, _param: click.Parameter, every: bool) -> None:
    from shopledger.files.replacing import replacing

    if every:
        ctx.with_resource(replacing(every=True))


replace_files = click.option(
    "--replace",
    is_flag=True,
    expose_value=False,
    callback=_allow,
    help="Write over a file that shopledger did not write; never over a ledger.",
)
"""Says yes to what is asked otherwise, for all that a command writes."""

FOLDER = click.Path(file_okay=False, path_type=Path)


def papers_folder(ctx: click.Context, _param: click.Parameter, given: Path | None) -> Path | None:
    """Give the folder that was named, or that of the month's papers; nothing is made yet."""
    run = ctx.find_object(Run)
    if given is not None or run is None:
        return given
    from shopledger.desk.paper_place import papers_of

    return papers_of(run.today)


def _handed(what: str) -> Callable[[click.Context, click.Parameter, bool], None]:
    def hand_on(ctx: click.Context, _param: click.Parameter, wanted: bool) -> None:
        if wanted:
            from shopledger.cli.handing import handed_on
            from shopledger.files.handing import Handing

            run = ctx.find_object(Run)
            ctx.with_resource(handed_on(Handing(what), run.hands if run else None))

    return hand_on


open_files = click.option(
    "--open", is_flag=True, expose_value=False, callback=_handed("opened"), help="Open what was written."
)
print_papers = click.option(
    "--print", is_flag=True, expose_value=False, callback=_handed("printed"), help="Print the paper at once."
)
into_named_folder = together(
    click.option(
        "--into",
        "folder",
        type=FOLDER,
        required=True,
        help="Folder to write the file into; it is made if it is missing.",
    ),
    replace_files,
)
"""For what lies among no papers: a secret, a whole tax number."""
INTO_HELP = "Folder to write the file into. Otherwise the month's folder in 'Shop papers' among your documents."
into_folder = together(
    click.option("--into", "folder", type=FOLDER, callback=papers_folder, help=INTO_HELP), open_files, replace_files
)
into_paper_folder = together(
    click.option("--into", "folder", type=FOLDER, callback=papers_folder, help=INTO_HELP),
    *(open_files, print_papers, replace_files),
)


def into_file(words: str, *, required: bool = True) -> Callable[[Command], Command]:
    """Make the options for the one file that a command writes."""
    kind = click.Path(path_type=Path)
    return together(click.option("--into", "target", type=kind, required=required, help=words), replace_files)


archive = click.option("--archive", is_flag=True, help="Write it as PDF/A-2A, for keeping; needs the extra 'archive'.")

existing_file = click.Path(exists=True, dir_okay=False, path_type=Path)


def made(folder: Path) -> Path:
    """Make the folder if it is missing, for its owner alone."""
    from shopledger.files.writing import made_folder

    return made_folder(folder)


name_from = click.option(
    "--name-from", type=DAY, help="The first day of the new name, in a month that is open. Otherwise today."
)


def day_option(words: str, name: str = "--day") -> Callable[[Command], Command]:
    """Make the option for the day on which something happened, for a command with few others."""
    return click.option(name, type=DAY, help=f"{words} Otherwise today.")
