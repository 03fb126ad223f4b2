/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A small table: aligned columns of text, in as many blocks as the width asks for, or HTML. */
#ifndef LL_REPORT_GRID_H
#define LL_REPORT_GRID_H

#include "report/page.h"

typedef struct ll_grid {
    size_t rows, columns; /* the first row and the first column are headings */
    const char *class;    /* of the table in HTML */
    /* Collects the words of one cell, without line ends. */
    void (*cell)(ll_page *page, const void *context, size_t row, size_t column);
    const void *context;
} ll_grid;

void ll_grid_set(ll_page *page, const ll_grid *grid);

#endif
