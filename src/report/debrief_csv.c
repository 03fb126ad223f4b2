/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings as rows. */
#include "base/number.h"
#include "report/csv.h"
#include "report/text_findings.h"

void ll_csv_findings_head(ll_text *out)
{
    ll_text_puts(out, "dive,kind,severity,class,from_s,to_s,beyond_s,peak,peak_s,limit,unit,gradient_percent,text,"
                      "firm,firm_severity,hangs_on\n");
}

static void add_numbers(ll_text *out, const ll_finding *finding)
{
    const double numbers[] = {finding->from_s, finding->to_s,   finding->beyond_s,
                              finding->peak,   finding->peak_s, finding->limit};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        ll_text_putc(out, ',');
        ll_number_add(out, numbers[i]);
    }
}

/* Empty where firmness was not asked for. */
static void add_firmness(ll_text *out, const ll_debrief *debrief, const ll_finding *finding)
{
    if (!debrief->firmness.asked) {
        ll_text_puts(out, ",,,");
        return;
    }
    bool firm = finding->firm_severity == finding->severity, first = true;
    ll_text_format(out, ",%s,%s,", firm ? "yes" : "no", ll_severity_names[finding->firm_severity]);
    for (int hang = 0; hang < LL_HANGS; hang++)
        if (finding->hangs_on & (1u << hang)) {
            ll_text_format(out, "%s%s", first ? "" : " ", ll_hang_names[hang]);
            first = false;
        }
}

static void add_row(ll_text *out, const ll_debrief *debrief, const ll_finding *finding)
{
    const ll_kind_row *row = &ll_kind_table[finding->kind];
    ll_text sentence;
    ll_text_open(&sentence, out->allocator, NULL, NULL);
    ll_finding_sentence(&sentence, debrief, finding, &ll_plain_look);
    ll_text_format(out, "%u,%s,%s,%s", debrief->entry->number, row->key, ll_severity_names[finding->severity],
                   ll_class_names[row->class]);
    add_numbers(out, finding);
    ll_text_format(out, ",%s,", row->unit);
    ll_number_add(out, finding->gradient_percent);
    ll_text_putc(out, ',');
    ll_csv_scratch(out, &sentence);
    add_firmness(out, debrief, finding);
    ll_text_putc(out, '\n');
}

void ll_csv_findings(ll_text *out, const ll_debrief *debrief)
{
    for (size_t i = 0; i < debrief->findings.count; i++)
        add_row(out, debrief, &debrief->findings.items[i]);
}
