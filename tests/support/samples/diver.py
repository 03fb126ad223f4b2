# SPDX-License-Identifier: GPL-3.0-or-later
"""An invented diver under an invented recorder: moves second by second, wanders, breathes, and is recorded.

The recorder feeds its own samples (rounded as it stores them) to a Replay, so that what the diver decides and what is
promised afterwards rest on the record, not on where the diver "really" was."""
from dataclasses import dataclass, field

from . import deco, gear


@dataclass
class Waypoint:
    """What the recorder stored at one instant; None or empty where it stored nothing of the kind."""
    time_s: int
    depth_m: float
    temperature_c: float = None
    mix: str = None
    mode: str = None
    set_point_bar: float = None
    sensors_bar: tuple = ()
    tanks_bar: dict = field(default_factory=dict)
    own_stop: tuple = None
    no_stop_s: int = None
    gradient: float = None
    cns_percent: float = None
    otu: float = None
    alarm: str = None


class Diver:
    """keeps: which extras the recorder stores, of tanks, stops, no-stop, gradient, doses."""

    def __init__(self, seed, water, mixes, tanks, interval_s, keeps=(), rmv=16.5, replay=None, last_m=3.0,
                 loop=False, cells=True):
        self.water, self.tanks = water, tanks
        self.interval_s, self.keeps, self.rmv, self.last_m = interval_s, keeps, rmv, last_m
        self.replay = replay or deco.Replay()
        self.sway, self.swim, self.breath, self.drift = (
            gear.Wander(f"{seed}/{what}", seconds) for what, seconds in
            (("depth", 14.0), ("speed", 12.0), ("breath", 60.0), ("cells", 90.0)))
        self.hand_m = 0.10
        self.time_s, self.path_m, self.speed = 0, 0.0, 0.0
        self.celsius = water.air_c
        self.bar = {tank.id: tank.bar for tank in tanks}
        self.mix = mixes[0]
        self.loop, self.set_point_bar, self.loop_po2_bar = loop, 0.7, 0.7
        self.cells = cells  # whether the recorder stores what the cells of a loop read
        self.deep = False
        self.cns = self.otu = 0.0
        self.waypoints, self.worst_above_m = [], -99.0
        self._breathed, self._held_bar = self.mix, self.set_point_bar  # since the sample before
        self.ceiling_m, self._stop = 0.0, (0.0, 0)
        self._named = {"mix": self.mix.id, "mode": "closedcircuit" if loop else "opencircuit"}
        if loop:
            self._named["set_point_bar"] = self.set_point_bar
        self._record()

    # --- moving -------------------------------------------------------------------------------------------------

    def _second(self, target_m, rate_m_min):
        """One second of swimming towards a depth, slowing down before it."""
        lively = rate_m_min / 60 * (1 + 0.07 * self.swim.step())
        wanted = max(-lively, min(lively, (target_m - self.path_m) / 5))
        self.speed += (wanted - self.speed) / 4
        self.path_m = max(0.0, self.path_m + self.speed)
        self.time_s += 1
        self._breathe_a_second()
        if self.time_s % self.interval_s == 0:
            self._record()

    def depth_m(self):
        swing = self.hand_m * self.sway.value * min(1.0, self.path_m / 2.5)
        return max(0.0, self.path_m + swing)

    def go(self, depth_m, rate_m_min):
        while abs(depth_m - self.path_m) > 0.04:
            self._second(depth_m, rate_m_min)

    def stay(self, seconds, depth_m=None):
        depth_m = self.path_m if depth_m is None else depth_m
        for _ in range(int(seconds)):
            self._second(depth_m, 6.0)

    def ramble(self, until_s, ledges_m, linger_s=80):
        """Swims along the bottom from ledge to ledge, slowly, until a run time."""
        i = 0
        while self.time_s < until_s:
            for _ in range(min(linger_s, until_s - self.time_s)):
                self._second(ledges_m[i % len(ledges_m)], 1.5)
            i += 1

    # --- breathing ----------------------------------------------------------------------------------------------

    def switch(self, mix, mode=None):
        self.mix = mix
        self._named["mix"] = mix.id
        if mode:
            self._named["mode"], self.loop = mode, mode == "closedcircuit"

    def set_po2(self, bar):
        self.set_point_bar = self._named["set_point_bar"] = bar

    def alarm(self, word):
        self._named["alarm"] = word

    def _breathe_a_second(self):
        self.sway.step()
        ambient = self.replay.ambient(self.path_m)
        self.celsius += (self.water.at(self.path_m) - self.celsius) / 70
        breath = 1 + 0.08 * self.breath.step()
        drift = self.drift.step()
        if self.loop:
            pressed = 1 + 0.35 * self.speed / 10 / ambient
            self.loop_po2_bar = self.loop_po2_bar * pressed + (self.set_point_bar - self.loop_po2_bar) / 25
            self.loop_po2_bar = min(self.loop_po2_bar + 0.0006 * drift, ambient - 0.05)
            self._loop_gas(ambient)
            return
        tank = next((tank for tank in self.tanks if tank.mix == self.mix.id), None)
        if tank:
            self.bar[tank.id] -= self.rmv * breath / 60 * ambient / tank.litres

    def _loop_gas(self, ambient):
        """Oxygen at 0.9 L/min; diluent when the loop is squeezed (7 L of loop and lungs)."""
        for tank in self.tanks:
            if tank.mix == "mix_o2":
                self.bar[tank.id] -= 0.9 / 60 / tank.litres
            elif tank.mix == self.mix.id:
                self.bar[tank.id] -= max(0.0, self.speed) / 10 * 7 / tank.litres

    # --- recording ----------------------------------------------------------------------------------------------

    def _record(self):
        depth = round(self.depth_m(), 1) if self.time_s else 0.0
        point = Waypoint(self.time_s, depth, round(self.celsius, 1), **self._named)
        if self.loop and self.cells:
            offset = 0.02 * self.drift.value
            point.sensors_bar = (round(self.loop_po2_bar + 0.01 + offset, 2), round(self.loop_po2_bar - offset, 2))
        self._named = {}
        if self.waypoints:
            self._feed(self.waypoints[-1], point)
        self.waypoints.append(point)
        self._keep_extras(point)

    def _feed(self, before, point):
        """Hands the segment just recorded to the calculation. Before the diver leaves the surface and once he is back
        he breathes air there, whatever the record says."""
        minutes = (point.time_s - before.time_s) / 60
        self.deep = self.deep or point.depth_m > 1.5
        if point.depth_m > 0.5 or (before.depth_m > 0.5 and self.deep):
            self._feed_dive(minutes, before, point)
        else:
            self.replay.breathe(minutes, 0.0, 0.0, gear.AIR)
        self._breathed, self._held_bar = self.mix, self.set_point_bar

    def _feed_dive(self, minutes, before, point):
        from_po2, to_po2 = _median(before.sensors_bar), _median(point.sensors_bar)
        if from_po2 and not to_po2:  # nothing read any more: the set point, up to the bailout
            from_po2 = to_po2 = self.set_point_bar
        if self.loop and not self.cells:
            from_po2 = to_po2 = self._held_bar
        self.replay.breathe(minutes, before.depth_m, point.depth_m, self._breathed, from_po2, to_po2)
        self._count_oxygen(minutes, (before.depth_m + point.depth_m) / 2, from_po2)
        self.ceiling_m = self.replay.ceiling()
        self.worst_above_m = max(self.worst_above_m, self.ceiling_m - point.depth_m)

    def _count_oxygen(self, minutes, depth_m, loop_po2_bar):
        po2_bar = loop_po2_bar or self._breathed.o2 * self.replay.ambient(depth_m)
        self.cns += deco.cns_percent(minutes, po2_bar / deco.ATM_BAR)
        self.otu += deco.otu(minutes, po2_bar / deco.ATM_BAR)

    def _keep_extras(self, point):
        """Tank pressures and reckoned values every ten seconds or so, as recorders do; the stop at every sample."""
        seldom = point.time_s % max(10, self.interval_s) == 0
        if "tanks" in self.keeps and seldom:
            point.tanks_bar = {tank.id: round(self.bar[tank.id]) for tank in self.tanks}
        if {"stops", "no-stop"} & set(self.keeps):
            self._keep_face(point, seldom)
        if "gradient" in self.keeps and seldom:
            point.gradient = max(0.0, self.replay.gradient(point.depth_m) / 100)
        if "doses" in self.keeps and point.time_s % 60 == 0:
            point.cns_percent, point.otu = self.cns, self.otu

    def _keep_face(self, point, seldom):
        """What the recorder's face shows: a stop while it asks for one, else the no-stop time."""
        stop_m = deco.stop(self.ceiling_m, self.last_m) if point.depth_m >= 1.0 else 0.0
        loop_po2 = _median(point.sensors_bar) or (self.set_point_bar if self.loop else None)
        if stop_m and "stops" in self.keeps:
            if seldom or stop_m != self._stop[0]:
                self._stop = (stop_m, 60 * self.replay.minutes_at(stop_m, self.last_m, self.mix, loop_po2))
            point.own_stop = self._stop
        elif seldom and not self.ceiling_m and point.depth_m >= 1.0 and "no-stop" in self.keeps:
            point.no_stop_s = 60 * self.replay.no_stop_minutes(point.depth_m, self.mix, loop_po2)


def _median(sensors_bar):
    return sum(sensors_bar) / len(sensors_bar) if sensors_bar else None
