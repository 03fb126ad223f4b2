# SPDX-License-Identifier: GPL-3.0-or-later
"""How the invented divers come up: by what their recorder asks for, a hand deeper, in whole minutes."""
import math

CLEAR_M = 0.15  # the next stop is taken once the ceiling is this much above it


def _level(ceiling_m, last_m):
    """The 3 m step to wait on for a ceiling; 0 once there is none."""
    if ceiling_m <= 0:
        return 0.0
    return max(last_m, 3.0 * math.ceil((ceiling_m + CLEAR_M) / 3))


def _wait_here(diver, level_m, arrived_s):
    """Waits a hand below a stop until the next is free, to the whole minute since the arrival."""
    seconds = diver.time_s - arrived_s
    while _level(diver.ceiling_m, diver.last_m) >= level_m:
        diver.stay(diver.interval_s)
        seconds = diver.time_s - arrived_s
    diver.stay(-seconds % 60)


def _take_switch(diver, switches, level_m):
    """Half a minute to find the other regulator, then the switch."""
    if level_m in switches:
        diver.stay(36)
        switches[level_m](diver)
        diver.stay(54)


def come_up(diver, switches=None, below_m=0.25, extra_s=60, rate=9.0, last_rate=3.0, leave_last_at_s=None):
    """Comes up stop by stop. `switches`: depth of a stop -> what is done there, on the way up.
    `extra_s` longer at the last stop than asked. `leave_last_at_s`: leaves the last stop at that run time, whatever is
    still owed. Returns the run time at which the last stop was left."""
    switches, last_m = dict(switches or {}), diver.last_m
    while True:
        asked = _level(diver.ceiling_m, last_m)
        due = [depth for depth in switches if depth < diver.path_m]
        level = max([asked] + due)
        if not level:
            break
        diver.go(level + below_m, rate if diver.path_m - level > 4 else 6.0)
        diver.hand_m = 0.05
        arrived_s = diver.time_s
        _take_switch(diver, switches, level)
        switches.pop(level, None)
        if level == last_m:
            return _last_stop(diver, arrived_s, extra_s, last_rate, leave_last_at_s)
        _wait_here(diver, level, arrived_s)
    diver.go(5.2, rate)
    diver.hand_m = 0.12
    diver.stay(185)
    return _surface(diver, last_rate)


def _last_stop(diver, arrived_s, extra_s, last_rate, leave_at_s):
    if leave_at_s is None:
        while diver.ceiling_m > 0 or diver.replay.gradient() > 100 * diver.replay.high - 0.5:
            diver.stay(diver.interval_s)
        diver.stay(-(diver.time_s - arrived_s) % 60 + extra_s)
    else:
        diver.stay(leave_at_s - diver.time_s)
    return _surface(diver, last_rate)


def _surface(diver, rate):
    left_s = diver.time_s
    diver.go(0.0, rate)
    diver.hand_m = 0.0
    diver.stay(30, 0.0)
    return left_s
