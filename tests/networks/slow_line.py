"""A slow line: gives a host in another network namespace an interface whose frames come late, and some
not at all.

    slow_line.py PID INTERFACE BRIDGE_PORT DELAY_MS LOSS_PERCENT SEED

PID is a process in the host's namespace. The other end of the line is BRIDGE_PORT in the namespace that
this runs in. The same seed loses the same frames of the same order. It ends when it is ended.
"""

import ctypes
import fcntl
import heapq
import os
import random
import select
import struct
import sys
import time

TUNSETIFF = 0x400454CA
TAP_WITHOUT_HEADER = 0x0002 | 0x1000
NEW_NETWORK = 0x40000000


def tap(name):
    """An interface of the namespace that this process is in; it goes with the file."""
    opened = os.open("/dev/net/tun", os.O_RDWR | os.O_NONBLOCK)
    fcntl.ioctl(opened, TUNSETIFF, struct.pack("16sH22x", name.encode(), TAP_WITHOUT_HEADER))
    return opened


def main():
    pid, there, here, delay, loss, seed = sys.argv[1:]
    delay, loss, dice = int(delay) / 1000, int(loss) / 100, random.Random(int(seed))
    near = tap(here)
    with open(f"/proc/{pid}/ns/net") as namespace:
        if ctypes.CDLL(None, use_errno=True).setns(namespace.fileno(), NEW_NETWORK) != 0:
            sys.exit(f"cannot enter the host's network: {os.strerror(ctypes.get_errno())}")
    far = tap(there)
    print("the line stands", flush=True)
    other = {near: far, far: near}
    late, count = [], 0
    while True:
        wait = max(0.0, late[0][0] - time.monotonic()) if late else None
        for ready in select.select([near, far], [], [], wait)[0]:
            frame = os.read(ready, 65536)
            if dice.random() >= loss:
                # The count keeps frames of one moment in their order.
                count += 1
                heapq.heappush(late, (time.monotonic() + delay, count, other[ready], frame))
        while late and late[0][0] <= time.monotonic():
            _, _, to, frame = heapq.heappop(late)
            try:
                os.write(to, frame)
            except OSError:
                pass  # An interface that is down loses its frames, as a line does.


main()
