"""The control frame's chart as text: exact, so that every mark stands where the figures say.

The data of two of them are those of the NIST/SEMATECH e-Handbook, 6.3.2.2 and 6.3.2.4 (see tests/published).
"""

from __future__ import annotations

import pytest
from published.test_control_charts import EWMA_DATA, FLOW, run

from fieldtui.reduction.chart import Chart, Limits
from fieldtui.tui.frame_chart import draw_frame_chart
from fieldtui.tui.lines import text_of, width_of


def drawn(chart: Chart, now: float | None, width: int, height: int, limit: float = 6.0) -> str:
    lines = draw_frame_chart(chart, now, width, height, limit=limit, unit="mm", decimals=2)
    assert len(lines) == height
    assert {width_of(line) for line in lines} == {width}
    return "\n" + text_of(lines) + "\n"


def test_individuals_of_the_handbook_with_a_value_outside_and_one_far_off() -> None:
    chart = run(Chart(size=10), (*FLOW, 58.0, 50.0, 53.9, 80.0))
    assert (
        drawn(chart, 52.0, 80, 8)
        == """
         │                             ╎○        ▲
   +4.99 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╎╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
         │                  ●  ●  ●  ● ╎      ●  ≈
   +0.00 ┤●─────●──●─────●─────────────╎~──●──~─────◆──────────────────────────
         │   ●        ●                ╎
   -4.99 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╎╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
         │                             ╎
      mm  04 May     ● survey  ○ outside  ~ mean  ≈ drifts  ╌ limits     17 May
"""
    )


def test_the_weighted_mean_of_the_handbook() -> None:
    chart = run(Chart(limits=Limits(50.0, 2.0539, weight=0.3)), EWMA_DATA)
    assert (
        drawn(chart, None, 80, 10)
        == """
   +6.16 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
         │
         │      ●                                         ●  ●  ●
         │●                 ●     ●              ●     ●     ~  ~  ●
   +0.00 ┤~──~──~──●──●─────~──●──~──●──●──~──●──~──~──~──~────────────────────
         │               ~                          ●
         │   ●           ●                 ●
         │
   -6.16 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
      mm  04 May     ● survey  ○ outside  ~ mean  ≈ drifts  ╌ limits     23 May
"""
    )


def test_one_survey_is_one_date() -> None:
    assert drawn(run(Chart(size=10), FLOW[:1]), None, 80, 6).count("04 May") == 1
    assert drawn(run(Chart(size=10), FLOW[:2]), None, 80, 6).splitlines()[-1].endswith("05 May")


def test_before_the_set_is_full_the_route_s_limit_about_the_first_reading() -> None:
    assert (
        drawn(run(Chart(), FLOW[:4]), 49.0, 60, 6)
        == """
   +6.00 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
         │         ●
   +0.00 ┤●─────●─────◆────────────────────────────────────
         │   ●
   -6.00 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌
      mm  04 May                                     07 May
"""
    )


def test_of_many_surveys_the_newest() -> None:
    many = run(Chart(size=10), FLOW * 30)
    assert "╎" not in drawn(many, None, 60, 8), "the set is long past"


@pytest.mark.parametrize(("width", "height"), [(20, 8), (80, 3), (80, 4), (22, 4), (200, 40)])
def test_any_size_is_filled_exactly(width: int, height: int) -> None:
    drawn(run(Chart(size=10), FLOW), 50.0, width, height)
    drawn(Chart(), 50.0, width, height)
    assert "no survey" in drawn(Chart(), None, 80, height) or height >= 4
