# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes an invented log as the flat UDDF 2.2 of 2007."""
from .uddf import WRITER, WRITER_VERSION, head, mix_lines, pascal, person, tag, waypoints


def _date(start, indent):
    """The parts of 'YYYY-MM-DDTHH:MM'."""
    year, month, day, hour, minute = (int(part) for part in start.replace("T", "-").replace(":", "-").split("-")[:5])
    return [indent + tag("date", tag("year", str(year)) + tag("month", str(month)) + tag("day", str(day))),
            indent + tag("time", tag("hour", str(hour)) + tag("minute", str(minute)))]


def _people(log, tanks):
    inner = "".join(tag("tank", tag("name", tank.name), id=tank.id) for tank in tanks)
    gear = tag("equipment", tag("divecomputer", tag("name", WRITER), id="dc_1") + inner)
    return ["  <diver>", person("owner", "owner_1", *log.owner, gear), person("buddy", "buddy_1", *log.buddy),
            "  </diver>"]


def _tank_data(diver):
    for tank in diver.tanks:
        inner = (tag("mixref", None, ref=tank.mix) + tag("tankref", None, ref=tank.id) +
                 tag("tankvolume", f"{tank.litres / 1000:.4f}") + tag("tankpressurebegin", pascal(round(tank.bar))) +
                 tag("tankpressureend", pascal(round(diver.bar[tank.id]))))
        yield "    " + tag("tankdata", inner, id="use_" + tank.id)


def _dive(outing):
    diver, points = outing.diver, outing.diver.waypoints
    used = tag("divecomputerref", None, ref="dc_1")
    for tank in diver.tanks:
        used += tag("tankref", None, ref=tank.id) + tag("tankdataref", None, ref="use_" + tank.id)
    used = ["        " + tag("equipmentused", used), "        " + tag("buddyref", None, ref="buddy_1")]
    facts = [tag("divenumber", str(outing.number)), tag("surfaceinterval", tag("infinity", None)),
             tag("lowesttemperature", f"{min(point.temperature_c for point in points) + 273.15:.2f}"),
             tag("greatestdepth", f"{max(point.depth_m for point in points):.1f}")]
    for point in points:
        point.mode = None  # came with 3.1
    return [f'      <dive id="{outing.id}">', *used, *_date(outing.start, "        "),
            *("        " + fact for fact in facts), "        <samples>",
            *waypoints(points), "        </samples>",
            "        " + tag("notes", tag("text", tag("para", outing.words))), "      </dive>"]


def write_2(log, mixes, written):
    """A log of UDDF 2.2: dates in parts, references by xxxref, tankdata among the gases, a flat dive."""
    outing = log.outings[0]
    lines = head(log) + [f'<uddf version="{log.version}">', "  <generator>", "    " + tag("name", WRITER),
                         "    " + tag("manufacturer", tag("name", "Skiferholt workshop")),
                         "    " + tag("version", WRITER_VERSION), *_date(written, "    "), "  </generator>"]
    lines += _people(log, outing.diver.tanks)
    lines += ["  <gasdefinitions>", *mix_lines(mixes), *_tank_data(outing.diver), "  </gasdefinitions>",
              "  <profiledata>", '    <repetitiongroup id="group_1">', *_dive(outing), "    </repetitiongroup>",
              "  </profiledata>", "</uddf>", ""]
    return "\n".join(lines).encode(log.encoding)
