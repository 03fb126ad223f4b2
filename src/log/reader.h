/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The state of reading one log, shared by the files that handle its elements. The parser itself is seen by parse.c,
 * part.c, parser.c, names.c and problems.c only: the first calls `begin` and `end` of the rows in elements.def. A handler
 * that fails sets the status through ll_stop; after that no other handler is called. */
#ifndef LL_LOG_READER_H
#define LL_LOG_READER_H

#include "log/elements.h"
#include "log/ids.h"
#include "log/list.h"
#include "log/log.h"
#include "log/names.h"
#include "log/source.h"

/* --- what a dive leaves behind until it ends; places are those of raw samples, later of samples -------------- */

typedef struct ll_raw_sample {
    double time_s, depth_m, temperature_c; /* NaN where missing */
    uint32_t line;
    uint32_t place; /* in file order */
} ll_raw_sample;

#define LL_DROPPED UINT32_MAX /* a sample that is no longer there */

typedef struct ll_raw_switch {
    uint32_t sample;
    int id;
    long line;
} ll_raw_switch;

typedef struct ll_raw_mode {
    uint32_t sample;
    ll_circuit circuit;
} ll_raw_mode;

typedef struct ll_raw_set_point {
    uint32_t sample;
    uint32_t line;
    double bar; /* 0: none from here on; as written until the log ends */
    bool by_computer;
} ll_raw_set_point;

typedef struct ll_reading {
    uint32_t sample;
    uint32_t series;
    double value;
} ll_reading;

typedef enum ll_readings {
    LL_READ_TANK,
    LL_READ_MEASURED,
    LL_READ_CALCULATED,
    LL_READ_NO_STOP,
    LL_READ_GRADIENT,
    LL_READ_CNS,
    LL_READ_OTU,
    LL_READINGS
} ll_readings;

/* What a decision on the unit of values needs to know of them (units.h). Zero-initialise. */
typedef struct ll_extent {
    double least, greatest;
    size_t count, zeros;
    long line, zero_line; /* of the first value, and of the first 0 */
} ll_extent;

/* Values whose unit is settled once for the file: they stand as written until the log ends. */
typedef enum ll_written {
    LL_WRITTEN_TEMPERATURE,
    LL_WRITTEN_LOWEST,
    LL_WRITTEN_MEASURED,
    LL_WRITTEN_CALCULATED,
    LL_WRITTEN_SET_POINT,
    LL_WRITTEN_GRADIENT,
    LL_WRITTENS
} ll_written;

typedef struct ll_column {
    double *value;
    size_t count;
} ll_column;

/* One kind of readings: its series by the id that the values name (LL_NONE where they name none). */
typedef struct ll_raw_series {
    int id;
    uint32_t last; /* sample of its last reading */
    size_t count;  /* of readings kept, once the dive ended */
    ll_extent extent;
} ll_raw_series;

typedef struct ll_raw_readings {
    ll_list series; /* of ll_raw_series */
    ll_list values; /* of ll_reading */
    size_t latest;  /* series of the last reading */
} ll_raw_readings;

/* The series made of one kind of readings. */
typedef struct ll_made_series {
    size_t count;
    ll_series *series;
    int *id;           /* one each */
    ll_column values;  /* of all of them, one after the other */
} ll_made_series;

typedef struct ll_link {
    int id;
    bool to_use, to_mix; /* of a kind that must name a tank use, or a mix */
    long line;
} ll_link;

enum { LL_USE_LINKS = 4 };

/* A `tankdata` record before its links are followed. */
typedef struct ll_raw_use {
    int id;
    long line;
    size_t links;
    ll_link link[LL_USE_LINKS];
    double volume_l, begin_bar, end_bar;
} ll_raw_use;

/* A dive whose references are not followed yet. Lives in the scratch arena; the columns in the log's. */
typedef struct ll_raw_dive {
    ll_dive dive;
    size_t switches, modes, set_points, uses, links;
    ll_raw_switch *change;
    const ll_raw_mode *mode;
    ll_raw_set_point *set_point;
    ll_raw_use *use;
    ll_link *link;
    ll_made_series pressure;
    ll_column temperature, measured, calculated, gradient; /* the values of the dive, all series together */
} ll_raw_dive;

/* --- the reader ---------------------------------------------------------------------------------------------- */

/* Kept out of the functions that call it: what is rare shall not cost every element of a log. */
#define LL_SELDOM __attribute__((noinline, cold))

typedef struct ll_reader {
    const ll_allocator *allocator;
    const ll_input_limits *limits;
    ll_source *source;
    struct ll_shares *shares;       /* NULL: all is parsed here */
    long lines_before;              /* of the log, before the parser's first one */
    void *parser, *undefined_entity;
    ll_log *log;
    ll_arena arena;   /* the log's */
    ll_arena scratch; /* until the log is whole */
    ll_error error;   /* status LL_OK while nothing failed */
    bool met_failure; /* the parser came to where reading failed */
    bool cut_short;   /* the data ended before the log did */
    long end_line;    /* where the root element ended; 0 while it did not */
    bool more_follows, second_document; /* behind that end */

    /* where in the document */
    ll_row row;
    size_t depth;   /* open elements */
    size_t skipped; /* open elements from the skipped one on; 0: nothing is skipped */
    const unsigned char **attributes; /* of the element that begins, as the parser gives them */
    int attribute_count;
    ll_names names;

    /* text of the element that is open, if its row gathers */
    char *text;
    size_t text_size, text_capacity;

    double fact[LL_FACTS];
    uint8_t fact_rank[LL_FACTS]; /* how good the place was where it stood; 0: missing */
    const char *word[LL_WORDS];

    /* the log as a whole */
    ll_ids ids;
    ll_ids alike; /* references.c: the same, alike ones together; made when first asked for */
    bool has_alike;
    ll_list mixes, tanks, sites; /* of ll_mix, ll_tank, ll_site */
    ll_list shared_uses;         /* of ll_raw_use, from gasdefinitions */
    ll_list dives;               /* of ll_raw_dive */
    ll_extent extent[LL_WRITTENS];
    size_t factor_pairs, total_samples, counted;
    int air; /* place of the air that no log names, or LL_NONE */
    ll_notes notes;

    /* the dive that is open */
    bool in_dive;
    ll_dive dive;
    uint8_t start_rank;
    ll_list samples, switches, modes, set_points, own_stops, alarms, uses, links;
    ll_raw_readings readings[LL_READINGS];
    ll_list places; /* of uint32_t: raw sample to sample */
    int id;         /* what the reading, tank, site, mix or set point that is open names or is */
    bool by_computer;
    ll_raw_use use;
} ll_reader;

/* --- plumbing (parse.c, reader.c) ---------------------------------------------------------------------------- */

/* Its allocator and limits are set. */
void ll_reader_open(ll_reader *reader);
/* Frees what is not the log's: its arena stays. */
void ll_reader_close(ll_reader *reader);

/* Parses the document that the source gives; what there is to say stands in reader->error. Errors that the parser would
 * print itself come there too, for this thread and this call. */
void ll_parse(ll_reader *reader);

/* Up to `capacity` bytes of the log that were not parsed; 0 at the end, -1 on failure. */
ptrdiff_t ll_take(ll_reader *reader, void *bytes, size_t capacity);
/* True once every byte was taken. */
bool ll_is_spent(const ll_reader *reader);

/* Line of the document where the parser is. */
long ll_line(const ll_reader *reader);

/* Ends reading with a sentence; the first one stays. */
void ll_stop(ll_reader *reader, ll_status status, const char *format, ...) __attribute__((format(printf, 3, 4)));
void ll_stop_no_memory(ll_reader *reader);

/* Counts one more mix, tank, site, tank use or link; stops at the cap. */
bool ll_count_one(ll_reader *reader);

/* --- values (values.c) is declared in log/values.h ----------------------------------------------------------- */

/* --- handlers named in elements.def -------------------------------------------------------------------------- */

void ll_end_number(ll_reader *reader);
void ll_end_word(ll_reader *reader);

/* sections.c */
void ll_begin_uddf(ll_reader *reader);
void ll_begin_owner(ll_reader *reader);
void ll_end_owner(ll_reader *reader);
void ll_begin_tank(ll_reader *reader);
void ll_end_tank(ll_reader *reader);
void ll_begin_site(ll_reader *reader);
void ll_end_site(ll_reader *reader);
void ll_begin_buehlmann(ll_reader *reader);
void ll_end_buehlmann(ll_reader *reader);

/* mix.c */
void ll_begin_mix(ll_reader *reader);
void ll_end_mix(ll_reader *reader);
/* Place of the air that no log names, added to the log's mixes when first asked for; LL_NONE if memory ran out. */
int ll_unnamed_air(ll_reader *reader);

/* use.c */
void ll_begin_use(ll_reader *reader);
void ll_end_use(ll_reader *reader);
void ll_begin_part_link(ll_reader *reader);
void ll_begin_dive_link(ll_reader *reader);
void ll_begin_use_link(ll_reader *reader);
void ll_begin_mix_link(ll_reader *reader);

/* dive.c */
void ll_begin_dive(ll_reader *reader);
void ll_end_dive(ll_reader *reader);
void ll_begin_infinity(ll_reader *reader);
void ll_end_passed(ll_reader *reader);

/* dates.c */
void ll_end_datetime(ll_reader *reader);
/* At the end of a dive: its start from parts where no text gave it. */
void ll_take_start(ll_reader *reader);
/* A fact that must be a whole number of at most nine digits; -1 if it is none. */
int ll_whole_fact(const ll_reader *reader, ll_fact fact);

/* waypoint.c */
void ll_begin_waypoint(ll_reader *reader);
void ll_end_waypoint(ll_reader *reader);
void ll_begin_tank_pressure(ll_reader *reader);
void ll_end_tank_pressure(ll_reader *reader);
void ll_begin_measured_po2(ll_reader *reader);
void ll_end_measured_po2(ll_reader *reader);
void ll_end_calculated_po2(ll_reader *reader);
void ll_end_no_stop(ll_reader *reader);
void ll_end_own_gradient(ll_reader *reader);
void ll_end_own_cns(ll_reader *reader);
void ll_end_own_otu(ll_reader *reader);

/* states.c */
void ll_begin_set_point(ll_reader *reader);
void ll_end_set_point(ll_reader *reader);
void ll_begin_switch(ll_reader *reader);
void ll_begin_mode(ll_reader *reader);
void ll_begin_own_stop(ll_reader *reader);
void ll_end_alarm(ll_reader *reader);

/* --- stages at the end of a dive and of the log -------------------------------------------------------------- */

/* sort.c: items of `size` bytes that begin with a uint32_t sample, by rising sample; equal ones stay in their order.
 * `room` has the same size. */
void ll_sort_by_sample(void *items, void *room, size_t count, size_t size);

/* Such items from raw samples to samples, sorted; those whose sample was left out go. False if memory ran out. */
bool ll_place_items(ll_reader *reader, ll_list *items, size_t size);

/* order.c: puts the raw samples in order, merges and fills them, and leaves in `places` what became of each: readings of
 * a sample that was left out are lost with it. */
bool ll_order_samples(ll_reader *reader);
/* From here on what a sample that was left out says holds from the next one in the file. */
void ll_pass_on(ll_reader *reader);

/* spikes.c: bridges spikes; calls `found` with the first and last sample of each. */
typedef bool (*ll_spike_fn)(void *context, size_t first, size_t last);
bool ll_bridge_spikes(const double *time_s, double *depth_m, size_t count, ll_spike_fn found, void *context);

/* doubts.c: notes on what the samples of the open dive cannot tell: gaps, steps that are no spike, a depth that stands
 * still as no diver does. Nothing is changed. */
void ll_note_doubts(ll_reader *reader);

/* series.c: the readings of a kind as series over the ordered samples. False if memory ran out. */
bool ll_series_make(ll_reader *reader, ll_readings kind, ll_made_series *made);
/* Series of the same tank use become one. False if memory ran out. */
bool ll_series_merge(ll_reader *reader, ll_series *series, size_t *count);

/* tanks.c: follows the links of a dive: site, tank uses, tank of each pressure series. */
bool ll_resolve_tanks(ll_reader *reader, ll_raw_dive *raw);

/* spans.c: switches, modes and set points as spans. */
bool ll_resolve_spans(ll_reader *reader, ll_raw_dive *raw);

/* finish.c: follows all references and fills the log. */
bool ll_finish_log(ll_reader *reader);

#endif
