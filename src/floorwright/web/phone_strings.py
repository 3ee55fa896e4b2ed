"""What the scripts of the phone pages say, in English; {names} are filled in on the phone.

Each page hands its script these texts in its own language, so that a script holds none of its own.
"""

from __future__ import annotations

from typing import Final

from floorwright.web.words import N_, gettext

_EVERYWHERE: Final = {
    "full": N_("This device has no room left: what you did last is not kept. Send what waits, then try again."),
    "sent_already": N_("That is on its way already; correct it on the study's page."),
}
_LIVE: Final = {
    "none_yet": N_("Nothing timed yet."),
    "one_yet": N_("1 timed: {mean} s"),
    "so_far": N_("n {n} · mean {mean} s ({low} to {high})"),
    "more": N_("{more} more"),
    "enough": N_("enough for the mean"),
    "planned": N_("{n} of {planned} planned"),
    "planned_done": N_("all {planned} planned are in"),
    "before_short": N_("The study before has {n} readings; it takes {first} to compare."),
    "compared_from": N_("Compared with before from {first} on: {more} more."),
    "less": N_("{x} s less than before so far ({low} to {high})"),
    "more_than": N_("{x} s more than before so far ({low} to {high})"),
    "less_unclear": N_("{x} s less than before so far ({low} to {high}): not shown yet"),
    "more_than_unclear": N_("{x} s more than before so far ({low} to {high}): not shown yet"),
}
_WATCH: Final = {
    "whole_cycle": N_("whole cycle"),
    "cycle": N_("Cycle {n}"),
    "cycle_of": N_("Cycle {n} · {step} of {steps}"),
    "then": N_("then {element}"),
    "pad_ready": N_("Start"),
    "pad_running": N_("Lap"),
    "pad_foreign": N_("Back to work"),
    "pad_paused": N_("Go on"),
    "pad_ended": N_("Stopped"),
    "begins": N_("{element} begins"),
    "ends": N_("{element} ends"),
    "person": N_("Person {n}"),
    "for_foreign": N_("foreign: does not count"),
    "for_paused": N_("paused: does not count"),
    "this_element": N_("this element {time}"),
    "lapped": N_("{element}: {time}"),
    "said_start": N_("Started."),
    "said_lap": N_("Lap."),
    "said_back": N_("Back to work."),
    "said_resume": N_("The watch goes on."),
    "said_cycle": N_("Next cycle."),
    "said_undo": N_("Undone: the time went back to where it belongs."),
    "said_foreign": N_("Foreign: this does not count."),
    "said_pause": N_("Paused."),
    "said_end": N_("Stopped. All laps are kept and sent."),
    "said_note": N_("Note added."),
    "said_photo": N_("Photo kept."),
    "said_asked": N_("Noted: the people were asked today."),
    "reason_break": N_("break"),
    "reason_waiting": N_("waiting"),
    "reason_no_material": N_("no material"),
    "reason_machine_down": N_("machine down"),
    "reason_other_work": N_("other work"),
    "reason_phone": N_("phone"),
    "reason_forklift": N_("forklift in the way"),
    "reason_helping": N_("helping someone"),
    "reason_question": N_("a question"),
    "reason_dropped": N_("dropped something"),
    "doubts": N_("{n} with two times: say which counts"),
    "doubt": N_("Cycle {cycle}, {element}: {why} Which time counts?"),
    "doubt_slept": N_("The device slept; the second time has the sleep in it."),
    "doubt_clock": N_("The clock was changed; the first time is the watch's, the second the clock's."),
    "doubt_closed": N_("The page was closed; the first time ran on meanwhile, the second leaves that out."),
    "doubt_long": N_("It took longer than a shift; the watch was left running."),
    "jump_slept": N_("The device slept. This lap gets two times; you say which counts."),
    "jump_clock": N_("The clock of this device was changed. This lap gets two times; you say which counts."),
    "jump_closed": N_("Going on from before: this page was closed. This lap gets two times; you say which counts."),
    "taken_over": N_("This watch goes on in another tab. Close this one."),
    "leave_out": N_("Leave it out"),
    "left_out": N_("left out"),
    "in_doubt": N_("two times: not counted yet"),
    "foreign_lap": N_("foreign"),
    "with_photo": N_("photo"),
    "about": N_("About the last lap: {element}, {time}"),
    "about_none": N_("About the last lap: none yet"),
}  # fmt: skip
_COUNT: Final = {
    "unit": N_("unit"),
    "one_more": N_("{name}: {n}"),
    "closed": N_("{per} closed: {n} counted."),
    "counted": N_("{total} counted, {exposure} × {per}"),
    "rate": N_("{rate} a {per}"),
    "share": N_("{rate} % of {n} looks"),
    "none_yet": N_("Nothing closed yet."),
    "nothing_open": N_("Nothing to undo."),
    "no_exposure": N_("Say how much it was counted over: a number above 0."),
    "no_looks": N_("Tap what you saw first."),
}
_WALK: Final = {
    "begin": N_("Tap the station where the round begins."),
    "leg": N_("{from} to {to}: {metres}"),
    "total": N_("{metres} so far"),
    "round": N_("Round kept: {metres}."),
    "no_distance": N_("No distance from {from} to {to}: add it under Settings, or tap another station."),
    "no_stations": N_("The shop has no distance table yet. Add distances under Settings, then come back."),
    "rounds": N_("{n} rounds · mean {mean} ({low} to {high})"),
    "rounds_few": N_("{n} rounds · mean {mean}"),
    "none_yet": N_("No round yet."),
    "unfinished": N_("Tap at least two stations before you end the round."),
}
_LIFT: Final = {
    "limit": N_("Up to {limit} for nearly all healthy workers in this way."),
    "fine": N_("Nearly all healthy workers can do this without a raised risk of back pain."),
    "raised": N_("The risk of back pain is raised for part of the workforce: redesign the lift."),
    "high": N_("The risk of back pain is high for many workers: redesign the lift first."),
    "outside": N_("Outside the equation: no weight counts as safe here. Change the lift."),
    "worst_HM": N_("Most is lost by the reach: bring the load closer to the body."),
    "worst_VM": N_("Most is lost by the height: start or end nearer to knuckle height."),
    "worst_DM": N_("Most is lost by the travel: lift over a shorter height."),
    "worst_AM": N_("Most is lost by the twist: turn the feet, or move the load in front."),
    "worst_FM": N_("Most is lost by how often: fewer lifts a minute, or a shorter time of lifting."),
    "worst_CM": N_("Most is lost by the grip: handles or a better hold."),
    "incomplete": N_("Fill in the boxes; the index shows as you type."),
    "unreadable": N_("'{value}' cannot be read; write a number with its unit, like {example}."),
    "kept_lift": N_("Kept: lifting index {index}."),
    "lifts": N_("{n} lifts kept on this page."),
    "no_index": N_("Without an index there is nothing to keep: the lift is outside the equation."),
}
_VIDEO: Final = {
    "choose": N_("Choose a video. It stays on this device; only the times are sent."),
    "mark": N_("{element} ends at {time}"),
    "mark_foreign": N_("{element} stops at {time}: foreign"),
    "mark_back": N_("{element} goes on at {time}"),
    "started": N_("Start at {time}"),
    "nothing_marked": N_("Nothing marked yet. Go to where the work begins and mark the start."),
    "mark_start": N_("Mark the start"),
    "mark_end": N_("Mark: {element} ends"),
    "not_later": N_("There is a mark on this frame already. Go on in the video, then mark."),
    "sent": N_("{n} readings kept and on their way."),
    "measured_fps": N_("{fps} frames a second, measured."),
    "remove": N_("Take out"),
    "frame_back": N_("One frame earlier"),
    "frame_on": N_("One frame later"),
    "whole_cycle": N_("whole cycle"),
    "cannot_play": N_("This browser cannot play that file. Try MP4 or WebM."),
    "play": N_("Play"),
    "stop": N_("Stop"),
}
_PAGES: Final = {
    "watch": _WATCH | _LIVE,
    "count": _COUNT,
    "walk": _WALK,
    "lift": _LIFT,
    "video": _VIDEO | _LIVE,
}


def strings(page: str) -> dict[str, str]:
    """The texts of a page's script in the language at hand."""
    return {name: gettext(text) for name, text in (_EVERYWHERE | _PAGES[page]).items()}
