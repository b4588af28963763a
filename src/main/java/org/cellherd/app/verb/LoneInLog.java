package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.state.AlertText;
import org.cellherd.analysis.plausible.Confirmation;
import org.cellherd.analysis.plausible.LoneValues;
import org.cellherd.pack.Channel;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * The values of a stretch of the log that nothing confirmed: neither another channel nor the next
 * reading. They are stored as the board told them, so whoever sees the numbers is told of the
 * doubt.
 */
final class LoneInLog {
  /** More of them are counted only. */
  private static final int MOST_NAMED = 5;

  private final Confirmation confirmation;
  private final List<Lone> waiting = new ArrayList<>();
  private final List<Lone> named = new ArrayList<>();
  private long count;
  private long newestMs = Long.MIN_VALUE;

  private record Lone(Channel channel, long value, long timeMs) {}

  LoneInLog(PackPlan plan) {
    confirmation = new Confirmation(plan);
  }

  void take(LogEntry entry) {
    confirmation.accept(entry);
    if (entry instanceof Reading reading) {
      waiting.removeIf(lone -> confirmation.isShownAgain(lone.channel()));
      settle();
      for (Channel channel : confirmation.held()) {
        waiting.add(new Lone(channel, reading.stored(channel), reading.timeMs()));
      }
      newestMs = reading.timeMs();
    }
  }

  private void settle() {
    for (Lone lone : waiting) {
      count++;
      named.add(lone);
      if (named.size() > MOST_NAMED) {
        named.remove(0);
      }
    }
    waiting.clear();
  }

  /** One sentence for all of them, the latest named; empty where there are none. */
  String words(ZoneId zone) {
    settle();
    if (count == 0) {
      return "";
    }
    StringBuilder said = new StringBuilder("In doubt, for nothing else agreed: ");
    for (int i = named.size() - 1; i >= 0; i--) {
      Lone lone = named.get(i);
      said.append(LoneValues.words(lone.channel(), lone.value()))
          .append(" at ")
          .append(AlertText.time(lone.timeMs(), newestMs, zone))
          .append(i == 0 ? "" : "; ");
    }
    long more = count - named.size();
    return said + (more == 0 ? "." : "; and " + more + " more before.");
  }
}
