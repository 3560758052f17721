"""Where laying begins: a new route, one that is there already, a draft that was left."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path

from msgspec.structs import replace

from fieldtui.counted import counted
from fieldtui.errors import FieldError
from fieldtui.laying.desk import next_desk
from fieldtui.laying.draft import Draft, keep, kept
from fieldtui.laying.plan import Plan
from fieldtui.route import load_route
from fieldtui.tui.list_desk import ListDesk
from fieldtui.tui.menu import Item


def open_laying(path: Path, today: date | None = None) -> ListDesk:
    """The first page; certificates are judged by `today`.

    `RouteRefused` for a file that is there and is no sound route, `FieldError` for a bad place."""
    if path.suffix != ".toml":
        raise FieldError("A route file ends in .toml.", where=str(path), todo="Name it so, to find it again.")
    if not path.parent.is_dir():
        raise FieldError("There is no such folder.", where=str(path.parent), todo="Make it first.")
    draft = kept(path)
    plan = Plan(path, today=today)
    if path.exists():
        before = _bytes_of(path)
        plan = replace(plan, existing=load_route(path), before=before)
    if draft is None or not draft.answers:
        return next_desk(plan)
    return DraftDesk(plan, draft)


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        why = error.strerror or str(error)
        raise FieldError(f"The file cannot be read: {why}.", where=str(path), todo="Name another file.") from error


class DraftDesk(ListDesk):
    """A draft was left: go on with it, or begin anew."""

    purpose = "A route was being laid here and not finished. Go on at the question where it stopped, or begin anew."

    def __init__(self, plan: Plan, draft: Draft) -> None:
        about = [f"{plan.path}", f"A draft with {counted(len(draft.answers), 'answer')} was left here."]
        items = (Item("go on with it", partial(self._begin, draft)), Item("begin anew", partial(self._begin, Draft())))
        super().__init__(plan.path.name, about, items, "What now")
        self.plan = plan

    def _begin(self, draft: Draft) -> None:
        adds = bool(draft.answers) and draft.answers[0][0] == "add"
        if adds != (self.plan.existing is not None):
            # the file has come or gone since: what was answered is offered again, question by question
            draft = Draft((), draft.earlier)
        if not draft.answers:
            keep(self.plan.path, draft)
        self.go(next_desk(replace(self.plan, draft=draft)))
