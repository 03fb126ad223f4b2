/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Depth and ceiling against run time on a grid of characters. A column shows everything between its two instants. */
#include <math.h>
#include <string.h>

#include "base/units.h"
#include "report/text_figures.h"
#include "report/text_parts.h"

enum { MARGIN = 8, MOST_COLUMNS = 120, MOST_ROWS = 24, ROWS_WANTED = 17, LABEL_COLUMNS = 9 };

static const char depth_mark = 'o', ceiling_mark = '-', above_mark = '#';

typedef struct picture {
    const ll_debrief *debrief;
    const double *ceiling_m; /* NULL if unknown */
    size_t first, last; /* samples of the run time */
    size_t rows, columns;
    double row_m; /* metres between two rows */
    int label, label_rows; /* what one label step is in the unit shown, and how many rows it spans */
    double column_s;
    char cell[MOST_ROWS][MOST_COLUMNS];
} picture;

/* --- scales --------------------------------------------------------------------------------------------------- */

/* The least step of the list that covers `range` in at most `most` steps. */
static int round_step(const int *steps, size_t count, double range, double most)
{
    for (size_t i = 0; i < count; i++)
        if (range <= steps[i] * most)
            return steps[i];
    return (int)ceil(range / most);
}

static void scale_depth(picture *drawn, bool imperial)
{
    static const int steps[] = {1, 2, 5, 10, 20, 50, 100, 200};
    double unit_m = imperial ? LL_M_PER_FT : 1;
    double greatest = drawn->debrief->profile.greatest_m / unit_m;
    drawn->label = round_step(steps, sizeof steps / sizeof *steps, greatest, 8);
    drawn->label_rows = (int)round(ROWS_WANTED * drawn->label / greatest);
    drawn->row_m = drawn->label * unit_m / drawn->label_rows;
    drawn->rows = (size_t)round(drawn->debrief->profile.greatest_m / drawn->row_m) + 1;
}

static void scale_time(picture *drawn, int width)
{
    const double *time_s = drawn->debrief->profile.time_s;
    int columns = width - 10 < 30 ? 30 : width - 10;
    drawn->columns = (size_t)(columns > MOST_COLUMNS ? MOST_COLUMNS : columns);
    drawn->column_s = (time_s[drawn->last] - time_s[drawn->first]) / (double)drawn->columns;
}

/* --- cells ---------------------------------------------------------------------------------------------------- */

static double value_at(const picture *drawn, const double *value, size_t after, double time_s)
{
    const double *time = drawn->debrief->profile.time_s;
    if (after == drawn->first)
        return value[after];
    double share = (time_s - time[after - 1]) / (time[after] - time[after - 1]);
    return value[after - 1] + share * (value[after] - value[after - 1]);
}

/* The least and greatest of a column of values between two instants; NaN if all of them are. `*sample` is the first
 * sample at or after `from_s`, and moves on. */
static void range_between(const picture *drawn, const double *value, double from_s, double to_s, size_t *sample,
                          double *least, double *greatest)
{
    const double *time = drawn->debrief->profile.time_s;
    *least = *greatest = value_at(drawn, value, *sample, from_s);
    while (*sample < drawn->last && time[*sample] < to_s) {
        *least = fmin(*least, value[*sample]);
        *greatest = fmax(*greatest, value[*sample]);
        ++*sample;
    }
    double end = value_at(drawn, value, *sample, to_s);
    *least = fmin(*least, end);
    *greatest = fmax(*greatest, end);
}

static size_t row_of(const picture *drawn, double depth_m)
{
    double row = round(depth_m / drawn->row_m);
    return row < 0 ? 0 : row >= (double)drawn->rows ? drawn->rows - 1 : (size_t)row;
}

/* Whether a finding says that the diver was above the ceiling in this time. */
static bool is_above(const picture *drawn, double from_s, double to_s)
{
    const ll_findings *findings = &drawn->debrief->findings;
    for (size_t i = 0; i < findings->count; i++)
        if (findings->items[i].kind == LL_FINDING_CEILING && findings->items[i].from_s <= to_s &&
            findings->items[i].to_s >= from_s)
            return true;
    return false;
}

static void draw_depth(picture *drawn)
{
    double start_s = drawn->debrief->profile.time_s[drawn->first];
    size_t sample = drawn->first;
    for (size_t c = 0; c < drawn->columns; c++) {
        double from_s = start_s + (double)c * drawn->column_s, to_s = from_s + drawn->column_s;
        double least, greatest;
        range_between(drawn, drawn->debrief->profile.depth_m, from_s, to_s, &sample, &least, &greatest);
        char mark = is_above(drawn, from_s, to_s) ? above_mark : depth_mark;
        for (size_t r = row_of(drawn, least); r <= row_of(drawn, greatest); r++)
            drawn->cell[r][c] = mark;
    }
}

static void draw_ceiling(picture *drawn)
{
    double start_s = drawn->debrief->profile.time_s[drawn->first];
    size_t sample = drawn->first;
    for (size_t c = 0; c < drawn->columns; c++) {
        double from_s = start_s + (double)c * drawn->column_s;
        double least, greatest;
        range_between(drawn, drawn->ceiling_m, from_s, from_s + drawn->column_s, &sample, &least, &greatest);
        if (greatest > 0)
            drawn->cell[row_of(drawn, greatest)][c] = ceiling_mark;
    }
}

static bool holds(const picture *drawn, char mark)
{
    for (size_t r = 0; r < drawn->rows; r++)
        if (memchr(drawn->cell[r], mark, drawn->columns))
            return true;
    return false;
}

/* --- lines ---------------------------------------------------------------------------------------------------- */

/* Round depths stand in the margin. */
static void add_margin(ll_text *line, const picture *drawn, size_t row, const char *unit)
{
    int labels = (int)row / drawn->label_rows;
    if ((int)row % drawn->label_rows == 0)
        ll_text_format(line, "%4d %-3s", labels * drawn->label, unit);
    else
        ll_text_fill(line, ' ', MARGIN);
}

/* One row; the marks above the ceiling in colour where there is any. */
static void add_row(ll_page *page, const picture *drawn, size_t row)
{
    ll_text *line = &page->words;
    add_margin(line, drawn, row, page->look->imperial ? "ft" : "m");
    for (size_t c = 0; c < drawn->columns; c++) {
        char text[2] = {drawn->cell[row][c], '\0'};
        ll_paint_add(line, page->look, text[0] == above_mark ? LL_RED : LL_PLAIN, text);
    }
    while (line->size > 0 && line->bytes[line->size - 1] == ' ')
        line->size--;
    ll_text_add(page->out, line->bytes, line->size);
    ll_text_putc(page->out, '\n');
    line->size = 0;
}

/* Round minutes under the columns in which they begin. */
static void add_minutes(ll_page *page, const picture *drawn)
{
    static const int steps[] = {1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480};
    double minutes = drawn->column_s * (double)drawn->columns / 60;
    int step = round_step(steps, sizeof steps / sizeof *steps, minutes, (double)(drawn->columns / LABEL_COLUMNS));
    ll_text *line = &page->words;
    for (int minute = 0; minute <= minutes; minute += step) {
        size_t column = (size_t)(minute * 60 / drawn->column_s);
        ll_text_fill(line, ' ', column - line->size);
        ll_text_format(line, "%d", minute);
    }
    if (line->size + strlen(" min") <= drawn->columns)
        ll_text_puts(line, " min");
    ll_text_fill(page->out, ' ', MARGIN);
    ll_text_add(page->out, line->bytes, line->size);
    ll_text_putc(page->out, '\n');
    line->size = 0;
}

static void add_legend(ll_page *page, const picture *drawn)
{
    ll_text_format(&page->words, "%c depth", depth_mark);
    if (holds(drawn, ceiling_mark))
        ll_text_format(&page->words, ",  %c ceiling", ceiling_mark);
    if (holds(drawn, above_mark))
        ll_text_format(&page->words, ",  %c depth while above the ceiling", above_mark);
    ll_text_puts(&page->words, "; run time in minutes along the foot");
    ll_page_end(page, MARGIN, MARGIN);
}

void ll_text_picture(ll_page *page, const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    picture drawn = {
        .debrief = debrief,
        .ceiling_m = debrief->track.column[LL_CEILING],
        .first = profile->leaving,
        .last = profile->has_surfacing ? profile->surfacing : profile->count - 1,
    };
    if (!profile->has_run_time || drawn.last <= drawn.first)
        return;
    memset(drawn.cell, ' ', sizeof drawn.cell);
    scale_depth(&drawn, page->look->imperial);
    scale_time(&drawn, page->look->width);
    if (drawn.ceiling_m)
        draw_ceiling(&drawn);
    draw_depth(&drawn);
    ll_page_heading(page, "Depth and ceiling");
    for (size_t r = 0; r < drawn.rows; r++)
        add_row(page, &drawn, r);
    add_minutes(page, &drawn);
    add_legend(page, &drawn);
}
