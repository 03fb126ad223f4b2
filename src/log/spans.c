/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was breathed: switches, modes and set points of a dive as spans over its samples. */
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "log/references.h"
#include "log/values.h"

/* What is in force at a sample. */
typedef struct state {
    int id; /* of the last switch, LL_NONE before any */
    int mix;
    ll_circuit circuit;
    double user_bar, computer_bar; /* NaN: none */
} state;

typedef struct loom {
    ll_reader *reader;
    ll_raw_dive *raw;
    size_t next_switch, next_mode, next_set_point;
    state now;
    ll_span *span;
    ll_switch *change;
} loom;

static const ll_mix *mixes(const ll_reader *reader)
{
    return reader->mixes.items;
}

static bool on_loop(ll_circuit circuit)
{
    return circuit == LL_CLOSED_CIRCUIT || circuit == LL_SEMICLOSED_CIRCUIT;
}

/* --- the mix at the start ------------------------------------------------------------------------------------ */

static void see_mix(int *only, size_t *seen, int mix)
{
    if (mix == LL_NONE || (*seen && mix == *only))
        return;
    ++*seen;
    *only = mix;
}

/* The only mix that the dive's tanks and links name; *seen tells how many there are. */
static int linked_mix(const ll_reader *reader, const ll_raw_dive *raw, size_t *seen)
{
    int only = LL_NONE;
    *seen = 0;
    for (size_t i = 0; i < raw->dive.tank_uses && *seen < 2; i++)
        see_mix(&only, seen, raw->dive.tank_use[i].mix);
    for (size_t i = 0; i < raw->links && *seen < 2; i++)
        see_mix(&only, seen, ll_id_find(&reader->ids, raw->link[i].id, LL_ID_MIX));
    return only;
}

/* A mix that cannot be breathed is unknown; a note tells why. */
static int usable_mix(ll_reader *reader, ll_dive *dive, int mix, long line)
{
    char shown[LL_SHOWN];
    if (mix < 0 || mixes(reader)[mix].usable)
        return mix;
    const char *id = mixes(reader)[mix].id;
    LL_NOTE_DIVE(reader, dive, LL_NOTE_MIX_UNUSABLE, line, ll_shown(shown, id, strlen(id)));
    return LL_MIX_UNKNOWN;
}

/* Where the record names no mix at its start: the only one linked, else the only one defined, else air. */
static int assumed_mix(ll_reader *reader, ll_raw_dive *raw)
{
    size_t linked, defined = reader->mixes.count - (reader->air != LL_NONE);
    int mix = linked_mix(reader, raw, &linked);
    if (linked == 0 && defined == 1)
        mix = reader->air == 0 ? 1 : 0;
    else if (linked != 1)
        mix = LL_NONE;
    if (mix == LL_NONE) {
        LL_NOTE_DIVE(reader, &raw->dive, LL_NOTE_MIX_ASSUMED_AIR, raw->dive.line);
        return ll_unnamed_air(reader);
    }
    LL_NOTE_DIVE(reader, &raw->dive, LL_NOTE_MIX_ASSUMED_LINKED, raw->dive.line, mixes(reader)[mix].label);
    return usable_mix(reader, &raw->dive, mix, raw->dive.line);
}

/* --- switches ------------------------------------------------------------------------------------------------ */

static int switched_mix(ll_reader *reader, ll_dive *dive, const ll_raw_switch *change)
{
    char said[LL_PRINTED], shown[LL_SHOWN];
    int mix = ll_refer(reader, dive, change->id, LL_ID_MIX, change->line);
    if (mix != LL_NONE)
        return usable_mix(reader, dive, mix, change->line);
    const char *text = ll_id_text(&reader->ids, change->id);
    LL_NOTE_DIVE(reader, dive, LL_NOTE_MIX_UNDEFINED, change->line, ll_number_print(said, dive->time_s[change->sample]),
                 ll_shown(shown, text, strlen(text)));
    return LL_MIX_UNKNOWN;
}

/* The last switch at a sample counts; one that names what is breathed already is none. */
static void take_switches(loom *on, size_t sample)
{
    const ll_raw_switch *last = NULL;
    while (on->next_switch < on->raw->switches && on->raw->change[on->next_switch].sample == sample)
        last = &on->raw->change[on->next_switch++];
    if (!last || last->id == on->now.id)
        return;
    ll_dive *dive = &on->raw->dive;
    int mix = switched_mix(on->reader, dive, last);
    bool first = sample == 0 && on->now.id == LL_NONE;
    if (first || mix != on->now.mix || mix == LL_MIX_UNKNOWN)
        on->change[dive->switches++] =
            (ll_switch){sample, mix, ll_id_text(&on->reader->ids, last->id), last->line};
    on->now.id = last->id;
    on->now.mix = mix;
}

static void take_modes(loom *on, size_t sample)
{
    while (on->next_mode < on->raw->modes && on->raw->mode[on->next_mode].sample == sample)
        on->now.circuit = on->raw->mode[on->next_mode++].circuit;
}

/* A set point changes no mode: one on open circuit is kept for the loop, if there is one. */
static void note_off_loop(loom *on, const ll_raw_set_point *event)
{
    ll_dive *dive = &on->raw->dive;
    char said[LL_PRINTED];
    if (on->raw->modes && event->bar > 0 && !on_loop(on->now.circuit))
        LL_NOTE_DIVE(on->reader, dive, LL_NOTE_SET_POINT_OFF_LOOP, (long)event->line,
                     ll_number_print(said, dive->time_s[event->sample]));
}

/* What only a loop has, in a dive that names no mode at all. */
static void note_unnamed_loop(ll_reader *reader, ll_raw_dive *raw)
{
    size_t first = 0;
    while (first < raw->set_points && !(raw->set_point[first].bar > 0))
        first++;
    if (raw->modes || (first == raw->set_points && raw->dive.measured_po2s == 0))
        return;
    long line = first < raw->set_points ? (long)raw->set_point[first].line : raw->dive.line;
    LL_NOTE_DIVE(reader, &raw->dive, LL_NOTE_LOOP_NOT_NAMED, line);
}

/* Two tracks, independent of each other; 0 ends one. */
static void take_set_points(loom *on, size_t sample)
{
    while (on->next_set_point < on->raw->set_points &&
           on->raw->set_point[on->next_set_point].sample == sample) {
        const ll_raw_set_point *event = &on->raw->set_point[on->next_set_point++];
        double *track = event->by_computer ? &on->now.computer_bar : &on->now.user_bar;
        *track = event->bar > 0 ? event->bar : NAN;
        note_off_loop(on, event);
    }
}

/* --- spans --------------------------------------------------------------------------------------------------- */

static double set_point(const state *now)
{
    if (!on_loop(now->circuit))
        return NAN;
    return isnan(now->user_bar) ? now->computer_bar : now->user_bar;
}

static bool continues(const ll_span *span, const state *now)
{
    double bar = set_point(now);
    return span->mix == now->mix && span->circuit == now->circuit &&
           (span->set_point_bar == bar || (isnan(span->set_point_bar) && isnan(bar)));
}

static void begin_span(loom *on, size_t sample)
{
    ll_dive *dive = &on->raw->dive;
    if (dive->spans && continues(&on->span[dive->spans - 1], &on->now))
        return;
    if (dive->spans)
        on->span[dive->spans - 1].end = sample;
    on->span[dive->spans++] =
        (ll_span){sample, dive->count, on->now.mix, on->now.circuit, set_point(&on->now)};
}

static size_t next_event(const loom *on)
{
    const ll_raw_dive *raw = on->raw;
    size_t next = raw->dive.count;
    if (on->next_switch < raw->switches && raw->change[on->next_switch].sample < next)
        next = raw->change[on->next_switch].sample;
    if (on->next_mode < raw->modes && raw->mode[on->next_mode].sample < next)
        next = raw->mode[on->next_mode].sample;
    if (on->next_set_point < raw->set_points && raw->set_point[on->next_set_point].sample < next)
        next = raw->set_point[on->next_set_point].sample;
    return next;
}

static void weave(loom *on)
{
    const ll_raw_dive *raw = on->raw;
    if (raw->switches == 0 || raw->change[0].sample != 0)
        on->now.mix = assumed_mix(on->reader, on->raw);
    for (size_t sample = 0; sample < raw->dive.count; sample = next_event(on)) {
        take_switches(on, sample);
        take_modes(on, sample);
        take_set_points(on, sample);
        begin_span(on, sample);
    }
}

bool ll_resolve_spans(ll_reader *reader, ll_raw_dive *raw)
{
    if (raw->dive.count == 0)
        return true;
    size_t most = 1 + raw->switches + raw->modes + raw->set_points;
    loom woven = {.reader = reader,
                  .raw = raw,
                  .now = {LL_NONE, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT, NAN, NAN},
                  .span = ll_arena_array(&reader->arena, most, sizeof(ll_span)),
                  .change = ll_arena_array(&reader->arena, raw->switches, sizeof(ll_switch))};
    if (!woven.span || !woven.change)
        return false;
    note_unnamed_loop(reader, raw);
    weave(&woven);
    raw->dive.span = woven.span;
    raw->dive.change = woven.change;
    return reader->error.status == LL_OK;
}
