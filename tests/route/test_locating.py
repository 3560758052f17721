"""The line of a key: for whatever way a document is written, the line found is the line the key stands on."""

from __future__ import annotations

import sys
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtui.route.locate import lines_of
from fieldtui.route.problem import KeyPath

TRICKY = '''\
# a = 1
"quoted key" = """
b = 2
[c]
quote \\""" and ""two""
""" # done
dotted . "inner.key" = 'it"s' # not a key = 3
list = [ # a remark with ] in it
  1, "]", # 2

  [3,
   4],
  { x = 1, y.z = "}" },
]
when = 1979-05-27 07:32:00
"\\u00e9" = true

[[station]]
name = "A" # = "B"
[[station.anchor]]
name = "L"
  [[ station . "anchor" ]]
  name = "R"
[station.place]
up = 1
[[station]]
anchor = [ {name = "L"},
  {name = "R"} ]
[a.b.c]
d = \'\'\'
[no]\'\'\'\'\'
[a]
e = 1
'''


def test_every_way_to_write_a_key() -> None:
    tomllib.loads(TRICKY)
    lines = lines_of(TRICKY)
    expected: dict[KeyPath, int] = {
        ("quoted key",): 2,
        ("dotted",): 7,
        ("dotted", "inner.key"): 7,
        ("list",): 8,
        ("list", 0): 9,
        ("list", 1): 9,
        ("list", 2): 11,
        ("list", 2, 0): 11,
        ("list", 2, 1): 12,
        ("list", 3): 13,
        ("list", 3, "x"): 13,
        ("list", 3, "y"): 13,
        ("list", 3, "y", "z"): 13,
        ("when",): 15,
        ("é",): 16,
        ("station",): 18,
        ("station", 0): 18,
        ("station", 0, "name"): 19,
        ("station", 0, "anchor"): 20,
        ("station", 0, "anchor", 0): 20,
        ("station", 0, "anchor", 0, "name"): 21,
        ("station", 0, "anchor", 1): 22,
        ("station", 0, "anchor", 1, "name"): 23,
        ("station", 0, "place"): 24,
        ("station", 0, "place", "up"): 25,
        ("station", 1): 26,
        ("station", 1, "anchor"): 27,
        ("station", 1, "anchor", 0): 27,
        ("station", 1, "anchor", 0, "name"): 27,
        ("station", 1, "anchor", 1): 28,
        ("station", 1, "anchor", 1, "name"): 28,
        ("a", "b"): 29,
        ("a", "b", "c"): 29,
        ("a", "b", "c", "d"): 30,
        ("a",): 32,
        ("a", "e"): 33,
    }
    assert lines == expected


def paths_in(value: Any, at: KeyPath = ()) -> set[KeyPath]:
    """Every path of a parsed document."""
    found = {at} if at else set()
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in inner:
        found |= paths_in(one, (*at, key))
    return found


KEYS = st.sampled_from(["a", "b-1", "c_2", "3", '"x y"', "'q.r'", '"#"', '"\\u00e9"', '"[n]"', '"="', '"a\\"b"'])
SPACE = st.sampled_from(["", " ", "  ", "\t"])
REMARKS = st.sampled_from(["", " # remark", ' # x = "1', " # [t]", " #]", "  "])
GAPS = st.sampled_from(["", "\n", "\n\n", "# [gap]\n", '  # "k" = 1\n\n', '# """\n'])
SCALARS = st.sampled_from(
    [
        "1",
        "-2.5e3",
        "true",
        "inf",
        "2031-01-01",
        "1979-05-27 07:32:00",
        "07:32:00",
        '""',
        "''",
        '"text"',
        '"# [ ] { } , ="',
        "'\\'",
        '"\\""',
        '"\\\\"',
        '"""a\n\nb = 1\n"""',
        '"""\n[t]"""""',
        "'''\n''k = 1\n'''",
        '"""\\""" \\\n  """',
        '""""q"\n"""',
    ]
)


@st.composite
def values(draw: st.DrawFn, line: int, depth: int, *, one_line: bool = False) -> tuple[str, int, dict[KeyPath, int]]:
    """A value's text, the line on which it ends, and the lines of what is in it."""
    kind = draw(st.sampled_from(["scalar", "scalar", "list", "table"])) if depth else "scalar"
    if kind == "scalar":
        text = draw(SCALARS.filter(lambda text: not (one_line and "\n" in text)))
        return text, line + text.count("\n"), {}
    lines: dict[KeyPath, int] = {}
    if kind == "list":
        text = "["
        for place in range(draw(st.integers(0, 3))):
            gap = "" if one_line else draw(st.sampled_from(["", " ", "\n", " # r ] \n\n  "]))
            text, line = text + gap, line + gap.count("\n")
            lines[(place,)] = line
            one, line, inner = draw(values(line, depth - 1, one_line=one_line))
            lines |= {(place, *at): number for at, number in inner.items()}
            end = "," if one_line else draw(st.sampled_from([",", " ,", "\n,", ", # r\n"]))
            text, line = text + one + end, line + end.count("\n")
        return text + "]", line, lines
    parts = []
    for key in draw(st.lists(KEYS, max_size=3, unique=True)):
        name = next(iter(tomllib.loads(f"{key} = 1")))
        one, line_after, inner = draw(values(line, depth - 1, one_line=True))
        lines[(name,)] = line
        lines |= {(name, *at): number for at, number in inner.items()}
        parts.append(f"{draw(SPACE)}{key}{draw(SPACE)}={draw(SPACE)}{one}")
        line = line_after
    return "{" + ",".join(parts) + "}", line, lines


@st.composite
def documents(draw: st.DrawFn) -> tuple[str, dict[KeyPath, int]]:
    """A document, and the line on which each of its keys was written."""
    text, lines = "", {}
    counts: dict[str, int] = {}
    table: KeyPath = ()
    for number in range(draw(st.integers(1, 4))):
        if number:
            name = f"t{draw(st.integers(0, 2))}"
            shape = draw(st.sampled_from(["table", "list", "nested"]))
            text += draw(GAPS)
            line = text.count("\n") + 1
            if shape == "table":
                table = (f"{name}{number}",)
                text += f"[{draw(SPACE)}{name}{number}{draw(SPACE)}]{draw(REMARKS)}\n"
            else:
                counts[name] = counts.get(name, -1) + 1
                table = (name, counts[name])
                lines.setdefault((name,), line)
                text += f"[[{draw(SPACE)}{name}{draw(SPACE)}]]{draw(REMARKS)}\n"
            lines[table] = line
            if shape == "nested":
                for place in range(draw(st.integers(1, 2))):
                    text += draw(GAPS)
                    line = text.count("\n") + 1
                    lines.setdefault((*table, "in"), line)
                    lines[(*table, "in", place)] = line
                    lines[(*table, "in", place, "k")] = line + 1
                    text += f'[[{name} . "in"]]{draw(REMARKS)}\nk = {place}\n'
                continue
        for key in draw(st.lists(KEYS, max_size=4, unique=True)):
            text += draw(GAPS)
            line = text.count("\n") + 1
            value, _, inner = draw(values(line, 2))
            name = next(iter(tomllib.loads(f"{key} = 1")))
            lines[(*table, name)] = line
            lines |= {(*table, name, *at): one for at, one in inner.items()}
            text += f"{draw(SPACE)}{key}{draw(SPACE)}={draw(SPACE)}{value}{draw(REMARKS)}\n"
    return text, lines


@given(documents(), st.booleans())
@settings(max_examples=150, deadline=None)
def test_the_line_found_is_the_line_the_key_is_on(document: tuple[str, dict[KeyPath, int]], windows: bool) -> None:
    text, expected = document
    if windows:
        text = text.replace("\n", "\r\n")
    assert paths_in(tomllib.loads(text)) == set(expected)
    assert lines_of(text) == expected


@pytest.mark.parametrize("unit", ["[[a]]\nb = 1\n", 'x{n} = "text"\n', "y{n} = [\n{{a = 1}},\n]\n", "# remark\n"])
def test_the_time_grows_with_the_text_and_no_faster(unit: str) -> None:
    def steps(count: int) -> int:
        """Calls made, which unlike seconds are the same on every machine."""
        made = 0

        def count_call(frame: object, event: str, argument: object) -> None:
            nonlocal made
            made += event in ("call", "c_call")

        text = "".join(unit.format(n=number) for number in range(count))
        sys.setprofile(count_call)
        try:
            lines_of(text)
        finally:
            sys.setprofile(None)
        return made

    assert steps(400) <= 4.1 * steps(100) + 100
