"""Ordinary and absurd socks of the reference data, as orders a maker would write."""

from __future__ import annotations

import csv
from pathlib import Path

from orders import ROOT

DATA = ROOT.parent / "shared" / "data"
CUFFS = {
    "true rib 1x1": 'kind = "true rib"\nrib = "1x1"',
    "true rib 2x2": 'kind = "true rib"\nrib = "2x2"',
    "true rib 3x1": 'kind = "true rib"\nrib = "3x1"\nrib_to = "leg"',
    "hung hem": 'kind = "hung hem"',
    "picot hem": 'kind = "picot hem"',
    "mock-rib hem": 'kind = "mock-rib hem"',
    "rolled edge": 'kind = "rolled edge"',
}
KNEE_BY_LENGTH = 1.31
"""Socks this much higher than the foot is long reach the calf, and are knitted looser there."""


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a file of the reference data; none where that is absent."""
    path = DATA / name
    if not path.exists():
        return []
    with path.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def order_of(row: dict[str, str]) -> str:
    """The order of one of these socks: the swatch says stitches and rows in 10 cm."""
    child = row["wearer"].startswith("child")
    wearer = f"age = {row['wearer'].split()[1]}" if child else f'sex = "{row["wearer"]}"'
    if child and int(row["wearer"].split()[1]) < 2:
        wearer = 'sex = "either"'
    girths = "\n".join(
        f'{name} = "{row[f"{name}_mm"]} mm"'
        for name in ("ball_girth", "heel_girth", "ankle_girth")
        if row[f"{name}_mm"]
    )
    if "calf girth 400 mm" in row.get("extra", ""):
        girths += '\ncalf_girth = "400 mm"'
    fibres = dict(zip(row["fibres"].split()[1::2], row["fibres"].split()[::2], strict=True))
    fibres = {"wool" if name == "merino" else name: share for name, share in fibres.items()}
    told = ", ".join(f'{name} = "{share} %"' for name, share in fibres.items())
    shaped = float(row["leg_height_mm"]) > KNEE_BY_LENGTH * float(row["foot_length_mm"])
    shaped = shaped and "expected_goes_on" in row
    return f"""
title = "{row["id"]}"
[wearer]
{wearer}
[foot]
length = "{row["foot_length_mm"]} mm"
{girths}
[yarn.main]
fineness = "100 g / {row["yarn_m_per_100g"]} m"
fibres = {{ {told} }}
[machine]
turns = "carrier"
[[machine.cylinders]]
needles = {row["cylinder_needles"]}
diameter = "{row["cylinder_diameter_mm"]} mm"
dial = "full"
[swatch]
state = "washed"
needles = {row["cylinder_needles"]}
wales = "{row["stitches_per_10cm"]} in 10 cm"
courses = "{row["rows_per_10cm"]} in 10 cm"
[sock]
needles = {row["cylinder_needles"]}
[sock.cuff]
{CUFFS[row["cuff_kind"]]}
[sock.leg]
height = "{row["leg_height_mm"]} mm"
shaped = {str(shaped).lower()}
"""


def path_of(name: str) -> Path:
    """Where a file of the reference data lies."""
    return DATA / name
