package org.cellherd.board;

import java.util.EnumMap;
import java.util.Map;
import org.cellherd.protocol.Refusal;

/**
 * What one board's polling came to since the poller was made. Immutable.
 *
 * @param polls polls begun (of a board that talks by itself: readings waited for)
 * @param answered polls that gave a reading
 * @param retries requests sent again
 * @param refusals frames that were refused, by reason; reasons that never came are absent
 * @param bytesThrownAway bytes that belonged to no frame
 */
public record PollCounts(
    long polls,
    long answered,
    long retries,
    Map<Refusal.Reason, Long> refusals,
    long bytesThrownAway) {

  public static final PollCounts NONE = new PollCounts(0, 0, 0, Map.of(), 0);

  public PollCounts {
    refusals = Map.copyOf(refusals);
  }

  PollCounts polled() {
    return new PollCounts(polls + 1, answered, retries, refusals, bytesThrownAway);
  }

  PollCounts heard() {
    return new PollCounts(polls, answered + 1, retries, refusals, bytesThrownAway);
  }

  PollCounts retried() {
    return new PollCounts(polls, answered, retries + 1, refusals, bytesThrownAway);
  }

  PollCounts threwAway(long total) {
    return new PollCounts(polls, answered, retries, refusals, total);
  }

  PollCounts refused(Refusal.Reason reason) {
    Map<Refusal.Reason, Long> more = new EnumMap<>(Refusal.Reason.class);
    more.putAll(refusals);
    more.merge(reason, 1L, Long::sum);
    return new PollCounts(polls, answered, retries, more, bytesThrownAway);
  }
}
