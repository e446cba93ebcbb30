/* predict.c - the command `predict`: values and verdicts at every receptor for every method. */
#include "study_command.h"

#include "stillground/report_noise.h"

int sg_command_predict(int argc, char **argv)
{
    static sg_table_maker *const makers[] = { sg_table_predictions,
                                              sg_table_noise_periods,
                                              sg_table_verdicts,
                                              sg_table_triggers,
                                              sg_table_percussive,
                                              sg_table_crew,
                                              NULL };
    return sg_study_command(
        argc, argv, makers,
        "Predicts vibration and noise at every receptor for every method and holds them against "
        "the limits that apply there."
        "\vExit status: 0 done and within limits; 1 done and a limit is over; 2 usage; 3 bad "
        "input; 4 a file could not be read; 5 not determinable, with --strict.");
}
