#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: standards.py TOOL

Holds course standards against docs/schemas/standard-1.rng with xmllint, a RELAX NG validator that is not ours, and against the
tool, which has checks of its own: the sample standards and every kind of limit that the tool lists fit both; each wrong one is
refused by the tool with exit code 3, its line and the words named here, and by the schema too unless only the program can see
it. Exits 77 where xmllint is not installed.
"""
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLES = ROOT / 'sample-logs'
SCHEMA = ROOT / 'docs' / 'schemas' / 'standard-1.rng'
OPEN = '<standard xmlns="urn:leadline:standard:1" name="n">\n'


def limit(words):
    return f'{OPEN}<limits>\n<limit {words}/>\n</limits>\n</standard>\n'


def requirement(words, text='In words'):
    return f'{OPEN}<entry>\n<requirement {words}>{text}</requirement>\n</entry>\n</standard>\n'


BOTH, PROGRAM = True, False  # who refuses it

# text, line, words of the sentence, who refuses it
WRONG = [
    (limit('of="speed" unit="m"'), 3, "nothing that has a limit is called 'speed'", BOTH),
    (limit('of="surfaced" unit="m" note="1"'), 3, "'surfaced' takes no limit", BOTH),
    (limit('of="depth" unit="ft" serious="200"'), 3, "unit of 'depth' is m, not ft", BOTH),
    (limit('of="depth" unit="m" serious="3e1"'), 3, 'serious="3e1": expected a number', BOTH),
    (limit('of="depth" unit="m" serious="-3"'), 3, 'serious="-3": expected a number', BOTH),
    (limit('of="depth" unit="m" serious="331"'), 3, "serious of 'depth': expected 0 to 330 m", BOTH),
    (limit('of="depth" unit="m" severe="60"'), 3, "<limit> takes no attribute 'severe'", BOTH),
    (limit('of="depth" serious="60"'), 3, "<limit> needs the attribute 'unit'", BOTH),
    (limit('unit="m" serious="60"'), 3, "<limit> needs the attribute 'of'", BOTH),
    (limit('of="depth" unit="m" caution="60" serious="50"'), 3, 'serious lies below caution', PROGRAM),
    (limit('of="oxygen-low" unit="atm" note="0.16" serious="0.18"'), 3, 'serious lies above note', PROGRAM),
    (limit('of="depth" unit="m"/>\n<limit of="depth" unit="m"'), 4, "a second limit of 'depth'", PROGRAM),
    (requirement('id="a"'), 3, "needs 'least' or 'most'", BOTH),
    (requirement('least="1"'), 3, "needs the attribute 'id'", BOTH),
    (requirement('id="a" least="2" most="1"'), 3, "'least' is more than 'most'", PROGRAM),
    (requirement('id="a" least="1.5"'), 3, 'whole numbers', PROGRAM),
    (requirement('id="a" least="many"'), 3, 'least="many": expected a number', BOTH),
    (requirement('id="a" least="1" count="weeks"'), 3, 'expected dives, hours or days', BOTH),
    (requirement('id="a" least="1" decompression="maybe"'), 3, 'expected yes or no', BOTH),
    (requirement('id="a" least="1" owed="P1M"'), 3, 'owed="P1M": expected a duration', BOTH),
    (requirement('id="a" least="1" within="PT6H"'), 3, 'within="PT6H": expected a duration', BOTH),
    (requirement('id="a" least="1" within="6 months"'), 3, 'within="6 months": expected a duration', BOTH),
    (requirement('id="a" least="1" shortest="PT0M"'), 3, 'shortest="PT0M": expected a duration', PROGRAM),
    (requirement('id="a" least="1" deepest-from="400"'), 3, 'expected a depth from 0 to 330 m', BOTH),
    (requirement('id="a" least="1" deepest-from="46" deepest-to="36"'), 3, "more than 'deepest-to'", PROGRAM),
    (requirement('id="a" least="1" among-last="0"'), 3, 'expected a whole number from 1', BOTH),
    (requirement('id="a" least="1" switches="1.5"'), 3, 'expected a whole number from 1', BOTH),
    (requirement('id="a" least="1" circuit="closed"'), 3, 'expected open or loop', BOTH),
    (requirement('id="a" least="1" finding="ceiling"'), 3, "'finding' and 'severity' go together", BOTH),
    (requirement('id="a" most="0" finding="haste" severity="note"'), 3, "no kind of finding is called 'haste'", BOTH),
    (requirement('id="a" most="0" finding="ceiling" severity="bad"'), 3, 'expected note, caution or serious', BOTH),
    (requirement('id="a" most="0" finding="depth" severity="note"'), 3, "'depth', which has no limit", PROGRAM),
    (requirement('id="a" least="1" decompression="no" owed="PT5M"'), 3, 'is a decompression dive', PROGRAM),
    (requirement('id="a" least="1"', ' \n '), 3, 'needs a text', BOTH),
    (requirement('id="a" least="1"', 'In <b>words</b>'), 3, '<b> is not known in <requirement>', BOTH),
    (requirement('id="a"\nleast="1"\nmost="x"'), 5, 'most="x": expected a number', BOTH),
    (requirement('id="a" least="1">A</requirement>\n<requirement id="a" least="2"'), 4, "the id 'a'", PROGRAM),
    (f'{OPEN}<model gradient-low="50" gradient-high="80"/></standard>', 2, 'gradient-low="50": expected a fraction', BOTH),
    (f'{OPEN}<model gradient-low="0.5"/></standard>', 2, "'gradient-low' and 'gradient-high' go together", BOTH),
    (f'{OPEN}<model gradient-low="0.9" gradient-high="0.8"/></standard>', 2, "more than 'gradient-high'", PROGRAM),
    (f'{OPEN}<model last-stop="2"/></standard>', 2, 'expected a depth from 3 to 9 m', BOTH),
    (f'{OPEN}<model/>\n<model/></standard>', 3, 'a second <model>', BOTH),
    (f'{OPEN}<exit/></standard>', 2, '<exit> is not known in <standard>', BOTH),
    (f'{OPEN}<limits>\nnone</limits></standard>', 3, 'text in <limits>', BOTH),
    (f'{OPEN}<x:limits xmlns:x="urn:x"/></standard>', 2, '<x:limits> is not known', BOTH),
    ('<standard xmlns="urn:leadline:standard:1"/>', 1, "<standard> needs the attribute 'name'", BOTH),
    ('<standard name="n"/>', 1, 'root element is <standard>, expected', BOTH),
    ('<course xmlns="urn:leadline:standard:1" name="n"/>', 1, 'root element is <course>', BOTH),
    (f'{OPEN}<limits>\n</standard>', 3, 'no well-formed XML', BOTH),
]


def validates(path):
    done = subprocess.run(['xmllint', '--nonet', '--noout', '--relaxng', SCHEMA, path], capture_output=True, check=False)
    return done.returncode == 0


def run(tool, path, *options):
    command = [tool, 'debrief', '--firm', 'no', *options, '--standard', path, SAMPLES / 'ok-air-45.uddf']
    done = subprocess.run(list(map(str, command)), capture_output=True, check=False, timeout=120)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def look_at_good(tool, path):
    code, _, said = run(tool, path)
    if code:
        yield f'{path.name}: exit {code}: {said}'
    if not validates(path):
        yield f'{path.name}: the schema refuses it'


def look_at_wrong(tool, path, line, words, who):
    code, out, said = run(tool, path)
    if code != 3 or out or f'{path}:{line}: ' not in said or words not in said:
        yield f'expected exit 3 and "{line}: ... {words}", got exit {code}: {said.strip()}'
    if validates(path) == who:
        yield f'the schema {"takes" if who else "refuses"} it: {words}'


def kinds(tool):
    """Kind and unit of every limit that the tool looks at, but for the one that takes none."""
    code, out, said = run(tool, SAMPLES / 'standard-in-house.xml', '--format', 'json')
    if code:
        sys.exit(f'standard-in-house.xml: exit {code}: {said}')
    return [(one['kind'], one['unit']) for one in json.loads(out)['limits'] if one['kind'] != 'surfaced']


def look_at_kinds(tool, path):
    listed = kinds(tool)
    limits = ''.join(f'<limit of="{kind}" unit="{unit}" serious="1"/>\n' for kind, unit in listed)
    asked = ''.join(f'<requirement id="{kind}" most="0" finding="{kind}" severity="serious">{kind}</requirement>\n'
                    for kind, _ in listed + [('surfaced', 'm')])
    path.write_text(f'{OPEN}<entry>{asked}</entry><limits>{limits}</limits></standard>', encoding='utf-8')
    yield from look_at_good(tool, path)


def main(tool):
    if not shutil.which('xmllint'):
        print('xmllint is not installed')
        return 77
    samples = sorted(SAMPLES.glob('standard-*.xml'))
    wrong = [sentence for path in samples for sentence in look_at_good(tool, path)]
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / 'standard.xml'
        wrong += look_at_kinds(tool, path)
        for text, line, words, who in WRONG:
            path.write_text(text, encoding='utf-8')
            wrong += look_at_wrong(tool, path, line, words, who)
    print(*wrong, f'{len(samples)} samples and {len(WRONG)} wrong standards, {len(wrong)} failed', sep='\n')
    return 1 if wrong or len(samples) < 3 else 0


if __name__ == '__main__':
    sys.exit(main(sys.argv[1]) if len(sys.argv) == 2 else __doc__)
