"""What the last record of a survey holds: per chord only what this survey alone gives.

No change, baseline, doubt or level stands in it: those depend on other surveys and are made from all of them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fieldtui.job.readings import reduce_booking
from fieldtui.reduction import REDUCTION, FrameShift
from fieldtui.route import Route
from fieldtui.survey import Booking, State, missing

Shifts = Callable[[str, str], FrameShift | None]
"""What the control frame takes off a length read with a tape and an extensometer (serials)."""


def closing_data(route: Route, state: State, survey: str, frame: Shifts) -> dict[str, Any]:
    """The data of the `closed` record. Lengths and standard uncertainties in the route's small unit, as strings."""
    return {
        "reduction": REDUCTION,
        "units": route.units.name,
        "bookings": [_summed(route, state, booking, survey, frame) for _, booking in sorted(state.bookings.items())],
        "missing": [target.data() for target in missing(route, state)],
    }


def _summed(route: Route, state: State, booking: Booking, survey: str, frame: Shifts) -> dict[str, Any]:
    taken_off = frame(booking.tape, booking.extensometer)
    length = reduce_booking(route, booking, survey, taken_off) if booking.was_read else None
    return {
        **booking.target.data(),
        "figures": {slot: entry.typed for slot, entry in booking.slots.items()},
        "read_at": booking.read_at.isoformat().replace("+00:00", "Z") if booking.read_at is not None else None,
        "tape": booking.tape,
        "extensometer": booking.extensometer,
        "outcome": booking.outcome,
        "length": None if length is None else f"{length.value:.6f}",
        "uncertainty": None if length is None else f"{length.u:.6f}",
    }
