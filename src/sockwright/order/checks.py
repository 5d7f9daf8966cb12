"""What the parts of an order must agree on: cylinders, yarns and needles kept in work."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sockwright.machine.model import Machine
from sockwright.order.model import SockGiven
from sockwright.order.reader import Fields
from sockwright.words import either, said

FEWEST_RAISED = 2
"""Needles a cup must raise to be one: one at each end."""


def check_together(fields: Fields) -> None:
    """Note what the sound parts of an order say against each other."""
    machine, sock = fields.get("machine"), fields.get("sock")
    _check_swatch_yarns(fields)
    if machine is not None and sock is not None and machine.cylinders:
        _check_cylinder(machine, sock, fields)
        _check_kept(machine, sock, fields)


def _check_swatch_yarns(fields: Fields) -> None:
    roles = fields.said.get("yarn")
    swatches: tuple[Any, ...] = fields.get("swatch", ())
    if not isinstance(roles, Mapping):
        return
    # A yarn that is there but wrong is told of once, where it stands.
    for i, swatch in enumerate(swatches, 1):
        if swatch is not None and swatch.yarn not in roles:
            fields.place.at("swatch").item(i).at("yarn").say(
                said('is "{yarn}", but the order has no such yarn', yarn=swatch.yarn),
                said("add [yarn.{yarn}], or name a yarn of the order", yarn=swatch.yarn),
            )


def _check_cylinder(machine: Machine, sock: SockGiven, fields: Fields) -> None:
    counts = [cylinder.needles for cylinder in machine.cylinders]
    if sock.needles is not None and sock.needles not in counts:
        fields.place.at("sock").at("needles").say(
            said("is {needles}, but the machine has no such cylinder", needles=sock.needles),
            said("give {counts}", counts=either([str(count) for count in counts])),
        )


def _check_kept(machine: Machine, sock: SockGiven, fields: Fields) -> None:
    needles = sock.needles or max(cylinder.needles for cylinder in machine.cylinders)
    most = needles // 2 - FEWEST_RAISED
    toe = sock.toe.pouch.kept if sock.toe.pouch else None
    asked = (
        ("heel", "kept", sock.heel.pouch.kept),
        ("heel", "deep_kept", sock.heel.deep_kept),
        ("toe", "kept", toe),
    )
    for part, key, kept in asked:
        if kept is not None and kept > most:
            fields.place.at("sock").at(part).at(key).say(
                said(
                    "is {kept}, too many of the {needles} needles of the half",
                    kept=kept,
                    needles=needles // 2,
                ),
                said("give {most} at the most", most=most),
            )
