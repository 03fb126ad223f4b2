/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole path, through the door: bytes to a debrief, an audit, a review, a list, rows, in every format. Nothing is written
 * that is not finite or absent. */
#include <stdlib.h>

#include <leadline/leadline.h>

#include "target.h"

static const char course[] =
    "<standard xmlns=\"urn:leadline:standard:1\" name=\"n\"><limits><limit of=\"depth\" unit=\"m\" serious=\"40\"/>"
    "<limit of=\"stop-depth\" unit=\"m\" note=\"0.5\"/><limit of=\"reserve\" unit=\"bar\" caution=\"50\"/></limits><entry>"
    "<requirement id=\"a\" least=\"2\" decompression=\"yes\" within=\"P6M\">staged</requirement>"
    "<requirement id=\"b\" most=\"0\" finding=\"ceiling\" severity=\"note\">none</requirement></entry></standard>";

static ll_standard *standard;

/* What a JSON output was like up to here. Other formats hold words of the log that nothing tells from figures. */
typedef struct json_state {
    int in_string, escaped;
    char before; /* the character before, outside strings */
} json_state;

static int write_checked(void *context, const void *bytes, size_t size)
{
    json_state *state = context;
    const char *at = bytes;
    for (size_t i = 0; state && i < size; i++) {
        if (state->escaped)
            state->escaped = 0;
        else if (at[i] == '\\')
            state->escaped = 1;
        else if (at[i] == '"')
            state->in_string = !state->in_string;
        else if (!state->in_string) {
            /* no nan, no inf: of words only true, false and null */
            fuzz_check(at[i] != 'i' && !(state->before == 'n' && at[i] == 'a'), "a number of the output is finite");
            state->before = at[i];
        }
    }
    return 0;
}

static void render(const ll_history *history, ll_log *log, const ll_settings *settings, leadline_format format)
{
    const leadline_selection all = {.by = LEADLINE_ALL};
    leadline_output output = {.format = format, .standard = standard, .write = write_checked, .one_line = true};
    json_state state = {0};
    const leadline_diver divers[] = {{"A", 1, &log}, {"B", 1, &log}};
    const leadline_review_asked asked = {.divers = 2, .diver = divers};
    output.context = format == LEADLINE_JSON ? &state : NULL;
    leadline_debrief(history, &all, &output, NULL, NULL);
    leadline_audit(&log, 1, settings, NULL, 20000, &output, NULL, NULL);
    leadline_review(&asked, settings, &output, NULL, NULL);
    if (format != LEADLINE_HTML)
        leadline_list(history, &all, &output, NULL);
    if (format == LEADLINE_CSV || format == LEADLINE_JSON) {
        output.tissues = true;
        leadline_rows(history, &all, &output, NULL);
    }
}

/* The first byte says in which format, the second with which settings. */
int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    ll_log *log;
    ll_history *history;
    ll_settings settings;
    if (!standard) {
        fuzz_bytes from = {(const uint8_t *)course, sizeof course - 1, 0};
        fuzz_check(leadline_standard_read("n.xml", fuzz_read, &from, &standard, NULL) == LL_OK, "the course is one");
    }
    if (size < 2)
        return 0;
    fuzz_bytes from = {bytes + 2, size - 2, 0};
    leadline_settings(&settings);
    settings.model = (ll_model)(bytes[1] % 5);
    settings.gf_from_log = settings.model <= LL_ZH_L16C && (bytes[1] & 64);
    settings.assume_air = (bytes[1] & 128) != 0;
    if (leadline_log_read("fuzz.uddf", fuzz_read, &from, &log, NULL) != LL_OK)
        return 0;
    if (leadline_merge(&log, 1, &settings, NULL, &history, NULL) == LL_OK) {
        render(history, log, &settings, (leadline_format)(bytes[0] % 4));
        leadline_history_free(history);
    }
    leadline_log_free(log);
    return 0;
}
