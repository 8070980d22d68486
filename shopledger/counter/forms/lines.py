"""Lines of a form that are alike: as many as are asked for, and never fewer than are filled in already."""

from __future__ import annotations

import re
from typing import Any, Final

from flask import redirect, request
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import SEEN, typed_now
from shopledger.counter.forms.fields import Field
from shopledger.counter.forms.filled import Values
from shopledger.desk.kept_forms import keep_form, kept_form
from shopledger.errors import RefusedError

MORE: Final = "more"
"""The name of the button that asks for more lines."""
STEP: Final = 5
MOST: Final = 100
_NUMBERED: Final = re.compile(r"[a-z_]+_([0-9]{1,3})")


def how_many(kind: str, about: str, least: int) -> int:
    """Give how many lines a form has: as many as were asked for, or as are filled in, here or in what was kept."""
    kept = kept_form(desk(), kind, about)
    typed = {**(kept.typed if kept else {}), **(typed_now() if request.method == "POST" else {})}
    numbers = (found for name, values in typed.items() if any(values) and (found := _NUMBERED.fullmatch(name)))
    filled = max((int(found[1]) for found in numbers), default=0)
    asked = request.args.get("lines", "")
    return min(max(least, filled, int(asked) if asked.isdecimal() and len(asked) < 4 else 0), MOST)


def more_lines(kind: str, about: str, lines: int) -> Response | None:
    """Keep what was typed and give the same page with more lines, where its button was pressed."""
    if request.method != "POST" or MORE not in request.form:
        return None
    typed = {name: values for name, values in typed_now().items() if name != MORE}
    keep_form(desk(), kind, about, {**typed, SEEN: [request.form.get(SEEN, "")]})
    return redirect(f"{request.path}?lines={min(lines + STEP, MOST)}", 303)


def begun(values: Values, fields: tuple[Field[Any], ...]) -> bool:
    """Tell whether anything stands in a line."""
    return any(values.of(each) is not None for each in fields)


def needed(values: Values, wanted: Field[Any]) -> Any:
    """Give what stands in a field of a line that was begun, or say that it lacks."""
    found = values.of(wanted)
    if found is None:
        raise RefusedError(wanted.label, "empty", "this line was begun", "Fill it in, or empty the line.")
    return found
