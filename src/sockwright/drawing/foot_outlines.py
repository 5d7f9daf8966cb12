"""The foot that the measuring sheet shows, as outlines drawn by us.

A right foot 260 mm long. From the side it is seen from outside, toes to the right: x from the back
of the heel, z up from the floor. From above the toes point up: u to the right of the axis from
heel to second toe, x from the back of the heel. All mm.
"""

from __future__ import annotations

from sockwright.drawing.svg import Point

LENGTH = 260.0
CALF, ANKLE, BONE = 318.0, 128.0, 68.0
"""Heights of the thickest calf, the thinnest ankle and the tip of the outer ankle bone."""
TOP = 372.0
"""Where the drawn leg ends."""
AT_HEEL = 0.16 * LENGTH
"""Where the heel is broadest (Lee, Lin and Wang 2014)."""

Curve = tuple[Point, ...]

# From the top of the calf down the back, round the heel and along the sole to the ball.
SIDE_BACK: Curve = (
    (11, 372),
    (5, 345),
    (3, 315),
    (6, 280),
    (14, 240),
    (22, 200),
    (27, 160),
    (28, 128),
    (25, 100),
    (18, 78),
    (9, 60),
    (2, 42),
    (0, 27),
    (3, 12),
    (12, 3),
    (28, 0),
    (52, 0),
    (78, 1.5),
    (110, 2.5),
    (140, 1),
    (165, 0),
    (186, 0),
    (200, 2),
)
# From the top of the shin down the front, over the instep to the big toe.
SIDE_FRONT: Curve = (
    (117, 372),
    (118, 340),
    (117, 310),
    (114, 270),
    (109, 225),
    (105, 180),
    (103, 148),
    (104, 122),
    (110, 103),
    (122, 90),
    (140, 79),
    (162, 66),
    (184, 52),
    (204, 40),
    (220, 33),
    (234, 29),
    (248, 25),
    (257, 18),
    (260, 11),
    (258, 4),
    (251, 1),
    (238, 1.5),
)
# The toes in front of it, the little one first: each from its root over its tip to the floor.
SIDE_TOES: tuple[Curve, ...] = (
    ((176, 22), (188, 21), (199, 18.5), (207, 13), (208.5, 6), (204, 1.5), (196, 1)),
    ((195, 27), (207, 24.5), (217, 20), (223.5, 13), (224, 6), (219.5, 1.5), (209, 2)),
    ((209, 30), (221, 27), (231, 22), (237.5, 14), (238, 6), (233.5, 1.5), (225, 2)),
    ((222, 32), (235, 28), (244, 22.5), (249.5, 14.5), (249.5, 6.5), (245, 1.8), (239, 2)),
)
# The outer ankle bone, the tendon behind it and the hollow before it.
SIDE_BONE: Curve = ((50, 98), (47, 84), (52, 71), (60, 67.5), (69, 72), (73, 84), (70, 98))
SIDE_FOLDS: tuple[Curve, ...] = (
    ((42, 152), (43, 128), (41, 104), (35, 84)),
    ((84, 92), (93, 86), (104, 83)),
    ((128, 60), (146, 51), (164, 41)),
    ((132, 46), (150, 37), (168, 29)),
)

# Round the foot from above, from the inner side of the heel to the root of the big toe ...
PLAN_INNER: Curve = (
    (0, 0),
    (-13, 2),
    (-25, 11),
    (-32, 27),
    (-33.5, 45),
    (-31.5, 70),
    (-30, 95),
    (-32, 122),
    (-38, 150),
    (-45, 174),
    (-48.5, 192),
    (-47, 208),
    (-45, 224),
    (-42, 242),
    (-35, 255),
    (-26, 260),
    (-17, 256),
    (-12.5, 246),
    (-12, 232),
    (-13, 219),
)
# ... and from its outer side to the root of the little toe.
PLAN_OUTER: Curve = (
    (0, 0),
    (13, 2),
    (25, 11),
    (32, 27),
    (33.5, 45),
    (36, 70),
    (40, 100),
    (46, 130),
    (51, 152),
    (53.5, 170),
    (53, 188),
    (51, 203),
    (47, 212),
    (41, 213),
    (38.5, 205),
    (38, 198),
)
PLAN_TOES: tuple[Curve, ...] = (
    ((-12, 222), (-11.5, 240), (-7, 252), (0, 256), (7, 251), (9, 240), (8.5, 222)),
    ((9, 226), (10.5, 238), (15, 246), (21, 245), (24.5, 236), (24, 214)),
    ((24.5, 222), (27, 230), (32, 233), (37, 229), (39, 219), (38.3, 202)),
)
# Closed.
PLAN_NAILS: tuple[Curve, ...] = (
    ((-35, 241), (-34, 250), (-26, 254.5), (-19.5, 250), (-19, 241), (-27, 238)),
    ((-5, 245), (-3.5, 250.5), (0.5, 252.4), (4.2, 250), (5.2, 244.5), (0, 243)),
    ((14, 238), (15.5, 242.3), (18.2, 243.4), (20.8, 241.4), (21.4, 237.5), (17.6, 236.4)),
    ((29.3, 226), (30.6, 229), (33, 230), (35, 227.7), (35.4, 224.6), (32.2, 223.8)),
    ((42.5, 206.3), (43.6, 208.9), (45.6, 209.4), (47.2, 207.2), (47.4, 204.6), (45, 203.7)),
)

# Where a tape lies, on the side that is seen, from its back or lower end to its front or upper one.
TAPES: dict[str, Curve] = {
    "ball_girth": ((170, 0), (180, 24), (185, 51.4)),
    "instep_girth": ((121, 2.2), (132, 40), (140, 79)),
    "heel_girth": ((3, 12), (55, 51), (109.5, 104)),
    "ankle_girth": ((28, 128), (66, 124), (103.7, 128)),
    "calf_girth": ((3.1, 318), (60, 311), (117.4, 318)),
}
BALL = 178.0
"""Where the foot is broadest, from the back of the heel."""
BALL_SIDES = (-46.0, 53.6)
HEEL_SIDES = (-33.4, 33.4)
"""u of the two sides of the foot there, and where the heel is broadest."""
