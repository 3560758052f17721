"""A route being laid: where it will stand, what was answered, what stands there already."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from msgspec import Struct, field
from msgspec.structs import replace

from fieldtui.errors import FieldError
from fieldtui.job.asking import Ask
from fieldtui.laying.draft import Draft, drop, keep
from fieldtui.laying.preview import whole_route
from fieldtui.laying.questions import answered, next_ask
from fieldtui.laying.saving import save
from fieldtui.laying.writing import added_text, put_behind, route_text
from fieldtui.route import Route


class Plan(Struct, frozen=True):
    """`before` are the bytes of the file that is added to, None where a new one is made."""

    path: Path
    draft: Draft = field(default_factory=Draft)
    existing: Route | None = None
    before: bytes | None = None
    today: date | None = None
    """What certificates are judged by; None: they are not."""

    @property
    def given(self) -> dict[str, str]:
        """The answers; those that the file itself gives, first."""
        stands = {"units": self.existing.units.name} if self.existing is not None else {}
        return {**stands, **self.draft.given}

    def next_ask(self) -> Ask | None:
        return next_ask(self.given, self.existing)

    def told(self) -> list[tuple[str, str, str]]:
        """Key, question and answer in words, in order."""
        return [(ask.key, ask.text, ask.shown(value)) for ask, value in answered(self.given, self.existing)]

    def answer(self, key: str, value: str) -> tuple[Plan, str]:
        """The plan with one more answer, and what went wrong with keeping it (empty: it is on the disk)."""
        return self._kept(self.draft.with_answer(key, value))

    def back(self) -> tuple[Plan, str]:
        """The plan without its last answer."""
        return self._kept(self.draft.back())

    def _kept(self, draft: Draft) -> tuple[Plan, str]:
        plan = replace(self, draft=draft)
        try:
            keep(self.path, draft)
        except FieldError as error:
            return plan, str(error)
        return plan, ""

    def route(self) -> Route:
        """The route as it would be read. `RouteRefused` with all that is wrong with it."""
        return whole_route(self.given, self.existing, self.path)

    def write(self) -> None:
        """Write the route file, and take the draft away. `FieldError` where it cannot be written."""
        if self.existing is None:
            save(self.path, None, route_text(self.given))
        else:
            text = self.existing.text
            added = put_behind(text, added_text(self.given))[len(text) :]
            save(self.path.resolve(), self.before, added)
        drop(self.path)
