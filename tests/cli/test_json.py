"""The form of every JSON result is a promise: other programs read it, so a name or a kind of value never changes."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

from tests.cli.conftest import ADDRESS, LEFT, PAIR, RIGHT, SENT, UNSEEN, Typed, done, read_json

HOME = {"street": "18 Tansy Lane", "second_line": "", "city": "Millbrae", "state": "OH", "zip": "43002"}
ODALYS = {
    "number": 1,
    "name": "Odalys Fernhollow",
    "address": HOME,
    "phone": "555-0142",
    "email": "",
    "printed_name": "",
    "erased_on": None,
}
RIGHT_EYE = {
    "written": RIGHT,
    "sphere": -2.5,
    "cylinder": -1.25,
    "axis": 90.0,
    "add": 2.0,
    "prism": [],
    "balance": False,
}
LEFT_EYE = {
    "written": LEFT,
    "sphere": -2.25,
    "cylinder": -1.0,
    "axis": 85.0,
    "add": 2.0,
    "prism": [],
    "balance": False,
}
WRITTEN = {
    "number": 1,
    "wearer": 1,
    "prescriber": 1,
    "written_on": "2026-02-20",
    "expires_on": "2028-02-20",
    "intermediate": None,
    "document": "",
    "diagnoses": [],
    "file_sha256": None,
    "right": RIGHT_EYE,
    "left": LEFT_EYE,
}
MEASURED = {
    "given": "binocular",
    "pd": 63.0,
    "right": {"pd": 31.5, "near_pd": None, "height": 19.0},
    "left": {"pd": 31.5, "near_pd": None, "height": 19.0},
}
ITS_OWN = {"moved_from": None, "corrects": None}
"""What a payment says that came in by itself."""


def shape(value: Any) -> Any:  # noqa: ANN401 - whatever JSON holds
    """Give the names and kinds of values without the values, for what is too long to write out."""
    if isinstance(value, dict):
        return {name: shape(each) for name, each in value.items()}
    if isinstance(value, list):
        return [shape(value[0])] if value else []
    return type(value).__name__


def test_the_shop(typed: Typed) -> None:
    """The shop with its settings."""
    assert read_json(typed("shop", "show", "--json")) == {
        "name": "Larkspur Optical",
        "address": {"street": "9 Mill Row", "second_line": "", "city": "Millbrae", "state": "OH", "zip": "43002"},
        "phone": "555-0100",
        "email": "",
        "ein": "12-3456789",
        "npi": "",
        "receipt_wording": "",
        "settings": {
            "tax_rounding": "line",
            "progressive_share": "50 %",
            "screen_share": "50 %",
            "blank_allowance": 2.0,
            "shipping_charge": "6.50",
            "paper": "letter",
            "standard_bifocal": None,
            "progressive_base": "bifocal",
            "standard_frame": None,
            "accounting": "accrual",
            "inventory_view": "inventory",
            "advances": "with goods",
            "prescription_months": None,
        },
    }


def test_customers(typed: Typed) -> None:
    """A customer by itself, in a list, and with wearers."""
    wearer = {
        "number": 1,
        "name": "Odalys Fernhollow",
        "customer": 1,
        "relationship": "self",
        "birth_date": None,
        "member_id": "",
        "printed_name": "",
        "claim_within_days": None,
        "erased_on": None,
    }
    child = {**wearer, "number": 2, "name": "Wren Fernhollow", "relationship": "child"}
    assert read_json(typed("customer", "find", "fernh", "--json")) == {"customers": [ODALYS]}
    assert read_json(typed("customer", "show", "1", "--json")) == {
        **ODALYS,
        "joined": [],
        "wearers": [{**wearer, "prescription": WRITTEN}, {**child, "prescription": None}],
    }
    added = read_json(typed("customer", "add", "--name", "Bram Ollerenshaw", *ADDRESS, "--json"))
    assert added == {**ODALYS, "number": 2, "name": "Bram Ollerenshaw", "phone": ""}


def test_wearers_and_prescribers(typed: Typed) -> None:
    """A new wearer and a new prescriber."""
    words = (
        "--customer",
        "1",
        "--name",
        "Tam",
        "--relationship",
        "spouse",
        "--born",
        "04/05/1980",
        "--member-id",
        "M7",
    )
    assert read_json(typed("wearer", "add", *words, "--json")) == {
        "number": 3,
        "name": "Tam",
        "customer": 1,
        "relationship": "spouse",
        "birth_date": "1980-04-05",
        "member_id": "M7",
        "printed_name": "",
        "claim_within_days": None,
        "erased_on": None,
    }
    castellane = {"number": 1, "name": "Dr. Imre Castellane", "phone": "", "npi": ""}
    assert read_json(typed("prescriber", "list", "--json")) == {"prescribers": [castellane]}
    other = {"number": 2, "name": "Dr. Hale", "phone": "555-0177", "npi": "1234567893"}
    named = ("--name", "Dr. Hale", "--phone", "555-0177", "--npi", "1234567893")
    assert read_json(typed("prescriber", "add", *named, "--json")) == other


def test_goods(typed: Typed) -> None:
    """Each kind of goods."""
    assert read_json(typed("frame", "show", "wren-52", "--json")) == {
        "code": "WREN-52",
        "maker": "Thistledown",
        "model": "Wren",
        "colour": "slate",
        "eye_size": 52.0,
        "bridge": 18.0,
        "temple": 140.0,
        "price": "180.00",
        "cost": "61.00",
        "on_hand": 3,
        "owned_by": None,
    }
    assert read_json(typed("lens", "show", "PROG", "--json")) == {
        "code": "PROG",
        "name": "Plain progressive",
        "design": "progressive",
        "material": "hard resin 1.50",
        "material_class": "plastic",
        "index": 1.498,
        "abbe": 58.0,
        "density": 1.32,
        "price": "260.00",
        "cost": "70.00",
        "corridor": 12.0,
        "min_fitting_height": 16.0,
        "blank_diameters": [75.0],
        "min_centre": 2.0,
        "min_edge": 1.0,
        "design_part": "0.00",
        "material_part": "0.00",
        "segment_shape": None,
        "segment_width": None,
        "intermediate_depth": None,
        "fitting_in": None,
        "fitting_up": None,
        "distance_up": None,
        "max_fitting_height": None,
        "thinning_prism": None,
    }
    coating = {"code": "AR", "name": "Anti-reflective coating", "kind": "anti-reflective"}
    assert read_json(typed("extra", "list", "--json")) == {"extras": [{**coating, "price": "129.95", "cost": "30.00"}]}
    case = {
        "code": "CASE",
        "name": "Hard case",
        "price": "12.00",
        "cost": "4.00",
        "tax_category": "accessory",
        "reimbursement": "plan decides",
        "claim_code": "",
        "on_hand": 10,
    }
    assert read_json(typed("accessory", "list", "--json")) == {"accessories": [case]}


def test_terms(typed: Typed) -> None:
    """Offers and tax rates."""
    assert read_json(typed("offer", "show", "SV-FREE", "--json")) == {
        "code": "SV-FREE",
        "name": "Single vision lenses included with a frame",
        "kind": "included",
        "needs": [{"kind": "frame", "design": None, "code": None}],
        "reduces": [{"kind": "lenses", "design": "single vision", "code": None}],
        "percent": None,
        "price": None,
        "sharing": "reduced lines",
        "automatic": True,
        "from_pair": 1,
        "starts": None,
        "ends": None,
    }
    rate: dict[str, object] = {"state": "OH", "category": "accessory", "rate": "7 %", "from": "2020-01-01"}
    rate |= {"imposed_on": "buyer", "exempt_reason": "", "place": "", "to": None, "zips": "", "as_goods": False}
    assert read_json(typed("tax", "list", "--json")) == {"rates": [rate]}


def test_stock(typed: Typed) -> None:
    """What is on hand, what came in, what was counted."""
    wren: dict[str, object] = {
        "kind": "frame", "code": "WREN-52", "description": "Thistledown Wren, slate, 52-18-140", "on_hand": 3,
        "set_aside": 0, "free": 3, "last_cost": "61.00", "value": "183.00",
    }  # fmt: skip
    case = {
        "kind": "accessory", "code": "CASE", "description": "Hard case", "on_hand": 10, "set_aside": 0, "free": 10,
        "last_cost": "4.00", "value": "40.00",
    }  # fmt: skip
    assert read_json(typed("stock", "list", "--json")) == {"stock": [wren, case]}
    came = typed("stock", "receive", "WREN-52", "--quantity", "2", "--unit-cost", "60", "--json")
    assert read_json(came) == {"code": "WREN-52", "on_hand": 5, "bill": 1}
    counted = typed("stock", "count", "CASE", "--kind", "accessory", "--counted", "8", "--json")
    assert read_json(counted) == {"code": "CASE", "on_hand": 8, "difference": -2, "cost": "-8.00"}
    low = {**wren, "on_hand": 5, "free": 5, "last_cost": "60.00", "value": "303.00"}
    assert read_json(typed("stock", "low", "--below", "5", "--json")) == {
        "below": 5, "stock": [{**low, "last_sold": None, "sold_in_90_days": 0}],
    }  # fmt: skip


def test_stock_that_leaves_and_its_worth(typed: Typed) -> None:
    """A write-off, a gift and goods taken home; then value, lots, movements and age."""
    movement: dict[str, object] = {
        "day": "2026-03-02", "quantity": -1, "cost": "-61.00", "order": None, "job": None, "bill": None,
        "parcel": None,
    }  # fmt: skip
    broken = typed("stock", "write-off", "WREN-52", "--reason", "hinge broken", "--json")
    assert read_json(broken) == {
        "code": "WREN-52", "movement": 3, "reason": "written off", "note": "hinge broken", "on_hand": 2, "set_aside": 0,
        "free": 2, **movement,
    }  # fmt: skip
    given = read_json(typed("stock", "give", "WREN-52", "--note", "sample", "--json"))
    assert (given["reason"], given["cost"], given["on_hand"]) == ("given away", "-61.00", 1)
    home = read_json(typed("stock", "take-home", "CASE", "--kind", "accessory", "--quantity", "2", "--json"))
    assert (home["reason"], home["cost"], home["on_hand"]) == ("own use", "-8.00", 8)
    case = {"kind": "accessory", "code": "CASE", "description": "Hard case"}
    wren = {"kind": "frame", "code": "WREN-52", "description": "Thistledown Wren, slate, 52-18-140"}
    lot = {"day": "2026-03-02", "reason": "opening", "bill": None}
    assert read_json(typed("stock", "value", "--on", "2026-03-02", "--lots", "--json")) == {
        "day": "2026-03-02",
        "items": [
            {**case, "on_hand": 8, "cost": "32.00", "lots": [{"lot": 2, **lot, "on_hand": 8, "cost": "32.00"}]},
            {**wren, "on_hand": 1, "cost": "61.00", "lots": [{"lot": 1, **lot, "on_hand": 1, "cost": "61.00"}]},
        ],
        "total": "93.00",
        "inventory_account": "93.00",
    }
    assert "lots" not in read_json(typed("stock", "value", "--json"))["items"][0]
    history = read_json(typed("stock", "history", "WREN-52", "--json"))
    assert [history["kind"], history["code"]] == ["frame", "WREN-52"]
    assert history["movements"][1] == {
        "movement": 3, "reason": "written off", "note": "hinge broken", "on_hand": 2, "value": "122.00", **movement,
    }  # fmt: skip
    aged = read_json(typed("stock", "ageing", "--json"))
    assert aged["day"] == "2026-03-02"
    assert {key: aged["stock"][1][key] for key in wren} == wren
    assert aged["stock"][1]["bands"] == [
        {"days": "up to 30", "on_hand": 1, "cost": "61.00"},
        *({"days": days, "on_hand": 0, "cost": "0.00"} for days in ("31 to 90", "91 to 180", "181 to 365", "older")),
    ]


def test_suppliers(typed: Typed) -> None:
    """A supplier, alone, in the list, and with the open bills."""
    given = ("--name", "Tollgate Frames", "--account", "P-118", "--phone", "555-0188", "--email", "desk@example.com")
    tollgate = {
        "number": 1,
        "name": "Tollgate Frames",
        "account": "P-118",
        "phone": "555-0188",
        "email": "desk@example.com",
        "note": "frames",
    }
    assert read_json(typed("supplier", "add", *given, "--json")) == {**tollgate, "note": ""}
    assert read_json(typed("supplier", "change", "1", "--note", "frames", "--json")) == tollgate
    assert read_json(typed("supplier", "list", "--json")) == {"suppliers": [tollgate]}
    card = {**tollgate, "owed": "0.00", "open_bills": []}
    assert read_json(typed("supplier", "show", "1", "--json")) == card


def test_bills(typed: Typed) -> None:
    """A bill with all that happened to it, and the list."""
    done(typed("supplier", "add", "--name", "Tollgate Frames"))
    done(typed("sale", "record", "--customer", "1", *PAIR))
    words = ("--stock", "WREN-52=2@65.00", "--job", "1=20", "--expense", "supplies=18", "--freight", "15")
    asked = ("bill", "record", "1", "--invoice", "TG-1", "--due", "2026-04-01", "--note", "two boxes", *words)
    nothing = {"item_kind": None, "code": "", "quantity": 0, "job": None, "category": None}
    head: dict[str, Any] = {
        "number": 1,
        "supplier": {"number": 1, "name": "Tollgate Frames"},
        "invoice": "TG-1",
        "day": "2026-03-02",
        "due": "2026-04-01",
        "total": "183.00",
        "paid": "0.00",
        "credited": "0.00",
        "changed": "0.00",
        "balance": "183.00",
        "taken_back": None,
    }
    wren = {"item_kind": "frame", "code": "WREN-52", "quantity": 2, "description": "Thistledown Wren, slate, 52-18-140"}
    # 15.00 of freight over 130.00 and 20.00 is 13.00 and 2.00.
    bill = {
        **head,
        "note": "two boxes",
        "file": None,
        "lines": [
            {**nothing, "kind": "stock", **wren, "amount": "130.00", "landed": "143.00"},
            {**nothing, "kind": "job", "description": "", "job": 1, "amount": "20.00", "landed": "22.00"},
            {
                **nothing,
                "kind": "expense",
                "description": "",
                "category": "supplies",
                "amount": "18.00",
                "landed": "18.00",
            },
            {**nothing, "kind": "freight", "description": "freight", "amount": "15.00", "landed": "0.00"},
        ],
        "payments": [],
        "sent_back": [],
        "changes": [],
    }
    assert read_json(typed(*asked, "--dry-run", "--json")) == {**bill, "number": None, "findings": []}
    assert read_json(typed(*asked, "--json")) == bill
    listed = {**head, "overdue": False}
    assert read_json(typed("bill", "list", "--json")) == {"bills": [listed], "owed": "183.00"}
    done(typed("bill", "pay", "1", "100", "--method", "bank", "--reference", "1187"))
    back = ("--item", "WREN-52", "--quantity", "1", "--credit", "60", "--reason", "hinge loose")
    assert read_json(typed("bill", "send-back", "1", *back, "--json")) == {
        **bill,
        "paid": "100.00",
        "credited": "60.00",
        "balance": "23.00",
        "payments": [{"number": 1, "day": "2026-03-02", "amount": "100.00", "method": "bank", "reference": "1187"}],
        "sent_back": [
            {
                "movement": 4,
                "day": "2026-03-02",
                "code": "WREN-52",
                "quantity": 1,
                "cost": "71.50",
                "credit": "60.00",
                "reason": "hinge loose",
            }
        ],
    }


def test_margins(typed: Typed) -> None:
    """What a job brought, and what an order brought."""
    done(typed("supplier", "add", "--name", "Brightwater Lab"))
    done(typed("sale", "record", "--customer", "1", *PAIR, "--accessory", "CASE"))
    done(typed("bill", "record", "1", "--job", "1=42.50"))
    done(typed("sale", "ship", "1", "--carrier", "Parcel post", *UNSEEN))
    # 180.00 less 61.00 and 42.50; a case at 12.00 that cost 4.00.
    figures = {"net": "180.00", "goods": "61.00", "lenses": "42.50", "margin": "76.50", "per_cent": "42.5"}
    job = {"job": 1, "order": 1, **figures, "scrapped": "0.00", "marks": []}
    assert read_json(typed("job", "margin", "1", "--json")) == job
    assert read_json(typed("job", "margin", "--json")) == {"jobs": [job]}
    assert read_json(typed("sale", "margin", "1", "--json")) == {
        "order": 1,
        "jobs": [job],
        "other_goods": {"net": "12.00", "goods": "4.00", "lenses": "0.00", "margin": "8.00", "per_cent": "66.7"},
        "whole": {"net": "192.00", "goods": "65.00", "lenses": "42.50", "margin": "84.50", "per_cent": "44.0"},
    }


def test_prescriptions(typed: Typed) -> None:
    """A prescription as recorded, and as checked."""
    names = {"file_name": "", "wearer_name": "Odalys Fernhollow", "prescriber_name": "Dr. Imre Castellane"}
    assert read_json(typed("prescription", "show", "1", "--json")) == {**WRITTEN, **names}
    checked = read_json(
        typed("prescription", "check", "--right", RIGHT, "--left", "-2.37 -1.00 x 085 add 2.00", "--json")
    )
    assert checked["right"] == RIGHT_EYE
    assert checked["findings"] == [
        {
            "severity": "warning",
            "code": "OFF-QUARTER",
            "field": "left.sphere",
            "value": "-2.37",
            "limit": "0.25 D",
            "source": "common_practice",
            "sentence": "The left sphere is -2.37; powers are written in steps of 0.25. Check the prescription.",
        }
    ]


def test_a_priced_order(typed: Typed) -> None:
    """An order before it is recorded: every line, every charge, the sums."""
    order = read_json(typed("sale", "record", "--customer", "1", *PAIR, "--accessory", "CASE", "--dry-run", "--json"))
    frame, lenses, case, shipping = order.pop("lines")
    assert lenses["charges"][0]["code"] == "V2103"
    assert case == {
        "line": 3,
        "kind": "accessory",
        "code": "CASE",
        "description": "Hard case",
        "quantity": 1,
        "pair": None,
        "wearer": 1,
        "list": "12.00",
        "reduction": "0.00",
        "net": "12.00",
        "offer": "",
        "tax_category": "accessory",
        "tax_rate": "7 %",
        "tax": "0.84",
        "tax_imposed_on": "buyer",
        "tax_reason": "",
        "tax_place": "",
        "tax_free": "0.00",
        "demo_lenses": None,
        "added_by": None,
        "reimbursement": "plan decides",
        "reimbursement_reason": case["reimbursement_reason"],
        "charges": [
            {
                "description": "Hard case",
                "code": "",
                "modifier": "",
                "units": 1,
                "list": "12.00",
                "reduction": "0.00",
                "net": "12.00",
                "note": case["charges"][0]["note"],
                "chosen": False,
                "release": "",
            }
        ],
    }
    assert [line["net"] for line in (frame, lenses, shipping)] == ["180.00", "0.00", "6.50"]
    (pair,) = order.pop("pairs")
    assert pair.pop("made")["right"] == {**RIGHT_EYE, "written": "-2.50 -1.25 x 090", "add": None}
    assert pair == {
        "position": 1,
        "job": None,
        "wearer": 1,
        "frame": "WREN-52",
        "lens": "SV-150",
        "use": "distance",
        "extras": [],
        "prescription": 1,
        "measurements": MEASURED,
        "note": "",
        "right": {"making": "new", "lens": "", "extras": []},
        "left": {"making": "new", "lens": "", "extras": []},
        "again": None,
        "taken_out_by": None,
    }
    assert {finding["code"] for finding in order.pop("findings")} >= {"TRACE-MISSING"}
    assert order == {
        "number": None,
        "customer": 1,
        "customer_name": "Odalys Fernhollow",
        "day": "2026-03-02",
        "list_total": "278.50",
        "reduction_total": "80.00",
        "net_total": "198.50",
        "tax_total": "0.84",
        "total": "199.34",
        "accepted": [],
        "note": "",
        "tax_exempt": "",
        "paid": "0.00",
        "balance": "199.34",
    }


def test_an_order_with_its_payments_and_shipment(typed: Typed) -> None:
    """An order after it was recorded, paid and shipped."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "100", "--method", "card", "--reference", "4242"))
    paid = read_json(typed("payment", "take", "1", "--amount", "86.50", "--method", "check", "--json"))
    assert paid["payments"] == [
        {"day": "2026-03-02", "amount": "100.00", "method": "card", "reference": "4242", **ITS_OWN},
        {"day": "2026-03-02", "amount": "86.50", "method": "check", "reference": "", **ITS_OWN},
    ]
    assert (paid["paid"], paid["balance"], paid["parcels"], paid["shipped_on"]) == ("186.50", "0.00", [], None)
    shipped = read_json(typed("sale", "ship", "1", "--carrier", "post", "--tracking", "77", *UNSEEN, "--json"))
    (parcel,) = shipped["parcels"]
    assert (parcel["number"], parcel["order"], parcel["again_of"], parcel["came_back"]) == (1, 1, None, None)
    assert (parcel["day"], parcel["carrier"], parcel["tracking"]) == ("2026-03-02", "post", "77")
    assert parcel["items"] == [
        {"job": 1, "line": None, "quantity": 1},
        {"job": None, "line": 1, "quantity": 1},
    ]
    assert parcel["ship_to"] == shipped["ship_to"]
    assert shipped["shipped_on"] == "2026-03-02"
    shown = read_json(typed("sale", "show", "1", "--json"))
    assert (shown["number"], shown["pairs"][0]["job"]) == (1, 1)
    assert (shown["refunds"], shown["refunded"], shown["cancelled"]) == ([], "0.00", None)
    assert shown["entered"] == {"operator": "Ilse", "at": "2026-03-02T10:30:00+00:00"}
    assert read_json(typed("sale", "list", "--json")) == {
        "orders": [
            {
                "number": 1,
                "day": "2026-03-02",
                "customer": 1,
                "customer_name": "Odalys Fernhollow",
                "total": "186.50",
                "paid": "186.50",
                "refunded": "0.00",
                "balance": "0.00",
                "shipped_on": "2026-03-02",
                "cancelled_on": None,
            }
        ]
    }


def test_receipts(typed: Typed, tmp_path: Path) -> None:
    """A receipt as issued and as listed."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    issued = read_json(typed("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path), "--json"))
    assert issued.pop("file") == str(tmp_path / "receipt-00001.pdf")
    assert len(issued.pop("sha256")) == 64
    assert issued == {
        "number": 1,
        "order": 1,
        "wearer": "Odalys Fernhollow",
        "customer": "Odalys Fernhollow",
        "issued_on": "2026-03-02",
        "total": "186.50",
        "paid": "186.50",
        "refunded": "0.00",
        "balance": "0.00",
        "prints": 1,
        "replaced_by": None,
        "replaced_because": "",
        "overtaken": False,
        "claimed_on": None,
    }
    (listed,) = read_json(typed("receipt", "list", "--json"))["receipts"]
    assert (listed["number"], listed["prints"]) == (1, 1)
    content = read_json(typed("receipt", "show", "1", "--json"))["content"]
    assert (content["wearer"], content["paid"], content["balance"]) == ("Odalys Fernhollow", 18650, 0)


def test_a_month(typed: Typed) -> None:
    """A month's figures: 186.50 left, of which 100.00 are paid; its frame cost 61.00."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "100", "--method", "cash"))
    done(typed("sale", "ship", "1", *SENT))
    assert read_json(typed("month", "show", "2026-03", "--json")) == {
        "month": "2026-03",
        "orders": 1,
        "list_total": "266.50",
        "reduction_total": "80.00",
        "net_total": "186.50",
        "tax_total": "0.00",
        "payments_total": "100.00",
        "cancellations": 0,
        "cancelled_net": "0.00",
        "cancelled_tax": "0.00",
        "refunds": 0,
        "refunded_net": "0.00",
        "refunded_tax": "0.00",
        "put_right_net": "0.00",
        "put_right_tax": "0.00",
        "lowered_net": "0.00",
        "lowered_tax": "0.00",
        "net_kept": "186.50",
        "tax_kept": "0.00",
        "money_back": "0.00",
        "money_kept": "100.00",
        "from_deposits": "0.00",
        "deposits_taken": "0.00",
        "deposits_given_back": "0.00",
        "expenses_paid": "0.00",
        "bills_paid": "0.00",
        "accounting": "accrual",
        "accrual": {
            "customers": "186.50",
            "sellers_tax_in": "0.00",
            "other_income": "0.00",
            "goods": "-61.00",
            "expenses": "0.00",
            "sellers_tax_out": "0.00",
            "result": "125.50",
        },
        "cash": {
            "customers": "100.00",
            "deposits": "0.00",
            "sellers_tax_in": "0.00",
            "other_income": "0.00",
            "expenses": "0.00",
            "sellers_tax_out": "0.00",
            "equipment": "0.00",
            "bills": "0.00",
            "result": "100.00",
        },
        "between": {
            "receivable": "-86.50",
            "prepayments": "0.00",
            "tax": "0.00",
            "deposits": "0.00",
            "stock": "61.00",
            "jobs": "0.00",
            "equipment": "0.00",
            "bills": "0.00",
            "timed": "0.00",
        },
        "accounts": {
            "receivable": "86.50",
            "cash": "100.00",
            "inventory": "162.00",
            "opening balances": "223.00",
            "sales": "260.00",
            "offers and discounts": "-80.00",
            "shipping income": "6.50",
            "cost of goods sold": "61.00",
        },
    }


def test_a_year(typed: Typed, tmp_path: Path) -> None:
    """A year's lines in both accounting views, and the files that it is written to."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "100", "--method", "cash"))
    done(typed("sale", "ship", "1", *SENT))
    shown = read_json(typed("year", "show", "2026", "--json"))
    lines = shown.pop("lines")
    state = "DRAFT, figures may still change: the year is not over; not closed: 2026-03."
    assert shown == {
        "year": "2026",
        "draft": True,
        "state": state,
        "open_months": ["2026-03"],
        "accounting": "accrual",
        "inventory_view": "inventory",
    }
    assert lines["1"] == {"words": "Gross receipts or sales", "accrual": "186.50", "cash": "100.00"}
    assert " ".join(lines) == (
        "1 2 3 4 5 6 7 8 9 10 11 13 15 16b 17 18 20a 20b 21 22 23 24a 24b 25 26 27b 28 29 35 36 37 38 39 40 41 42"
    )
    written = read_json(typed("year", "export", "2026", "--into", str(tmp_path), "--json"))
    file = str(tmp_path / "year-2026-DRAFT.xlsx")
    assert written == {"year": "2026", "draft": True, "state": state, "files": [file]}


def test_a_bill_that_is_changed(typed: Typed) -> None:
    """What is taken off, what it takes off which account, and what becomes of a supplier's debt."""
    done(typed("supplier", "add", "--name", "Tollgate Frames"))
    for _ in range(2):
        done(typed("bill", "record", "1", "--stock", "CASE=10@4"))
    done(typed("bill", "pay", "1", "39", "--method", "bank", "--discount", "1"))
    asked = ("bill", "credit", "1", "6", "--item", "CASE", "--reason", "scuffed")
    change = {
        "number": None, "bill": 1, "day": "2026-03-02", "kind": "allowance", "amount": "6.00", "reason": "scuffed",
        "method": None, "other_bill": None,
    }  # fmt: skip
    shares = {"inventory": "6.00"}
    assert read_json(typed(*asked, "--dry-run", "--json")) == {**change, "shares": shares}
    found = read_json(typed(*asked, "--json"))
    assert found["change"] == {**change, "number": 2, "shares": shares}
    assert (found["changed"], found["balance"]) == ("7.00", "-6.00")
    discount = {**change, "number": 1, "kind": "discount", "amount": "1.00", "reason": "paid within the terms"}
    assert found["changes"] == [discount, {**change, "number": 2}]
    back = read_json(typed("bill", "refunded", "1", "2", "--to", "card", "--json"))
    assert (back["change"]["method"], back["balance"]) == ("card", "-4.00")
    against = read_json(typed("bill", "set-against", "1", "2", "--json"))
    assert (against["change"]["other_bill"], against["change"]["amount"], against["balance"]) == (2, "4.00", "0.00")
    assert read_json(typed("bill", "charge", "2", "1", "--reason", "too low", "--json"))["balance"] == "37.00"
    assert "bill 1 against bill 2" in done(typed("bill", "show", "2")).output


def test_an_adjusting_entry(typed: Typed) -> None:
    """The entry with its accounts, its reversal, the list, and the chart."""
    lines = ("--debit", "depreciation=75", "--credit", "accumulated-depreciation=75", "--reason", "one month")
    entry = {
        "number": None, "day": "2026-03-02", "reason": "one month", "reverses": None, "opening": False,
        "lines": [
            {"account": "depreciation", "amount": "75.00", "state": ""},
            {"account": "accumulated depreciation", "amount": "-75.00", "state": ""},
        ],
    }  # fmt: skip
    assert read_json(typed("adjust", "record", *lines, "--dry-run", "--json")) == entry
    assert read_json(typed("adjust", "record", *lines, "--json")) == {**entry, "number": 1}
    assert read_json(typed("adjust", "reverse", "1", "--json"))["reverses"] == 1
    shown = {**entry, "number": 1, "reversed_by": 2, "taken_back": None}
    assert read_json(typed("adjust", "show", "1", "--json")) == shown
    listed = read_json(typed("adjust", "list", "--json"))["adjustments"]
    assert [(each["number"], each["amount"], each["taken_back"]) for each in listed] == [
        (1, "75.00", ""), (2, "75.00", ""),
    ]  # fmt: skip
    chart = {each["account"]: each for each in read_json(typed("adjust", "accounts", "--json"))["accounts"]}
    assert chart["depreciation"] == {
        "account": "depreciation", "kind": "expense", "schedule_c": "13", "adjustable": True, "why_not": None,
    }  # fmt: skip
    assert not chart["inventory"]["adjustable"]
    refused = typed("adjust", "record", "--debit", "inventory=5", "--credit", "cash=5", "--reason", "x")
    assert refused.exit_code
    assert "goods are counted lot by lot there" in refused.output


def test_a_balance_sheet(typed: Typed) -> None:
    """What is there, what is owed, and how capital came to the difference."""
    done(typed("money", "contribute", "500", "--till", "bank"))
    done(typed("money", "draw", "20", "--till", "bank"))
    sheet = read_json(typed("year", "balance", "--on", "2026-03-02", "--json"))
    assert {"account": "bank", "amount": "480.00"} in sheet["assets"]
    capital = sheet["capital"]
    assert list(capital) == [
        "at_first",
        "brought_in",
        "contributed",
        "drawn",
        "entered",
        "equipment",
        "result",
        "at_last",
    ]
    assert (capital["at_first"], capital["contributed"], capital["drawn"]) == ("0.00", "500.00", "20.00")
    assert (sheet["on"], sheet["adds_up"], sheet["liabilities"]) == ("2026-03-02", True, [])
    assert sheet["assets_total"] == capital["at_last"]
    assert "liabilities and capital" in done(typed("year", "balance")).output


def test_the_books(typed: Typed, ledger: Path) -> None:
    """Where the ledger is, and the head of its journal."""
    assert read_json(typed("where", "--json")) == {"ledger": str(ledger)}
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "100", "--method", "cash"))
    proof = read_json(typed("verify", "--json"))
    check = {"code": "str", "proves": "str", "checked": "int", "holds": "bool", "differing": "int", "differences": []}
    assert shape(proof) == {"entries": "int", "head": "str", "hash": "str", "holds": "bool", "checks": [check]}
    assert proof["entries"] == 3
    assert proof["head"].endswith(f"-{proof['hash'][:16]}")
    assert [each["code"] for each in proof["checks"]] == [
        *(
            "PAGES",
            "SEALS",
            "RECORDS",
            "CHAIN",
            "BALANCE",
            "HEADS",
            "DOCUMENTS",
            "ACCOUNTS",
            "SIDES",
            "COUNTERS",
            "STOCK",
            "LOTS",
            "RECEIPTS",
            "FILES",
            "AUDIT",
        ),
    ]


SPENT = {
    "number": 1,
    "day": "2026-03-02",
    "payee": "Alder Row Estates",
    "category": "rent of premises",
    "schedule_c": "20b",
    "description": "rent for March",
    "amount": "850.00",
    "method": "bank",
    "reference": "M-17",
}
DEPOSIT = {
    "number": 1,
    "day": "2026-03-02",
    "amount": "50.00",
    "method": "card",
    "reference": "4242",
    "customer": 1,
    "customer_name": "Odalys Fernhollow",
    "note": "",
    "used": [],
    "given_back": [],
    "left": "50.00",
    "taken_back_on": None,
}
MOVED = {
    "number": 1,
    "day": "2026-03-02",
    "kind": "opening",
    "till": "bank",
    "amount": "1000.00",
    "fee": "0.00",
    "state": "",
    "reference": "",
    "note": "",
}


def test_expenses(typed: Typed, tmp_path: Path) -> None:
    """An expense as recorded, shown and listed; its receipt; the categories; and its taking back."""
    scan = tmp_path / "rent.pdf"
    scan.write_bytes(b"rent")
    words = ("--category", "rent-of-premises", "--method", "bank", "--description", "rent for March")
    record = ("spend", "record", "Alder Row Estates", "850", *words, "--reference", "M-17", "--receipt", str(scan))
    kept = {"name": "rent.pdf", "size": 4, "sha256": hashlib.sha256(b"rent").hexdigest()}
    whole = {**SPENT, "receipt": kept, "taken_back": None}
    assert read_json(typed(*record, "--json")) == {**whole, "findings": []}
    assert read_json(typed("spend", "show", "1", "--json")) == whole
    again = read_json(typed(*record, "--dry-run", "--json"))
    assert [each["code"] for each in again["findings"]] == ["EXPENSE-TWICE"]
    assert read_json(typed("spend", "list", "--json")) == {
        "expenses": [{**SPENT, "taken_back": ""}],
        "categories": {"rent of premises": "850.00"},
        "total": "850.00",
    }
    folder = tmp_path / "out"
    assert read_json(typed("spend", "receipt", "1", "--into", str(folder), "--json")) == {
        "expense": 1,
        "file": str(folder / "expense-00001-rent.pdf"),
    }
    categories = read_json(typed("spend", "categories", "--json"))
    assert shape(categories) == {"categories": [{"category": "str", "schedule_c": "str"}], "caution": "str"}
    assert read_json(typed("void", "expense", "1", "--reason", "was private", "--json")) == {
        "document": "expense 1",
        "day": "2026-03-02",
        "reason": "was private",
        "entries": [
            {
                "reverses": 3,
                "memo": "taken back: rent of premises: Alder Row Estates",
                "postings": [
                    {"account": "rent of premises", "amount": "-850.00"},
                    {"account": "bank", "amount": "850.00"},
                ],
            }
        ],
    }
    listed = read_json(typed("spend", "list", "--json"))
    assert listed["expenses"][1] == {**SPENT, "amount": "-850.00", "taken_back": "was private"}
    assert listed["total"] == "0.00"


def test_money_that_moved(typed: Typed) -> None:
    """A move as planned, recorded and listed, and what lies where."""
    opened = ("money", "open", "1000", "--till", "bank", "--json")
    assert read_json(typed(*opened, "--dry-run")) == {**MOVED, "number": None, "findings": []}
    assert read_json(typed(*opened)) == MOVED
    assert read_json(typed("money", "list", "--json")) == {"money": [{**MOVED, "taken_back": ""}]}
    shown = read_json(typed("money", "show", "--on", "2026-03-02", "--json"))
    assert shown["on"] == "2026-03-02"
    assert [(row["account"], row["kind"], row["amount"]) for row in shown["accounts"]] == [
        ("cash", "asset", "0.00"),
        ("card clearing", "asset", "0.00"),
        ("card reserve", "asset", "0.00"),
        ("bank", "asset", "1000.00"),
        ("credit card owed", "liability", "0.00"),
        ("customer deposits", "liability", "0.00"),
        ("bills to pay", "liability", "0.00"),
        ("sales tax payable", "liability", "0.00"),
    ]
    assert read_json(typed("money", "show", "--json"))["on"] is None


def test_payments_put_right(typed: Typed) -> None:
    """What would be stored, what was, an order's payments with what became of each, and card payments by day."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "100", "--method", "card", "--reference", "4242"))
    reverse = ("payment", "reverse", "1", "--amount", "40", "--fee", "15", "--charge", "12", "--reason", "not hers")
    correction: dict[str, object] = {
        "number": None,
        "day": "2026-03-02",
        "kind": "disputed",
        "reason": "not hers",
        "payment": 1,
        "amount": "40.00",
        "fee": "15.00",
        "parts": [],
    }
    assert read_json(typed(*reverse, "--dry-run", "--json")) == {
        "correction": correction,
        "payment": None,
        "charge": "12.00",
        "findings": [],
    }
    stored = read_json(typed(*reverse, "--json"))
    assert stored["correction"] == {**correction, "number": 1}
    assert [stored[name] for name in ("payment", "deposit", "touched_receipts", "other_order")] == [
        None,
        None,
        [],
        None,
    ]
    order = stored["order"]
    assert {name: order[name] for name in ("paid", "given_way", "written_off", "balance")} == {
        "paid": "60.00",
        "given_way": "0.00",
        "written_off": "0.00",
        "balance": "138.50",
    }
    assert [each["kind"] for each in order["corrections"]] == ["disputed", "charged"]
    paid = {"day": "2026-03-02", "amount": "100.00", "method": "card", "reference": "4242", **ITS_OWN}
    assert read_json(typed("payment", "list", "1", "--json")) == {
        "order": 1,
        "payments": [
            {
                "number": 1,
                "order": 1,
                **paid,
                "deposit": None,
                "stands": "60.00",
                "became": ["disputed 40.00 on 2026-03-02: not hers"],
            }
        ],
        "paid": "60.00",
        "refunded": "0.00",
        "written_off": "0.00",
        "balance": "138.50",
    }
    assert read_json(typed("money", "cards", "2026-03", "--json")) == {
        "first": "2026-03-01",
        "last": "2026-03-31",
        "days": [{"day": "2026-03-02", "count": 1, "gross": "100.00"}],
        "months": {"2026-03": "100.00"},
        "count": 1,
        "gross": "100.00",
        "owed": {
            "on": "2026-03-02",
            "books": "45.00",
            "reserve": "0.00",
            "reported": None,
            "reported_reserve": None,
            "difference": None,
        },
    }


def test_deposits(typed: Typed) -> None:
    """A deposit as taken, listed, used and handed back."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    take = ("deposit", "take", "1", "50", "--method", "card", "--reference", "4242", "--json")
    assert read_json(typed(*take)) == DEPOSIT
    assert read_json(typed("deposit", "list", "--json")) == {"deposits": [DEPOSIT]}
    paid = read_json(typed("payment", "take", "1", "--deposit", "1", "--amount", "30", "--json"))
    (used,) = paid["payments"]
    assert used == {"day": "2026-03-02", "amount": "30.00", "method": "card", "reference": "4242", **ITS_OWN}
    used = {"order": 1, "payment": 1, "day": "2026-03-02", "amount": "30.00", "put_back_on": None, "reversed": []}
    assert read_json(typed("deposit", "show", "1", "--json")) == {**DEPOSIT, "used": [used], "left": "20.00"}
    handed = {**{name: DEPOSIT[name] for name in ("day", "method", "reference")}, "amount": "20.00"}
    assert read_json(typed("deposit", "give-back", "1", "--dry-run", "--json")) == {
        **handed,
        "number": None,
        "gives_back": 1,
        "findings": [],
    }
    assert read_json(typed("deposit", "give-back", "1", "--json")) == {
        **DEPOSIT,
        "used": [used],
        "given_back": [{**handed, "number": 2, "taken_back_on": None}],
        "left": "0.00",
    }


def test_calculators(typed: Typed) -> None:
    """Lens calculations and claim codes."""
    power = ("--sphere", "-2.50", "--cylinder", "-1.25", "--axis", "90", "--json")
    assert read_json(typed("optics", "transpose", *power)) == {
        "minus_cylinder": "-2.50 -1.25 x 090",
        "plus_cylinder": "-3.75 +1.25 x 180",
        "spherical_equivalent": -3.125,
    }
    assert read_json(typed("optics", "meridian", "--at", "180", *power)) == {
        "power": "-2.50 -1.25 x 090",
        "meridian": 180.0,
        "power_in_meridian": -3.75,
    }
    # Prentice: 3.75 D along 180, 2 mm inward of the centre of a minus lens, is 0.75 base in.
    assert read_json(typed("optics", "prism", "--eye", "left", "--inward", "2", *power)) == {
        "power": "-2.50 -1.25 x 090",
        "base_in": 0.75,
        "base_up": 0.0,
        "amount": 0.75,
        "written": ["0.75 BI"],
    }
    decentred = typed(
        "optics", "decentre", "--a", "52", "--dbl", "18", "--pd", "63", "--b", "36", "--height", "20", "--json"
    )
    assert read_json(decentred) == {"right_inward": 3.5, "left_inward": 3.5, "upward": 2.0}
    assert read_json(typed("optics", "blank", "--ed", "55", "--inward", "3.5", "--json")) == {"rule_of_thumb": 64.0}
    claim = read_json(typed("claim", "code", "--lens", "single-vision", *power))
    assert claim["picks"][0]["code"] == "V2103"
    assert shape(claim) == {
        "release": "str",
        "picks": [{"charge": "str", "code": "str", "candidates": ["str"], "reason": "str", "note": "str"}],
    }


def test_closed_months(typed: Typed) -> None:
    """What stands against closing a month, what was done to it, and how the months stand."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    done(typed("sale", "ship", "1", *SENT))
    april = ("--today", "2026-04-02")
    finding = {"severity": "str", "code": "str", "field": "str", "value": "str", "limit": "str"}
    findings = [{**finding, "source": "str", "sentence": "str"}]
    planned = read_json(typed(*april, "month", "close", "2026-03", "--dry-run", "--json"))
    assert shape(planned) == {"month": "str", "head": "str", "findings": findings}
    accepted = [found["code"] for found in planned["findings"]]
    said = [word for code in accepted for word in ("--accept", code)]
    count = int(planned["head"].split("-")[0])
    event = {"month": "2026-03", "deed": "closed", "reason": "", "accepted": accepted, "entries": count}
    event |= {"head": planned["head"], "operator": "Ilse", "recorded_at": "2026-03-02T10:30:00+00:00"}
    closed = read_json(typed(*april, "month", "close", "2026-03", *said, "--json"))
    assert closed == {**event, "findings": planned["findings"]}
    state = {"month": "2026-03", "closed": True, "entries": 3, "net_sales": "186.50", "last": event}
    assert read_json(typed("month", "list", "--json")) == {"months": [state]}
    reopened = read_json(typed(*april, "month", "reopen", "2026-03", "--reason", "a late bill", "--json"))
    later = {"entries": count + 1, "head": reopened["head"], "deed": "reopened", "reason": "a late bill"}
    assert reopened == {**event, **later, "accepted": []}


def test_sales_tax_due(typed: Typed) -> None:
    """What each state's return asks for, with the caution that it is no advice."""
    done(typed("sale", "record", "--customer", "1", "--accessory", "CASE=2", "--shipping", "0"))
    done(typed("sale", "ship", "1", "--carrier", "post"))
    due = read_json(typed("tax", "due", "--month", "2026-03", "--json"))
    assert "no tax advice" in due.pop("caution")
    assert due == {
        "states": [
            {
                "state": "OH",
                "from": "2026-03-01",
                "to": "2026-03-31",
                "orders": 1,
                "gross_sales": "24.00",
                "exempt": [],
                "taxable_sales": "24.00",
                "tax_by_rates": "1.68",
                "difference": "0.00",
                "tax_charged": "1.68",
                "taken_back": "0.00",
                "taxable_taken_back": "0.00",
                "tax_taken_back": "0.00",
                "net_tax": "1.68",
                "owed_before": "0.00",
                "adjusting_entries": "0.00",
                "paid": "0.00",
                "owed_at_end": "1.68",
                "places": [
                    {
                        "place": "",
                        "gross_sales": "24.00",
                        "exempt": [],
                        "taxable_sales": "24.00",
                        "taken_back": "0.00",
                        "rates": [
                            {
                                "rate": "7 %",
                                "taxable_sales": "24.00",
                                "tax_by_rate": "1.68",
                                "difference": "0.00",
                                "tax_charged": "1.68",
                                "taxable_taken_back": "0.00",
                                "tax_taken_back": "0.00",
                            }
                        ],
                    }
                ],
                "goods_used": [],
                "use_tax": None,
                "about_use_tax": "",
            }
        ]
    }
    exempt = read_json(typed("tax", "set", "OH", "service", "0", "--exempt-reason", "labour", "--json"))
    assert (exempt["imposed_on"], exempt["exempt_reason"]) == ("buyer", "labour")
    assert read_json(typed("tax", "due", "2026-03", "--state", "OH", "--json"))["states"] == due["states"]
    assert typed("tax", "due", "--json").exit_code == 2
    assert typed("tax", "due", "2026-03", "--month", "2026-03").exit_code == 2
    assert typed("tax", "due", "--month", "2026-03", "--from", "2026-03-01").exit_code == 2
