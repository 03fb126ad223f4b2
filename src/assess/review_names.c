/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who is who. Five exports may all name their owner "Owner": then the files tell them apart. */
#include <string.h>

#include "assess/review_parts.h"

/* The file's name without its ending: that of its format, and of its packing. */
static char *stem(ll_arena *arena, const char *file)
{
    size_t length = strlen(file);
    static const char *const endings[] = {".gz", ".uddf", ".xml"};
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        size_t ending = strlen(endings[i]);
        if (length > ending && strncmp(file + length - ending, endings[i], ending) == 0)
            length -= ending;
    }
    return ll_arena_text_n(arena, file, length);
}

/* No other diver's first log has this owner, and nobody was given it as a name. */
static bool is_own(const ll_review_asked *asked, size_t diver, const char *owner)
{
    for (size_t i = 0; i < asked->divers; i++) {
        const char *other = asked->diver[i].name ? asked->diver[i].name : asked->diver[i].logs[0]->owner;
        if (i != diver && other && strcmp(other, owner) == 0)
            return false;
    }
    return true;
}

/* What a diver without a given name is called. */
static const char *name_of(ll_review *review, size_t index)
{
    const ll_diver_asked *asked = &review->asked->diver[index];
    const char *owner = asked->logs[0]->owner;
    return owner && is_own(review->asked, index, owner) ? owner : stem(review->arena, asked->logs[0]->name);
}

/* Another diver has the name by now, or was given it. */
static bool is_taken(const ll_review *review, size_t index, const char *name)
{
    for (size_t i = 0; i < review->count; i++) {
        const char *given = review->asked->diver[i].name, *has = review->diver[i].name;
        if (i != index && ((has && strcmp(has, name) == 0) || (given && strcmp(given, name) == 0)))
            return true;
    }
    return false;
}

/* A name that another has gets a number behind it. */
static bool set_name(ll_review *review, size_t index, const char *name)
{
    const char *own = name;
    for (unsigned n = 2; own && is_taken(review, index, own); n++)
        own = ll_arena_format(review->arena, "%s (%u)", name, n);
    review->diver[index].name = own;
    return own != NULL;
}

/* Given names first, as they are given: options mean who was called so. Of two alike the first one has it. */
static bool set_names(ll_review *review)
{
    for (size_t i = 0; i < review->count; i++) {
        const char *given = review->asked->diver[i].name;
        if (given && ll_review_diver(review, given) == SIZE_MAX)
            review->diver[i].name = given;
    }
    for (size_t i = 0; i < review->count; i++) {
        const char *given = review->asked->diver[i].name;
        const char *name = given ? given : name_of(review, i);
        if (!review->diver[i].name && !(name && set_name(review, i, name)))
            return false;
    }
    return true;
}

size_t ll_review_diver(const ll_review *review, const char *name)
{
    for (size_t i = 0; i < review->count; i++)
        if (review->diver[i].name && strcmp(review->diver[i].name, name) == 0)
            return i;
    return SIZE_MAX;
}

static ll_status find(const ll_review *review, const char *option, const char *name, size_t *diver, ll_error *error)
{
    *diver = name ? ll_review_diver(review, name) : SIZE_MAX;
    if (name && *diver == SIZE_MAX)
        return ll_fail(error, LL_BAD_USAGE, 0, "--%s: no diver of this review is called '%.100s'", option, name);
    return LL_OK;
}

static ll_status find_others(const ll_review *review, ll_error *error)
{
    const ll_review_asked *asked = review->asked;
    size_t one, other;
    ll_status status = LL_OK;
    for (size_t i = 0; i < asked->clocks && status == LL_OK; i++) {
        status = find(review, "clock", asked->clock[i].name, &one, error);
        if (status == LL_OK && one == 0)
            status = ll_fail(error, LL_BAD_USAGE, 0, "--clock: '%.100s' is the first diver, whose clock is the team's: "
                             "expected one of the others", asked->clock[i].name);
    }
    for (size_t i = 0; i < asked->waters && status == LL_OK; i++)
        status = find(review, "water", asked->water[i].name, &one, error);
    for (size_t i = 0; i < asked->pairs && status == LL_OK; i++) {
        status = find(review, "pair", asked->pair[i].one, &one, error);
        if (status == LL_OK)
            status = find(review, "pair", asked->pair[i].other, &other, error);
        if (status == LL_OK && one == other)
            status = ll_fail(error, LL_BAD_USAGE, 0, "--pair: expected two divers, found '%.100s' twice",
                             asked->pair[i].one);
    }
    return status;
}

ll_status ll_review_names(ll_review *review, ll_error *error)
{
    review->count = review->asked->divers;
    review->diver = ll_arena_array(review->arena, review->count, sizeof *review->diver);
    if (!review->diver)
        return ll_fail_memory(error);
    for (size_t i = 0; i < review->count; i++)
        review->diver[i].main = SIZE_MAX;
    if (!set_names(review))
        return ll_fail_memory(error);
    ll_status status = find(review, "lead", review->asked->lead, &review->lead, error);
    if (status == LL_OK)
        status = find(review, "extract", review->asked->extract, &review->extract, error);
    if (review->lead != SIZE_MAX)
        review->diver[review->lead].lead = true;
    return status == LL_OK ? find_others(review, error) : status;
}
