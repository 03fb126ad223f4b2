/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The audit: whether a history meets a standard's entry requirements, and what an instructor asks next. Counts show
 * exposure, not competence. Everything is computed once and read-only from then on. */
#ifndef LL_ASSESS_AUDIT_H
#define LL_ASSESS_AUDIT_H

#include "assess/standing.h"
#include "base/crew.h"
#include "finding/finding.h"
#include "standard/standard.h"

/* What is known of a yes or no. */
typedef enum ll_known { LL_UNSETTLED, LL_NO, LL_YES } ll_known;

#define LL_AUDIT_FIRM_FROM LL_CAUTION /* what is lighter is not asked whether it is firm */

/* One dive as the audit sees it. What is not known is NaN or unsettled. */
typedef struct ll_audit_dive {
    const ll_entry *entry;
    ll_stand stand;
    bool dated;
    int64_t day;         /* days since 1970-01-01 */
    double greatest_m;   /* recorded, else stated */
    double run_time_s;   /* recorded, else the stated duration */
    double interval_s;   /* median, of a record */
    ll_known decompression;
    double owed_s;       /* stops owed at the start of the ascent */
    double kept_s;       /* from there to the surfacing, at levels kept a minute or more while a stop was asked */
    ll_known helium;     /* breathed below 10 m */
    unsigned switches;
    bool switches_settled;
    ll_known loop;       /* ever on one */
    size_t mixes;        /* breathed within the run time */
    size_t stages;       /* tanks beyond those of the first mix */
    ll_severity worst[LL_FINDING_KINDS];      /* of a recorded dive */
    ll_severity firm_worst[LL_FINDING_KINDS]; /* that stand against recorder error: of conduct, from LL_AUDIT_FIRM_FROM up */
    unsigned witnessed; /* set of LL_KIND: findings that a second recorder of the dive shows too */
    size_t witnesses;   /* merged records of the same dive */
} ll_audit_dive;

/* --- answers ---------------------------------------------------------------------------------------------------- */

typedef enum ll_reach { LL_REACHED, LL_REACHED_IF_CLAIMS_HOLD, LL_NOT_REACHED, LL_REACHES } ll_reach;
extern const char *const ll_reach_keys[LL_REACHES];  /* "met", "met-if-claims-hold", "not-met" */
extern const char *const ll_reach_words[LL_REACHES]; /* "count reached", "count reached if claims hold", ... */

/* A dive that fails exactly one attribute. */
typedef struct ll_just_short {
    size_t dive; /* index into audit.dive */
    const char *why; /* "deepest 35.8 m, asked 36 m" */
} ll_just_short;

typedef struct ll_requirement_answer {
    const ll_requirement *asked;
    double recorded; /* dives, hours or days, as asked->counted_in says */
    double claimed;  /* by claimed dives alone that count, on top of the recorded ones */
    double unsettled; /* by claimed dives that may count or not */
    ll_reach verdict;
    size_t count; /* dives that count, recorded and claimed, in time order */
    const size_t *dive;
    size_t open; /* those that may count or not, because what is known of them does not settle it */
    const size_t *open_dive;
    size_t shorts; /* for `least`, in time order */
    const ll_just_short *just_short;
} ll_requirement_answer;

/* --- what an instructor asks next --------------------------------------------------------------------------------- */

enum { LL_DEPTH_BANDS = 7 };
extern const double ll_depth_bands_m[LL_DEPTH_BANDS]; /* lower bounds: 0, 18, 30, 40, 50, 60, 80 */

typedef struct ll_month {
    int year, month;
    unsigned dives;
    double deepest_m;
} ll_month;

typedef struct ll_gap {
    int64_t from_day, to_day; /* of the dives around it */
} ll_gap;

/* Firm conduct findings among dives whose recorders sampled alike: up to 5 s, up to 10 s, under 20 s, 20 s and more. */
enum { LL_SAMPLING_CLASSES = 4, LL_CONDUCT_LEAST_DIVES = 20 };
extern const char *const ll_sampling_class_words[LL_SAMPLING_CLASSES];
typedef struct ll_conduct_class {
    size_t dives; /* under 20 nothing is said */
    size_t with[LL_FINDING_KINDS]; /* dives with such a firm finding, caution and up; conduct kinds only */
} ll_conduct_class;

typedef struct ll_overview {
    size_t months; /* from the first to the last dated one, those without dives too; at most 60, the latest */
    const ll_month *month;
    unsigned band[LL_DEPTH_BANDS];       /* dives by greatest depth */
    double band_hours[LL_DEPTH_BANDS];
    unsigned band_last_year[LL_DEPTH_BANDS]; /* of the 12 months before the day of the audit */
    size_t deepest_recent;      /* of these 12 months; SIZE_MAX without one */
    size_t last_decompression;  /* SIZE_MAX without one */
    size_t longest_owed, longest_kept;
    size_t gaps; /* over a month, and the one up to the day of the audit */
    const ll_gap *gap;
    size_t most_mixes, most_stages; /* dives */
    size_t largest_step; /* the dive that went deeper than all before it by most, after the first ten */
    double largest_step_m;
    ll_conduct_class conduct[LL_SAMPLING_CLASSES];
} ll_overview;

/* --- the whole ---------------------------------------------------------------------------------------------------- */

typedef struct ll_audit {
    const ll_history *history;
    const ll_standard *standard;
    const ll_limits *limits;
    int64_t today;
    size_t count; /* every dive of every file, in time order */
    const ll_audit_dive *dive;
    size_t in[LL_STANDINGS]; /* they add up to count */
    size_t answers; /* in the order of the standard */
    const ll_requirement_answer *answer;
    ll_reach verdict; /* the least of all; met where nothing is asked */
    ll_overview overview;
    ll_notes notes; /* doubts about clocks and numbers; the history has its own */
} ll_audit;

/* Who replays the dives, and who is told of each of them in order, by the calling thread; `tell` NULL: nobody. */
typedef struct ll_running {
    ll_crew crew;
    void (*tell)(void *context, size_t done, size_t total);
    void *context;
} ll_running;

/* Sorts the dives of logs, advances through those that count, replays them, answers. `today`: days since 1970-01-01.
 * Makes *history (to be freed by ll_history_free whatever is returned, NULL is fine); the audit lives in `arena` and
 * needs history, logs, standard and limits. */
ll_status ll_audit_make(const ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                        const ll_standard *standard, const ll_limits *limits, int64_t today, const ll_running *running,
                        ll_arena *arena, ll_history **history, ll_audit *audit, ll_error *error);

#endif
