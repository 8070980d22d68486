"""What --json prints of a record comes from its fields."""

from __future__ import annotations

import importlib
import pkgutil
from dataclasses import fields

import pytest

from shopledger.cli import views
from shopledger.cli.views.figures import Outside
from shopledger.ledger.parties import Address, Customer

OUTSIDE = [
    (module.name, name, value)
    for module in pkgutil.iter_modules(views.__path__, f"{views.__name__}.")
    for name, value in vars(importlib.import_module(module.name)).items()
    if isinstance(value, Outside)
]


@pytest.mark.parametrize(
    ("outside", "kind"),
    [
        pytest.param(outside, kind, id=f"{module}-{kind.__name__}")
        for module, name, outside in OUTSIDE
        if name == "OUT"
        for kind in outside.shapes
    ],
)
def test_a_shape_names_what_its_record_has(outside: Outside, kind: type) -> None:
    """A key that no field, property or made value stands behind is found here, not when somebody asks for it."""
    assert outside.keys(kind)
    assert set(outside.shapes[kind].left_out) <= {each.name for each in fields(kind)}


def test_every_field_of_a_record_is_shown() -> None:
    """A field is left out on purpose or not at all: a customer is shown with all that is kept."""
    where = Address("9 Mill Row", "Millbrae", "OH", "43002")
    data = importlib.import_module("shopledger.cli.views.people").OUT.of(Customer("Wren", where, number=3))
    assert list(data) == ["number", "name", "address", "phone", "email", "printed_name", "erased_on"]
    assert data["address"] == {
        "street": "9 Mill Row",
        "second_line": "",
        "city": "Millbrae",
        "state": "OH",
        "zip": "43002",
    }
