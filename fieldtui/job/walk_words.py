"""What is said of a walk under way: when it was saved, where it stands, what is likely to be answered."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from fieldtui.job.walk import Walk
from fieldtui.log import short_code
from fieldtui.survey import words as say

_LIKELY_THE_SAME = ("reader", "recorder", "tape", "extensometer", "stage")


def saved_text(walk: Walk) -> str:
    """When the last entry was saved, in the route's zone, for the line that always stands on the screen."""
    if walk.saved_at is None:
        return "nothing booked yet" if walk.state.entered == 0 else "all entries saved"
    return f"saved {walk.saved_at.astimezone(ZoneInfo(walk.route.time_zone)):%H:%M:%S}"


def not_saved(walk: Walk) -> str:
    """The entry that a failed write left: where, which slot, what was typed. Empty where there is none."""
    if not walk.unsaved:
        return ""
    kind, data = walk.unsaved[0]
    what = data.get("typed") or data.get("outcome") or data.get("as") or data.get("text") or kind
    parts = (data.get("station", ""), data.get("chord", ""), say.SLOTS.get(data.get("slot", ""), ""), what)
    return " ".join(part for part in parts if part)


def elsewhere(walk: Walk) -> str:
    """What is to be known of a survey that goes on in another folder than its job's; an empty sentence where not."""
    folder = walk.writer.path.parent
    if walk.job is None or folder.resolve() == walk.job.folder.resolve():
        return ""
    return (
        f" Do not resume the old file: it does not know of this one. Bring both together first: "
        f"fieldtui gather {walk.job.folder} {folder} --into FOLDER."
    )


def log_code(walk: Walk) -> str:
    """The code of a closed survey's log, for the field book."""
    return short_code(walk.writer.records[-1].h)


def parting(walk: Walk) -> str:
    """What is said when the surveyor leaves: where the survey stands and where its log is."""
    name = walk.writer.path
    if walk.state.closed:
        return f"Survey {walk.label} is closed. Log: {name}\nCode for the field book: {log_code(walk)}"
    told = elsewhere(walk)
    where = f"Log: {name}.{told}" if told else f"Log: {name}"
    return f"Survey {walk.label} is not closed and waits at the same prompt. {where}"


def suggestion(walk: Walk, what: str) -> str:
    """What the last survey answered to a question, where the same is likely now."""
    return walk.before.get(what, "") if what in _LIKELY_THE_SAME else ""
