#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes style and script of a page as a C file: embed.py OUT.c STYLE.css... SCRIPT.js

Comments and indentation stay out of the page; the digests are those of the bytes that remain (RFC 4648 base64 of SHA-256, as a
content-security policy names them)."""
import base64
import hashlib
import re
import sys


def without_comments(text):
    """Drops /* ... */ and whole lines of //, blank lines and indentation; strings hold neither."""
    text = re.sub(r"/\*.*?\*/", "", text, flags=re.S)
    lines = (line.strip() for line in text.splitlines())
    return "\n".join(line for line in lines if line and not line.startswith("//")) + "\n"


def as_array(name, data):
    rows = (", ".join(str(byte) for byte in data[i:i + 24]) for i in range(0, len(data), 24))
    return f"const char {name}[] = {{\n    " + ",\n    ".join(rows) + ", 0};\n"


def digest(data):
    return "sha256-" + base64.b64encode(hashlib.sha256(data).digest()).decode()


def main():
    out, *parts = sys.argv[1:]
    texts = {"style": "", "script": ""}
    for part in parts:
        with open(part, encoding="utf-8") as file:
            texts["style" if part.endswith(".css") else "script"] += without_comments(file.read())
    with open(out, "w", encoding="utf-8") as file:
        file.write("/* Written by page/embed.py. SPDX-License-Identifier: GPL-3.0-or-later */\n"
                   '#include "report/page_bytes.h"\n\n')
        for kind, text in texts.items():
            data = text.encode("ascii")
            file.write(as_array(f"ll_page_{kind}", data))
            file.write(f'const char ll_page_{kind}_hash[] = "{digest(data)}";\n')


main()
