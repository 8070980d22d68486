"""A form as it was typed: what was read, what is wrong with it, what needs a yes; nothing typed is ever lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from shopledger.counter.forms.fields import Choice, Field, Form, Kind
from shopledger.counter.plain_words import plain
from shopledger.errors import RefusedError, ShopledgerError, visible
from shopledger.ledger.forms import Typed
from shopledger.optics.findings import Finding, Severity

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Values:
    """What was read from a form, field by field."""

    read: Mapping[str, Any]
    accept: frozenset[str] = frozenset()
    """The codes of the warnings that were said yes to."""

    def of(self, wanted: Field[T]) -> T:
        """Give the value of a field."""
        found: T = self.read[wanted.name]
        return found

    def text(self, wanted: Field[str | None]) -> str:
        """Give the text of a field, empty where nothing was typed."""
        return self.of(wanted) or ""


@dataclass(slots=True)
class Filled:
    """A form with what stands in it, to be shown."""

    form: Form
    typed: Typed
    accept: frozenset[str] = frozenset()
    errors: defaultdict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    """What is wrong, by the name of the field; under the empty name, what is no field's."""
    asked: defaultdict[str, list[Finding]] = field(default_factory=lambda: defaultdict(list))
    """The warnings that need a yes, by the name of the field."""
    once: str = ""
    """The number that it is sent with once."""
    seen: str = ""
    """What the ledger said when it was shown, so that nothing is written over that changed meanwhile."""
    kind: str = ""
    about: str = ""
    """Under which it is kept while it is being filled in; nothing where it is not."""
    kept_since: str = ""
    """When what stands in it was typed, where it was kept from before."""
    first: str = ""
    """The field at which somebody begins."""

    @property
    def wrong(self) -> bool:
        """Whether anything is to be put right or said yes to."""
        return any(self.errors.values()) or any(self.asked.values())

    @property
    def said_yes(self) -> Sequence[str]:
        """The warnings that were said yes to and are not asked again: their yes goes along."""
        shown = {each.code for asked in self.asked.values() for each in asked}
        return sorted(self.accept - shown)

    @property
    def summary(self) -> Sequence[tuple[str, str]]:
        """All that is wrong, each with the field to go to, in the order of the form."""
        names = ["", *(each.name for each in self.form.fields)]
        said = [(name, sentence) for name in names for sentence in self.errors.get(name, ())]
        return [*said, *((name, plain(each.sentence)) for name in names for each in self.asked.get(name, ()))]

    def value(self, name: str) -> str:
        """Give what stands in a field, as it was typed."""
        return next(iter(self.typed.get(name, ())), "")

    def values(self, name: str) -> Sequence[str]:
        """Give all that stands in a field that takes several."""
        return self.typed.get(name, ())

    def choices(self, wanted: Field[Any]) -> Sequence[Choice]:
        """Give what can be chosen in a field."""
        return wanted.listed()

    def refuse(self, error: ShopledgerError) -> None:
        """Put an error beside the field that it means."""
        findings: Iterable[Finding] = getattr(error, "findings", ())
        if findings:
            for finding in findings:
                self.find(finding)
            return
        means = next(filter(None, (getattr(error, each, "") for each in ("field", "name", "kind"))), "")
        self.errors[self.meant(str(means))].append(plain(visible(str(error))))

    def find(self, finding: Finding) -> None:
        """Put a finding beside the field that it means: an error, or a warning that needs a yes."""
        name = self.meant(finding.field)
        if finding.severity is Severity.WARNING:
            if all(each.code != finding.code for each in self.asked[name]):
                self.asked[name].append(finding)
        elif finding.stops:
            self.errors[name].append(plain(visible(finding.sentence)))

    def meant(self, name: str) -> str:
        """Give the field that an error or a finding means by a name; empty where it is none that is shown."""
        shown = [each for each in self.form.fields if each.kind is not Kind.HIDDEN]
        return next((each.name for each in shown if name and each.meant_by(name)), "")


def read(filled: Filled) -> Values:
    """Read what stands in a form; what cannot be read is said beside its field."""
    found: dict[str, Any] = {}
    for each in filled.form.fields:
        try:
            found[each.name] = _read(each, filled)
        except ShopledgerError as error:
            filled.errors[each.name].append(plain(visible(str(error))))
    return Values(found, filled.accept)


def _read(each: Field[Any], filled: Filled) -> Any:
    if each.several:
        return tuple(each.read(value, each.said) for value in filled.values(each.name) if value)
    typed = filled.value(each.name)
    if each.kind is Kind.TICK:
        return each.read(typed, each.said)
    if not typed.strip():
        if each.needed:
            raise RefusedError(each.said, "empty", "it is needed", "Choose one." if each.listed() else "Fill it in.")
        return None
    if each.kind in {Kind.CHOICE, Kind.SELECT, Kind.TICKS}:
        known = {choice.value for choice in each.listed()}
        if known and typed not in known:
            raise RefusedError(each.said, f"'{typed[:40]}'", "it is none of those in the list", "Choose one.")
    return each.read(typed, each.said)
