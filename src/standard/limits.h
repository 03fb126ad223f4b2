/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The limits that findings are held against. The built-in table; a course standard replaces rows of it. */
#ifndef LL_STANDARD_LIMITS_H
#define LL_STANDARD_LIMITS_H

#include "base/quantity.h"
#include "base/settings.h"

typedef enum ll_severity { LL_NO_FINDING, LL_NOTE, LL_CAUTION, LL_SERIOUS } ll_severity;
typedef enum ll_class { LL_CONDUCT, LL_GAS, LL_DOSE, LL_CLASSES } ll_class;

typedef enum ll_kind {
    LL_FINDING_CEILING,
    LL_FINDING_SURFACED,
    LL_FINDING_ASCENT,
    LL_FINDING_OWN_STOP,
    LL_FINDING_DEPTH,        /* this and the next three: no limits without a standard */
    LL_FINDING_STOP_DEPTH,
    LL_FINDING_SWITCH_DEPTH,
    LL_FINDING_RESERVE,
    LL_FINDING_OXYGEN_HIGH,
    LL_FINDING_OXYGEN_LOW,
    LL_FINDING_DENSITY,
    LL_FINDING_NARCOSIS,
    LL_FINDING_COUNTERDIFFUSION,
    LL_FINDING_CNS,
    LL_FINDING_OTU,
    LL_FINDING_KINDS
} ll_kind;

extern const char *const ll_severity_names[4]; /* "none", "note", "caution", "serious" */
extern const char *const ll_class_names[3];    /* "conduct", "gas", "dose" */

/* One kind's limits; NaN where a severity has none. Caution and serious are at or beyond note in the kind's direction. */
typedef struct ll_limit {
    double note, caution, serious;
    ll_origin origin;
    const char *source; /* a publication, or "common practice, no source"; the name of the standard that gave the values */
} ll_limit;

typedef struct ll_kind_row {
    const char *key;   /* "oxygen-high" */
    ll_class class;
    const char *label; /* in running text */
    const char *unit;
    ll_limit limit;
} ll_kind_row;

extern const ll_kind_row ll_kind_table[LL_FINDING_KINDS];

/* Whether findings of a kind lie over their limit or under it. */
ll_direction ll_limit_direction(ll_kind kind);

/* PO2 (atm) beyond which the bottom phase has a caution of its own. */
extern const ll_limit ll_bottom_oxygen_limit;

/* A switch on the ascent is looked at for counterdiffusion deeper than this. */
#define LL_COUNTERDIFFUSION_BELOW_M 30.0

typedef struct ll_limits {
    ll_limit of[LL_FINDING_KINDS];
    ll_limit bottom_oxygen;
} ll_limits;

void ll_limits_built_in(ll_limits *limits);

#endif
