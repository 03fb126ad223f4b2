/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A review as bytes: text, JSON (leadline-review-1), CSV (a row a diver), a page. With an extract, one diver's own share:
 * the others are letters, and of them only what the team's figures need. */
#ifndef LL_REPORT_REVIEW_REPORT_H
#define LL_REPORT_REVIEW_REPORT_H

#include "assess/review.h"
#include "report/page.h"

extern const char *const ll_review_cautions[]; /* beside the others, NULL-terminated */

void ll_review_text(ll_text *out, const ll_review *review, const ll_look *look);
void ll_review_json(ll_text *out, const ll_review *review, const ll_look *look);
void ll_review_csv(ll_text *out, const ll_review *review, const ll_look *look);
/* `track` of each diver (NULL where it is not shown): every column, tissues and headroom too. */
void ll_review_html(ll_text *out, const ll_review *review, const ll_track *const *track, const ll_look *look);

/* --- who is shown, and how ---------------------------------------------------------------------------------------- */

/* The diver's own figures are shown: everybody's, or those of the extract. */
bool ll_review_shows(const ll_review *review, size_t diver);
/* The dive is among those shown and the diver has it. */
bool ll_review_has(const ll_review *review, size_t diver);

/* The plan may be named: it is not the log of a diver who is not shown. */
bool ll_review_shows_plan(const ll_review *review);

/* The name as the look and the extract ask. */
void ll_diver_name_add(ll_text *out, const ll_review *review, size_t diver, const ll_look *look);

/* What a debrief of this diver is rendered with: his name as above, ids of its own. `name` is opened here and to be closed
 * by the caller. */
ll_look ll_diver_look(const ll_review *review, size_t diver, const ll_look *look, ll_text *name);

/* "Fastest below 21 m", or "... 69 ft". */
void ll_compared_label_add(ll_text *out, const ll_compared *compared, const ll_look *look);

/* A value of the table of what is compared, with its unit or without; an en dash where it is not known. */
void ll_compared_figure(ll_text *out, const ll_compared *compared, double value, bool with_unit, const ll_look *look);

/* What a kind of finding is called in a list of them: "ceiling", "high PO2". */
extern const char *const ll_course_labels[LL_FINDING_KINDS];

/* The variant of the plan that fits the team best. */
const ll_plan_variant *ll_review_variant(const ll_review *review);

/* --- sections, collected as words or set as paragraphs -------------------------------------------------------------- */

void ll_review_title_words(ll_page *page, const ll_review *review);
void ll_review_records(ll_page *page, const ll_review *review); /* logs, clocks, how well they match */
void ll_review_table(ll_page *page, const ll_review *review);
void ll_review_differ(ll_page *page, const ll_review *review);
void ll_review_three(ll_page *page, const ll_review *review, size_t diver); /* kept, to look at, cannot tell */
void ll_review_divers(ll_page *page, const ll_review *review);
void ll_review_team_text(ll_page *page, const ll_review *review);
void ll_review_plan_text(ll_page *page, const ll_review *review);
void ll_review_course_table(ll_page *page, const ll_review *review);
void ll_review_sources(ll_page *page, const ll_review *review);

/* The picture: depths on one axis, separation under it. */
void ll_team_picture(ll_text *out, const ll_review *review, const ll_look *look);

#endif
