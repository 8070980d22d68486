"""The whole catalogue at once: from sheets of one kind of goods, or from catalogue files; all rows or none."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, chosen, file, form
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.shop.part import BOTH, pages
from shopledger.desk.goods import load_catalogue
from shopledger.errors import RefusedError
from shopledger.exchange.catalogue_csv import SHEETS, columns_of, read_catalogue_sheet
from shopledger.exchange.catalogue_file import CatalogueFile, read_catalogue

GOODS: Final = file(
    "goods",
    "The file",
    needed=True,
    hint="A sheet saved as CSV, or a catalogue file with the ending .toml.",
    about=("file",),
)
KINDS: Final = {
    "frame": "frames",
    "lens": "lenses",
    "extra": "extras and coatings",
    "accessory": "accessories",
    "tax": "sales tax rates",
}
KIND: Final = chosen(
    "kind",
    "A sheet holds",
    tuple(Choice(kind, words) for kind, words in KINDS.items()),
    needed=False,
    hint="Of a catalogue file nothing need be said: it says itself what it holds.",
)


@pages.route("/catalogue", methods=BOTH)
def catalogue() -> Answer:
    """Load frames, lenses, extras, accessories or tax rates from a file."""

    def load(values: Values) -> Done:
        read = _read(values)
        load_catalogue(desk(), read.catalogue, read.offers, read.taxes, values.accept)
        return Done("/shop/catalogue", f"Loaded: {_counted(read)}.")

    columns = [(KINDS[kind], columns_of(kind)) for kind in SHEETS]
    return fill(form(GOODS, KIND), load, "shop/catalogue.html", columns=columns)


def _read(values: Values) -> CatalogueFile:
    source, kind = values.of(GOODS) or Path(), values.of(KIND)
    if source.suffix == ".toml":
        return read_catalogue(source)
    if not kind:
        raise RefusedError("kind", "open", "a sheet holds one kind of goods", "Choose what it holds.")
    return read_catalogue_sheet(source, kind)


def _counted(read: CatalogueFile) -> str:
    counts = {
        "frames": len(read.catalogue.frames),
        "lenses": len(read.catalogue.lenses),
        "extras": len(read.catalogue.extras),
        "accessories": len(read.catalogue.accessories),
        "offers": len(read.offers),
        "tax rates": len(read.taxes),
    }
    return ", ".join(f"{count} {words}" for words, count in counts.items() if count) or "no row"
