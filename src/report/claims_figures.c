/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the figures of a page say they were made. A member that is not known is passed over: the comparison meets it. */
#include <math.h>
#include <string.h>

#include "report/claims_members.h"

#define MOST_OF_A_LIMIT 1000.0 /* in any unit */

static ll_status take_inputs(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    ll_claims *claims = in->claims;
    char *items = target;
    ll_status status = ll_take_claim_list(in, row, sizeof *claims->input, &items, &claims->inputs);
    const ll_claimed_input *input = (const void *)items;
    for (size_t i = 0; status == LL_OK && i < claims->inputs; i++)
        if (!input[i].name || !input[i].sha256)
            status = ll_claim_fail(in, row, "the name and SHA-256 of each log");
    claims->input = input;
    return status;
}

static ll_status take_dives(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    char *items = target;
    ll_status status = ll_take_claim_list(in, row, sizeof *in->claims->dive, &items, &in->claims->dives);
    in->claims->dive = (const void *)items;
    return status;
}

/* --- limits ----------------------------------------------------------------------------------------------------- */

/* A limit as a page names it. */
typedef struct named_limit {
    const char *kind;
    double note, caution, serious;
    ll_origin origin;
} named_limit;

static const ll_claim_member limit_members[] = {
    {"kind", ll_take_claim_text, offsetof(named_limit, kind), NULL},
    {"note", ll_take_claim_number, offsetof(named_limit, note), NULL},
    {"caution", ll_take_claim_number, offsetof(named_limit, caution), NULL},
    {"serious", ll_take_claim_number, offsetof(named_limit, serious), NULL},
    {"origin", ll_take_claim_origin, offsetof(named_limit, origin), NULL},
    {NULL, NULL, 0, NULL},
};

/* As a course standard may have it: each weight at or beyond the one before. */
static bool is_limit(const named_limit *named, ll_direction direction)
{
    const double values[] = {named->note, named->caution, named->serious};
    double before = NAN;
    for (int i = 0; i < 3; i++) {
        if (isnan(values[i]))
            continue;
        if (!(values[i] >= 0 && values[i] <= MOST_OF_A_LIMIT))
            return false;
        if (direction == LL_LOWER_LIMIT ? values[i] > before : values[i] < before)
            return false;
        before = values[i];
    }
    return true;
}

/* Its source is what stands behind an origin, whatever the page says: the built-in one, or the standard. */
static bool put_limit(ll_claims *claims, const named_limit *named)
{
    for (int kind = 0; named->kind && kind < LL_FINDING_KINDS; kind++) {
        if (strcmp(ll_kind_table[kind].key, named->kind) != 0)
            continue;
        if (!is_limit(named, ll_limit_direction((ll_kind)kind)))
            return false;
        const char *source = named->origin == LL_FROM_STANDARD ? claims->standard.name : NULL;
        claims->limits.of[kind] = (ll_limit){named->note, named->caution, named->serious, named->origin,
                                             source ? source : ll_kind_table[kind].limit.source};
    }
    return true;
}

static ll_status take_limits(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    const ll_claim_member item = {row->key, NULL, 0, limit_members};
    ll_status status = LL_OK;
    (void)target;
    if (in->json.token != LL_JSON_ARRAY)
        return ll_claim_fail(in, row, "a list");
    while (status == LL_OK && ll_json_read(&in->json) != LL_JSON_ARRAY_END) {
        named_limit named = {NULL, NAN, NAN, NAN, LL_BUILT_IN};
        status = ll_take_claim_object(in, &item, (char *)&named);
        if (status == LL_OK && !put_limit(in->claims, &named))
            status = ll_claim_fail(in, row, "values from 0 to 1000, each at or beyond the one before");
    }
    return status;
}

/* --- the whole -------------------------------------------------------------------------------------------------- */

#define SETTING(name) (offsetof(ll_claims, settings) + offsetof(ll_settings, name))
#define STANDARD(name) (offsetof(ll_claims, standard) + offsetof(ll_standard, name))

/* A schema that stands first is looked at first. */
static ll_status take_schema(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    (void)target;
    if (ll_claim_is(in, "leadline-debrief-1"))
        return LL_OK;
    if (ll_claim_is(in, "leadline-review-1") || ll_claim_is(in, "leadline-audit-1"))
        return ll_claim_fail(in, row, "leadline-debrief-1; the page of a review or an audit cannot be verified yet");
    return ll_claim_fail(in, row, "leadline-debrief-1, the one that this program verifies");
}

static const ll_claim_member origin_members[] = {
    {"model", ll_take_claim_origin, SETTING(model_origin), NULL},
    {"gf", ll_take_claim_origin, SETTING(gf_origin), NULL},
    {"water", ll_take_claim_origin, SETTING(water_origin), NULL},
    {"surface", ll_take_claim_origin, SETTING(surface_origin), NULL},
    {"narcotic_oxygen", ll_take_claim_origin, SETTING(narcotic_origin), NULL},
    {"last_stop", ll_take_claim_origin, SETTING(last_stop_origin), NULL},
    {"rmv", ll_take_claim_origin, SETTING(rmv_origin), NULL},
    {NULL, NULL, 0, NULL},
};
static const ll_claim_member standard_members[] = {
    {"name", ll_take_claim_text, STANDARD(file), NULL},
    {"sha256", ll_take_claim_digest, STANDARD(sha256), NULL},
    {NULL, NULL, 0, NULL},
};
static const ll_claim_member setting_members[] = {
    {"model", ll_take_claim_model, SETTING(model), NULL},
    {"gf_low", ll_take_claim_number, SETTING(gf_low_percent), NULL},
    {"gf_high", ll_take_claim_number, SETTING(gf_high_percent), NULL},
    {"water_kg_m3", ll_take_claim_number, SETTING(water_kg_m3), NULL},
    {"narcotic_oxygen", ll_take_claim_bool, SETTING(narcotic_oxygen), NULL},
    {"last_stop_m", ll_take_claim_number, SETTING(last_stop_m), NULL},
    {"standard", ll_take_claim_text, STANDARD(name), NULL},
    {"surface_bar", ll_take_claim_number, SETTING(surface_bar), NULL},
    {"gf_from_log", ll_take_claim_bool, SETTING(gf_from_log), NULL},
    {"water_from_log", ll_take_claim_water, SETTING(water), NULL},
    {"assume_air", ll_take_claim_bool, SETTING(assume_air), NULL},
    {"rmv_l_min", ll_take_claim_number, SETTING(rmv_l_min), NULL},
    {"standard_file", ll_take_claim_object, 0, standard_members},
    {"origins", ll_take_claim_object, 0, origin_members},
    {NULL, NULL, 0, NULL},
};
static const ll_claim_member input_members[] = {
    {"name", ll_take_claim_text, offsetof(ll_claimed_input, name), NULL},
    {"sha256", ll_take_claim_text, offsetof(ll_claimed_input, sha256), NULL},
    {NULL, NULL, 0, NULL},
};
static const ll_claim_member dive_members[] = {{"number", ll_take_claim_whole, 0, NULL}, {NULL, NULL, 0, NULL}};
static const ll_claim_member page_members[] = {
    {"schema", take_schema, 0, NULL},
    {"version", ll_take_claim_text, offsetof(ll_claims, version), NULL},
    {"settings", ll_take_claim_object, 0, setting_members},
    {"inputs", take_inputs, 0, input_members},
    {"dives", take_dives, 0, dive_members},
    {"limits", take_limits, 0, NULL},
    {NULL, NULL, 0, NULL},
};

ll_status ll_claims_figures(ll_claims *claims, ll_arena *arena, ll_error *error)
{
    static const ll_claim_member page = {"the page", NULL, 0, page_members};
    ll_claim_reading in = {.arena = arena, .error = error, .claims = claims};
    ll_json_read_open(&in.json, claims->figures.bytes, claims->figures.size);
    ll_json_read(&in.json);
    ll_status status = ll_take_claim_object(&in, &page, (char *)claims);
    if (status == LL_OK && (!claims->version || claims->inputs == 0))
        return ll_fail(error, LL_BAD_INPUT, 0, "the page does not name the version or the logs that it was made from");
    if (status == LL_OK && claims->standard.name)
        claims->settings.standard = &claims->standard;
    if (status == LL_OK && !claims->standard.file)
        claims->standard.file = "";
    return status;
}
