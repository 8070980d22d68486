"""The program's errors: one exit code per kind, and sentences that say what to do."""

from __future__ import annotations

import pytest

from shopledger import errors


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
