# SPDX-License-Identifier: GPL-3.0-or-later
"""Every command in every format that it has, for tests of what holds for all of them."""

STANDARD = ["--standard", "standard-in-house.xml"]
CLASS = ["Eskil=class/ok-class-eskil.uddf", "Idun=class/ok-class-idun.uddf"]

# The command, what it is given in the folder of workplace.py, and its formats.
COMMANDS = [
    (["debrief", *STANDARD, "--dive", "all", "three.uddf"], ["text", "json", "csv", "html"]),
    (["review", *STANDARD, "--plan", "class/slate-45.txt", *CLASS], ["text", "json", "csv", "html"]),
    (["audit", *STANDARD, "--as-of", "2026-11-25", "three.uddf", "fast.uddf"], ["text", "json", "csv", "html"]),
    (["replay", "--tissues", "calm.uddf"], ["json", "csv"]),
    (["list", "three.uddf", "fast.uddf"], ["text", "json", "csv"]),
    (["verify", "made.html", "three.uddf"], ["text", "json"]),
]

# Makes the page that `verify` is given.
PAGE = [*COMMANDS[0][0], "--format", "html", "-o", "made.html"]


def every_output():
    """Arguments of each command with each of its formats."""
    return [[*arguments, "--format", name] for arguments, names in COMMANDS for name in names]
