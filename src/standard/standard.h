/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A course standard: what its file says, checked, and how it is applied. The format is described in docs/standards.md. */
#ifndef LL_STANDARD_STANDARD_H
#define LL_STANDARD_STANDARD_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/error.h"
#include "standard/period.h"
#include "standard/limits.h"

/* What <model> says. */
typedef struct ll_standard_model {
    bool has_gradients, has_narcotic_oxygen, has_last_stop;
    double gradient_low, gradient_high; /* fractions, 0.01 <= low <= high <= 1 */
    bool narcotic_oxygen;
    double last_stop_m; /* 3..9 */
} ll_standard_model;

/* Limits of what no finding looks at yet: metres between divers. */
typedef enum ll_kept_limit { LL_LIMIT_SEPARATION, LL_KEPT_LIMITS } ll_kept_limit;
extern const char *const ll_kept_limit_names[LL_KEPT_LIMITS]; /* "separation" */

typedef struct ll_standard_limit {
    bool given;
    ll_limit limit; /* origin LL_FROM_STANDARD; its source is the name of the standard */
} ll_standard_limit;

/* The attributes of a requirement, all in one table in standard/requirement.c. */
typedef enum ll_asked {
    LL_ASKED_ID,
    LL_ASKED_LEAST,
    LL_ASKED_MOST,
    LL_ASKED_COUNT,
    LL_ASKED_DECOMPRESSION,
    LL_ASKED_OWED,
    LL_ASKED_DEEPEST_FROM,
    LL_ASKED_DEEPEST_TO,
    LL_ASKED_WITHIN,
    LL_ASKED_AMONG_LAST,
    LL_ASKED_HELIUM,
    LL_ASKED_SWITCHES,
    LL_ASKED_CIRCUIT,
    LL_ASKED_SHORTEST,
    LL_ASKED_FINDING,
    LL_ASKED_SEVERITY,
    LL_ASKED_ATTRIBUTES
} ll_asked;
#define LL_ASKED(attribute) (1u << (attribute))

typedef enum ll_counted_in { LL_COUNTED_DIVES, LL_COUNTED_HOURS, LL_COUNTED_DAYS, LL_COUNTED_WAYS } ll_counted_in;
extern const char *const ll_counted_names[LL_COUNTED_WAYS + 1]; /* "dives", "hours", "days", NULL */

/* A requirement. Members of attributes that were not given (see `asked`) are zero; least and most are NaN then. */
typedef struct ll_requirement {
    long line;
    unsigned asked;   /* set of LL_ASKED(...) */
    const char *id;   /* unlike all others */
    const char *text; /* one line */
    double least, most; /* at least one of them; least <= most */
    ll_counted_in counted_in;
    bool decompression;
    ll_period owed; /* days and seconds only */
    double deepest_from_m, deepest_to_m;
    ll_period within; /* years, months, days only */
    unsigned among_last;
    bool helium;
    unsigned switches; /* at least */
    bool loop;         /* circuit="loop"; else open */
    ll_period shortest; /* days and seconds only */
    ll_kind finding;
    ll_severity severity;
} ll_requirement;

typedef struct ll_standard {
    ll_arena arena;
    const char *file; /* as given by the caller, shown in outputs; no path */
    char sha256[LL_DIGEST_TEXT];
    const char *name;
    ll_standard_model model;
    ll_standard_limit of[LL_FINDING_KINDS];
    ll_standard_limit kept[LL_KEPT_LIMITS];
    size_t requirements;
    const ll_requirement *requirement; /* in the order of the file */
} ll_standard;

/* Caps on hostile input, documented in docs/limits.md. Nesting needs none: the first element that is not known ends
 * it. */
enum {
    LL_STANDARD_MOST_BYTES = 1024 * 1024,
    LL_STANDARD_MOST_REQUIREMENTS = 1000,
    LL_STANDARD_MOST_TEXT = 1000, /* bytes of a requirement's text */
    LL_STANDARD_MOST_NAME = 200,
    LL_STANDARD_MOST_ID = 64
};

/* Gives up to `capacity` bytes; returns how many, 0 at the end, -1 on failure. */
typedef ptrdiff_t (*ll_standard_read_fn)(void *context, void *bytes, size_t capacity);

/* Reads a standard. On success *standard is new, to be freed by ll_standard_free. On failure it is NULL, and `error`
 * holds the line and one sentence: LL_BAD_INPUT (no well-formed XML, a DOCTYPE, anything that docs/standards.md does
 * not know, a value out of range, contradictions, over a cap, `read` failed) or LL_NO_MEMORY. `name` (of the file) is
 * copied; `allocator` NULL: the heap. */
ll_status ll_standard_read(const char *name, ll_standard_read_fn read, void *context, const ll_allocator *allocator,
                           ll_standard **standard, ll_error *error);

/* NULL is fine. */
void ll_standard_free(ll_standard *standard);

/* Puts what the standard says into settings and limits, either of which may be NULL. The command line comes first:
 * only settings that are built in are replaced, and factors that were to be taken from the log (--gf log). Every limit
 * that the standard names is replaced whole. settings->standard points to the standard afterwards. */
void ll_standard_apply(const ll_standard *standard, ll_settings *settings, ll_limits *limits);

#endif
