"""The program's errors: one exit code per kind, and sentences that say what to do."""

from __future__ import annotations

import copy
import importlib
import pickle
import pkgutil
from collections.abc import Iterator
from string import Formatter

import pytest

import shopledger
from shopledger import errors


def descendants(kind: type[errors.ShopledgerError]) -> Iterator[type[errors.ShopledgerError]]:
    """Every class below one."""
    for each in kind.__subclasses__():
        yield each
        yield from descendants(each)


@pytest.fixture(scope="module")
def concrete() -> list[type[errors.ShopledgerError]]:
    """Every error of the program; the kinds themselves are never raised."""
    for module in pkgutil.walk_packages(shopledger.__path__, "shopledger."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    kinds = set(errors.ShopledgerError.__subclasses__())
    return sorted(set(descendants(errors.ShopledgerError)) - kinds, key=lambda each: each.__qualname__)


def test_every_sentence_names_fields_and_properties_of_its_error_alone(
    concrete: list[type[errors.ShopledgerError]],
) -> None:
    """A word in braces that the error does not have would fail only on the day when it is said."""
    unknown = []
    for error in concrete:
        if error.__str__ is not errors.ShopledgerError.__str__:
            assert not hasattr(error, "sentence"), error
            continue
        named = {name for _, name, _, _ in Formatter().parse(error.sentence) if name is not None}
        beside = named - set(error.__signature__.parameters)
        unknown += [(error, name) for name in beside if not isinstance(getattr(error, name, None), property)]
    assert unknown == []


def test_every_error_keeps_its_fields_when_it_is_sent_elsewhere(concrete: list[type[errors.ShopledgerError]]) -> None:
    """Pickled, copied, or made by name instead of by place, an error is of the same kind and has the same fields."""
    for error in concrete:
        values = {name: name.upper() for name in error.__signature__.parameters}
        made, named = error(*values.values()), error(**values)
        sent = pickle.loads(pickle.dumps(named))  # noqa: S301 - made in the line itself
        for again in (sent, copy.copy(named), copy.deepcopy(named), named):
            assert type(again) is error
            assert vars(again) == vars(made) == values
            assert again.args == made.args == tuple(values.values())


def test_an_error_is_made_of_its_own_fields() -> None:
    """One too many, an unknown one and a missing one are slips of the program; what has a default may be left out."""
    for given, named in ((("a", 1, "b", "c", "d"), {}), (("a", 1, "b"), {}), (("a", 1, "b", "c"), {"mood": 1})):
        with pytest.raises(TypeError):
            errors.RefusedError(*given, **named)  # type: ignore[arg-type]
    assert vars(errors.UnknownNameError("frame", given="X1")) == {
        "kind": "frame",
        "given": "X1",
        "near": (),
        "hint": "",
    }


@pytest.mark.parametrize(
    ("kind", "code"),
    [
        (errors.ShopledgerError, 1),
        (errors.SetupError, 10),
        (errors.OpticsError, 20),
        (errors.LedgerError, 30),
        (errors.RefusedError, 30),
        (errors.StoreError, 40),
        (errors.UnknownNameError, 40),
        (errors.PaperworkError, 50),
        (errors.ExportError, 60),
        (errors.ExchangeError, 70),
    ],
)
def test_each_kind_of_error_has_its_exit_code(kind: type[errors.ShopledgerError], code: int) -> None:
    """A script can tell from the exit code which part of the program refused; 2 is left to wrong usage."""
    assert kind.exit_code == code
    assert issubclass(kind, errors.ShopledgerError)


def test_errors_are_also_the_builtin_they_are_a_kind_of() -> None:
    """Code that knows only Python's own errors catches a wrong value and a failed look-up by those names."""
    assert issubclass(errors.OpticsError, ValueError)
    assert issubclass(errors.LedgerError, ValueError)
    assert issubclass(errors.ExchangeError, ValueError)
    assert issubclass(errors.UnknownNameError, LookupError)


def test_a_refusal_says_what_was_given_what_is_allowed_and_what_to_do() -> None:
    """The fields are kept apart, and the sentence is made from them."""
    error = errors.RefusedError("axis", 190, "an axis is 1 to 180", "Read the prescription again.")
    assert (error.field, error.given) == ("axis", 190)
    assert str(error) == "axis is 190; an axis is 1 to 180. Read the prescription again."


def test_an_unknown_name_suggests_what_was_perhaps_meant() -> None:
    """The nearest names and what to do follow the unknown one, and are left out where there are none."""
    error = errors.UnknownNameError("customer", "Jon", ("John Rae", "Joan Vale"), "Add one with customer add.")
    assert str(error) == ("no customer called 'Jon'. Did you mean John Rae or Joan Vale? Add one with customer add.")
    assert str(errors.UnknownNameError("frame", "X1")) == "no frame called 'X1'."


def test_the_nearest_names_come_best_first_whatever_their_case() -> None:
    """A slip of one letter and a part of a name are both found; what is far from everything finds nothing."""
    known = ["Harbour", "Harbinger", "Meadow", "North Meadow Road"]
    assert errors.nearest("harbor", known)[0] == "Harbour"
    assert set(errors.nearest("meadow", known)) == {"Meadow", "North Meadow Road"}
    assert errors.nearest("meadow", known)[0] == "Meadow"
    assert errors.nearest("zzz", known) == ()
    assert len(errors.nearest("a", [f"a{place}" for place in range(9)], most=2)) == 2


@pytest.mark.parametrize(
    ("names", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a or b"), (["a", "b", "c"], "a, b or c")],
)
def test_names_are_listed_as_a_sentence_does(names: list[str], text: str) -> None:
    """Commas between, and "or" before the last."""
    assert errors.listed(names) == text
