/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Debriefs and lists. */
#include "door/parts.h"
#include "standard/standard.h"

/* A page stands around its dives: they are rendered first, with their figures as JSON. */
typedef struct page_content {
    ll_text articles, figures;
    ll_html_dive *dive;
} page_content;

/* What all debriefs share. */
typedef struct debriefing {
    const ll_limits *limits;
    page_content page;
} debriefing;

static const ll_look *line_look(const ll_rendering *r, ll_look *look)
{
    *look = r->look;
    look->one_line = true;
    return look;
}

static ll_status open_page(ll_rendering *r, page_content *page, ll_error *error)
{
    ll_look look;
    *page = (page_content){0};
    ll_text_open(&page->articles, NULL, NULL, NULL);
    ll_text_open(&page->figures, NULL, NULL, NULL);
    page->dive = ll_arena_array(&r->run, r->dives.count, sizeof *page->dive);
    ll_json_head(&page->figures, r->history, line_look(r, &look));
    return page->dive || r->dives.count == 0 ? LL_OK : ll_fail_memory(error);
}

/* The strips and the cursor need every column. */
static ll_status add_to_page(const ll_rendering *r, page_content *page, const ll_debrief *debrief, size_t place,
                             ll_part *part)
{
    ll_look look;
    ll_track track;
    const ll_entry *entry = debrief->entry;
    ll_status status = LL_OK;
    if (debrief->has_profile)
        status = ll_replay_columns(&debrief->profile, &r->history->settings, &entry->start, LL_SET_ALL | LL_SET_HEADROOM,
                                   part->scratch, &track, part->error);
    if (status != LL_OK)
        return status;
    ll_html_debrief(part->text, debrief, debrief->has_profile ? &track : NULL, &r->look, r->dives.count == 1);
    ll_json_debrief(part->figures, debrief, line_look(r, &look), place == 0);
    page->dive[place] = (ll_html_dive){entry, debrief->has_profile,
                                       debrief->has_profile ? debrief->profile.greatest_m
                                                            : entry->dive->stated_greatest_m,
                                       debrief->findings.worst, -1};
    return LL_OK;
}

static void write_page(ll_rendering *r, page_content *page, const ll_limits *limits)
{
    ll_look look;
    const ll_html_content content = {r->dives.count, page->dive, &page->articles, &page->figures};
    ll_json_foot(&page->figures, r->history, limits, line_look(r, &look));
    r->text.no_memory = page->articles.no_memory || page->figures.no_memory;
    ll_html_page(&r->text, r->history, &content, &r->look);
}

static void close_page(page_content *page)
{
    ll_text_close(&page->articles);
    ll_text_close(&page->figures);
}

/* --- debriefs --------------------------------------------------------------------------------------------------- */

static void render_head(ll_rendering *r)
{
    if (r->output->format == LEADLINE_TEXT)
        ll_text_head(&r->text, r->history, &r->look);
    else if (r->output->format == LEADLINE_JSON)
        ll_json_head(&r->text, r->history, &r->look);
    else if (r->output->format == LEADLINE_CSV)
        ll_csv_findings_head(&r->text);
}

static void render_dive(const ll_rendering *r, const ll_debrief *debrief, bool first, ll_part *part)
{
    if (r->output->format == LEADLINE_TEXT)
        ll_text_debrief(part->text, debrief, &r->look);
    else if (r->output->format == LEADLINE_JSON)
        ll_json_debrief(part->text, debrief, &r->look, first);
    else
        ll_csv_findings(part->text, debrief);
}

static void render_foot(ll_rendering *r, page_content *page, const ll_limits *limits)
{
    if (r->output->format == LEADLINE_HTML)
        write_page(r, page, limits);
    else if (r->output->format == LEADLINE_TEXT)
        ll_text_foot(&r->text, r->history, &r->look);
    else if (r->output->format == LEADLINE_JSON)
        ll_json_foot(&r->text, r->history, limits, &r->look);
}

static ll_status debrief_dive(const ll_rendering *r, void *how, size_t place, ll_part *part)
{
    debriefing *all = how;
    const leadline_format format = r->output->format;
    ll_debrief debrief;
    ll_status status = ll_debrief_make(r->history, r->dives.index[place], all->limits, part->scratch, &debrief,
                                       part->error);
    if (status == LL_OK && format != LEADLINE_CSV)
        status = ll_debrief_compare(&debrief, part->scratch, part->error);
    if (status == LL_OK && format == LEADLINE_HTML)
        status = add_to_page(r, &all->page, &debrief, place, part);
    else if (status == LL_OK)
        render_dive(r, &debrief, place == 0, part);
    if (status == LL_OK)
        part->worst = (int)debrief.findings.worst;
    return status;
}

static ll_status debrief_dives(ll_rendering *r, debriefing *all, int *worst, ll_error *error)
{
    const bool is_page = r->output->format == LEADLINE_HTML;
    return ll_render_parts(r, debrief_dive, all, is_page ? &all->page.articles : &r->text,
                           is_page ? &all->page.figures : NULL, worst, error);
}

ll_status ll_render_debriefs(ll_rendering *r, const ll_limits *limits, int *worst, ll_error *error)
{
    debriefing all = {.limits = limits};
    ll_status status = open_page(r, &all.page, error);
    if (status == LL_OK)
        render_head(r);
    if (status == LL_OK)
        status = debrief_dives(r, &all, worst, error);
    if (status == LL_OK)
        render_foot(r, &all.page, limits);
    close_page(&all.page);
    return status;
}

ll_status leadline_debrief(const ll_history *history, const leadline_selection *selection,
                           const leadline_output *output, int *worst, ll_error *error)
{
    ll_rendering r;
    ll_limits limits;
    ll_limits_built_in(&limits);
    if (output->standard)
        ll_standard_apply(output->standard, NULL, &limits);
    int found = 0;
    ll_status status = ll_rendering_open(&r, history, selection, output, error);
    if (status == LL_OK)
        status = ll_render_debriefs(&r, &limits, &found, error);
    if (worst)
        *worst = found;
    return ll_rendering_close(&r, status, error);
}

/* --- lists ------------------------------------------------------------------------------------------------------ */

typedef struct listing {
    ll_list_format format;
    bool notes; /* of the one dive asked for */
} listing;

static ll_status list_dive(const ll_rendering *r, void *how, size_t place, ll_part *part)
{
    const listing *all = how;
    ll_debrief outline;
    ll_status status = ll_outline_make(r->history, r->dives.index[place], part->scratch, &outline, part->error);
    if (status != LL_OK)
        return status;
    ll_list_row(part->text, &outline, all->format, &r->look, place == 0);
    if (all->notes)
        ll_list_notes(part->text, &outline, &r->look);
    return LL_OK;
}

ll_status leadline_list(const ll_history *history, const leadline_selection *selection, const leadline_output *output,
                        ll_error *error)
{
    static const ll_list_format formats[] = {
        [LEADLINE_TEXT] = LL_LIST_TEXT, [LEADLINE_JSON] = LL_LIST_JSON, [LEADLINE_CSV] = LL_LIST_CSV};
    if (output->format == LEADLINE_HTML)
        return ll_fail(error, LL_BAD_USAGE, 0, "a list has no page");
    listing all = {.format = formats[output->format]};
    ll_rendering r;
    ll_status status = ll_rendering_open(&r, history, selection, output, error);
    if (status == LL_OK) {
        all.notes = all.format == LL_LIST_TEXT && selection->by == LEADLINE_NUMBERS && r.dives.count == 1;
        ll_list_head(&r.text, history, all.format, &r.look);
        status = ll_render_parts(&r, list_dive, &all, &r.text, NULL, NULL, error);
    }
    if (status == LL_OK)
        ll_list_foot(&r.text, history, all.format, &r.look);
    return ll_rendering_close(&r, status, error);
}
