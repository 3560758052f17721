"""A sheet's bytes to rows: what is read, and what is refused with its line."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtui.paper.cells import guarded, unguarded
from fieldtui.paper.table import SheetRefused, decoded, read_table

A, B = ("a", "b"), ("c",)


def cells(text: str) -> list[dict[str, str]]:
    return [dict(line.cells) for line in read_table(text, "s.csv", A, B).lines]


def test_commas_or_semicolons_whichever_the_header_uses() -> None:
    assert cells("a,b\n1.5,2\n") == [{"a": "1.5", "b": "2"}]
    assert cells("a;b\n1,5;2\n") == [{"a": "1,5", "b": "2"}]


def test_columns_in_any_order_and_some_of_the_optional_ones() -> None:
    assert cells("c,b,a\n1,2,3\n") == [{"c": "1", "b": "2", "a": "3"}]


def test_a_byte_order_mark_and_crlf_are_no_text() -> None:
    text = decoded("\ufeffa,b\r\n1,2\r\n".encode(), "s.csv")
    assert cells(text) == [{"a": "1", "b": "2"}]


def test_quoted_cells_hold_separators_quotes_and_line_ends() -> None:
    table = read_table('a,b\n"1,""x""\ny",2\n3,4\n', "s.csv", A, B)
    assert [line["a"] for line in table.lines] == ['1,"x"\ny', "3"]
    assert [line.number for line in table.lines] == [2, 4]


def test_empty_rows_are_no_rows_and_lines_are_counted_on() -> None:
    assert [line.number for line in read_table("\na,b\n\n1,2\n,,\n3,4\n", "s.csv", A, B).lines] == [4, 6]


def test_latin_1_is_refused_with_its_line() -> None:
    with pytest.raises(SheetRefused) as refused:
        decoded("a,b\n1,2\n3,Müller\n".encode("latin-1"), "s.csv")
    assert refused.value.where == "s.csv:3"
    assert "Line 3 is not UTF-8" in refused.value.what
    assert "CSV UTF-8" in refused.value.todo


@pytest.mark.parametrize("content", ["a,b\n".encode("utf-16"), b"a,b\n1,\0\n"])
def test_other_bytes_that_are_no_text_are_refused(content: bytes) -> None:
    with pytest.raises(SheetRefused):
        decoded(content, "s.csv")


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "empty"),
        ("a\n1\n", "“b” is missing"),
        ("a,b,d\n", "“d” is not a column"),
        ("a,b,a\n", "“a” stands there twice"),
        ('a,b\n"1,2\n', "cannot be told apart"),
    ],
)
def test_a_sheet_that_cannot_be_read_as_a_whole_is_refused(text: str, word: str) -> None:
    with pytest.raises(SheetRefused, match=word):
        read_table(text, "s.csv", A, B)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "'"])
def test_a_cell_that_would_start_a_formula_has_an_apostrophe_in_front(start: str) -> None:
    assert guarded(f"{start}1") == f"'{start}1"
    assert unguarded(f"'{start}1") == f"{start}1"
    assert unguarded("'tis text") == "'tis text"


@given(st.text())
def test_no_cell_of_text_starts_a_formula_and_nothing_is_lost(text: str) -> None:
    cell = guarded(text)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert unguarded(cell) == text


@given(st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\0")), min_size=2, max_size=2))
def test_whatever_a_csv_writer_writes_is_read_again(pair: list[str]) -> None:
    text = io.StringIO()
    csv.writer(text).writerows([A, [guarded(cell) for cell in pair]])
    expected = [cell.strip() for cell in pair]
    lines = read_table(text.getvalue(), "s.csv", A, B).lines
    assert [[line["a"], line["b"]] for line in lines] == ([expected] if any(expected) else [])
