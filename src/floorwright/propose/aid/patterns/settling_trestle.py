"""A trestle (sawhorse) that rolls empty on sprung wheels and stands on its feet under load."""

from __future__ import annotations

from typing import Final

from floorwright.propose.aid.pattern import Pattern
from floorwright.propose.aid.patterns.trestle_checks import own
from floorwright.propose.aid.patterns.trestle_layout import lay_out
from floorwright.propose.aid.patterns.trestle_spec import SettlingTrestleSpec

EXAMPLE: Final = """\
# A trestle (sawhorse) that rolls empty on sprung wheels and stands on its feet as soon as work lies on it.
pattern = "settling_trestle"
title = "Roll-away trestle for weldments, one of a pair"

# The frame. Height is taken with the feet on the floor.
length = "42 in"
height = "30 in"
leg_spread = "30 in"
leg_inset = "4 in"
beam = { section = "HSS3X2X1/8", material = "A500C_shaped" }
legs = { section = "HSS1-1/2X1-1/2X1/8", material = "A500B_shaped" }
rails = { section = "HSS2X2X1/8", material = "A500B_shaped" }
braces = { section = "HSS1-1/2X1-1/2X1/8", material = "A500B_shaped" }

# Wheels hanging out fully hold the feet 1/2 in off the floor; the empty frame squats by half of that.
wheel_count = 4
rise = "1/2 in"
wheel_inset = "-3 in"     # outside the legs, on the ends of the rail: the wider, the less it sways
spring = "choose"        # or a table: wire_diameter, outside_diameter, coils, free_length, ends, material
preload = "4 lbf"        # of each spring with its wheel hanging out
captive = true           # the springs stay caught when a wheel comes off

# The work on this one trestle.
working_load = "500 lb"
work_size = ["36 in", "48 in", "12 in"]
off_centre = 0.2         # it may lie a fifth of the beam's length from the middle
settles_at = "50 %"      # all feet must stand from half of the working load on
work_friction = 0.3      # bare steel on steel
hoist = true             # a hoist takes the work off
in_pairs = true
pair_distance = "6 ft"
feet_friction = 0.5      # rubber pads on this floor, measured
least_load_on_plate = true
cycles_a_day = 12

[joints]
kind = "welded"
weld_leg = "3/16 in"

[wheels]
diameter = "3 in"
width = "1-1/4 in"
rating = "210 lb"
swivel = "one_end"
brake = "total"          # locks wheel and swivel while the feet are up
braked = "all"
height = "6 in"          # floor to the middle of the rail, wheel hanging out fully

[guides]
kind = "tube"
size = "1-1/2 in"
engaged = "4 in"
clearance = "0.010 in"
stops = true

[route]
gap = "3/8 in"              # the widest gap in the floor
bump = "1/8 in"
slope = "1 in 100"
grating = false
door_width = "48 in"
door_height = "80 in"
aisle = "6 ft"
turn_radius = "4 ft"

[place]                  # a question left out is answered `unknown`
booth = false
no_oven = true
wash = false
weld_cell = false        # the work has an earth clamp of its own
forked = false
towed = false
hoisted = false
keeps_exits_clear = true
vented = true
drains = true
guarded_pinch_points = true
"""

PATTERN: Final = Pattern(
    name="settling_trestle",
    title="Roll-away trestle that settles under load",
    question="A sawhorse that rolls where it is needed and stands firmly as soon as work lies on it.",
    spec=SettlingTrestleSpec,
    lay_out=lay_out,
    example=EXAMPLE,
    own=own,
)
