"""What is vague, or was taken wrongly, becomes one clear sentence: what was given, what is allowed, what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import SHOP_OPTIONS, Typed, done, read_json, type_in

FRAME = ("frame", "add", "ROOK-50", "--maker", "Thistledown", "--model", "Rook", "--colour", "ink", "--temple", "145")
SIZES = ("--eye-size", "50", "--bridge", "20")
PERSON = ("customer", "add", "--name", "Bram Pike", "--street", "18 Tansy Lane", "--city", "Millbrae", "--state", "OH")

REFUSED = [
    (("prescription", "check", "--both", "OD -2.50"), 2, "the left eye is missing. Write the left one too"),
    (("prescription", "check", "--both", "-2.50"), 2, "it names none. Write OU before it"),
    (("optics", "transpose", "--sphere", "OD -2.50"), 2, "without the name of an eye. Leave OD out."),
    (("optics", "transpose", "--sphere", "-2.50 -0.75 x 90"), 2, "Give cylinder and axis where they are asked for."),
    ((*FRAME, "--eye-size", "18", "--bridge", "52", "--price", "90", "--cost", "30"), 30, "Type 52 as the eye size"),
    ((*FRAME, "--eye-size", "52-18", "--bridge", "18"), 2, "it is one number, not 52 and 18"),
    ((*FRAME, *SIZES, "--price", ".95", "--cost", "0.50"), 2, "a shell takes a dollar sign"),
    (("spend", "record", "Alder Row", "850", "--category", "rent"), 2, "rent-of-premises (Schedule C line 20b)"),
    (("claim", "code", "--lens", "single-vision", "--extra", "ar"), 2, "that is anti-reflective here"),
    ((*PERSON, "--zip", "43002", "--phone", "abc"), 30, "a phone number has at least 7 digits"),
    ((*PERSON, "--zip", "43002", "--email", "bram"), 30, "Type it like ada@example.com"),
    ((*PERSON, "--zip", "43002", "--email", "bram@example"), 30, "Type it like ada@example.com"),
    (("supplier", "add", "--name", "Tollgate", "--email", "a b@example.com"), 30, "ada@example.com"),
    (("prescriber", "add", "--name", "Dr. Ada Quill", "--phone", "555"), 30, "555-0142"),
]


@pytest.mark.parametrize(("words", "code", "said"), REFUSED)
def test_a_slip_is_refused_with_what_to_do(typed: Typed, words: tuple[str, ...], code: int, said: str) -> None:
    """In one line."""
    result = typed(*words)
    assert result.exit_code == code, result.output
    assert said in result.stderr
    assert result.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("prescription check --right -2.50 -0.75 x 90 --left -2.50", "--right '-2.50 -0.75 x 90'."),
        ("prescription check --left -2.50 --right “-2.50 -0.75 x 90”", "--right '-2.50 -0.75 x 90'."),
        ("prescription check --right=-2.50 DS --left -2.50", "--right '-2.50 DS'."),
        ("customer add --name Bram Pike --city Millbrae", "--name 'Bram Pike'."),
        ("optics prism-combine --eye right --prism 2 BU", "--prism '2 BU'."),
    ],
)
def test_forgotten_quotes_are_named(line: str, meant: str) -> None:
    """The words that were parted are shown together as they are typed; curly quotes are told to be none."""
    result = type_in(*line.split())
    assert result.exit_code == 2
    curly = " Curly quotes are none to a shell." if "“" in line else ""
    assert f"a blank ends a value.{curly} Type {meant}" in result.stderr


def test_an_option_of_the_program_stands_before_the_command() -> None:
    """It is no option of the command, and is known all the same."""
    result = type_in("sale", "list", "--today", "yesterday")
    assert result.exit_code == 2
    assert "--today stands before the command: 'shopledger --today VALUE sale list'." in result.stderr


def test_a_card_number_without_quotes_is_not_repeated() -> None:
    """What the shop never keeps stands in no message either."""
    line = "payment take 1 --reference 4000 0566 5566 5556 --method card --amount 5"
    result = type_in(*line.split())
    assert result.exit_code == 2
    assert "566" not in result.stderr
    assert "--reference takes one word" in result.stderr


@pytest.mark.parametrize("line", ["sale list extra", "customer find --name Bram Pike", "sale show 1 2", "sale list -0"])
def test_other_slips_of_usage_say_what_they_said(line: str) -> None:
    """Where no value was parted, nothing is said of quotes."""
    result = type_in(*line.split())
    assert result.exit_code == 2
    assert "a blank ends" not in result.stderr
    assert "--help'." in result.stderr


@pytest.mark.parametrize(
    ("name", "body", "said"),
    [
        ("frames.csv", b"\x89PNG\r\n\x1a\n\0\0", "it is a picture and no text. Save the table itself as CSV in UTF-8"),
        ("frames.png", b"\xff\xd8\xff\xe0\0", "it is a picture and no text."),
        ("frames.csv", b"PK\x03\x04\xff\xff", "it is a workbook or an archive and no text."),
        ("frames.csv", b"%PDF-1.4\xff", "it is a PDF and no text."),
        ("frames.csv", b"code;maker\nW\xc3;\xe9\n", "it is text, but not in UTF-8. Save it again as CSV in UTF-8."),
        ("frames.csv", "code,maker\n".encode("utf-16"), "it is text, but not in UTF-8."),
        ("frames.toml", b"\xff\0\0", "it is no text. Choose the right file, or save the table as TOML in UTF-8."),
    ],
)
def test_what_is_no_text_is_told(typed: Typed, tmp_path: Path, name: str, body: bytes, said: str) -> None:
    """A picture is not to be saved again as UTF-8."""
    file = tmp_path / name
    file.write_bytes(body)
    refused = typed("catalogue", "load", str(file))
    assert refused.exit_code == 70
    assert f"{name}: {said}" in refused.stderr


def test_part_of_a_name_leads_to_the_code(typed: Typed) -> None:
    """What is in a code is named first, then what is in a name, then what is like a code."""
    for code, name, kind in (("DARK-1", "Light adaptive", "photochromic"), ("DARK-2", "Grey tint", "tint")):
        done(typed("extra", "add", code, "--name", name, "--kind", kind, "--price", "20"))
    asked = ("extra", "show")
    assert "Did you mean DARK-1 or DARK-2?" in typed(*asked, "dark").stderr
    assert "Did you mean DARK-1 (Light adaptive)?" in typed(*asked, "adaptive").stderr
    assert "Did you mean AR (Anti-reflective coating)?" in typed(*asked, "anti").stderr
    assert "Did you mean WREN-52 (Thistledown Wren)?" in typed("frame", "show", "thistle").stderr
    assert "Did you mean AR?" in typed(*asked, "A-R").stderr


def test_a_supplier_without_a_name_is_never_suggested(typed: Typed) -> None:
    """Goods that came from nobody in particular stand under such a one."""
    done(typed("stock", "receive", "CASE", "--quantity", "2", "--unit-cost", "4", "--paid", "bank"))
    done(typed("supplier", "add", "--name", "Northgate Lab"))
    refused = typed("supplier", "show", "Northgaet")
    assert "Did you mean Northgate Lab?" in refused.stderr
    assert "not named" not in typed("supplier", "show", "Not").stderr.replace("Northgate", "")
    assert "Add one with" in typed("supplier", "show", "nobody").stderr


def test_a_zip_code_of_another_state_needs_a_yes(typed: Typed) -> None:
    """When a customer is added, changed, or becomes one; other changes are not asked about again."""
    person = (*PERSON, "--zip", "90210")
    refused = typed(*person)
    assert refused.exit_code == 20
    assert "which is of CA, and the address says OH" in refused.stderr
    assert "--accept ZIP-OTHER-STATE" in refused.stderr
    done(typed(*person, "--accept", "ZIP-OTHER-STATE"))
    assert "ZIP-OTHER-STATE" in done(typed("audit", "show", "--json")).stdout
    done(typed("customer", "change", "2", "--phone", "555-0150"))
    assert "ZIP-OTHER-STATE" in typed("customer", "change", "2", "--zip", "90211").stderr
    done(typed("customer", "change", "2", "--zip", "90211", "--accept", "ZIP-OTHER-STATE"))
    done(typed("customer", "change", "2", "--zip", "43002"))
    moved = ("wearer", "become-customer", "Wren", "--customer", "1", "--zip", "90210")
    assert "ZIP-OTHER-STATE" in typed(*moved).stderr
    done(typed(*moved, "--state", "CA"))
    assert "(y/n) [n]" in typed(*PERSON[:3], "Cara Pike", *PERSON[4:], "--zip", "90210", answers="\n\nn\n").output


def test_a_zip_code_of_another_state_is_told_of_the_shop(typed: Typed, tmp_path: Path) -> None:
    """It needs no yes, since the shop's address may be changed any time."""
    options = [{"43002": "90210"}.get(word, word) for word in SHOP_OPTIONS]
    said = done(type_in("setup", *options, ledger=tmp_path / "new.db")).stderr
    assert "which is of CA, and the address says OH. Look at both. 'shopledger shop change' corrects it." in said
    assert "which is of CA" in done(typed("shop", "change", "--zip", "90210")).stderr
    assert "which is of CA" not in done(typed("shop", "change", "--phone", "555-0150")).stderr


def test_a_cost_above_the_price_needs_a_yes(typed: Typed, tmp_path: Path) -> None:
    """Of frames, lenses, extras and accessories, added, changed or loaded; another change does not ask."""
    added = (
        (*FRAME, *SIZES, "--price", "50", "--cost", "150"),
        ("accessory", "add", "CORD", "--name", "Cord", "--price", "2", "--cost", "9"),
        ("extra", "add", "TINT", "--name", "Grey tint", "--kind", "tint", "--price", "4", "--cost", "20"),
        (
            *("lens", "add", "SV-X", "--name", "Single vision", "--design", "single-vision", "--price", "30"),
            *("--material", "hard resin 1.50", "--cost", "120", "--blank", "70"),
        ),
    )
    for words in added:
        refused = typed(*words)
        assert "price and cost may be swapped. [COST-ABOVE-PRICE]" in refused.stderr
        done(typed(*words, "--accept", "COST-ABOVE-PRICE"))
    done(typed("frame", "change", "ROOK-50", "--colour", "red"))
    for noun, code in (("frame", "WREN-52"), ("lens", "SV-150"), ("extra", "AR"), ("accessory", "CASE")):
        dear = (noun, "change", code, "--cost", "999")
        assert "COST-ABOVE-PRICE" in typed(*dear).stderr
        done(typed(*dear, "--accept", "COST-ABOVE-PRICE"))
    file = tmp_path / "more.toml"
    file.write_text('[[accessory]]\ncode = "BOX"\nname = "Box"\nprice = "3.00"\ncost = "12.00"\n', encoding="utf-8")
    assert "BOX costs the shop 12.00 and is sold for 3.00" in typed("catalogue", "load", str(file)).stderr
    done(typed("catalogue", "load", str(file), "--accept", "COST-ABOVE-PRICE"))
    assert "COST-ABOVE-PRICE BOX" in done(typed("audit", "show", "--json")).stdout


def test_new_goods_without_a_count_say_that_none_are_counted(typed: Typed) -> None:
    """And how those on the shelf are; a customer's own frame is no stock."""
    words = (*FRAME, *SIZES, "--price", "150", "--cost", "50")
    said = done(typed(*words)).stderr
    command = "stock count ROOK-50 --counted NUMBER --as opening"
    assert (
        f"ROOK-50 counts as 0 on hand. What lies on the shelf already is counted with 'shopledger {command}'." in said
    )
    done(typed(*command.replace("NUMBER", "3").split()))
    assert read_json(typed("frame", "show", "ROOK-50", "--json"))["on_hand"] == 3
    own = ("frame", "add", "HERS", *FRAME[3:], *SIZES, "--owned-by", "1")
    assert "counts as 0" not in done(typed(*own)).stderr
    cord = ("accessory", "add", "CORD", "--name", "Cord", "--price", "9", "--cost", "2")
    assert "CORD counts as 0 on hand" in done(typed(*cord)).stderr
    counted = ("accessory", "add", "BAG", *cord[3:], "--count", "4", "--as", "opening")
    assert "counts as 0" not in done(typed(*counted)).stderr


def test_amounts_below_a_dollar_are_typed_with_their_zero(typed: Typed) -> None:
    """They go on working everywhere."""
    done(typed("accessory", "add", "DROP", "--name", "Drop", "--price", "0.95", "--cost", "0.10"))
    assert read_json(typed("accessory", "show", "DROP", "--json"))["price"] == "0.95"
    done(typed("money", "contribute", "0.95", "--till", "cash"))
