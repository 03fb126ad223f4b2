/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/strip_path.h"

#include <math.h>

/* Draws on the grid; a run of level pieces comes out as one. */
typedef struct pen {
    ll_text *out;
    const ll_time_scale *time;
    const ll_scale *scale;
    long x, y;
    long level; /* drawn sideways, not written yet */
    char letter; /* of the last command */
    bool down;   /* something was begun */
} pen;

static pen pen_of(ll_text *out, const ll_time_scale *time, const ll_scale *scale)
{
    return (pen){.out = out, .time = time, .scale = scale};
}

/* Far outside of the field it does not matter where. */
static long on_grid(double place)
{
    return lround(fmin(fmax(place, -1e6), 1e6));
}

static long x_of(const pen *p, double time_s)
{
    return on_grid(ll_time_percent(p->time, time_s) * LL_PATH_WIDTH / 100);
}

static long y_of(const pen *p, double value)
{
    return on_grid(ll_scale_y_px(p->scale, value) * LL_PATH_PER_PX);
}

/* Blanks only where they are needed: not after a letter, not before a minus. */
static void write_number(pen *p, long number, bool first)
{
    if (!first && number >= 0)
        ll_text_putc(p->out, ' ');
    ll_text_format(p->out, "%ld", number);
}

static bool write_letter(pen *p, char letter)
{
    if (p->letter == letter)
        return false;
    p->letter = letter;
    ll_text_putc(p->out, letter);
    return true;
}

static void end_level(pen *p)
{
    if (p->level)
        write_number(p, p->level, write_letter(p, 'h'));
    p->level = 0;
}

static void move_to(pen *p, double time_s, double value)
{
    end_level(p);
    p->x = x_of(p, time_s);
    p->y = y_of(p, value);
    p->letter = 'M';
    ll_text_format(p->out, "M%ld", p->x);
    write_number(p, p->y, false);
    p->down = true;
}

static void line_to(pen *p, double time_s, double value)
{
    long dx = x_of(p, time_s) - p->x, dy = y_of(p, value) - p->y;
    p->x += dx;
    p->y += dy;
    if (dy == 0 && (p->level == 0 || (p->level > 0) == (dx > 0))) {
        p->level += dx;
        return;
    }
    end_level(p);
    if (dx == 0) {
        write_number(p, dy, write_letter(p, 'v'));
    } else {
        write_number(p, dx, write_letter(p, 'l'));
        write_number(p, dy, false);
    }
}

static void close_area(pen *p)
{
    end_level(p);
    if (p->down)
        ll_text_putc(p->out, 'z');
    p->letter = 'z';
}

/* The points [first, end) before the next gap, from `first` on. */
static size_t end_of_piece(const ll_points *points, size_t first)
{
    while (first < points->count && !isnan(points->at[first].value))
        first++;
    return first;
}

void ll_path_of_points(ll_text *out, const ll_points *points, const ll_time_scale *time, const ll_scale *scale)
{
    pen p = pen_of(out, time, scale);
    for (size_t first = 0, end; first < points->count; first = end + 1) {
        end = end_of_piece(points, first);
        if (end == first)
            continue;
        move_to(&p, points->at[first].time_s, points->at[first].value);
        if (end == first + 1)
            ll_text_puts(out, "h0"); /* round ends show it as a dot */
        for (size_t i = first + 1; i < end; i++)
            line_to(&p, points->at[i].time_s, points->at[i].value);
    }
    end_level(&p);
}

void ll_path_of_area(ll_text *out, const ll_points *points, double value, const ll_time_scale *time,
                     const ll_scale *scale)
{
    pen p = pen_of(out, time, scale);
    for (size_t first = 0, end; first < points->count; first = end + 1) {
        end = end_of_piece(points, first);
        if (end == first)
            continue;
        move_to(&p, points->at[first].time_s, value);
        for (size_t i = first; i < end; i++)
            line_to(&p, points->at[i].time_s, points->at[i].value);
        line_to(&p, points->at[end - 1].time_s, value);
        close_area(&p);
    }
}

/* The points of a band before the next break, from `first` on. */
static size_t end_of_band(const ll_band *band, size_t first)
{
    while (first < band->count && !isnan(band->at[first].time_s))
        first++;
    return first;
}

static void edge(pen *p, const ll_band *band, size_t first, size_t end)
{
    move_to(p, band->at[first].time_s, band->at[first].a);
    for (size_t i = first + 1; i < end; i++)
        line_to(p, band->at[i].time_s, band->at[i].a);
}

void ll_path_of_band(ll_text *out, const ll_band *band, const ll_time_scale *time, const ll_scale *scale)
{
    pen p = pen_of(out, time, scale);
    for (size_t first = 0, end; first < band->count; first = end + 1) {
        end = end_of_band(band, first);
        edge(&p, band, first, end);
        for (size_t i = end; i-- > first;)
            line_to(&p, band->at[i].time_s, band->at[i].b);
        close_area(&p);
    }
}

void ll_path_of_band_edge(ll_text *out, const ll_band *band, const ll_time_scale *time, const ll_scale *scale)
{
    pen p = pen_of(out, time, scale);
    for (size_t first = 0, end; first < band->count; first = end + 1) {
        end = end_of_band(band, first);
        edge(&p, band, first, end);
    }
    end_level(&p);
}
