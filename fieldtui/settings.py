"""Settings of whoever works at this machine: the look of the screen, and keys. A TOML file that need not be there.

    theme = "day"                 # or "night"
    [keys]
    again = ["r", "f7"]           # the action's name as in the help; a key, or a list of keys

What is wrong in it is told with file and key, and never keeps a walk from starting: the usual keys stand then.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.errors import FieldError
from fieldtui.survey.actions import ACTIONS, PAD, USUAL, Action, KeyMap

THEMES = ("night", "day")
FUNCTIONS = tuple(f"f{number}" for number in range(1, 13))
LEAVING = "f10"
"""Leaves on every page, as Ctrl+C does; it is not given away."""
_IN_FIGURES = "0123456789.,-"


class Settings(Struct, frozen=True):
    """`problems` are sentences about what was not taken, each with its place in the file."""

    theme: str = THEMES[0]
    keyboard: KeyMap = USUAL
    problems: tuple[str, ...] = ()


AS_USUAL = Settings()


def settings_path(environment: Mapping[str, str]) -> Path:
    """Where the file is looked for: `FIELDTUI_SETTINGS`, else where this system keeps a person's settings."""
    if named := environment.get("FIELDTUI_SETTINGS", ""):
        return Path(named).expanduser()
    import platformdirs

    return platformdirs.user_config_path("fieldtui", appauthor=False, roaming=True) / "settings.toml"


def read_settings(environment: Mapping[str, str] = os.environ) -> Settings:
    """The settings of this machine. `FIELDTUI_THEME` goes before the file; a file that was named must be there."""
    path = settings_path(environment)
    try:
        found = parse_settings(path.read_bytes().decode("utf-8-sig"), str(path))
    except (FileNotFoundError, NotADirectoryError):
        found = AS_USUAL
        if environment.get("FIELDTUI_SETTINGS"):
            found = _nothing(FieldError("There is no such file.", where=str(path), todo="Look at FIELDTUI_SETTINGS."))
    except OSError as error:
        told = FieldError(
            f"The settings cannot be read: {error.strerror}.", where=str(path), todo="The usual keys stand."
        )
        found = _nothing(told)
    except UnicodeDecodeError:
        found = _nothing(FieldError("The file is not UTF-8 text.", where=str(path), todo="Save it as UTF-8."))
    wanted = environment.get("FIELDTUI_THEME", "")
    return replace(found, theme=wanted) if wanted in THEMES else found


def parse_settings(text: str, where: str) -> Settings:
    """Settings from the text of a file; `where` names the file in sentences."""
    import tomllib  # few have such a file, and every start comes by here

    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return _nothing(FieldError(f"This is not TOML: {error}.", where=where, todo="None of it is taken."))
    problems: list[str] = []
    for key in tables.keys() - {"theme", "keys"}:
        told = FieldError("There is no such setting.", where=f"{where}: {key}", todo="There are: theme, [keys].")
        problems.append(str(told))
    theme = tables.get("theme", THEMES[0])
    if theme not in THEMES:
        told = FieldError(f"“{theme}” is no theme.", where=f"{where}: theme", todo=f"Write {' or '.join(THEMES)}.")
        problems.append(str(told))
        theme = THEMES[0]
    keyboard = USUAL
    try:
        keyboard = _keyboard(tables.get("keys", {}), where)
    except FieldError as error:
        problems.append(f"{error} The usual keys stand, all of them.")
    return Settings(theme, keyboard, tuple(problems))


def _nothing(error: FieldError) -> Settings:
    return Settings(problems=(str(error),))


def _keyboard(table: Any, where: str) -> KeyMap:
    """All keys or none: a half-taken table would leave keys that do what nobody expects."""
    if not isinstance(table, dict):
        raise FieldError("This is no table of keys.", where=f"{where}: keys", todo='Write [keys], then note = "v".')
    names = {action.id for action in ACTIONS}
    for name in table:
        if name not in names:
            raise FieldError(
                "There is no such action.",
                where=f"{where}: keys.{name}",
                todo=f"There are: {', '.join(sorted(names))}.",
            )
    actions = tuple(
        _with_keys(action, table[action.id], f"{where}: keys.{action.id}") if action.id in table else action
        for action in ACTIONS
    )
    _once_each(actions, table, where)
    if not next(action for action in actions if action.id == "more").pad:
        raise FieldError(
            "The list of all actions has no key of the number pad.",
            where=f"{where}: keys.more",
            todo="Give it + or * or /: what has no key there is reached through it.",
        )
    return KeyMap(actions)


def _with_keys(action: Action, wanted: Any, where: str) -> Action:
    """An action with other keys: of each sort at most one, on the pad, a letter, a function key."""
    keys = [wanted] if isinstance(wanted, str) else wanted
    if not isinstance(keys, list) or not all(isinstance(key, str) for key in keys):
        raise FieldError("This is no key.", where=where, todo='Write a key, "v", or a list of keys, ["v", "f6"].')
    found = {"pad": "", "letter": "", "function": ""}
    for key in keys:
        sort, name = _sort(key, where)
        if found[sort]:
            raise FieldError(
                f"“{found[sort]}” and “{name}” are of one sort.",
                where=where,
                todo="One of + * /, one letter and one function key is the most.",
            )
        found[sort] = name
    if (action.id == "leave") is not (found["function"] == LEAVING):
        if action.id != "leave":
            raise FieldError("F10 leaves, on every page.", where=where, todo="Take another key.")
        found["function"] = LEAVING
    return replace(action, **found)


def _sort(key: str, where: str) -> tuple[str, str]:
    name = key.lower()
    if name in FUNCTIONS:
        return "function", name
    if name in PAD:
        return "pad", name
    if len(name) == 1 and name.isprintable() and name not in _IN_FIGURES and not name.isspace():
        return "letter", name
    raise FieldError(
        f"“{key}” cannot stand for an action.",
        where=where,
        todo="Take + * or /, a letter, or F1 to F12. Digits, point, comma and minus make figures.",
    )


def _once_each(actions: tuple[Action, ...], table: Mapping[str, Any], where: str) -> None:
    """Two actions on one key are refused, also where one has it from the usual table."""
    taken: dict[str, Action] = {}
    for action in sorted(actions, key=lambda one: one.id in table):
        for key in action.all_keys:
            if key in taken:
                raise FieldError(
                    f"“{key.upper() if key in FUNCTIONS else key}” is the key of {taken[key].id} already.",
                    where=f"{where}: keys.{action.id}",
                    todo=f"Take another key, or give {taken[key].id} another one as well.",
                )
            taken[key] = action
