/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An audit as bytes: a letter, JSON (leadline-audit-1), CSV (a row a dive, a column a requirement), a page. */
#ifndef LL_REPORT_AUDIT_REPORT_H
#define LL_REPORT_AUDIT_REPORT_H

#include "assess/audit.h"
#include "report/page.h"

extern const char *const ll_audit_cautions[]; /* beside the others, NULL-terminated */

void ll_audit_text(ll_text *out, const ll_audit *audit, const ll_look *look);
void ll_audit_json(ll_text *out, const ll_audit *audit, const ll_look *look);
void ll_audit_csv(ll_text *out, const ll_audit *audit);
void ll_audit_html(ll_text *out, const ll_audit *audit, const ll_look *look);

/* --- parts, collected as words or set as paragraphs ------------------------------------------------------------- */

/* "at least 50 dives", "at most 0 dives" */
void ll_audit_asked_words(ll_page *page, const ll_requirement *asked);
/* "48 recorded, 4 claimed" in what it is counted in. */
void ll_audit_counted_words(ll_page *page, const ll_requirement_answer *answer);
/* "dives 1 to 40, 42, 50 to 52" */
void ll_audit_dives_words(ll_page *page, const ll_audit *audit, const size_t *dive, size_t count);
/* "dive 12 on 2026-05-03" */
void ll_audit_dive_words(ll_page *page, const ll_audit *audit, size_t index);
/* Those just short, the latest first, the first few of them. */
void ll_audit_short_words(ll_page *page, const ll_audit *audit, const ll_requirement_answer *answer);

void ll_audit_title_words(ll_page *page, const ll_audit *audit);
void ll_audit_records(ll_page *page, const ll_audit *audit);   /* how many are in which class */
void ll_audit_overview_text(ll_page *page, const ll_audit *audit);
void ll_audit_letter(ll_page *page, const ll_audit *audit);    /* what is missing, what to send or to clarify */
void ll_audit_aside_text(ll_page *page, const ll_audit *audit); /* merged and set aside, with the reasons */
void ll_audit_sources(ll_page *page, const ll_audit *audit);   /* notes, settings, standard, files */

#endif
