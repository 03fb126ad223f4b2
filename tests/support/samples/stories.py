# SPDX-License-Identifier: GPL-3.0-or-later
"""The dives of the ok-* samples. Each function returns the bytes of a log, and asserts what its story promises."""
from . import gear
from .ascent import come_up
from .deco import Replay, standard_surface_bar
from .diver import Diver
from .gear import AIR, EAN28, EAN32, EAN50, OXYGEN, TRIMIX, Tank
from .uddf import Log, Outing
from .uddf2 import write_2
from .uddf3 import write_3

SPACE_32 = "http://www.streit.cc/uddf/3.2/"
QUARRY = ("Skiferholt quarry", "Skiferholt")
FJORD = ("Langvik fjord, the slip", "Langvik")
RICH = ("tanks", "stops", "no-stop", "gradient", "doses")
DAY_PASCAL = 97700  # the quarry lies high and the day was dull


def twins(bar, mix):
    return Tank("t_back", "twin twelves", 24.0, bar, mix.id)


def stage(name, bar, mix):
    return Tank(f"t_{name}", f"{name} stage", 11.1, bar, mix.id, "aluminium")


def promise(held, words):
    if not held:
        raise AssertionError(words)


def kept(diver, words):
    promise(diver.worst_above_m <= 0, f"{words}: {diver.worst_above_m:.3f} m above the ceiling")
    for point in diver.waypoints:
        promise(not point.own_stop or point.depth_m >= point.own_stop[0],
                f"{words}: above the recorder's own stop at {point.time_s} s")


# --- 60 m on 18/45 ----------------------------------------------------------------------------------------------

def _deep_dive(leave_last_at_s=None, last_rate=3.0):
    """Sixty metres on 18/45, EAN50 from 21 m, oxygen at 6 m; returns the diver and when the last stop was left."""
    mixes = (TRIMIX, EAN50, OXYGEN)
    tanks = (twins(228.3, TRIMIX), stage("fifty", 203.6, EAN50), stage("oxygen", 192.4, OXYGEN))
    diver = Diver("deep", gear.QUARRY, mixes, tanks, 2, RICH, 16.2, Replay(DAY_PASCAL / 1e5), last_m=6.0)
    diver.stay(12)
    diver.go(6.0, 14.0)
    diver.stay(40)
    diver.go(59.4, 19.0)
    diver.ramble(25 * 60, (59.6, 59.2, 59.7, 58.6, 59.5))
    switches = {21.0: lambda d: d.switch(EAN50), 6.0: lambda d: d.switch(OXYGEN)}
    left_s = come_up(diver, switches, 0.24, 0, last_rate=last_rate, leave_last_at_s=leave_last_at_s)
    return diver, left_s


def _deep_log(diver, story, number, words):
    outing = Outing("dive_1", "2024-05-11T10:14:00", diver, number, surface_pascal=DAY_PASCAL, words=words)
    log = Log("3.2.2", story, ("Ylva", "Kvarnsten"), ("Brage", "Loddvik"), *QUARRY, [outing], SPACE_32)
    return write_3(log, (TRIMIX, EAN50, OXYGEN), "2024-05-11T18:02:00")


def deep_kept():
    diver, _ = _deep_dive()
    kept(diver, "deep, kept")
    on_oxygen = next(i for i, point in enumerate(diver.waypoints) if point.mix == OXYGEN.id)
    promise(max(point.depth_m for point in diver.waypoints[on_oxygen:]) <= 6.4, "PO2 of oxygen below 1.6 atm")
    return _deep_log(diver, "Sixty metres on 18/45 with EAN50 and oxygen; every stop kept, to the whole minute.", 211,
                     "All stops on the line. Cold hands at the end.")


def stop_cut_short():
    _, left_s = _deep_dive()
    diver, _ = _deep_dive(left_s - 8 * 60, 6.0)
    promise(diver.worst_above_m > 0.5, "the ceiling stands above the diver")
    return _deep_log(diver, "The dive of ok-deep-kept, but the 6 m oxygen stop ended eight minutes earlier.", 211,
                     "Glove flooded at 6 m, came up early.")


# --- shallower ----------------------------------------------------------------------------------------------------

def fast_ascent():
    diver = Diver("fast", gear.QUARRY, (EAN28,), (twins(214.8, EAN28),), 4, ("tanks", "no-stop"), 18.4)
    diver.stay(10)
    diver.go(34.6, 18.0)
    diver.ramble(11 * 60, (34.8, 34.2, 33.9))
    diver.go(25.4, 8.0)
    diver.stay(20)
    diver.go(17.0, 23.0)
    diver.alarm("ascent")
    diver.stay(60)
    come_up(diver)
    kept(diver, "fast ascent")
    outing = Outing("dive_1", "2024-06-02T14:31:00", diver, 58, words="Drysuit valve stuck at 25 m, vented at 17 m.")
    log = Log("3.2.2", "Thirty-five metres on EAN28; from 25 m up at 22 m/min for twenty seconds, then caught.",
              ("Eskil", "Tangrimsson"), ("Ylva", "Kvarnsten"), *QUARRY, [outing], SPACE_32)
    return write_3(log, (EAN28,), "2024-06-02T17:40:00")


def air_45():
    diver = Diver("air45", gear.QUARRY, (AIR,), (twins(219.4, AIR),), 5, ("tanks", "stops", "no-stop"), 17.8)
    diver.stay(15)
    diver.go(44.8, 17.0)
    diver.ramble(13 * 60, (45.0, 44.4, 44.9))
    come_up(diver)
    kept(diver, "air at 45 m")
    outing = Outing("dive_1", "2024-03-17T11:05:00", diver, 134, purpose="proficiency",
                    words="Felt slow at the bottom, had to read the gauge twice.")
    log = Log("3.2.1", "Air at 45 m in the quarry: dense gas, a long way down in nitrogen, short stops on air.",
              ("Brage", "Loddvik"), ("Eskil", "Tangrimsson"), *QUARRY, [outing], SPACE_32)
    return write_3(log, (AIR,), "2024-03-17T15:20:00")


def mountain_lake():
    diver = Diver("tarn", gear.TARN, (EAN32,), (Tank("t_back", "single fifteen", 15.0, 206.1, EAN32.id),), 5,
                  ("tanks", "no-stop"), 16.8, Replay(standard_surface_bar(1600)))
    diver.stay(15)
    diver.go(25.6, 15.0)
    diver.ramble(15 * 60, (25.8, 24.6, 22.9))
    diver.go(12.4, 8.0)
    diver.ramble(26 * 60, (12.4, 10.8, 9.2))
    come_up(diver)
    kept(diver, "mountain lake")
    outing = Outing("dive_1", "2024-08-24T12:48:00", diver, 77, altitude_m=1600, purpose="sightseeing",
                    words="Two nights in the hut before the dive. Clear to the far wall.")
    log = Log("3.2.3", "One dive on EAN32 in a lake at 1600 m; the surface pressure follows from the altitude.",
              ("Runa", "Fjellmark"), ("Oddny", "Tjernås"), "Kvitkar tarn", "Kvitkar hut", [outing], SPACE_32)
    return write_3(log, (EAN32,), "2024-08-24T16:00:00")


# --- three dives of a day -----------------------------------------------------------------------------------------

def _clock(minutes, seconds=0):
    return f"2024-07-06T{minutes // 60:02d}:{minutes % 60:02d}:{seconds:02d}"


def _fjord_dive(number, replay, depth_m, upper_m, bottom_min, whole_min):
    tanks = (Tank("t_back", "single fifteen", 15.0, 201.2 + 3.7 * number, EAN32.id),)
    diver = Diver(f"fjord{number}", gear.FJORD, (EAN32,), tanks, 10, ("tanks", "no-stop"), 16.1, replay)
    diver.stay(20)
    diver.go(depth_m, 16.0)
    diver.ramble(bottom_min * 60, (depth_m, depth_m - 1.4, depth_m - 0.6))
    diver.go(upper_m, 8.0)
    diver.ramble(whole_min * 60, (upper_m, upper_m - 1.5))
    come_up(diver)
    kept(diver, f"fjord dive {number}")
    return diver


def three_dives():
    replay, outings, ended_s = Replay(), [], None
    plan = ((9 * 60 + 6, 28.4, 12.3, 17, 32), (12 * 60 + 2, 22.6, 10.8, 22, 36), (15 * 60 + 25, 16.3, 9.1, 24, 40))
    for number, (start_min, *dive) in enumerate(plan, 1):
        interval_s = None
        if outings:
            interval_s = start_min * 60 - ended_s
            replay.surface_interval(interval_s / 60, AIR)
        diver = _fjord_dive(number, replay, *dive)
        ended_s = start_min * 60 + diver.waypoints[-1].time_s
        outings.append(Outing(f"dive_{number}", _clock(start_min), diver, 300 + number, interval_s,
                              purpose="teaching"))
    log = Log("3.2.2", "A day of three dives on EAN32 in the fjord, with the surface intervals stated.",
              ("Oddny", "Tjernås"), ("Runa", "Fjellmark"), *FJORD, outings, SPACE_32)
    return write_3(log, (EAN32,), "2024-07-06T20:10:00")


# --- old and looped -----------------------------------------------------------------------------------------------

def v22_quarry():
    diver = Diver("v22", gear.QUARRY, (AIR,), (Tank("t_twelve", "steel twelve", 12.0, 198.0, AIR.id),), 10,
                  ("doses",), 17.0)
    diver.stay(10)
    diver.go(19.4, 15.0)
    diver.ramble(12 * 60, (19.6, 18.2, 18.9))
    diver.go(11.2, 7.0)
    diver.ramble(24 * 60, (11.2, 9.4))
    come_up(diver)
    kept(diver, "2.2")
    outing = Outing("dive one", "2008-09-14T13:20", diver, 12, words="Along the old tramway to the winch house.")
    log = Log("2.2.0", "A UDDF 2.2 log in ISO-8859-1: dates in parts, tank data among the gases, a flat dive.",
              ("Torvald", "Grønsletta"), ("Bjørg", "Åkvist"), *QUARRY, [outing], encoding="ISO-8859-1")
    return write_2(log, (AIR,), "2008-09-14T19:45")


def loop():
    mixes = (TRIMIX, EAN50, OXYGEN)
    tanks = (Tank("t_dil", "diluent", 3.0, 196.5, TRIMIX.id), Tank("t_oxygen", "loop oxygen", 3.0, 188.2, OXYGEN.id),
             stage("fifty", 205.3, EAN50))
    diver = Diver("loop", gear.FJORD, mixes, tanks, 5, ("tanks", "stops"), 16.8, loop=True)
    diver.stay(15)
    diver.go(6.0, 12.0)
    diver.stay(60)
    diver.go(52.6, 16.0)
    diver.set_po2(1.3)
    diver.ramble(24 * 60, (53.2, 51.8, 52.7, 50.9))
    come_up(diver, {9.0: lambda d: d.switch(EAN50, "opencircuit")}, extra_s=60)
    kept(diver, "loop")
    outing = Outing("dive_1", "2013-10-05T09:50:00+02:00", diver, 95, apparatus="rebreather",
                    words="Second cell wandered; bailed out at 9 m as a drill and stayed out.")
    log = Log("3.1.0", "A loop dive with 18/45 as diluent, set points 0.7 and 1.3 bar, EAN50 on open circuit from 9 m.",
              ("Signe", "Mossholt"), ("Halvar", "Grunnvik"), *FJORD, [outing], sensors=("left cell", "right cell"))
    return write_3(log, mixes, "2013-10-05T14:12:00+02:00")


STORIES = {
    "ok-deep-kept": deep_kept, "ok-stop-cut-short": stop_cut_short, "ok-fast-ascent": fast_ascent, "ok-air-45": air_45,
    "ok-three-dives": three_dives, "ok-mountain-lake": mountain_lake, "ok-v22-quarry": v22_quarry, "ok-loop": loop,
}
