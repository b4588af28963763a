package org.cellherd.sim;

import java.util.Optional;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Request;

/** One poll of a board over an open link, without retries. */
final class Polls {

  private static final int PATIENCE_MS = 1000;

  private Polls() {}

  static Optional<Reading> poll(Link link, Dialogue dialogue, long timeMs) throws LinkException {
    return poll(link, dialogue, timeMs, PATIENCE_MS);
  }

  /** The same with more patience: a real line waits for a busy computer. */
  static Optional<Reading> poll(Link link, Dialogue dialogue, long timeMs, int patienceMs)
      throws LinkException {
    byte[] buffer = new byte[512];
    dialogue.begin();
    Optional<Request> request = dialogue.nextRequest();
    while (request.isPresent()) {
      link.write(request.get().bytes());
      Dialogue.Progress progress = Dialogue.Progress.NEED_MORE;
      while (progress == Dialogue.Progress.NEED_MORE) {
        int got = link.read(buffer, patienceMs);
        if (got == 0 && dialogue.silence() != Dialogue.Progress.ANSWERED) {
          return Optional.empty();
        }
        progress = dialogue.feed(buffer, 0, got);
      }
      if (progress == Dialogue.Progress.REFUSED) {
        return Optional.empty();
      }
      request = dialogue.nextRequest();
    }
    return dialogue.reading(timeMs);
  }
}
