# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes an invented log as UDDF 3.1 or 3.2."""
from .uddf import WRITER, WRITER_VERSION, head, mix_lines, pascal, person, tag, waypoints


def _equipment(log, tanks):
    lines = ['      <equipment>', '        ' + tag("divecomputer", tag("name", WRITER) + tag("model", "S1"), id="dc_1")]
    if log.sensors:
        cells = "".join(tag("o2sensor", tag("name", name), id=f"cell_{i + 1}") for i, name in enumerate(log.sensors))
        lines.append("        " + tag("rebreather", tag("name", "chest loop") + cells, id="loop_1"))
    for tank in tanks:
        inner = tag("name", tank.name) + tag("tankmaterial", tank.material) + \
            tag("tankvolume", f"{tank.litres / 1000:.4f}")
        lines.append("        " + tag("tank", inner, id=tank.id))
    return lines + ['      </equipment>']


def _people(log, tanks):
    first, last = log.owner
    lines = ["  <diver>", '    <owner id="owner_1">',
             "      " + tag("personal", tag("firstname", first) + tag("lastname", last))]
    lines += _equipment(log, tanks) + ["    </owner>"]
    return lines + [person("buddy", "buddy_1", *log.buddy), "  </diver>"]


def _sites(log):
    lines = ["  <divesite>", '    <site id="site_1">', "      " + tag("name", log.site),
             "      " + tag("geography", tag("location", log.place))]
    if log.site_density:
        lines.append("      " + tag("sitedata", tag("density", f"{log.site_density:.1f}")))
    return lines + ["    </site>", "  </divesite>"]


def _model(log):
    low, high = log.factors
    inner = tag("gradientfactorhigh", f"{high:.2f}") + tag("gradientfactorlow", f"{low:.2f}")
    return ["  <decomodel>", "    " + tag("buehlmann", inner, id="model_1"), "  </decomodel>"]


def _before(outing):
    lines = [tag("link", None, ref="site_1") + tag("link", None, ref="buddy_1"), tag("datetime", outing.start),
             tag("divenumber", str(outing.number))]
    if outing.altitude_m:
        lines.append(tag("altitude", f"{outing.altitude_m}.0"))
    if outing.surface_pascal:
        lines.append(tag("surfacepressure", f"{outing.surface_pascal}.0"))
    rest = tag("infinity", None) if outing.interval_s is None else tag("passedtime", f"{outing.interval_s}.0")
    lines += [tag("surfaceintervalbeforedive", rest), tag("apparatus", outing.apparatus),
              tag("purpose", outing.purpose)]
    return ["        <informationbeforedive>", *("          " + line for line in lines),
            "        </informationbeforedive>"]


def _tank_data(diver, mixes):
    known = {mix.id for mix in mixes}
    for tank in diver.tanks:
        inner = tag("link", None, ref=tank.id)
        if tank.mix in known:
            inner += tag("link", None, ref=tank.mix)
        inner += tag("tankpressurebegin", pascal(round(tank.bar))) + \
            tag("tankpressureend", pascal(round(diver.bar[tank.id])))
        yield "        " + tag("tankdata", inner)


def _after(outing):
    points = outing.diver.waypoints
    coldest_c = min(point.temperature_c for point in points if point.temperature_c is not None)
    used = "".join(tag("link", None, ref=name) for name in ["dc_1"] + [tank.id for tank in outing.diver.tanks])
    lines = [tag("lowesttemperature", f"{coldest_c + 273.15:.2f}"),
             tag("greatestdepth", f"{max(point.depth_m for point in points):.1f}"),
             tag("diveduration", f"{points[-1].time_s}.0"), tag("equipmentused", used)]
    if outing.words:
        lines.append(tag("notes", tag("para", outing.words)))
    return ["        <informationafterdive>", *("          " + line for line in lines),
            "        </informationafterdive>"]


def _dive(outing, mixes):
    return [f'      <dive id="{outing.id}">', *_before(outing), *_tank_data(outing.diver, mixes), "        <samples>",
            *waypoints(outing.diver.waypoints), "        </samples>", *_after(outing), "      </dive>"]


def write_3(log, mixes, written):
    """A log of UDDF 3.1 or 3.2; `mixes` are those the log defines, `written` its own date."""
    tanks = {tank.id: tank for outing in log.outings for tank in outing.diver.tanks}.values()
    space = f' xmlns="{log.namespace}"' if log.namespace else ""
    lines = head(log) + [f'<uddf{space} version="{log.version}">']
    lines.append("  " + tag("generator", tag("name", WRITER) + tag("type", "divecomputer") +
                            tag("manufacturer", tag("name", "Skiferholt workshop"), id="maker_1") +
                            tag("version", WRITER_VERSION) + tag("datetime", written)))
    lines += _people(log, tanks) + _sites(log) + ["  <gasdefinitions>", *mix_lines(mixes), "  </gasdefinitions>"]
    lines += _model(log) + ["  <profiledata>", '    <repetitiongroup id="group_1">']
    for outing in log.outings:
        lines += _dive(outing, mixes)
    lines += ["    </repetitiongroup>", "  </profiledata>", "</uddf>", ""]
    return "\n".join(lines).encode(log.encoding)
