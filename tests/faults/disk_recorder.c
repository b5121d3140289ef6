/* Records what a program does to the files under a folder, for LD_PRELOAD, so that a power cut can be played.

   RECORD_UNDER names the folder, RECORD_TO the file to write to. Each entry is a line "KIND file offset length path", then
   as many bytes as it says: C made, W written, T cut to a length, S on disk, D folder on disk, R renamed (the new name
   follows), L given a second name, U removed, M folder made, N a note of the program (see disk_note). The index of the
   log (-shm) is memory and is left out.
*/
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <unistd.h>

static int is_ours(const char *name) {
    const char *under = getenv("RECORD_UNDER");
    return under && name && !strncmp(name, under, strlen(under)) && !strstr(name, "-shm");
}

static int name_of(int number, char *name, size_t room) {
    char link[64];
    snprintf(link, sizeof link, "/proc/self/fd/%d", number);
    ssize_t length = syscall(SYS_readlink, link, name, room - 1);
    if (length <= 0) return 0;
    name[length] = 0;
    char *gone = strstr(name, " (deleted)");
    if (gone) *gone = 0;
    return is_ours(name);
}

static void entry(char kind, long file, long at, const void *bytes, long length, const char *name) {
    static int to = -1;
    char head[4400];
    if (to < 0) to = syscall(SYS_openat, AT_FDCWD, getenv("RECORD_TO"), O_WRONLY | O_CREAT | O_APPEND, 0600);
    int size = snprintf(head, sizeof head, "%c %ld %ld %ld %s\n", kind, file, at, length, name);
    syscall(SYS_write, to, head, size);
    if (length) syscall(SYS_write, to, bytes, length);
}

void disk_note(const char *words) { entry('N', 0, 0, words, strlen(words), "-"); }

static long file_of(int number) { struct stat s; return fstat(number, &s) ? 0 : (long)s.st_ino; }

#define REAL(name) static __typeof__(name) *real; if (!real) real = (__typeof__(name) *)dlsym(RTLD_NEXT, #name)

static void written(int fd, const void *b, ssize_t n, off_t o) {
    char name[4096];
    if (n > 0 && name_of(fd, name, sizeof name)) entry('W', file_of(fd), o, b, n, name);
}
ssize_t pwrite(int fd, const void *b, size_t n, off_t o) { REAL(pwrite); ssize_t done = real(fd, b, n, o); written(fd, b, done, o); return done; }
ssize_t pwrite64(int fd, const void *b, size_t n, off64_t o) { REAL(pwrite64); ssize_t done = real(fd, b, n, o); written(fd, b, done, o); return done; }
ssize_t write(int fd, const void *b, size_t n) {
    REAL(write);
    ssize_t done = real(fd, b, n);
    if (done > 0) written(fd, b, done, lseek(fd, 0, SEEK_CUR) - done);
    return done;
}

static void cut(int fd, int done, off_t n) { char name[4096]; if (!done && name_of(fd, name, sizeof name)) entry('T', file_of(fd), n, 0, 0, name); }
int ftruncate(int fd, off_t n) { REAL(ftruncate); int done = real(fd, n); cut(fd, done, n); return done; }
int ftruncate64(int fd, off64_t n) { REAL(ftruncate64); int done = real(fd, n); cut(fd, done, n); return done; }

static void synced(int fd, int done) {
    char name[4096];
    struct stat s;
    if (!done && name_of(fd, name, sizeof name) && !fstat(fd, &s)) entry(S_ISDIR(s.st_mode) ? 'D' : 'S', (long)s.st_ino, 0, 0, 0, name);
}
int fsync(int fd) { REAL(fsync); int done = real(fd); synced(fd, done); return done; }
int fdatasync(int fd) { REAL(fdatasync); int done = real(fd); synced(fd, done); return done; }

int rename(const char *path, const char *to) { REAL(rename); int done = real(path, to); if (!done && is_ours(to)) entry('R', 0, 0, to, strlen(to), path); return done; }
int link(const char *path, const char *to) { REAL(link); int done = real(path, to); if (!done && is_ours(to)) entry('L', 0, 0, to, strlen(to), path); return done; }
int unlink(const char *path) { REAL(unlink); int done = real(path); if (!done && is_ours(path)) entry('U', 0, 0, 0, 0, path); return done; }
int mkdir(const char *path, mode_t mode) { REAL(mkdir); int done = real(path, mode); if (!done && is_ours(path)) entry('M', 0, 0, 0, 0, path); return done; }

static void opened(const char *path, int flags, int was, int number) {
    char name[4096];
    if (number < 0 || !(flags & (O_CREAT | O_TRUNC)) || !name_of(number, name, sizeof name)) return;
    if (!was) entry('C', file_of(number), 0, 0, 0, name);
    else if (flags & O_TRUNC) entry('T', file_of(number), 0, 0, 0, name);
    (void)path;
}
#define OPEN(name) int name(const char *path, int flags, ...) { \
    REAL(name); va_list more; va_start(more, flags); int mode = va_arg(more, int); va_end(more); \
    int was = !syscall(SYS_access, path, F_OK), number = real(path, flags, mode); \
    opened(path, flags, was, number); return number; }
OPEN(open)
OPEN(open64)
