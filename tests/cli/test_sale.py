"""Recording a sale by questions, by options and from a file: the same order, stored whole or not at all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.cli.conftest import ADDRESS, LEFT, PAIR, RIGHT, UNSEEN, Typed, done, read_json


def lines(*answers: str) -> str:
    """Write what is typed, one answer a line."""
    return "".join(f"{answer}\n" for answer in answers)


HERS = (
    *("--maker", "Thistledown", "--model", "Rook", "--colour", "ink"),
    *("--eye-size", "50", "--bridge", "20", "--temple", "145"),
)
PAIR_ANSWERS = ("odalys", "", "wren-52", "sv-150", "", "AR", "63", "19")
END_ANSWERS = ("n", "", "CASE=2", "", "", "", "100", "card", "4242", "y")
WHOLE = lines("fernhollow", "y", *PAIR_ANSWERS, *END_ANSWERS)
OPTIONS = (
    *("--customer", "1", *PAIR, "--use", "distance", "--extra", "AR", "--accessory", "CASE=2"),
    *("--pay", "100", "--method", "card", "--reference", "4242"),
)
FILE = """
customer = "Odalys Fernhollow"

[[pair]]
wearer = "Odalys"
frame = "WREN-52"
lens = "SV-150"
use = "distance"
extras = ["AR"]
pd = 63
height = 19

[[accessory]]
code = "CASE"
quantity = 2

[[payment]]
amount = "100.00"
method = "card"
reference = "4242"
"""


TWICE = ("--accept", "ORDER-TWICE")


def recorded(typed: Typed, number: int) -> Any:  # noqa: ANN401 - whatever JSON holds
    """Give a recorded order without the numbers that count up, and without the yes to its being one of several."""
    order = read_json(typed("sale", "show", str(number), "--json"))
    del order["number"]
    order["accepted"] = [each for each in order["accepted"] if each["code"] != "ORDER-TWICE"]
    for pair in order["pairs"]:
        del pair["job"]
    return order


def test_questions_options_and_a_file_record_the_same_order(typed: Typed, tmp_path: Path) -> None:
    """However an order is entered, the ledger holds the same."""
    file = tmp_path / "order.toml"
    file.write_text(FILE, encoding="utf-8")
    done(typed("sale", "record", answers=WHOLE))
    done(typed("sale", "record", *OPTIONS, *TWICE))
    done(typed("sale", "record", "--from", str(file), *TWICE))
    assert recorded(typed, 1) == recorded(typed, 2) == recorded(typed, 3)


def test_the_questions_show_a_running_total(typed: Typed) -> None:
    """Frame 180.00 and lenses 80.00 at list, the coating, then with the offer and shipping, then with the cases."""
    said = done(typed("sale", "record", answers=WHOLE)).stderr
    # By hand: 180.00 + 80.00; + 129.95; less 80.00 + 6.50 shipping; + 2 x 12.00 with 7 % tax.
    totals = [line.split()[2] for line in said.splitlines() if line.startswith("  So far")]
    assert totals == ["260.00,", "389.95,", "316.45,", "342.13,"]


def test_back_changes_the_answer_before(typed: Typed) -> None:
    """Back goes to the question before, as often as wanted, and the new answers count."""
    changed = lines("1", "y", "odalys", "", "wren-52", "prog", "back", "sv-150", "reading", "back", "distance")
    changed += lines("AR", "63", "19")
    done(typed("sale", "record", answers=changed + lines(*END_ANSWERS)))
    done(typed("sale", "record", answers=WHOLE + lines("y")))
    assert recorded(typed, 1) == recorded(typed, 2)


def test_a_wrong_answer_is_asked_for_again(typed: Typed) -> None:
    """Each answer is checked as it is typed."""
    slips = lines("1", "y", "odalys", "", "wrem-52", "wren-52", "sv-150", "near", "", "AR", "6.3", "63", "19")
    said = done(typed("sale", "record", answers=slips + lines(*END_ANSWERS))).stderr
    assert said.count("Error: ") == 3
    assert "WREN-52" in said.partition("Error: ")[2].splitlines()[0]


def test_what_stops_a_pair_leads_back_into_its_questions(typed: Typed) -> None:
    """A progressive without a fitting height cannot be made; the height is asked for again."""
    pair = ("odalys", "", "wren-52", "prog", "", "63", "", "", "19")
    said = done(typed("sale", "record", answers=lines("1", "y", *pair, *END_ANSWERS))).stderr
    assert "HEIGHT-MISSING" in said
    assert read_json(typed("sale", "show", "1", "--json"))["pairs"][0]["measurements"]["right"]["height"] == 19.0


def test_a_second_pair_can_be_asked_for(typed: Typed) -> None:
    """The questions go round for every pair, a reading pair with its near PD among them."""
    reading = ("odalys", "", "wren-52", "sv-150", "reading", "", "31.5 31.0", "60", "18 18.5")
    done(typed("sale", "record", answers=lines("1", "y", *PAIR_ANSWERS, "y", *reading, *END_ANSWERS)))
    pairs = read_json(typed("sale", "show", "1", "--json"))["pairs"]
    assert [pair["use"] for pair in pairs] == ["distance", "reading"]
    assert pairs[1]["measurements"] == {
        "given": "monocular",
        "pd": 62.5,
        "right": {"pd": 31.5, "near_pd": 30.24, "height": 18.0},
        "left": {"pd": 31.0, "near_pd": 29.76, "height": 18.5},
    }


def test_a_near_pd_of_each_eye_can_be_typed(typed: Typed) -> None:
    """Beside PDs of each eye, as one text at the question; beside one PD it is refused with the numbers typed."""
    pair = ("odalys", "", "wren-52", "sv-150", "reading", "", "63", "29/30", "back", "31.5 31", "29.5/29", "18")
    answered = done(typed("sale", "record", answers=lines("1", "y", *pair, *END_ANSWERS)))
    assert "near PD is 29 and 30 beside one PD of 63" in " ".join(answered.stderr.split())
    eyes = read_json(typed("sale", "show", "1", "--json"))["pairs"][0]["measurements"]
    assert (eyes["right"]["near_pd"], eyes["left"]["near_pd"]) == (29.5, 29.0)


def test_a_no_at_the_end_stores_nothing(typed: Typed, everything: Callable[[], bytes]) -> None:
    """The priced order is shown first, and only a yes records it."""
    before = everything()
    result = typed("sale", "record", answers=WHOLE[: -len("y\n")] + "n\n")
    assert result.exit_code == 1
    assert "342.13" in result.stderr
    assert result.stderr.endswith("Nothing was stored.\n")
    assert everything() == before


def test_answers_that_end_in_the_middle_store_nothing(typed: Typed, everything: Callable[[], bytes]) -> None:
    """Half an order is no order, wherever the answers end."""
    before = everything()
    for length in range(1, WHOLE.count("\n")):
        result = typed("sale", "record", answers=lines(*WHOLE.splitlines()[:length]))
        assert (result.exit_code, result.stderr.splitlines()[-1]) == (1, "Nothing was stored.")
    assert everything() == before


def test_a_dry_run_shows_prices_codes_and_findings_and_stores_nothing(
    typed: Typed, everything: Callable[[], bytes]
) -> None:
    """The whole order can be looked at first."""
    before = everything()
    result = done(typed("sale", "record", *OPTIONS, "--dry-run"))
    for part in ("180.00", "-80.00", "64.98", "64.97", "V2103 RT", "V2750 LT", "eligible", "TRACE-MISSING", "342.13"):
        assert part in result.stdout
    assert "Nothing was stored" in result.stderr
    assert everything() == before


def test_the_age_of_the_prescription_is_said_with_the_wearer_and_before_recording(typed: Typed) -> None:
    """When the wearer is picked, in what is shown before the last question, and in a dry run."""
    said = done(typed("sale", "record", answers=WHOLE)).stderr
    whole = "Prescription 1, written 2026-02-20, 10 days old, expires 2028-02-20, by Dr. Imre Castellane"
    assert f"  {whole}\n    right {RIGHT}\n    left {LEFT}\nPrescription, the newest" in said
    before_storing = said[said.index("Prescriptions") : said.index("Record it")]
    assert "1, written 2026-02-20, 10 days old" in before_storing
    planned = done(typed("sale", "record", *OPTIONS, "--dry-run")).stdout
    assert "pair 1, Odalys Fernhollow" in planned
    assert "1, written 2026-02-20, 10 days old" in planned


def test_an_old_prescription_is_asked_about_by_the_owner_s_own_limit(typed: Typed) -> None:
    """Off until it is chosen; then it is told with the wearer, and needs a yes before anything is stored."""
    whose = ("--customer", "1", "--wearer", "Wren", "--prescriber", "Castellane", "--written", "2024-01-15")
    done(typed("prescription", "add", *whose, "--right", "-1.00 DS", "--left", "-1.00 DS"))
    pair = ("--wearer", "Wren", "--frame", "WREN-52", "--lens", "SV-150", "--pd", "54")
    sale = ("sale", "record", "--customer", "1", *pair)
    assert "PRESCRIPTION-OLD" not in done(typed(*sale, "--dry-run")).stdout
    done(typed("shop", "change", "--prescription-months", "24"))
    shown = done(typed(*sale, "--dry-run")).stdout
    assert "2, written 2024-01-15, 2 years old" in shown
    assert "PRESCRIPTION-OLD" in shown
    refused = typed(*sale)
    assert (refused.exit_code, "If it is meant so, add --accept PRESCRIPTION-OLD." in refused.stderr) == (20, True)
    picked = typed("sale", "record", answers="1\ny\nWren\n").stderr
    assert "Prescription 2, written 2024-01-15, 2 years old" in picked
    assert "\n  Warning: The prescription was written 2024-01-15, 2 years old; this shop asks" in picked
    done(typed(*sale, "--accept", "PRESCRIPTION-OLD"))
    done(typed("shop", "change", "--prescription-months", "off"))
    assert "PRESCRIPTION-OLD" not in done(typed(*sale, "--dry-run")).stdout


def test_a_wearer_without_a_prescription_is_told_at_once(typed: Typed) -> None:
    """Before frame and lens are asked for, where it can be added or gone without."""
    said = typed("sale", "record", answers="1\ny\nWren\n").stderr
    assert "Wren Fernhollow has no prescription yet.\nPrescription, of which there is none (none for a pair" in said


def test_a_recorded_order_says_what_comes_next(typed: Typed) -> None:
    """Order and job numbers, what is owed, and the commands that follow."""
    result = done(typed("sale", "record", *OPTIONS))
    for part in ("Order 1", "jobs", "342.13", "242.13"):
        assert part in result.stdout
    assert "shopledger payment take 1 --amount 242.13" in result.stderr
    assert "shopledger receipt issue 1" in result.stderr


def test_a_file_stands_alone(typed: Typed, tmp_path: Path) -> None:
    """An option beside a file would leave open which of them counts."""
    file = tmp_path / "order.toml"
    file.write_text(FILE, encoding="utf-8")
    assert typed("sale", "record", "--from", str(file), "--customer", "1").exit_code == 2


def test_options_without_a_terminal_name_what_is_missing(typed: Typed) -> None:
    """Nothing is asked where nobody can answer."""
    assert "--customer is missing" in typed("sale", "record").stderr
    assert "--lens is missing" in typed("sale", "record", "--customer", "1", *PAIR[:4]).stderr
    assert "--method is missing" in typed("sale", "record", "--customer", "1", *PAIR, "--pay", "5").stderr


def test_measurements_are_whole(typed: Typed) -> None:
    """A PD is for both eyes or for each, and a height alone is not enough."""
    pair = ("sale", "record", "--customer", "1", *PAIR[:6])
    assert "--pd is missing" in typed(*pair, "--height", "19").stderr
    assert "for both eyes and for one" in typed(*pair, "--pd", "63", "--pd-left", "31").stderr
    assert "given together" in typed(*pair, "--pd-left", "31").stderr


def test_orders_are_listed_newest_first(typed: Typed) -> None:
    """The list shows what is owed and what was shipped."""
    for accepted in ((), TWICE):
        done(typed("sale", "record", "--customer", "1", "--accessory", "CASE", *accepted))
    done(typed("sale", "ship", "1", "--carrier", "post"))
    listed = read_json(typed("sale", "list", "--customer", "Odalys Fernhollow", "--json"))["orders"]
    assert [(order["number"], order["shipped_on"]) for order in listed] == [(2, None), (1, "2026-03-02")]
    assert "19.34" in done(typed("sale", "list")).stdout


def test_accessories_alone_can_be_asked_for(typed: Typed) -> None:
    """An order needs no glasses, but it needs something."""
    result = done(
        typed("sale", "record", answers=lines("1", "perhaps", "n", "", "", "CORD", "CASE", "", "-1", "0", "", "", "y"))
    )
    assert result.stderr.count("Error: ") == 4
    assert read_json(typed("sale", "show", "1", "--json"))["total"] == "12.84"


def test_a_payment_is_held_to_what_is_owed_as_it_is_typed(typed: Typed) -> None:
    """The questions end with an order that can be stored, so a slip at their end costs no second round."""
    end = ("1", "n", "", "CASE", "", "", "", "900", "-5", "19.34", "card", "4242424242424242", "4242", "y")
    result = done(typed("sale", "record", answers=lines(*end)))
    assert "only 19.34 is owed" in result.stderr
    assert "16 digits" in result.stderr
    assert read_json(typed("sale", "show", "1", "--json"))["balance"] == "0.00"


def test_back_leads_out_of_a_pair_that_cannot_be(typed: Typed) -> None:
    """A progressive too low for its corridor is asked about again; back, as often as needed, leads to another lens."""
    pair = ("odalys", "", "wren-52", "prog", "", "63", "", "10", *("back",) * 4, "sv-150", "", "", "63", "19")
    said = done(typed("sale", "record", answers=lines("1", "y", *pair, *END_ANSWERS))).stderr
    assert "Type 'back'" in said
    assert read_json(typed("sale", "show", "1", "--json"))["pairs"][0]["lens"] == "SV-150"


def test_a_frame_that_is_not_on_hand_is_refused_as_it_is_typed(typed: Typed) -> None:
    """One that the wearer has already need not be."""
    done(typed("stock", "count", "WREN-52", "--counted", "0"))
    done(typed("frame", "add", "HERS", *HERS, "--owned-by", "1"))
    pair = ("odalys", "", "wren-52", "hers", "sv-150", "", "", "63", "19")
    said = done(typed("sale", "record", answers=lines("1", "y", *pair, *END_ANSWERS))).stderr
    assert "0 on hand" in said
    assert read_json(typed("sale", "show", "1", "--json"))["pairs"][0]["frame"] == "HERS"


def test_back_from_the_question_after_a_pair_changes_the_pair(typed: Typed) -> None:
    """Even after the pair was priced."""
    done(typed("sale", "record", answers=lines("1", "y", *PAIR_ANSWERS, "back", "18", *END_ANSWERS)))
    assert read_json(typed("sale", "show", "1", "--json"))["pairs"][0]["measurements"]["left"]["height"] == 18.0


def test_the_wearer_s_own_frame_is_not_charged(typed: Typed) -> None:
    """Said behind the frame's code, since the code may be the shop's."""
    pair = (
        "fern",
        "odalys",
        "",
        "wren-52 mine",
        "wren-52 own",
        "sv-150",
        "multifocal",
        "reading",
        "",
        "1 2 3",
        "63",
        "60",
        "",
    )
    done(typed("sale", "record", answers=lines("1", "y", *pair, *END_ANSWERS)))
    order = read_json(typed("sale", "show", "1", "--json"))
    assert [line["kind"] for line in order["lines"]] == ["lenses", "accessory", "shipping"]
    assert order["pairs"][0]["measurements"]["right"] == {"pd": 31.5, "near_pd": 30.0, "height": None}


def test_a_customer_without_wearers_may_add_one_or_go_back(typed: Typed) -> None:
    """A pair needs somebody whose eyes it is for; accessories do not."""
    done(typed("customer", "add", "--name", "Bram Ollerenshaw", *ADDRESS, "--not-a-wearer"))
    result = done(typed("sale", "record", answers=lines("Bram", "y", "back", "n", "", "CASE", "", "", "", "y")))
    assert "Wearer, of whom none is known yet, or new: back" in result.stderr


def test_a_payment_is_taken_by_questions(typed: Typed) -> None:
    """What no option says is asked for."""
    done(typed("sale", "record", "--customer", "1", "--accessory", "CASE"))
    result = done(typed("payment", "take", "1", answers=lines("19.34", "cheque", "check", "1187")))
    assert "paid in full" in result.stderr
    assert "Did you mean check?" in result.stderr


def test_a_shipment_and_a_receipt_ask_for_what_is_missing(typed: Typed, tmp_path: Path) -> None:
    """A carrier is asked for at a terminal, and named where nobody can answer; for whom, where there is a choice."""
    done(typed("sale", "record", *OPTIONS[:-6], "--pay", "342.13", "--method", "cash"))
    assert "--carrier is missing" in typed("sale", "ship", "1").stderr
    assert "post 77" in done(typed("sale", "ship", "1", *UNSEEN, answers=lines("post", "77"))).stdout
    assert "For whom" not in done(typed("receipt", "issue", "1", "--into", str(tmp_path), answers="")).stderr


TWO = """
customer = "1"
shipping = "0"
pair = [
    { wearer = "Odalys", frame = "WREN-52", lens = "SV-150", pd = 63, frame_owned = true },
    { wearer = "Wren", frame = "WREN-52", lens = "SV-150", without_prescription = true, frame_owned = true },
]
"""


def test_whose_goods_are_is_asked_one_by_one_where_several_have_glasses(typed: Typed) -> None:
    """Each is given to a wearer or to nobody; an answer that is neither is asked for again."""
    eyes = ("--right", "-1.00 DS", "--left", "-1.00 DS")
    who = ("--customer", "1", "--wearer", "Wren", "--prescriber", "1", "--written", "2026-03-01")
    done(typed("prescription", "add", *who, *eyes))
    wrens = ("wren", "", "wren-52", "sv-150", "", "", "54", "")
    end = ("n", "", "CASE CASE=2", "bram", "wren", "nobody", "0", "", "", "y")
    said = done(typed("sale", "record", answers=lines("1", "y", *PAIR_ANSWERS, "y", *wrens, *end)))
    assert "Whose: CASE (Odalys Fernhollow, Wren Fernhollow or nobody)" in said.stderr
    goods = [line for line in recorded(typed, 1)["lines"] if line["kind"] == "accessory"]
    assert [(line["quantity"], line["wearer"]) for line in goods] == [(1, 2), (2, None)]


def test_whose_goods_are_is_an_option_and_a_key_of_the_file(typed: Typed, tmp_path: Path) -> None:
    """Nothing said is the one wearer's; `nobody` and a name win; without goods the option is refused."""
    for more, wearer in (((), 1), (("--goods-for", "nobody"), None), (("--goods-for", "odalys", *TWICE), 1)):
        done(typed("sale", "record", "--customer", "1", *PAIR, "--accessory", "CASE", *more))
        number = len(read_json(typed("sale", "list", "--json"))["orders"])
        assert (
            next(line for line in recorded(typed, number)["lines"] if line["kind"] == "accessory")["wearer"] == wearer
        )
    refused = typed("sale", "record", "--customer", "1", *PAIR, "--goods-for", "odalys")
    assert (refused.exit_code, "--goods-for belongs to --accessory and --frame-only" in refused.stderr) == (2, True)
    file = tmp_path / "order.toml"
    goods = '[[accessory]]\ncode = "CASE"\n'
    file.write_text(TWO + goods, encoding="utf-8")
    assert "whose CASE is was not said" in typed("sale", "record", "--from", str(file)).stderr
    file.write_text(f'{TWO}{goods}wearer = "Nobody"\n', encoding="utf-8")
    done(typed("sale", "record", "--from", str(file)))
    assert recorded(typed, 4)["lines"][-1]["wearer"] is None
    assert (
        "is for Odalys Fernhollow and Wren Fernhollow" in typed("receipt", "issue", "4", "--into", str(tmp_path)).stderr
    )
    asked = done(typed("receipt", "issue", "4", "--not-paid-in-full", "--into", str(tmp_path), answers=lines("nobody")))
    assert "For whom (Odalys Fernhollow, Wren Fernhollow or nobody)" in asked.stderr


def test_an_overtaken_receipt_is_told_of_wherever_it_is_seen(typed: Typed, tmp_path: Path) -> None:
    """In the list, when it is shown and when it is printed again, with what to type next."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    done(typed("receipt", "issue", "1", "--into", str(tmp_path)))
    assert "to replace" not in done(typed("receipt", "list")).stdout
    done(typed("refund", "give", "1", "--line", "1=50.00", "--method", "cash", "--reason", "scratched"))
    assert "to replace" in done(typed("receipt", "list")).stdout
    for command in (("show", "1"), ("print", "1", "--into", str(tmp_path))):
        assert "Receipt 1 was overtaken" in typed("receipt", *command).stderr
    assert read_json(typed("receipt", "show", "1", "--json"))["overtaken"]
    done(typed("receipt", "replace", "1", "--reason", "a scratch", "--into", str(tmp_path)))
    assert not any(each["overtaken"] for each in read_json(typed("receipt", "list", "--json"))["receipts"])


def test_an_order_shows_why_it_was_shipped_without_an_inspection(typed: Typed) -> None:
    """For each job that lacked one; nothing before it was shipped."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    assert read_json(typed("sale", "show", "1", "--json"))["without_inspection"] == []
    done(typed("sale", "ship", "1", "--carrier", "post", *UNSEEN))
    shown = read_json(typed("sale", "show", "1", "--json"))
    assert shown["without_inspection"] == [{"job": 1, "reason": "shown at the counter"}]
    assert "job 1: shown at the counter" in done(typed("sale", "show", "1")).stdout


def test_an_exempt_order_is_recorded_by_each_way(typed: Typed, tmp_path: Path) -> None:
    """By a question, an option or the file: no tax, and the reason with the order."""
    why = "resale certificate 77-1042"
    file = tmp_path / "order.toml"
    file.write_text(f'customer = "1"\ntax_exempt = "{why}"\n[[accessory]]\ncode = "CASE"\n', encoding="utf-8")
    done(typed("sale", "record", answers=lines("1", "n", "", "CASE", "", "", why, "", "y")))
    done(typed("sale", "record", "--customer", "1", "--accessory", "CASE", "--tax-exempt", why, *TWICE))
    done(typed("sale", "record", "--from", str(file), *TWICE))
    for number in ("1", "2", "3"):
        order = read_json(typed("sale", "show", number, "--json"))
        assert (order["tax_exempt"], order["tax_total"]) == (why, "0.00")
        assert {line["tax_reason"] for line in order["lines"]} == {why}


def test_a_frame_without_lenses_needs_a_word_on_its_demo_lenses(typed: Typed, tmp_path: Path) -> None:
    """By a question, an option or the file; without the word it is refused, and the word alone too."""
    file = tmp_path / "order.toml"
    rows = '[[frame]]\ncode = "WREN-52"\ndemo_lenses = "removed"\n'
    file.write_text(f'customer = "1"\n{rows}', encoding="utf-8")
    option = ("sale", "record", "--customer", "1", "--frame-only", "WREN-52")
    assert "--demo-lenses is missing" in typed(*option).stderr
    assert "belongs to --frame-only" in typed(*option[:-2], "--accessory", "CASE", "--demo-lenses", "removed").stderr
    done(typed("sale", "record", answers=lines("1", "n", "wren-52", "thrown", "removed", "", "", "", "", "", "y")))
    done(typed(*option, "--demo-lenses", "removed", *TWICE))
    done(typed("sale", "record", "--from", str(file), *TWICE))
    assert recorded(typed, 1) == recorded(typed, 2) == recorded(typed, 3)
    line = read_json(typed("sale", "show", "1", "--json"))["lines"][0]
    assert (line["kind"], line["demo_lenses"], line["pair"]) == ("frame", "removed", None)


ONE_LENS = """
customer = "Odalys Fernhollow"

[[pair]]
wearer = "Odalys"
frame = "WREN-52"
lens = "SV-150"
use = "distance"
extras = ["AR"]
left_making = "kept"
pd = 63
height = 19
"""


def test_one_lens_is_the_same_order_however_it_is_entered(typed: Typed, tmp_path: Path) -> None:
    """Typed behind the code at a question, as --only, or for the eye that keeps its lens in a file."""
    file = tmp_path / "order.toml"
    file.write_text(ONE_LENS, encoding="utf-8")
    pair = ("odalys", "", "wren-52", "sv-150 up", "sv-150 right", "", "AR", "63", "19")
    done(typed("sale", "record", answers=lines("1", "y", *pair, "n", "", "", "", "", "", "y")))
    done(
        typed(
            "sale", "record", "--customer", "1", *PAIR, "--use", "distance", "--extra", "AR", "--only", "right", *TWICE
        )
    )
    done(typed("sale", "record", "--from", str(file), *TWICE))
    assert recorded(typed, 1) == recorded(typed, 2) == recorded(typed, 3)
    order = recorded(typed, 1)
    assert order["pairs"][0]["left"]["making"] == "kept"
    assert [charge["modifier"] for line in order["lines"] for charge in line["charges"]] == ["", "RT", "RT", ""]


def test_a_power_between_two_quarters_is_a_question(typed: Typed) -> None:
    """At a terminal the three ways are asked for; elsewhere it is a warning that a choice or a yes answers."""
    done(
        typed(
            *("prescription", "add", "--customer", "1", "--wearer", "Odalys", "--prescriber", "1"),
            *("--written", "2026-03-01", "--right", "+2.00 DS add 1.75", "--left", "+2.00 DS add 1.75"),
            *("--accept", "CHANGE-UNUSUAL", "--accept", "ADD-CHANGE"),
        )
    )
    pair = ("odalys", "", "wren-52", "sv-150", "screen", "", "less", "63", "60", "19")
    done(typed("sale", "record", answers=lines("1", "y", *pair, "n", "", "", "", "", "", "y")))
    assert recorded(typed, 1)["pairs"][0]["made"]["right"]["sphere"] == 2.75
    refused = typed("sale", "record", "--customer", "1", *PAIR, "--use", "screen", "--near-pd", "60")
    assert "[MADE-OFF-QUARTER]" in refused.stderr
    screen = ("--use", "screen", "--near-pd", "60", "--off-step", "more")
    done(typed("sale", "record", "--customer", "1", *PAIR, *screen, *TWICE))
    assert recorded(typed, 2)["pairs"][0]["made"]["left"]["sphere"] == 3.0


def test_what_was_owed_before_is_paid_without_a_word_of_shipping_or_receipts(typed: Typed) -> None:
    """Its goods left long before these books began: nothing is still to ship, and no receipt is offered."""
    said = done(typed("sale", "owed-before", "1", "120", "--about", "invoice 88")).output
    assert "before these books began" in said
    assert "not yet" not in said
    assert "before" in done(typed("sale", "list")).output
    paid = done(typed("payment", "take", "1", "--amount", "120", "--method", "cash")).output
    assert "is paid in full" in paid
    assert "receipt" not in paid
