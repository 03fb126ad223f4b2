# SPDX-License-Identifier: GPL-3.0-or-later
"""Mixes, tanks and waters of the invented school, and the wandering of hand-held things."""
import math
import random
from dataclasses import dataclass


@dataclass(frozen=True)
class Mix:
    id: str
    name: str
    o2: float
    he: float = 0.0
    maximum_m: float = None  # as the log states it

    @property
    def n2(self):
        return 1.0 - self.o2 - self.he


@dataclass(frozen=True)
class Tank:
    """A tank as it goes into the water; bar is its gauge pressure, mix the id of what is in it."""
    id: str
    name: str
    litres: float
    bar: float
    mix: str
    material: str = "steel"


@dataclass(frozen=True)
class Water:
    """Degrees Celsius of the air, the surface, and below the thermocline at about `change_m`."""
    air_c: float
    surface_c: float
    deep_c: float
    change_m: float = 9.0

    def at(self, depth_m):
        warm = 1 / (1 + math.exp((depth_m - self.change_m) / 1.6))
        return self.deep_c + (self.surface_c - self.deep_c) * warm


AIR = Mix("mix_air", "air", 0.21)
EAN28 = Mix("mix_28", "EAN28", 0.28)
EAN32 = Mix("mix_32", "EAN32", 0.32)
EAN36 = Mix("mix_36", "EAN36", 0.36)
EAN50 = Mix("mix_50", "EAN50", 0.50)
OXYGEN = Mix("mix_o2", "oxygen", 1.0)
TRIMIX = Mix("mix_1845", "18/45", 0.18, 0.45)
LIGHT = Mix("mix_2135", "21/35", 0.21, 0.35)
LEAN = Mix("mix_1555", "15/55", 0.15, 0.55)

QUARRY = Water(air_c=11.0, surface_c=9.0, deep_c=4.3)
FJORD = Water(air_c=8.0, surface_c=8.4, deep_c=6.1, change_m=14.0)
TARN = Water(air_c=13.0, surface_c=8.8, deep_c=4.2, change_m=6.0)


class Wander:
    """A smooth random course around 0 with about unit spread, one value a second.

    Only random() is drawn from, whose sequence Python keeps the same between versions."""

    def __init__(self, seed, seconds=18.0, smooth=5.0):
        self.draw = random.Random(seed).random
        self.keep, self.smooth = math.exp(-1 / seconds), smooth
        self.grow = math.sqrt(1 - self.keep ** 2) * math.sqrt(1 + smooth / seconds)
        self.rough = self.value = 0.0

    def step(self):
        bell = 2 * (self.draw() + self.draw() + self.draw() - 1.5)
        self.rough = self.keep * self.rough + self.grow * bell
        self.value += (self.rough - self.value) / self.smooth
        return self.value
