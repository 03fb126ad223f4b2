/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One strip of the picture: a quantity against run time, its limits as lines, what stood beyond them marked. */
#ifndef LL_REPORT_STRIP_H
#define LL_REPORT_STRIP_H

#include "report/strip_label.h"

/* Columns beside the field, and the row of minutes under it. */
enum { LL_STRIP_SCALE_PX = 44, LL_STRIP_NAMES_PX = 128, LL_STRIP_FOOT_PX = 18 };

/* The width of the field on the narrowest pages, which decides what would overlap. */
#define LL_NARROW_PX 284.0

/* What all strips of a dive share. */
typedef struct ll_frame {
    ll_text *out;
    const ll_debrief *debrief;
    const ll_track *track; /* every column */
    const ll_look *look;
    ll_arena *arena; /* of one strip */
    ll_time_scale time;
} ll_frame;

typedef struct ll_strip_curve {
    const char *class; /* how it is drawn, see page/strips.css */
    const char *name;  /* stands beside it; it may be from a log; NULL: none */
    const char *heading; /* over its column in the table; it may be from a log */
    bool has_zone;     /* the area to the least value of the scale is filled */
    ll_points points;
} ll_strip_curve;

typedef struct ll_strip_limit {
    const char *class;
    const char *words; /* "caution 6.2 g/L" */
    double value, from_s, to_s; /* where it counts */
} ll_strip_limit;

/* A finding where it happened. */
typedef struct ll_strip_beyond {
    unsigned mark;
    bool marginal;
    double at_s, value; /* where its number stands; NaN for a second part that has none */
    ll_band band; /* empty for what happened at an instant */
} ll_strip_beyond;

enum { LL_STRIP_CURVES = 12, LL_STRIP_LIMITS = 8 };

typedef struct ll_strip {
    const char *key; /* of class and id */
    const char *title;
    const char *unit; /* one of the quantity table's */
    int digits; /* of figures, as there */
    const char *peak_name; /* "greatest"; NULL: no peak in the caption */
    ll_peak peak;
    const char *remark; /* NULL, or a sentence behind the caption */
    ll_scale scale;
    size_t curves, limits, beyonds;
    ll_strip_curve curve[LL_STRIP_CURVES];
    ll_strip_limit limit[LL_STRIP_LIMITS];
    ll_strip_beyond *beyond;
} ll_strip;

/* Whether recorder error alone could account for a finding, or for its weight. */
bool ll_is_marginal(const ll_debrief *debrief, const ll_finding *finding);

/* The whole figure. */
void ll_strip_draw(const ll_frame *frame, const ll_strip *strip);

/* The svg that stretches with the width and holds the curves begins. */
void ll_strip_open_curves(const ll_frame *frame, const ll_strip *strip);

/* Its parts. The sentence that a screen reader says in place of the drawing: */
void ll_strip_sentence(ll_text *out, const ll_frame *frame, const ll_strip *strip);
/* Marked stretches, and their numbers. */
void ll_strip_draw_beyond(const ll_frame *frame, const ll_strip *strip);
void ll_strip_draw_numbers(const ll_frame *frame, const ll_strip *strip, ll_room *room);
/* Limit lines with their words at the right, inside the field on narrow pages. */
void ll_strip_draw_limits(const ll_frame *frame, const ll_strip *strip);
void ll_strip_draw_limit_names(const ll_frame *frame, const ll_strip *strip);
void ll_strip_draw_limit_names_inside(const ll_frame *frame, const ll_strip *strip);
/* The figures behind the strip. */
void ll_strip_table(const ll_frame *frame, const ll_strip *strip);

/* The axis over the strips: minutes, switches, findings. */
void ll_strip_axis(const ll_frame *frame);

/* Filling: the curves of each strip, thinned. False if memory ran out; a strip without curves is not drawn. `limits` are
 * values whose crossings must stay where they are. */
typedef bool (*ll_strip_fill)(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);
bool ll_fill_depth(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);
bool ll_fill_gradient(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);
bool ll_fill_narcosis(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);
bool ll_fill_po2(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);
bool ll_fill_density(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);
bool ll_fill_rate(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);
bool ll_fill_tanks(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);
bool ll_fill_cns(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits);

/* The findings of these kinds on a filled strip, and what each lies beyond. False if memory ran out. */
bool ll_strip_find_beyond(const ll_frame *frame, ll_strip *strip, ll_kinds kinds);

/* An svg begins that is as wide as its column, or `width_px` wide where that is not 0. */
void ll_svg_open(ll_text *out, const char *class, double width_px, double height_px);

#endif
