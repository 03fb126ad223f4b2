/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/known.h"

#include <stdlib.h>
#include <string.h>

#include "log/values.h"

/* In the order of strcmp. From the documentation of UDDF 2.1 to 3.2.3 (streit.cc), pages of the elements and their
 * lists of children. */
static const char *const documented[] = {
    "airtemperature", "alarm", "alcoholbeforedive", "aliasname", "altitude", "anysymptoms", "apparatus",
    "applicationdata", "ar", "averagedepth", "batterychargecondition", "bodytemperature",
    "breathingconsumptionvolume", "business", "calculatedpo2", "cns", "current", "date", "datetime", "decomodel",
    "decostop", "density", "depth", "desaturationtime", "dive", "divecomputercontrol", "diveduration", "divemode",
    "divenumber", "divenumberofday", "diveplan", "diver", "divesite", "divetable", "divetime", "divetrip",
    "equipmentmalfunction", "equipmentused", "equivalentairdepth", "exercisebeforedive", "gasdefinitions",
    "generator", "globalalarmsgiven", "gradientfactor", "greatestdepth", "h2", "he", "heading", "highestpo2",
    "hyperbaricfacilitytreatment", "informationafterdive", "informationbeforedive", "inputprofile",
    "internaldivenumber", "leadquantity", "link", "lowesttemperature", "maker", "maximumoperationdepth", "maximumpo2",
    "measuredpo2", "mediadata", "medicationbeforedive", "mix", "n2", "name", "nodecotime", "noflighttime", "nosuit",
    "notes", "o2", "observations", "otu", "place", "plannedprofile", "platform", "pressuredrop", "price",
    "priceperlitre", "problems", "profiledata", "program", "pulserate", "purpose", "rating", "remainingbottomtime",
    "remainingo2time", "repetitiongroup", "samples", "setmarker", "setpo2", "stateofrestbeforedive",
    "surfaceinterval", "surfaceintervalafterdive", "surfaceintervalbeforedive", "surfacepressure", "switchmix",
    "tablegeneration", "tankdata", "tankpressure", "tankpressurebegin", "tankpressureend", "tankpressurereserve",
    "tankvolume", "temperature", "thermalcomfort", "time", "tripmembership", "visibility", "waypoint", "workload",
};

static int by_name(const void *name, const void *item)
{
    return strcmp(name, *(const char *const *)item);
}

/* Until 3.0 a reference is an element called after its target, with "ref" behind. */
static bool is_reference(const char *name)
{
    size_t length = strlen(name);
    return length > 3 && strcmp(name + length - 3, "ref") == 0;
}

static bool is_documented(const char *name)
{
    return bsearch(name, documented, sizeof documented / sizeof *documented, sizeof *documented, by_name) ||
           is_reference(name);
}

static bool is_looked_at(ll_row row)
{
    static const ll_row rows[] = {LL_ROW_WAYPOINT, LL_ROW_SAMPLES,     LL_ROW_DIVE,  LL_ROW_BEFORE,
                                  LL_ROW_AFTER,    LL_ROW_USE,         LL_ROW_MIX,   LL_ROW_SHARED_USE,
                                  LL_ROW_GASES,    LL_ROW_PROFILEDATA, LL_ROW_GROUP, LL_ROW_UDDF};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i] == row)
            return true;
    return false;
}

void ll_look_at_passed(ll_reader *reader, const char *name)
{
    char shown[LL_SHOWN];
    if (!is_looked_at(reader->row) || is_documented(name))
        return;
    ll_noted(reader, ll_note_add(&reader->notes, &reader->arena, LL_NOTE_ELEMENTS_UNKNOWN, ll_line(reader),
                                 ll_shown(shown, name, strlen(name))));
}
