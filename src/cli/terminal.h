/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the terminal is and what the environment asks of it. The only file of the tool that reads the environment. */
#ifndef LL_CLI_TERMINAL_H
#define LL_CLI_TERMINAL_H

#include <stdbool.h>

enum { LL_WIDTH_LEAST = 40, LL_WIDTH_USUAL = 80, LL_WIDTH_MOST = 240 };

/* True if standard output is a terminal that shows colours, and NO_COLOR is unset or empty. */
bool ll_terminal_colour(void);

/* Columns of text: COLUMNS where it is a whole number, else the width of the terminal on standard output if
 * `on_terminal`, else LL_WIDTH_USUAL; never under LL_WIDTH_LEAST nor over LL_WIDTH_MOST. */
int ll_terminal_width(bool on_terminal);

#endif
