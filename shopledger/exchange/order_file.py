"""Order files: a whole order as the owner writes it down, in TOML, both ways.

```toml
customer = "Odalys Fernhollow"
day = 2026-03-02
shipping = "6.50"

[[pair]]
wearer = "Odalys Fernhollow"
frame = "PELLOW-52"
lens = "SV-150"
use = "reading"
pd = [31.5, 31.0]        # or one number for both eyes
height = 19

[[accessory]]
code = "CASE"
wearer = "nobody"        # the customer's; left out, the order's only wearer's

[[payment]]
amount = "120.00"
method = "card"
reference = "4242"
```
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, Final

import tomli_w

from shopledger.errors import RefusedError
from shopledger.exchange.rows import Field, Rows, read_document
from shopledger.exchange.values import as_both_eyes, fields_of
from shopledger.ledger.orders import (
    AccessoryRequest,
    EyeRequest,
    FrameRequest,
    Making,
    OrderRequest,
    PairRequest,
    PaymentRequest,
)
from shopledger.money.amount import Cents, to_decimal
from shopledger.optics.measurements import Measurements
from shopledger.optics.notation import write_power
from shopledger.optics.sides import Side

Both = float | tuple[float | None, float | None] | None

EYE: Final = fields_of(EyeRequest)
PAIR: Final = fields_of(
    PairRequest,
    *(Field(key, as_both_eyes, None) for key in ("pd", "near_pd", "height")),
    *(replace(field, key=f"{side.value}_{field.key}") for side in Side for field in EYE),
    first=(
        *("wearer", "frame", "lens", "use", "prescription", "without_prescription", "extras"),
        *("pd", "near_pd", "height"),
    ),
    left_out={"measurements", "right", "left"},
)
ACCESSORY: Final = fields_of(AccessoryRequest)
FRAME: Final = fields_of(FrameRequest)
PAYMENT: Final = fields_of(PaymentRequest)
ORDER: Final = fields_of(
    OrderRequest, first=("customer", "day", "shipping"), left_out={"pairs", "accessories", "frames", "payments"}
)


def read_order_file(source: Path | str) -> OrderRequest:
    """Read an order from a file or its text; every problem in it is told at once."""
    tables: dict[str, Rows] = {
        "pair": (PAIR, _pair),
        "accessory": (ACCESSORY, AccessoryRequest),
        "frame": (FRAME, FrameRequest),
        "payment": (PAYMENT, PaymentRequest),
    }
    return read_document(source, "the order", ORDER, tables, _order)


def write_order_file(request: OrderRequest) -> str:
    """Write an order so that reading it gives the same order again; what is as usual is left out."""
    top: dict[str, Any] = {
        "customer": request.customer,
        "day": request.day,
        "shipping": _money(request.shipping),
        "offers": list(request.offers) or None,
        "without_offers": list(request.without_offers) or None,
        "accept": sorted(request.accept) or None,
        "note": request.note or None,
        "tax_exempt": request.tax_exempt or None,
    }
    tables = {
        "pair": [_written_pair(pair) for pair in request.pairs],
        "accessory": [_written_accessory(goods) for goods in request.accessories],
        "frame": [_written_frame(frame) for frame in request.frames],
        "payment": [_written_payment(payment) for payment in request.payments],
    }
    rows = [f"[[{table}]]\n{_lines(row)}" for table, rows in tables.items() for row in rows]
    return "\n".join([_lines(top), *rows])


# ---------------------------------------------------------------- reading


def _order(
    pair: tuple[PairRequest, ...],
    accessory: tuple[AccessoryRequest, ...],
    frame: tuple[FrameRequest, ...],
    payment: tuple[PaymentRequest, ...],
    **plain: Any,  # noqa: ANN401 - OrderRequest checks them
) -> OrderRequest:
    return OrderRequest(pairs=pair, accessories=accessory, frames=frame, payments=payment, **plain)


def _pair(pd: Both, near_pd: Both, height: Both, **values: Any) -> PairRequest:  # noqa: ANN401 - PairRequest checks them
    right, left = (EyeRequest(**{each.key: values.pop(f"{side.value}_{each.key}") for each in EYE}) for side in Side)
    return PairRequest(measurements=_measurements(pd, near_pd, height), right=right, left=left, **values)


def _measurements(pd: Both, near_pd: Both, height: Both) -> Measurements | None:
    if pd is None:
        if near_pd is None and height is None:
            return None
        raise RefusedError("'pd'", "missing", "a height or near PD needs the distance PD beside it", "Add pd = 63.0.")
    heights = height if isinstance(height, tuple) else (height, height)
    if not isinstance(pd, tuple):
        if isinstance(near_pd, tuple):
            raise _unlike()
        return Measurements.from_binocular(pd, near_pd, *heights)
    right, left = pd
    if right is None or left is None:
        raise RefusedError("'pd'", "empty for one eye", "both eyes need theirs", "Write pd = [31.5, 31.0].")
    return Measurements.from_monocular((right, left), near_pd, *heights)


def _unlike() -> RefusedError:
    hint = "Measure the distance PD of each eye too, as in pd = [31.5, 31.0]."
    return RefusedError("'near_pd'", "given for each eye", "it then needs the distance 'pd' of each eye", hint)


# ---------------------------------------------------------------- writing


def _written_pair(pair: PairRequest) -> dict[str, Any]:
    return {
        "wearer": pair.wearer,
        "frame": pair.frame,
        "lens": pair.lens,
        "use": pair.use and pair.use.value,
        "prescription": pair.prescription,
        "without_prescription": pair.without_prescription or None,
        "extras": list(pair.extras) or None,
        **_written_measurements(pair.measurements),
        "frame_owned": pair.frame_owned or None,
        "right_code": pair.right_code or None,
        "left_code": pair.left_code or None,
        "note": pair.note or None,
        **_written_eye(Side.RIGHT, pair.right),
        **_written_eye(Side.LEFT, pair.left),
        "off_step": pair.off_step and pair.off_step.value,
    }


def _written_eye(side: Side, eye: EyeRequest) -> dict[str, Any]:
    """Write what is asked for one eye alone."""
    values = {
        "making": None if eye.making is Making.NEW else eye.making.value,
        "lens": eye.lens or None,
        "extras": list(eye.extras) or None,
        "balance": eye.balance and write_power(eye.balance),
    }
    return {f"{side.value}_{key}": value for key, value in values.items()}


def _written_measurements(measured: Measurements | None) -> dict[str, Any]:
    if measured is None:
        return {}
    right, left = measured.right, measured.left
    height = _both(right.fitting_height, left.fitting_height)
    same_height = right.fitting_height == left.fitting_height
    given = {"height": right.fitting_height if same_height else height}
    if measured.pd_given == "binocular" and (right.mono_pd, right.near_pd) == (left.mono_pd, left.near_pd):
        return {"pd": measured.pd, "near_pd": measured.near_pd, **given}
    return {"pd": [right.mono_pd, left.mono_pd], "near_pd": _both(right.near_pd, left.near_pd), **given}


def _both(right: float | None, left: float | None) -> list[float | str] | None:
    """Write right and left, empty text for what was not measured."""
    return None if right is left is None else ["" if each is None else each for each in (right, left)]


def _written_accessory(goods: AccessoryRequest) -> dict[str, Any]:
    return {"code": goods.code, "quantity": goods.quantity, "wearer": goods.wearer or None}


def _written_frame(frame: FrameRequest) -> dict[str, Any]:
    return {"code": frame.code, "demo_lenses": frame.demo_lenses.value, "wearer": frame.wearer or None}


def _written_payment(payment: PaymentRequest) -> dict[str, Any]:
    return {
        "amount": _money(payment.amount),
        "method": payment.method.value,
        "reference": payment.reference or None,
        "day": payment.day,
    }


def _money(cents: Cents | None) -> str | None:
    return None if cents is None else str(to_decimal(cents))


def _lines(values: dict[str, Any]) -> str:
    """Write keys and values, a list on one line; None says nothing and is left out."""
    return "".join(f"{key} = {_value(value)}\n" for key, value in values.items() if value is not None)


def _value(value: object) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    whole = int(value) if isinstance(value, float) and value.is_integer() else value
    return tomli_w.dumps({"k": whole}).removeprefix("k = ").rstrip("\n")
