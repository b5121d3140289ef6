/* Loaded before the C library's: every wait for the disk takes longer, and how long all of them took can be asked.

   SYNC_MS is added to each, in each fiftieth SYNC_LONG_MS instead; without them nothing is added. */
#define _GNU_SOURCE
#include <stdatomic.h>
#include <stdlib.h>
#include <sys/syscall.h>
#include <time.h>
#include <unistd.h>

#define MILLISECOND_NS 1000000L
#define LONG_EACH 50

static atomic_uint syncs;
static atomic_llong waited_ns;

/* Nanoseconds that this process has waited for the disk. */
long long synced_ns(void)
{
    return waited_ns;
}

static long setting(const char *name)
{
    const char *text = getenv(name);
    return text ? atol(text) : 0;
}

static long long now_ns(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec * 1000LL * MILLISECOND_NS + now.tv_nsec;
}

static int slowly(long call, int file)
{
    long long began_ns = now_ns();
    long ms = setting(++syncs % LONG_EACH ? "SYNC_MS" : "SYNC_LONG_MS");
    struct timespec added = {ms / 1000, ms % 1000 * MILLISECOND_NS};
    nanosleep(&added, NULL);
    int answer = (int)syscall(call, file);
    waited_ns += now_ns() - began_ns;
    return answer;
}

int fsync(int file)
{
    return slowly(SYS_fsync, file);
}

int fdatasync(int file)
{
    return slowly(SYS_fdatasync, file);
}
