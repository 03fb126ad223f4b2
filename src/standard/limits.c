/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "standard/limits.h"

#include <math.h>

#include "standard/repex.h"

const char *const ll_severity_names[4] = {"none", "note", "caution", "serious"};
const char *const ll_class_names[LL_CLASSES] = {"conduct", "gas", "dose"};

#define MODEL_LIMIT "ZH-L16 with gradient factors: Buehlmann 1995, Baker 1998"
#define COMMON "common practice, no source"
#define OF_STANDARD "none unless a course standard gives one"

/* Columns of a limit: note, caution, serious, where the row comes from, source of the values. */
const ll_kind_row ll_kind_table[LL_FINDING_KINDS] = {
    [LL_FINDING_CEILING] = {"ceiling", LL_CONDUCT, "above the replayed ceiling", "m",
                            {0, 0.5, NAN, LL_BUILT_IN, MODEL_LIMIT "; the step to caution: " COMMON}},
    [LL_FINDING_SURFACED] = {"surfaced", LL_CONDUCT, "surfaced above the replayed ceiling", "m",
                             {0, NAN, NAN, LL_BUILT_IN, MODEL_LIMIT}},
    [LL_FINDING_ASCENT] = {"ascent", LL_CONDUCT, "ascent rate", "m/min",
                           {NAN, 12, 18, LL_BUILT_IN,
                            "US Navy Diving Manual: 30 fsw/min, 20 to 40 acceptable (9 m/min with 3 either way)"}},
    [LL_FINDING_OWN_STOP] = {"own-stop", LL_CONDUCT, "above the recorder's own mandatory stop", "m",
                             {0, 0.5, NAN, LL_BUILT_IN, "the recorder's own display; the step to caution: " COMMON}},
    [LL_FINDING_DEPTH] = {"depth", LL_CONDUCT, "depth", "m", {NAN, NAN, NAN, LL_BUILT_IN, OF_STANDARD}},
    [LL_FINDING_STOP_DEPTH] = {"stop-depth", LL_CONDUCT, "off a level that was kept while a stop was asked", "m",
                               {NAN, NAN, NAN, LL_BUILT_IN, OF_STANDARD}},
    [LL_FINDING_SWITCH_DEPTH] = {"switch-depth", LL_CONDUCT, "deeper than the greatest depth of the mix that a switch goes to",
                                 "m", {NAN, NAN, NAN, LL_BUILT_IN, OF_STANDARD}},
    [LL_FINDING_RESERVE] = {"reserve", LL_CONDUCT, "tank pressure", "bar", {NAN, NAN, NAN, LL_BUILT_IN, OF_STANDARD}},
    [LL_FINDING_OXYGEN_HIGH] = {"oxygen-high", LL_GAS, "PO2", "atm",
                                {1.6, 1.65, 1.7, LL_BUILT_IN,
                                 "NOAA Diving Program notice 2015: 1.4 working, 1.6 decompression; the steps above 1.6: " COMMON}},
    [LL_FINDING_OXYGEN_LOW] = {"oxygen-low", LL_GAS, "PO2", "atm",
                               {0.18, NAN, 0.16, LL_BUILT_IN,
                                "US Navy Diving Manual, mixed gas: special start below 16 % oxygen; 0.18: " COMMON}},
    [LL_FINDING_DENSITY] = {"density", LL_GAS, "gas density", "g/L",
                            {5.2, 6.2, NAN, LL_BUILT_IN, "Anthony and Mitchell 2016: 5.2 preferred, 6.2 g/L at most"}},
    [LL_FINDING_NARCOSIS] = {"narcosis", LL_GAS, "END", "m", {30, 40, NAN, LL_BUILT_IN, COMMON}},
    [LL_FINDING_COUNTERDIFFUSION] = {"counterdiffusion", LL_GAS,
                                     "rise of the nitrogen fraction less a fifth of the fall of helium at a switch on the ascent",
                                     "fraction",
                                     {0, NAN, NAN, LL_BUILT_IN,
                                      "the rule of fifths (Burton): common practice, disputed, no data behind it"}},
    [LL_FINDING_CNS] = {"cns", LL_DOSE, "CNS", "percent",
                        {NAN, 80, 100, LL_BUILT_IN, "NOAA Diving Manual, 4th ed. 2001 (100 %); 80 %: " COMMON}},
    [LL_FINDING_OTU] = {"otu", LL_DOSE, "OTU of the diving days in a row", "percent",
                        {80, 100, NAN, LL_BUILT_IN, LL_REPEX_SOURCE "; 80 %: " COMMON}},
};

ll_direction ll_limit_direction(ll_kind kind)
{
    return kind == LL_FINDING_OXYGEN_LOW || kind == LL_FINDING_RESERVE ? LL_LOWER_LIMIT : LL_UPPER_LIMIT;
}

const ll_limit ll_bottom_oxygen_limit = {
    NAN, 1.4, NAN, LL_BUILT_IN, "NOAA Diving Program notice 2015: 1.4 atm while working"};

void ll_limits_built_in(ll_limits *limits)
{
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        limits->of[kind] = ll_kind_table[kind].limit;
    limits->bottom_oxygen = ll_bottom_oxygen_limit;
}
