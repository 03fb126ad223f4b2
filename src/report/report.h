/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bytes for people and programs. The report layer knows nothing of how anything was computed. */
#ifndef LL_REPORT_REPORT_H
#define LL_REPORT_REPORT_H

#include "assess/debrief.h"
#include "base/text.h"

typedef struct ll_look {
    int width; /* columns of the terminal or page, 40 or more */
    bool colour; /* ANSI colours */
    bool imperial; /* feet, psi, Fahrenheit in running text */
    int names; /* 0 full, 1 initials, 2 letters */
    bool one_line; /* JSON without a newline inside */
    const char *called; /* what the diver is called in place of the log's owner; NULL: the owner */
    unsigned place;     /* of a dive on a page of several divers, for its ids; 0: its number */
} ll_look;

extern const char *const ll_caution_first; /* stands first on every report */
extern const char *const ll_cautions[]; /* the rest, NULL-terminated */

/* Text debrief: head once, then each dive, then the foot. */
void ll_text_head(ll_text *out, const ll_history *history, const ll_look *look);
void ll_text_debrief(ll_text *out, const ll_debrief *debrief, const ll_look *look);
void ll_text_foot(ll_text *out, const ll_history *history, const ll_look *look);

/* JSON debrief, schema leadline-debrief-1, the same three steps. `first` is true for the first dive. */
void ll_json_head(ll_text *out, const ll_history *history, const ll_look *look);
void ll_json_debrief(ll_text *out, const ll_debrief *debrief, const ll_look *look, bool first);
void ll_json_foot(ll_text *out, const ll_history *history, const ll_limits *limits, const ll_look *look);

/* The debrief page. The articles of its dives are rendered first, and the figures as JSON in one line; then the page
 * around them. `track` holds every column of the dive, tissues and headroom too; NULL without a profile. `alone`: the
 * page has no other dive. */
typedef struct ll_html_dive {
    const ll_entry *entry;
    bool has_profile;
    double greatest_m; /* NaN if not known */
    ll_severity worst; /* of its findings */
    int standing;      /* in an audit: its class, see assess/standing.h; -1: none is shown */
} ll_html_dive;

typedef struct ll_html_content {
    size_t dives;
    const ll_html_dive *dive;
    const ll_text *articles, *figures;
} ll_html_content;

void ll_html_debrief(ll_text *out, const ll_debrief *debrief, const ll_track *track, const ll_look *look, bool alone);
void ll_html_page(ll_text *out, const ll_history *history, const ll_html_content *content, const ll_look *look);

/* CSV of a debrief: one row a finding (dive, kind, severity, class, from_s, ...). */
void ll_csv_findings_head(ll_text *out);
void ll_csv_findings(ll_text *out, const ll_debrief *debrief);

/* Replay rows. `wanted` says which columns; the tissue columns follow if they are in it. */
void ll_csv_track_head(ll_text *out, ll_quantities wanted);
void ll_csv_track(ll_text *out, unsigned number, const ll_track *track, ll_quantities wanted);
void ll_json_track_head(ll_text *out, const ll_history *history, ll_quantities wanted, const ll_look *look);
void ll_json_track(ll_text *out, unsigned number, const ll_track *track, ll_quantities wanted, bool first);
void ll_json_track_foot(ll_text *out);

/* List: one row a dive. */
typedef enum ll_list_format { LL_LIST_TEXT, LL_LIST_JSON, LL_LIST_CSV } ll_list_format;
void ll_list_head(ll_text *out, const ll_history *history, ll_list_format format, const ll_look *look);
void ll_list_row(ll_text *out, const ll_debrief *debrief, ll_list_format format, const ll_look *look, bool first);
/* The notes of a dive, each with code, line, count and sentence; for a text list that shows one dive only. */
void ll_list_notes(ll_text *out, const ll_debrief *debrief, const ll_look *look);
void ll_list_foot(ll_text *out, const ll_history *history, ll_list_format format, const ll_look *look);

#endif
