"""The text of a new order: an example that is complete as it stands, to be filled in."""

from __future__ import annotations

TEMPLATE = """\
# An order for a pair of socks. Everything here is an example: write your own over it.
# Lines that begin with # are asleep; take the # away to use them. All keys: docs/order.md.
# Quantities stand in quotes with their unit: "24.5 cm", "9 5/8 in", "100 g".

title = "Socks for the winch operator"
units = "cm"                          # the sheets' units: "cm" or "in"

[wearer]
name = "winch operator"
sex = "woman"                         # "woman", "man" or "either": fills what you did not measure
# age = 8                             # for children
# shoe_size = "EU 38"                 # if you cannot measure the foot
# stature = "168 cm"
# weight = "64 kg"

[foot]                                # standing, barefoot; what you leave out is estimated
length = "24.2 cm"                    # back of the heel to the tip of the longest toe
ball_girth = "22.4 cm"                # round the ball of the foot
# heel_girth = "30.6 cm"              # round the tip of the heel and the bend of the ankle
# ankle_girth = "21 cm"               # round the leg at its thinnest
# calf_girth = "36 cm"                # for knee socks
# traced_with = "7 mm"                # if you traced the foot: the thickness of the whole pencil,
                                      # held upright, not of its lead

# [foot.left]                         # what differs in the left foot ([foot.right] likewise)
# length = "24.5 cm"

[yarn.main]
name = "four-ply sock yarn"
fineness = "100 g / 400 m"            # from the label
fibres = { wool = "75 %", nylon = "25 %" }
on_hand = "100 g"                     # for the pair

# [yarn.heel]                         # also cuff, toe, waste and cord
# name = "heel yarn"
# fineness = "100 g / 420 m"

[machine]
# file = "machines/my-machine.toml"   # or keep the machine in a file and leave out the rest
name = "my machine"
turns = "carrier"                     # which part goes round: "carrier" or "cylinder"
cylinders = [60, 72]                  # the needles of each cylinder
# cylinders = [60, { needles = 72, dial = "half" }]  # instead, if the 72 have a ribber's dial:
                                      # "half", "two-thirds" or "full"
# forward = "clockwise"               # seen from above, if not anticlockwise: which way the next
                                      # needle to knit lies when you crank forward

[machine.counter]
counts = "rounds"                     # "rounds", "handle turns" or "passes"
# handle_turns_per_round = 2          # if one turn of the handle is not one round
restarts = true                       # false if you let it run on from section to section

# Measure a swatch off the machine, rested, washed and dried as the sock will be.
# Every reading helps; one is enough. Without a swatch the gauge is estimated from the yarn.
[[swatch]]
name = "first swatch"
state = "washed"                      # "on the machine", "rested" or "washed"
needles = 60                          # the cylinder it was knitted on
# cam = 14                            # the stitch-cam setting it was knitted at
wales = ["31 in 10 cm", "30.5 in 10 cm"]
courses = ["40 in 10 cm", "40.5 in 10 cm"]
# unravelled = { rounds = 10, length = "8 m" }
# flat_width = "9.8 cm"               # the whole tube laid flat
# stretch = { relaxed = "9.8 cm", stretched = "14.5 cm" }

[sock]
# needles = 72                        # the cylinder; without it the best is chosen
drape = "middle"                      # "soft", "middle" or "firm"

[sock.cuff]
kind = "hung hem"                     # "picot hem", "mock-rib hem", "true rib", "rolled edge"
depth = "3 cm"
# kind = "true rib"                   # instead, on a cylinder with a dial
# rib = "3x1"                         # of a true rib: wales knit x wales purl
# remainder = "home"                  # where needles left over by the rib are knitted plain:
                                      # "home" or "halfway"; without it they are refused

[sock.leg]
height = "20 cm"                      # from the floor to the top of the sock

[sock.heel]
kind = "short row"                    # or "afterthought"; "none" for a tube sock

[sock.toe]
closing = "graft"                     # or "gather"

# [sock.ease]                         # how much smaller than the foot the relaxed sock is
# girth = "10 %"
# length = "4 %"
"""


def new_order() -> str:
    """The text of a new order; it can be planned as it stands."""
    return TEMPLATE
