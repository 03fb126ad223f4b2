/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The review: several divers, one dive, on one time line and side by side. Everything is computed once and read-only from
 * then on.
 *
 * Depths of the team are comparison metres: the gauge pressure that a recorder stored, 10 m a bar (EN 13319), so that
 * recorders set to different waters compare. Times of the team are seconds on the first log's clock since the leaving of its
 * diver. What is not known is NaN. */
#ifndef LL_ASSESS_REVIEW_H
#define LL_ASSESS_REVIEW_H

#include "assess/clock.h"
#include "assess/debrief.h"
#include "standard/plan.h"

/* --- what is asked ------------------------------------------------------------------------------------------------ */

/* One diver: logs of one or more recorders. */
typedef struct ll_diver_asked {
    const char *name; /* NULL: the owner where no other has that name, else the file's name without its ending */
    size_t count;
    const ll_log *const *logs;
} ll_diver_asked;

typedef struct ll_clock_asked {
    const char *name;
    double seconds; /* to be added to this diver's clocks */
} ll_clock_asked;

typedef struct ll_water_asked {
    const char *name;
    ll_water water;
    double kg_m3;
} ll_water_asked;

typedef struct ll_pair_asked {
    const char *one, *other;
} ll_pair_asked;

/* Which dive of the first log: numbers in time order, first to last; else a day; else any. */
typedef struct ll_dive_asked {
    unsigned first, last; /* 0: any */
    bool has_day;
    int64_t day;
} ll_dive_asked;

typedef struct ll_review_asked {
    size_t divers; /* 1 or more; the first one's clock is the team's */
    const ll_diver_asked *diver;
    const ll_settings *settings;
    const ll_limits *limits;
    const ll_limit *separation; /* NULL: the built-in one */
    const ll_plan *plan;        /* NULL: none */
    ll_dive_asked dive;
    bool trust_clocks;
    size_t clocks, waters, pairs;
    const ll_clock_asked *clock;
    const ll_water_asked *water;
    const ll_pair_asked *pair;
    const char *lead;    /* NULL: nobody */
    const char *extract; /* NULL: everybody sees everything */
} ll_review_asked;

/* --- recorders and divers ------------------------------------------------------------------------------------------ */

typedef enum ll_clock_by { LL_CLOCK_FIRST, LL_CLOCK_MATCHED, LL_CLOCK_TRUSTED, LL_CLOCK_GIVEN, LL_CLOCK_WAYS } ll_clock_by;
extern const char *const ll_clock_by_names[LL_CLOCK_WAYS]; /* "first", "matched", "trusted", "given" */

#define LL_MATCH_LEAST 0.8 /* score from which two records are taken for the same dive (this program's own choice) */

/* One recorder: its log is read as a history of its own. */
typedef struct ll_recorder {
    const ll_log *log;
    ll_history *history;
    size_t index;     /* of the shared dive among its entries; SIZE_MAX: none came near */
    size_t elsewhere; /* a dive of the first log that one of its dives rather is; SIZE_MAX: none */
    bool accepted; /* it is that dive */
    const char *why_not; /* a clause, where it is not accepted */
    ll_clock_by by;
    ll_clock_match match; /* against the first log; score 1 and offset 0 for that one */
    ll_profile profile;   /* of the shared dive, where index is one */
    ll_depth_line line;   /* of its run time, comparison metres, on its own clock since the first log's start */
} ll_recorder;

/* How stops were kept: over all levels at which the diver stayed. */
typedef struct ll_stop_keeping {
    size_t levels;
    double mean_off_m; /* mean distance of a level's mean depth from the nearest multiple of 3 m, weighted by its length */
    double spread_m;   /* standard deviation about the levels' means, pooled by length */
} ll_stop_keeping;

/* Greatest ascent rate within a band of depth, m/min. */
enum { LL_RATE_BANDS = 3 };
extern const double ll_rate_bands_m[LL_RATE_BANDS + 1]; /* 0, 6, 21 and no floor */

/* A line of the plan and what the diver did. */
typedef struct ll_line_off {
    double off_m;  /* depth at the planned run time less the planned depth; NaN in a gap, and after the record's end */
    double late_s; /* when the depth of the line was reached, or left, after the plan; NaN where it was not */
} ll_line_off;

typedef struct ll_plan_off {
    const double *mean_off_m; /* of each variant: mean distance over the longer of run time and plan */
    size_t best;              /* variant with the least of them */
    double largest_off_m, largest_off_s; /* of the team's variant: signed, positive deeper; run time */
    const ll_line_off *line;  /* of the team's variant, one a line */
} ll_plan_off;

/* What is held against the course, by kind of finding. */
typedef enum ll_course { LL_COURSE_NO_LIMIT, LL_COURSE_UNKNOWN, LL_COURSE_KEPT, LL_COURSE_BEYOND } ll_course;
typedef struct ll_course_cell {
    ll_course course;
    ll_severity worst, firm_worst; /* where it stood beyond */
} ll_course_cell;

typedef struct ll_diver {
    const char *name;
    bool lead;
    size_t recorders;
    ll_recorder *recorder;
    size_t main;        /* the one that is replayed; SIZE_MAX: the diver is left out */
    ll_debrief debrief; /* of the shared dive by that recorder */
    double to_team_s;   /* added to a time of that record gives the team's */
    double uncertainty_s;
    const double *depth_m; /* one a second of the team; NaN outside the run time and in gaps */
    double bottom_s;       /* from the leaving to the end of the bottom phase */
    double ascent_s;       /* from the start of the ascent to the surfacing */
    double stay_s;         /* of it, at levels */
    double rate_m_min[LL_RATE_BANDS];
    ll_stop_keeping stops;
    double used_l, rmv_l_min; /* of all tanks known; NaN where none is */
    double least_margin_l;
    double above_team_ceiling_s; /* time less deep than the deepest ceiling of all */
    ll_course_cell course[LL_FINDING_KINDS];
    ll_plan_off plan;
} ll_diver;

/* --- the team ------------------------------------------------------------------------------------------------------ */

/* Built in: common practice, no source. A standard's limit replaces the metres; the lengths stay. */
#define LL_APART_CAUTION_M 6.0
#define LL_APART_SERIOUS_M 10.0
#define LL_APART_CAUTION_S 60.0
#define LL_APART_SERIOUS_S 120.0

/* A stretch in which a pair stood apart by more than the lowest limit for long enough. */
typedef struct ll_apart {
    double from_s, to_s, greatest_m, greatest_s;
    ll_severity severity;
} ll_apart;

/* Separation is the least that the uncertainty of both clocks allows at each second. */
typedef struct ll_pair {
    size_t one, other; /* divers, one < other */
    bool with_lead, buddies;
    double greatest_m, greatest_s;
    double together_s; /* both within their run times and known */
    double apart_s;    /* sum of the stretches */
    size_t count;
    const ll_apart *stretch;
} ll_pair;

/* Divers in the order in which they came. */
typedef struct ll_arrival {
    size_t diver;
    double time_s, depth_m;
} ll_arrival;
typedef struct ll_order {
    size_t count;
    const ll_arrival *at;
} ll_order;

typedef struct ll_team_level {
    double depth_m; /* a multiple of 3 m at which at least two divers stayed */
    ll_order order;
} ll_team_level;

typedef struct ll_team_switch {
    const char *label; /* of the mix switched to, on the ascent or not */
    ll_order order;
} ll_team_switch;

typedef struct ll_team {
    double from_s;  /* the first full second in which a diver is under way */
    size_t seconds; /* from there on; the columns below have one value each */
    const double *separation_m; /* the greatest of the students' pairs */
    const double *ceiling_m;    /* the deepest of the students' ceilings */
    ll_limit limit;
    double greatest_m, greatest_s;
    size_t between[2];
    double apart_s; /* time in which at least one pair of students stood apart */
    double ceiling_peak_m, ceiling_peak_s;
    size_t pairs;
    const ll_pair *pair; /* all; those with the lead too */
    bool has_buddies;    /* pairs were named */
    ll_order left_bottom, surfaced;
    size_t levels, switches;
    const ll_team_level *level; /* deepest first */
    const ll_team_switch *to;   /* in the order of the first switch */
} ll_team;

/* --- side by side -------------------------------------------------------------------------------------------------- */

/* One table of what is put side by side. */
typedef struct ll_compared {
    const char *key;
    const char *label; /* "{21}" within it: a depth of 21 m */
    const char *unit; /* "s": a length of time */
    int digits;
    double telling;   /* a difference between divers below this says nothing (this program's own choice) */
    double (*value)(const ll_diver *diver);
} ll_compared;
extern const ll_compared ll_compared_table[];
extern const size_t ll_compared_count;

/* What differs most between the students. */
typedef struct ll_difference {
    size_t compared; /* row of the table */
    size_t least, greatest; /* divers */
    double least_value, greatest_value;
} ll_difference;

typedef struct ll_review {
    const ll_review_asked *asked;
    ll_arena *arena;
    size_t count;
    ll_diver *diver;
    size_t taken;    /* divers with the shared dive */
    size_t lead;     /* SIZE_MAX: nobody */
    size_t extract;  /* SIZE_MAX: everybody sees everything */
    bool by_zone;    /* clocks compare by zone: every dive of every log has one */
    size_t first;    /* the shared dive among the first log's entries */
    ll_team team;
    size_t variant;  /* of the plan: the one that fits the team best */
    size_t differences;
    const ll_difference *difference; /* the most telling first */
    ll_severity worst;
} ll_review;

/* A diver counts in the students' figures: has the shared dive and is not the lead. */
bool ll_is_student(const ll_diver *diver);

/* Finds the shared dive and the clocks, replays, compares. LL_BAD_USAGE with a sentence: a name that nobody has, settings
 * out of range, no such dive; LL_BAD_INPUT: the first log has no dive with a profile and a date. Everything lives in `arena`
 * but the histories: `review` is to be closed whatever is returned. */
ll_status ll_review_make(const ll_review_asked *asked, ll_arena *arena, ll_review *review, ll_error *error);
void ll_review_close(ll_review *review);

#endif
