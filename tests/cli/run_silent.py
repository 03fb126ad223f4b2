#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""No document makes the tool fetch anything: run_silent.py TOOL.

Logs, course standards and plans that point to a listener of ours, and to a file beside them, in every way that XML has
for it. Nothing may reach the listener, no answer may hold the file's words, and each ends as usual or with a sentence.
A tool that confines itself could not reach the listener if it tried; that it does not try is shown by one that was
built with a sanitizer."""
import contextlib
import shutil
import socket
import subprocess
import threading

from workplace import CALM, ENVIRONMENT, MORNING, expect, log, run, run_scenarios

SECRET = "the key lies under the third slate"
STANDARD = """<?xml version="1.0" encoding="utf-8"?>
<standard xmlns="urn:leadline:standard:1" name="Skiferholt"><limits>
<limit of="depth" unit="m" serious="60"/>
</limits></standard>
"""


class Listener:
    """Takes whatever comes in at one port of the loopback, by TCP and by UDP."""

    def __init__(self):
        self.heard = []
        self.stream = socket.create_server(("127.0.0.1", 0))
        self.port = self.stream.getsockname()[1]
        self.datagrams = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        self.datagrams.bind(("127.0.0.1", self.port))
        self.threads = [threading.Thread(target=work, daemon=True) for work in (self.accept, self.receive)]

    def accept(self):
        while True:
            client, _ = self.stream.accept()
            with client, contextlib.suppress(OSError):
                client.settimeout(10)
                words = client.recv(4096)
                self.heard.append(words)
                client.sendall(b"HTTP/1.0 404 Not Found\r\nContent-Length: 0\r\n\r\n")
            if words == b"end":
                return

    def receive(self):
        while (words := self.datagrams.recv(4096)) != b"end":
            self.heard.append(words)
        self.heard.append(words)

    def close(self):
        """Says `end` at both doors, so that all that came before has been heard by then."""
        with socket.create_connection(("127.0.0.1", self.port)) as client:
            client.sendall(b"end")
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
            sender.sendto(b"end", ("127.0.0.1", self.port))
        for thread in self.threads:
            thread.join(30)
        self.stream.close()
        self.datagrams.close()


@contextlib.contextmanager
def listening():
    """Yields a listener; its list of what it heard is complete behind the block, and ends with `end` twice."""
    listener = Listener()
    for thread in listener.threads:
        thread.start()
    try:
        yield listener
    finally:
        listener.close()


# --- documents that point elsewhere ----------------------------------------------------------------------------------


def before_root(text, words):
    declaration, rest = text.split("?>\n", 1)
    return f"{declaration}?>\n{words}\n{rest}"


def within_root(text, words, attribute=""):
    """With words behind the start tag of the root, and an attribute more in it."""
    at = text.index(">", text.index("?>") + 2)
    return f"{text[:at]} {attribute}>\n{words}{text[at + 1:]}"


def pointing(text, root, to):
    """The document in every way that points to an address or a file: what it is, and its text."""
    def typed(declarations, words=""):
        return before_root(within_root(text, words), f"<!DOCTYPE {root} [\n{declarations}\n]>")

    include = f'<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="{to}" parse="text"/>'
    catalogue = f'<?oasis-xml-catalog catalog="{to}"?>'
    subset = f'<!DOCTYPE {root} SYSTEM "{to}">'
    return {
        "external subset": before_root(text, subset),
        "public external subset": before_root(text, f'<!DOCTYPE {root} PUBLIC "-//Skiferholt//DTD//EN" "{to}">'),
        "external entity": typed(f'<!ENTITY far SYSTEM "{to}">', "&far;"),
        "external entity in a name": typed(f'<!ENTITY far SYSTEM "{to}">').replace("Skiferholt</", "&far;</"),
        "parameter entity": typed(f'<!ENTITY % far SYSTEM "{to}">\n%far;'),
        "inclusion": within_root(text, include),
        "style sheet": before_root(text, f'<?xml-stylesheet type="text/xsl" href="{to}"?>'),
        "schema": within_root(text, "", 'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" '
                                        f'xsi:noNamespaceSchemaLocation="{to}" xsi:schemaLocation="urn:x {to}"'),
        "base and link": within_root(text, f'<link xmlns:xl="http://www.w3.org/1999/xlink" xl:href="{to}"/>',
                                     f'xml:base="{to}"'),
        "catalogue": before_root(text, catalogue),
        "catalogue and subset": before_root(text, f"{catalogue}\n{subset}"),
    }


def addresses(folder, port):
    (folder / "secret.txt").write_text(SECRET, encoding="utf-8")
    return [f"http://127.0.0.1:{port}/far", f"ftp://127.0.0.1:{port}/far", f"//127.0.0.1:{port}/far", "secret.txt",
            (folder / "secret.txt").as_uri()]


def expect_silence(tool, folder, text, root, commands):
    """Asks each command about `far.xml`, which is the text in every way."""
    ends = {0: 0, 3: 0}
    with listening() as listener:
        for to in addresses(folder, listener.port):
            for way, document in pointing(text, root, to).items():
                (folder / "far.xml").write_text(document, encoding="utf-8")
                for arguments in commands:
                    result = run(tool, arguments, folder)
                    expect(result.returncode in ends, f"{way} to {to}: exit code {result.returncode}: {result.stderr}")
                    ends[result.returncode] += 1
                    expect(result.returncode == 0 or result.stderr.startswith(b"leadline: far.xml"),
                           f"{way} to {to}: {result.stderr}")
                    expect(SECRET.encode() not in result.stdout + result.stderr, f"{way} to {to}: the file was read")
    expect(listener.heard == [b"end", b"end"], f"this was heard: {listener.heard[:3]}")
    expect(all(ends.values()), f"only these ends were seen: {ends}")


# --- who is asked ----------------------------------------------------------------------------------------------------


def a_log_fetches_nothing(tool, folder):
    expect_silence(tool, folder, log((MORNING, CALM)), "uddf",
                   [["list", "--format", "json", "far.xml"], ["debrief", "far.xml"], ["review", "far.xml"]])


def nor_does_one_in_another_encoding(tool, folder):
    """Bytes that are converted on their way to the parser."""
    text = log((MORNING, CALM)).replace("utf-8", "utf-16")
    with listening() as listener:
        for to in addresses(folder, listener.port):
            for way, document in pointing(text, "uddf", to).items():
                (folder / "far.xml").write_bytes(document.encode("utf-16"))
                result = run(tool, ["debrief", "far.xml"], folder)
                expect(result.returncode == (3 if "DOCTYPE" in document else 0), f"{way} to {to}: {result.stderr}")
                expect(SECRET.encode() not in result.stdout + result.stderr, f"{way} to {to}: the file was read")
    expect(listener.heard == [b"end", b"end"], f"this was heard: {listener.heard[:3]}")


def a_course_standard_fetches_nothing(tool, folder):
    expect_silence(tool, folder, STANDARD, "standard", [["debrief", "--standard", "far.xml", "calm.uddf"],
                                                        ["audit", "--as-of", "2026-11-25", "--standard", "far.xml",
                                                         "calm.uddf"]])


def a_plan_fetches_nothing(tool, folder):
    expect_silence(tool, folder, log((MORNING, CALM)), "uddf", [["review", "--plan", "far.xml", "A=calm.uddf"]])


# --- would it be heard -----------------------------------------------------------------------------------------------


def a_parser_that_fetches_is_heard(tool, folder):
    """The documents do point to the listener: a program that loads what a document names comes by."""
    xmllint = shutil.which("xmllint")
    if not xmllint:
        return "skipped: there is no xmllint to be heard"
    ways = pointing(log((MORNING, CALM)), "uddf", "http://127.0.0.1:{port}/far")
    loaded, missing = ("external subset", "external entity", "parameter entity", "inclusion"), []
    for way in loaded:
        with listening() as listener:
            (folder / "far.xml").write_text(ways[way].replace("{port}", str(listener.port)), encoding="utf-8")
            subprocess.run([xmllint, "--noout", "--noent", "--loaddtd", "--xinclude", "far.xml"], cwd=folder,
                           timeout=60, env=ENVIRONMENT, capture_output=True, check=False)
        missing += [way] if not any(words.startswith(b"GET /far") for words in listener.heard) else []
    if len(missing) == len(loaded):
        return "skipped: this xmllint fetches nothing"
    expect(not missing, f"nothing was heard of: {missing}")
    return None


if __name__ == "__main__":
    raise SystemExit(run_scenarios(globals()))
