/* gnuplot.c - runs gnuplot as a separate program: no shell, a bare environment, the script on its
 * standard input, its output through a pipe with a cap on size and on silence.
 * Source: POSIX.1-2008 posix_spawn(), poll(); a socket stands for the input pipe because writing to
 * a socket whose reader has gone can be told not to raise a signal.
 */
#define _POSIX_C_SOURCE 200809L
#include "internal.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#define SILENCE_MS 60000
#define OUTPUT_MAX ((size_t)64 << 20)
#define COMPLAINT_MAX ((size_t)4096)

enum { INPUT, OUTPUT, COMPLAINTS, ENDS };

struct child {
    pid_t pid;
    int ours[ENDS], theirs[ENDS];
};

static void close_end(int *descriptor)
{
    if (*descriptor >= 0)
        (void)close(*descriptor);
    *descriptor = -1;
}

static bool open_ends(struct child *child)
{
    int pair[2];
    for (int i = 0; i < ENDS; i++)
        child->ours[i] = child->theirs[i] = -1;
    for (int i = 0; i < ENDS; i++) {
        int bad = i == INPUT ? socketpair(AF_UNIX, SOCK_STREAM, 0, pair) : pipe(pair);
        if (bad != 0)
            return false;
        child->ours[i] = pair[0];
        child->theirs[i] = pair[1];
        for (int k = 0; k < 2; k++)
            if (fcntl(pair[k], F_SETFD, FD_CLOEXEC) != 0)
                return false;
    }
    return true;
}

/* The program is looked for along PATH; of our environment it gets nothing else. */
static int spawn(struct child *child)
{
    static char program[] = "gnuplot", defaults[] = "-d", locale[] = "LC_ALL=C";
    char *arguments[] = { program, defaults, NULL };
    char *environment[] = { locale, NULL };
    posix_spawn_file_actions_t actions;
    int bad = posix_spawn_file_actions_init(&actions);
    if (bad != 0)
        return bad;
    for (int i = 0; i < ENDS && bad == 0; i++)
        bad = posix_spawn_file_actions_adddup2(&actions, child->theirs[i], i);
    if (bad == 0)
        bad = posix_spawnp(&child->pid, program, &actions, NULL, arguments, environment);
    (void)posix_spawn_file_actions_destroy(&actions);
    return bad;
}

/* Sends what fits; closes our end when everything is sent or nobody reads any more. */
static void feed(struct child *child, const char *script, size_t length, size_t *sent)
{
    ssize_t count =
        send(child->ours[INPUT], script + *sent, length - *sent, MSG_NOSIGNAL | MSG_DONTWAIT);
    if (count > 0)
        *sent += (size_t)count;
    else if (count < 0 && (errno == EAGAIN || errno == EINTR))
        return;
    if (count <= 0 || *sent == length)
        close_end(&child->ours[INPUT]);
}

static void drain(int *descriptor, struct sg_text *out, size_t most)
{
    char chunk[65536];
    ssize_t count = read(*descriptor, chunk, sizeof chunk);
    if (count < 0 && errno == EINTR)
        return;
    if (count <= 0) {
        close_end(descriptor);
        return;
    }
    if ((size_t)count > most - out->length)
        out->failed = true;
    else
        sg_text_put_bytes(out, chunk, (size_t)count);
}

/* True when the program has closed its outputs; false when it fell silent or wrote too much. */
static bool converse(struct child *child, const char *script, size_t length, struct sg_text *out,
                     struct sg_text *complaint)
{
    size_t sent = 0;
    while (child->ours[OUTPUT] >= 0 || child->ours[COMPLAINTS] >= 0) {
        struct pollfd wait[ENDS];
        for (int i = 0; i < ENDS; i++)
            wait[i] =
                (struct pollfd){ .fd = child->ours[i], .events = i == INPUT ? POLLOUT : POLLIN };
        int ready = poll(wait, ENDS, SILENCE_MS);
        if (ready < 0 && errno == EINTR)
            continue;
        if (ready <= 0 || out->failed)
            return false;
        if (child->ours[INPUT] >= 0 && wait[INPUT].revents != 0)
            feed(child, script, length, &sent);
        if (child->ours[OUTPUT] >= 0 && wait[OUTPUT].revents != 0)
            drain(&child->ours[OUTPUT], out, OUTPUT_MAX);
        if (child->ours[COMPLAINTS] >= 0 && wait[COMPLAINTS].revents != 0) {
            drain(&child->ours[COMPLAINTS], complaint, COMPLAINT_MAX);
            complaint->failed = false; /* the rest of the complaints does not matter */
        }
    }
    return true;
}

static const char not_installed[] = "gnuplot is not installed; plots need it";
#define NOT_THERE 127 /* how a child ends that could not become the program, by POSIX */

/* The exit status, or -1 when there is none. */
static int ended_with(pid_t pid)
{
    int how = 0;
    while (waitpid(pid, &how, 0) < 0)
        if (errno != EINTR)
            return -1;
    return WIFEXITED(how) ? WEXITSTATUS(how) : -1;
}

static sg_status judge_run(bool complete, int ended, const struct sg_text *complaint,
                           struct sg_errors *errors)
{
    struct sg_text said = SG_TEXT_INIT;
    sg_report_put_clean(&said, sg_text_string(complaint), true);
    sg_status status = SG_OK;
    if (ended == NOT_THERE)
        status = sg_errors_add(errors, SG_ERR_IO, NULL, "%s", not_installed);
    else if (!complete)
        status = sg_errors_add(errors, SG_ERR_IO, NULL,
                               "gnuplot did not finish (silent for 60 s or too much output)");
    else if (ended != 0)
        status =
            sg_errors_add(errors, SG_ERR_IO, NULL, "gnuplot failed: %s", sg_text_string(&said));
    sg_text_release(&said);
    return status;
}

sg_status sg_gnuplot_run(const char *script, size_t length, struct sg_text *out,
                         struct sg_errors *errors)
{
    struct child child = { .pid = -1 };
    struct sg_text complaint = SG_TEXT_INIT;
    sg_status status = SG_OK;

    if (!open_ends(&child)) {
        status = sg_errors_add(errors, SG_ERR_IO, NULL, "cannot open pipes to gnuplot");
        goto done;
    }
    int bad = spawn(&child);
    if (bad != 0) {
        status = sg_errors_add(errors, SG_ERR_IO, NULL, "%s",
                               bad == ENOENT ? not_installed : "gnuplot could not be started");
        goto done;
    }
    for (int i = 0; i < ENDS; i++)
        close_end(&child.theirs[i]);
    bool complete = converse(&child, script, length, out, &complaint);
    if (!complete)
        (void)kill(child.pid, SIGKILL);
    status = judge_run(complete, ended_with(child.pid), &complaint, errors);
done:
    for (int i = 0; i < ENDS; i++) {
        close_end(&child.ours[i]);
        close_end(&child.theirs[i]);
    }
    sg_text_release(&complaint);
    return status;
}
