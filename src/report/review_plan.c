/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Against what stood on the slate. The plan is compared, never replayed. */
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "log/log.h"
#include "report/grid.h"
#include "report/review_report.h"
#include "report/text_figures.h"
#include "report/utf8.h"

enum { LABEL_BYTES = 32, MOST_LINES = 60 };

/* "+1.2 m", deeper than planned */
static void add_signed(ll_page *page, double metres)
{
    ll_text_puts(&page->words, metres > 0 ? "+" : "");
    ll_difference_figure(&page->words, metres, page->look);
}

/* "+1:20", later than planned */
static void add_late(ll_page *page, double seconds)
{
    ll_text_puts(&page->words, seconds > 0 ? "+" : "");
    ll_clock(&page->words, seconds);
}

/* --- in words --------------------------------------------------------------------------------------------------------- */

static void add_fit(ll_page *page, const ll_review *review)
{
    const ll_plan *plan = review->asked->plan;
    ll_text_puts(&page->words, "The variant that fits the team best is \"");
    ll_show(&page->words, ll_review_variant(review)->name);
    ll_text_format(&page->words, "\"%s.", plan->count > 1 ? "" : " (the only one)");
    ll_page_end(page, 2, 4);
}

static void add_diver(ll_page *page, const ll_review *review, size_t index)
{
    const ll_diver *diver = &review->diver[index];
    const ll_plan *plan = review->asked->plan;
    ll_diver_name_add(&page->words, review, index, page->look);
    ll_text_puts(&page->words, ": on average ");
    ll_difference_figure(&page->words, diver->plan.mean_off_m[review->variant], page->look);
    ll_text_puts(&page->words, " off it; most at ");
    ll_clock(&page->words, diver->plan.largest_off_s);
    ll_text_puts(&page->words, ", ");
    add_signed(page, diver->plan.largest_off_m);
    if (diver->plan.best != review->variant) {
        ll_text_puts(&page->words, "; closer to \"");
        ll_show(&page->words, plan->variant[diver->plan.best].name);
        ll_text_puts(&page->words, "\", ");
        ll_difference_figure(&page->words, diver->plan.mean_off_m[diver->plan.best], page->look);
    }
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 4);
}

/* --- line by line ----------------------------------------------------------------------------------------------------- */

typedef struct lines {
    const ll_review *review;
    size_t columns;
    const size_t *diver;
    bool times; /* else depths */
} lines;

/* "25:00 45 m 18/45" */
static void add_line(ll_page *page, const ll_plan_point *point)
{
    char label[LABEL_BYTES];
    ll_mix_label(point->o2, point->he, label, sizeof label);
    ll_clock(&page->words, point->run_s);
    ll_text_putc(&page->words, ' ');
    ll_figure(&page->words, point->depth_m, "m", 0, page->look);
    ll_text_format(&page->words, " %s", label);
}

static void add_cell(ll_page *page, const void *context, size_t row, size_t column)
{
    const lines *all = context;
    const ll_plan_variant *variant = ll_review_variant(all->review);
    if (row == 0 && column == 0) {
        ll_text_puts(&page->words, all->times ? "Time off" : "Depth off");
    } else if (row == 0) {
        ll_diver_name_add(&page->words, all->review, all->diver[column - 1], page->look);
    } else if (column == 0) {
        add_line(page, &variant->point[row - 1]);
    } else {
        const ll_line_off *off = &all->review->diver[all->diver[column - 1]].plan.line[row - 1];
        if (isnan(all->times ? off->late_s : off->off_m))
            ll_text_puts(&page->words, "\xE2\x80\x93");
        else if (all->times)
            add_late(page, off->late_s);
        else
            add_signed(page, off->off_m);
    }
}

static void add_lines(ll_page *page, const ll_review *review)
{
    ll_arena arena;
    ll_arena_open(&arena, page->out->allocator);
    size_t *diver = ll_arena_array(&arena, review->count, sizeof *diver);
    lines all = {review, 0, diver, false};
    for (size_t i = 0; diver && i < review->count; i++)
        if (ll_review_has(review, i))
            diver[all.columns++] = i;
    const ll_grid grid = {ll_review_variant(review)->count + 1, all.columns + 1, "figures plan", add_cell, &all};
    if (diver && all.columns > 0) {
        ll_grid_set(page, &grid);
        all.times = true;
        ll_text_puts(page->out, page->markup ? "" : "\n");
        ll_grid_set(page, &grid);
    }
    page->out->no_memory = page->out->no_memory || !diver;
    ll_arena_close(&arena);
}

void ll_review_plan_text(ll_page *page, const ll_review *review)
{
    if (!review->asked->plan)
        return;
    ll_page_heading(page, "Against the plan");
    ll_text_puts(&page->words, "Each diver in run time of the own record and metres as displayed; + is deeper or later than planned.");
    ll_page_end(page, 2, 4);
    add_fit(page, review);
    for (size_t i = 0; i < review->count; i++)
        if (ll_review_has(review, i))
            add_diver(page, review, i);
    if (ll_review_variant(review)->count <= MOST_LINES)
        add_lines(page, review);
}
