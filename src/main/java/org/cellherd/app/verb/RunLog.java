package org.cellherd.app.verb;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.HashMap;
import java.util.Map;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.MorningLine;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.news.Sink;
import org.cellherd.pack.SilenceWords;

/**
 * Writes every event and every change of a pack's state to the program's log, and once an hour in a
 * sentence what is happening.
 */
public final class RunLog implements Sink {

  private static final Logger LOG = System.getLogger(RunLog.class.getName());
  private static final Logger ALERTS = System.getLogger(RepeatedLines.ALERTS);

  private static final long HOUR_MS = 3_600_000;

  private final Map<String, Long> toldHours = new HashMap<>();

  @Override
  public void morning(MorningLine line) {
    LOG.log(Level.INFO, line.text());
  }

  @Override
  public void event(AlertEvent event) {
    Level level =
        switch (event.change()) {
          case RAISED, REPEATED, ESCALATED ->
              event.alert().priority() == Priority.CRITICAL ? Level.ERROR : Level.WARNING;
          case RETURNED -> Level.WARNING;
          case ACKNOWLEDGED, CLEARED, NOTICE -> Level.INFO;
        };
    ALERTS.log(
        level,
        "pack {0}: {1} {2} {3}: {4} [{5}]",
        event.alert().key().pack(),
        event.alert().priority().word(),
        event.alert().key().topic(),
        event.change().spoken(),
        (event.alert().text() + " " + event.alert().firstStep()).strip(),
        event.alert().id());
  }

  @Override
  public void state(String pack, PackState state) {
    LOG.log(
        Level.INFO,
        "pack "
            + pack
            + ": "
            + state.word().word()
            + (state.cause().isEmpty() ? "" : " (" + why(state) + ")"));
  }

  private static String why(PackState state) {
    return state.word() == PackState.Word.ASLEEP
        ? SilenceWords.ASLEEP
        : SilenceWords.withWord(state.cause());
  }

  @Override
  public void summary(String pack, PackSummary summary) {
    long hour = Math.floorDiv(summary.timeMs(), HOUR_MS);
    Long told = toldHours.put(pack, hour);
    if (told == null || told != hour) {
      LOG.log(Level.INFO, "pack " + pack + ": " + summary.sentence());
    }
  }
}
