# SPDX-License-Identifier: GPL-3.0-or-later
"""The note-* samples: records with one doubt each. Which notes they must raise stands in sample-logs/README.md."""
from . import gear
from .ascent import come_up
from .diver import Diver
from .gear import AIR, EAN28, EAN32, EAN50, Mix, Tank
from .stories import FJORD, QUARRY, SPACE_32, kept, stage, twins
from .uddf import Log, Outing
from .uddf3 import write_3

OWNER, BUDDY = ("Eskil", "Tangrimsson"), ("Runa", "Fjellmark")


def _log(diver, start, mixes, story, words, place=QUARRY, **more):
    outing = Outing("dive_1", start, diver, 60, words=words)
    log = Log("3.2.2", story, OWNER, BUDDY, *place, [outing], SPACE_32, **more)
    return write_3(log, mixes, start[:10] + "T21:00:00")


def undefined_mix():
    tanks = (twins(221.6, EAN28), stage("fifty", 198.8, EAN50))
    diver = Diver("undefined", gear.QUARRY, (EAN28, EAN50), tanks, 10, ("tanks", "stops"), 17.4)
    diver.stay(20)
    diver.go(38.2, 17.0)
    diver.ramble(22 * 60, (38.6, 37.4, 38.9))
    come_up(diver, {21.0: lambda d: d.switch(EAN50)})
    kept(diver, "undefined mix")
    return _log(diver, "2024-06-15T13:10:00", (EAN28,),
                "At 21 m the record switches to the mix 'mix_50', which this log nowhere defines.",
                "Stage mix typed in at the slip, lost on the way into the log.")


def _slope_dive(seed, interval_s, mixes, minutes=20):
    tanks = (Tank("t_back", "single fifteen", 15.0, 207.9, mixes[0].id),)
    diver = Diver(seed, gear.FJORD, mixes, tanks, interval_s, ("tanks",), 16.9)
    diver.stay(20)
    diver.go(21.8, 16.0)
    diver.ramble(minutes * 60, (22.1, 20.3, 18.8))
    return diver


def _whole_slope_dive(seed, interval_s, mixes):
    diver = _slope_dive(seed, interval_s, mixes)
    come_up(diver)
    kept(diver, seed)
    return diver


def water_density():
    diver = _whole_slope_dive("density", 10, (EAN32,))
    return _log(diver, "2024-09-07T10:25:00", (EAN32,),
                "The log gives the site's water density, which tells of the water, not of the recorder's setting.",
                "Brackish on top, salt below.", FJORD, site_density=1021.5)


def ends_below():
    diver = _slope_dive("ends", 10, (EAN32,), 24)
    diver.go(8.4, 8.0)
    diver.stay(120)
    diver.go(5.2, 6.0)
    diver.stay(70)
    kept(diver, "ends below")
    return _log(diver, "2024-09-08T11:40:00", (EAN32,),
                "The recorder gave out during the last halt: the record ends about five metres under water.",
                "Recorder went dark on the line.", FJORD)


def no_first_mix():
    diver = _whole_slope_dive("nomix", 10, (EAN32,))
    diver.waypoints[0].mix = None
    return _log(diver, "2024-09-14T10:05:00", (EAN32,),
                "No sample names a mix; the log defines and links a single one, which is taken.", "Clear and still.",
                FJORD)


def no_mix_named():
    diver = _whole_slope_dive("nomixes", 10, (AIR, EAN32))
    diver.waypoints[0].mix = None
    diver.tanks += (Tank("t_side", "side bottle", 7.0, 182.0, EAN32.id),)
    diver.bar["t_side"] = 182.0
    return _log(diver, "2024-09-15T10:05:00", (AIR, EAN32),
                "No sample names a mix and the log links two; air is taken, as the format says.", "Took both bottles.",
                FJORD)


def coarse_sampling():
    diver = _whole_slope_dive("coarse", 20, (EAN32,))
    return _log(diver, "2024-09-21T09:50:00", (EAN32,),
                "A sample every 20 s: such a record cannot show that an ascent rate was kept.",
                "Recorder set to save its memory.", FJORD)


def deeper_than_mod():
    marked = Mix("mix_32", "EAN32", 0.32, maximum_m=30.0)
    diver = Diver("marked", gear.QUARRY, (marked,), (twins(217.0, marked),), 10, ("tanks",), 16.9)
    diver.stay(20)
    diver.go(32.4, 16.0)
    diver.ramble(11 * 60, (32.4, 31.2, 32.6))
    come_up(diver)
    kept(diver, "deeper than marked")
    return _log(diver, "2024-09-29T10:15:00", (marked,), "The log states 30 m as the greatest depth of the mix; it was "
                "breathed at 32 m.", "Followed the ledge a little further.")


STORIES = {
    "note-undefined-mix": undefined_mix, "note-water-density": water_density, "note-ends-below": ends_below,
    "note-no-first-mix": no_first_mix, "note-no-mix-named": no_mix_named, "note-coarse-sampling": coarse_sampling,
    "note-deeper-than-mod": deeper_than_mod,
}
