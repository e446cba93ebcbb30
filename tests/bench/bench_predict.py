#!/usr/bin/python3
"""CPU time of one run of the program: bench_predict.py PROGRAM ARGUMENT...

User and system time of the child as the kernel counts it, best of 5.
"""
import os
import subprocess
import sys

REPEATS = 5
ALLOWED = (0, 1)  # done; done and a limit is over


def cpu_s(command):
    with open(os.devnull, "wb") as null:
        child = subprocess.Popen(command, stdout=null)
        _, status, usage = os.wait4(child.pid, 0)
    if os.waitstatus_to_exitcode(status) not in ALLOWED:
        sys.exit(f"{' '.join(command)}: ended with {os.waitstatus_to_exitcode(status)}")
    return usage.ru_utime + usage.ru_stime


def main():
    times = sorted(cpu_s(sys.argv[1:]) for _ in range(REPEATS))
    name = " ".join([os.path.basename(sys.argv[1])] + sys.argv[2:])
    print(f"CPU time of `{name}`: {times[0]:.4f} s (best of {REPEATS}; worst {times[-1]:.4f} s)")


main()
