/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "door/parts.h"

#include "base/crew.h"

/* A dive until it is its turn. */
typedef struct slot {
    ll_part part;
    ll_text text, figures; /* where several dives are rendered at the same time */
} slot;

typedef struct rendered {
    const ll_rendering *r;
    ll_render_part render;
    void *how;
    ll_text *text, *figures;
    slot *slots;
    int worst;
} rendered;

static ll_status work(void *context, size_t index, size_t place, ll_arena *scratch, ll_error *error)
{
    const rendered *all = context;
    ll_part *part = &all->slots[place].part;
    part->worst = 0;
    part->scratch = scratch;
    part->error = error;
    return all->render(all->r, all->how, index, part);
}

static void join(ll_text *whole, ll_text *text)
{
    ll_text_add(whole, text->bytes, text->size);
    whole->no_memory = whole->no_memory || text->no_memory;
    text->size = 0;
}

static void take(void *context, size_t index, size_t place)
{
    rendered *all = context;
    slot *taken = &all->slots[place];
    (void)index;
    join(all->text, &taken->text);
    if (all->figures)
        join(all->figures, &taken->figures);
    if (taken->part.worst > all->worst)
        all->worst = taken->part.worst;
}

/* One dive at a time needs no text of its own. */
static void open_slots(rendered *all, size_t count, bool several)
{
    for (size_t i = 0; i < count; i++) {
        slot *s = &all->slots[i];
        ll_text_open(&s->text, NULL, NULL, NULL);
        ll_text_open(&s->figures, NULL, NULL, NULL);
        s->part.text = several ? &s->text : all->text;
        s->part.figures = several ? &s->figures : all->figures;
    }
}

static void close_slots(rendered *all, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        ll_text_close(&all->slots[i].text);
        ll_text_close(&all->slots[i].figures);
    }
}

ll_status ll_render_parts(ll_rendering *r, ll_render_part render, void *how, ll_text *text, ll_text *figures, int *worst,
                          ll_error *error)
{
    const ll_crew *crew = &r->output->crew;
    const size_t slots = ll_crew_batch(crew, r->dives.count);
    rendered all = {r, render, how, text, figures, ll_arena_array(&r->run, slots, sizeof *all.slots), 0};
    if (!all.slots)
        return ll_fail_memory(error);
    open_slots(&all, slots, slots > 1);
    ll_status status = ll_crew_do(crew, r->dives.count, &(ll_pieces){work, take, &all}, NULL, error);
    close_slots(&all, slots);
    if (worst && all.worst > *worst)
        *worst = all.worst;
    return status;
}
