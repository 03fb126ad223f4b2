#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: layers.py SRC

Looks at every source below SRC: which layer it includes, which outside headers, and which words of the C library it
uses that are meant for a few files only; comments are plain ASCII. Prints each breach as file:line and exits 1 if there is one.
"""
import pathlib
import re
import sys

# layer: the layers that it may include besides itself
LAYERS = {
    'base': set(),
    'log': {'base'},
    'model': {'base'},
    'replay': {'base', 'log', 'model'},
    'standard': {'base'},
    'finding': {'base', 'log', 'replay', 'standard'},
    'assess': {'base', 'log', 'model', 'replay', 'standard', 'finding'},
    'report': {'base', 'log', 'replay', 'standard', 'finding', 'assess'},
    'cli': {'base'},
    'door': {'base', 'log', 'model', 'replay', 'standard', 'finding', 'assess', 'report'},  # files right below src/
}
DOOR_WHOLE = {'door', 'cli'}  # layers that may include all of <leadline/...>
DOOR_SHARED = {'base': {'crew.h', 'status.h', 'settings.h'}}  # what base shares with the door

PLAIN = {'assert', 'ctype', 'errno', 'float', 'inttypes', 'limits', 'math', 'stdarg', 'stdbool', 'stddef', 'stdint',
         'stdio', 'stdlib', 'string'}
POSIX = {'dirent', 'fcntl', 'getopt', 'locale', 'pthread', 'signal', 'time', 'unistd', 'sys'}
# outside header (its first name): the layers or files that may see it
OUTSIDE = {
    'libxml': {'base/xml.c', 'log/', 'standard/'},
    'zlib': {'log/'},
    'gsl': {'base/numeric.c'},
    'nettle': {'base/digest.h', 'base/digest.c'},
    'threads': {'base/xml.c', 'cli/'},
    'dlfcn': {'cli/confine_files.c'},
    'linux': {'cli/confine_calls.c', 'cli/confine_files.c'},
    'sched': {'cli/confine_calls.c'},
    **{name: {'cli/'} for name in POSIX},
    'pthread': {'base/lock.c', 'base/lock.h', 'cli/'},
}

# words: the files or layers that may use them
WORDS = [
    (r'malloc|calloc|realloc|free|aligned_alloc|posix_memalign|strdup|strndup|alloca', {'base/arena.c'}),
    (r'exit|_exit|_Exit|quick_exit|abort|atexit|system|popen|fork', {'cli/'}),
    (r'printf|fprintf|dprintf|vprintf|vfprintf|puts|fputs|putc|putchar|fputc|fwrite|perror', {'cli/'}),
    (r'fopen|fdopen|freopen|open|creat|tmpfile|fread|fgets|getc|scanf|fscanf', {'cli/'}),
    (r'getenv|secure_getenv|setenv|putenv|setlocale|uselocale|newlocale', {'cli/'}),
    (r'time|clock|clock_gettime|gettimeofday|localtime|localtime_r|mktime|gmtime|gmtime_r', {'cli/'}),
    (r'strtod|strtof|strtold|atof|sscanf', {'base/number_read.c'}),
]
# A measured number in a format would print the locale's point.
FLOAT_FORMAT = re.compile(r'%[-+#0]*(\*|\d+)?(\.(\*|\d+))?L?[aefgAEFG]')

TOKENS = re.compile(r'//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', re.S)
INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^>"]+)[>"]', re.M)


def is_named(name, places):
    return any(name == place or (place.endswith('/') and name.startswith(place)) for place in places)


def blank(match, keep_strings):
    text = match.group(0)
    if keep_strings and text[0] == '"':
        return text
    return re.sub(r'[^\n]', ' ', text)


def line_of(text, at):
    return text.count('\n', 0, at) + 1


def includes(name, layer, text):
    for match in INCLUDE.finditer(text):
        kind, header = match.groups()
        first = re.split(r'[/.]', header)[0]
        line = line_of(text, match.start(2))
        if kind == '"':
            if first != layer and first not in LAYERS[layer]:
                yield line, f'{layer} may not include "{header}"'
        elif first == 'leadline':
            if layer not in DOOR_WHOLE and header.split('/')[1] not in DOOR_SHARED.get(layer, ()):
                yield line, f'{layer} may not include <{header}>'
        elif first not in PLAIN and not is_named(name, OUTSIDE.get(first, ())):
            yield line, f'<{header}> is not for this file'


def words(name, text):
    for pattern, places in WORDS:
        if is_named(name, places):
            continue
        for match in re.finditer(rf'(?<![\w.>])({pattern})\s*\(', text):
            yield line_of(text, match.start(1)), f'{match.group(1)}() is not for this file'


def formats(name, text):
    if name == 'base/number_write.c':
        return
    for match in FLOAT_FORMAT.finditer(text):
        yield line_of(text, match.start()), f'"{match.group(0)}" prints a measured number by the locale'


def comments(text):
    for match in TOKENS.finditer(text):
        if match.group(0)[0] == '/' and not match.group(0).isascii():
            yield line_of(text, match.start()), 'a comment that is not plain ASCII begins here'


def look_at(path, root):
    name = path.relative_to(root).as_posix()
    layer = name.split('/')[0] if '/' in name else 'door'
    if layer not in LAYERS:
        return [f'{name}: no layer of this name']
    whole = path.read_text(encoding='utf-8')
    code = TOKENS.sub(lambda match: blank(match, False), whole)
    strings = TOKENS.sub(lambda match: blank(match, True), whole)
    found = [*includes(name, layer, strings), *words(name, code), *formats(name, strings),
             *comments(whole)]
    return [f'src/{name}:{line}: {what}' for line, what in sorted(found)]


def main():
    root = pathlib.Path(sys.argv[1])
    files = sorted(path for end in ('c', 'h', 'def') for path in root.rglob('*.' + end))
    breaches = [line for path in files for line in look_at(path, root)]
    print(*breaches, f'{len(files)} files, {len(breaches)} breaches', sep='\n')
    return 1 if breaches or not files else 0


sys.exit(main())
