"""The columns of readings.csv. Uncertainties (`…_u`, `u_…`) are standard, k = 1."""

from __future__ import annotations

from fieldtui.handover.columns import Column
from fieldtui.reduction import sources as names

U = {
    names.REPEATABILITY: "u_repeatability",
    names.REPRODUCIBILITY: "u_reproducibility",
    names.HOLE: "u_hole",
    names.TEMPERATURE: "u_temperature",
    names.EXPANSION: "u_expansion",
    names.SECOND_ORDER: "u_temperature_expansion",
    names.FRAME: "u_control_frame",
}
"""Terms of a length's uncertainty, and their columns."""

READINGS = (
    Column("survey", "string", "label of the survey"),
    Column("survey_id", "string", "id of the survey, shared by the logs that continue it"),
    Column("time", "datetime", "of reading, in the route's time zone"),
    Column("time_zone", "string", "the route's time zone (IANA)"),
    Column("station", "string", "empty for the control frame and the dial zero"),
    Column("chord", "string", "FROM-TO, `frame` or `zero`"),
    Column("part", "string", "of the survey, for frame and zero: start, between, end"),
    Column("reading", "integer", "counts the bookings of one chord in one survey"),
    Column(
        "outcome", "string", "read, kept (with a reason, though it did not agree), earlier, struck, or why not read"
    ),
    Column("tape", "string", "serial"),
    Column("tape_version", "integer", "of its data, as in instruments.csv"),
    Column("extensometer", "string", "serial"),
    Column("extensometer_version", "integer", "of its data, as in instruments.csv"),
    Column("control_frame", "string", "name, for readings of the frame"),
    Column("control_frame_version", "integer", "of its data, as in instruments.csv"),
    Column("observer", "string", "who read"),
    Column("recorder", "string", "who recorded"),
    Column("hole", "integer", "as typed"),
    *(Column(f"dial_{number}", "number", "as typed; a dial zero stands in dial_1", "small") for number in range(1, 6)),
    Column("temperature", "number", "of the tape, as typed", "degree"),
    Column("hole_distance", "number", "by pitch or calibration table", "small"),
    Column("dial", "number", "value of the repeats", "small"),
    Column("dial_is", "string", "mean of the repeats, or their median where they do not agree"),
    Column("repeats_agree", "boolean", "within the critical range"),
    Column("raw_length", "number", "hole distance with dial", "small"),
    Column("temperature_correction", "number", "added", "small"),
    Column("frame_correction", "number", "added; of the frame itself: minus its own expansion", "small"),
    Column("length", "number", "corrected", "small"),
    Column("length_u", "number", "its standard uncertainty", "small"),
    *(Column(column, "number", f"its part from {name}", "small") for name, column in U.items()),
    Column(
        "logged_length", "number", "with the data that the log holds, where those have been corrected since", "small"
    ),
    Column("segment", "integer", "of the chord: readings with one tape, extensometer and anchors"),
    Column("baseline", "boolean", "one of the baseline's sets"),
    Column("counts", "boolean", "not doubtful, and the survey's last that is not"),
    Column("doubtful", "boolean", "and not confirmed by a later reading"),
    Column("doubt", "string", "why it is or was doubtful"),
    Column("marks", "string", "of its instrument: certificate run out, frame drifting, not proven; it counts"),
    Column("confirmed_by", "string", "label of the survey that confirmed it"),
    Column("change", "number", "since the last survey that was not doubtful; negative is closing", "small"),
    Column("change_u", "number", "its standard uncertainty", "small"),
    Column("change_since", "datetime", "time of that reading"),
    Column("since_baseline", "number", "carried over segments; negative is closing", "small"),
    Column("since_baseline_u", "number", "its standard uncertainty", "small"),
    Column("total", "number", "from the first baseline of all; negative is closing", "small"),
    Column("total_u", "number", "its standard uncertainty", "small"),
    Column("epoch", "string", "the baseline declared last before it"),
    Column("since_epoch", "number", "movement since that; negative is closing", "small"),
    Column("since_epoch_u", "number", "its standard uncertainty", "small"),
    Column("rate", "number", "negative is closing", "a day"),
    Column("rate_u", "number", "its standard uncertainty", "a day"),
    Column("rate_since", "datetime", "time of the reading that the rate is counted from"),
    Column("level", "string", "below, cannot tell or above: of the route's figures, not of the ground"),
    Column("level_name", "string", "the level that gives it"),
    Column("reason", "string", "why it was kept or not read"),
    Column("note", "string", "remarks at this chord"),
    Column("struck", "string", "what no longer counts: slot, old figure -> new one (who, why)"),
    Column("log", "string", "id of the log in which its first record stands"),
    Column("seq", "integer", "number of that record"),
)
