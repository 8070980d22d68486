"""Catalogue files: frames, lenses, extras, accessories, offers and tax rates, in one TOML file or a folder of them.

Each row is a table of its own: `[[frame]]`, `[[lens]]`, `[[extra]]`, `[[accessory]]`, `[[offer]]`, `[[tax]]`. Any
of them may stand in any file. All rows are taken over or none, and every problem of every row is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, TypeVar

from shopledger.exchange.refusals import FileRefusedError, unknown_key
from shopledger.exchange.rows import Field, Place, Problems, TomlFile, open_toml, raise_any, read_rows
from shopledger.exchange.values import as_count, as_pair_price, fields_of
from shopledger.ledger.catalogue import (
    Accessory,
    Catalogue,
    Extra,
    Frame,
    Lens,
)
from shopledger.ledger.offers import Offer
from shopledger.ledger.taxes import TaxRate
from shopledger.optics.materials import material

T = TypeVar("T")

_COUNT: Final = Field("count", as_count, 0)
_PAIR_PRICE: Final = Field("price", as_pair_price)

FRAME: Final = fields_of(Frame, _COUNT, left_out={"owned_by", "number"})
LENS: Final = fields_of(
    Lens, _PAIR_PRICE, left_out={"number"}, material_class=None, index=None, abbe=None, density=None, min_centre=None
)
EXTRA: Final = fields_of(Extra, _PAIR_PRICE, left_out={"number"})
ACCESSORY: Final = fields_of(Accessory, _COUNT, first=("code", "name", "price", "cost", "count"), left_out={"number"})
OFFER: Final = fields_of(Offer, left_out={"number"})
TAX: Final = fields_of(TaxRate)
_TABLES: Final = ("frame", "lens", "extra", "accessory", "offer", "tax")


@dataclass(frozen=True, slots=True)
class CatalogueFile:
    """All rows of a catalogue file or folder, each valid, in the order of the files."""

    catalogue: Catalogue
    offers: tuple[Offer, ...]
    taxes: tuple[TaxRate, ...]


def read_catalogue(source: Path | str) -> CatalogueFile:
    """Read a catalogue from a file, a folder of `.toml` files or a text; where anything is wrong, all of it is told."""
    problems: Problems = []
    return rows_of_files(list(_opened(source, problems)), problems)


def rows_of_files(files: Sequence[TomlFile], problems: Problems) -> CatalogueFile:
    """Read the rows of all files together; what was wrong with them before is told with the rest."""
    for file in files:
        _refuse_other_tables(file, problems)
    frames = _gathered(files, "frame", FRAME, _frame, problems)
    lenses = _gathered(files, "lens", LENS, _lens, problems)
    extras = _gathered(files, "extra", EXTRA, Extra, problems)
    accessories = _gathered(files, "accessory", ACCESSORY, _accessory, problems)
    offers = _gathered(files, "offer", OFFER, Offer, problems)
    taxes = _gathered(files, "tax", TAX, TaxRate, problems)
    problems += _twice([(place, frame.code) for place, (frame, _) in frames])
    problems += _twice([(place, lens.code) for place, lens in lenses])
    problems += _twice([(place, extra.code) for place, extra in extras])
    problems += _twice([(place, goods.code) for place, (goods, _) in accessories])
    problems += _twice([(place, offer.code) for place, offer in offers])
    problems += _twice(
        [(place, f"{tax.whole_place} {tax.category.value} from {tax.valid_from}") for place, tax in taxes]
    )
    raise_any(problems)
    catalogue = Catalogue(_rows(frames), _rows(lenses), _rows(extras), _rows(accessories))
    return CatalogueFile(catalogue, _rows(offers), _rows(taxes))


# ---------------------------------------------------------------- rows


def _frame(count: int, **values: Any) -> tuple[Frame, int]:  # noqa: ANN401 - Frame checks them
    return Frame(**values), count


def _accessory(count: int, **values: Any) -> tuple[Accessory, int]:  # noqa: ANN401 - Accessory checks them
    return Accessory(**values), count


def _lens(**values: Any) -> Lens:  # noqa: ANN401 - Lens checks them
    """Make a lens; what the row leaves out of its material comes from the table of materials."""
    if any(values[key] is None for key in ("material_class", "index", "abbe", "density")):
        known = material(values["material"])
        for key in ("material_class", "index", "abbe", "density", "min_centre"):
            values[key] = getattr(known, key) if values[key] is None else values[key]
    if values["min_centre"] is None:
        del values["min_centre"]
    return Lens(**values)


def _gathered(
    files: Iterable[TomlFile], table: str, fields: Sequence[Field], make: Callable[..., T], problems: Problems
) -> list[tuple[Place, T]]:
    """Read the rows of one kind from all files."""
    return [row for file in files for row in read_rows(file, table, fields, make, problems)]


def _twice(named: Iterable[tuple[Place, str]]) -> Problems:
    """Refuse a second row under a name that is taken."""
    first: dict[str, Place] = {}
    problems: Problems = []
    for place, name in named:
        if name in first:
            before = f"{first[name].file.name}, line {first[name].line_of()}"
            problems.append(place.refused(f"{name} stands in {before} already", "Leave one out.", "code"))
        first.setdefault(name, place)
    return problems


# ---------------------------------------------------------------- files


def _opened(source: Path | str, problems: Problems) -> Iterator[TomlFile]:
    """Open one file or all of a folder; one that is no TOML is a problem like any other."""
    for each in _files(source) if isinstance(source, Path) else [source]:
        try:
            yield open_toml(each, "the catalogue")
        except FileRefusedError as error:
            problems.append(error)


def _files(source: Path) -> list[Path]:
    if not source.is_dir():
        return [source]
    found = sorted(source.glob("*.toml"))
    if not found:
        raise FileRefusedError(str(source), None, "the folder holds no .toml file", "Name the catalogue's own folder.")
    return found


def _refuse_other_tables(file: TomlFile, problems: Problems) -> None:
    """Tell of tables that no catalogue has."""
    for key in file.values:
        if key not in _TABLES:
            problems.append(unknown_key(file.name, Place(file).line_of(key), "a catalogue", key, _TABLES))


def _rows(made: Iterable[tuple[Place, T]]) -> tuple[T, ...]:
    return tuple(row for _, row in made)
