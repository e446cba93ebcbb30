/* fit.c - the command `fit`: its options. */
#include "fit_request.h"
#include "options.h"

#include <argp.h>

enum key {
    KEY_LOG = 256,
    KEY_SITE,
    KEY_COLUMN,
    KEY_ONLY,
    KEY_POOL,
    KEY_GROUP,
    KEY_TO_TOE,
    KEY_EVERY,
    KEY_BY,
    KEY_SCALED,
    KEY_SLOPE,
    KEY_PRIOR,
    KEY_SET,
    KEY_PRIOR_SCATTER,
    KEY_PRIOR_SHARE,
    KEY_PRIOR_SLOPE,
    KEY_PRIOR_WEIGHT,
    KEY_SHARED,
    KEY_PILE,
    KEY_PERCENTILE,
    KEY_CONFIDENCE,
    KEY_UPPER,
    KEY_LIMIT,
    KEY_SHARE,
    KEY_PILES,
    KEY_AT,
    KEY_ENERGY,
    KEY_TRIAL,
    KEY_AGAINST,
    KEY_TECHNIQUE,
    KEY_PHASE,
    KEY_POSITION,
    KEY_NAME,
    KEY_PLOT
};

static const struct argp_option options[] = {
    { NULL, 0, NULL, 0, "What is read", 1 },
    { "log", KEY_LOG, "FILE", 0, "DATA are measured intervals; FILE is the pile log; needs --site",
      1 },
    { "site", KEY_SITE, "FILE", 0, "site file: distances for --log, receptors for plot and trial",
      1 },
    { "column", KEY_COLUMN, "ROLE=HEADER[:UNIT]", 0, "the column that is the distance, value, ...",
      1 },
    { "only", KEY_ONLY, "HEADER=VALUE", 0, "only rows with this value; may be repeated", 1 },
    { "pool", KEY_POOL, "HEADER", 0, "throw the kinds of this column together", 1 },
    { "to-toe", KEY_TO_TOE, NULL, 0, "distance to the toe, from plan distance and toe depth", 1 },
    { "every-value", KEY_EVERY, NULL, 0, "with --log: all values, not the largest of each pile",
      1 },
    { NULL, 0, NULL, 0, "How it is fitted", 2 },
    { "by", KEY_BY, "WAY", 0, "ordinary (default), robust, mixed (with --group) or update", 2 },
    { "scaled", KEY_SCALED, NULL, 0, "on distance over the root of energy", 2 },
    { "slope", KEY_SLOPE, "B", 0, "hold the slope, for distances close together", 2 },
    { "group", KEY_GROUP, "HEADER", 0, "column whose groups share a part of the scatter", 2 },
    { "prior", KEY_PRIOR, "RELATION", 0, "update this published relation", 2 },
    { "set", KEY_SET, "KEY=VALUE", 0, "input of the relation of --prior or --against", 2 },
    { "prior-scatter", KEY_PRIOR_SCATTER, "LG", 0, "its standard deviation in lg units", 2 },
    { "prior-site-share", KEY_PRIOR_SHARE, "SHARE", 0, "of its variance between sites (0.5)", 2 },
    { "prior-slope-scatter", KEY_PRIOR_SLOPE, "B", 0, "of slopes between sites (0.3)", 2 },
    { "prior-weight", KEY_PRIOR_WEIGHT, "N", 0, "values its scatter is worth (4)", 2 },
    { "shared-scatter", KEY_SHARED, "S", 0, "part of the scatter that all piles share", 2 },
    { "pile-scatter", KEY_PILE, "S", 0, "part of the scatter of each pile", 2 },
    { NULL, 0, NULL, 0, "What is asked", 3 },
    { "percentile", KEY_PERCENTILE, "P", 0, "of the upper line, 50 to 99.9 (95)", 3 },
    { "confidence", KEY_CONFIDENCE, "C", 0, "of mean and tolerance, 50 to 99.9 (95)", 3 },
    { "upper", KEY_UPPER, "LINE", 0, "prediction (default) or parallel", 3 },
    { "at", KEY_AT, "DISTANCE", 0, "print the lines there; may be repeated", 3 },
    { "energy", KEY_ENERGY, "ENERGY", 0, "for a law on scaled distance", 3 },
    { "limit", KEY_LIMIT, "VALUE", 0, "distance that keeps it, chance that it is passed", 3 },
    { "share", KEY_SHARE, "PERCENT", 0, "of the limit that is to be kept (100)", 3 },
    { "piles", KEY_PILES, "N", 0, "chance over so many piles (1)", 3 },
    { "trial", KEY_TRIAL, NULL, 0, "how many values more halve the interval", 3 },
    { "against", KEY_AGAINST, "RELATION", 0,
      "hold a relation (or 'predicted': the column) against DATA", 3 },
    { "law", 'l', "FILE", 0, "hold this law against DATA instead of fitting one", 3 },
    { NULL, 0, NULL, 0, "What is written", 4 },
    { "output", 'o', "FILE", 0, "the law, for --law of the other commands; needs --technique", 4 },
    { "technique", KEY_TECHNIQUE, "ID", 0, "impact, vibratory, press-in, ...", 4 },
    { "phase", KEY_PHASE, "ID", 0, "all, steady or start-stop", 4 },
    { "position", KEY_POSITION, "ID", 0, "where it was measured (free-field)", 4 },
    { "name", KEY_NAME, "TEXT", 0, "of the law", 4 },
    { "plot", KEY_PLOT, "FILE", 0, "an SVG of values, line and limits", 4 },
    { "plots", 'p', "DIR", 0, "leave the gnuplot script and its data in this folder", 4 },
    { "format", 'f', "FORMAT", 0, "table (default), csv or json", 4 },
    { NULL, 0, NULL, 0, NULL, 0 },
};

static double number(struct argp_state *state, const char *name, const char *text, double low,
                     double high)
{
    double value = SG_UNSET;
    const char *why = "is out of range";
    if (sg_parse_number(text, &value, &why) != SG_OK || !(value >= low && value <= high))
        argp_error(state, "--%s '%s' %s; allowed: %g to %g", name, text, why, low, high);
    return value;
}

static double quantity(struct argp_state *state, const char *name, const char *text,
                       const char *unit)
{
    double value = SG_UNSET;
    const char *why = "is not above zero";
    if (sg_parse_quantity(text, unit, &value, &why) != SG_OK || !(value > 0))
        argp_error(state, "--%s '%s' %s; allowed: a number above 0, in %s or with its unit", name,
                   text, why, unit);
    return value;
}

static void put(struct argp_state *state, const char **list, size_t *count, const char *text)
{
    if (*count == SG_FIT_LIST_MOST)
        argp_error(state, "more than %d of one option", SG_FIT_LIST_MOST);
    else
        list[(*count)++] = text;
}

static void choose_kind(struct argp_state *state, struct sg_fit_request *r, const char *word)
{
    for (int k = 0; k < SG_FIT_KIND_END; k++) {
        if (sg_same(sg_fit_kind_id((enum sg_fit_kind)k), word)) {
            r->fit.kind = (enum sg_fit_kind)k;
            r->kind_given = true;
            return;
        }
    }
    argp_error(state, "--by is '%s'; allowed: ordinary, robust, mixed, update", word);
}

static void choose_upper(struct argp_state *state, struct sg_fit_request *r, const char *word)
{
    for (int k = 0; k < SG_LINE_END; k++) {
        if (sg_same(sg_upper_line_id((enum sg_upper_line)k), word)) {
            r->upper = (enum sg_upper_line)k;
            return;
        }
    }
    argp_error(state, "--upper is '%s'; allowed: prediction, parallel", word);
}

static bool parse_list(int key, char *text, struct argp_state *state, struct sg_fit_request *r)
{
    switch (key) {
    case KEY_COLUMN:
        put(state, r->column, &r->pairs.ncolumn, text);
        return true;
    case KEY_ONLY:
        put(state, r->only, &r->pairs.nonly, text);
        return true;
    case KEY_POOL:
        put(state, r->pool, &r->pairs.npool, text);
        return true;
    case KEY_SET:
        if (r->nset == SG_FIT_LIST_MOST)
            argp_error(state, "more than %d inputs", SG_FIT_LIST_MOST);
        else
            r->set[r->nset++] = text;
        return true;
    case KEY_AT:
        if (r->nat == SG_FIT_LIST_MOST)
            argp_error(state, "more than %d distances", SG_FIT_LIST_MOST);
        else
            r->at_m[r->nat++] = quantity(state, "at", text, "m");
        return true;
    default:
        return false;
    }
}

static bool parse_number_option(int key, const char *text, struct argp_state *state,
                                struct sg_fit_request *r)
{
    switch (key) {
    case KEY_SLOPE:
        r->fit.fixed_slope = number(state, "slope", text, -100, 100);
        if (!(r->fit.fixed_slope < 0))
            argp_error(state,
                       "--slope '%s' would not fall with distance; allowed: below 0, "
                       "as -1.3",
                       text);
        return true;
    case KEY_PRIOR_SCATTER:
        r->prior_scatter = number(state, "prior-scatter", text, 0.01, 2);
        return true;
    case KEY_PRIOR_SHARE:
        r->prior_site_share = number(state, "prior-site-share", text, 0.01, 0.99);
        return true;
    case KEY_PRIOR_SLOPE:
        r->prior_slope_scatter = number(state, "prior-slope-scatter", text, 0.001, 10);
        return true;
    case KEY_PRIOR_WEIGHT:
        r->prior_weight = number(state, "prior-weight", text, 1, 1000);
        return true;
    case KEY_SHARED:
        r->fit.shared_scatter = number(state, "shared-scatter", text, 0, 100);
        return true;
    case KEY_PILE:
        r->fit.pile_scatter = number(state, "pile-scatter", text, 0, 100);
        return true;
    case KEY_PERCENTILE:
        r->percentile = number(state, "percentile", text, 50, 99.9);
        return true;
    case KEY_CONFIDENCE:
        r->confidence = number(state, "confidence", text, 50, 99.9);
        return true;
    case KEY_SHARE:
        r->share_percent = number(state, "share", text, 1, 100);
        return true;
    case KEY_PILES:
        r->piles = (size_t)number(state, "piles", text, 1, 100000);
        return true;
    case KEY_ENERGY:
        r->energy_J = quantity(state, "energy", text, "J");
        return true;
    default:
        return false;
    }
}

static bool parse_word(int key, const char *text, struct argp_state *state,
                       struct sg_fit_request *r)
{
    switch (key) {
    case KEY_LOG:
        r->log = text;
        return true;
    case KEY_SITE:
        r->site = text;
        return true;
    case KEY_GROUP:
        r->pairs.group = text;
        return true;
    case KEY_TO_TOE:
        r->pairs.to_toe = true;
        return true;
    case KEY_EVERY:
        r->pairs.every_value = true;
        return true;
    case KEY_BY:
        choose_kind(state, r, text);
        return true;
    case KEY_SCALED:
        r->fit.scaled = true;
        return true;
    case KEY_PRIOR:
        r->prior = text;
        return true;
    case KEY_UPPER:
        choose_upper(state, r, text);
        return true;
    case KEY_LIMIT:
        r->limit = text;
        return true;
    case KEY_TRIAL:
        r->trial = true;
        return true;
    case KEY_AGAINST:
        r->against = text;
        return true;
    case 'l':
        r->law = text;
        return true;
    case 'o':
        r->output = text;
        return true;
    case KEY_TECHNIQUE:
        r->technique = text;
        return true;
    case KEY_PHASE:
        r->phase = text;
        return true;
    case KEY_POSITION:
        r->position = text;
        return true;
    case KEY_NAME:
        r->name = text;
        return true;
    case KEY_PLOT:
        r->plot = text;
        return true;
    case 'p':
        r->plots = text;
        return true;
    case 'f':
        sg_take_format(text, state, &r->format);
        return true;
    default:
        return false;
    }
}

static void check_together(struct argp_state *state, struct sg_fit_request *r)
{
    if (!r->data)
        argp_error(state, "a table of measurements is needed");
    if (r->log && !r->site)
        argp_error(state, "--log needs --site: the distances come from the site");
    if (r->prior && r->kind_given && r->fit.kind != SG_FIT_UPDATE)
        argp_error(state, "--prior goes with --by update only");
    if (r->prior)
        r->fit.kind = SG_FIT_UPDATE;
    else if (r->fit.kind == SG_FIT_UPDATE)
        argp_error(state, "--by update needs --prior RELATION");
    if (r->pairs.group && !r->kind_given)
        r->fit.kind = SG_FIT_MIXED;
    if (r->fit.kind == SG_FIT_MIXED && !r->pairs.group)
        argp_error(state, "--by mixed needs --group HEADER");
    if (r->against && r->law)
        argp_error(state, "--against and --law: one of them at a time");
    bool fits = r->output || r->plot || r->prior || r->kind_given || r->pairs.group;
    bool asks = r->limit || r->nat > 0 || r->trial;
    if ((r->against || r->law) && (fits || asks))
        argp_error(state, "--against and --law fit nothing: --by, --group, --prior, --at, --limit, "
                          "--trial, --output and --plot go with a fit");
    if (r->pairs.group && r->fit.kind != SG_FIT_MIXED)
        argp_error(state, "--group goes with --by mixed only");
    if (r->output && !r->technique)
        argp_error(state, "--output needs --technique: a law holds for one way of installing");
}

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct sg_fit_request *r = state->input;
    if (parse_list(key, argument, state, r) || parse_number_option(key, argument, state, r) ||
        parse_word(key, argument, state, r))
        return 0;
    switch (key) {
    case ARGP_KEY_ARG:
        if (r->data)
            argp_error(state, "one table at a time; '%s' is one too many", argument);
        r->data = argument;
        return 0;
    case ARGP_KEY_END:
        check_together(state, r);
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

int sg_command_fit(int argc, char **argv)
{
    static const struct argp argp = {
        options,
        parse_option,
        "DATA",
        "Fits a straight line in lg of distance to measured values and prints it with its limits; "
        "updates a published relation by them; or holds a relation against them."
        "\vDATA is a table (CSV) with a column of distances and one of values, units in the "
        "header: "
        "distance_m,ppv_mm_s or 'Distance (ft)','PPV (in/s)' or distance_m,laeq_dB. The manual "
        "page has the columns. Exit status: 0 done; 1 held against the data, and not safe; 2 "
        "usage; "
        "3 bad input; 4 a file could not be read or written.",
        NULL,
        NULL,
        NULL,
    };
    struct sg_fit_request request = { .fit = SG_FIT_OPTIONS_INIT,
                                      .prior_scatter = SG_UNSET,
                                      .prior_site_share = SG_UNSET,
                                      .prior_slope_scatter = SG_UNSET,
                                      .prior_weight = SG_UNSET,
                                      .percentile = 95,
                                      .confidence = 95,
                                      .share_percent = 100,
                                      .energy_J = SG_UNSET,
                                      .piles = 1,
                                      .phase = NULL };
    request.pairs.column = request.column;
    request.pairs.only = request.only;
    request.pairs.pool = request.pool;
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return sg_fit_run(&request);
}
