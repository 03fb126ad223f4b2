# SPDX-License-Identifier: GPL-3.0-or-later
"""The ok-* samples about changes of gas: a break on oxygen, a travel mix, the set points of a loop with air as diluent."""
from . import gear
from .ascent import come_up
from .deco import ATM_BAR, Replay
from .diver import Diver
from .gear import AIR, EAN36, EAN50, LEAN, LIGHT, OXYGEN, Tank
from .stories import DAY_PASCAL, FJORD, QUARRY, SPACE_32, kept, promise, stage, twins
from .uddf import Log, Outing
from .uddf3 import write_3

BREAK_AFTER_S, BREAK_S = 15 * 60, 5 * 60
CHANGE_M = 27.0
LOW_PASCAL = 98400  # a low over the fjord


def _log(story, start, diver, mixes, number, words, owner, buddy, place, **more):
    outing = Outing("dive_1", f"{start}:00", diver, number, words=words, **more)
    log = Log("3.2.2", story, owner, buddy, *place, [outing], SPACE_32)
    return write_3(log, mixes, start[:10] + "T18:30:00")


# --- a break on oxygen ----------------------------------------------------------------------------------------------

def _oxygen_with_a_break(diver):
    diver.switch(OXYGEN)
    diver.stay(BREAK_AFTER_S)
    diver.switch(LIGHT)
    diver.stay(BREAK_S)
    diver.switch(OXYGEN)


def _within_16(diver):
    on_oxygen = next(i for i, point in enumerate(diver.waypoints) if point.mix == OXYGEN.id)
    deepest_m = max(point.depth_m for point in diver.waypoints[on_oxygen:])
    promise(diver.replay.ambient(deepest_m) <= 1.6 * ATM_BAR, f"oxygen at {deepest_m} m")


def oxygen_break():
    mixes = (LIGHT, EAN50, OXYGEN)
    tanks = (twins(229.0, LIGHT), stage("fifty", 204.0, EAN50), stage("oxygen", 198.0, OXYGEN))
    diver = Diver("break", gear.QUARRY, mixes, tanks, 5, ("tanks", "stops"), 16.0, Replay(DAY_PASCAL / 1e5), 6.0)
    diver.stay(15)
    diver.go(49.6, 18.0)
    diver.ramble(32 * 60, (49.8, 49.1, 49.6, 48.7))
    come_up(diver, {21.0: lambda d: d.switch(EAN50), 6.0: _oxygen_with_a_break})
    kept(diver, "break on oxygen")
    _within_16(diver)
    changes = [point.mix for point in diver.waypoints if point.mix]
    promise(changes == [mix.id for mix in (LIGHT, EAN50, OXYGEN, LIGHT, OXYGEN)], f"changes of gas: {changes}")
    return _log("Fifty metres on 21/35; oxygen at 6 m with five minutes on the back gas after a quarter of an hour.",
                "2024-08-10T10:35", diver, mixes, 402, "Break on the back gas at the quarter hour, then oxygen again.",
                ("Halvar", "Grunnvik"), ("Signe", "Mossholt"), QUARRY, surface_pascal=DAY_PASCAL)


# --- a travel mix ---------------------------------------------------------------------------------------------------

def travel_mix():
    mixes = (EAN36, LEAN, OXYGEN)
    tanks = (stage("travel", 206.0, EAN36), twins(224.0, LEAN), stage("oxygen", 191.0, OXYGEN))
    diver = Diver("travel", gear.FJORD, mixes, tanks, 5, ("tanks", "stops"), 16.4, Replay(LOW_PASCAL / 1e5), 6.0)
    diver.stay(20)
    diver.go(CHANGE_M, 16.0)
    diver.stay(25)
    diver.switch(LEAN)
    diver.stay(15)
    diver.go(65.5, 18.0)
    diver.ramble(17 * 60, (65.8, 64.7, 65.3))
    come_up(diver, {CHANGE_M: lambda d: d.switch(EAN36), 6.0: lambda d: d.switch(OXYGEN)}, 0.2)
    kept(diver, "travel mix")
    _within_16(diver)
    return _log("Sixty-six metres on 15/55, with EAN36 as travel mix down to 27 m and from there on up, oxygen at 6 m.",
                "2024-09-07T11:20", diver, mixes, 219, "Travel mix down to the shelf and back from it.",
                ("Ylva", "Kvarnsten"), ("Halvar", "Grunnvik"), FJORD, surface_pascal=LOW_PASCAL)


# --- a loop with air ------------------------------------------------------------------------------------------------

def nitrox_loop():
    mixes = (AIR, OXYGEN)
    tanks = (Tank("t_dil", "diluent", 3.0, 201.0, AIR.id), Tank("t_oxygen", "loop oxygen", 3.0, 187.0, OXYGEN.id))
    diver = Diver("airloop", gear.FJORD, mixes, tanks, 10, ("tanks", "stops"), loop=True, cells=False)
    diver.stay(20)
    diver.go(6.0, 10.0)
    diver.stay(50)
    diver.go(12.0, 14.0)
    diver.set_po2(1.2)
    diver.go(34.2, 14.0)
    diver.ramble(41 * 60, (34.4, 33.6, 32.9, 33.8))
    come_up(diver, {6.0: lambda d: d.set_po2(1.3)})
    kept(diver, "loop with air")
    return _log("A loop with air as diluent at 34 m, set points 0.7, 1.2 and 1.3 bar; the recorder stores no cell.",
                "2024-06-15T09:25", diver, mixes, 61, "Shallow shelf, quiet loop.", ("Signe", "Mossholt"),
                ("Oddny", "Tjernås"), FJORD, apparatus="rebreather")


STORIES = {"ok-oxygen-break": oxygen_break, "ok-travel-mix": travel_mix, "ok-nitrox-loop": nitrox_loop}
