package org.cellherd.protocol.frame;

import java.util.Map;
import java.util.Set;
import org.cellherd.protocol.Refusal;

/**
 * What the numbers mean with which a board says no. Immutable.
 *
 * @param words for people
 * @param busy those after which the same question is asked again a little later
 */
public record ResultWords(Map<Long, String> words, Set<Long> busy) {
  public static final ResultWords NONE = new ResultWords(Map.of(), Set.of());

  public ResultWords {
    words = Map.copyOf(words);
    busy = Set.copyOf(busy);
  }

  /** What a frame says by which a board refuses. */
  public Refusal refusal(Frame frame) {
    long code = frame.data().length == 0 ? 0 : frame.data()[0] & 0xFF;
    boolean isBusy = busy.contains(code);
    String said = words.getOrDefault(code, isBusy ? "busy" : "reason not described");
    return new Refusal(
        isBusy ? Refusal.Reason.BUSY : Refusal.Reason.EXCEPTION,
        0,
        "the board refuses with code " + code + ": " + said);
  }
}
