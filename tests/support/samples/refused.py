# SPDX-License-Identifier: GPL-3.0-or-later
"""The bad-* samples: bytes that no reader should take for a log. Nothing in them exists or is ever fetched."""
from . import gear
from .ascent import come_up
from .diver import Diver
from .gear import EAN32, Tank
from .stories import FJORD, SPACE_32
from .uddf import NOTICE, Log, Outing
from .uddf3 import write_3

DEEP = 3000


def _comment(story):
    return f"<!-- {NOTICE}\n     {story} -->\n"


def _head(story):
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + _comment(story)


def truncated():
    tanks = (Tank("t_back", "single fifteen", 15.0, 203.3, EAN32.id),)
    diver = Diver("truncated", gear.FJORD, (EAN32,), tanks, 10, ("tanks",))
    diver.stay(20)
    diver.go(18.4, 15.0)
    diver.ramble(16 * 60, (18.7, 17.2))
    come_up(diver)
    log = Log("3.2.2", "The transfer stopped half-way: the file ends inside a number.", ("Oddny", "Tjernås"),
              ("Signe", "Mossholt"), *FJORD, [Outing("dive_1", "2024-04-20T10:30:00", diver, 290)], SPACE_32)
    whole = write_3(log, (EAN32,), "2024-04-20T15:00:00")
    return whole[:whole.index(b"<divetime>600.0") + len(b"<divetime>60")]


def not_xml():
    return ("<!DOCTYPE html>\n" + _comment("Saved instead of a log: the page on which a server says sorry.") +
            "<html lang=\"en\">\n<head><title>Skiferholt log store</title></head>\n<body>\n"
            "<p>The log you asked for is not here any more.<br>\nAsk at the hut &amp; bring coffee.</p>\n"
            "</body>\n</html>\n").encode()


def wrong_root():
    return (_head("Well-formed XML about a dive, but no UDDF: another root element.") +
            "<logbook>\n  <entry day=\"2024-05-11\" place=\"Skiferholt\" deepest=\"59.9\"/>\n</logbook>\n").encode()


def doctype():
    rings = "".join(f'  <!ENTITY ring{i} "{f"&ring{i - 1};" * 10}">\n' for i in range(1, 10))
    return ('<?xml version="1.0" encoding="UTF-8"?>\n' +
            _comment("A document type with a file to fetch and an entity that would grow to a billion words.") +
            '<!DOCTYPE uddf SYSTEM "http://skiferholt.invalid/never-fetched.dtd" [\n'
            '  <!ENTITY page SYSTEM "never-read.txt">\n  <!ENTITY ring0 "slate ">\n' + rings + "]>\n"
            '<uddf version="3.2.2">\n  <generator><name>Skifer recorder</name></generator>\n'
            "  <diver><owner id=\"owner_1\"><personal><firstname>&page;</firstname><lastname>&ring9;</lastname>"
            "</personal></owner></diver>\n</uddf>\n").encode()


def predecessor():
    depths = "".join(f"<d>{depth}</d>" for depth in ("0.0", "6.2", "11.8", "12.1", "11.4", "5.0", "4.9", "0.0"))
    return (_head("The format before UDDF: depths at a fixed step under a profile root.") +
            '<profile udcf="1">\n  <repgroup>\n    <dive>\n      <place>Skiferholt quarry</place>\n'
            f"      <samples><deltamode/><delta>120</delta>{depths}</samples>\n"
            "    </dive>\n  </repgroup>\n</profile>\n").encode()


def empty():
    return b""


def nesting():
    return (_head("Elements opened inside one another some thousand times and never closed.") +
            '<uddf version="3.2.2">\n' + ("<notes>" * 20 + "\n") * (DEEP // 20)).encode()


STORIES = {
    "bad-truncated": truncated, "bad-not-xml": not_xml, "bad-wrong-root": wrong_root, "bad-doctype": doctype,
    "bad-predecessor": predecessor, "bad-empty": empty, "bad-nesting": nesting,
}
