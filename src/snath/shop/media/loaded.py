"""Load the decoder once, and give every file a process of its own: a fork of this one, which has opened nothing.

Loading takes longer than decoding a short clip. What is asked comes over a socket that is this process's standard
input: a request with the file, the pipe to answer into, and a line over which the child's number goes back. Where
that line is closed, the asker is gone or has enough, and the child is ended.
"""

import json
import os
import selectors
import signal
import socket
import sys
from typing import Any

from snath.shop.media.decoder_worker import serve

LONGEST = 65_536  # bytes of a request
FILES = 3  # that come with it: the recording, the pipe, the line
FIRST_FREE = 3  # beyond standard input, output and error


def main() -> None:
    """Serve until nobody can ask any more."""
    asked = socket.socket(fileno=os.dup(0))
    os.set_inheritable(asked.fileno(), False)
    with selectors.DefaultSelector() as waiting:
        waiting.register(asked, selectors.EVENT_READ)
        while True:
            for key, _ in waiting.select():
                if key.fileobj is not asked:
                    _end(waiting, key)
                elif not _begin(asked, waiting):
                    for left in [one for one in waiting.get_map().values() if one.data]:
                        _end(waiting, left)
                    return


def _begin(asked: socket.socket, waiting: selectors.BaseSelector) -> bool:
    """Fork a child for the next request; False where there will be none."""
    words, files, _, _ = socket.recv_fds(asked, LONGEST, FILES)
    if not words:
        return False
    recording, pipe, line = files
    born = os.fork()
    if born == 0:
        _work(json.loads(words), recording, pipe)
    os.close(recording)
    os.close(pipe)
    talk = socket.socket(fileno=line)
    waiting.register(talk, selectors.EVENT_READ, born)
    talk.sendall(str(born).encode())
    return True


def _work(request: dict[str, Any], recording: int, pipe: int) -> None:
    """What the child does; it never comes back."""
    try:
        os.dup2(recording, 0)
        os.dup2(pipe, 1)
        os.closerange(FIRST_FREE, LONGEST)
        serve(request)
        sys.stdout.flush()
    finally:
        os._exit(0)


def _end(waiting: selectors.BaseSelector, key: selectors.SelectorKey) -> None:
    """End a child whose asker has gone, and forget it."""
    waiting.unregister(key.fileobj)
    assert isinstance(key.fileobj, socket.socket)
    key.fileobj.close()
    os.kill(key.data, signal.SIGKILL)
    os.waitpid(key.data, 0)
