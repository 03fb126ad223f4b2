/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Debriefs and lists. */
#include "door/rendering.h"
#include "standard/standard.h"

/* A page stands around its dives: they are rendered first, with their figures as JSON. */
typedef struct page_content {
    ll_text articles, figures;
    ll_html_dive *dive;
    size_t dives;
} page_content;

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
static ll_status add_to_page(ll_rendering *r, page_content *page, const ll_debrief *debrief, ll_error *error)
{
    ll_look look;
    ll_track track;
    const ll_entry *entry = debrief->entry;
    ll_status status = LL_OK;
    if (debrief->has_profile)
        status = ll_replay_columns(&debrief->profile, &r->history->settings, &entry->start, LL_SET_ALL | LL_SET_HEADROOM,
                                   &r->scratch, &track, error);
    if (status != LL_OK)
        return status;
    ll_html_debrief(&page->articles, debrief, debrief->has_profile ? &track : NULL, &r->look, r->dives.count == 1);
    ll_json_debrief(&page->figures, debrief, line_look(r, &look), page->dives == 0);
    page->dive[page->dives++] = (ll_html_dive){entry, debrief->has_profile,
                                               debrief->has_profile ? debrief->profile.greatest_m
                                                                    : entry->dive->stated_greatest_m,
                                               debrief->findings.worst, -1};
    return LL_OK;
}

static void write_page(ll_rendering *r, page_content *page, const ll_limits *limits)
{
    ll_look look;
    const ll_html_content content = {page->dives, page->dive, &page->articles, &page->figures};
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

static ll_status render_dive(ll_rendering *r, page_content *page, const ll_debrief *debrief, bool first,
                             ll_error *error)
{
    if (r->output->format == LEADLINE_HTML)
        return add_to_page(r, page, debrief, error);
    if (r->output->format == LEADLINE_TEXT)
        ll_text_debrief(&r->text, debrief, &r->look);
    else if (r->output->format == LEADLINE_JSON)
        ll_json_debrief(&r->text, debrief, &r->look, first);
    else
        ll_csv_findings(&r->text, debrief);
    return LL_OK;
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

static ll_status debrief_dives(ll_rendering *r, page_content *page, const ll_limits *limits, int *worst,
                               ll_error *error)
{
    ll_status status = LL_OK;
    for (size_t i = 0; i < r->dives.count && status == LL_OK; i++) {
        ll_debrief debrief;
        ll_arena_reset(&r->scratch);
        status = ll_debrief_make(r->history, r->dives.index[i], limits, &r->scratch, &debrief, error);
        if (status == LL_OK && r->output->format != LEADLINE_CSV)
            status = ll_debrief_compare(&debrief, &r->scratch, error);
        if (status == LL_OK)
            status = render_dive(r, page, &debrief, i == 0, error);
        if (status == LL_OK && (int)debrief.findings.worst > *worst)
            *worst = (int)debrief.findings.worst;
    }
    return status;
}

ll_status ll_render_debriefs(ll_rendering *r, const ll_limits *limits, int *worst, ll_error *error)
{
    page_content page;
    ll_status status = open_page(r, &page, error);
    if (status == LL_OK)
        render_head(r);
    if (status == LL_OK)
        status = debrief_dives(r, &page, limits, worst, error);
    if (status == LL_OK)
        render_foot(r, &page, limits);
    close_page(&page);
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

ll_status leadline_list(const ll_history *history, const leadline_selection *selection, const leadline_output *output,
                        ll_error *error)
{
    static const ll_list_format formats[] = {
        [LEADLINE_TEXT] = LL_LIST_TEXT, [LEADLINE_JSON] = LL_LIST_JSON, [LEADLINE_CSV] = LL_LIST_CSV};
    if (output->format == LEADLINE_HTML)
        return ll_fail(error, LL_BAD_USAGE, 0, "a list has no page");
    const ll_list_format format = formats[output->format];
    ll_rendering r;
    ll_status status = ll_rendering_open(&r, history, selection, output, error);
    if (status == LL_OK)
        ll_list_head(&r.text, history, format, &r.look);
    for (size_t i = 0; i < r.dives.count && status == LL_OK; i++) {
        ll_debrief outline;
        ll_arena_reset(&r.scratch);
        status = ll_outline_make(history, r.dives.index[i], &r.scratch, &outline, error);
        if (status == LL_OK)
            ll_list_row(&r.text, &outline, format, &r.look, i == 0);
        if (status == LL_OK && format == LL_LIST_TEXT && selection->by == LEADLINE_NUMBERS && r.dives.count == 1)
            ll_list_notes(&r.text, &outline, &r.look);
    }
    if (status == LL_OK)
        ll_list_foot(&r.text, history, format, &r.look);
    return ll_rendering_close(&r, status, error);
}
