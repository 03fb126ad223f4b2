/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Requirements answered: counts, verdicts, the dives behind them, and those just short. */
#include <math.h>

#include "assess/audit_parts.h"

const char *const ll_reach_keys[LL_REACHES] = {"met", "met-if-claims-hold", "not-met"};
const char *const ll_reach_words[LL_REACHES] = {"count reached", "count reached if claims hold",
                                                   "count not reached"};

bool ll_audit_counts(const ll_audit_dive *dive)
{
    return dive->stand.standing == LL_RECORDED || dive->stand.standing == LL_CLAIMED;
}

/* What the attributes of one requirement say of one dive. */
typedef struct outcome {
    unsigned no, unsettled;
    ll_asked failed; /* the last one that said no */
} outcome;

typedef struct answering {
    const ll_audit *audit;
    ll_arena *arena;
    const size_t *from_end; /* of each dive: its place among all dated ones that count, 1 for the latest; 0: none */
    outcome *outcome;
} answering;

/* Places from the end; undated dives are never among the last. */
static size_t *number_from_end(const ll_audit *audit, ll_arena *arena)
{
    size_t *place = ll_arena_array(arena, audit->count, sizeof *place);
    size_t last = 0;
    for (size_t i = audit->count; place && i-- > 0;)
        if (ll_audit_counts(&audit->dive[i]) && audit->dive[i].dated)
            place[i] = ++last;
    return place;
}

static bool is_among_last(const answering *a, const ll_requirement *asked, size_t index)
{
    return a->from_end[index] > 0 && a->from_end[index] <= asked->among_last;
}

static outcome ask(const answering *a, const ll_requirement *asked, size_t index)
{
    outcome out = {0};
    for (int attribute = 0; attribute < LL_ASKED_ATTRIBUTES; attribute++) {
        ll_known known = ll_audit_attribute(a->audit, &a->audit->dive[index], asked, (ll_asked)attribute, NULL);
        if (attribute == LL_ASKED_AMONG_LAST && (asked->asked & LL_ASKED(LL_ASKED_AMONG_LAST)))
            known = is_among_last(a, asked, index) ? LL_YES : LL_NO;
        out.unsettled += known == LL_UNSETTLED;
        out.no += known == LL_NO;
        if (known == LL_NO)
            out.failed = (ll_asked)attribute;
    }
    return out;
}

/* --- sums ------------------------------------------------------------------------------------------------------- */

enum { ZONES_DAYS = 2 };

typedef enum share { OF_RECORDED, OF_CLAIMED, OF_UNSETTLED, OF_NONE } share;

static share share_of(const ll_audit_dive *dive, const outcome *out)
{
    if (!ll_audit_counts(dive) || out->no > 0)
        return OF_NONE;
    if (out->unsettled > 0)
        return OF_UNSETTLED;
    return dive->stand.standing == LL_RECORDED ? OF_RECORDED : OF_CLAIMED;
}

/* The weightiest share that a dive of this one's day has; none where an earlier dive told of that day. Where zones differ
 * the days as written need not follow one another, but none lies further off than two. */
static share share_of_day(const answering *a, size_t index)
{
    const ll_audit_dive *dive = a->audit->dive;
    share best = share_of(&dive[index], &a->outcome[index]);
    if (!dive[index].dated)
        return best;
    for (size_t i = index; i-- > 0 && dive[i].day >= dive[index].day - ZONES_DAYS;)
        if (dive[i].day == dive[index].day)
            return OF_NONE;
    for (size_t i = index + 1; i < a->audit->count && dive[i].dated && dive[i].day <= dive[index].day + ZONES_DAYS; i++)
        if (dive[i].day == dive[index].day) {
            share here = share_of(&dive[i], &a->outcome[i]);
            best = here < best ? here : best;
        }
    return best;
}

/* Recorded before claimed before unsettled. An undated dive is a day of its own. */
static void add_days(const answering *a, double sum[OF_NONE])
{
    for (size_t i = 0; i < a->audit->count; i++) {
        share best = share_of_day(a, i);
        if (best != OF_NONE)
            sum[best]++;
    }
}

static void add_dives(const answering *a, bool hours, double sum[OF_NONE])
{
    for (size_t i = 0; i < a->audit->count; i++) {
        const ll_audit_dive *dive = &a->audit->dive[i];
        share of = share_of(dive, &a->outcome[i]);
        if (of != OF_NONE)
            sum[of] += hours ? (isnan(dive->run_time_s) ? 0 : dive->run_time_s / 3600) : 1;
    }
}

static ll_reach weigh(const ll_requirement *asked, double recorded, double claimed, double unsettled)
{
    ll_reach least = LL_REACHED, most = LL_REACHED;
    if (recorded < asked->least)
        least = recorded + claimed < asked->least ? LL_NOT_REACHED : LL_REACHED_IF_CLAIMS_HOLD;
    if (recorded + claimed + unsettled > asked->most)
        most = recorded > asked->most ? LL_NOT_REACHED : LL_REACHED_IF_CLAIMS_HOLD;
    return most > least ? most : least;
}

/* --- the dives behind them ---------------------------------------------------------------------------------------- */

static bool list_dives(const answering *a, ll_requirement_answer *answer)
{
    const ll_audit *audit = a->audit;
    size_t *counting = ll_arena_array(a->arena, audit->count, sizeof *counting);
    size_t *open = ll_arena_array(a->arena, audit->count, sizeof *open);
    for (size_t i = 0; counting && open && i < audit->count; i++) {
        share of = share_of(&audit->dive[i], &a->outcome[i]);
        if (of == OF_RECORDED || of == OF_CLAIMED)
            counting[answer->count++] = i;
        else if (of == OF_UNSETTLED)
            open[answer->open++] = i;
    }
    answer->dive = counting;
    answer->open_dive = open;
    return counting && open;
}

static const char *words_of(const answering *a, const ll_requirement *asked, size_t index)
{
    ll_text text;
    const ll_asked failed = a->outcome[index].failed;
    ll_text_open(&text, a->arena->allocator, NULL, NULL);
    if (failed == LL_ASKED_AMONG_LAST && a->from_end[index] > 0)
        ll_text_format(&text, "number %zu from the latest, asked among the last %u", a->from_end[index],
                       asked->among_last);
    else if (failed == LL_ASKED_AMONG_LAST)
        ll_text_puts(&text, "no date");
    else
        ll_audit_attribute(a->audit, &a->audit->dive[index], asked, failed, &text);
    const char *words = ll_text_string(&text);
    const char *kept = words ? ll_arena_text(a->arena, words) : NULL;
    ll_text_close(&text);
    return kept;
}

static bool is_just_short(const answering *a, size_t index)
{
    const outcome *out = &a->outcome[index];
    return ll_audit_counts(&a->audit->dive[index]) && out->no == 1 && out->unsettled == 0;
}

static bool list_shorts(const answering *a, ll_requirement_answer *answer)
{
    const size_t count = a->audit->count;
    size_t shorts = 0;
    if (isnan(answer->asked->least))
        return true;
    for (size_t i = 0; i < count; i++)
        shorts += is_just_short(a, i);
    ll_just_short *list = ll_arena_array(a->arena, shorts, sizeof *list);
    for (size_t i = 0; list && i < count; i++) {
        if (!is_just_short(a, i))
            continue;
        const char *why = words_of(a, answer->asked, i);
        if (!why)
            return false;
        list[answer->shorts++] = (ll_just_short){i, why};
    }
    answer->just_short = list;
    return list != NULL;
}

static bool answer_one(answering *a, const ll_requirement *asked, ll_requirement_answer *answer)
{
    double sum[OF_NONE] = {0};
    for (size_t i = 0; i < a->audit->count; i++)
        a->outcome[i] = ask(a, asked, i);
    if (asked->counted_in == LL_COUNTED_DAYS)
        add_days(a, sum);
    else
        add_dives(a, asked->counted_in == LL_COUNTED_HOURS, sum);
    *answer = (ll_requirement_answer){.asked = asked,
                                      .recorded = sum[OF_RECORDED],
                                      .claimed = sum[OF_CLAIMED],
                                      .unsettled = sum[OF_UNSETTLED],
                                      .verdict = weigh(asked, sum[OF_RECORDED], sum[OF_CLAIMED], sum[OF_UNSETTLED])};
    return list_dives(a, answer) && list_shorts(a, answer);
}

bool ll_audit_answer(ll_audit *audit, ll_arena *arena)
{
    const ll_standard *standard = audit->standard;
    answering a = {audit, arena, number_from_end(audit, arena),
                   ll_arena_array(arena, audit->count, sizeof(outcome))};
    ll_requirement_answer *answer = ll_arena_array(arena, standard->requirements, sizeof *answer);
    if (!a.from_end || !a.outcome || !answer)
        return false;
    audit->verdict = LL_REACHED;
    for (size_t i = 0; i < standard->requirements; i++) {
        if (!answer_one(&a, &standard->requirement[i], &answer[i]))
            return false;
        if (answer[i].verdict > audit->verdict)
            audit->verdict = answer[i].verdict;
    }
    audit->answer = answer;
    audit->answers = standard->requirements;
    return true;
}
