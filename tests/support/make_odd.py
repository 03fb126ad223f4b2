#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the odd logs whose bytes no editor would keep: make_odd.py OUTDIR. The same bytes every time.

One short dive of the invented school, written down in every way that bytes and markup can go astray."""
import pathlib
import sys
import zlib

DEPTHS = [0.0, 3.0, 6.0, 6.2, 6.1, 6.3, 5.9, 6.0, 6.4, 6.2, 6.1, 5.8, 6.0, 6.3, 6.1, 6.2, 5.9, 6.1, 6.0, 6.2, 6.1, 5.9,
          5.0, 4.0, 3.0, 2.0, 1.0, 0.0]
STEP_S = 10
PLACE = "Skj\u00e6ret 6\u00b0"


def waypoint(place, depth):
    first = '<switchmix ref="air"/>' if place == 0 else ""
    return f"<waypoint><depth>{depth}</depth><divetime>{STEP_S * place}</divetime>{first}</waypoint>"


def dive(number=1):
    lines = [f'<dive id="dive_{number}"><informationbeforedive><link ref="skjaeret"/>'
             f"<datetime>2024-05-{3 + number:02}T10:00:00</datetime></informationbeforedive>", "<samples>"]
    lines += [waypoint(place, depth) for place, depth in enumerate(DEPTHS)]
    return "\n".join([*lines, "</samples></dive>"])


def log(story, declaration='<?xml version="1.0" encoding="UTF-8"?>', place=PLACE, dives=None):
    lines = [declaration] if declaration else []
    lines += ["<!-- SPDX-License-" "Identifier: GPL-3.0-or-later",
              f"     {story} -->",
              '<uddf version="3.2.2"><generator><name>Skifer recorder</name></generator>',
              '<diver><owner id="owner"><personal><firstname>Runa</firstname><lastname>Fjellmark</lastname></personal>'
              "</owner></diver>",
              f'<divesite><site id="skjaeret"><name>{place}</name></site></divesite>',
              '<gasdefinitions><mix id="air"><o2>0.21</o2><n2>0.79</n2></mix></gasdefinitions>',
              '<profiledata><repetitiongroup id="group">', dives or dive(), "</repetitiongroup></profiledata></uddf>"]
    return "\n".join(lines) + "\n"


def replaced(text, old, new):
    assert text.count(old) == 1, (old, text.count(old))
    return text.replace(old, new)


def gzipped(data):
    """gzip with stored blocks: the same bytes with every version of every library (RFC 1951, RFC 1952)."""
    blocks = b""
    for start in range(0, len(data), 65535):
        part = data[start:start + 65535]
        size = len(part).to_bytes(2, "little"), (len(part) ^ 65535).to_bytes(2, "little")
        blocks += bytes([start + 65535 >= len(data)]) + b"".join(size) + part
    tail = zlib.crc32(data).to_bytes(4, "little") + (len(data) % 2**32).to_bytes(4, "little")
    return b"\x1f\x8b\x08\0\0\0\0\0\0\xff" + blocks + tail


def malformed():
    plain = log("A start tag in the documentation's own manner.")
    cut = log("Two dives; the file ends in the middle of the second.", dives=dive(1) + "\n" + dive(2))
    return {
        "01a-bad-start-tag": replaced(plain, "<divetime>100<", "<divetime100<").encode(),
        "01b-bad-tags-crossed": log("A dive that is never closed, with another behind it.",
                                    dives=dive(1).removesuffix("</dive>") + "\n" + dive(2)).encode(),
        "01c-note-cut-in-second-dive": cut.encode()[:-700],
        "01d-bad-cut-in-first-dive": log("The file ends before its first dive does.").encode()[:-700],
        "01e-note-zeros-for-the-rest": cut.encode()[:-700] + bytes(700),
    }


def declared(name):
    return f'<?xml version="1.0" encoding="{name}"?>'


def encodings():
    wide = PLACE + " \u2013 \u20ac"
    mark_8, mark_le, mark_be = b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff"
    return {
        "02a-ok-utf-8-mark": mark_8 + log("UTF-8 with a byte order mark.", place=wide).encode(),
        "02b-ok-utf-8-undeclared": log("UTF-8 that nothing declares.", None, wide).encode(),
        "02c-ok-utf-16-le-mark": mark_le + log("UTF-16.", declared("UTF-16"), wide).encode("utf-16-le"),
        "02d-ok-utf-16-be-mark": mark_be + log("UTF-16.", declared("UTF-16"), wide).encode("utf-16-be"),
        "02e-ok-utf-16-le": log("UTF-16 without a mark.", declared("utf-16le"), wide).encode("utf-16-le"),
        "02f-ok-utf-16-be": log("UTF-16 without a mark.", declared("utf-16be"), wide).encode("utf-16-be"),
        "02g-ok-iso-8859-1": log("ISO-8859-1.", declared("ISO-8859-1")).encode("iso-8859-1"),
        "02h-ok-iso-8859-15": log("ISO-8859-15.", declared("iso-8859-15"), PLACE + " \u20ac").encode("iso-8859-15"),
        "02i-ok-windows-1252": log("windows-1252.", declared("windows-1252"), wide).encode("windows-1252"),
        "02j-note-latin-1-as-utf-8": log("It says UTF-8, and is not.").encode("iso-8859-1"),
        "02k-note-windows-undeclared": log("It says nothing, and is windows-1252.", None, wide).encode("windows-1252"),
        "02l-note-windows-as-iso-8859-1": log("ISO-8859-1 with letters of windows-1252.", declared("ISO-8859-1"),
                                              wide).encode("windows-1252"),
        "02m-note-mark-against-declaration": mark_8 + log("Saved again as UTF-8.", declared("ISO-8859-1")).encode(),
        "02n-note-utf-16-that-is-none": log("Written by way of a string in memory.", declared("utf-16")).encode(),
        "02o-bad-unknown-encoding": log("Nobody knows it.", declared("skifer-7"), "Quarry").encode(),
    }


def markup():
    doctype = log("A document type that asks for another file.", "<?xml version=\"1.0\"?>\n"
                  '<!DOCTYPE uddf SYSTEM "uddf.dtd">')
    pieces = replaced(log("Values in pieces.", place="<![CDATA[Skj]]>\u00e6<!-- ae -->ret <?ask no?>6\u00b0"),
                      "<depth>6.4</depth><divetime>80</divetime>",
                      "<depth>6<!-- metres -->.4</depth><divetime><![CDATA[8]]>&#48;</divetime>")
    empty = replaced(log("Elements with nothing in them."), "</informationbeforedive>",
                     "<divenumber/><altitude> </altitude><link ref=\"\"/></informationbeforedive><tankdata/>")
    empty = replaced(empty, "<divetime>90</divetime>", "<divetime>90</divetime><temperature/><tankpressure> "
                     '</tankpressure><calculatedpo2></calculatedpo2><switchmix ref=""/>')
    between = "<depth>4.0</depth><divetime>230</divetime>"  # on a straight line between its neighbours
    return {
        "03a-bad-doctype": doctype.encode(),
        "03b-note-undefined-entities": log("HTML's entities.", place="Skj&aelig;ret&nbsp;6&deg;").encode(),
        "03c-ok-character-references": log("What XML defines.", place="Skj&#230;ret &#xB0; &lt;&amp;&gt;").encode(),
        "06-ok-comments-and-cdata": pieces.encode(),
        "07a-ok-empty-elements": empty.encode(),
        "07b-note-empty-depth": replaced(log("A depth that is not there."), between,
                                         between.replace("4.0", "")).encode(),
        "07c-note-empty-samples": log("No samples.", dives=dive().split("<samples>")[0] + "<samples/></dive>").encode(),
        "13a-bad-control-character": log("A bell.", place="Skj\u00e6ret \a").encode(),
        "13b-bad-nul-inside": log("A hole in the file.", place="Skj\u00e6ret \0\0\0").encode(),
        "13c-bad-xml-1-1": log("XML 1.1.", '<?xml version="1.1" encoding="UTF-8"?>').encode(),
    }


def large():
    dump = "\n".join(["U2tpZmVyaG9sdCBxdWFycnk" * 40] * 80)
    dumped = replaced(log("A recorder's memory, larger than any value may be, where nothing is read."),
                      "</diver>", f"</diver>\n<divecomputercontrol><divecomputerdump><dcdump>{dump}</dcdump>"
                      "</divecomputerdump></divecomputercontrol>")
    return {
        "11a-ok-long-dump": dumped.encode(),
        "11b-bad-long-name": log("A name of seventy thousand letters.", place="Skifer " * 10000).encode(),
    }


def wrapped():
    whole = log("A whole log, wrapped or followed by something.").encode()
    two = log("Two dives, packed, and the end is missing.", dives=dive(1) + "\n" + dive(2)).encode()
    damaged = bytearray(gzipped(whole))
    damaged[-1500] ^= 4
    html = '<!DOCTYPE html>\n<!-- SPDX-License-' 'Identifier: GPL-3.0-or-later -->\n<html><p>Not found.</p></html>\n'
    udcf = '<?xml version="1.0"?>\n<!-- SPDX-License-' 'Identifier: GPL-3.0-or-later -->\n<profile udcf="1"/>\n'
    archive = b"PK\x03\x04\x0a\0\0\0\0\0\0\0!X" + b" SPDX-License-" b"Identifier: GPL-3.0-or-later\n"
    return {
        "12a-ok-gzip": gzipped(whole),
        "12b-note-gzip-cut": gzipped(two)[:-700],
        "12c-bad-gzip-damaged": bytes(damaged),
        "12d-bad-zip": archive,
        "12e-bad-html": html.encode(),
        "12f-bad-predecessor": udcf.encode(),
        "12g-bad-empty": b"",
        "12h-note-trailing-zeros": whole + bytes(512),
        "12i-note-trailing-words": whole + b"-- end of transfer --\n",
        "12j-note-two-documents": whole + log("Another log, joined to the first.", dives=dive(2)).encode(),
        "12k-note-gzip-padded": gzipped(whole) + bytes(512),
    }


def twins():
    return {"twin-bytes": log("The dive of the logs with odd bytes, as it should be.").encode()}


def main(arguments):
    if len(arguments) != 1:
        print("usage: make_odd.py OUTDIR", file=sys.stderr)
        return 2
    outdir = pathlib.Path(arguments[0])
    outdir.mkdir(parents=True, exist_ok=True)
    for table in (malformed, encodings, markup, large, wrapped, twins):
        for name, data in table().items():
            (outdir / f"{name}.uddf").write_bytes(data)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
