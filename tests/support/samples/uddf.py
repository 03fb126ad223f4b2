# SPDX-License-Identifier: GPL-3.0-or-later
"""What the writers of the invented logs share: the log, its elements, its waypoints. One waypoint a line."""
from dataclasses import dataclass
from xml.sax.saxutils import escape

WRITER, WRITER_VERSION = "Skifer recorder", "1.0"
NOTICE = "SPDX-License-Identifier: GPL-3.0-or-later"


@dataclass
class Outing:
    """One dive of a log: when, where, with whom, and what the recorder stored."""
    id: str
    start: str
    diver: object
    number: int
    interval_s: int = None
    surface_pascal: int = None
    altitude_m: int = None
    purpose: str = "learning"
    apparatus: str = "open-scuba"
    words: str = ""


@dataclass
class Log:
    version: str
    story: str
    owner: tuple
    buddy: tuple
    site: str
    place: str
    outings: list
    namespace: str = None
    encoding: str = "UTF-8"
    factors: tuple = (0.50, 0.80)
    site_density: float = None
    sensors: tuple = ()


def tag(name, text, **attributes):
    written = "".join(f' {key}="{escape(str(value))}"' for key, value in attributes.items())
    if text is None:
        return f"<{name}{written}/>"
    return f"<{name}{written}>{text if text.startswith('<') else escape(text)}</{name}>"


def head(log):
    return [f'<?xml version="1.0" encoding="{log.encoding}"?>', f"<!-- {NOTICE}", f"     {log.story} -->"]


def person(kind, identity, first, last, extra=""):
    inner = tag("personal", tag("firstname", first) + tag("lastname", last)) + extra
    return "    " + tag(kind, inner, id=identity)


def pascal(bar):
    return f"{round(bar * 1000) * 100}.0"


def _values(point):
    """The inner elements of a waypoint, in the order the recorder writes them."""
    yield tag("depth", f"{point.depth_m:.1f}")
    yield tag("divetime", f"{point.time_s}.0")
    if point.temperature_c is not None:
        yield tag("temperature", f"{point.temperature_c + 273.15:.2f}")
    if point.mode:
        yield tag("divemode", None, type=point.mode)
    if point.mix:
        yield tag("switchmix", None, ref=point.mix)
    if point.set_point_bar:
        yield tag("setpo2", pascal(point.set_point_bar), setby="user")
    for i, bar in enumerate(point.sensors_bar):
        yield tag("measuredpo2", pascal(bar), ref=f"cell_{i + 1}")
    for tank, bar in point.tanks_bar.items():
        yield tag("tankpressure", pascal(bar), ref=tank)
    yield from _reckoned(point)


def _reckoned(point):
    if point.own_stop:
        yield tag("decostop", None, kind="mandatory", decodepth=f"{point.own_stop[0]:.1f}",
                  duration=f"{point.own_stop[1]}.0")
    if point.no_stop_s is not None:
        yield tag("nodecotime", f"{point.no_stop_s}.0")
    if point.gradient is not None:
        yield tag("gradientfactor", f"{point.gradient:.2f}")
    if point.cns_percent is not None:
        yield tag("cns", f"{point.cns_percent:.0f}")
    if point.otu is not None:
        yield tag("otu", f"{point.otu:.0f}")
    if point.alarm:
        yield tag("alarm", point.alarm)


def waypoints(points):
    return ["          " + tag("waypoint", "".join(_values(point))) for point in points]


def fractions(mix):
    stated = "" if mix.maximum_m is None else tag("maximumoperationdepth", f"{mix.maximum_m:.1f}")
    return (tag("name", mix.name) + tag("o2", f"{mix.o2:.3f}") + tag("n2", f"{mix.n2:.3f}") +
            tag("he", f"{mix.he:.3f}") + tag("ar", "0.000") + tag("h2", "0.000") + stated)


def mix_lines(mixes):
    return ["    " + tag("mix", fractions(mix), id=mix.id) for mix in mixes]
