# SPDX-License-Identifier: GPL-3.0-or-later
"""The parts of make_samples.py: a decompression calculation, a diver, a recorder, a writer, the stories."""
