/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The whole path, through the door: bytes to a debrief, an audit, a review, a list, rows, in every format. Nothing is written
 * that is not finite or absent. */
#include <stdlib.h>
#include <string.h>

#include <leadline/leadline.h>

#include "target.h"

static const char course[] =
    "<standard xmlns=\"urn:leadline:standard:1\" name=\"n\"><limits><limit of=\"depth\" unit=\"m\" serious=\"40\"/>"
    "<limit of=\"stop-depth\" unit=\"m\" note=\"0.5\"/><limit of=\"reserve\" unit=\"bar\" caution=\"50\"/></limits><entry>"
    "<requirement id=\"a\" least=\"2\" decompression=\"yes\" within=\"P6M\">staged</requirement>"
    "<requirement id=\"b\" most=\"0\" finding=\"ceiling\" severity=\"note\">none</requirement></entry></standard>";

static ll_standard *standard;

static int holds(const char *bytes, size_t size, const char *word)
{
    const size_t length = strlen(word);
    for (size_t i = 0; i + length <= size; i++)
        if (bytes[i] == word[0] && memcmp(bytes + i, word, length) == 0)
            return 1;
    return 0;
}

/* Words that stand for no number in JSON and CSV. */
static int write_checked(void *context, const void *bytes, size_t size)
{
    const leadline_output *output = context;
    static const char *const words[] = {":nan", ":-nan", ":inf", ":-inf", ",nan", ",inf", ",-inf", ",-nan"};
    if (output->format == LEADLINE_TEXT)
        return 0;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        fuzz_check(!holds(bytes, size, words[i]), "no number in an output is not finite");
    return 0;
}

static void render(const ll_history *history, ll_log *log, const ll_settings *settings, leadline_format format)
{
    const leadline_selection all = {.by = LEADLINE_ALL};
    leadline_output output = {.format = format, .standard = standard, .write = write_checked, .one_line = true};
    const leadline_diver divers[] = {{"A", 1, &log}, {"B", 1, &log}};
    const leadline_review_asked asked = {.divers = 2, .diver = divers};
    output.context = &output;
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
