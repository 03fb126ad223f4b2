#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes a large invented history for measuring: make_history.py DIVES INTERVAL_S rich|lean [SEED] > history.uddf

Every dive is a trimix dive to 45-60 m with stops on EAN50 and oxygen, 55 to 85 minutes long, two a day, no two alike.
Rich waypoints carry temperature and two tank pressures, lean ones depth and time only. Another SEED makes other
dives."""
import random
import sys

LEVELS = [(0, 0.0), (210, 55.0), (1500, 54.0), (1740, 21.0), (1980, 18.0), (2220, 15.0), (2520, 12.0), (2940, 9.0),
          (3060, 6.0), (4200, 5.8), (4260, 0.0), (4300, 0.0)]


def levels_of(random_source):
    """Every stretch of the dive shorter or longer by up to a fifth."""
    levels, at = [LEVELS[0]], 0
    for (t0, _), (t1, depth) in zip(LEVELS, LEVELS[1:]):
        at += round((t1 - t0) * (0.8 + 0.4 * random_source.random()))
        levels.append((at, depth))
    return levels


def depth_at(levels, time_s, scale):
    for (t0, d0), (t1, d1) in zip(levels, levels[1:]):
        if time_s <= t1:
            return scale * (d0 + (d1 - d0) * (time_s - t0) / (t1 - t0))
    return 0.0


def waypoint(out, time_s, depth_m, rich, gas, random_source):
    out.append(f"<waypoint><depth>{depth_m:.1f}</depth><divetime>{time_s}</divetime>")
    if rich:
        out.append(f"<temperature>{280 + random_source.random():.2f}</temperature>")
        out.append(f'<tankpressure ref="back">{(220 - time_s / 40) * 1e5:.0f}</tankpressure>')
        out.append(f'<tankpressure ref="stage">{(200 - max(0, time_s - 1740) / 60) * 1e5:.0f}</tankpressure>')
    if gas:
        out.append(f'<switchmix ref="{gas}"/>')
    out.append("</waypoint>\n")


def dive(out, number, interval_s, rich, random_source):
    day, hour = divmod(number, 2)
    year, month = 2000 + day // 336, day % 336 // 28
    start = f"{year:04d}-{month + 1:02d}-{day % 28 + 1:02d}T{9 + 5 * hour:02d}:00:00"
    out.append(f'<dive id="d{number}"><informationbeforedive><datetime>{start}</datetime></informationbeforedive>'
               '<samples>\n')
    scale = 0.85 + 0.15 * random_source.random()
    wander, gas, levels = 0.0, "t1845", levels_of(random_source)
    for time_s in range(0, levels[-1][0] + 1, interval_s):
        level = depth_at(levels, time_s, scale)
        wander = 0.9 * wander + 0.03 * random_source.gauss(0, 1)
        next_gas = "oxygen" if time_s >= levels[8][0] else "ean50" if time_s >= levels[3][0] else "t1845"
        named = next_gas if time_s == 0 or next_gas != gas else None
        gas = next_gas
        waypoint(out, time_s, max(0.0, level + (wander if level > 1 else 0)), rich, named, random_source)
    out.append("</samples></dive>\n")


def main():
    dives, interval_s, rich = int(sys.argv[1]), int(sys.argv[2]), sys.argv[3] == "rich"
    random_source = random.Random(int(sys.argv[4]) if len(sys.argv) > 4 else 7)
    out = ['<?xml version="1.0" encoding="UTF-8"?>\n<uddf version="3.2.2"><generator><name>bench</name></generator>\n'
           '<diver><owner id="o"><equipment><tank id="back"><tankvolume>0.024</tankvolume></tank>'
           '<tank id="stage"><tankvolume>0.0111</tankvolume></tank></equipment></owner></diver>\n<gasdefinitions>'
           '<mix id="t1845"><o2>0.18</o2><n2>0.37</n2><he>0.45</he></mix>'
           '<mix id="ean50"><o2>0.5</o2><n2>0.5</n2><he>0</he></mix>'
           '<mix id="oxygen"><o2>1.0</o2><n2>0</n2><he>0</he></mix></gasdefinitions>\n'
           '<profiledata><repetitiongroup id="g">\n']
    for number in range(dives):
        dive(out, number, interval_s, rich, random_source)
        sys.stdout.write("".join(out))
        out = []
    sys.stdout.write("</repetitiongroup></profiledata></uddf>\n")


main()
