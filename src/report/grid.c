/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/grid.h"

#include "report/html_parts.h"
#include "report/utf8.h"

enum { INDENT = 2, BETWEEN = 2, WIDEST = 30, LEAST_WIDTH = 40 };

/* --- HTML ------------------------------------------------------------------------------------------------------- */

static void set_markup(ll_page *page, const ll_grid *grid)
{
    ll_text_format(page->out, "<div class=\"wide\"><table class=\"%s\">", grid->class);
    for (size_t row = 0; row < grid->rows; row++) {
        ll_text_puts(page->out, row == 0 ? "<thead><tr>" : "<tr>");
        for (size_t column = 0; column < grid->columns; column++) {
            grid->cell(page, grid->context, row, column);
            ll_html_cell(page, row == 0 ? "th scope=\"col\"" : column == 0 ? "th scope=\"row\"" : "td");
        }
        ll_text_puts(page->out, row == 0 ? "</tr></thead><tbody>\n" : "</tr>\n");
    }
    ll_text_puts(page->out, "</tbody></table></div>\n");
}

/* --- text --------------------------------------------------------------------------------------------------------- */

static size_t cut(size_t columns)
{
    return columns > WIDEST ? WIDEST : columns;
}

/* How wide a column has to be. */
static size_t width_of(ll_page *page, const ll_grid *grid, size_t column)
{
    size_t widest = 0;
    for (size_t row = 0; row < grid->rows; row++) {
        grid->cell(page, grid->context, row, column);
        const size_t own = page->words.size ? cut(ll_columns(page->words.bytes, page->words.size)) : 0;
        widest = own > widest ? own : widest;
        page->words.size = 0;
    }
    return widest;
}

/* One cell, filled up where another one follows. */
static void put_cell(ll_page *page, const ll_grid *grid, size_t row, size_t column, size_t width, bool last)
{
    grid->cell(page, grid->context, row, column);
    const size_t size = page->words.size ? ll_columns_fit(page->words.bytes, page->words.size, width) : 0;
    const size_t own = size ? ll_columns(page->words.bytes, size) : 0;
    ll_text_add(page->out, page->words.bytes, size);
    page->words.size = 0;
    if (!last)
        ll_text_fill(page->out, ' ', width - own + BETWEEN);
}

static void put_block(ll_page *page, const ll_grid *grid, const size_t *width, size_t from, size_t to)
{
    for (size_t row = 0; row < grid->rows; row++) {
        ll_text_fill(page->out, ' ', INDENT);
        put_cell(page, grid, row, 0, width[0], false);
        for (size_t column = from; column < to; column++)
            put_cell(page, grid, row, column, width[column], column + 1 == to);
        ll_text_putc(page->out, '\n');
    }
}

static void set_text(ll_page *page, const ll_grid *grid, size_t *width)
{
    const size_t room = (size_t)(page->look->width < LEAST_WIDTH ? LEAST_WIDTH : page->look->width);
    for (size_t column = 0; column < grid->columns; column++)
        width[column] = width_of(page, grid, column);
    for (size_t from = 1, to; from < grid->columns; from = to) {
        size_t used = INDENT + width[0] + BETWEEN + width[from];
        for (to = from + 1; to < grid->columns && used + BETWEEN + width[to] <= room; to++)
            used += BETWEEN + width[to];
        if (from > 1)
            ll_text_putc(page->out, '\n');
        put_block(page, grid, width, from, to);
    }
}

void ll_grid_set(ll_page *page, const ll_grid *grid)
{
    if (page->markup) {
        set_markup(page, grid);
        return;
    }
    ll_arena arena;
    ll_arena_open(&arena, page->out->allocator);
    size_t *width = ll_arena_array(&arena, grid->columns, sizeof *width);
    if (width)
        set_text(page, grid, width);
    page->out->no_memory = page->out->no_memory || !width;
    ll_arena_close(&arena);
}
