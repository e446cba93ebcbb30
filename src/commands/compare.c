/* compare.c - the command `compare`: the methods side by side. */
#include "study_command.h"

int sg_command_compare(int argc, char **argv)
{
    static sg_table_maker *const makers[] = { sg_table_comparison, sg_table_programme,
                                              sg_table_standoffs, sg_table_notifications, NULL };
    return sg_study_command(
        argc, argv, makers,
        "Puts the methods side by side: what governs and by how much, receptors over, days of "
        "work, ground, stand-off distance for each limit, notifications."
        "\vStand-off distances are for the ground of the whole site, in the free field. Exit "
        "status: 0 done and within limits; 1 done and a limit is over; 2 usage; 3 bad input; 4 a "
        "file could not be read; 5 not determinable, with --strict.");
}
