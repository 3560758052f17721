"""The routes of a folder of logs that were checked before, so that their texts are not checked at every start.

    .routes   line 1  SHA-256 of line 2
              line 2  {"version", "routes": {digest of the route record: the route}}

As the index: worked out, proved by its hash, of one version of the program, never synced, made anew where it does not
fit, and not missed where it cannot be written. A text that differs in one sign is checked the long way.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path

from msgspec.structs import replace

from fieldtui.job.kept import version
from fieldtui.route import Route, load_route, reads_the_same
from fieldtui.route.checked_text import checked_route, checked_text

NAME = ".routes"
PART = ".part"


class CheckedRoutes:
    """`of_record` are the routes by the digest of the record that a log has of them, without the place of a file."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / NAME
        self._texts = _read(self._path)
        self.of_record = {key: route for key, text in self._texts.items() if (route := _route(text)) is not None}

    def load(self, path: Path) -> Route:
        """The route in a file, as `load_route` gives it. `RouteRefused` as there."""
        for route in self.of_record.values():
            if reads_the_same(path, route):
                return replace(route, path=path)
        return load_route(path)

    def keep(self, routes: Mapping[str, Route]) -> None:
        """Keep these and no others for the next start, if the folder is there and can be written."""
        if routes.keys() == self._texts.keys() or not self._path.parent.is_dir():
            return
        texts = {key: self._texts.get(key) or checked_text(route) for key, route in routes.items()}
        line = json.dumps({"version": version(), "routes": texts}).encode("ascii") + b"\n"
        part = self._path.with_name(NAME + PART)
        try:
            part.write_bytes(sha256(line).hexdigest().encode("ascii") + b"\n" + line)
            part.replace(self._path)
        except OSError:  # a folder that cannot be written: checked again at the next start
            return


def _read(path: Path) -> dict[str, str]:
    try:
        proof, line = path.read_bytes().split(b"\n", 1)
    except (OSError, ValueError):
        return {}
    if sha256(line).hexdigest().encode("ascii") != proof:
        return {}
    told = json.loads(line)
    texts: dict[str, str] = told["routes"] if told.get("version") == version() else {}
    return texts


def _route(text: str) -> Route | None:
    try:
        return checked_route(text)
    except (ValueError, KeyError, TypeError):
        return None
