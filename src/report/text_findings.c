/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_findings.h"

#include <math.h>

#include "base/number.h"
#include "report/text_figures.h"
#include "report/text_levels.h"
#include "report/utf8.h"
#include "report/words.h"

const ll_look ll_plain_look = {.width = 80};

/* How the sentence of a kind begins, and what its peak is called. */
typedef struct phrase {
    const char *opening;
    bool names_limit; /* the limit follows the opening */
    const char *peak;
    ll_quantity quantity;
} phrase;

static const phrase phrases[LL_FINDING_KINDS] = {
    [LL_FINDING_CEILING] = {"Above the replayed ceiling", false, "by as much as", LL_CEILING},
    [LL_FINDING_SURFACED] = {"Surfaced", false, "", LL_CEILING},
    [LL_FINDING_ASCENT] = {"Ascent rate over", true, "fastest", LL_ASCENT_RATE},
    [LL_FINDING_OWN_STOP] = {"Above the recorder's own mandatory stop", false, "by as much as", LL_DEPTH},
    [LL_FINDING_DEPTH] = {"Depth over", true, "deepest", LL_DEPTH},
    [LL_FINDING_STOP_DEPTH] = {"Off the level of", true, "farthest", LL_DEPTH},
    [LL_FINDING_SWITCH_DEPTH] = {"Switch", false, "", LL_DEPTH},
    [LL_FINDING_RESERVE] = {"Tank pressure under", true, "lowest", LL_TIME},
    [LL_FINDING_OXYGEN_HIGH] = {"PO2 over", true, "highest", LL_PO2},
    [LL_FINDING_OXYGEN_LOW] = {"PO2 under", true, "lowest", LL_PO2},
    [LL_FINDING_DENSITY] = {"Gas density over", true, "highest", LL_DENSITY},
    [LL_FINDING_NARCOSIS] = {"END over", true, "deepest", LL_END_N2O2},
    [LL_FINDING_COUNTERDIFFUSION] = {"Switch", false, "", LL_TIME},
    [LL_FINDING_CNS] = {"CNS over", true, "highest", LL_CNS},
    [LL_FINDING_OTU] = {"OTU over", true, "highest", LL_CNS},
};

ll_quantity ll_kind_quantity(ll_kind kind)
{
    return phrases[kind].quantity;
}

/* --- sentences ------------------------------------------------------------------------------------------------ */

static bool is_bottom_phase_limit(const ll_debrief *debrief, const ll_finding *finding)
{
    double first = ll_first_limit(debrief, finding->kind);
    return finding->kind == LL_FINDING_OXYGEN_HIGH && !(finding->limit >= first - 1e-9);
}

void ll_allowance_words(ll_text *out, const ll_debrief *debrief)
{
    ll_text_puts(out, " of the allowance for ");
    ll_counted(out, debrief->days_in_row, "diving day");
    ll_text_puts(out, debrief->days_in_row == 1 ? " (" : " in a row (");
    ll_fixed_add(out, debrief->otu_allowance, 0);
    ll_text_puts(out, " OTU)");
}

/* " in stage (EAN50)" */
static void add_tank(ll_text *out, const ll_debrief *debrief, const ll_series *tank)
{
    const ll_log *log = debrief->entry->log;
    const char *name = ll_tank_name(log, debrief->entry->dive, tank);
    const int mix = tank->tank_use == LL_NONE ? LL_NONE : debrief->entry->dive->tank_use[tank->tank_use].mix;
    ll_text_puts(out, " in ");
    if (name)
        ll_show(out, name);
    else
        ll_text_puts(out, "a tank without a name");
    if (mix == LL_NONE)
        return;
    ll_text_puts(out, " (");
    ll_mix_add(out, log, mix);
    ll_text_putc(out, ')');
}

static void add_opening(ll_text *out, const ll_debrief *debrief, const ll_finding *finding, const ll_look *look)
{
    ll_text_puts(out, phrases[finding->kind].opening);
    if (!phrases[finding->kind].names_limit)
        return;
    ll_text_putc(out, ' ');
    if (finding->kind == LL_FINDING_STOP_DEPTH) {
        ll_figure(out, finding->nominal_m, "m", 0, look);
        ll_text_puts(out, " by more than ");
    }
    ll_limit_figure(out, finding->limit, ll_kind_table[finding->kind].unit, look);
    if (finding->tank)
        add_tank(out, debrief, finding->tank);
    if (is_bottom_phase_limit(debrief, finding))
        ll_text_puts(out, " in the bottom phase");
    if (finding->kind == LL_FINDING_OTU)
        ll_allowance_words(out, debrief);
    if (finding->kind == LL_FINDING_NARCOSIS)
        ll_text_puts(out, debrief->history->settings.narcotic_oxygen ? " (nitrogen and oxygen)" : " (nitrogen only)");
}

static void add_stretch(ll_text *out, const ll_debrief *debrief, const ll_finding *finding)
{
    bool is_instant = llround(finding->from_s) == llround(finding->to_s);
    ll_text_puts(out, is_instant ? " at run time " : " from run time ");
    ll_run_clock(out, debrief, finding->from_s);
    if (is_instant)
        return;
    ll_text_puts(out, " to ");
    ll_run_clock(out, debrief, finding->to_s);
    ll_text_puts(out, ", ");
    ll_duration(out, finding->beyond_s);
    bool whole = finding->to_s - finding->from_s - finding->beyond_s < 0.5;
    ll_text_puts(out, whole ? " in all" : " of it beyond");
}

static void add_peak(ll_text *out, const ll_debrief *debrief, const ll_finding *finding, const ll_look *look)
{
    const phrase *words = &phrases[finding->kind];
    ll_text_format(out, "; %s ", words->peak);
    if (finding->kind == LL_FINDING_CEILING || finding->kind == LL_FINDING_OWN_STOP ||
        finding->kind == LL_FINDING_STOP_DEPTH)
        ll_difference_figure(out, finding->peak, look);
    else
        ll_figure(out, finding->peak, ll_kind_table[finding->kind].unit, ll_quantity_table[words->quantity].digits,
                  look);
    if (finding->kind == LL_FINDING_STOP_DEPTH)
        ll_text_puts(out, finding->depth_m < finding->nominal_m ? " shallower" : " deeper");
    ll_text_puts(out, " at ");
    ll_run_clock(out, debrief, finding->peak_s);
    if (finding->kind == LL_FINDING_CEILING && isfinite(finding->gradient_percent)) {
        ll_text_puts(out, "; gradient up to ");
        ll_quantity_figure(out, LL_GRADIENT, finding->gradient_percent, look);
    }
}

static void add_surfaced(ll_text *out, const ll_debrief *debrief, const ll_finding *finding, const ll_look *look)
{
    ll_text_puts(out, "Surfaced at run time ");
    ll_run_clock(out, debrief, finding->peak_s);
    ll_text_puts(out, " with a ceiling of ");
    ll_difference_figure(out, finding->peak, look);
    ll_text_puts(out, " still standing; gradient at the surface ");
    ll_quantity_figure(out, LL_GRADIENT, finding->gradient_percent, look);
    if (!ll_model_table[debrief->history->settings.model].has_factors)
        return;
    ll_text_puts(out, ", high factor ");
    ll_fixed_add(out, debrief->profile.gf_high * 100, 0);
    ll_text_puts(out, " %");
}

/* "nitrogen up by 13.0 points (0.60 bar)" */
static void add_inert(ll_text *out, const char *gas, double rise, double rise_bar)
{
    ll_text_format(out, "%s %s by ", gas, rise < 0 ? "down" : "up");
    ll_fixed_add(out, fabs(rise) * 100, 1);
    ll_text_puts(out, " points (");
    ll_fixed_add(out, fabs(rise_bar), 2);
    ll_text_puts(out, " bar)");
}

static void add_exchange(ll_text *out, const ll_debrief *debrief, const ll_finding *finding, const ll_look *look)
{
    const ll_exchange *exchange = finding->exchange;
    ll_text_puts(out, "Switch from ");
    ll_mix_add(out, debrief->entry->log, exchange->from_mix);
    ll_text_puts(out, " to ");
    ll_mix_add(out, debrief->entry->log, exchange->to_mix);
    ll_text_puts(out, " at ");
    ll_quantity_figure(out, LL_DEPTH, exchange->depth_m, look);
    ll_text_puts(out, " at run time ");
    ll_run_clock(out, debrief, finding->peak_s);
    ll_text_puts(out, ": ");
    add_inert(out, "nitrogen", exchange->n2_rise, exchange->n2_rise_bar);
    ll_text_puts(out, ", ");
    add_inert(out, "helium", -exchange->he_fall, -exchange->he_fall_bar);
    ll_text_puts(out, "; nitrogen rises by ");
    ll_fixed_add(out, finding->peak * 100, 1);
    ll_text_puts(out, " points more than a fifth of the fall of helium (information only, the rule is disputed)");
}

static void add_deep_switch(ll_text *out, const ll_debrief *debrief, const ll_finding *finding, const ll_look *look)
{
    const ll_deep_switch *deep = finding->deep;
    ll_text_puts(out, "Switch to ");
    ll_mix_add(out, debrief->entry->log, deep->to_mix);
    ll_text_puts(out, " at ");
    ll_quantity_figure(out, LL_DEPTH, deep->depth_m, look);
    ll_text_puts(out, " at run time ");
    ll_run_clock(out, debrief, finding->peak_s);
    ll_text_puts(out, ": ");
    ll_mod_words(out, deep->depth_m, &deep->mod, look);
}

void ll_finding_sentence(ll_text *out, const ll_debrief *debrief, const ll_finding *finding, const ll_look *look)
{
    if (finding->kind == LL_FINDING_SURFACED) {
        add_surfaced(out, debrief, finding, look);
    } else if (finding->exchange) {
        add_exchange(out, debrief, finding, look);
    } else if (finding->deep) {
        add_deep_switch(out, debrief, finding, look);
    } else {
        add_opening(out, debrief, finding, look);
        add_stretch(out, debrief, finding);
        add_peak(out, debrief, finding, look);
    }
    ll_text_putc(out, '.');
}

const ll_finding *ll_surfaced_finding(const ll_debrief *debrief)
{
    for (size_t i = 0; i < debrief->findings.count; i++)
        if (debrief->findings.items[i].kind == LL_FINDING_SURFACED)
            return &debrief->findings.items[i];
    return NULL;
}

bool ll_has_finding(const ll_debrief *debrief, ll_kind kind)
{
    for (size_t i = 0; i < debrief->findings.count; i++)
        if (debrief->findings.items[i].kind == kind)
            return true;
    return false;
}
