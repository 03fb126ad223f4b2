/* SPDX-License-Identifier: GPL-3.0-or-later */
/* leadline: what did this diver actually do? The one door of the library.
 *
 * Read logs, merge them into one diver's history, then render: a debrief, the replayed rows, a list; or ask for the columns
 * of one dive. The library takes bytes and gives bytes: no file, terminal, exit, clock, locale or global.
 * Depths in metres, pressures in bar (PO2 in atm), times in seconds, unless said otherwise. */
#ifndef LEADLINE_LEADLINE_H
#define LEADLINE_LEADLINE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <leadline/crew.h>
#include <leadline/settings.h>
#include <leadline/status.h>

#if defined(__GNUC__)
#define LL_PUBLIC __attribute__((visibility("default")))
#else
#define LL_PUBLIC
#endif

#ifdef __cplusplus
extern "C" {
#endif

typedef struct ll_log ll_log;
typedef struct ll_history ll_history;
typedef struct ll_replay ll_replay;
typedef struct ll_standard ll_standard;
typedef struct ll_plan ll_plan;

/* The version of the library, "0.1.0". */
LL_PUBLIC const char *leadline_version(void);

/* The settings that hold where nobody says otherwise. */
LL_PUBLIC void leadline_settings(ll_settings *settings);

/* Gives up to `capacity` bytes; returns how many, 0 at the end, -1 on failure. */
typedef ptrdiff_t (*leadline_read)(void *context, void *bytes, size_t capacity);

/* Writes the SHA-256 of all that a leadline_read gave, as 64 lower-case hex digits and a terminator. */
typedef void (*leadline_hash)(void *context, char sha256[65]);

/* Takes `size` bytes; returns 0, or another value if they could not be written. */
typedef int (*leadline_write)(void *context, const void *bytes, size_t size);

/* Reads one log (UDDF 2.1 to 3.2.x, plain or gzipped). `name` appears in outputs. On success *log is to be freed by
 * leadline_log_free (NULL is fine); on failure it is NULL and `error` (may be NULL) says where and why. */
LL_PUBLIC ll_status leadline_log_read(const char *name, leadline_read read, void *context, ll_log **log,
                                      ll_error *error);
/* The same for a caller that hashes the bytes itself, on another thread perhaps: `hash` is asked once, after `read`
 * gave the end, and not at all where reading fails; `read` is asked for little at a time, so it should have the bytes
 * in memory. `context` is that of both. */
LL_PUBLIC ll_status leadline_log_read_hashed(const char *name, leadline_read read, leadline_hash hash, void *context,
                                             ll_log **log, ll_error *error);
/* The same by a crew (NULL: alone), which parses a long log in pieces; the log is the same, whoever does it. `hash` may be
 * NULL: then the bytes are hashed on the way. */
LL_PUBLIC ll_status leadline_log_read_by(const char *name, leadline_read read, leadline_hash hash, void *context,
                                         const ll_crew *crew, ll_log **log, ll_error *error);
LL_PUBLIC void leadline_log_free(ll_log *log);
/* The owner's name as the log gives it, or NULL. Valid as long as the log. */
LL_PUBLIC const char *leadline_log_owner(const ll_log *log);
LL_PUBLIC size_t leadline_log_dives(const ll_log *log);

/* Reads a course standard (docs/standards.md). `name` of the file appears in outputs. On success *standard is to be
 * freed by leadline_standard_free (NULL is fine); on failure it is NULL and `error` (may be NULL) says where and
 * why. */
LL_PUBLIC ll_status leadline_standard_read(const char *name, leadline_read read, void *context, ll_standard **standard,
                                           ll_error *error);
LL_PUBLIC void leadline_standard_free(ll_standard *standard);
/* The name that the standard gives itself. Valid as long as the standard. */
LL_PUBLIC const char *leadline_standard_name(const ll_standard *standard);
/* Puts the model of the standard into settings, where they are built in or were to be taken from the log; what the
 * command line said stays. The standard must outlive every history that is made with these settings. Limits:
 * leadline_output. */
LL_PUBLIC void leadline_standard_apply(const ll_standard *standard, ll_settings *settings);

/* Merges logs into one diver's history, in time order, and advances through it. The logs must outlive the history.
 * `diver` NULL: all logs; else only those of this owner. To be freed by leadline_history_free (NULL is fine). */
LL_PUBLIC ll_status leadline_merge(ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                                   ll_history **history, ll_error *error);
LL_PUBLIC void leadline_history_free(ll_history *history);
LL_PUBLIC size_t leadline_history_dives(const ll_history *history);

/* Which dives of a history: numbers from 1, both included; or one calendar day. */
typedef enum leadline_by { LEADLINE_ALL, LEADLINE_LATEST, LEADLINE_NUMBERS, LEADLINE_DAY } leadline_by;

typedef struct leadline_selection {
    leadline_by by;
    unsigned first, last; /* with LEADLINE_NUMBERS */
    int64_t day;          /* with LEADLINE_DAY: days since 1970-01-01 */
} leadline_selection;

/* How people appear. */
typedef enum leadline_names { LEADLINE_NAMES_FULL, LEADLINE_NAMES_INITIALS, LEADLINE_NAMES_LETTERS } leadline_names;

typedef enum leadline_format { LEADLINE_TEXT, LEADLINE_JSON, LEADLINE_CSV, LEADLINE_HTML } leadline_format;

typedef struct leadline_output {
    leadline_format format;
    int width;     /* of text, in columns; 0: 80 */
    bool colour;   /* of text */
    bool imperial; /* of text */
    leadline_names names;
    const ll_standard *standard; /* debrief: limits of findings; NULL: the built-in ones */
    const char *columns; /* replay: comma-separated keys, NULL for the promised ones; what is not shown is not computed */
    bool tissues;        /* replay: the tissue columns too */
    bool one_line;       /* JSON without a newline inside, one at its end: a line a history */
    leadline_write write;
    void *context;
    /* audit: told of each dive in order, by the calling thread, how many of how many are done; NULL: nobody is told */
    void (*progress)(void *progress_context, size_t done, size_t total);
    void *progress_context;
    ll_crew crew; /* does the dives; see crew.h */
} leadline_output;

/* Severity of the worst finding rendered: 0 none, 1 note, 2 caution, 3 serious. May be asked for with `worst` not NULL. */
LL_PUBLIC ll_status leadline_debrief(const ll_history *history, const leadline_selection *selection,
                                     const leadline_output *output, int *worst, ll_error *error);
LL_PUBLIC ll_status leadline_rows(const ll_history *history, const leadline_selection *selection,
                                  const leadline_output *output, ll_error *error);
LL_PUBLIC ll_status leadline_list(const ll_history *history, const leadline_selection *selection,
                                  const leadline_output *output, ll_error *error);

/* Whether a debrief page (LEADLINE_HTML) belongs to these logs, by their SHA-256, and whether its figures and samples
 * are those of today: it is rendered again with the settings and limits that it states, and compared. `name` is that of
 * its file. Writes the answer as text or JSON. *holds: both are so. LL_BAD_INPUT where the bytes are no page that can be
 * looked at. */
LL_PUBLIC ll_status leadline_verify(const char *name, const void *page, size_t size, ll_log *const *logs, size_t count,
                                    const leadline_output *output, bool *holds, ll_error *error);

/* Sorts the dives of logs into recorded, claimed, merged and set aside, replays those that count, and answers the entry
 * requirements of output->standard, which must not be NULL. `as_of`: the day that the audit stands on, days since
 * 1970-01-01. *met (may be NULL): every count is reached by recorded dives. */
LL_PUBLIC ll_status leadline_audit(ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                                   int64_t as_of, const leadline_output *output, bool *met, ll_error *error);

/* Reads a plan (docs/plans.md): lines as on a slate, or a UDDF log, of which the latest dive with a profile is taken. To
 * be freed by leadline_plan_free (NULL is fine); on failure it is NULL and `error` (may be NULL) says where and why. */
LL_PUBLIC ll_status leadline_plan_read(const char *name, leadline_read read, void *context, ll_plan **plan,
                                       ll_error *error);
LL_PUBLIC void leadline_plan_free(ll_plan *plan);

/* One diver of a review. */
typedef struct leadline_diver {
    const char *name;    /* NULL: the owner, else the name of the file */
    size_t count;        /* recorders: the first with the dive is replayed */
    ll_log *const *logs;
} leadline_diver;

typedef struct leadline_clock {
    const char *name;
    double seconds; /* to be added to this diver's clocks */
} leadline_clock;

typedef struct leadline_diver_water {
    const char *name;
    ll_water water;
    double kg_m3; /* with LL_WATER_NUMBER, and where the log gives none */
} leadline_diver_water;

typedef struct leadline_pair {
    const char *one, *other;
} leadline_pair;

typedef struct leadline_review_asked {
    size_t divers; /* the first one's clock is the team's */
    const leadline_diver *diver;
    leadline_selection dive; /* of the first log; LEADLINE_ALL and LEADLINE_LATEST: the one that most logs share */
    const ll_plan *plan;     /* NULL: none */
    bool trust_clocks;
    size_t clocks, waters, pairs;
    const leadline_clock *clock;
    const leadline_diver_water *water;
    const leadline_pair *pair;
    const char *lead, *extract; /* NULL: nobody; everything for everybody */
} leadline_review_asked;

/* Finds the dive that the logs share, brings their clocks together, replays and compares. Limits of output->standard, else
 * the built-in ones. *worst (may be NULL) as in leadline_debrief, separation included. LL_BAD_USAGE where a name is
 * nobody's. */
LL_PUBLIC ll_status leadline_review(const leadline_review_asked *asked, const ll_settings *settings,
                                    const leadline_output *output, int *worst, ll_error *error);

/* The columns of one dive, for programs that draw their own. `keys` as in leadline_output.columns. */
LL_PUBLIC ll_status leadline_replay(const ll_history *history, unsigned number, const char *keys, ll_replay **replay,
                                    ll_error *error);
LL_PUBLIC void leadline_replay_free(ll_replay *replay);
LL_PUBLIC size_t leadline_replay_rows(const ll_replay *replay);
/* One value a row, NaN where missing; NULL if the key was not asked for. Valid as long as the replay. */
LL_PUBLIC const double *leadline_replay_column(const ll_replay *replay, const char *key);

#ifdef __cplusplus
}
#endif

#endif
