"""The program's own errors: one root, one exit code per kind, fields first and the sentence last.

Every sentence says what was given, what is allowed and what to do. Each error also inherits the
builtin it is a kind of, so that the libraries inside read well to a Python programmer. The
command line turns any of them into one line on stderr in one place (`cli/group.py`); anything
else that is raised is a bug and keeps its traceback.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from inspect import Parameter, Signature, get_annotations
from typing import ClassVar, dataclass_transform


@dataclass_transform(eq_default=False)
class ShopledgerError(Exception):
    """The root: whatever the user can mend."""

    # What a subclass annotates are its fields, taken in that order or by name, and what it gives them are defaults.
    # Its `sentence` names fields and properties in braces; one that needs a choice has a `__str__` of its own.
    exit_code: ClassVar[int] = 1
    sentence: ClassVar[str]
    __signature__: ClassVar[Signature] = Signature()

    def __init_subclass__(cls) -> None:
        """Add the class's own fields to those it inherits."""
        own = [name for name, kind in get_annotations(cls).items() if "ClassVar" not in str(kind)]
        cls.__signature__ = Signature(
            [
                Parameter(name, Parameter.POSITIONAL_OR_KEYWORD, default=getattr(cls, name, Parameter.empty))
                for name in (*cls.__signature__.parameters, *own)
            ]
        )

    def __init__(self, *given: object, **named: object) -> None:
        fields = self.__signature__.bind(*given, **named)
        fields.apply_defaults()
        vars(self).update(fields.arguments)
        super().__init__(*fields.args)

    def __str__(self) -> str:
        return self.sentence.format_map(_Attributes(self))


class _Attributes:
    """What the braces of a sentence may name: the fields and properties of its error."""

    def __init__(self, error: ShopledgerError) -> None:
        self.error = error

    def __getitem__(self, name: str) -> object:
        return getattr(self.error, name)


class SetupError(ShopledgerError):
    """The shop or its settings are missing or cannot be read."""

    exit_code = 10


class NotSetUpError(SetupError):
    """The ledger knows no shop yet."""

    sentence = "the shop has no name and EIN yet. Run 'shopledger setup' first."


class OpticsError(ShopledgerError, ValueError):
    """A lens value cannot be."""

    exit_code = 20


class LedgerError(ShopledgerError, ValueError):
    """A rule of the trade or of the books is broken."""

    exit_code = 30


class StoreError(ShopledgerError):
    """The ledger's database cannot do what was asked."""

    exit_code = 40


class PaperworkError(ShopledgerError):
    """A paper cannot be printed."""

    exit_code = 50


class ExportError(ShopledgerError):
    """A sheet or file cannot be written."""

    exit_code = 60


class ExchangeError(ShopledgerError, ValueError):
    """A file that came in cannot be read."""

    exit_code = 70


def nearest(given: str, known: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Give the known names most like what was typed, best first; none when nothing is near."""
    import difflib  # noqa: PLC0415 - only a refusal needs it, and every start would pay for it

    by_folded = {name.casefold(): name for name in known}
    close = difflib.get_close_matches(given.casefold(), by_folded, n=most, cutoff=0.5)
    within = [folded for folded in by_folded if given.casefold() in folded and folded not in close]
    return tuple(by_folded[folded] for folded in [*close, *within][:most])


def listed(names: Sequence[str]) -> str:
    """Join names as a sentence does: `a`, `a or b`, `a, b or c`."""
    if len(names) <= 1:
        return "".join(names)
    return f"{', '.join(names[:-1])} or {names[-1]}"


_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""Unicode's categories of what is no letter, mark, digit, sign or blank: it steers a terminal, or nobody sees it."""
JOINERS = frozenset("\u200c\u200d")
"""What joins or parts letters within a word; some scripts are not written without."""


def unseen(letter: str) -> bool:
    """Tell whether a character cannot be seen: a control, a mark of direction, half of a pair, none at all."""
    return letter not in JOINERS and unicodedata.category(letter) in _UNSEEN


def visible(text: str, kept: str = "") -> str:
    """Give a text in which everything can be seen: what would steer a terminal stands as its escaped number.

    Those that are `kept`, such as line ends, stay as they are.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_escaped(letter) if letter not in kept and unseen(letter) else letter for letter in text)


def _escaped(letter: str) -> str:
    number = ord(letter)
    return f"\\x{number:02x}" if number < 0x100 else f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"


class RefusedError(LedgerError):
    """A value breaks a rule: what was given, what is allowed, what to do."""

    field: str
    given: object
    allowed: str
    hint: str
    sentence = "{field} is {given}; {allowed}. {hint}"


class NewerFormError(LedgerError):
    """The content of a paper was frozen by a newer program than this one."""

    paper: str
    form: int
    sentence = "the {paper} is of form {form}, which only a newer shopledger can read; update it."


class UnknownNameError(StoreError, LookupError):
    """Nothing in the ledger has that name; the nearest ones are suggested."""

    kind: str
    given: str
    near: tuple[str, ...] = ()
    hint: str = ""

    def __str__(self) -> str:
        meant = f" Did you mean {listed(self.near)}?" if self.near else ""
        hint = f" {self.hint}" if self.hint else ""
        return f"no {self.kind} called '{self.given}'.{meant}{hint}"
