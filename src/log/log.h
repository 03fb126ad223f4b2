/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The diver's log: what a file says, in exact-size columns, spans and sparse series, with notes on every repaired or
 * doubtful record. Physics lives elsewhere. Everything lives in the log's own arena and never changes once read. */
#ifndef LL_LOG_LOG_H
#define LL_LOG_LOG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/crew.h"
#include "base/digest.h"
#include "base/error.h"
#include "base/note.h"
#include "base/time.h"

typedef enum ll_circuit { LL_OPEN_CIRCUIT, LL_CLOSED_CIRCUIT, LL_SEMICLOSED_CIRCUIT, LL_APNOE } ll_circuit;

enum { LL_MIX_UNKNOWN = -1, LL_NONE = -1 };

/* Fractions of a breathing gas; the rest is nitrogen (argon and hydrogen count as nitrogen, with a note). */
typedef struct ll_mix {
    const char *id;    /* as written; "" for air that no log names */
    const char *name;  /* as written, or NULL */
    const char *label; /* "air", "EAN32", "18/45", "oxygen" */
    double o2_fraction;
    double he_fraction;
    double maximum_po2_bar; /* as stated, NaN if not */
    double maximum_depth_m; /* as stated, NaN if not */
    bool usable;            /* fractions make a gas; a switch to one that is not is a switch to an unknown mix */
} ll_mix;

typedef struct ll_site {
    const char *id;
    const char *name; /* or NULL */
    double altitude_m;          /* NaN if not stated */
    double density_kg_m3;       /* NaN if not stated */
} ll_site;

typedef struct ll_tank {
    const char *id;
    const char *name;
    double volume_l; /* NaN if not stated, or in no unit for certain */
} ll_tank;

/* A `tankdata` record: a tank as used on a dive. */
typedef struct ll_tank_use {
    const char *id; /* or NULL */
    int tank;       /* index into the log's tanks, or LL_NONE */
    int mix;        /* index into the log's mixes, or LL_NONE */
    double volume_l;  /* its own, else the tank's, else NaN */
    double begin_bar; /* gauge, NaN if not stated */
    double end_bar;
} ll_tank_use;

/* Values at some of a dive's samples, by rising sample index. */
typedef struct ll_series {
    const char *ref; /* tank or sensor named by the values, or NULL */
    int tank_use;    /* tank pressures: index into the dive's tank uses, or LL_NONE */
    size_t count;
    const uint32_t *sample;
    const double *value;
} ll_series;

/* Samples [first, end): from the instant of `first` up to the instant of `end` this was breathed (a switch is an
 * instant: up to it the old span counts). Spans cover all samples without gaps, in order; each differs from the one
 * before it. */
typedef struct ll_span {
    size_t first;
    size_t end;
    int mix; /* index into the log's mixes, or LL_MIX_UNKNOWN */
    ll_circuit circuit;
    double set_point_bar; /* on a loop: the user's, else the computer's; NaN if neither is in force */
} ll_span;

/* A change of mix as recorded (repeated naming of the mix in use is none); the first names the mix at the start. */
typedef struct ll_switch {
    size_t sample;
    int mix;         /* LL_MIX_UNKNOWN where the log does not define it */
    const char *ref; /* id as written */
    long line;
} ll_switch;

/* The recorder's own stop at a sample; several at one sample are its whole ladder. */
typedef struct ll_own_stop {
    uint32_t sample;
    bool mandatory; /* else a safety stop or a kind unknown */
    double depth_m;
    double duration_s;
} ll_own_stop;

typedef struct ll_alarm {
    uint32_t sample;
    const char *text; /* as written */
} ll_alarm;

typedef enum ll_interval_kind { LL_INTERVAL_NOT_STATED, LL_INTERVAL_INFINITE, LL_INTERVAL_PASSED } ll_interval_kind;

typedef struct ll_dive {
    const char *id; /* as written; "" if none */
    long line;
    ll_instant start;
    const char *start_text; /* as written, or NULL */
    int site;               /* index into the log's sites, or LL_NONE */
    unsigned stated_number; /* the log's own dive number, 0 if none */
    ll_interval_kind interval;
    double interval_s; /* with LL_INTERVAL_PASSED */
    double surface_pressure_bar; /* as stated; NaN if not. Not range-checked. */
    double altitude_m;           /* of the dive itself; NaN if not stated */
    double density_kg_m3;        /* of the dive, else of its site; NaN if not stated */
    double stated_greatest_m, stated_average_m, stated_duration_s, stated_lowest_c; /* NaN if not stated */

    size_t count; /* samples; 0: the log states the dive without a profile */
    const double *time_s;  /* strictly rising, since the recorder's own zero */
    const double *depth_m; /* >= 0; spikes bridged */
    const double *temperature_c; /* NaN where a sample has none; NULL if no sample has one */

    size_t spans, switches, tank_uses, own_stops, alarms;
    const ll_span *span;
    const ll_switch *change;
    const ll_tank_use *tank_use;
    const ll_own_stop *own_stop;
    const ll_alarm *alarm;

    size_t tank_pressures, measured_po2s;
    const ll_series *tank_pressure; /* bar, gauge; one series a tank */
    const ll_series *measured_po2;  /* bar; one series a sensor */
    ll_series calculated_po2;       /* bar */
    ll_series no_stop;              /* the recorder's no-stop time, s */
    ll_series own_gradient;         /* the recorder's gradient, fraction */
    ll_series own_cns;              /* as written: fraction or percent is not settled by the format */
    ll_series own_otu;

    ll_notes notes;
} ll_dive;

typedef struct ll_log {
    ll_arena arena;
    const char *name; /* as given by the caller, shown in outputs; no path */
    char sha256[LL_DIGEST_TEXT]; /* of the bytes as given (before gunzip) */
    const char *version;  /* of UDDF, as written, or NULL */
    const char *writer;   /* the generator's name, or NULL */
    const char *owner;    /* "First Last", or NULL */
    double gf_low_fraction, gf_high_fraction; /* NaN unless the log holds exactly one usable pair */
    size_t mixes, sites, tanks, dives;
    const ll_mix *mix;
    const ll_site *site;
    const ll_tank *tank;
    const ll_dive *dive; /* in file order */
    ll_notes notes; /* on the file as a whole */
} ll_log;

/* Gives up to `capacity` bytes; returns how many, 0 at the end, -1 on failure. */
typedef ptrdiff_t (*ll_read_fn)(void *context, void *bytes, size_t capacity);

/* Caps on hostile input, all documented in docs/limits.md. */
typedef struct ll_input_limits {
    size_t nesting;        /* open elements */
    size_t text_bytes;     /* of one element */
    size_t dives;          /* in a log */
    size_t samples;        /* in a dive */
    size_t total_samples;  /* in a log */
    size_t total_bytes;    /* after gunzip */
    size_t ids;            /* mixes, tanks, sites, tank uses and links in a log */
    size_t block_bytes;    /* of a log that a crew reads: how much one of them parses at a time */
} ll_input_limits;
extern const ll_input_limits ll_input_limits_built_in;

/* Reads a UDDF log (2.1 to 3.2.x; gzip is recognised). Pulls bytes through `read` until the end.
 * On success *log is a new log, to be freed by ll_log_free. On failure *log is NULL and `error` holds a line (where one
 * is known) and one sentence: LL_BAD_INPUT (nothing usable: empty, no XML, another format, a DOCTYPE, over a cap, cut
 * short before the first whole dive, `read` failed) or LL_NO_MEMORY. `name` is copied. `allocator` NULL: the heap;
 * `limits` NULL: the built-in ones. */
ll_status ll_log_read(const char *name, ll_read_fn read, void *context, const ll_allocator *allocator,
                      const ll_input_limits *limits, ll_log **log, ll_error *error);

/* Writes the SHA-256 of all that `read` gave, as ll_digest_close does; asked for once, after `read` gave the end. */
typedef void (*ll_hash_fn)(void *context, char sha256[LL_DIGEST_TEXT]);

/* The same by a crew (NULL: alone): the log is the same. `hash`, where it is not NULL, is of a caller that hashes the bytes
 * itself, on another thread perhaps; `read` is then asked for little at a time, so it should have the bytes in memory.
 * `context` is that of both. `allocator` is asked by all of the crew. */
ll_status ll_log_read_by(const char *name, ll_read_fn read, ll_hash_fn hash, void *context, const ll_crew *crew,
                         const ll_allocator *allocator, const ll_input_limits *limits, ll_log **log, ll_error *error);

/* NULL is fine. */
void ll_log_free(ll_log *log);

/* Label of a mix: `air` (21/0 exactly), `oxygen` (>= 99.5 % O2), `EAN32` (no helium), `18/45` (O2/He in percent,
 * rounded). Writes at most `size` bytes with the terminator. */
void ll_mix_label(double o2_fraction, double he_fraction, char *label, size_t size);

#endif
