"""Rounds of questions: one after another, what was answered stays as the usual answer, `back` along the way taken."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from operator import attrgetter
from typing import Any, Final, NamedTuple, Protocol, Self, TypeAlias, TypeVar

import click

from shopledger.cli.context import Run
from shopledger.cli.ending import BEFORE, BackError
from shopledger.cli.lists import Listing, Row, listing, words_of
from shopledger.cli.prompts import BACK, FIRST, HELP, ask, lacking, tell
from shopledger.errors import RefusedError, ShopledgerError, listed

A = TypeVar("A", bound="Answered")
T = TypeVar("T")

Step: TypeAlias = "Callable[[], Step | None]"
"""Asks one thing and gives what to ask next; None ends the questions."""

LEAVING: Final = (
    f"Type '{HELP}' to see what can be answered, '{BACK}' to change the answer before; a part of a name or code is "
    "enough. Nothing is recorded before you say so at the end."
)
"""Said before the first question."""
NONE: Final = "none"
"""Typed where nothing is wanted and Enter means what was answered before."""

_YES_NO = {"y": True, "yes": True, "n": False, "no": False}
YES_NO: Final = listing("answer", (Row("y", "yes"), Row("n", "no")))


class Answered(Protocol):
    """A value that can be given with answers in the place of what was not typed."""

    def but(self, **values: object) -> Self:
        """Give the same with other values."""


class Before(Protocol):
    """What was answered before a question, by the field of the same set; and the answers of the whole round."""

    @property
    def answers(self) -> Answers:
        """The answers of the whole round."""

    def __call__(self, name: str) -> Any:
        """Give what stands in a field."""


Lists: TypeAlias = "Callable[[Run, Before], Listing]"
"""Makes the list of a question, which may go by what was answered before."""


class Question(NamedTuple):
    """One answer that a command needs: which field of its options it fills, the option, the words, how it is read."""

    name: str
    """The field; one of a set inside is named with it, as in `address.city`."""
    option: str
    words: str
    read: Callable[[str], Any]
    optional: bool = False
    """Whether an empty answer means none."""
    lists: Lists | None = None
    """What it is picked from."""
    hint: str = ""
    """What can be answered, where it is not picked from a list."""
    usual: str | None = None
    """What an empty answer means."""


def one_of(kind: str, words: Iterable[Enum]) -> Lists:
    """Make the list of a question that is answered with one of some words."""
    found = words_of(kind, words)
    return lambda _run, _before: found


class AgainError(Exception):
    """The answer was read, but the rest cannot stand with it; the same thing is asked again."""


class MendError(Exception):
    """What was answered cannot stand; one of the questions of these names can mend it."""

    def __init__(self, *names: str) -> None:
        super().__init__(*names)
        self.names = names


@dataclass(slots=True)
class Answers:
    """What was typed at each question of a round, by the question's name; it is the usual answer from then on."""

    texts: dict[str, str] = field(default_factory=dict)
    until: str = ""
    """The question at which a round was left; answers before it are taken without asking."""
    keep: Callable[[Mapping[str, str], str], None] = lambda _texts, _at: None
    """Told of all answers, and of the question at hand, before that is asked."""
    taken: set[str] = field(default_factory=set)
    typed: str = ""

    def ask(
        self,
        name: str,
        words: str,
        read: Callable[[str], T],
        usual: str | None = None,
        *,
        of: Listing | None = None,
        hint: str = "",
        optional: bool = False,
    ) -> T:
        """Ask one question; with `optional` nothing typed is an answer, and `none` is typed where there was one."""
        usual = self.texts.get(name, usual)
        if optional:
            usual = usual or ""
            words = f"{words} ({NONE} for none)" if usual else f"{words} (Enter for none)"

        def reading(text: str) -> T:
            self.typed = "" if optional and text.strip().casefold() == NONE else text
            value = read(self.typed)
            self.texts[name] = self.typed
            return value

        if self._goes_on(name):
            try:
                value = reading(self.texts[name])
            except (ShopledgerError, click.UsageError):
                self.until = ""
            else:
                tell(f"{words}: {self.texts[name]}")
                return value
        self.until = ""
        self.keep(self.texts, name)
        return ask(words, reading, usual, of=of, hint=hint)

    def yes(self, name: str, words: str, usual: str | None = None) -> bool:
        """Ask for a yes or a no."""
        return self.ask(name, f"{words} (y/n)", read_yes, usual, of=YES_NO)

    def forget(self, *parts: str) -> None:
        """Forget the answers whose names hold one of these parts."""
        for name in [name for name in self.texts if any(part in name for part in parts)]:
            del self.texts[name]

    def _goes_on(self, name: str) -> bool:
        """Tell whether an answer is taken as it was kept; one that is asked for a second time never is."""
        again = name in self.taken
        self.taken.add(name)
        return bool(self.until) and name != self.until and name in self.texts and not again


def read_yes(text: str) -> bool:
    """Read a yes or a no."""
    answer = _YES_NO.get(text.strip().casefold())
    if answer is None:
        raise RefusedError("answer", f"'{text}'", "it is y or n", "Type y or n.")
    return answer


def read_wearer(names: list[str], text: str) -> str:
    """Find a wearer by any part of the name that fits one only."""
    fitting = [name for name in names if text.strip().casefold() in name.casefold()]
    if len(fitting) != 1 and text.strip() not in names:
        raise RefusedError("wearer", f"'{text}'", f"it is {listed(names)}", "Type the name, or enough of it.")
    return fitting[0] if len(fitting) == 1 else text.strip()


def walk(first: Step) -> None:
    """Ask one thing after another; `back` returns along the way that was taken, what can be mended to its question."""
    path = [first]
    while True:
        try:
            following = path[-1]()
        except AgainError:
            continue
        except MendError as mend:
            del path[_place(path, mend.names) + 1 :]
            continue
        except BackError:
            if len(path) == 1:
                tell(FIRST)
            del path[max(1, len(path) - 1) :]
            continue
        if following is None:
            return
        path.append(following)


def _place(path: Sequence[Step], names: Sequence[str]) -> int:
    """Give the place of the last question of one of these names, else of the one at hand; before it where none is."""
    called = [getattr(getattr(step, "func", step), "__name__", "") for step in path]
    other = len(path) - 1 if names else max(0, len(path) - 2)
    return next((at for at in reversed(range(len(path))) if called[at] in names), other)


def in_turn(steps: Sequence[Callable[[], None]]) -> None:
    """Take the steps one after another; one that is answered with `back` gives way to the one before."""
    place = 0
    while place < len(steps):
        try:
            steps[place]()
        except BackError:
            if not place:
                tell(FIRST)
            place = max(0, place - 1)
        else:
            place += 1


def fill(
    run: Run,
    given: A,
    questions: Sequence[Question],
    check: Callable[[A], None] | None = None,
    *,
    answers: Answers | None = None,
    within: str = "",
) -> A:
    """Ask in turn for what the options lack; where nobody can answer, name the first option that is missing.

    Nothing is asked when every needed value was given, so that a full command line runs without a stop. What `check`
    refuses of the whole leads back into the questions. Those `within` another question are kept with its answers, under
    that name, and `back` at the first of them returns to it.
    """
    missing = [question for question in questions if attrgetter(question.name)(given) is None]
    needed = [question for question in missing if not question.optional]
    if not needed and not within:
        return given
    if not run.asks:
        lacking(needed[0].option)
    asking = _Filling(run, given, missing, answers or Answers(), within, check)
    asking.ask_all()
    whole: A = asking.whole()
    return whole


@dataclass(slots=True)
class _Filling:
    """The questions for what a set of options lacks, and what was answered."""

    run: Run
    given: Any
    missing: Sequence[Question]
    answers: Answers
    within: str
    check: Callable[[Any], None] | None
    found: dict[str, Any] = field(default_factory=dict)

    def whole(self) -> Any:
        """Give the options with the answers so far."""
        return _with_answers(self.given, self.found)

    def ask_all(self) -> None:
        """Take the questions one after another; `back` at the first of a command's own has nowhere to go."""
        place = 0
        while place <= len(self.missing):
            try:
                if place < len(self.missing):
                    self._ask(self.missing[place])
                else:
                    self._check()
            except BackError:
                if not place and (self.within or _asked_before()):
                    raise
                if not place:
                    tell(FIRST)
                place = max(0, place - 1)
            except MendError as mend:
                named = [at for at, question in enumerate(self.missing) if question.name in mend.names]
                place = named[0] if named else len(self.missing) - 1
            else:
                place += 1

    def _ask(self, question: Question) -> None:
        read = question.read
        of = None if question.lists is None else question.lists(self.run, _Before(self, question.name))
        self.found[question.name] = self.answers.ask(
            f"{self.within}{question.name}",
            question.words,
            (lambda text: read(text) if text.strip() else None) if question.optional else read,
            question.usual,
            of=of,
            hint=question.hint,
            optional=question.optional,
        )

    def _check(self) -> None:
        """Look at the whole; a refusal is said and leads to the question that it names, else to the last."""
        if self.check is None:
            return
        try:
            self.check(self.whole())
        except ShopledgerError as error:
            tell(f"Error: {error}")
            about = _plain(getattr(error, "field", ""))
            near = [each.name for each in self.missing if about and about in {_plain(each.words), _plain(each.name)}]
            near += [each.name for each in self.missing if about and _plain(each.name) in about]
            raise MendError(*near) from error


@dataclass(slots=True)
class _Before:
    """What was answered before one of the questions."""

    filling: _Filling
    own: str

    @property
    def answers(self) -> Answers:
        """The answers of the whole round."""
        return self.filling.answers

    def __call__(self, name: str) -> Any:
        """Give what was answered at, or given for, another question of the same set."""
        outer, dot, _ = self.own.rpartition(".")
        return attrgetter(f"{outer}{dot}{name}")(self.filling.whole())


def _plain(name: str) -> str:
    return name.rpartition(".")[2].replace("_", " ").casefold()


def _asked_before() -> bool:
    ctx = click.get_current_context(silent=True)
    return ctx is not None and bool(ctx.meta.get(BEFORE))


def _with_answers(given: A, answers: Mapping[str, Any]) -> A:
    """Put answers in the place of what was not given, those of a set of options inside in that set."""
    here = {name: value for name, value in answers.items() if "." not in name}
    inside: dict[str, dict[str, Any]] = {}
    for name, value in answers.items():
        if "." in name:
            outer, _, inner = name.partition(".")
            inside.setdefault(outer, {})[inner] = value
    for outer, found in inside.items():
        here[outer] = _with_answers(getattr(given, outer), found)
    return given.but(**here)
