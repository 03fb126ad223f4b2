/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/terminal.h"

#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "base/number.h"

bool ll_terminal_colour(void)
{
    const char *no_colour = getenv("NO_COLOR");
    const char *kind = getenv("TERM");
    return isatty(STDOUT_FILENO) && !(no_colour && *no_colour) && kind && strcmp(kind, "dumb") != 0;
}

static int width_of_terminal(void)
{
    struct winsize size;
    return ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : LL_WIDTH_USUAL;
}

int ll_terminal_width(bool on_terminal)
{
    const char *columns = getenv("COLUMNS");
    unsigned asked;
    int width = LL_WIDTH_USUAL;
    if (columns && ll_whole_read(columns, strlen(columns), &asked) && asked > 0)
        width = (int)asked;
    else if (on_terminal)
        width = width_of_terminal();
    if (width < LL_WIDTH_LEAST)
        return LL_WIDTH_LEAST;
    return width > LL_WIDTH_MOST ? LL_WIDTH_MOST : width;
}
