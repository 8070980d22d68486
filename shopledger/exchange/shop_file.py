"""The shop's own file: who it is and what the owner has set, in TOML.

```toml
name = "Quillfeather Optical"
phone = "555-0100"
ein = "12-3456789"

[address]
street = "4 Tannery Row"
city = "Millbrae"
state = "OH"
zip = "43002"

[settings]
shipping_charge = "6.50"
```
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, Final

from shopledger.errors import RefusedError
from shopledger.exchange.rows import Field, Place, Problems, open_toml, raise_any, read_row, read_rows
from shopledger.exchange.values import fields_of
from shopledger.ledger.parties import Address, Shop
from shopledger.ledger.settings import Settings

PAPERS: Final = ("letter", "a4")
SHOP: Final = fields_of(Shop, left_out={"address"})
ADDRESS: Final = fields_of(Address, first=("street", "second_line"), renamed={"postcode": "zip"})


@dataclass(frozen=True, slots=True)
class ShopFile:
    """The shop's profile, and its settings with what the file says put over them."""

    shop: Shop
    settings: Settings


def read_shop_file(source: Path | str, base: Settings | None = None) -> ShopFile:
    """Read the shop from a file or its text; settings that it does not name stay as in `base`."""
    before = base or Settings()
    file = open_toml(source, "the shop's file")
    problems: Problems = []
    addresses = read_rows(file, "address", ADDRESS, _address, problems)
    settings = read_rows(file, "settings", _settings_fields(before), _settings, problems)
    place = Place(file)
    tables = (Field("address", _one), Field("settings", _one, None))
    top: dict[str, Any] | None = read_row(place, file.values, (*SHOP, *tables), dict, problems)
    raise_any(problems)
    plain = {field.key: (top or {})[field.key] for field in SHOP}
    shop = read_row(place, {}, (), lambda: Shop(address=addresses[0][1], **plain), problems)
    raise_any(problems)
    if shop is None:  # pragma: no cover - a row that fails leaves a problem
        raise TypeError(file.name)
    return ShopFile(shop, settings[0][1] if settings else before)


def _one(key: str, value: object) -> object:
    """Let a table pass that stands once; its keys are read on their own."""
    if not isinstance(value, dict):
        raise RefusedError(f"'{key}'", "no table, or more than one", f"it is one table, [{key}]", "Write it once.")
    return value


def _address(zip: str, **values: str) -> Address:  # noqa: A002 - the owner's word for it
    return Address(postcode=zip, **values)


def _settings_fields(base: Settings) -> tuple[Field, ...]:
    """Give the keys of the settings, each with what holds until now."""
    return fields_of(Settings, **{each.name: getattr(base, each.name) for each in fields(base)})


def _settings(**values: Any) -> Settings:  # noqa: ANN401 - each was read by its own reader
    settings = Settings(**values)
    if settings.paper not in PAPERS:
        raise RefusedError("'paper'", f"'{settings.paper}'", "paper is letter or a4", "Choose one of them.")
    return settings
