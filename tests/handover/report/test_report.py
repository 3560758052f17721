"""The report of a small job: what stands on its first page, that it is one closed file, and that it says the truth."""

from __future__ import annotations

import os
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.handover.report.svg import ROLES
from fieldtui.job import Walk, load_job, logs_folder
from fieldtui.route import load_route
from fieldtui.survey import Target
from harness.html_page import Page
from harness.jobs import Ticking, answer_start, begin, book_calm, book_chord, lay, lay_shipped

MAY = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)
HOSTILE = ("<script>alert(1)</script>", "[red]bold[/red] {{ 7*7 }}", "حائط متشقق", "w" * 190, '"><img src=x onerror=y>')


def moving_job(folder: Path, notes: tuple[str, ...] = ()) -> Path:
    """Two calm surveys, then one in which a chord closes by six millimetres, one is unsafe and notes are made."""
    path = lay(folder, control=False)
    for days in (0, 2):
        book_calm(begin(path, Ticking(MAY + timedelta(days=days))))
    walk = begin(path, Ticking(MAY + timedelta(days=4)))
    answer_start(walk)
    book_chord(walk, "320", "6.30", "6.32", "6.31")
    for note in notes:
        walk.note(note)
    unsafe(walk)
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    walk.close()
    return path


def unsafe(walk: Walk) -> None:
    assert walk.step.target == Target("A", "L-K")
    walk.unread(walk.step.target, "unsafe", "crack above <the> anchor")


def written(path: Path, *more: str, status: int = 1) -> str:
    """The report's text; of this job somebody has still to be told, so the status is 1."""
    out = path.parent / "out.html"
    assert main(["report", str(path), "--out", str(out), *more]) == status
    return out.read_text(encoding="utf-8")


def test_the_first_page_says_what_moved_what_is_above_a_level_and_who_has_to_be_told(tmp_path: Path) -> None:
    page = Page(written(moving_job(tmp_path))).text
    assert "1 chord ABOVE a level (A L-R); somebody has still to be told" in page
    assert "■ above look" in page
    assert "closing 6.00" in page
    assert "Read again within the shift." in page
    assert "STILL TO BE TOLD: shift engineer" in page
    assert "-6.00 ±" in page


def test_of_a_chord_that_was_never_read_no_movement_is_denied(tmp_path: Path) -> None:
    path = lay(tmp_path, control=False)
    walk = begin(path, Ticking(MAY))
    answer_start(walk)
    book_chord(walk, "320", "6.30", "6.32", "6.31")
    unsafe(walk)
    walk.close()
    page = Page(written(path, status=0)).text
    assert "None of the chords that were read (1) moved" in page
    assert "Never read: 2." in page


def test_what_is_added_to_a_dial_is_named_in_words(tmp_path: Path) -> None:
    page = Page(written(moving_job(tmp_path))).text
    assert "What the tape has read, as of" in page
    assert "dial value for temp. length" in " ".join(page.split())


def test_the_first_page_says_what_was_not_read_and_why(tmp_path: Path) -> None:
    assert "A L-K: UNSAFE: crack above <the> anchor" in Page(written(moving_job(tmp_path))).text


def test_an_instrument_without_a_frame_is_not_said_to_be_proven(tmp_path: Path) -> None:
    page = Page(written(moving_job(tmp_path))).text
    assert "▲ not proven" in page
    assert "no control frame" in page


def test_nothing_is_said_of_ground_being_safe(tmp_path: Path) -> None:
    page = Page(written(moving_job(tmp_path))).text
    assert not re.search(r"\b(is|are|was) safe\b|stable|no danger", page, re.IGNORECASE)
    assert "says nothing about the ground" in page


def test_the_page_has_no_script_and_refers_to_nothing_outside(tmp_path: Path) -> None:
    html = written(moving_job(tmp_path))
    page = Page(html)
    assert not {"script", "link", "img", "iframe", "object", "embed", "base", "form"} & {tag for tag, _ in page.tags}
    policy = next(one["content"] for tag, one in page.tags if tag == "meta" and "http-equiv" in one)
    assert policy == "default-src 'none'; style-src 'unsafe-inline'"
    references = [one[name] for _, one in page.tags for name in ("href", "src", "xlink:href") if name in one]
    assert all(str(one).startswith("#") for one in references)
    assert "url(" not in html.replace("url(#", "")
    assert "@import" not in html


def test_every_figure_has_its_text_and_every_reference_its_place(tmp_path: Path) -> None:
    html = written(moving_job(tmp_path))
    page = Page(html)
    figures = [one for tag, one in page.tags if tag == "figure"]
    assert figures
    assert all(one["role"] == "img" and one["aria-label"] for one in figures)
    ids = [one["id"] for _, one in page.tags if "id" in one]
    assert len(ids) == len(set(ids))
    used = set(re.findall(r'(?:url\(#|href="#)([^)"]+)', html))
    assert used <= set(ids)


def test_figures_have_no_colour_but_those_that_follow_light_and_dark(tmp_path: Path) -> None:
    html = written(moving_job(tmp_path))
    drawn = re.findall(r"<svg.*?</svg>", html, re.DOTALL)
    assert drawn
    painted = re.findall(r"(?:fill|stroke): ([^;\"]+)", " ".join(drawn))
    assert {one for one in painted if one != "none"} <= set(ROLES.values())


def test_the_same_logs_give_the_same_bytes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = moving_job(tmp_path)
    first = written(path)
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    monkeypatch.setenv("LC_ALL", "C")
    assert written(path) == first


def test_what_people_typed_breaks_nothing_and_is_there_to_read(tmp_path: Path) -> None:
    html = written(moving_job(tmp_path, HOSTILE))
    page = Page(html)
    assert not {"script", "img"} & {tag for tag, _ in page.tags}
    for note in HOSTILE:
        assert note in page.text


def test_names_of_the_route_break_nothing_either(tmp_path: Path) -> None:
    path = lay(tmp_path)
    name, level = '<script>$x_2$</script> & [b] "نفق"', "look $x_2$ </svg><img src=x>"
    text = path.read_text(encoding="utf-8").replace('name = "Test heading"', f"name = '{name}'")
    path.write_text(text.replace('name = "look"', f'name = "{level}"'), encoding="utf-8")
    book_calm(begin(path, Ticking(MAY)))
    page = Page(written(path, status=0))
    assert not {"script", "img"} & {tag for tag, _ in page.tags}
    assert name in page.text
    assert level in page.text


def test_the_code_in_the_report_is_the_one_that_verifies(tmp_path: Path) -> None:
    path = moving_job(tmp_path)
    page = Page(written(path)).text
    codes = re.findall(r"\b[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z*~$=]", page)
    assert len(codes) == 3
    for code in codes:
        assert main(["verify", str(path.parent / "logs"), "--code", code]) == 0


def test_as_of_leaves_out_what_was_read_later(tmp_path: Path) -> None:
    page = Page(written(moving_job(tmp_path), "--as-of", "2031-05-07", status=0)).text
    assert "ABOVE" not in page
    assert "2031-05-08" not in page


def test_as_of_a_time_within_a_survey_leaves_it_open(tmp_path: Path) -> None:
    path = moving_job(tmp_path)
    route = load_route(path)
    state = load_job(route, logs_folder(route)).counting[-1].state
    read = state.bookings[Target("A", "L-R")].read_at
    assert read is not None
    page = Page(written(path, "--as-of", read.isoformat())).text
    assert "Not dealt with in survey 2031-05-08, which is still open: A L-K, B L-R" in page


def test_a_report_of_one_survey_lists_its_readings_alone(tmp_path: Path) -> None:
    path = moving_job(tmp_path)
    whole, one = Page(written(path)).text, Page(written(path, "--survey", "2031-05-08")).text
    assert whole.count("12.30 12.32 12.31") == 7
    assert one.count("12.30 12.32 12.31") == 1
    since = Page(written(path, "--since", "2031-05-06")).text
    assert since.count("12.30 12.32 12.31") == 4


def test_a_survey_that_had_not_begun_by_the_time_asked_for_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = moving_job(tmp_path)
    assert main(["report", str(path), "--survey", "2031-05-08", "--as-of", "2031-05-05"]) == 2
    assert "Survey 2031-05-08 had not begun by 2031-05-05." in capsys.readouterr().err


def test_who_checked_it_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = moving_job(tmp_path)
    assert "Checked by A. N. Engineer" in Page(written(path, "--status", "checked", "--by", "A. N. Engineer")).text
    assert main(["report", str(path), "--status", "issued"]) == 2
    assert "--by" in capsys.readouterr().err


def test_without_a_survey_there_is_no_report(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(lay(tmp_path))]) == 2
    assert "nothing to report" in capsys.readouterr().err
    assert [one.name for one in tmp_path.iterdir()] == ["heading.toml"]


def test_a_file_that_is_no_report_is_never_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = moving_job(tmp_path)
    other = tmp_path / "letter.html"
    other.write_text("<html>Dear engineer</html>", encoding="utf-8")
    assert main(["report", str(path), "--out", str(other)]) == 2
    assert "nothing was written" in capsys.readouterr().err
    assert other.read_text(encoding="utf-8") == "<html>Dear engineer</html>"


def test_a_report_that_fails_half_way_leaves_the_earlier_one_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = moving_job(tmp_path)
    before = written(path)
    names = sorted(one.name for one in tmp_path.iterdir())

    def stopped(number: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stopped)
    assert main(["report", str(path), "--out", str(tmp_path / "out.html"), "--status", "issued", "--by", "X"]) == 2
    assert (tmp_path / "out.html").read_text(encoding="utf-8") == before
    assert sorted(one.name for one in tmp_path.iterdir()) == names


def test_what_was_read_once_is_not_said_to_be_below_a_level(tmp_path: Path) -> None:
    path = lay(tmp_path)
    book_calm(begin(path, Ticking(MAY)))
    page = Page(written(path, status=0)).text
    assert "No chord can be held against a level yet: each was read once, or has no level" in page
    assert "is below the levels" not in page
    walk = begin(path, Ticking(MAY + timedelta(days=1)))
    answer_start(walk)
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    walk.close()
    assert (
        "Below their levels, as far as they can be held against one: 1 of 3 chords"
        in Page(written(path, status=0)).text
    )
    book_calm(begin(path, Ticking(MAY + timedelta(days=2))))
    told = "Every chord that was read is below the levels that the route states for it"
    assert told in Page(written(path, status=0)).text


def test_the_text_form_says_what_the_logs_lack(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = moving_job(tmp_path)
    sorted((path.parent / "logs").glob("*.jsonl"))[0].unlink()
    assert main(["report", str(path), "--form", "text"]) == 1
    (line,) = [one for one in capsys.readouterr().out.splitlines() if one.startswith("LOGS: ")]
    assert line.endswith("The log is not here.")


def test_the_text_form_is_short_plain_ascii_and_says_whom_to_tell(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = moving_job(tmp_path, HOSTILE)
    assert main(["report", str(path), "--form", "text"]) == 1
    text = capsys.readouterr().out
    assert len(text.encode("ascii")) < 2000
    assert "ABOVE look: A L-R closing 6.00 +-" in text
    assert "AGREED for look: TELL: shift engineer. DO: Read again within the shift." in text
    assert "NOT READ: A L-K: UNSAFE" in text
    assert "\nDUE: nothing has to be read today." in text
    assert text.rstrip().endswith("says nothing about the ground.")


def test_the_shift_form_is_the_first_page_alone(tmp_path: Path) -> None:
    page = Page(written(moving_job(tmp_path), "--form", "shift"))
    assert "■ above look" in page.text
    assert "figure" not in {tag for tag, _ in page.tags}


def test_a_route_in_inches_is_reported_in_inches(tmp_path: Path) -> None:
    path = lay_shipped(tmp_path, "us-cavern")
    out = tmp_path / "out.html"
    assert main(["report", str(path), "--out", str(out)]) == 2
    walk = begin(path, Ticking(MAY))
    while walk.step.target is None or not walk.step.target.is_chord:
        step = walk.step
        if step.kind in ("arrive", "result"):
            walk.book("")
        elif step.kind == "say":
            walk.book({"tape": "1", "extensometer": "1", "cautions": "1", "reader": "AB"}.get(step.what, ""))
        else:
            walk.book("0.000") if step.target.is_zero else walk.unread(step.target, "other", "not today")
    target = walk.step.target
    figures = {"hole": "60", "hole_again": "60", "temperature": "52.0"}
    while walk.step.target == target and walk.step.kind in ("figure", "arrive"):
        walk.book(figures.get(walk.step.what, "0.500") if walk.step.kind == "figure" else "")
    walk.accept()
    assert main(["report", str(path), "--out", str(out)]) == 0
    page = Page(out.read_text(encoding="utf-8")).text
    assert "Figures in in; negative is closing" in page
    assert "temperatures in degF" in page
    assert "Not dealt with in survey 2031-05-04, which is still open" in page
