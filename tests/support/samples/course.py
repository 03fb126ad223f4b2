# SPDX-License-Identifier: GPL-3.0-or-later
"""The ok-find-* sample whose findings only a course standard asks for: how a stop was held, how deep a mix was taken, what was
left in the tanks."""
from . import gear
from .ascent import come_up
from .beyond import _log
from .deco import ATM_BAR
from .diver import Diver
from .gear import EAN28, EAN50
from .stories import promise, stage, twins

SAG_M, SLIP_M = 1.3, 0.8  # off a stop, and off the next one
DEEP_M = 26.4             # the EAN50 is taken here


def _diver(seed, bar):
    diver = Diver(seed, gear.QUARRY, (EAN28, EAN50), (twins(bar, EAN28), stage("fifty", 202.0, EAN50)), 5, ("tanks",), 16.5,
                  last_m=6.0)
    diver.stay(20)
    diver.go(38.8, 17.0)
    diver.ramble(24 * 60, (38.9, 38.2, 38.6))
    return diver


def _off(diver, metres, seconds):
    """Away from the stop and back to it."""
    stop_m = diver.path_m
    diver.go(stop_m + metres, 6.0)
    diver.stay(seconds)
    diver.go(stop_m, 6.0)


def _held():
    diver = _diver("held", 223.0)
    come_up(diver, {21.0: lambda d: d.switch(EAN50), 9.0: lambda d: _off(d, SAG_M - 0.25, 25),
                    6.0: lambda d: _off(d, SLIP_M - 0.25, 20)})
    return diver


def _deep_switch():
    diver = _diver("mark", 124.0)
    come_up(diver, {DEEP_M: lambda d: d.switch(EAN50)}, 0.0)
    change = next(point for point in diver.waypoints if point.mix == EAN50.id)
    greatest_m = (1.6 * ATM_BAR / EAN50.o2 - ATM_BAR) * 10
    promise(change.depth_m - greatest_m > 3.5, f"EAN50 taken at {change.depth_m} m")
    promise(diver.bar[diver.tanks[0].id] < 50, "less than the reserve in the twins")
    return diver


def by_standard():
    dives = [("2024-06-08T10:10", _held(), "Stops not as quiet as they should be."),
             ("2024-06-15T10:05", _deep_switch(), "Twins half full from the start; misread the mark on the line.")]
    return _log("Two dives to 39 m on EAN28: stops that were not held, then EAN50 taken at 26 m and the twins nearly empty.",
                dives, (EAN28, EAN50))


STORIES = {"ok-find-by-standard": by_standard}
