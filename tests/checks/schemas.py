#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: schemas.py TOOL SCHEMAS LOG...

Runs TOOL's JSON commands on every LOG and on all of them together, and holds each output against the schema in the
folder SCHEMAS that it names, with the jsonschema library. Logs that the tool refuses (exit code 3, nothing written) are
passed over; at least one must be read. Also checks that the schemas themselves are schemas, that they refuse a document
without a promised key, and that every row is as long as `columns`. Prints each breach and exits 1 if there is one, 77
where jsonschema is not installed.
"""
import copy
import json
import os
import pathlib
import subprocess
import sys
import tempfile

SYSTEM_PYTHON = '/usr/bin/python3'  # the one that a system's own packages serve

try:
    import jsonschema
except ImportError:
    if os.path.exists(SYSTEM_PYTHON) and not os.environ.get('LEADLINE_SCHEMAS_TRIED'):
        os.environ['LEADLINE_SCHEMAS_TRIED'] = 'yes'
        os.execv(SYSTEM_PYTHON, [SYSTEM_PYTHON, *sys.argv])
    print('python3-jsonschema is not installed')
    sys.exit(77)

STANDARD = str(pathlib.Path(__file__).resolve().parents[2] / 'sample-logs/standard-first-helium.xml')

COMMANDS = [
    ('leadline-debrief-1', ['debrief', '--dive', 'all']),
    ('leadline-list-1', ['list']),
    ('leadline-replay-1', ['replay', '--tissues']),
    ('leadline-verify-1', ['verify']),
    ('leadline-review-1', ['review']),
    ('leadline-audit-1', ['audit', '--as-of', '2026-11-25', '--standard', STANDARD]),
]


def reject_constant(name):
    raise ValueError(f'{name} is no JSON')


def read_schemas(folder):
    schemas = {}
    for name, _ in COMMANDS:
        schema = json.loads((folder / f'{name}.schema.json').read_text(encoding='utf-8'))
        jsonschema.Draft202012Validator.check_schema(schema)
        schemas[name] = jsonschema.Draft202012Validator(schema)
    return schemas


def breaches_of(name, validator, document):
    for error in validator.iter_errors(document):
        where = '/'.join(str(step) for step in error.absolute_path)
        yield f'{name}: at /{where}: {error.message[:200]}'
    if name == 'leadline-replay-1':
        width = len(document['columns'])
        for dive in document['dives']:
            if any(len(row) != width for row in dive['rows']):
                yield f'{name}: dive {dive["number"]} has a row that is not {width} long'


def blind_spots(name, validator, document):
    """A schema that takes a document without one of its keys would prove nothing."""
    for key in document:
        poorer = copy.copy(document)
        del poorer[key]
        if validator.is_valid(poorer):
            yield f'{name}: the schema does not ask for "{key}"'


def run(tool, arguments, logs):
    if arguments[0] == 'verify':
        with tempfile.TemporaryDirectory() as folder:
            page = f'{folder}/page.html'
            subprocess.run([tool, 'debrief', '--format', 'html', '-o', page, *logs], check=False, timeout=120)
            return run_one(tool, arguments, [page, *logs])
    return run_one(tool, arguments, logs)


def run_one(tool, arguments, logs):
    command = [tool, arguments[0], '--format', 'json', *arguments[1:], *logs]
    done = subprocess.run(command, capture_output=True, timeout=120)
    if done.returncode == 3 and not done.stdout:
        return None
    return json.loads(done.stdout.decode('utf-8'), parse_constant=reject_constant)


def main(tool, folder, *logs):
    schemas = read_schemas(pathlib.Path(folder))
    breaches, read = [], 0
    for given in [[log] for log in logs] + ([list(logs)] if len(logs) > 1 else []):
        for name, arguments in COMMANDS:
            try:
                document = run(tool, arguments, given)
            except ValueError as error:
                breaches.append(f'{name}: {given}: {error}')
                continue
            if document is None:
                continue
            read += 1
            found = list(breaches_of(name, schemas[name], document)) + list(blind_spots(name, schemas[name], document))
            breaches += [f'{" ".join(given)}: {breach}' for breach in found[:20]]
    for breach in breaches:
        print(breach)
    if not read:
        print('no log was read')
    print(f'{read} outputs held against their schemas, {len(breaches)} breaches')
    return 1 if breaches or not read else 0


if __name__ == '__main__':
    if len(sys.argv) < 4:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
