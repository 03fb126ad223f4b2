# SPDX-License-Identifier: GPL-3.0-or-later
"""The ok-find-* samples: short stories in which each kind of finding occurs in each of its weights."""
from datetime import datetime, timedelta

from . import gear
from .ascent import come_up
from .diver import Diver
from .gear import AIR, EAN28, EAN32, EAN50, OXYGEN, TRIMIX, Mix
from .stories import FJORD, QUARRY, SPACE_32, promise, stage, twins
from .uddf import Log, Outing
from .uddf3 import write_3

TWO_DAYS_S = 48 * 3600
OWNER, BUDDY = ("Eskil", "Tangrimsson"), ("Ylva", "Kvarnsten")
SLIP_M, HIGH_M = 1.7, 3.9  # above the ceiling as it stands when the diver sets out
HYPOXIC_15 = Mix("mix_1545", "15/45", 0.15, 0.45)
HYPOXIC_13 = Mix("mix_1350", "13/50", 0.13, 0.50)


def _log(story, dives, mixes, place=QUARRY, owner=OWNER, buddy=BUDDY):
    """`dives`: of start, diver, words. Intervals stand in the log where they are shorter than two days."""
    outings, ended = [], None
    for number, (start, diver, words) in enumerate(dives, 1):
        begins = datetime.fromisoformat(start)
        passed_s = int((begins - ended).total_seconds()) if ended else TWO_DAYS_S
        outings.append(Outing(f"dive_{number}", f"{start}:00", diver, 80 + number,
                              passed_s if passed_s < TWO_DAYS_S else None, purpose="proficiency", words=words))
        ended = begins + timedelta(seconds=diver.waypoints[-1].time_s)
    log = Log("3.2.2", story, owner, buddy, *place, outings, SPACE_32)
    return write_3(log, mixes, dives[-1][0][:10] + "T22:00:00")


# --- conduct --------------------------------------------------------------------------------------------------------

def _air_40(seed, minutes=20):
    diver = Diver(seed, gear.QUARRY, (AIR,), (twins(221.0, AIR),), 10, ("stops",), 16.8)
    diver.stay(20)
    diver.go(39.6, 17.0)
    diver.ramble(minutes * 60, (39.6, 39.1, 39.5))
    return diver


def _leave_stop(seed, above_m, seconds):
    """Rises above the ceiling at the first stop, stays there for a while, goes back and keeps the rest."""
    diver = _air_40(seed)
    diver.go(12.2, 9.0)
    diver.stay(10)
    diver.go(diver.ceiling_m - above_m, 6.0)
    diver.stay(seconds)
    diver.go(9.3, 6.0)
    come_up(diver)
    return diver


def _leave_last(seed, early_s):
    diver = _air_40(seed)
    left_s = come_up(diver)
    diver = _air_40(seed)
    come_up(diver, leave_last_at_s=left_s - early_s)
    return diver


def _straight_up():
    diver = _air_40("straight", 22)
    diver.go(0.0, 9.0)
    diver.stay(30, 0.0)
    return diver


def stops():
    dives = [("2024-04-02T10:05", _leave_stop("slip", SLIP_M, 0), "Lost the line for a moment at the first stop."),
             ("2024-04-09T10:12", _leave_stop("high", HIGH_M, 130), "Two minutes too high, hands full."),
             ("2024-04-16T10:02", _leave_last("early", 210), "Up a little early."),
             ("2024-04-23T10:20", _straight_up(), "Light failed on the bottom, came straight up. On oxygen for an hour.")]
    return _log("Four dives on air to 40 m: a slip above a stop, a stop kept too high, one left early, none kept.", dives,
                (AIR,))


def brisk():
    diver = Diver("brisk", gear.FJORD, (EAN32,), (twins(209.0, EAN32),), 5, (), 17.0)
    diver.stay(15)
    diver.go(24.0, 16.0)
    diver.ramble(10 * 60, (24.0, 23.2))
    diver.go(8.0, 14.5)
    diver.stay(60)
    come_up(diver)
    return _log("Sixteen metres at about fourteen metres a minute.", [("2024-04-30T13:40", diver, "In a hurry.")],
                (EAN32,), FJORD)


# --- gas ------------------------------------------------------------------------------------------------------------

def _oxygen_stop(depth_m, start, words):
    """A short dive on EAN32 and oxygen, taken at this depth."""
    diver = Diver(f"oxygen{depth_m}", gear.QUARRY, (EAN32, OXYGEN), (twins(214.0, EAN32), stage("oxygen", 196.0, OXYGEN)),
                  10, (), 16.5)
    diver.hand_m = 0.03
    diver.stay(20)
    diver.go(21.0, 15.0)
    diver.ramble(9 * 60, (21.0, 20.4))
    diver.hand_m = 0.03
    diver.go(depth_m, 8.0)
    diver.stay(20)
    diver.switch(OXYGEN)
    diver.stay(240)
    diver.go(4.0, 3.0)
    diver.stay(60)
    diver.go(0.0, 3.0)
    diver.stay(30, 0.0)
    return start, diver, words


def oxygen_high():
    bottom = Diver("worked", gear.QUARRY, (EAN32,), (twins(214.0, EAN32),), 10, (), 16.5)
    bottom.stay(20)
    bottom.go(36.3, 17.0)
    bottom.ramble(7 * 60, (36.4, 36.2))
    come_up(bottom)
    dives = [_oxygen_stop(6.35, "2024-05-02T10:00", "Oxygen drill, a hand deep."),
             _oxygen_stop(6.8, "2024-05-06T10:00", "Oxygen drill, the buoy sat low."),
             _oxygen_stop(7.5, "2024-05-10T10:00", "Oxygen drill at the wrong mark."),
             ("2024-05-14T10:00", bottom, "To the chain at 36 m.")]
    return _log("Oxygen taken at 6.3, 6.8 and 7.5 m; EAN32 on the bottom at 36 m.", dives, (EAN32, OXYGEN))


def _hypoxic_start(mix, start, words):
    """No travel mix: down on the bottom mix from the surface."""
    diver = Diver(mix.id, gear.FJORD, (mix, EAN50), (twins(218.0, mix), stage("fifty", 201.0, EAN50)), 5, (), 16.5)
    diver.stay(15)
    diver.go(30.0, 15.0)
    diver.ramble(8 * 60, (30.0, 29.4))
    come_up(diver, {18.0: lambda d: d.switch(EAN50)})
    return start, diver, words


def oxygen_low():
    dives = [_hypoxic_start(HYPOXIC_15, "2024-06-20T09:30", "Bottom mix from the surface, as a drill."),
             _hypoxic_start(HYPOXIC_13, "2024-06-24T09:30",
                            "The same with the leaner twins.")]
    mixes = (HYPOXIC_15, HYPOXIC_13, EAN50)
    return _log("Thirty metres on 15/45 and on 13/50, breathed from the surface on.", dives, mixes, FJORD)


def counterdiffusion():
    diver = Diver("fifths", gear.QUARRY, (TRIMIX, EAN28, EAN50),
                  (twins(226.0, TRIMIX), stage("deep", 199.0, EAN28), stage("fifty", 205.0, EAN50)), 5, ("stops",), 16.5)
    diver.stay(15)
    diver.go(54.0, 18.0)
    diver.ramble(14 * 60, (54.2, 53.6))
    diver.go(36.0, 9.0)
    diver.stay(20)
    diver.switch(EAN28)
    diver.stay(60)
    come_up(diver, {21.0: lambda d: d.switch(EAN50)})
    return _log("From 18/45 to EAN28 at 36 m on the way up, then EAN50 at 21 m.",
                [("2024-09-28T11:15", diver, "Tried the deep stage at the ledge.")], (TRIMIX, EAN28, EAN50))


# --- dose -----------------------------------------------------------------------------------------------------------

def _hull_shift(day, hour):
    """Three and a half hours on EAN50 from the surface, scraping the school's barge from below."""
    diver = Diver(f"hull{day}{hour}", gear.FJORD, (EAN50,), (), 15, (), 16.5)
    diver.stay(15)
    diver.go(16.9, 14.0)
    diver.ramble(205 * 60, (17.0, 16.6, 17.0), 600)
    come_up(diver)
    for point in diver.waypoints:
        if point.time_s % 600:
            point.temperature_c = None
    return f"2024-10-{day:02d}T{hour:02d}:00", diver, "Under the barge."


def hull_days():
    dives = [_hull_shift(day, hour) for day in (8, 9, 10) for hour in (8, 14)]
    dives.insert(0, ("2024-10-05T10:00", _long_oxygen(), "Tried the hose, an hour and a quarter on oxygen."))
    promise(1860 < sum(diver.otu for _, diver, _ in dives[1:]) < 2000, "more than the allowance of three days")
    return _log("Three days under a barge on EAN50 from the surface, two long shifts a day.", dives, (EAN50, OXYGEN), FJORD,
                ("Signe", "Mossholt"), ("Halvar", "Grunnvik"))


def _long_oxygen():
    diver = Diver("hose", gear.FJORD, (OXYGEN,), (), 15, (), 16.5)
    diver.stay(15)
    diver.go(5.6, 10.0)
    diver.ramble(75 * 60, (5.6, 5.5), 600)
    diver.go(0.0, 3.0)
    diver.stay(30, 0.0)
    return diver


STORIES = {
    "ok-find-stops": stops, "ok-find-brisk": brisk, "ok-find-oxygen-high": oxygen_high,
    "ok-find-oxygen-low": oxygen_low, "ok-find-counterdiffusion": counterdiffusion, "ok-find-hull-days": hull_days,
}
