/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dives by date and greatest depth. Circle: with a profile, square: stated without one; the heavier what was found, the fuller
 * the mark, and its title says it in words. */
#include <math.h>

#include "assess/standing.h"
#include "report/html.h"
#include "report/strip_scale.h"
#include "report/strips.h"
#include "report/svg.h"
#include "report/text_figures.h"

enum { HEIGHT_PX = 220, FOOT_PX = 18, SCALE_PX = 44, NAMES_PX = 128, MOST_LABELS = 8, DAYS_AT_MOST = 60 };
#define EDGE 0.02 /* of the width, left and right of the dives */

typedef struct season {
    const ll_html_dive *dive;
    size_t count;
    const ll_look *look;
    double first_day, last_day; /* since 1970, with the time of day; last_day > first_day */
    ll_scale depth;
} season;

static bool is_shown(const ll_html_dive *dive)
{
    return dive->entry->dive->start.has_date && isfinite(dive->greatest_m) && dive->greatest_m >= 0;
}

static double day_of(const ll_html_dive *dive)
{
    return (double)dive->entry->dive->start.local_s / 86400;
}

static double percent_of(const season *all, double day)
{
    double share = (day - all->first_day) / (all->last_day - all->first_day);
    return 100 * (EDGE + (1 - 2 * EDGE) * share);
}

/* False where no dive can be shown. */
static bool scale(season *all)
{
    double greatest_m = 0;
    all->first_day = INFINITY;
    all->last_day = -INFINITY;
    for (size_t i = 0; i < all->count; i++) {
        if (!is_shown(&all->dive[i]))
            continue;
        all->first_day = fmin(all->first_day, floor(day_of(&all->dive[i])));
        all->last_day = fmax(all->last_day, floor(day_of(&all->dive[i])) + 1);
        greatest_m = fmax(greatest_m, all->dive[i].greatest_m);
    }
    all->depth = ll_scale_make(0, greatest_m, "m", all->look, HEIGHT_PX, true);
    return all->last_day > all->first_day;
}

/* --- grid --------------------------------------------------------------------------------------------------------- */

static void draw_scale(ll_text *out, const season *all)
{
    ll_text_format(out, "<svg class=\"scale\" width=\"%d\" height=\"%d\" aria-hidden=\"true\">", SCALE_PX,
                   HEIGHT_PX + FOOT_PX);
    for (size_t i = 0; i < all->depth.lines; i++) {
        ll_text_format(out, "<text x=\"%d\" text-anchor=\"end\"", SCALE_PX - 8);
        ll_html_attribute_number(out, "y", round(ll_scale_y_px(&all->depth, ll_scale_line(&all->depth, i)) + 4));
        ll_text_putc(out, '>');
        ll_scale_label(out, &all->depth, i);
        ll_svg_text_close(out);
    }
    ll_text_puts(out, "</svg>\n");
}

/* A line where a day, month or year begins, and which it is; every second one is not named where there is little room. */
static void draw_date(ll_text *out, const season *all, ll_date date, bool days, int place)
{
    double percent = percent_of(all, (double)ll_date_day(date));
    ll_svg_line(out, NULL, percent, percent, 0, HEIGHT_PX);
    ll_svg_text_open(out, place % 2 ? "minute wide-only" : "minute", percent, HEIGHT_PX + FOOT_PX - 5, "middle");
    ll_text_format(out, days ? "%04d-%02d-%02d" : "%04d-%02d", date.year, date.month, date.day);
    ll_svg_text_close(out);
}

static void draw_days(ll_text *out, const season *all)
{
    double step = ceil((all->last_day - all->first_day) / MOST_LABELS);
    int place = 0;
    for (double day = all->first_day; day < all->last_day; day += step)
        draw_date(out, all, ll_day_date((int64_t)day), true, place++);
}

static void draw_months(ll_text *out, const season *all)
{
    static const int steps[] = {1, 2, 3, 6, 12, 24, 60, 120, 240, 600};
    const double months = (all->last_day - all->first_day) / 30.4;
    size_t i = 0;
    while (i + 1 < sizeof steps / sizeof *steps && months > steps[i] * MOST_LABELS)
        i++;
    ll_date date = ll_day_date((int64_t)all->first_day);
    int month = (date.year * 12 + date.month - 1) / steps[i] * steps[i];
    for (int place = 0;; month += steps[i]) {
        date = (ll_date){month / 12, month % 12 + 1, 1};
        double day = (double)ll_date_day(date);
        if (day >= all->last_day)
            return;
        if (day >= all->first_day)
            draw_date(out, all, date, false, place++);
    }
}

static void draw_grid(ll_text *out, const season *all)
{
    ll_text_puts(out, "<g class=\"grid\">");
    for (size_t i = 0; i < all->depth.lines; i++) {
        double y_px = ll_scale_y_px(&all->depth, ll_scale_line(&all->depth, i));
        ll_svg_line(out, i ? NULL : "zero", 0, 100, y_px, y_px);
    }
    if (all->last_day - all->first_day <= DAYS_AT_MOST)
        draw_days(out, all);
    else
        draw_months(out, all);
    ll_text_puts(out, "</g>\n");
}

/* --- dives -------------------------------------------------------------------------------------------------------- */

/* In an audit: circle, square, diamond, cross. */
static void draw_class(ll_text *out, int standing)
{
    static const char *const shapes[LL_STANDINGS] = {
        [LL_RECORDED] = "<circle r=\"4.5\"/>",
        [LL_CLAIMED] = "<rect x=\"-4.5\" y=\"-4.5\" width=\"9\" height=\"9\"/>",
        [LL_MERGED] = "<path class=\"open\" d=\"M0-6l6 6-6 6-6-6z\"/>",
        [LL_SET_ASIDE] = "<path class=\"open\" d=\"M-5-5l10 10M5-5l-10 10\"/>",
    };
    ll_text_puts(out, shapes[standing]);
}

/* Empty, with a dot, half full, full. */
static void draw_shape(ll_text *out, bool has_profile, ll_severity worst)
{
    static const char *const round_fills[4] = {"", "M-1.5 0a1.5 1.5 0 0 0 3 0a1.5 1.5 0 0 0-3 0z", "M-5.5 0a5.5 5.5 0 0 0 11 0z",
                                               "M-5.5 0a5.5 5.5 0 0 0 11 0a5.5 5.5 0 0 0-11 0z"};
    static const char *const square_fills[4] = {"", "M-1.5-1.5h3v3h-3z", "M-5 0h10v5h-10z", "M-5-5h10v10h-10z"};
    ll_text_puts(out, has_profile ? "<circle r=\"5.5\"/>" : "<rect x=\"-5\" y=\"-5\" width=\"10\" height=\"10\"/>");
    if (worst != LL_NO_FINDING)
        ll_text_format(out, "<path d=\"%s\"/>", (has_profile ? round_fills : square_fills)[worst]);
}

static void add_title(ll_text *out, const season *all, const ll_html_dive *dive)
{
    ll_text_format(out, "Dive %u", dive->entry->number);
    if (dive->entry->dive->start.has_date) {
        ll_text_puts(out, ", ");
        ll_day_add(out, ll_instant_day(&dive->entry->dive->start));
    }
    if (isfinite(dive->greatest_m)) {
        ll_text_puts(out, ", ");
        ll_quantity_figure(out, LL_DEPTH, dive->greatest_m, all->look);
    }
    if (dive->standing >= 0)
        ll_text_format(out, ", %s", ll_standing_words[dive->standing]);
    else if (!dive->has_profile)
        ll_text_puts(out, ", stated without a profile");
    else if (dive->worst == LL_NO_FINDING)
        ll_text_puts(out, ", nothing beyond a limit");
    else
        ll_text_format(out, ", heaviest finding: %s", ll_severity_names[dive->worst]);
}

static void draw_dive(ll_text *out, const season *all, const ll_html_dive *dive)
{
    ll_text_format(out, "<a href=\"#dive-%u\"><title>", dive->entry->number);
    add_title(out, all, dive);
    ll_text_format(out, "</title><svg class=\"dive %s\" overflow=\"visible\"", ll_severity_names[dive->worst]);
    ll_svg_percent(out, "x", percent_of(all, day_of(dive)));
    ll_html_attribute_number(out, "y", round(10 * ll_scale_y_px(&all->depth, dive->greatest_m)) / 10);
    ll_text_putc(out, '>');
    if (dive->standing >= 0)
        draw_class(out, dive->standing);
    else
        draw_shape(out, dive->has_profile, dive->worst);
    ll_text_puts(out, "</svg></a>\n");
}

static void draw_field(ll_text *out, const season *all)
{
    ll_text_format(out, "<svg class=\"field\" width=\"100%%\" height=\"%d\" role=\"group\" aria-label=\"Dives by date and "
                        "greatest depth\">\n", HEIGHT_PX + FOOT_PX);
    draw_grid(out, all);
    for (size_t i = 0; i < all->count; i++)
        if (is_shown(&all->dive[i]))
            draw_dive(out, all, &all->dive[i]);
    ll_text_puts(out, "</svg>\n");
}

/* --- words -------------------------------------------------------------------------------------------------------- */

static void add_key(ll_text *out, bool has_profile, ll_severity worst, const char *words)
{
    ll_text_format(out, "<svg class=\"dive %s\" width=\"14\" height=\"14\" viewBox=\"-7 -7 14 14\" aria-hidden=\"true\">",
                   ll_severity_names[worst]);
    draw_shape(out, has_profile, worst);
    ll_text_format(out, "</svg>%s\n", words);
}

static void add_class_key(ll_text *out, int standing)
{
    ll_text_puts(out, "<svg class=\"dive none\" width=\"14\" height=\"14\" viewBox=\"-7 -7 14 14\" aria-hidden=\"true\">");
    draw_class(out, standing);
    ll_text_format(out, "</svg>%s\n", ll_standing_words[standing]);
}

static void draw_caption(ll_text *out, const season *all)
{
    ll_text_format(out, "<figcaption><b>Dives by date and greatest depth</b> <span class=\"unit\">%s</span>\n<br/>"
                        "<span class=\"keys\">", all->depth.unit);
    for (int standing = 0; all->dive[0].standing >= 0 && standing < LL_STANDINGS; standing++)
        add_class_key(out, standing);
    if (all->dive[0].standing >= 0) {
        ll_text_puts(out, "</span></figcaption>\n");
        return;
    }
    add_key(out, true, LL_NO_FINDING, "nothing beyond a limit");
    add_key(out, true, LL_NOTE, "note");
    add_key(out, true, LL_CAUTION, "caution");
    add_key(out, true, LL_SERIOUS, "serious");
    add_key(out, false, LL_NO_FINDING, "stated without a profile");
    ll_text_puts(out, "</span></figcaption>\n");
}

/* Every dive, also those that cannot stand in the picture. */
static void add_list(ll_text *out, const season *all)
{
    ll_text_puts(out, "<details class=\"figures\"><summary>Dives in a list</summary>\n<ol class=\"dives\">\n");
    for (size_t i = 0; i < all->count; i++) {
        ll_text_format(out, "<li value=\"%u\"><a href=\"#dive-%u\">", all->dive[i].entry->number,
                       all->dive[i].entry->number);
        add_title(out, all, &all->dive[i]);
        ll_text_puts(out, "</a></li>\n");
    }
    ll_text_puts(out, "</ol></details>\n");
}

void ll_html_season(ll_text *out, const ll_html_dive *dives, size_t count, const ll_look *look)
{
    season all = {.dive = dives, .count = count, .look = look};
    if (count == 0)
        return;
    ll_text_puts(out, "<figure class=\"strip season\">\n");
    if (scale(&all)) {
        draw_caption(out, &all);
        ll_text_puts(out, "<div class=\"plot\">\n");
        draw_scale(out, &all);
        draw_field(out, &all);
        ll_text_format(out, "<svg class=\"names\" width=\"%d\" height=\"%d\" aria-hidden=\"true\"></svg></div>\n", NAMES_PX,
                       HEIGHT_PX + FOOT_PX);
    }
    add_list(out, &all);
    ll_text_puts(out, "</figure>\n");
}
