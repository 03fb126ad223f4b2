/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of a page: what all pages share, and the parts of a dive's article. */
#ifndef LL_REPORT_HTML_PARTS_H
#define LL_REPORT_HTML_PARTS_H

#include "report/page.h"

/* The page up to its first heading, with style and policy; then, behind everything, the figures as JSON and the
 * script. */
void ll_html_begin(ll_text *out, const ll_settings *settings, const char *title, const ll_look *look);
void ll_html_end(ll_text *out, const ll_text *figures);

void ll_html_first_caution(ll_text *out);

/* A list of sentences, NULL at the end. */
void ll_html_list(ll_page *page, const char *const *sentences);

/* The first lines: a row a class with the firm findings and, beside them, what was kept; then the questions that are
 * asked first, each with its answer. */
void ll_html_first(ll_page *page, const ll_debrief *debrief);

/* Findings in a table: mark, weight, sentence, room for the instructor's remark; with what firm means. */
void ll_html_findings(ll_page *page, const ll_debrief *debrief);

/* Tables: the slate, switches, peaks, limits with where they come from. */
void ll_html_slate(ll_page *page, const ll_debrief *debrief);
void ll_html_switches(ll_page *page, const ll_debrief *debrief);
void ll_html_peaks(ll_page *page, const ll_debrief *debrief);
void ll_html_limits(ll_page *page, const ll_debrief *debrief);

/* What the ids of a dive's parts begin with on its page. */
unsigned ll_html_place(const ll_debrief *debrief, const ll_look *look);

/* A cell with the words collected so far, as text: <td> or <th scope="row">. */
void ll_html_cell(ll_page *page, const char *tag);

#endif
