"""Goods and terms: added, changed, listed; what was recorded before keeps its price."""

from __future__ import annotations

import pytest

from tests.cli.conftest import PAIR, Typed, done, read_json

FRAME = ("--maker", "Thistledown", "--model", "Rook", "--colour", "ink", "--eye-size", "50", "--bridge", "20")
MORE = ("--temple", "145", "--price", "150.00", "--cost", "50.00")


def test_a_frame_is_added_with_its_count(typed: Typed) -> None:
    """Its opening count is on hand at once, and its code is kept in capitals."""
    added = read_json(typed("frame", "add", "rook-50", *FRAME, *MORE, "--count", "4", "--as", "opening", "--json"))
    assert (added["code"], added["on_hand"]) == ("ROOK-50", 4)
    assert [each["code"] for each in read_json(typed("frame", "list", "--json"))["frames"]] == ["ROOK-50", "WREN-52"]
    assert "Thistledown Rook" in done(typed("frame", "list")).stdout
    assert "50-20-145" in done(typed("frame", "show", "ROOK-50")).stdout


def test_a_frame_is_added_by_questions(typed: Typed) -> None:
    """What no option says is asked for."""
    answers = "145\n150\n129.955\n50\n"
    result = typed("frame", "add", "ROOK-50", *FRAME, "--json", answers=answers)
    assert read_json(result)["cost"] == "50.00"
    assert "two decimals" in result.stderr


def test_a_customer_s_own_frame_costs_nothing(typed: Typed) -> None:
    """It is no goods of the shop: no price is asked, and none is on hand."""
    words = ("frame", "add", "HERS", *FRAME, "--temple", "145", "--owned-by", "Odalys Fernhollow", "--json")
    assert read_json(typed(*words))["owned_by"] == 1
    order = read_json(typed("sale", "record", "--customer", "1", *PAIR[:2], "--frame", "HERS", *PAIR[4:], "--json"))
    assert [line["kind"] for line in order["lines"]] == ["lenses", "shipping"]
    refused = typed("frame", "add", "HERS-2", *FRAME, "--temple", "145", "--owned-by", "1", "--count", "2")
    assert refused.exit_code == 30


def test_a_new_price_leaves_recorded_orders_alone(typed: Typed) -> None:
    """Prices are frozen on the order."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    assert read_json(typed("frame", "change", "WREN-52", "--price", "199.95", "--json"))["price"] == "199.95"
    assert read_json(typed("sale", "show", "1", "--json"))["total"] == "186.50"
    done(typed("sale", "record", "--customer", "1", *PAIR))
    assert read_json(typed("sale", "show", "2", "--json"))["total"] == "206.45"


@pytest.mark.parametrize(
    ("noun", "code"), [("frame", "WREN-52"), ("lens", "PROG"), ("extra", "AR"), ("accessory", "CASE")]
)
def test_a_change_names_something(typed: Typed, noun: str, code: str) -> None:
    """A change without an option is refused; one with an option changes that alone."""
    assert typed(noun, "change", code).exit_code == 30
    before = read_json(typed(noun, "show", code, "--json"))
    done(typed(noun, "change", code, "--cost", "1.23"))
    assert read_json(typed(noun, "show", code, "--json")) == {**before, "cost": "1.23"}


def test_a_lens_takes_its_numbers_from_a_known_material(typed: Typed) -> None:
    """Index, Abbe number and density need not be typed for a material that the program knows, but may be."""
    words = (
        "--name",
        "Thin",
        "--design",
        "single vision",
        "--material",
        "high index 1.67",
        "--price",
        "190",
        "--cost",
        "60",
    )
    added = read_json(
        typed("lens", "add", "SV-167", *words, "--blank", "75", "--blank", "70", "--abbe", "31", "--json")
    )
    assert (added["index"], added["abbe"], added["blank_diameters"]) == (1.67, 31.0, [70.0, 75.0])
    unknown = typed("lens", "add", "SV-X", *words[:4], "--material", "oak", *words[6:])
    assert unknown.exit_code == 20
    assert "oak" in unknown.stderr
    numbers = ("--material-class", "plastic", "--index", "1.55", "--abbe", "40", "--density", "1.3")
    done(typed("lens", "add", "SV-X", *words[:4], "--material", "own brew", *words[6:], *numbers))
    assert "own brew" in done(typed("lens", "list")).stdout


def test_a_lens_is_added_with_its_segment(typed: Typed) -> None:
    """Where the segment stands on the blank is typed and shown; a design that has none refuses it."""
    words = ("--name", "Straight top", "--material", "hard resin 1.50", "--price", "135", "--cost", "36")
    place = ("--fitting-in", "2", "--fitting-up", "-4", "--distance-up", "4", "--max-fitting-height", "26")
    segment = ("--segment-shape", "flat-top", "--segment-width", "28", *place, "--min-fitting-height", "13")
    refused = typed("lens", "add", "SV-1", "--design", "single-vision", *words, *segment, answers="\n")
    assert refused.exit_code == 30
    assert "a single vision lens has none" in refused.stderr
    done(typed("lens", "add", "BIF-28", "--design", "bifocal", *words, *segment, answers="\n"))
    shown = " ".join(done(typed("lens", "show", "BIF-28")).stdout.split())
    assert "segment flat top, 28 mm" in shown
    assert "fitting point on the blank 2.0 mm inward, 4.0 mm below the middle" in shown
    assert "bifocal, flat top" in " ".join(done(typed("lens", "list")).stdout.split())
    changed = read_json(typed("lens", "change", "BIF-28", "--fitting-up", "-5", "--json"))
    assert (changed["fitting_up"], changed["segment_shape"]) == (-5.0, "flat top")


def test_extras_and_accessories_are_added(typed: Typed) -> None:
    """Each kind of goods has its own words."""
    done(typed("extra", "add", "UV", "--name", "UV filter", "--kind", "uv", "--price", "20"))
    assert "UV filter" in done(typed("extra", "list")).stdout
    here = ("--count", "5", "--as", "opening")
    words = ("--name", "Cord", "--price", "8.50", "--cost", "2", *here, "--tax-category", "accessory")
    assert read_json(typed("accessory", "add", "CORD", *words, "--json"))["on_hand"] == 5
    assert "Cord" in done(typed("accessory", "list")).stdout
    assert "Cord" in done(typed("stock", "list")).stdout


def test_an_offer_is_added_used_and_ended(typed: Typed) -> None:
    """Twenty per cent off the coating counts until the day the offer ends."""
    words = ("--name", "Coating less", "--kind", "percent", "--percent", "20", "--reduces", "extra:AR", "--when-named")
    added = read_json(typed("offer", "add", "AR-20", *words, "--json"))
    assert (added["percent"], added["automatic"]) == ("20 %", False)
    sale = ("sale", "record", "--customer", "1", *PAIR, "--extra", "AR", "--dry-run", "--json")
    # By hand: 20 % of 129.95 is 25.99.
    assert read_json(typed(*sale, "--offer", "AR-20"))["reduction_total"] == "105.99"
    assert read_json(typed(*sale))["reduction_total"] == "80.00"
    assert read_json(typed(*sale, "--without-offer", "SV-FREE"))["reduction_total"] == "0.00"
    assert read_json(typed("offer", "end", "SV-FREE", "--on", "2026-03-01", "--json"))["ends"] == "2026-03-01"
    assert read_json(typed(*sale))["reduction_total"] == "0.00"
    assert "20 % off extra AR" in done(typed("offer", "list")).stdout


def test_offers_mean_lines_by_kind_design_or_code(typed: Typed) -> None:
    """Lenses are meant by their design or by one lens's code."""
    words = ("--name", "Both", "--kind", "package", "--price", "300", "--needs", "lenses:progressive")
    added = read_json(typed("offer", "add", "A", *words, "--reduces", "lenses:SV-150", "--reduces", "frame", "--json"))
    assert added["needs"] == [{"kind": "lenses", "design": "progressive", "code": None}]
    assert added["reduces"] == [
        {"kind": "lenses", "design": None, "code": "SV-150"},
        {"kind": "frame", "design": None, "code": None},
    ]
    assert "300.00 together" in done(typed("offer", "show", "A")).stdout


def test_tax_rates_are_the_owner_s(typed: Typed) -> None:
    """A rate holds from its day on, and the owner is told whom to ask."""
    words = ("tax", "set", "oh", "accessory", "7.25", "--from", "04/01/2026")
    asked = typed(*words)
    assert asked.exit_code == 20
    assert "7 % from 2020-01-01 without a last day" in asked.stderr
    result = done(typed(*words, "--accept", "RATE-OVERLAPS"))
    assert "tax preparer" in result.stderr
    assert "7.25 %" in done(typed("tax", "list")).stdout
    assert read_json(typed("sale", "record", "--customer", "1", "--accessory", "CASE", "--json"))["tax_total"] == "0.84"


def test_a_count_that_agrees_changes_nothing(typed: Typed) -> None:
    """Counting is worth saying even when the books were right."""
    assert "As in the books" in done(typed("stock", "count", "WREN-52", "--counted", "3")).stderr
    assert "off by -1" in done(typed("stock", "count", "WREN-52", "--counted", "2", "--note", "one broken")).stderr


def test_a_catalogue_can_be_tried_first(typed: Typed, tmp_path_factory: pytest.TempPathFactory) -> None:
    """A dry run reads and counts everything, and stores none of it."""
    file = tmp_path_factory.mktemp("more") / "more.toml"
    file.write_text('[[extra]]\ncode = "UV"\nname = "UV filter"\nkind = "uv"\nprice = "20.00"\n', encoding="utf-8")
    counts = read_json(typed("catalogue", "load", str(file), "--dry-run", "--json"))
    assert (counts["extras"], counts["frames"], counts["stored"]) == (1, 0, False)
    assert typed("extra", "show", "UV").exit_code == 40
    assert read_json(typed("catalogue", "load", str(file), "--json"))["stored"] is True
    done(typed("extra", "show", "UV"))


def test_the_shelf_reads_well(typed: Typed) -> None:
    """Lots with their bill, the movements with what was there after each, what to reorder, and how old it is."""
    done(typed("stock", "receive", "WREN-52", "--quantity", "2", "--unit-cost", "60"))
    done(typed("sale", "record", "--customer", "1", *PAIR))
    assert "Thistledown" in done(typed("stock", "list")).stdout
    worth = done(typed("stock", "value", "--lots")).stdout
    assert "bill 1" in worth
    assert worth.count("343.00") == 2  # 3 at 61.00, 2 at 60.00, 10 cases at 4.00; the inventory account says the same
    assert "difference" not in worth
    broken = done(typed("stock", "write-off", "WREN-52", "--reason", "hinge broken")).stdout
    assert "4, of which 3 free" in broken
    history = done(typed("stock", "history", "WREN-52")).stdout
    assert "hinge broken" in history
    assert "-61.00" in history
    assert "2026-03-02" in done(typed("stock", "low", "--below", "3")).stdout
    assert "nothing." in done(typed("stock", "low", "--below", "0")).stdout
    assert "242.00" in done(typed("stock", "ageing")).stdout
