"""Catalogue files: every row or none, every problem of every row told, and the demo's own catalogue is whole."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.exchange.catalogue_file import read_catalogue
from shopledger.exchange.order_file import read_order_file
from shopledger.exchange.refusals import FileRefusedError, RowsRefusedError
from shopledger.exchange.trace_file import read_trace_file
from shopledger.ledger.catalogue import (
    Accessory,
    Design,
    Extra,
    ExtraKind,
    Frame,
    Lens,
    Reimbursement,
    SegmentShape,
    TaxCategory,
)
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind, Sharing
from shopledger.ledger.taxes import TaxRate
from shopledger.optics.boxing import box
from shopledger.optics.materials import MaterialClass
from shopledger.optics.trace import FrameTrace
from shopledger.optics.trace_checks import check_frame_trace
from shopledger.places import demo_folder

FRAME = """
[[frame]]
code = "PELLOW-52"
maker = "Vessamund"
model = "Pellow"
colour = "moss"
eye_size = 52
bridge = 18
temple = 140
price = "180.00"
cost = 62
count = 4
"""
LENS = """
[[lens]]
code = "PROG-14"
name = "Even progressive"
design = "progressive"
material = "high index 1.60"
material_class = "plastic"
index = 1.592
abbe = 40.5
density = 1.31
price = "260.00"
cost = "88.00"
corridor = 11
min_fitting_height = 15
blank_diameters = [75, 70]
min_centre = 1.6
min_edge = 1.2
design_part = "125.00"
material_part = "70.00"
"""
SEGMENT = """
[[lens]]
code = "TRI-28"
name = "Straight-top trifocal"
design = "trifocal"
material = "hard resin 1.50"
segment_shape = "flat top"
segment_width = 28
intermediate_depth = 7
fitting_in = 2
fitting_up = -1.5
distance_up = 3
max_fitting_height = 28
price = "155.00"
cost = "41.00"

[[lens]]
code = "PROG-9"
name = "Short progressive"
design = "progressive"
material = "hard resin 1.50"
fitting_up = 4
thinning_prism = true
price = "155.00"
cost = "41.00"
"""
OTHERS = """
[[extra]]
code = "AR"
name = "Anti-reflective coating"
kind = "anti-reflective"
price = "129.95"
cost = "31.00"

[[accessory]]
code = "SUN"
name = "Sunglasses without power"
price = "45.00"
cost = "14.60"
count = 4
tax_category = "non-prescription"
reimbursement = "not eligible"
claim_code = "V2761"

[[offer]]
code = "SECOND"
name = "Second pair"
kind = "percent"
percent = "20 %"
needs = [{ kind = "frame", code = "PELLOW-52" }]
reduces = { kind = "lenses", design = "single vision" }
sharing = "all lines"
automatic = false
from_pair = 2
starts = 2026-01-01
ends = 2026-12-31

[[tax]]
state = "oh"
category = "accessory"
rate = 7
valid_from = 2020-01-01
"""


def test_where_a_segment_or_cross_stands_on_its_blank_is_read() -> None:
    """Lengths as numbers, the shape by its word; what is left out is not known."""
    lined, gradual = read_catalogue(SEGMENT).catalogue.lenses
    assert lined.segment_shape is SegmentShape.FLAT_TOP
    assert (lined.segment_width, lined.intermediate_depth) == (28, 7)
    assert (lined.fitting_in, lined.fitting_up, lined.distance_up, lined.max_fitting_height) == (2, -1.5, 3, 28)
    assert (gradual.fitting_in, gradual.fitting_up, gradual.thinning_prism) == (None, 4, True)
    assert lined.thinning_prism is None


def test_every_key_of_every_row_is_read() -> None:
    """A row says what was typed, money in cents and rates in millionths."""
    read = read_catalogue(FRAME + LENS + OTHERS)
    assert read.catalogue.frames == (
        (Frame("PELLOW-52", "Vessamund", "Pellow", "moss", 52, 18, 140, price=18000, cost=6200), 4),
    )
    assert read.catalogue.lenses == (
        Lens(
            "PROG-14", "Even progressive", Design.PROGRESSIVE, "high index 1.60", MaterialClass.PLASTIC, 1.592, 40.5,
            1.31, price=26000, cost=8800, corridor=11, min_fitting_height=15, blank_diameters=(70, 75),
            min_centre=1.6, min_edge=1.2, design_part=12500, material_part=7000,
        ),
    )  # fmt: skip
    assert read.catalogue.extras == (Extra("AR", "Anti-reflective coating", ExtraKind.ANTI_REFLECTIVE, 12995, 3100),)
    assert read.catalogue.accessories == (
        (
            Accessory(
                "SUN", "Sunglasses without power", 4500, 1460, TaxCategory.NON_PRESCRIPTION,
                Reimbursement.NOT_ELIGIBLE, "V2761",
            ),
            4,
        ),
    )  # fmt: skip
    assert read.offers == (
        Offer(
            "SECOND", "Second pair", OfferKind.PERCENT, (Matches(LineKind.LENSES, Design.SINGLE_VISION),),
            (Matches(LineKind.FRAME, code="PELLOW-52"),), percent=200_000, sharing=Sharing.ALL_LINES, automatic=False,
            from_pair=2, starts=date(2026, 1, 1), ends=date(2026, 12, 31),
        ),
    )  # fmt: skip
    assert read.taxes == (TaxRate("OH", TaxCategory.ACCESSORY, 70_000, date(2020, 1, 1)),)


def test_a_tax_rate_may_be_for_a_place_and_have_a_last_day() -> None:
    """Shipping as the goods has no rate of its own; the same key for another place is another rate."""
    head = '[[tax]]\nstate = "OH"\nvalid_from = 2026-01-01\nrate = 0\ncategory = "shipping"\n'
    more = 'place = "Alder County"\nzips = "43002 43001"\nvalid_to = 2026-12-31\nas_goods = true\n'
    whole, county = read_catalogue(head + head + more).taxes
    assert whole == TaxRate("OH", TaxCategory.SHIPPING, 0, date(2026, 1, 1))
    assert county == replace(
        whole, place="Alder County", zips="43001 43002", valid_to=date(2026, 12, 31), as_goods=True
    )


def test_what_a_lens_leaves_out_of_its_material_comes_from_the_table() -> None:
    """An owner who names a known material need not type its index, Abbe number and density."""
    bare = "\n".join(line for line in LENS.splitlines() if line.split(" ")[0] not in {"index", "abbe", "density"})
    lens = read_catalogue(bare.replace("min_centre = 1.6\n", "")).catalogue.lenses[0]
    # The table's own figures for high index 1.60.
    assert (lens.index, lens.abbe, lens.density, lens.min_centre) == (1.60, 41.0, 1.30, 1.4)
    assert lens.material_class is MaterialClass.PLASTIC


def test_figures_of_an_unknown_material_must_be_typed() -> None:
    """A material that the table does not know is taken with its figures, and refused without."""
    own = LENS.replace("high index 1.60", "clear stuff")
    assert read_catalogue(own.replace("min_centre = 1.6\n", "")).catalogue.lenses[0].min_centre == 2.0
    with pytest.raises(FileRefusedError, match="no material has this name"):
        read_catalogue(own.replace("index = 1.592\n", ""))


def test_rows_may_stand_in_several_files(tmp_path: Path) -> None:
    """A folder is read whole, in the order of the files' names; other files in it are let be."""
    (tmp_path / "b.toml").write_text(FRAME, encoding="utf-8")
    (tmp_path / "a.toml").write_text(FRAME.replace("PELLOW-52", "QUARN-50"), encoding="utf-8")
    (tmp_path / "notes.txt").write_text("not read", encoding="utf-8")
    assert [frame.code for frame, _ in read_catalogue(tmp_path).catalogue.frames] == ["QUARN-50", "PELLOW-52"]


def test_every_problem_of_every_row_and_file_is_told(tmp_path: Path) -> None:
    """One pass over the files names all that must be mended, each with file and line."""
    bad_price = FRAME.replace('"180.00"', "180.5")
    (tmp_path / "a.toml").write_text(
        bad_price.replace("bridge = 18\n", "").replace("moss", "moss\\n"), encoding="utf-8"
    )
    (tmp_path / "b.toml").write_text(FRAME + FRAME + "[[frmae]]\n", encoding="utf-8")
    (tmp_path / "c.toml").write_text("[[lens]\n", encoding="utf-8")
    (tmp_path / "d.toml").write_text(
        OTHERS.replace('"oh"', '"OHIO"').replace("single vision", "simple"), encoding="utf-8"
    )
    with pytest.raises(RowsRefusedError) as caught:
        read_catalogue(tmp_path)
    told = {(problem.file, problem.line): problem.reason for problem in caught.value.problems}
    assert set(told) == {
        ("c.toml", 1), ("b.toml", 25), ("a.toml", 2), ("a.toml", 9), ("d.toml", 25), ("d.toml", 32), ("b.toml", 15),
    }  # fmt: skip
    assert told["a.toml", 2] == "frame 1: 'bridge' is missing"
    assert "frame 1: 'price' is 180.5" in told["a.toml", 9]
    assert told["b.toml", 15] == "frame 2: PELLOW-52 stands in b.toml, line 2 already"
    assert told["b.toml", 25] == "a catalogue has no key 'frmae'"
    assert told["d.toml", 25].startswith("offer 1: reduces 1: 'design' is 'simple'")
    assert "OHIO" in told["d.toml", 32]


REFUSED = {
    "negative price": (FRAME.replace("180.00", "-1.00"), "price is -1.00; it may not be negative"),
    "three decimals": (FRAME.replace("180.00", "1.005"), "'price' is '1.005'; an amount has at most two decimals"),
    "no eye": (FRAME.replace("eye_size = 52", "eye_size = 5.2"), "eye size is 5.2 mm"),
    "size in quotes": (FRAME.replace("eye_size = 52", 'eye_size = "52"'), "Write it without quotes"),
    "half a frame": (FRAME.replace("count = 4", "count = 0.5"), "'count' is 0.5"),
    "fewer than none": (FRAME.replace("count = 4", "count = -1"), "'count' is -1"),
    "odd code": (FRAME.replace("PELLOW-52", "PELLOW 52"), "a code is up to 20 letters, digits and hyphens"),
    "parts above price": (LENS.replace("125.00", "250.00"), "together they may not exceed the price"),
    "rate with a point": (OTHERS.replace("rate = 7", "rate = 7.25"), 'Put it in quotes: rate = "7.25 %".'),
    "rate as a list": (OTHERS.replace("rate = 7", "rate = []"), 'Put it in quotes: rate = "8.875 %".'),
    "rate too high": (OTHERS.replace("rate = 7", 'rate = "70 %"'), "tax rate is 70 %"),
    "reduces nothing": (OTHERS.replace('reduces = { kind = "lenses", design = "single vision" }', "reduces = []"),
                        "it is a list of tables in braces"),
    "strange key inside": (OTHERS.replace("design = ", "desing = "), "Did you mean 'design'?"),
    "no table": ("frame = 3", "Write [[frame]] on a line of its own"),
    "not a list of numbers": (LENS.replace("[75, 70]", '["75"]'), "'blank_diameters' is '75'; it must be a number"),
    "a table as a code": (FRAME.replace('"PELLOW-52"', "{ a = 1 }"), "'code' is a table; it must be text"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "reason"), REFUSED.values(), ids=REFUSED.keys())
def test_a_row_that_cannot_be_is_refused(text: str, reason: str) -> None:
    """What no catalogue can hold is refused with what is allowed."""
    with pytest.raises(FileRefusedError) as caught:
        read_catalogue(text)
    assert reason in str(caught.value)


def test_an_empty_folder_is_no_catalogue(tmp_path: Path) -> None:
    """A folder that is not the catalogue's is named rather than read as nothing."""
    with pytest.raises(FileRefusedError, match=r"holds no \.toml file"):
        read_catalogue(tmp_path)


def test_the_demo_s_catalogue_holds_what_its_orders_name() -> None:
    """The invented shop sells every frame, lens, extra and accessory that its order asks for, and has them in stock."""
    read = read_catalogue(demo_folder() / "catalogue")
    counts = {frame.code: count for frame, count in read.catalogue.frames}
    goods = {each.code: count for each, count in read.catalogue.accessories}
    lenses = {lens.code for lens in read.catalogue.lenses}
    extras = {extra.code for extra in read.catalogue.extras}
    for file in sorted((demo_folder() / "orders").glob("*.toml")):
        order = read_order_file(file)
        for pair in order.pairs:
            assert counts[pair.frame] >= 1
            assert pair.lens in lenses
            assert set(pair.extras) <= extras
        assert all(goods[each.code] >= each.quantity for each in order.accessories)


def test_the_demo_s_trace_is_the_frame_it_says() -> None:
    """The invented trace is whole, mirrored left to right, and as large as its frame's catalogue entry."""
    frames = {frame.code: frame for frame, _ in read_catalogue(demo_folder() / "catalogue").catalogue.frames}
    read = read_trace_file(demo_folder() / "traces" / "pellow-52.txt")
    frame = frames["PELLOW-52"]
    assert read.dbl == frame.bridge
    assert read.right.count == 400
    assert (
        check_frame_trace(FrameTrace(read.right, read.left, read.dbl), None, None, frame.eye_size, frame.bridge) == ()
    )
    # Boxed sizes as the file states them, within a tenth of a millimetre.
    assert box(read.right).a == pytest.approx(read.stated.a[0], abs=0.1)
    assert box(read.left).b == pytest.approx(read.stated.b[1], abs=0.1)


def test_the_demo_s_broken_trace_is_refused() -> None:
    """The file that shows the refusal is cut short in the left eye."""
    with pytest.raises(FileRefusedError, match="the left shape is cut short"):
        read_trace_file(demo_folder() / "traces" / "pellow-52-cut-short.txt")
