"""A child that does not do what it should, as its sheet is called; started in place of the real one."""

import json
import os
import signal
import sys
import time

what = json.loads(sys.argv[1])["sheet"]
if what == "silent":
    time.sleep(60)
elif what == "out of time":
    os.kill(os.getpid(), signal.SIGXCPU)  # as the limit does
elif what == "killed":
    os.kill(os.getpid(), signal.SIGKILL)
elif what == "cut short":
    sys.stdout.buffer.write(b"\0\0\0\x20[")
elif what == "boundless":
    sys.stdout.buffer.write(b"\xff\xff\xff\xff[")
    sys.stdout.buffer.flush()
    time.sleep(60)
elif what == "without an end":
    sys.stdout.buffer.write(b'\0\0\0\x13["sheet","x",false]')
