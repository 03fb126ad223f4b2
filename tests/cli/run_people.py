#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What outputs tell of people, and what they never do: run_people.py TOOL.

Every field of a log that this program has no business with holds a marker; no command may write one of them, in any
format. The owner's name appears whole, as initials or as a letter, as `--names` asks."""
import itertools
import json

from workplace import expect, expect_end, run, run_scenarios

MARKER = "Hidden"  # no output may hold a word that begins like this
OWNERS = [("Solveig", "Rustad"), ("Eirik Olav", "Lunde")]
COMMANDS = {"debrief": ("text", "json", "csv"), "list": ("text", "json", "csv"), "replay": ("csv", "json")}

PRIVATE_PERSON = """
<address><street>HiddenStreet</street><city>HiddenCity</city></address>
<contact><email>hidden@HiddenMail</email><phone>HiddenPhone</phone></contact>
<medical><examination><notes><para>HiddenMedical</para></notes>
<examinationresult>HiddenResult</examinationresult></examination></medical>
<diveinsurances><insurance><name>HiddenInsurance</name></insurance></diveinsurances>
<education><certification><level>HiddenLevel</level></certification></education>
<notes><para>HiddenPersonNotes</para></notes>
"""
MORE_PERSONAL = """<middlename>HiddenMiddle</middlename><birthname>HiddenBirthname</birthname><sex>HiddenSex</sex>
<birthdate><datetime>1901-01-01</datetime></birthdate><height>HiddenHeight</height><weight>HiddenWeight</weight>
<bloodgroup>HiddenBlood</bloodgroup><membership organisation="HiddenOrganisation" memberid="HiddenMember"/>"""
EQUIPMENT = """<equipment>
<divecomputer id="dc"><name>HiddenRecorder</name><model>HiddenModel</model><serialnumber>HiddenSerial</serialnumber>
<purchase><price currency="EUR">HiddenPrice</price><shop><name>HiddenShop</name></shop></purchase></divecomputer>
<tank id="tank"><name>twelve</name><serialnumber>HiddenTankSerial</serialnumber>
<tankvolume>0.012</tankvolume></tank>
</equipment>"""
BEFORE = """<link ref="buddy"/><link ref="site"/><alcoholbeforedive><drink>HiddenDrink</drink></alcoholbeforedive>
<medicationbeforedive><medicine><name>HiddenMedicine</name></medicine></medicationbeforedive>
<exercisebeforedive>HiddenExercise</exercisebeforedive><stateofrestbeforedive>HiddenRest</stateofrestbeforedive>
<price currency="EUR">HiddenTrip</price>"""
AFTER = """<notes><para>HiddenDiveNotes</para><link ref="picture"/></notes>
<anysymptoms><notes><para>HiddenSymptoms</para></notes></anysymptoms><problems>HiddenProblems</problems>
<rating><ratingvalue>7</ratingvalue></rating><observations><notes><para>HiddenObservation</para></notes></observations>
<equipmentused><link ref="dc"/><link ref="tank"/></equipmentused>"""


def private_log(owner, start, depth="12"):
    """One dive whose log says all that a log can say of people; the depth that is no number raises a note."""
    first, last = owner
    rows = "".join(f'<waypoint><depth>{d}</depth><divetime>{t}</divetime><setmarker>HiddenMark</setmarker></waypoint>'
                   for t, d in [(0, 0), (60, depth), (300, 12), (600, 12), (610, 12), (620, 11), (700, 0)])
    return f"""<?xml version="1.0" encoding="utf-8"?>
<uddf version="3.2.2">
<generator><name>HiddenWriter</name><manufacturer id="m"><name>HiddenMaker</name></manufacturer></generator>
<mediadata><image id="picture"><objectname>/home/HiddenFolder/HiddenPicture.jpg</objectname></image></mediadata>
<business><shop id="s"><name>HiddenBusiness</name></shop></business>
<diver><owner id="o"><personal><firstname>{first}</firstname><lastname>{last}</lastname>{MORE_PERSONAL}</personal>
{EQUIPMENT}{PRIVATE_PERSON}</owner>
<buddy id="buddy">
<personal><firstname>HiddenBuddy</firstname><lastname>HiddenBuddyName</lastname>{MORE_PERSONAL}</personal>
<equipment><tank id="buddytank"><name>HiddenBuddyTank</name></tank></equipment>{PRIVATE_PERSON}</buddy></diver>
<divesite><site id="site"><name>Skiferholt quarry</name><geography><location>HiddenLocation</location>
<latitude>61.23456789</latitude><longitude>7.98765432</longitude>
<address><street>HiddenSiteStreet</street></address></geography>
<notes><para>HiddenSiteNotes</para></notes></site></divesite>
<gasdefinitions><mix id="air"><name>air</name><notes><para>HiddenMixNotes</para></notes>
<o2>0.21</o2><he>0</he></mix></gasdefinitions>
<profiledata><repetitiongroup id="g"><dive id="d">
<informationbeforedive>{BEFORE}<datetime>{start}</datetime></informationbeforedive>
<applicationdata><x>HiddenApplication</x></applicationdata>
<tankdata><link ref="tank"/><link ref="air"/></tankdata>
<samples>{rows}</samples>
<informationafterdive>{AFTER}</informationafterdive></dive></repetitiongroup></profiledata>
<divetrip><trip id="t"><name>HiddenTripName</name></trip></divetrip>
<divecomputercontrol><divecomputerdump><dcdump>HiddenDump</dcdump></divecomputerdump></divecomputercontrol>
</uddf>
"""


def write_logs(folder):
    (folder / "HiddenDirectory").mkdir()
    names = ["HiddenDirectory/first.uddf", "HiddenDirectory/second.uddf"]
    (folder / names[0]).write_text(private_log(OWNERS[0], "2026-05-03T09:00:00"), encoding="utf-8")
    (folder / names[1]).write_text(private_log(OWNERS[1], "2026-05-04T09:00:00", depth="deep"), encoding="utf-8")
    return names


def answers(tool, folder, logs, *options):
    """(what was asked, all that was written) for every command and format, for all dives and for one."""
    for command, formats in COMMANDS.items():
        for form, dive in itertools.product(formats, ("all", "2")):
            asked = [command, "--format", form, "--dive", dive, *options]
            result = run(tool, [*asked, *logs], folder)
            expect_end(result, 0)
            yield " ".join(asked), (result.stdout + result.stderr).decode()


# -- scenarios


def nothing_private_is_written(tool, folder):
    logs = write_logs(folder)
    for asked, text in answers(tool, folder, logs):
        expect(text, f"{asked}: nothing was written")
        for marker in (MARKER, "61.23", "7.98", "1901"):
            at = text.lower().find(marker.lower())
            expect(at < 0, f"{asked}: writes {text[max(0, at - 60):at + 40]!r}")


def the_marker_would_be_seen(tool, folder):
    """The same search finds a marker in a field that is shown."""
    (folder / "shown.uddf").write_text(private_log(("Hidden", "Owner"), "2026-05-03T09:00:00"), encoding="utf-8")
    result = run(tool, ["list", "--format", "json", "shown.uddf"], folder)
    expect(b"Hidden" in result.stdout, "the owner's name is not in the list")


def names_appear_as_asked(tool, folder):
    logs = write_logs(folder)
    words = [word for owner in OWNERS for name in owner for word in name.split()]
    for names in ("initials", "letters"):
        for command in ("debrief", "list"):
            for form, dive in itertools.product(COMMANDS[command], ("all", "2")):
                asked = [command, "--names", names, "--format", form, "--dive", dive]
                text = run(tool, [*asked, *logs], folder).stdout.decode()
                shown = [word for word in words if word in text]
                expect(text and not shown, f"{' '.join(asked)}: writes {shown}")


def the_owner_of_each_dive(tool, folder):
    logs = write_logs(folder)
    expected = {"full": ["Solveig Rustad", "Eirik Olav Lunde"], "initials": ["S. R.", "E. O. L."],
                "letters": ["A", "B"]}
    for names, people in expected.items():
        for command, more in (("debrief", ["--dive", "all"]), ("list", [])):
            result = run(tool, [command, "--names", names, "--format", "json", *more, *logs[::-1]], folder)
            document = json.loads(result.stdout)
            found = [dive["diver"] for dive in document["dives"]]
            expect(found == people, f"{command} --names {names}: {found}")
            note = next(note for note in document["notes"] if note["code"] == "owners-differ")
            expect(note["text"].endswith(", ".join(people)), f"{command} --names {names}: {note['text']}")


def a_path_in_a_log_s_name_is_left_out(tool, folder):
    logs = write_logs(folder)
    document = json.loads(run(tool, ["list", "--format", "json", str(folder / logs[0])], folder).stdout)
    expect([log["name"] for log in document["inputs"]] == ["first.uddf"], f"{document['inputs']}")


if __name__ == "__main__":
    raise SystemExit(run_scenarios(globals()))
