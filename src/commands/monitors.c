/* monitors.c - the command `monitors`: the monitoring plan of a site. */
#include "stillground/report_works.h"
#include "study_command.h"

static sg_status make_monitors(const struct sg_study *study, struct sg_table *out)
{
    struct sg_monitors monitors = SG_MONITORS_INIT;
    sg_status status = sg_monitors_make(study, &monitors);
    if (sg_ok(status)) {
        status = sg_table_monitors(study, &monitors, out);
        sg_monitors_release(&monitors);
    } else {
        sg_table_init(out, "monitors", "", NULL, 0);
    }
    return status;
}

int sg_command_monitors(int argc, char **argv)
{
    static sg_table_maker *const makers[] = { make_monitors, NULL };
    return sg_study_command(
        argc, argv, makers,
        "Names the receptors to be watched under the methods of the site file, the quantity and "
        "position, levels at which to act and to stop, what the instrument must cover, condition "
        "surveys, and the fewest monitors that stand for all of them."
        "\vShares of the limits and the distance that a monitor stands for are set under "
        "`monitoring` in the site file. Exit status: 0 done and within limits; 1 done and a limit "
        "is over; 2 usage; 3 bad input; 4 a file could not be read; 5 not determinable, with "
        "--strict.");
}
