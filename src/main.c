/* main.c - finds the command and hands over to it. */
#include "commands/commands.h"

#include <argp.h>
#include <stdio.h>
#include <string.h>

struct command {
    const char *name, *help;
    int (*run)(int argc, char **argv);
};

static const struct command commands[] = {
#define SG_COMMAND(name, help) { #name, help, sg_command_##name },
#include "commands/commands.def"
#undef SG_COMMAND
};

static void put_help(FILE *out)
{
    fputs("stillground - ground vibration and noise from installing piles, held against limits\n\n"
          "Usage: stillground COMMAND [OPTION...] [ARGUMENT...]\n\nCommands:\n",
          out);
    for (size_t i = 0; i < SG_COUNT(commands); i++)
        fprintf(out, "  %-9s %s\n", commands[i].name, commands[i].help);
    fputs(
        "\n`stillground COMMAND --help` explains a command.\n\n"
        "Exit status: 0 done and within limits; 1 done and a limit is over; 2 usage; 3 bad input;\n"
        "4 reading or writing failed; 5 not determinable (with --strict); 70 a fault in the "
        "program.\n\n"
        "Results are screening values, not proof; the permit and local codes win, and a competent\n"
        "person reviews and signs.\n",
        out);
}

static int unknown_command(const char *name)
{
    const char *known[SG_COUNT(commands)];
    for (size_t i = 0; i < SG_COUNT(commands); i++)
        known[i] = commands[i].name;
    const char *near = sg_nearest(name, known, SG_COUNT(known));
    fprintf(stderr, "stillground: no command '%s'", name);
    if (near)
        fprintf(stderr, "; nearest: %s", near);
    fputs("; `stillground --help` lists them\n", stderr);
    return sg_status_exit(SG_ERR_USAGE);
}

static bool is_one_of(const char *word, const char *a, const char *b)
{
    return strcmp(word, a) == 0 || strcmp(word, b) == 0;
}

int main(int argc, char **argv)
{
    argp_err_exit_status = sg_status_exit(SG_ERR_USAGE);
    if (argc < 2) {
        put_help(stderr);
        return sg_status_exit(SG_ERR_USAGE);
    }
    if (is_one_of(argv[1], "--help", "-?")) {
        put_help(stdout);
        return 0;
    }
    if (is_one_of(argv[1], "--version", "-V")) {
        puts("stillground " SG_VERSION);
        return 0;
    }
    for (size_t i = 0; i < SG_COUNT(commands); i++) {
        if (strcmp(commands[i].name, argv[1]) == 0) {
            char name[64]; /* by which the command calls itself in its messages */
            snprintf(name, sizeof(name), "stillground %s", commands[i].name);
            argv[1] = name;
            return commands[i].run(argc - 1, argv + 1);
        }
    }
    return unknown_command(argv[1]);
}
