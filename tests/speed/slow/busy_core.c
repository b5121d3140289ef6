/* Keeps one core busy for a part of each stretch of time, before everybody else: what runs there beside it has the rest.

   busy_core CORE BUSY_US STRETCH_US. Ends with whoever started it. Needs the right to real-time priority. */
#define _GNU_SOURCE
#include <sched.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/prctl.h>
#include <time.h>

#define SECOND_NS 1000000000LL

static long long now_ns(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec * SECOND_NS + now.tv_nsec;
}

static void sleep_until(long long at_ns)
{
    struct timespec at = {at_ns / SECOND_NS, at_ns % SECOND_NS};
    clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &at, NULL);
}

int main(int count, char **words)
{
    if (count != 4) {
        fprintf(stderr, "busy_core CORE BUSY_US STRETCH_US\n");
        return 2;
    }
    long long busy_ns = atoll(words[2]) * 1000, stretch_ns = atoll(words[3]) * 1000;
    struct sched_param first = {.sched_priority = 10};
    cpu_set_t core;
    CPU_ZERO(&core);
    CPU_SET(atoi(words[1]), &core);
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (sched_setaffinity(0, sizeof core, &core) || sched_setscheduler(0, SCHED_FIFO, &first)) {
        perror("busy_core");
        return 1;
    }
    printf("busy\n");
    fflush(stdout);
    for (long long next_ns = now_ns();;) {
        long long began_ns = now_ns(), ended_ns;
        while ((ended_ns = now_ns()) - began_ns < busy_ns) {
        }
        next_ns += stretch_ns;
        if (next_ns < ended_ns)  /* the kernel kept it away for a while: nothing is made up for */
            next_ns = ended_ns + stretch_ns - busy_ns;
        sleep_until(next_ns);
    }
}
