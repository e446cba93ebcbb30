/* file.c - writes a file beside its place and renames it, so that a crash or a full disk leaves the
 * old one. Source: POSIX.1-2008 rename(), fsync().
 */
#define _POSIX_C_SOURCE 200809L
#include "internal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define TRIES 100

static sg_status complain(struct sg_errors *errors, const char *path, const char *what)
{
    char reason[128] = "unknown reason";
    (void)strerror_r(errno, reason, sizeof reason);
    return sg_errors_add(errors, SG_ERR_IO, &(struct sg_place){ .file = path }, "%s: %s", what,
                         reason);
}

static bool write_all(int descriptor, const char *data, size_t length)
{
    while (length > 0) {
        ssize_t done = write(descriptor, data, length);
        if (done < 0 && errno == EINTR)
            continue;
        if (done < 0)
            return false;
        data += done;
        length -= (size_t)done;
    }
    return true;
}

/* Devices and pipes are written to as they are: a rename would take their place. */
static sg_status write_through(const char *path, const char *data, size_t length,
                               struct sg_errors *errors)
{
    int descriptor = open(path, O_WRONLY | O_CLOEXEC);
    if (descriptor < 0)
        return complain(errors, path, "cannot open for writing");
    bool written = write_all(descriptor, data, length);
    sg_status status = written ? SG_OK : complain(errors, path, "cannot write");
    if (close(descriptor) != 0 && written)
        status = complain(errors, path, "cannot write");
    return status;
}

/* A new file beside `path`; its name goes to *beside. */
static int open_beside(const char *path, struct sg_arena *arena, const char **beside)
{
    for (int i = 0; i < TRIES; i++) {
        *beside = sg_arena_printf(arena, "%s.tmp-%ld-%d", path, (long)getpid(), i);
        if (*beside == NULL) {
            errno = ENOMEM;
            return -1;
        }
        int descriptor = open(*beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (descriptor >= 0 || errno != EEXIST)
            return descriptor;
    }
    return -1;
}

sg_status sg_file_write(const char *path, const char *data, size_t length, struct sg_errors *errors)
{
    struct sg_arena arena = SG_ARENA_INIT;
    sg_status status = SG_OK;
    struct stat old;
    const char *beside = NULL;
    bool exists = stat(path, &old) == 0;

    if (exists && S_ISDIR(old.st_mode))
        return sg_errors_add(errors, SG_ERR_IO, &(struct sg_place){ .file = path },
                             "is a folder; a file name is needed");
    if (exists && !S_ISREG(old.st_mode))
        return write_through(path, data, length, errors);

    int descriptor = open_beside(path, &arena, &beside);
    if (descriptor < 0) {
        status = complain(errors, path, "cannot create a file there");
        goto done;
    }
    if (exists)
        (void)fchmod(descriptor, old.st_mode & 07777); /* keep who may read it */
    bool written = write_all(descriptor, data, length) && fsync(descriptor) == 0;
    if (!written)
        status = complain(errors, path, "cannot write");
    if (close(descriptor) != 0 && written)
        status = complain(errors, path, "cannot write");
    if (sg_ok(status) && rename(beside, path) != 0)
        status = complain(errors, path, "cannot take the place of the old file");
    if (!sg_ok(status))
        (void)unlink(beside);
done:
    sg_arena_release(&arena);
    return status;
}
