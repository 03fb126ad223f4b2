/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All depth lines on one axis, each with its letter; the separation under them. An extract shows one line. */
#include <math.h>

#include "report/html.h"
#include "report/review_report.h"
#include "report/strip.h"
#include "report/strip_path.h"
#include "report/svg.h"
#include "report/text_figures.h"
#include "report/utf8.h"
#include "report/words.h"

enum { DEPTH_PX = 300, APART_PX = 120, COLUMNS = 400, CLASSES = 6, LETTERS = 8, STEP_S = 5 };

static const char *const classes[CLASSES] = {"curve", "curve other", "curve third", "curve fourth", "curve fifth",
                                             "curve sixth"};

typedef struct picture {
    ll_text *out;
    const ll_review *review;
    const ll_look *look;
    ll_arena *arena;
    ll_time_scale time;
} picture;

/* --- curves ----------------------------------------------------------------------------------------------------------- */

static bool make_points(const picture *all, const double *value, const double *limit, size_t limits, ll_points *points)
{
    const ll_team *team = &all->review->team;
    const ll_thinning how = {all->time.from_s, all->time.to_s, COLUMNS, limits, limit};
    bool *keep = ll_arena_array(all->arena, team->seconds, sizeof *keep);
    points->at = ll_arena_array(all->arena, team->seconds, sizeof *points->at);
    points->count = team->seconds;
    if (!keep || !points->at)
        return false;
    for (size_t i = 0; i < team->seconds; i++)
        points->at[i] = (ll_point){team->from_s + (double)i, value[i]};
    ll_points_thin(points, keep, &how);
    return true;
}

static double greatest(const double *value, size_t count, double least)
{
    for (size_t i = 0; i < count; i++)
        least = value[i] > least ? value[i] : least;
    return least;
}

static void draw_curve(const picture *all, const ll_scale *scale, const char *class, const double *value,
                       const double *limit, size_t limits)
{
    ll_points points;
    if (!make_points(all, value, limit, limits, &points)) {
        all->out->no_memory = true;
        return;
    }
    ll_text_format(all->out, "<path class=\"%s\" d=\"", class);
    ll_path_of_points(all->out, &points, &all->time, scale);
    ll_text_puts(all->out, "\"/>\n");
}

/* --- frame of a strip ------------------------------------------------------------------------------------------------- */

static void draw_scale(const picture *all, const ll_scale *scale)
{
    ll_svg_open(all->out, "scale", LL_STRIP_SCALE_PX, scale->height_px + LL_STRIP_FOOT_PX);
    ll_text_puts(all->out, " aria-hidden=\"true\">");
    for (size_t i = 0; i < scale->lines; i++) {
        ll_text_format(all->out, "<text x=\"%d\" text-anchor=\"end\"", LL_STRIP_SCALE_PX - 8);
        ll_html_attribute_number(all->out, "y", round(ll_scale_y_px(scale, ll_scale_line(scale, i)) + 4));
        ll_text_putc(all->out, '>');
        ll_scale_label(all->out, scale, i);
        ll_svg_text_close(all->out);
    }
    ll_text_puts(all->out, "</svg>\n");
}

static void open_field(const picture *all, const ll_scale *scale, const char *label)
{
    ll_svg_open(all->out, "field", 0, scale->height_px + LL_STRIP_FOOT_PX);
    ll_text_puts(all->out, " role=\"img\"");
    ll_html_attribute(all->out, "aria-label", label);
    ll_text_puts(all->out, ">\n<g class=\"grid\">");
    for (size_t i = 0; i < scale->lines; i++) {
        const double y_px = ll_scale_y_px(scale, ll_scale_line(scale, i));
        ll_svg_line(all->out, i ? NULL : "zero", 0, 100, y_px, y_px);
    }
    ll_time_lines(all->out, &all->time, scale->height_px);
    ll_text_puts(all->out, "</g>\n");
    ll_time_labels(all->out, &all->time, scale->height_px + LL_STRIP_FOOT_PX - 5);
}

static void open_curves(const picture *all, const ll_scale *scale)
{
    ll_svg_open(all->out, "curves", 0, scale->height_px);
    ll_text_format(all->out, " viewBox=\"0 0 %d %d\" preserveAspectRatio=\"none\">\n", LL_PATH_WIDTH,
                   (int)scale->height_px * LL_PATH_PER_PX);
}

static void close_strip(const picture *all, const ll_scale *scale)
{
    ll_text_puts(all->out, "</svg>\n");
    ll_svg_open(all->out, "names", LL_STRIP_NAMES_PX, scale->height_px + LL_STRIP_FOOT_PX);
    ll_text_puts(all->out, " aria-hidden=\"true\"></svg></div></figure>\n");
}

static void open_strip(const picture *all, const char *title, const ll_scale *scale)
{
    ll_text_format(all->out, "<figure class=\"strip team\"><figcaption><b>%s</b> <span class=\"unit\">%s</span>", title,
                   scale->unit);
}

/* --- depths ----------------------------------------------------------------------------------------------------------- */

static const char *letter_of(size_t diver, char letters[LETTERS])
{
    letters[0] = (char)('A' + diver % 26);
    letters[1] = '\0';
    return letters;
}

/* One sample of each line with its letter and name. */
static void draw_keys(const picture *all)
{
    ll_text_puts(all->out, "<br/><span class=\"keys\">");
    for (size_t i = 0; i < all->review->count; i++) {
        char letters[LETTERS];
        if (!ll_review_has(all->review, i))
            continue;
        ll_text_format(all->out,
                       "<svg class=\"curves\" width=\"36\" height=\"10\" aria-hidden=\"true\"><path class=\"%s\" "
                       "d=\"M0 5h36\"/></svg>%s ",
                       classes[i % CLASSES], letter_of(i, letters));
        ll_text name;
        ll_text_open(&name, all->out->allocator, NULL, NULL);
        ll_diver_name_add(&name, all->review, i, all->look);
        const char *words = ll_text_string(&name);
        ll_html_string(all->out, words ? words : "");
        ll_text_puts(all->out, all->review->diver[i].lead ? " (lead)\n" : "\n");
        all->out->no_memory = all->out->no_memory || name.no_memory;
        ll_text_close(&name);
    }
    ll_text_puts(all->out, "</span></figcaption>\n");
}

/* The letter on its line, at places of its own so that lines close together stay apart. */
static void draw_letters(const picture *all, const ll_scale *scale)
{
    static const double begins[] = {0.12, 0.58};
    const ll_team *team = &all->review->team;
    for (size_t i = 0; i < all->review->count; i++)
        for (size_t place = 0; ll_review_has(all->review, i) && place < sizeof begins / sizeof *begins; place++) {
            char letters[LETTERS];
            const double share = begins[place] + 0.32 * (double)i / (double)all->review->count;
            const size_t at = (size_t)(share * (double)team->seconds);
            const double depth_m = all->review->diver[i].depth_m[at];
            if (!isnan(depth_m))
                ll_svg_letter(all->out, ll_time_percent(&all->time, team->from_s + (double)at),
                              ll_scale_y_px(scale, depth_m), letter_of(i, letters));
        }
}

static void draw_depths(const picture *all)
{
    const ll_review *review = all->review;
    double deepest_m = 1;
    for (size_t i = 0; i < review->count; i++)
        if (ll_review_has(review, i))
            deepest_m = greatest(review->diver[i].depth_m, review->team.seconds, deepest_m);
    const ll_scale scale = ll_scale_make(0, deepest_m, "m", all->look, DEPTH_PX, true);
    open_strip(all, "Depth", &scale);
    draw_keys(all);
    ll_text_puts(all->out, "<div class=\"plot\">\n");
    draw_scale(all, &scale);
    open_field(all, &scale, "Depth of each diver against the team's run time; figures stand in the tables below");
    open_curves(all, &scale);
    for (size_t i = 0; i < review->count; i++)
        if (ll_review_has(review, i))
            draw_curve(all, &scale, classes[i % CLASSES], review->diver[i].depth_m, NULL, 0);
    ll_text_puts(all->out, "</svg>\n");
    draw_letters(all, &scale);
    close_strip(all, &scale);
}

/* --- separation ------------------------------------------------------------------------------------------------------- */

static void draw_limit(const picture *all, const ll_scale *scale, const char *class, double limit_m)
{
    if (isnan(limit_m) || limit_m > scale->greatest)
        return;
    const double y_px = ll_scale_y_px(scale, limit_m);
    ll_svg_line(all->out, class, 0, 100, y_px, y_px);
}

static void draw_stretches(const picture *all, const ll_scale *scale)
{
    const ll_team *team = &all->review->team;
    for (size_t i = 0; i < team->pairs; i++)
        for (size_t s = 0; !team->pair[i].with_lead && s < team->pair[i].count; s++) {
            const ll_apart *apart = &team->pair[i].stretch[s];
            const double y_px = ll_scale_y_px(scale, 0);
            ll_svg_line(all->out, "stretch", ll_time_percent(&all->time, apart->from_s),
                        ll_time_percent(&all->time, apart->to_s), y_px, y_px);
        }
}

static void draw_separation(const picture *all)
{
    const ll_team *team = &all->review->team;
    const double limits[] = {team->limit.note, team->limit.caution, team->limit.serious};
    const double caution_m = isnan(team->limit.caution) ? 1 : team->limit.caution;
    const ll_scale scale = ll_scale_make(0, greatest(team->separation_m, team->seconds, caution_m), "m", all->look,
                                         APART_PX, false);
    open_strip(all, "Depth separation, the greatest of the students' pairs", &scale);
    ll_text_puts(all->out, "<span class=\"remark\">dashed: caution; full: serious; the bar at the foot: long enough to be "
                           "told</span></figcaption>\n<div class=\"plot\">\n");
    draw_scale(all, &scale);
    open_field(all, &scale, "Depth separation against the team's run time; figures stand in the text below");
    open_curves(all, &scale);
    draw_curve(all, &scale, "curve", team->separation_m, limits, sizeof limits / sizeof *limits);
    ll_text_puts(all->out, "</svg>\n");
    draw_limit(all, &scale, "limit note", team->limit.note);
    draw_limit(all, &scale, "limit caution", team->limit.caution);
    draw_limit(all, &scale, "limit serious", team->limit.serious);
    draw_stretches(all, &scale);
    close_strip(all, &scale);
}

/* --- samples for the cursor ------------------------------------------------------------------------------------------- */

static void add_column(ll_text *out, const double *value, size_t count)
{
    ll_text_putc(out, '[');
    for (size_t i = 0; i < count; i += STEP_S) {
        ll_text_puts(out, i ? "," : "");
        if (isnan(value[i]))
            ll_text_puts(out, "null");
        else
            ll_text_format(out, "%ld", lround(10 * value[i]));
    }
    ll_text_putc(out, ']');
}

/* Decimetres every few seconds, and what leads from the team's time to each record's. */
static void add_samples(const picture *all)
{
    ll_text *out = all->out;
    const ll_team *team = &all->review->team;
    ll_text_puts(out, "<script type=\"application/json\" class=\"team\">{\"from_s\":");
    ll_html_number(out, team->from_s);
    ll_text_format(out, ",\"step_s\":%d,\"separation_dm\":", STEP_S);
    add_column(out, team->separation_m, team->seconds);
    ll_text_puts(out, ",\"divers\":[");
    bool first = true;
    for (size_t i = 0; i < all->review->count; i++) {
        char letters[LETTERS];
        if (!ll_review_has(all->review, i))
            continue;
        ll_text_format(out, "%s{\"letter\":\"%s\",\"place\":%zu,\"to_team_s\":", first ? "" : ",", letter_of(i, letters),
                       i + 1);
        ll_html_number(out, all->review->diver[i].to_team_s);
        ll_text_puts(out, ",\"depth_dm\":");
        add_column(out, all->review->diver[i].depth_m, team->seconds);
        ll_text_putc(out, '}');
        first = false;
    }
    ll_text_puts(out, "]}</script>\n");
}

/* --- the whole -------------------------------------------------------------------------------------------------------- */

void ll_team_picture(ll_text *out, const ll_review *review, const ll_look *look)
{
    ll_arena arena;
    const ll_team *team = &review->team;
    const double to_s = team->from_s + (double)(team->seconds - 1);
    picture all = {out, review, look, &arena, {team->from_s, to_s, ll_time_step_s(to_s - team->from_s)}};
    if (!(to_s > team->from_s))
        return;
    ll_arena_open(&arena, out->allocator);
    ll_text_puts(out, "<section class=\"picture team\">\n");
    draw_depths(&all);
    draw_separation(&all);
    ll_text_puts(out, "<div class=\"team-readout\"></div>\n");
    add_samples(&all);
    ll_text_puts(out, "</section>\n");
    ll_arena_close(&arena);
}
