/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every JSON output is parsed by jansson, a general JSON library, and held against the promised keys. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>
#include <jansson.h>

#include "allocator.h"
#include "close.h"
#include "report/json.h"
#include "report/words.h"
#include "report_world.h"

static world w;

static int open_world(void **state)
{
    (void)state;
    world_open(&w);
    return 0;
}

static int close_world(void **state)
{
    (void)state;
    world_close(&w);
    return 0;
}

/* --- the writer ----------------------------------------------------------------------------------------------- */

static json_t *parse(const char *text)
{
    json_error_t error;
    json_t *root = json_loads(text, JSON_REJECT_DUPLICATES | JSON_DISABLE_EOF_CHECK, &error);
    if (!root)
        fail_msg("jansson, at %d: %s", error.position, error.text);
    return root;
}

/* `string` as a JSON string, parsed back by jansson. */
static const char *through_json(const char *string, char *back, size_t size)
{
    w.out.size = 0;
    ll_json json = {&w.out, false};
    ll_json_open(&json, NULL, '[');
    ll_json_string(&json, NULL, string);
    ll_json_close(&json, ']');
    json_t *root = parse(world_text(&w));
    const char *value = json_string_value(json_array_get(root, 0));
    assert_non_null(value);
    assert_true(strlen(value) < size);
    strcpy(back, value);
    json_decref(root);
    return back;
}

static void strings_come_back(void **state)
{
    (void)state;
    static const char *const strings[] = {"",
                                          "plain",
                                          "\"quoted\" \\ back",
                                          "tab\tline\nreturn\r",
                                          "\x01\x1F\x7F bell\x07",
                                          "\xC3\xB8 \xE2\x82\xAC \xF0\x9F\x90\x9F",
                                          "\xE2\x80\xA8\xE2\x80\xA9",
                                          "</script>"};
    char back[64];
    for (size_t i = 0; i < sizeof strings / sizeof *strings; i++)
        assert_string_equal(through_json(strings[i], back, sizeof back), strings[i]);
}

/* RFC 3629: overlong forms, surrogates, values over U+10FFFF and cut sequences are no UTF-8. */
static void bytes_that_are_no_text_are_replaced(void **state)
{
    (void)state;
#define R "\xEF\xBF\xBD"
    static const char *const rows[][2] = {
        {"a\xFFz", "a" R "z"},          {"\xC0\xAF", R R},
        {"\xED\xA0\x80", R R R},        {"\xF4\x90\x80\x80", R R R R},
        {"cut \xE2\x82", "cut " R R},   {"\x80", R},
        {"\xC3\xC3\xB8", R "\xC3\xB8"}, {"\xF8\x88\x80\x80\x80", R R R R R},
    };
#undef R
    char back[64];
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        assert_string_equal(through_json(rows[i][0], back, sizeof back), rows[i][1]);
}

static void control_characters_are_escaped(void **state)
{
    (void)state;
    ll_json json = {&w.out, false};
    ll_json_string(&json, NULL, "\x1B\x01\n\x7F\xE2\x80\xA8\xE2\x80\xA9");
    assert_string_equal(world_text(&w), "\"\\u001b\\u0001\\n\\u007f\\u2028\\u2029\"");
}

static void numbers_have_twelve_digits(void **state)
{
    (void)state;
    ll_json json = {&w.out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_number(&json, "third", 1.0 / 3);
    ll_json_number(&json, "none", NAN);
    ll_json_number(&json, "endless", INFINITY);
    ll_json_number(&json, "nought", -0.0);
    ll_json_number(&json, "small", 1e-7);
    ll_json_open(&json, "empty", '[');
    ll_json_close(&json, ']');
    ll_json_whole(&json, "whole", 4000000000u);
    ll_json_bool(&json, "yes", true);
    ll_json_null(&json, "null");
    ll_json_close(&json, '}');
    assert_string_equal(world_text(&w),
                        "{\"third\":0.333333333333,\"none\":null,\"endless\":null,\"nought\":0,\"small\":1e-07,"
                        "\"empty\":[],\"whole\":4000000000,\"yes\":true,\"null\":null}");
}

/* --- debrief -------------------------------------------------------------------------------------------------- */

static json_t *debrief_json(void)
{
    w.out.size = 0;
    ll_json_head(&w.out, &w.history, &w.look);
    ll_json_debrief(&w.out, &w.debrief, &w.look, true);
    ll_json_debrief(&w.out, &w.debrief, &w.look, false);
    ll_json_foot(&w.out, &w.history, &w.limits, &w.look);
    return parse(world_text(&w));
}

static json_t *first_dive(json_t *root)
{
    return json_array_get(json_object_get(root, "dives"), 0);
}

/* The promised keys stand in this order; more may stand behind or between them. */
static void assert_keys_in_order(json_t *object, const char *const *keys)
{
    assert_true(json_is_object(object));
    for (void *at = json_object_iter(object); at && *keys; at = json_object_iter_next(object, at))
        if (strcmp(json_object_iter_key(at), *keys) == 0)
            keys++;
    if (*keys)
        fail_msg("key '%s' is missing or out of order", *keys);
}

static json_t *at_path(json_t *from, const char *first, const char *second)
{
    json_t *found = json_object_get(from, first);
    return second ? json_object_get(found, second) : found;
}

static void promised_keys_stand_in_order(void **state)
{
    (void)state;
    json_t *root = debrief_json(), *dive = first_dive(root);
    assert_int_equal(json_array_size(json_object_get(root, "dives")), 2);
    assert_keys_in_order(root, (const char *const[]){"schema", "version", "settings", "dives", "cautions", NULL});
    assert_keys_in_order(json_object_get(root, "settings"),
                         (const char *const[]){"model", "gf_low", "gf_high", "water_kg_m3", "narcotic_oxygen",
                                               "last_stop_m", "standard", NULL});
    assert_keys_in_order(dive, (const char *const[]){"number",
                                                     "id",
                                                     "start",
                                                     "diver",
                                                     "site",
                                                     "file",
                                                     "run_time_s",
                                                     "record_s",
                                                     "greatest_depth_m",
                                                     "mean_depth_m",
                                                     "mixes",
                                                     "switches",
                                                     "peaks",
                                                     "decompression",
                                                     "surfacing",
                                                     "cns_percent",
                                                     "otu",
                                                     "gas",
                                                     "findings",
                                                     "notes",
                                                     NULL});
    assert_keys_in_order(json_object_get(dive, "peaks"),
                         (const char *const[]){"po2_atm", "end_n2_m", "end_n2o2_m", "density_g_l", "ascent_rate_m_min",
                                               "ceiling_m", "gradient_percent", NULL});
    assert_keys_in_order(
        json_object_get(dive, "decompression"),
        (const char *const[]){"required", "ascent_start_s", "owed_s", "time_to_surface_s", "deepest_stop_m", NULL});
    assert_keys_in_order(json_object_get(dive, "surfacing"),
                         (const char *const[]){"time_s", "gradient_percent", "leading_compartment", "ceiling_m", NULL});
    assert_keys_in_order(json_object_get(dive, "cns_percent"),
                         (const char *const[]){"start", "end", "last_24_h", "lower_bound", NULL});
    assert_keys_in_order(json_object_get(dive, "otu"), (const char *const[]){"dive", "day", NULL});
    assert_keys_in_order(json_array_get(json_object_get(dive, "findings"), 0),
                         (const char *const[]){"kind", "severity", "class", "from_s", "to_s", "beyond_s", "peak",
                                               "peak_s", "limit", "unit", "text", NULL});
    assert_keys_in_order(json_array_get(json_object_get(dive, "notes"), 0),
                         (const char *const[]){"code", "line", "text", NULL});
    json_decref(root);
}

static void later_keys_are_left_out(void **state)
{
    (void)state;
    json_t *root = debrief_json(), *dive = first_dive(root);
    json_t *finding = json_array_get(json_object_get(dive, "findings"), 0);
    assert_null(json_object_get(finding, "firm"));
    assert_null(json_object_get(finding, "firm_severity"));
    assert_null(json_object_get(finding, "hangs_on"));
    json_decref(root);
}

static void assert_text(json_t *value, const char *expected)
{
    assert_true(json_is_string(value));
    assert_string_equal(json_string_value(value), expected);
}

static void debrief_says_what_it_was_given(void **state)
{
    (void)state;
    json_t *root = debrief_json(), *dive = first_dive(root);
    assert_text(json_object_get(root, "schema"), "leadline-debrief-1");
    assert_text(json_object_get(root, "version"), ll_version);
    assert_text(at_path(root, "settings", "model"), "zh-l16c");
    assert_true(json_is_null(at_path(root, "settings", "standard")));
    assert_text(at_path(json_object_get(root, "settings"), "origins", "gf"), "built-in");
    assert_text(json_object_get(json_array_get(json_object_get(root, "inputs"), 0), "sha256"), w.log.sha256);
    assert_int_equal(json_integer_value(json_object_get(dive, "number")), 2);
    assert_text(json_object_get(dive, "id"), "d7");
    assert_text(json_object_get(dive, "start"), "2026-05-03T09:12:00+02:00");
    assert_text(json_object_get(dive, "diver"), "Ragna Lysefjell");
    assert_text(json_object_get(dive, "site"), "Skiferholt quarry");
    assert_text(json_object_get(dive, "file"), "skiferholt.uddf");
    assert_close(json_number_value(json_object_get(dive, "mean_depth_m")), 26.48, 0, 1e-12);
    assert_text(json_object_get(json_array_get(json_object_get(dive, "switches"), 1), "to"), "deco2");
    const json_t *last = json_array_get(json_object_get(dive, "levels"), 1);
    assert_close(json_number_value(json_object_get(last, "short_s")), 690, 0, 1e-12);
    assert_text(json_object_get(last, "mix"), "deco2");
    assert_close(json_number_value(at_path(json_object_get(dive, "asked_and_kept"), "last_metres", "rate_m_min")), 1.2214, 0,
                 1e-12);
    assert_true(json_is_null(json_object_get(json_array_get(json_object_get(dive, "slate"), 3), "leaving_s")));
    assert_text(json_object_get(json_array_get(json_object_get(dive, "switches"), 1), "mod_origin"), "stated-depth");
    assert_text(json_object_get(json_array_get(json_object_get(dive, "mixes"), 0), "label"), "18/45");
    assert_close(json_number_value(at_path(json_object_get(dive, "peaks"), "po2_atm", "value")), 1.5672, 0, 1e-12);
    assert_true(json_is_true(at_path(dive, "decompression", "required")));
    assert_int_equal(json_integer_value(at_path(dive, "surfacing", "leading_compartment")), 5);
    assert_true(json_is_false(at_path(dive, "cns_percent", "lower_bound")));
    assert_text(at_path(json_object_get(dive, "replayed_with"), "origins", "surface"), "log");
    json_decref(root);
}

static void a_lower_bound_is_told(void **state)
{
    (void)state;
    w.debrief.cns_lower_bound = true;
    json_t *root = debrief_json();
    assert_true(json_is_true(at_path(first_dive(root), "cns_percent", "lower_bound")));
    json_decref(root);
}

/* The figures of 18/45 to EAN28 at 36 m. */
static const ll_exchange exchange = {36, 0, 1, 0.35, 0.45, 1.614, 2.076};

static void otu_and_counterdiffusion_in_words(void **state)
{
    (void)state;
    w.finding[0] = (ll_finding){.kind = LL_FINDING_COUNTERDIFFUSION, .severity = LL_NOTE, .from_s = 1680, .to_s = 1680,
                                .peak = 0.26, .peak_s = 1680, .gradient_percent = NAN, .exchange = &exchange, .counted = true};
    w.finding[1] = (ll_finding){.kind = LL_FINDING_OTU, .severity = LL_NOTE, .from_s = 3000, .to_s = 4080, .beyond_s = 1080,
                                .peak = 83.6, .peak_s = 4080, .limit = 80, .gradient_percent = NAN, .counted = true};
    json_t *root = debrief_json(), *dive = first_dive(root), *findings = json_object_get(dive, "findings");
    json_t *first = json_array_get(findings, 0), *second = json_array_get(findings, 1);
    assert_text(json_object_get(first, "unit"), "fraction");
    assert_close(json_number_value(at_path(first, "exchange", "he_fall_bar")), 2.076, 0, 1e-12);
    assert_text(json_object_get(first, "text"),
                "Switch from 18/45 to EAN50 at 36.0 m at run time 27:00: nitrogen up by 35.0 points (1.61 bar), helium down by "
                "45.0 points (2.08 bar); nitrogen rises by 26.0 points more than a fifth of the fall of helium (information "
                "only, the rule is disputed).");
    assert_text(json_object_get(second, "text"),
                "OTU over 80 % of the allowance for 2 diving days in a row (1400 OTU) from run time 49:00 to 67:00, 18 min in "
                "all; highest 84 % at 67:00.");
    assert_null(json_object_get(second, "exchange"));
    assert_int_equal(json_integer_value(at_path(dive, "otu", "days_in_row")), 2);
    assert_close(json_number_value(at_path(dive, "otu", "days_in_row_sum")), 205.4, 0, 1e-12);
    assert_close(json_number_value(at_path(dive, "otu", "allowance")), 1400, 0, 0);
    json_decref(root);
}

/* What only a standard limits names the level, the mix and the tank. */
static void depths_and_reserve_in_words(void **state)
{
    (void)state;
    static const ll_deep_switch deep = {26.5, 1, {22.3, LL_MOD_BUILT_IN}};
    const ll_tank tank = {.id = "t1", .name = "back"};
    const ll_tank_use use = {.id = "u1", .tank = 0, .mix = 0};
    const ll_series named = {.tank_use = 0}, unnamed = {.tank_use = LL_NONE};
    w.log.tanks = 1;
    w.log.tank = &tank;
    w.dive.tank_uses = 1;
    w.dive.tank_use = &use;
    const ll_finding shown[] = {
        {.kind = LL_FINDING_STOP_DEPTH, .severity = LL_NOTE, .from_s = 3200, .to_s = 3230, .beyond_s = 30, .peak = 0.9,
         .peak_s = 3210, .limit = 0.5, .gradient_percent = NAN, .nominal_m = 6, .depth_m = 5.1},
        {.kind = LL_FINDING_SWITCH_DEPTH, .severity = LL_SERIOUS, .from_s = 2000, .to_s = 2000, .peak = 4.2, .peak_s = 2000,
         .limit = 1, .gradient_percent = NAN, .deep = &deep},
        {.kind = LL_FINDING_RESERVE, .severity = LL_CAUTION, .from_s = 2000, .to_s = 2600, .beyond_s = 600, .peak = 42,
         .peak_s = 2600, .limit = 50, .gradient_percent = NAN, .tank = &named},
        {.kind = LL_FINDING_RESERVE, .severity = LL_CAUTION, .from_s = 2000, .to_s = 2600, .beyond_s = 600, .peak = 42,
         .peak_s = 2600, .limit = 50, .gradient_percent = NAN, .tank = &unnamed},
    };
    memcpy(w.finding, shown, sizeof shown);
    json_t *root = debrief_json(), *findings = json_object_get(first_dive(root), "findings");
    assert_text(json_object_get(json_array_get(findings, 0), "text"),
                "Off the level of 6 m by more than 0.5 m from run time 52:20 to 52:50, 30 s in all; farthest 0.9 m shallower at "
                "52:30.");
    assert_text(json_object_get(json_array_get(findings, 1), "text"),
                "Switch to EAN50 at 26.5 m at run time 32:20: 4.2 m deeper than its greatest depth of 22.3 m (at 1.6 atm).");
    assert_text(json_object_get(json_array_get(findings, 2), "text"),
                "Tank pressure under 50 bar in back (18/45) from run time 32:20 to 42:20, 10 min in all; lowest 42 bar at "
                "42:20.");
    assert_text(json_object_get(json_array_get(findings, 2), "tank"), "back");
    assert_text(json_object_get(json_array_get(findings, 3), "text"),
                "Tank pressure under 50 bar in a tank without a name from run time 32:20 to 42:20, 10 min in all; lowest 42 bar "
                "at 42:20.");
    assert_true(json_is_null(json_object_get(json_array_get(findings, 3), "tank")));
    assert_null(json_object_get(json_array_get(findings, 0), "tank"));
    json_decref(root);
}

static void findings_and_notes_in_words(void **state)
{
    (void)state;
    static const char *const texts[WORLD_FINDINGS] = {
        "Gas density over 5.2 g/L from run time 7:40 to 24:40, 16 min 30 s of it beyond; highest 5.4 g/L at 9:00.",
        "PO2 over 1.4 atm in the bottom phase from run time 14:00 to 15:40, 1 min 40 s in all; highest 1.43 atm at "
        "14:50.",
        "Ascent rate over 12 m/min from run time 25:00 to 26:05, 1 min 5 s in all; fastest 19.3 m/min at 25:40.",
        "Above the replayed ceiling from run time 64:30 to 67:00, 2 min 30 s in all; by as much as 2.2 m at 67:00; "
        "gradient up to 100 %.",
        "Surfaced at run time 67:00 with a ceiling of 2.4 m still standing; gradient at the surface 104 %, high factor "
        "80 %.",
    };
    w.look.imperial = true; /* machine-readable outputs stay metric */
    w.finding[2].peak = 19.26; /* 19.25 is a tie in decimal only */
    json_t *root = debrief_json(), *dive = first_dive(root), *findings = json_object_get(dive, "findings");
    assert_int_equal(json_array_size(findings), WORLD_FINDINGS);
    for (size_t i = 0; i < WORLD_FINDINGS; i++)
        assert_text(json_object_get(json_array_get(findings, i), "text"), texts[i]);
    assert_null(json_object_get(json_array_get(findings, 0), "gradient_percent"));
    assert_close(json_number_value(json_object_get(json_array_get(findings, 4), "gradient_percent")), 104.4, 0, 1e-12);
    json_t *note = json_array_get(json_object_get(dive, "notes"), 0);
    assert_text(json_object_get(note, "code"), "depth-negative");
    assert_text(json_object_get(note, "weight"), "remark");
    assert_int_equal(json_integer_value(json_object_get(note, "line")), 77);
    assert_int_equal(json_integer_value(json_object_get(note, "count")), 3);
    json_t *without_line = json_array_get(json_object_get(dive, "notes"), 2);
    assert_true(json_is_null(json_object_get(without_line, "line")));
    json_decref(root);
}

static void the_first_caution_is_first(void **state)
{
    (void)state;
    json_t *root = debrief_json(), *cautions = json_object_get(root, "cautions");
    assert_text(json_array_get(cautions, 0), ll_caution_first);
    assert_true(json_array_size(cautions) >= 5);
    json_decref(root);
}

static void missing_figures_are_null(void **state)
{
    (void)state;
    world_state_only(&w);
    w.dive.id = "";
    w.dive.start = (ll_instant){0};
    w.dive.site = LL_NONE;
    w.log.owner = NULL;
    json_t *root = debrief_json(), *dive = first_dive(root);
    static const char *const keys[][2] = {{"id", NULL},
                                          {"start", NULL},
                                          {"diver", NULL},
                                          {"site", NULL},
                                          {"run_time_s", NULL},
                                          {"record_s", NULL},
                                          {"greatest_depth_m", NULL},
                                          {"mean_depth_m", NULL},
                                          {"decompression", "required"},
                                          {"decompression", "owed_s"},
                                          {"surfacing", NULL},
                                          {"cns_percent", "end"},
                                          {"otu", "day"}};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        if (!json_is_null(at_path(dive, keys[i][0], keys[i][1])))
            fail_msg("%s %s is not null", keys[i][0], keys[i][1] ? keys[i][1] : "");
    assert_true(json_is_null(at_path(json_object_get(dive, "peaks"), "ceiling_m", "value")));
    assert_close(json_number_value(at_path(dive, "stated", "greatest_depth_m")), 60.4, 0, 1e-12);
    json_decref(root);
}

/* Up, but on unknown gas: the surfacing has a time and nothing else; a record that ends below has none. */
static void surfacing_with_unknown_tissues(void **state)
{
    (void)state;
    w.debrief.surfacing = (ll_surfacing){0};
    json_t *root = debrief_json(), *dive = first_dive(root);
    assert_close(json_number_value(at_path(dive, "surfacing", "time_s")), 4080, 0, 0);
    assert_true(json_is_null(at_path(dive, "surfacing", "leading_compartment")));
    assert_true(json_is_null(at_path(dive, "surfacing", "gradient_percent")));
    json_decref(root);
    w.debrief.profile.has_surfacing = false;
    root = debrief_json();
    assert_true(json_is_null(json_object_get(first_dive(root), "surfacing")));
    json_decref(root);
}

static void one_line_where_asked_for(void **state)
{
    (void)state;
    w.look.one_line = true;
    json_decref(debrief_json());
    const char *text = world_text(&w);
    assert_ptr_equal(strchr(text, '\n'), text + strlen(text) - 1);
}

/* --- rows and list -------------------------------------------------------------------------------------------- */

static void rows_stand_under_their_columns(void **state)
{
    (void)state;
    ll_quantities wanted =
        LL_SET(LL_TIME) | LL_SET(LL_DEPTH) | LL_SET(LL_TEMPERATURE) | LL_SET(LL_STOP) | LL_SET_TISSUES;
    ll_json_track_head(&w.out, &w.history, wanted, &w.look);
    ll_json_track(&w.out, 2, &w.debrief.track, wanted, true);
    ll_json_track(&w.out, 3, &w.debrief.track, wanted, false);
    ll_json_track_foot(&w.out);
    json_t *root = parse(world_text(&w)), *columns = json_object_get(root, "columns");
    assert_text(json_object_get(root, "schema"), "leadline-replay-1");
    assert_int_equal(json_array_size(columns), 4 + 2 * LL_COMPARTMENTS);
    assert_text(json_array_get(columns, 0), "time_s");
    assert_text(json_array_get(columns, 2), "stop_m");
    assert_text(json_array_get(columns, 4), "n2_1_bar");
    assert_text(json_array_get(columns, 35), "he_16_bar");
    json_t *dive = json_array_get(json_object_get(root, "dives"), 1);
    assert_int_equal(json_integer_value(json_object_get(dive, "number")), 3);
    json_t *rows = json_object_get(dive, "rows"), *row = json_array_get(rows, 3);
    assert_int_equal(json_array_size(rows), WORLD_SAMPLES);
    assert_int_equal(json_array_size(row), json_array_size(columns));
    assert_close(json_number_value(json_array_get(row, 1)), 60.2, 0, 1e-12);
    assert_true(json_is_null(json_array_get(row, 2)));
    assert_true(json_is_null(json_array_get(json_array_get(rows, 2), 3)));
    assert_close(json_number_value(json_array_get(row, 35)), 0.75 + 31 + 3 / 64.0, 0, 1e-12);
    json_decref(root);
}

static void list_says_what_a_record_holds(void **state)
{
    (void)state;
    ll_list_head(&w.out, &w.history, LL_LIST_JSON, &w.look);
    ll_list_row(&w.out, &w.debrief, LL_LIST_JSON, &w.look, true);
    world_state_only(&w);
    ll_list_row(&w.out, &w.debrief, LL_LIST_JSON, &w.look, false);
    ll_list_foot(&w.out, &w.history, LL_LIST_JSON, &w.look);
    json_t *root = parse(world_text(&w)), *dives = json_object_get(root, "dives"), *dive = json_array_get(dives, 0);
    assert_text(json_object_get(root, "schema"), "leadline-list-1");
    assert_int_equal(json_array_size(dives), 2);
    assert_close(json_number_value(json_object_get(dive, "interval_s")), 200, 0, 0);
    assert_int_equal(json_integer_value(json_object_get(dive, "samples")), WORLD_SAMPLES);
    assert_true(json_is_true(at_path(dive, "series", "temperature")));
    assert_true(json_is_true(at_path(dive, "series", "own_stops")));
    assert_true(json_is_false(at_path(dive, "series", "po2")));
    assert_true(json_is_false(at_path(dive, "series", "tank_pressure")));
    dive = json_array_get(dives, 1);
    assert_true(json_is_false(json_object_get(dive, "profile")));
    assert_true(json_is_null(json_object_get(dive, "interval_s")));
    assert_close(json_number_value(at_path(dive, "stated", "duration_s")), 4100, 0, 0);
    json_decref(root);
}

static void no_dive_is_still_a_document(void **state)
{
    (void)state;
    ll_json_head(&w.out, &w.history, &w.look);
    ll_json_foot(&w.out, &w.history, &w.limits, &w.look);
    json_t *root = parse(world_text(&w));
    assert_int_equal(json_array_size(json_object_get(root, "dives")), 0);
    json_decref(root);
}

static void names_are_shortened(void **state)
{
    (void)state;
    w.history.log_count = 2;
    w.history.notes = (ll_notes){&w.log_note, 1, 1};
    w.look.names = 2;
    json_t *root = debrief_json();
    assert_text(json_object_get(first_dive(root), "diver"), "A");
    assert_null(strstr(world_text(&w), "Ternholm"));
    assert_text(json_object_get(json_array_get(json_object_get(root, "notes"), 0), "text"),
                "the logs name different owners: A, B");
    json_decref(root);
}

static void refused_memory_is_told(void **state)
{
    (void)state;
    for (size_t refuse_from = 1; refuse_from < 200; refuse_from++) {
        test_heap heap;
        test_heap_open(&heap, refuse_from);
        ll_text out;
        ll_text_open(&out, &heap.allocator, NULL, NULL);
        ll_json_head(&out, &w.history, &w.look);
        ll_json_debrief(&out, &w.debrief, &w.look, true);
        ll_json_foot(&out, &w.history, &w.limits, &w.look);
        bool whole = ll_text_flush(&out);
        assert_int_equal(whole, heap.calls < refuse_from);
        ll_text_close(&out);
        assert_int_equal(heap.live, 0);
        if (whole)
            return;
    }
    fail_msg("more requests for memory than expected");
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_world, close_world)
    const struct CMUnitTest tests[] = {
        ONE(strings_come_back),
        ONE(bytes_that_are_no_text_are_replaced),
        ONE(control_characters_are_escaped),
        ONE(numbers_have_twelve_digits),
        ONE(promised_keys_stand_in_order),
        ONE(later_keys_are_left_out),
        ONE(debrief_says_what_it_was_given),
        ONE(a_lower_bound_is_told),
        ONE(otu_and_counterdiffusion_in_words),
        ONE(depths_and_reserve_in_words),
        ONE(findings_and_notes_in_words),
        ONE(the_first_caution_is_first),
        ONE(missing_figures_are_null),
        ONE(surfacing_with_unknown_tissues),
        ONE(one_line_where_asked_for),
        ONE(rows_stand_under_their_columns),
        ONE(list_says_what_a_record_holds),
        ONE(no_dive_is_still_a_document),
        ONE(names_are_shortened),
        ONE(refused_memory_is_told),
    };
#undef ONE
    return cmocka_run_group_tests(tests, NULL, NULL);
}
